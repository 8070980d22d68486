"""What every deed needs: the ledger, who is at the desk, and what time it is."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.errors import RefusedError

if TYPE_CHECKING:
    from shopledger.store.opening import Ledger
    from shopledger.store.work import Work


@dataclass(frozen=True, slots=True)
class Desk:
    """An open ledger, the operator whose name goes on every entry, and the clock as read once."""

    ledger: Ledger
    operator: str
    now: datetime
    today: date
    own_templates: Path | None = None
    """The owner's folder of changed papers' wording, which win over the shipped ones."""

    def reading(self) -> AbstractContextManager[Work]:
        """Look into the ledger without changing it."""
        return self.ledger.reading()

    def writing(self) -> AbstractContextManager[Work]:
        """Change the ledger: everything inside is stored together, or nothing is."""
        return self.ledger.writing(self.operator, self.now)

    def day(self, given: date | None, what: str = "day") -> date:
        """Give the day meant, today if none, and refuse one that has not come yet."""
        if given is not None and given > self.today:
            raise RefusedError(
                what,
                given.isoformat(),
                f"it lies after today, {self.today.isoformat()}",
                "Type the day it happened.",
            )
        return given or self.today
