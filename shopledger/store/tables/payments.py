"""What happens to an order: payments, refunds and cancellations; and drafts that become orders."""

from __future__ import annotations

from sqlalchemy import ForeignKeyConstraint, Index

from shopledger.ledger.orders import Method
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table


class PaymentColumns(Recorded):
    """Money received on an order."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    day = kept.day(index=True)
    amount = kept.cents(kept.POSITIVE)
    method = kept.one_of(Method)
    reference = kept.words()
    deposit_number = kept.optional(kept.number(kept.to("deposit.number"), index=True))


payment = table("payment", PaymentColumns)


class RefundColumns(Recorded):
    """Money given back on an order."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    day = kept.day(index=True)
    method = kept.one_of(Method)
    reference = kept.words()
    reason = kept.personal(kept.words(kept.FILLED))


refund = table("refund", RefundColumns)


class RefundPartColumns(Columns):
    """What one line gives back, and how many of its goods came back."""

    refund_number = kept.key(kept.to("refund.number"))
    position = kept.key()
    order_number = kept.number()
    line = kept.number()
    net = kept.cents(kept.NOT_NEGATIVE)
    tax = kept.cents(kept.NOT_NEGATIVE)
    returned = kept.number(kept.NOT_NEGATIVE)


refund_part = table(
    "refund_part",
    RefundPartColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
    Index(None, "order_number", "line"),
)


class CancellationColumns(Recorded):
    """That an order was taken back before it left; it happens once."""

    order_number = kept.key(kept.to("shop_order.number"))
    day = kept.day(index=True)
    reason = kept.personal(kept.words(kept.FILLED))


cancellation = table("cancellation", CancellationColumns)


class DraftColumns(Recorded):
    """A drafted order: the text of an order file."""

    number = kept.key()
    customer_number = kept.number(kept.to("customer.number"), index=True)
    day = kept.day()
    reason = kept.personal(kept.words())
    body = kept.personal(kept.words(kept.FILLED))


draft_order = table("draft_order", DraftColumns)


class DraftRecordingColumns(Recorded):
    """That a draft became an order."""

    draft_number = kept.key(kept.to("draft_order.number"))
    order_number = kept.number(kept.to("shop_order.number"), index=True)


draft_recording = table("draft_recording", DraftRecordingColumns)
