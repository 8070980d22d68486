"""One look at what waits: the ledger as it is read, the day, and what several kinds ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any, TypeVar

from shopledger.ledger.backups import LastCopies
from shopledger.ledger.today import MOST, Waits
from shopledger.store.jobs import JobEntry
from shopledger.store.work import UnitOfWork

T = TypeVar("T")


@dataclass(frozen=True)
class Look:
    """One look; it reads what several ask for once."""

    work: UnitOfWork
    today: date
    besides: dict[Waits, int] = field(default_factory=dict)
    """Of which kinds there are so many more than rows were made of."""

    def first(self, kind: Waits, found: Iterable[T], turn: Callable[[T], Any]) -> Iterator[T]:
        """Give the most urgent of a kind, as many as are shown, and count the rest: of very many few lines are made."""
        every = sorted(found, key=turn)
        self.besides[kind] = max(0, len(every) - MOST)
        yield from every[:MOST]

    @cached_property
    def jobs(self) -> tuple[JobEntry, ...]:
        """The jobs that are here."""
        return self.work.jobs.open()

    @cached_property
    def copies(self) -> LastCopies:
        """When the ledger was last copied."""
        return self.work.backups.last()
