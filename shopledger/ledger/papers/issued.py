"""Papers that are issued under a number, and those of them that are stored but have not reached their place yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from shopledger.ledger.orders import Entered


class IssuedPaper(Enum):
    """What is issued under a number of its own, and frozen with it."""

    RECEIPT = "receipt"
    CERTIFICATE = "certificate"
    """An inspection record; the ledger keeps the word it had first."""
    LENS_ORDER = "lens order"

    @property
    def said(self) -> str:
        """What it is called."""
        return "inspection record" if self is IssuedPaper.CERTIFICATE else self.value

    @property
    def typed(self) -> str:
        """The word as it is typed in a command."""
        return self.said.replace(" ", "-")


@dataclass(frozen=True, slots=True)
class WaitingPaper:
    """A paper whose number and content are stored, and whose first print is not known to lie anywhere."""

    kind: IssuedPaper
    number: int
    entered: Entered | None = field(default=None, compare=False)

    @property
    def name(self) -> str:
        """What it is called, as in `receipt 2`."""
        return f"{self.kind.said} {self.number}"

    @property
    def command(self) -> str:
        """What to type for it."""
        return f"shopledger paper again {self.kind.typed} {self.number}"
