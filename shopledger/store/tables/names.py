"""Names that changed, and from which day on: the older ones are found here, the newest in the record itself."""

from __future__ import annotations

from sqlalchemy import Index

from shopledger.ledger.names import Named
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class NameChangeColumns(Recorded):
    """That something is called otherwise from a day on."""

    number = kept.key()
    kind = kept.one_of(Named)
    day = kept.day()
    before = kept.personal(kept.words(kept.FILLED))
    name = kept.personal(kept.words(kept.FILLED))
    customer_number = kept.optional(kept.number(kept.to("customer.number"), index=True))
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))
    supplier_number = kept.optional(kept.number(kept.to("supplier.number"), index=True))
    item_code = kept.words()


name_change = table("name_change", NameChangeColumns, Index(None, "kind", "item_code"))
