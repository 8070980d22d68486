"""Money that moves without a sale or a bill: payouts of the card processor, banking, the owner, sales tax handed on."""

from __future__ import annotations

from enum import Enum


class MoveKind(Enum):
    """Why money moved."""

    PAYOUT = "payout"
    """The card processor pays out what it collected, less its fee."""
    BANKED = "banked"
    """Cash taken to the bank."""
    FETCHED = "fetched"
    """Cash fetched from the bank."""
    CARD_PAID = "card paid"
    """The shop's credit card bill paid from the bank."""
    CONTRIBUTION = "contribution"
    DRAW = "draw"
    TAX_PAID = "tax paid"
    """Sales tax handed on to a state; what the state lets the shop keep is the fee's opposite."""
    OTHER_INCOME = "other income"
    OPENING = "opening"
    """What lay in the drawer or the bank when the books began."""


class Till(Enum):
    """Where the money lies."""

    CASH = "cash"
    BANK = "bank"
