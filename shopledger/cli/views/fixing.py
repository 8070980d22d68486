"""What can be done about something that was recorded, shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table

if TYPE_CHECKING:
    from shopledger.ledger.remedies import Remedies, Remedy


def remedies_data(found: Remedies) -> dict[str, Json]:
    """Give what can be done as JSON."""
    return {
        "title": found.title,
        "stands": list(found.stands),
        "remedies": [
            {"what": each.what, "possible": each.possible, "command": each.command or None, "why_not": each.why_not}
            for each in found.remedies
        ],
    }


def remedies_blocks(found: Remedies) -> tuple[Fields, Table, Table]:
    """Give what can be done for reading: where it stands, what to type, what cannot be put right any more."""
    head = Fields(found.title, tuple(("", words) for words in found.stands))
    can = [each for each in found.remedies if each.possible]
    late = [each for each in found.remedies if not each.possible]
    columns = (Column("what"), Column("type"))
    possible = Table("What can be put right", columns, [(each.what, each.command) for each in can], "nothing.")
    three = (Column("what"), Column("why not"), Column("instead"))
    gone = Table("What cannot", three, [_late_row(each) for each in late], "nothing.")
    return head, possible, gone


def _late_row(each: Remedy) -> tuple[str, ...]:
    return each.what, each.why_not, each.command
