"""Today: all that waits for the owner, most urgent first, for the terminal and for the pages alike.

Each kind has one function that looks for it, and `LOOKED_FOR` lists them: another kind is one line more there, and one
in `Waits`. It is the owner's list of work: looking at it is noted for nobody, and nothing is stored.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.today_books import backups, bank_lines, bills, month
from shopledger.desk.today_look import Look
from shopledger.desk.today_work import drafts, frames, jobs, papers, parcels, receipts, unpaid
from shopledger.ledger.today import MOST, Today, Waiting, listed_by_kind

LOOKED_FOR: Final[tuple[Callable[[Look], Iterator[Waiting]], ...]] = (
    *(jobs, parcels, papers, receipts, unpaid, drafts),
    *(bills, backups, bank_lines, month, frames),
)
"""Who looks for what waits; in which order is of no concern."""


def today(desk: Desk, most: int = MOST) -> Today:
    """Give what waits today, no more than so many of each kind."""
    with desk.reading() as work:
        look = Look(work, desk.today)
        rows = [row for each in LOOKED_FOR for row in each(look)]
        return Today(desk.today, listed_by_kind(rows, desk.today, look.besides, min(most, MOST)), look.copies)
