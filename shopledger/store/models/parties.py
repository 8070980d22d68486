"""Customers, wearers and prescribers. `folded` is the name as it is searched: without accents and capitals."""

from __future__ import annotations

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.parties import Relationship
from shopledger.store.columns import Day, Key, Number, Words, between, days, filled, one_of
from shopledger.store.models.base import STRICT, Base, Recorded


class CustomerRow(Recorded, Base):
    """Who orders and pays."""

    __tablename__ = "customer"
    __table_args__ = (*filled("name"), STRICT)

    number: Mapped[Key]
    name: Mapped[Words]
    folded: Mapped[Words] = mapped_column(index=True)
    street: Mapped[Words]
    second_line: Mapped[Words]
    city: Mapped[Words]
    state: Mapped[Words]
    postcode: Mapped[Words]
    phone: Mapped[Words]
    email: Mapped[Words]
    printed_name: Mapped[Words]


class WearerRow(Recorded, Base):
    """Whose eyes the glasses are for."""

    __tablename__ = "wearer"
    __table_args__ = (
        *filled("name"),
        one_of("relationship", Relationship),
        *days("birth_date"),
        between("claim_within_days", 1, 3650),
        STRICT,
    )

    number: Mapped[Key]
    customer_number: Mapped[Number] = mapped_column(ForeignKey("customer.number", ondelete="RESTRICT"), index=True)
    name: Mapped[Words]
    folded: Mapped[Words] = mapped_column(index=True)
    relationship: Mapped[Words]
    birth_date: Mapped[Day | None]
    member_id: Mapped[Words]
    printed_name: Mapped[Words]
    claim_within_days: Mapped[Number | None]


class PrescriberRow(Recorded, Base):
    """Who wrote the prescription."""

    __tablename__ = "prescriber"
    __table_args__ = (*filled("name"), STRICT)

    number: Mapped[Key]
    name: Mapped[Words]
    folded: Mapped[Words] = mapped_column(index=True)
    phone: Mapped[Words]
    npi: Mapped[Words]
