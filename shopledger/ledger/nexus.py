"""Limits from which on a state may ask a seller from elsewhere to register, as the owner set them; how near they are.

No state's limit is known here. What counts differs from state to state: whether exempt sales do, what was taken back,
the year of the calendar or the twelve months before. So all of it is shown side by side, and the owner compares.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import WHOLE, Rate, round_half_away

NEAR: Final[Rate] = 800_000
"""From this share of a limit on it is said to be near. (common practice, no source)"""

CAUTION: Final = (
    "The limits are the owner's own settings. What counts, and over which months, is for each state's law: ask your "
    "tax preparer. Net sales leave out what was refunded or cancelled; some states count them all the same."
)


@dataclass(frozen=True, slots=True)
class NexusLimit:
    """A state's limit from a day on: net sales, orders, or both; neither says that none is watched any more."""

    state: str
    valid_from: date
    sales: Cents | None = None
    orders: int | None = None
    needs_both: bool = False
    """Whether both have to be reached; otherwise either is enough."""

    def __post_init__(self) -> None:
        """Hold the state and the limits to sense."""
        object.__setattr__(self, "state", read_state(self.state))
        if self.sales is not None:
            _hold_above_zero("sales limit", self.sales, write_amount(self.sales))
            hold_amount("sales limit", self.sales, MOVED)
        if self.orders is not None:
            _hold_above_zero("orders limit", self.orders, self.orders)
        if self.needs_both and None in {self.sales, self.orders}:
            raise RefusedError(
                "both", "one limit alone", "both need limits of sales and of orders", "Give both, or leave it out."
            )


def _hold_above_zero(what: str, value: int, shown: str | int) -> None:
    if value <= 0:
        raise RefusedError(what, shown, "it must be more than 0", "Leave it out where the state has none.")


class Standing(Enum):
    """How a year stands to a state's limit."""

    UNSET = "no limit set"
    BELOW = "below"
    NEAR = "near"
    REACHED = "reached"


@dataclass(frozen=True, slots=True)
class NexusRow:
    """What went to one state in a period, beside the limit that held on its last day."""

    state: str
    orders: int
    """Less those cancelled."""
    sales: Cents
    """All net charges, shipping included, whether taxed or not."""
    taken_back: Cents
    limit_sales: Cents | None = None
    limit_orders: int | None = None
    needs_both: bool | None = None

    @property
    def net(self) -> Cents:
        """Sales less what was refunded or cancelled."""
        return self.sales - self.taken_back

    @property
    def share(self) -> Rate | None:
        """How much of the limit is reached, in millionths: of the nearer one, or of the farther where both count."""
        shares = [
            max(round_half_away(reached * WHOLE, limit), 0)
            for reached, limit in ((self.net, self.limit_sales), (self.orders, self.limit_orders))
            if limit is not None
        ]
        return (min if self.needs_both else max)(shares) if shares else None

    @property
    def standing(self) -> Standing:
        """Say how near the limit is; reached is only what is reached whole, however it is rounded."""
        if self.share is None:
            return Standing.UNSET
        reached = [
            amount >= limit
            for amount, limit in ((self.net, self.limit_sales), (self.orders, self.limit_orders))
            if limit is not None
        ]
        if all(reached) if self.needs_both else any(reached):
            return Standing.REACHED
        return Standing.NEAR if self.share >= NEAR else Standing.BELOW
