"""Adjusting entries and the chart of accounts, shown."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.cli.views.money import AMOUNT, DAY, NUMBER, taken_words
from shopledger.ledger.books.adjustments import OWNED, Adjustment, AdjustmentLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.voiding import Listed, Voiding
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

OUT = Outside(
    {
        Adjustment: Shape(first=("number",)),
        AdjustmentLine: Shape(made={"account": lambda line: line.account.title}),
        Voiding: Shape(left_out={"document"}),
    }
)


def card_data(found: Adjustment, reversed_by: int | None, voided: Voiding | None) -> dict[str, Json]:
    """Give an adjusting entry as JSON, with what undid it."""
    return {**OUT.of(found), "reversed_by": reversed_by, "taken_back": None if voided is None else OUT.of(voided)}


def entry_blocks(found: Adjustment, reversed_by: int | None = None, voided: Voiding | None = None) -> tuple[Block, ...]:
    """Give an adjusting entry for reading: its words, and its accounts."""
    if found.opening:
        title = f"Opening position, adjustment {found.number or 'not yet recorded'}"
    else:
        title = f"Adjustment {found.number}" if found.number else "Adjustment, not yet recorded"
    rows = (
        ("day", day(found.day)),
        ("reason", found.reason),
        ("reverses", f"adjustment {found.reverses}" if found.reverses else ""),
        ("reversed by", f"adjustment {reversed_by}" if reversed_by else ""),
        ("voided", taken_words(voided)),
    )
    columns = (Column("account"), Column("debit", right=True), Column("credit", right=True))
    lines = [
        (
            f"{line.account.title} {line.state}".rstrip(),
            write_amount(line.amount) if line.amount > 0 else "",
            write_amount(-line.amount) if line.amount < 0 else "",
        )
        for line in found.lines
    ]
    return Fields(title, rows), Table("", columns, lines)


def entries_data(found: Sequence[Listed[Adjustment]]) -> dict[str, Json]:
    """Give a list of adjusting entries as JSON; what was voided counts below zero."""
    rows: list[Json] = [
        {
            **OUT.of(each.what),
            "day": day(each.day),
            "amount": money(each.sign * each.what.total),
            "taken_back": each.voided,
        }
        for each in found
    ]
    return {"adjustments": rows}


def entries_table(found: Sequence[Listed[Adjustment]]) -> Table:
    """Give a list of adjusting entries for reading."""
    columns = (NUMBER, DAY, Column("reason"), AMOUNT, Column("voided"))
    rows = [
        (
            str(each.what.number),
            day(each.day),
            each.what.reason,
            write_amount(each.sign * each.what.total),
            each.voided,
        )
        for each in found
    ]
    return Table("Adjusting entries", columns, rows, "none.")


def accounts_data() -> dict[str, Json]:
    """Give the chart of accounts as JSON."""
    rows: list[Json] = [
        {
            "account": each.title,
            "kind": each.kind.value,
            "schedule_c": each.schedule_c or None,
            "adjustable": each not in OWNED,
            "why_not": OWNED.get(each),
        }
        for each in Account
    ]
    return {"accounts": rows}


def accounts_table() -> Table:
    """Give the chart of accounts for reading."""
    columns = (Column("account"), Column("kind"), Column("line", whole=True), Column("no adjusting entry, because"))
    rows = [(each.title, each.kind.value, each.schedule_c, OWNED.get(each, "")) for each in Account]
    return Table("Accounts", columns, rows)
