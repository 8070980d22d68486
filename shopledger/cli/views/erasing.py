"""What is held on somebody, erasures, and for how long records are kept, shown."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day

if TYPE_CHECKING:
    from shopledger.desk.erasing import ErasureDone, Held
    from shopledger.ledger.erasing import ErasedPart, Erasure, LegalHold
    from shopledger.ledger.retention import Keeping

OUT = Outside({})


def held_data(held: Held) -> dict[str, Json]:
    """Give all that is held on somebody as JSON, with what keeps it."""
    kind, number = held.person.subject
    reasons: list[Json] = [
        {"ground": each.ground.value, "sentence": each.sentence, "erasable_from": day(each.erasable_from) or None}
        for each in held.retention.reasons
    ]
    erasable = held.retention.erasable_from
    return {
        kind.value: number,
        "records": held.records,
        "erasable_from": None if erasable is None or erasable.year == 1 else erasable.isoformat(),
        "kept_by": reasons,
        "held": {table.name: [dict(row) for row in table.rows] for table in held.tables},
    }


def held_blocks(held: Held, files: Sequence[Path] = ()) -> tuple[Block, ...]:
    """Give what is held on somebody for reading: how many rows of what, what keeps them, where it was written."""
    rows = [(table.name.replace("_", " "), str(len(table.rows))) for table in held.tables]
    table = Table(f"Held on {held.person.said[:-1]}", (Column("what"), Column("records", right=True)), rows)
    kept = [
        (each.ground.value, each.sentence, day(each.erasable_from) or "as long as it lasts")
        for each in held.retention.reasons
    ]
    columns = (Column("rule"), Column("why"), Column("may go from", whole=True))
    written = (Fields("", [("file", file) for file in files]),) if files else ()
    return (table, Table("What keeps it", columns, kept, "nothing."), *written)


def done_data(done: ErasureDone) -> dict[str, Json]:
    """Give an erasure that was just made as JSON."""
    papers: list[Json] = list(done.papers)
    return {**erasure_data(done.erasure, done.parts), "papers": papers, "packed": done.packed}


def done_blocks(done: ErasureDone) -> tuple[Block, ...]:
    """Give an erasure that was just made for reading."""
    blanked = [(part.table_name.replace("_", " "), str(part.row_count)) for part in done.parts]
    return (
        erasure_table([(done.erasure, done.parts)]),
        Table("Blanked", (Column("what"), Column("records", right=True)), blanked),
    )


def erasure_data(erasure: Erasure, parts: Sequence[ErasedPart]) -> dict[str, Json]:
    """Give an erasure as JSON."""
    return {**OUT.of(erasure), "blanked": {part.table_name: part.row_count for part in parts}}


def erasure_table(found: Sequence[tuple[Erasure, Sequence[ErasedPart]]]) -> Table:
    """Give erasures for reading."""
    columns = (
        Column("no.", right=True),
        Column("day", whole=True),
        Column("of whom"),
        Column("asked by"),
        Column("reason"),
        Column("rule"),
        Column("records", right=True),
    )
    rows = [
        (
            str(each.number),
            each.day.isoformat(),
            each.whose,
            each.asked_by.value,
            each.reason,
            each.rule,
            str(sum(part.row_count for part in parts)) if parts else "",
        )
        for each, parts in found
    ]
    return Table("Erasures", columns, rows, "none.")


def hold_fields(hold: LegalHold) -> Fields:
    """Give a legal hold for reading."""
    rows = (
        ("customer", str(hold.customer_number)),
        ("wearer", "all" if hold.wearer_number is None else str(hold.wearer_number)),
        (hold.deed.value, hold.day.isoformat()),
        ("reason", hold.reason),
    )
    return Fields("Legal hold", rows)


def keeping_fields(keeping: Keeping) -> Fields:
    """Give for how many years records are kept, each with its reason, for reading."""
    state = (
        f"{keeping.state_years} years after shipping" if keeping.state_years else "no rule set: ask your state's board"
    )
    rows = (
        ("lens records", f"{keeping.lens_years} years after shipping (21 CFR 801.410(e): 3 at least)"),
        ("tax records", f"{keeping.tax_years} years after the return was due (usually 3, 6 or 7)"),
        ("the state's rule", state),
        ("who looked at what", f"{keeping.audit_years} years (45 CFR 164.316(b)(2)(i) keeps such records 6)"),
    )
    return Fields("How long records are kept", rows)
