"""What the owner may set: each choice with its default and what it changes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.limits import PRICE, hold_amount
from shopledger.ledger.text import taken_anew
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import Rate
from shopledger.money.tax import TaxRounding


class Accounting(Enum):
    """When income and expense count; the books hold what both need."""

    ACCRUAL = "accrual"
    CASH = "cash"


class InventoryView(Enum):
    """How a small taxpayer's goods are shown to the tax preparer (IRS Publication 334, chapter 7)."""

    INVENTORY = "inventory"
    """Opening stock, purchases and closing stock."""
    MATERIALS = "materials"
    """As materials that are not incidental: deducted as they go to customers."""


class Advances(Enum):
    """When the year's worksheet counts what was paid ahead, on accrual; the books count it when the goods leave.

    26 USC 451(c) and Rev. Proc. 2004-34, from memory.
    """

    WITH_GOODS = "with goods"
    """In the year of payment as far as the goods left, the rest in the year after at the latest."""
    RECEIVED = "received"
    """All of it in the year of payment."""


LARGEST_ALLOWANCE: Final = 10.0
"""More than this on top of the smallest blank is a slip. [mm] (common practice, no source)"""


MOST_MONTHS: Final = 120
"""More months than these say that no prescription is ever old. (common practice, no source)"""


@dataclass(frozen=True, slots=True)
class Settings:
    """The shop's own choices, kept in the ledger."""

    tax_rounding: TaxRounding = TaxRounding.PER_LINE
    """Whether sales tax is rounded on each line or once on the order."""
    progressive_share: Rate = 500_000
    """Share of a progressive lens's price that is its design, where neither the catalogue nor the shop names a part."""
    screen_share: Rate = 500_000
    """Share of the add used for a screen pair, where the prescriber wrote no intermediate (common practice: half)."""
    blank_allowance: float = 2.0
    """What is added to the smallest blank. [mm] (common practice)"""
    shipping_charge: Cents = 0
    """What an order is charged for shipping unless it says otherwise."""
    paper: str = "letter"
    """Paper size of everything printed: letter or a4."""
    standard_bifocal: Cents | None = None
    """What a pair of standard multifocal lenses costs: a progressive's price above it is its design."""
    progressive_base: Design = Design.BIFOCAL
    """Whose base codes a progressive takes: a bifocal's or a trifocal's."""
    standard_frame: Cents | None = None
    """What a standard frame costs: a dearer one is split into frame and deluxe frame. None: never split."""
    accounting: Accounting = Accounting.ACCRUAL
    """Which view the months and years show first; the other stands beside it."""
    inventory_view: InventoryView = InventoryView.INVENTORY
    """Which view of the goods the year's worksheet takes; keep it from year to year."""
    prescription_months: int | None = None
    """After how many months a prescription without an expiry as written is asked about; None: never.

    It is the owner's own choice and no rule: how long a prescription may be used is for local law to say.
    """
    advances: Advances = Advances.WITH_GOODS
    """When the year's worksheet counts what was paid ahead; keep it from year to year."""

    def __post_init__(self) -> None:
        """Refuse a base that no progressive has, and prices below nothing."""
        if self.progressive_base not in {Design.BIFOCAL, Design.TRIFOCAL}:
            raise RefusedError(
                "progressive base", self.progressive_base.value, "it is bifocal or trifocal", "Choose one of them."
            )
        for field in ("shipping_charge", "standard_bifocal", "standard_frame"):
            price = getattr(self, field) or 0
            if price < 0:
                raise RefusedError(
                    field.replace("_", " "), write_amount(price), "it may not be negative", "Type 0 or more."
                )
            hold_amount(field.replace("_", " "), price, PRICE)
        if self.prescription_months is not None and not 1 <= self.prescription_months <= MOST_MONTHS:
            allowed = f"it is from 1 to {MOST_MONTHS} months, or off"
            raise RefusedError("prescription months", self.prescription_months, allowed, "Type it so.")
        if taken_anew() and not 0 <= self.blank_allowance <= LARGEST_ALLOWANCE:
            allowed = f"it must lie from 0 to {LARGEST_ALLOWANCE:g} mm"
            raise RefusedError("blank allowance", f"{self.blank_allowance:g} mm", allowed, "Usual is 2.")
