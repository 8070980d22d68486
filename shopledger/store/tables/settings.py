"""The shop itself: its profile and its settings."""

from __future__ import annotations

from shopledger.ledger.catalogue import Design
from shopledger.ledger.settings import MOST_MONTHS, Accounting, Advances, InventoryView
from shopledger.money.tax import TaxRounding
from shopledger.store import columns as kept
from shopledger.store.scales import HUNDREDTHS
from shopledger.store.tables.base import Recorded, table


class ShopColumns(Recorded):
    """The shop as its papers name it: one row."""

    one = kept.key()
    name = kept.words(kept.FILLED)
    street = kept.words()
    second_line = kept.words()
    city = kept.words()
    state = kept.words()
    postcode = kept.words()
    phone = kept.words()
    ein = kept.words(kept.FILLED)
    email = kept.words()
    npi = kept.words()
    receipt_wording = kept.words()


shop = table("shop", ShopColumns, one_row="one = 1")


class SettingsColumns(Recorded):
    """What the owner may set: one row."""

    one = kept.key()
    tax_rounding = kept.one_of(TaxRounding)
    progressive_share = kept.rate(kept.between(0, 1_000_000))
    screen_share = kept.rate(kept.between(0, 1_000_000))
    blank_allowance = kept.exact(HUNDREDTHS, kept.NOT_NEGATIVE)
    shipping_charge = kept.cents(kept.NOT_NEGATIVE)
    paper = kept.among("letter", "a4")
    standard_bifocal = kept.optional(kept.cents(kept.NOT_NEGATIVE))
    progressive_base = kept.one_of(Design, Design.BIFOCAL, Design.TRIFOCAL)
    standard_frame = kept.optional(kept.cents(kept.NOT_NEGATIVE))
    accounting = kept.one_of(Accounting)
    inventory_view = kept.one_of(InventoryView)
    advances = kept.one_of(Advances)
    prescription_months = kept.optional(kept.number(kept.between(1, MOST_MONTHS)))


shop_settings = table("shop_settings", SettingsColumns, one_row="one = 1")


class NexusLimitColumns(Recorded):
    """A state's limit from a day on; a later one takes its place, and none is changed."""

    state = kept.code()
    valid_from = kept.day(primary_key=True)
    sales = kept.optional(kept.cents(kept.POSITIVE))
    orders = kept.optional(kept.number(kept.POSITIVE))
    needs_both = kept.flag()


nexus_limit = table("nexus_limit", NexusLimitColumns)
