"""What a state's sales tax return asks for, added up from the orders: a help for filling it in, and no tax advice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.money.amount import Cents

CAUTION: Final = (
    "Rates, categories and exemptions are the shop's own settings. This is no tax advice: compare it with the state's "
    "rules and forms."
)
NO_RATE: Final = "no rate set"
ZERO_RATE: Final = "rate of 0"


@dataclass(frozen=True, slots=True)
class TaxReturn:
    """One state over some days; refunds and cancellations count on the day of the refund or cancellation."""

    state: str
    first: date
    last: date
    gross: Cents
    """All that was sold, shipping included, before anything was taken back."""
    exempt: tuple[tuple[str, Cents], ...]
    """What was not taxed of it, by reason."""
    charged: Cents
    """Tax on it."""
    taken_back: Cents
    """Net sales refunded or cancelled."""
    tax_taken_back: Cents
    taxable_taken_back: Cents
    """The taxed part of what was taken back."""
    paid: Cents
    """Handed on to the state in these days, with what the state let the shop keep."""
    owed_at_end: Cents
    """Owed to the state at the end of the last day, from before these days too."""

    @property
    def exempt_total(self) -> Cents:
        """All that was not taxed."""
        return sum(amount for _, amount in self.exempt)

    @property
    def taxable(self) -> Cents:
        """Sales on which tax was charged."""
        return self.gross - self.exempt_total

    @property
    def net_tax(self) -> Cents:
        """Tax owed for these days: charged, less given back."""
        return self.charged - self.tax_taken_back
