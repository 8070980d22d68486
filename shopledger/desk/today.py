"""Today: all that waits for the owner, most urgent first, for the terminal and for the pages alike.

Each kind has one function that looks for it, and `SEALED` lists them: another kind is one line more there, and one in
`Waits`. A process that looks again at the very same chain of seals knows already what it holds; so what the chain does
not cover, and may change without a new seal, belongs into `UNSEALED` and is looked for each time.

It is the owner's list of work: looking at it is noted for nobody, and nothing is stored.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.today_books import backups, bank_lines, bills, month
from shopledger.desk.today_look import Look
from shopledger.desk.today_work import drafts, frames, jobs, papers, parcels, receipts, unpaid
from shopledger.ledger.backups import LastCopies
from shopledger.ledger.today import MOST, Today, Waiting, Waits, listed_by_kind
from shopledger.store.pending import newest_seal

Source = Callable[[Look], Iterator[Waiting]]

SEALED: Final[tuple[Source, ...]] = (
    *(jobs, parcels, papers, receipts, unpaid, drafts),
    *(bills, backups, bank_lines, month, frames),
)
"""Who looks for what waits in tables under the chain; in which order is of no concern."""
UNSEALED: Final[tuple[Source, ...]] = ()
"""Who looks for what waits anywhere else."""

LEDGERS: Final = 4
"""Of how many ledgers a process keeps the last look."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """What a look at a chain of seals found, on which day."""

    at: object
    rows: tuple[Waiting, ...]
    besides: Mapping[Waits, int]
    copies: LastCopies


_LAST: Final[dict[str, _Seen]] = {}
"""The last look at each ledger, by its address."""


def today(desk: Desk, most: int = MOST) -> Today:
    """Give what waits today, no more than so many of each kind."""
    with desk.reading() as work:
        at = newest_seal(work.transaction), desk.today
        look, seen = Look(work, desk.today), _LAST.get(desk.ledger.url)
        if seen is None or seen.at != at:
            rows = tuple(row for each in SEALED for row in each(look))
            seen = _Seen(at, rows, {**look.besides}, look.copies)
            _keep(desk.ledger.url, seen)
        others = [row for each in UNSEALED for row in each(look)]
        lists = listed_by_kind((*seen.rows, *others), desk.today, {**seen.besides, **look.besides}, min(most, MOST))
        return Today(desk.today, lists, seen.copies)


def _keep(place: str, seen: _Seen) -> None:
    _LAST.pop(place, None)
    _LAST[place] = seen
    while len(_LAST) > LEDGERS:
        _LAST.pop(next(iter(_LAST)), None)
