"""The counter as it stands: which ledger, who is at it, by which clock, and under which addresses it is reached."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from threading import RLock
from typing import Final

from shopledger.files.writing import made_folder

STATION: Final = "STATION"
"""Under which the pages find it."""
AWAY: Final = "shopledger.away"
"""What marks a request from another computer."""
IDLE_MINUTES = 8 * 60
"""After how long without a page asked for a browser is let in no more: a day at the shop."""


@dataclass(frozen=True, slots=True)
class Address:
    """One way to the counter: what a browser says as Host, and as Origin."""

    host: str
    secure: bool = False

    @property
    def origin(self) -> str:
        """The origin of its pages."""
        return f"{'https' if self.secure else 'http'}://{self.host}"


@dataclass(frozen=True, slots=True)
class Station:
    """What the pages need from outside."""

    ledger: str
    """The address of the ledger."""
    operator: str
    clock: Callable[[], datetime]
    all_papers: Path
    """The folder of the shop's papers, with one folder for each month in it."""
    addresses: tuple[Address, ...]
    secret: bytes
    """Known to this program alone: what lets a browser in is made of it."""
    day: date | None = None
    """The day that is taken for today, where that is not the clock's."""
    idle_minutes: int = IDLE_MINUTES
    fingerprint: str = ""
    """Of the certificate that other computers are shown, where any are let in."""
    writing: RLock = field(default_factory=RLock, compare=False)
    """Held from the moment that a form is compared with the ledger until it is stored."""

    @property
    def papers(self) -> Path:
        """The folder for what is printed today; it is made if it is missing."""
        return made_folder(self.all_papers / f"{self.today():%Y-%m}")

    def today(self) -> date:
        """Give the day that is today."""
        return self.day or self.clock().date()
