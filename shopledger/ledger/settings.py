"""What the owner may set: each choice with its default and what it changes."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.money.amount import Cents
from shopledger.money.rate import Rate
from shopledger.money.tax import TaxRounding


@dataclass(frozen=True, slots=True)
class Settings:
    """The shop's own choices, kept in the ledger."""

    tax_rounding: TaxRounding = TaxRounding.PER_LINE
    """Whether sales tax is rounded on each line or once on the order."""
    progressive_share: Rate = 500_000
    """Share of a progressive lens's price that is its design, where the catalogue names no part."""
    screen_share: Rate = 500_000
    """Share of the add used for a screen pair, where the prescriber wrote no intermediate (common practice: half)."""
    blank_allowance: float = 2.0
    """What is added to the smallest blank. [mm] (common practice)"""
    shipping_charge: Cents = 0
    """What an order is charged for shipping unless it says otherwise."""
    paper: str = "letter"
    """Paper size of everything printed: letter or a4."""
