"""What waits, shown: a numbered list with the most urgent first, and when the ledger was last copied."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day
from shopledger.ledger.today import Urgency

if TYPE_CHECKING:
    from shopledger.ledger.finding import Hit
    from shopledger.ledger.things import About
    from shopledger.ledger.today import Today, Waiting


def about_data(about: About) -> dict[str, Json]:
    """Give what something is about as JSON."""
    return {"thing": about.thing.value, "name": about.name}


def today_data(found: Today) -> dict[str, Json]:
    """Give what waits as JSON; under `more` of which kinds there are so many beside those listed."""
    return {
        "day": day(found.day),
        "waiting": [_row_data(row, found) for row in found.rows],
        "more": {each.kind.value: each.more for each in found.lists if each.more},
        "last_copy": day(found.copies.copy) or None,
        "last_copy_away": day(found.copies.away) or None,
    }


def _row_data(row: Waiting, found: Today) -> dict[str, Json]:
    return {
        "kind": row.kind.value,
        "about": about_data(row.about),
        "sentence": row.sentence,
        "urgency": row.urgency(found.day).value,
        "since": day(row.since) or None,
        "until": day(row.until) or None,
        "who": row.who,
    }


def today_table(found: Today) -> Table:
    """Give what waits for reading; what is overdue is marked in words."""
    columns = (Column("no.", right=True, whole=True), Column("what waits"), Column("for"))
    rows = [(str(place), _said(row, found), row.who) for place, row in enumerate(found.rows, start=1)]
    rows += [("", f"and {each.more} more: {each.kind.value}", "") for each in found.lists if each.more]
    return Table(f"Today, {day(found.day)}", columns, rows, "nothing waits.")


def _said(row: Waiting, found: Today) -> str:
    return f"OVERDUE: {row.sentence}" if row.urgency(found.day) is Urgency.OVERDUE else row.sentence


def copies_fields(found: Today) -> Fields:
    """Say when the ledger was last copied."""
    copies = found.copies
    rows = (
        ("last backup", day(copies.copy) or "never"),
        ("last one outside this computer", day(copies.away) or "never"),
    )
    return Fields("", rows)


def hit_data(hit: Hit) -> dict[str, Json]:
    """Give something that was found as JSON."""
    return {
        "about": about_data(hit.about),
        "of": about_data(hit.of) if hit.of else None,
        "words": hit.words,
        "closeness": hit.closeness.value,
    }


def hits_table(hits: tuple[Hit, ...]) -> Table:
    """Give what was found for reading, the best first."""
    columns = (Column("what", whole=True), Column("number or code", whole=True), Column("which"))
    rows = [(hit.about.thing.value, hit.about.name, hit.words) for hit in hits]
    return Table("", columns, rows, "nothing was found.")
