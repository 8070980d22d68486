"""One look at what waits: the ledger as it is read, the day, and what several kinds ask for."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from shopledger.ledger.backups import LastCopies
from shopledger.ledger.today import Waits
from shopledger.store.jobs import JobEntry
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True)
class Look:
    """One look; it reads what several ask for once."""

    work: UnitOfWork
    today: date
    besides: dict[Waits, int] = field(default_factory=dict)
    """Of which kinds there are so many more than rows were made of."""

    @cached_property
    def jobs(self) -> tuple[JobEntry, ...]:
        """The jobs that are here."""
        return self.work.jobs.open()

    @cached_property
    def copies(self) -> LastCopies:
        """When the ledger was last copied."""
        return self.work.backups.last()
