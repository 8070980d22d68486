"""What the owner is told after the day's first writing: overdue copies, and once what endangers the ledger's file."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.ledger.backups import reminder
from shopledger.store.outside import recall, remember
from shopledger.store.places import ledger_path
from shopledger.store.surroundings import dangers

SUBJECT = "told"
"""Under which this computer remembers what was told of a ledger, and on which day."""


def dangers_now(desk: Desk) -> tuple[str, ...]:
    """Give the sentences on what endangers the ledger's file where it lies."""
    path = ledger_path(desk.ledger.url)
    return tuple(danger.sentence for danger in dangers(path)) if path else ()


def to_be_told(desk: Desk) -> tuple[str, ...]:
    """Give the sentences that are due now, and remember that they were said; none again on the same day.

    What day it is says the clock, not the day that is taken for today: that one is for late entries.
    """
    told, today = recall(desk.ledger.url, SUBJECT), desk.now.date()
    if told.get("day") == today.isoformat():
        return ()
    with desk.reading() as work:
        overdue = reminder(work.backups.terms(), work.backups.last(), today)
    path = ledger_path(desk.ledger.url)
    found = dangers(path) if path else ()
    remember(desk.ledger.url, SUBJECT, {"day": today.isoformat(), "dangers": [danger.code for danger in found]})
    before = told.get("dangers")
    known = before if isinstance(before, list) else []
    once = tuple(danger.sentence for danger in found if danger.code not in known)
    return (*((overdue,) if overdue else ()), *once)
