"""What was put right on orders: corrections, lines that gave way or were added, payments' origins and shares."""

from __future__ import annotations

from sqlalchemy import ForeignKeyConstraint, Index

from shopledger.ledger.corrections import CorrectionKind
from shopledger.optics.sides import Side
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table


class CorrectionColumns(Recorded):
    """Something put right on an order."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    day = kept.day(index=True)
    kind = kept.one_of(CorrectionKind)
    reason = kept.personal(kept.words(kept.FILLED))
    payment_number = kept.optional(kept.number(kept.to("payment.number"), index=True))
    amount = kept.cents(kept.NOT_NEGATIVE)
    fee = kept.cents(kept.NOT_NEGATIVE)
    after_payment = kept.number(kept.NOT_NEGATIVE)
    after_refund = kept.number(kept.NOT_NEGATIVE)


correction = table("correction", CorrectionColumns)


class CorrectionPartColumns(Columns):
    """What one line gives way without money, and how many of its goods are not needed or came back."""

    correction_number = kept.key(kept.to("correction.number"))
    position = kept.key()
    order_number = kept.number()
    line = kept.number()
    net = kept.cents(kept.NOT_NEGATIVE)
    tax = kept.cents(kept.NOT_NEGATIVE)
    returned = kept.number(kept.NOT_NEGATIVE)
    side = kept.optional(kept.one_of(Side))


correction_part = table(
    "correction_part",
    CorrectionPartColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
    Index(None, "order_number", "line"),
)


class AddedLineColumns(Columns):
    """That a line was added to its order by a correction; a line of the sale itself stands in no row."""

    order_number = kept.key()
    line = kept.key()
    correction_number = kept.number(kept.to("correction.number"), index=True)


added_line = table(
    "added_line",
    AddedLineColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
)


class PaymentOriginColumns(Columns):
    """In whose place a payment stands, or whose money it is; one that came in by itself stands in no row."""

    payment_number = kept.key(kept.to("payment.number"))
    moved_from = kept.optional(kept.number(kept.to("payment.number"), index=True))
    corrects = kept.optional(kept.number(kept.to("payment.number"), index=True))


payment_origin = table("payment_origin", PaymentOriginColumns, one_origin="(moved_from IS NULL) <> (corrects IS NULL)")


class RefundSideColumns(Columns):
    """The one lens of a line of two that a part of a refund is for; a part for the whole line stands in no row."""

    refund_number = kept.key()
    position = kept.key()
    side = kept.one_of(Side)


refund_part_side = table(
    "refund_part_side",
    RefundSideColumns,
    ForeignKeyConstraint(
        ["refund_number", "position"], ["refund_part.refund_number", "refund_part.position"], ondelete="RESTRICT"
    ),
)


class PaymentShareColumns(Columns):
    """What a payment on an order that was put right carries of it; one on any other order stands in no row."""

    payment_number = kept.key(kept.to("payment.number"))
    tax = kept.cents()
    sellers_tax = kept.cents()
    shipping = kept.cents()


payment_share = table("payment_share", PaymentShareColumns)


class CorrectionShareColumns(Columns):
    """By how much a correction changed what payments carry; one that changed nothing stands in no row."""

    correction_number = kept.key(kept.to("correction.number"))
    tax = kept.cents()
    sellers_tax = kept.cents()
    shipping = kept.cents()


correction_share = table("correction_share", CorrectionShareColumns)
