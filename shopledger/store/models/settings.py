"""The shop itself: its profile, its settings, its tax rates, its counters, and who looked at what."""

from __future__ import annotations

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.settings import Accounting, InventoryView
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.tax import TaxRounding
from shopledger.store.columns import (
    CentsColumn,
    Code,
    Hundredths,
    Key,
    Millionths,
    Number,
    Words,
    among,
    between,
    days,
    filled,
    not_negative,
    one_of,
)
from shopledger.store.models.base import STRICT, Base, Recorded


class ShopRow(Recorded, Base):
    """The shop as its papers name it: one row."""

    __tablename__ = "shop"
    __table_args__ = (CheckConstraint("one = 1", name="one_row"), *filled("name", "ein"), STRICT)

    one: Mapped[Key]
    name: Mapped[Words]
    street: Mapped[Words]
    second_line: Mapped[Words]
    city: Mapped[Words]
    state: Mapped[Words]
    postcode: Mapped[Words]
    phone: Mapped[Words]
    ein: Mapped[Words]
    email: Mapped[Words]
    npi: Mapped[Words]
    receipt_wording: Mapped[Words]


class SettingsRow(Recorded, Base):
    """What the owner may set: one row."""

    __tablename__ = "shop_settings"
    __table_args__ = (
        CheckConstraint("one = 1", name="one_row"),
        one_of("tax_rounding", TaxRounding),
        between("progressive_share", 0, 1_000_000),
        between("screen_share", 0, 1_000_000),
        *not_negative("blank_allowance", "shipping_charge"),
        among("paper", ("letter", "a4")),
        among("progressive_base", ("bifocal", "trifocal")),
        *not_negative("standard_bifocal", "standard_frame"),
        one_of("accounting", Accounting),
        one_of("inventory_view", InventoryView),
        STRICT,
    )

    one: Mapped[Key]
    tax_rounding: Mapped[Words]
    progressive_share: Mapped[Millionths]
    screen_share: Mapped[Millionths]
    blank_allowance: Mapped[Hundredths]
    shipping_charge: Mapped[CentsColumn]
    paper: Mapped[Words]
    standard_bifocal: Mapped[CentsColumn | None]
    progressive_base: Mapped[Words]
    standard_frame: Mapped[CentsColumn | None]
    accounting: Mapped[Words]
    inventory_view: Mapped[Words]


class TaxRateRow(Recorded, Base):
    """A sales tax rate as the owner set it; orders keep the rate they were priced with."""

    __tablename__ = "tax_rate"
    __table_args__ = (
        one_of("category", TaxCategory),
        between("rate", 0, 300_000),
        one_of("imposed_on", ImposedOn),
        CheckConstraint("exempt_reason = '' OR rate = 0", name="exempt_at_nought"),
        *days("valid_from"),
        STRICT,
    )

    state: Mapped[Code]
    category: Mapped[Code]
    valid_from: Mapped[Code]
    rate: Mapped[Millionths]
    imposed_on: Mapped[Words]
    exempt_reason: Mapped[Words]


class CounterRow(Base):
    """The last number given of one kind; taken inside the transaction that uses it, so none is lost."""

    __tablename__ = "counter"
    __table_args__ = (*not_negative("last"), STRICT)

    name: Mapped[Code]
    last: Mapped[Number]


class AuditRow(Recorded, Base):
    """That somebody looked at something private, or changed what may be changed."""

    __tablename__ = "audit_note"
    __table_args__ = (*filled("deed"), STRICT)

    number: Mapped[Key]
    deed: Mapped[Words]
    subject: Mapped[Words] = mapped_column(index=True)
