"""Lenses ordered for a job from an outside laboratory or supplier, and their arrival."""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class LensOrderColumns(Recorded):
    """One order of lenses, its content frozen with its hash; one that `follows` another asks for lenses made again."""

    number = kept.key()
    job_number = kept.number(kept.to("order_pair.job_number"), index=True)
    supplier_number = kept.number(kept.to("supplier.number"), index=True)
    day = kept.day()
    expected_on = kept.optional(kept.day())
    follows = kept.optional(kept.number(kept.to("lens_order.number")))
    note = kept.personal(kept.words())
    body = kept.personal(kept.words(kept.FILLED), kept.Blank.TOMBSTONE)
    sha256 = kept.personal(kept.words(kept.SHA256), kept.Blank.HASH)


lens_order = table("lens_order", LensOrderColumns)


class LensArrivalColumns(Recorded):
    """The day the lenses of an order arrived; they arrive once."""

    lens_order_number = kept.key(kept.to("lens_order.number"))
    day = kept.day()
    note = kept.personal(kept.words())


lens_arrival = table("lens_arrival", LensArrivalColumns)
