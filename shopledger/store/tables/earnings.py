"""What documents count of an order's lines as sold, and orders that count otherwise: put off, or owed from before."""

from __future__ import annotations

from typing import Final

from sqlalchemy import ForeignKeyConstraint, Index

from shopledger.ledger.books.documents import DocumentKind
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table

EARNING: Final = (
    *(DocumentKind.ORDER, DocumentKind.OPENING_DEBT, DocumentKind.REFUND, DocumentKind.CORRECTION),
    *(DocumentKind.PARCEL, DocumentKind.PARCEL_RETURN, DocumentKind.PUT_OFF),
)
"""The documents that count something as sold or given up; what a cancellation takes back is the opposite of these."""


class EarnedColumns(Columns):
    """What a document counts of one line as sold and as given up, or takes back below zero."""

    document_kind = kept.one_of(DocumentKind, *EARNING, primary_key=True)
    document_number = kept.key(kept.COUNTS)
    line = kept.key()
    order_number = kept.number()
    day = kept.day(index=True)
    quantity = kept.number()
    listed = kept.cents()
    net = kept.cents()
    tax = kept.cents()
    net_back = kept.cents()
    tax_back = kept.cents()


earned = table(
    "earned",
    EarnedColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
    Index(None, "order_number", "line"),
)


class PutOffColumns(Recorded):
    """That an order which counted as sold when it was recorded counts with its goods since a day."""

    order_number = kept.key(kept.to("shop_order.number"))
    day = kept.day(index=True)


put_off = table("put_off", PutOffColumns)


class OpeningDebtColumns(Recorded):
    """That an order is what its customer owed when the books began: no sale of theirs."""

    order_number = kept.key(kept.to("shop_order.number"))


opening_debt = table("opening_debt", OpeningDebtColumns)
