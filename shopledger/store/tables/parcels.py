"""Parcels with what lies in each, those that came back, and where an order goes instead."""

from __future__ import annotations

from sqlalchemy import ForeignKeyConstraint, Index

from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table


class ParcelColumns(Recorded):
    """What left on one day to one address; what came back is sent again once."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    day = kept.day(index=True)
    street = kept.personal(kept.words(), kept.Blank.MARK)
    second_line = kept.personal(kept.words())
    city = kept.personal(kept.words(), kept.Blank.MARK)
    state = kept.words()
    postcode = kept.personal(kept.words(), kept.Blank.AREA)
    carrier = kept.words(kept.FILLED)
    tracking = kept.personal(kept.words())
    again_of = kept.optional(kept.number(kept.to("parcel.number"), unique=True))


parcel = table("parcel", ParcelColumns)


class ParcelItemColumns(Columns):
    """A job in a parcel, or some goods of a line."""

    parcel_number = kept.key(kept.to("parcel.number"))
    position = kept.key()
    order_number = kept.number()
    job_number = kept.optional(kept.number(kept.to("order_pair.job_number"), index=True))
    line = kept.optional(kept.number())
    quantity = kept.number(kept.COUNTS)


parcel_item = table(
    "parcel_item",
    ParcelItemColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
    Index(None, "order_number", "line"),
    job_or_line="(job_number IS NULL) <> (line IS NULL)",
)


class ParcelReturnColumns(Recorded):
    """That a parcel came back; it happens once."""

    parcel_number = kept.key(kept.to("parcel.number"))
    day = kept.day(index=True)
    reason = kept.personal(kept.words(kept.FILLED))


parcel_return = table("parcel_return", ParcelReturnColumns)


class OrderAddressColumns(Recorded):
    """Where what has not left of an order goes from a day on."""

    number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"), index=True)
    day = kept.day()
    street = kept.personal(kept.words(), kept.Blank.MARK)
    second_line = kept.personal(kept.words())
    city = kept.personal(kept.words(), kept.Blank.MARK)
    state = kept.words()
    postcode = kept.personal(kept.words(), kept.Blank.AREA)
    reason = kept.personal(kept.words())


order_address = table("order_address", OrderAddressColumns)
