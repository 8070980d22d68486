"""What the shop sells: frames, lenses, extras, accessories, and the offers on them."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.catalogue import Design, ExtraKind, Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind, OfferKind, Sharing
from shopledger.optics.materials import MaterialClass
from shopledger.store.columns import (
    CentsColumn,
    Code,
    Day,
    Flag,
    Hundredths,
    Key,
    Millionths,
    Number,
    TenThousandths,
    Words,
    among,
    between,
    days,
    filled,
    flag,
    not_negative,
    one_of,
)
from shopledger.store.models.base import STRICT, Base, Recorded


class FrameRow(Recorded, Base):
    """A frame model in one colour and size, or a customer's own frame."""

    __tablename__ = "frame"
    __table_args__ = (
        *filled("code", "maker", "model", "colour"),
        between("eye_size", 3_000, 7_500),
        between("bridge", 800, 3_200),
        between("temple", 9_000, 17_000),
        *not_negative("price", "cost"),
        STRICT,
    )

    code: Mapped[Code]
    number: Mapped[Number] = mapped_column(unique=True)
    maker: Mapped[Words]
    model: Mapped[Words]
    colour: Mapped[Words]
    eye_size: Mapped[Hundredths]
    bridge: Mapped[Hundredths]
    temple: Mapped[Hundredths]
    price: Mapped[CentsColumn]
    cost: Mapped[CentsColumn]
    owned_by: Mapped[Number | None] = mapped_column(ForeignKey("customer.number", ondelete="RESTRICT"), index=True)


class LensRow(Recorded, Base):
    """A lens the shop can order."""

    __tablename__ = "lens"
    __table_args__ = (
        *filled("code", "name"),
        one_of("design", Design),
        one_of("material_class", MaterialClass),
        between("refractive_index", 14_000, 20_000),
        between("abbe", 2_000, 7_000),
        between("density", 9_000, 40_000),
        *not_negative("price", "cost", "design_part", "material_part"),
        CheckConstraint("design_part + material_part <= price", name="parts_within_price"),
        STRICT,
    )

    code: Mapped[Code]
    number: Mapped[Number] = mapped_column(unique=True)
    name: Mapped[Words]
    design: Mapped[Words]
    material: Mapped[Words]
    material_class: Mapped[Words]
    refractive_index: Mapped[TenThousandths]
    abbe: Mapped[Hundredths]
    density: Mapped[TenThousandths]
    price: Mapped[CentsColumn]
    cost: Mapped[CentsColumn]
    corridor: Mapped[Hundredths | None]
    min_fitting_height: Mapped[Hundredths | None]
    min_centre: Mapped[Hundredths]
    min_edge: Mapped[Hundredths]
    design_part: Mapped[CentsColumn]
    material_part: Mapped[CentsColumn]


class LensBlankRow(Base):
    """A diameter in which the maker offers a lens."""

    __tablename__ = "lens_blank"
    __table_args__ = (between("diameter", 4_000, 9_000), STRICT)

    lens_code: Mapped[Words] = mapped_column(ForeignKey("lens.code", ondelete="RESTRICT"), primary_key=True)
    diameter: Mapped[Key]


class ExtraRow(Recorded, Base):
    """An upgrade or coating on a pair of lenses."""

    __tablename__ = "extra"
    __table_args__ = (*filled("code", "name"), one_of("kind", ExtraKind), *not_negative("price", "cost"), STRICT)

    code: Mapped[Code]
    number: Mapped[Number] = mapped_column(unique=True)
    name: Mapped[Words]
    kind: Mapped[Words]
    price: Mapped[CentsColumn]
    cost: Mapped[CentsColumn]


class AccessoryRow(Recorded, Base):
    """Goods beside the glasses."""

    __tablename__ = "accessory"
    __table_args__ = (
        *filled("code", "name"),
        one_of("tax_category", TaxCategory),
        one_of("reimbursement", Reimbursement),
        *not_negative("price", "cost"),
        STRICT,
    )

    code: Mapped[Code]
    number: Mapped[Number] = mapped_column(unique=True)
    name: Mapped[Words]
    price: Mapped[CentsColumn]
    cost: Mapped[CentsColumn]
    tax_category: Mapped[Words]
    reimbursement: Mapped[Words]
    claim_code: Mapped[Words]


class OfferRow(Recorded, Base):
    """An offer: how it reduces, and when it runs."""

    __tablename__ = "offer"
    __table_args__ = (
        *filled("code", "name"),
        one_of("kind", OfferKind),
        one_of("sharing", Sharing),
        between("percent", 0, 1_000_000),
        flag("automatic"),
        *not_negative("price"),
        CheckConstraint("from_pair >= 1", name="from_pair_counts"),
        *days("starts", "ends"),
        CheckConstraint("starts <= ends", name="ends_after_start"),
        STRICT,
    )

    code: Mapped[Code]
    number: Mapped[Number] = mapped_column(unique=True)
    name: Mapped[Words]
    kind: Mapped[Words]
    percent: Mapped[Millionths]
    price: Mapped[CentsColumn]
    sharing: Mapped[Words]
    automatic: Mapped[Flag]
    from_pair: Mapped[Number]
    starts: Mapped[Day | None]
    ends: Mapped[Day | None]


class OfferMatchRow(Base):
    """Lines that an offer needs or reduces."""

    __tablename__ = "offer_match"
    __table_args__ = (among("role", ("needs", "reduces")), one_of("kind", LineKind), one_of("design", Design), STRICT)

    offer_code: Mapped[Words] = mapped_column(ForeignKey("offer.code", ondelete="RESTRICT"), primary_key=True)
    role: Mapped[Code]
    position: Mapped[Key]
    kind: Mapped[Words]
    design: Mapped[Words | None]
    item_code: Mapped[Words | None]
