"""What a new shop does first, each step told by what the ledger holds already."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopledger.desk.context import Desk


@dataclass(frozen=True, slots=True)
class FirstSteps:
    """Which of the first steps are done."""

    frames: int
    lenses: int
    rates: int
    places: int
    copied: bool
    """Whether a copy of the ledger was made since it began."""
    operators: int
    """How many may log in; a shop of one person needs none."""

    @property
    def goods(self) -> bool:
        """Whether there is something to sell a pair of glasses from."""
        return bool(self.frames and self.lenses)

    @property
    def left(self) -> int:
        """How many steps are still to be done."""
        return sum(not done for done in (self.goods, self.rates, self.places, self.copied))


def first_steps(desk: Desk) -> FirstSteps:
    """Tell how far a new shop is."""
    with desk.reading() as work:
        shelf = work.catalogue
        return FirstSteps(
            len(shelf.frames()),
            len(shelf.lenses()),
            len(shelf.tax_rates()),
            len(work.backups.places()),
            work.backups.last().copy is not None,
            len(work.logins.all()),
        )
