"""Sales tax rates as the owner set them, per state and category, with the days they hold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.text import clean_text
from shopledger.money.rate import Rate

LONGEST_REASON = 200
"""Characters that a reason for charging no tax may have."""


class ImposedOn(Enum):
    """On whom a state lays its sales tax (IRS Publication 334, chapter 5).

    On the buyer: the shop collects and hands it on. On the seller: it is part of the gross receipts, and an expense.
    """

    BUYER = "buyer"
    SELLER = "seller"


@dataclass(frozen=True, slots=True)
class TaxRate:
    """One rate; the newest that has begun by a day holds on it."""

    state: str
    category: TaxCategory
    rate: Rate
    valid_from: date
    imposed_on: ImposedOn = ImposedOn.BUYER
    exempt_reason: str = ""
    """Why nothing is charged, as the owner gives it; only with a rate of zero."""

    def __post_init__(self) -> None:
        """Hold the state, the rate and the reason to sense."""
        most = 300_000
        object.__setattr__(self, "state", read_state(self.state))
        if not 0 <= self.rate <= most:
            raise RefusedError(
                "tax rate", f"{self.rate / 10_000:g} %", "it must lie from 0 to 30 %", "Type the rate in per cent."
            )
        reason = clean_text("exempt reason", self.exempt_reason, LONGEST_REASON, required=False)
        object.__setattr__(self, "exempt_reason", reason)
        if reason and self.rate:
            raise RefusedError(
                "exempt reason",
                f"'{reason}' beside a rate of {self.rate / 10_000:g} %",
                "only what is not taxed has one",
                "Set the rate to 0, or leave the reason out.",
            )


def tax_on(rates: Iterable[TaxRate], state: str, category: TaxCategory, day: date) -> TaxRate | None:
    """Give the rate that holds with all that is said of it, or None where the owner has set none."""
    holding = [rate for rate in rates if rate.state == state and rate.category is category and rate.valid_from <= day]
    return max(holding, key=lambda rate: rate.valid_from) if holding else None


def rate_on(rates: Iterable[TaxRate], state: str, category: TaxCategory, day: date) -> Rate | None:
    """Give the rate that holds, or None where the owner has set none: nothing is assumed."""
    holding = tax_on(rates, state, category, day)
    return None if holding is None else holding.rate
