"""Equipment and what became of it, shown."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.disposals import Disposal, EquipmentRow
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

OUT = Outside(
    {
        Disposal: Shape(
            first=("number",), made={"document": lambda each: str(each.document), "gain": lambda each: money(each.gain)}
        ),
        EquipmentRow: Shape(made={"there": lambda row: money(row.there)}),
    }
)


def list_data(found: Sequence[EquipmentRow]) -> dict[str, Json]:
    """Give a list of equipment as JSON, with what is there of its cost."""
    return {"equipment": OUT.all(found), "there": money(sum(row.there for row in found))}


def list_table(found: Sequence[EquipmentRow]) -> Table:
    """Give a list of equipment for reading."""
    columns = (
        Column("came", whole=True),
        Column("with", whole=True),
        Column("payee"),
        Column("what"),
        Column("cost", right=True),
        Column("gone", whole=True),
        Column("proceeds", right=True),
        Column("gain", right=True),
    )
    rows = [
        (
            day(row.day),
            f"{row.document} line {row.position}",
            row.payee,
            row.description,
            write_amount(row.cost),
            f"{row.disposal.how.value} {day(row.disposal.day)}" if row.disposal else "",
            write_amount(row.disposal.proceeds) if row.disposal else "",
            write_amount(row.disposal.gain) if row.disposal else "",
        )
        for row in found
    ]
    if found:
        rows.append(("", "", "", "there", write_amount(sum(row.there for row in found)), "", "", ""))
    return Table("Equipment", columns, rows, "none.")


def disposal_fields(gone: Disposal) -> Fields:
    """Give a disposal for reading."""
    title = f"Disposal {gone.number}" if gone.number else "Disposal, not yet recorded"
    rows = (
        ("day", day(gone.day)),
        ("piece", f"{gone.document} line {gone.position}"),
        ("how", gone.how.value),
        ("cost", write_amount(gone.cost)),
        ("written off", write_amount(gone.depreciation)),
        ("proceeds", f"{write_amount(gone.proceeds)}, {gone.till.value} {gone.reference}".rstrip()),
        ("gain" if gone.gain >= 0 else "loss", write_amount(abs(gone.gain))),
        ("note", gone.note),
    )
    return Fields(title, rows)
