"""Orders with their pairs, lines, charges and warnings; payments, refunds, shipments, cancellations and drafts."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey, ForeignKeyConstraint, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import DemoLenses, Method
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.tax import TaxRounding
from shopledger.optics.prescription import LensUse
from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.store.columns import (
    CentsColumn,
    Code,
    Day,
    Flag,
    Key,
    Millionths,
    Number,
    Thousandths,
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


class OrderRow(Recorded, Base):
    """A posted order; what it came to is the sum of its lines."""

    __tablename__ = "shop_order"
    __table_args__ = (one_of("tax_rounding", TaxRounding), *days("day"), STRICT)

    number: Mapped[Key]
    customer_number: Mapped[Number] = mapped_column(ForeignKey("customer.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    street: Mapped[Words]
    second_line: Mapped[Words]
    city: Mapped[Words]
    state: Mapped[Words]
    postcode: Mapped[Words]
    tax_rounding: Mapped[Words]
    note: Mapped[Words]
    tax_exempt: Mapped[Words]


class PairRow(Base):
    """A job at the bench."""

    __tablename__ = "order_pair"
    __table_args__ = (
        UniqueConstraint("order_number", "position"),
        one_of("lens_use", LensUse),
        among("pd_given", ("binocular", "monocular")),
        CheckConstraint("position >= 1", name="position_counts"),
        Index(None, "wearer_number", "frame_code"),
        STRICT,
    )

    job_number: Mapped[Key]
    order_number: Mapped[Number] = mapped_column(ForeignKey("shop_order.number", ondelete="RESTRICT"))
    position: Mapped[Number]
    wearer_number: Mapped[Number] = mapped_column(ForeignKey("wearer.number", ondelete="RESTRICT"))
    frame_code: Mapped[Words] = mapped_column(ForeignKey("frame.code", ondelete="RESTRICT"), index=True)
    lens_code: Mapped[Words] = mapped_column(ForeignKey("lens.code", ondelete="RESTRICT"), index=True)
    lens_use: Mapped[Words]
    prescription_number: Mapped[Number | None] = mapped_column(
        ForeignKey("prescription.number", ondelete="RESTRICT"), index=True
    )
    pd_given: Mapped[Words | None]
    note: Mapped[Words]


class PairExtraRow(Base):
    """An extra on a pair, in the order asked for."""

    __tablename__ = "order_pair_extra"
    __table_args__ = (STRICT,)

    job_number: Mapped[Number] = mapped_column(
        ForeignKey("order_pair.job_number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    extra_code: Mapped[Words] = mapped_column(ForeignKey("extra.code", ondelete="RESTRICT"), index=True)


class PairEyeRow(Base):
    """One eye of a pair: the power to make in millionths, and the wearer's measurements in thousandths of a mm."""

    __tablename__ = "order_pair_eye"
    __table_args__ = (
        one_of("side", Side),
        CheckConstraint("(sphere IS NULL) = (cylinder IS NULL)", name="power_whole"),
        CheckConstraint("axis > 0 AND axis <= 180000000", name="axis_range"),
        flag("balance"),
        CheckConstraint("(prism_1 IS NULL) = (base_1 IS NULL)", name="prism_1_whole"),
        CheckConstraint("(prism_2 IS NULL) = (base_2 IS NULL)", name="prism_2_whole"),
        one_of("base_1", PrismBase),
        one_of("base_2", PrismBase),
        between("mono_pd", 20_000, 40_000),
        between("near_pd", 15_000, 40_000),
        between("fitting_height", 5_000, 50_000),
        STRICT,
    )

    job_number: Mapped[Number] = mapped_column(
        ForeignKey("order_pair.job_number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    side: Mapped[Code]
    sphere: Mapped[Millionths | None]
    cylinder: Mapped[Millionths | None]
    axis: Mapped[Millionths | None]
    add_power: Mapped[Millionths | None]
    balance: Mapped[Flag | None]
    prism_1: Mapped[Millionths | None]
    base_1: Mapped[Words | None]
    prism_2: Mapped[Millionths | None]
    base_2: Mapped[Words | None]
    mono_pd: Mapped[Thousandths | None]
    near_pd: Mapped[Thousandths | None]
    fitting_height: Mapped[Thousandths | None]


class LineRow(Base):
    """One line of an order, prices and tax frozen."""

    __tablename__ = "order_line"
    __table_args__ = (
        one_of("kind", LineKind),
        one_of("tax_category", TaxCategory),
        one_of("reimbursement", Reimbursement),
        *not_negative("list_price", "reduction", "net", "tax_rate", "tax"),
        CheckConstraint("net = list_price - reduction", name="net_is_list_less_reduction"),
        CheckConstraint("quantity >= 1", name="quantity_counts"),
        one_of("tax_imposed_on", ImposedOn),
        one_of("demo_lenses", DemoLenses),
        ForeignKeyConstraint(
            ["order_number", "pair"], ["order_pair.order_number", "order_pair.position"], ondelete="RESTRICT"
        ),
        Index(None, "order_number", "pair"),
        STRICT,
    )

    order_number: Mapped[Number] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    kind: Mapped[Words]
    item_code: Mapped[Words]
    description: Mapped[Words]
    list_price: Mapped[CentsColumn]
    reduction: Mapped[CentsColumn]
    net: Mapped[CentsColumn]
    tax_category: Mapped[Words]
    reimbursement: Mapped[Words]
    reimbursement_reason: Mapped[Words]
    tax_rate: Mapped[Millionths]
    tax: Mapped[CentsColumn]
    quantity: Mapped[Number]
    pair: Mapped[Number | None]
    wearer_number: Mapped[Number | None] = mapped_column(ForeignKey("wearer.number", ondelete="RESTRICT"), index=True)
    offer_code: Mapped[Words]
    tax_imposed_on: Mapped[Words]
    tax_reason: Mapped[Words]
    demo_lenses: Mapped[Words | None]


class ChargeRow(Base):
    """The part of a line that a claim form counts by itself."""

    __tablename__ = "order_charge"
    __table_args__ = (
        one_of("side", Side),
        *not_negative("list_price", "net"),
        CheckConstraint("units >= 1", name="units_count"),
        flag("chosen"),
        ForeignKeyConstraint(
            ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
        ),
        STRICT,
    )

    order_number: Mapped[Key]
    line: Mapped[Key]
    position: Mapped[Key]
    description: Mapped[Words]
    side: Mapped[Words | None]
    code: Mapped[Words]
    list_price: Mapped[CentsColumn]
    reduction: Mapped[CentsColumn]
    net: Mapped[CentsColumn]
    units: Mapped[Number]
    note: Mapped[Words]
    chosen: Mapped[Flag]
    release: Mapped[Words]


class OrderWarningRow(Base):
    """A warning on an order that the owner said yes to."""

    __tablename__ = "order_warning"
    __table_args__ = (*filled("code"), STRICT)

    order_number: Mapped[Number] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    code: Mapped[Words]
    sentence: Mapped[Words]


class PaymentRow(Recorded, Base):
    """Money received on an order."""

    __tablename__ = "payment"
    __table_args__ = (
        one_of("method", Method),
        CheckConstraint("amount > 0", name="amount_positive"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    order_number: Mapped[Number] = mapped_column(ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    amount: Mapped[CentsColumn]
    method: Mapped[Words]
    reference: Mapped[Words]
    deposit_number: Mapped[Number | None] = mapped_column(ForeignKey("deposit.number", ondelete="RESTRICT"), index=True)


class RefundRow(Recorded, Base):
    """Money given back on an order."""

    __tablename__ = "refund"
    __table_args__ = (one_of("method", Method), *filled("reason"), *days("day"), STRICT)

    number: Mapped[Key]
    order_number: Mapped[Number] = mapped_column(ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    method: Mapped[Words]
    reference: Mapped[Words]
    reason: Mapped[Words]


class RefundPartRow(Base):
    """What one line gives back, and how many of its goods came back."""

    __tablename__ = "refund_part"
    __table_args__ = (
        *not_negative("net", "tax", "returned"),
        ForeignKeyConstraint(
            ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
        ),
        Index(None, "order_number", "line"),
        STRICT,
    )

    refund_number: Mapped[Number] = mapped_column(
        ForeignKey("refund.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    order_number: Mapped[Number]
    line: Mapped[Number]
    net: Mapped[CentsColumn]
    tax: Mapped[CentsColumn]
    returned: Mapped[Number]


class CancellationRow(Recorded, Base):
    """That an order was taken back before it left; it happens once."""

    __tablename__ = "cancellation"
    __table_args__ = (*filled("reason"), *days("day"), STRICT)

    order_number: Mapped[Number] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    day: Mapped[Day] = mapped_column(index=True)
    reason: Mapped[Words]


class ShipmentRow(Recorded, Base):
    """The day an order left; an order leaves once."""

    __tablename__ = "shipment"
    __table_args__ = (*filled("carrier"), *days("day"), STRICT)

    order_number: Mapped[Number] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    day: Mapped[Day] = mapped_column(index=True)
    carrier: Mapped[Words]
    tracking: Mapped[Words]


class DraftRow(Recorded, Base):
    """A drafted order: the text of an order file."""

    __tablename__ = "draft_order"
    __table_args__ = (*filled("body"), *days("day"), STRICT)

    number: Mapped[Key]
    customer_number: Mapped[Number] = mapped_column(ForeignKey("customer.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day]
    reason: Mapped[Words]
    body: Mapped[Words]


class DraftRecordingRow(Recorded, Base):
    """That a draft became an order."""

    __tablename__ = "draft_recording"
    __table_args__ = (STRICT,)

    draft_number: Mapped[Number] = mapped_column(
        ForeignKey("draft_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    order_number: Mapped[Number] = mapped_column(ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True)
