"""The board: every job that is open, where it stands, what comes next, and whether it waits too long."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.desk.context import Desk
from shopledger.ledger.stages import OVERDUE_AFTER, Standing, days_since_order, is_overdue, lenses_late, stage_of
from shopledger.ledger.text import initials_of
from shopledger.store.jobs import JobEntry


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One job on the board."""

    job: JobEntry
    initials: str
    standing: Standing
    days: int
    """Since the order."""
    overdue: bool
    lenses_late: bool = False
    """Whether its lenses should have come by now."""


def open_jobs(desk: Desk, overdue_after: int = OVERDUE_AFTER) -> tuple[BoardRow, ...]:
    """Give the jobs that still have something to do, those that wait longest first."""
    with desk.reading() as work:
        return tuple(board_row(desk, entry, overdue_after) for entry in work.jobs.open())


def board_row(desk: Desk, entry: JobEntry, overdue_after: int) -> BoardRow:
    """Give a job as it stands on the board today."""
    facts = entry.facts
    return BoardRow(
        job=entry,
        initials=initials_of(entry.wearer),
        standing=stage_of(facts),
        days=days_since_order(facts, desk.today),
        overdue=is_overdue(facts, desk.today, overdue_after),
        lenses_late=lenses_late(facts, desk.today),
    )
