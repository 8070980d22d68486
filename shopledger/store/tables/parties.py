"""Customers, wearers and prescribers. `folded` is the name as it is searched: without accents and capitals."""

from __future__ import annotations

from shopledger.ledger.joins import JoinDeed
from shopledger.ledger.parties import Relationship
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class CustomerColumns(Recorded):
    """Who orders and pays."""

    number = kept.key()
    name = kept.personal(kept.words(kept.FILLED))
    folded = kept.personal(kept.words(index=True))
    street = kept.personal(kept.words(), kept.Blank.MARK)
    second_line = kept.personal(kept.words())
    city = kept.personal(kept.words(), kept.Blank.MARK)
    state = kept.words()
    postcode = kept.personal(kept.words(), kept.Blank.AREA)
    phone = kept.personal(kept.words())
    email = kept.personal(kept.words())
    printed_name = kept.personal(kept.words())
    erased_on = kept.optional(kept.day())


customer = table("customer", CustomerColumns)


class JoinColumns(Recorded):
    """That a customer was joined to another who leads, or parted again."""

    number = kept.key()
    day = kept.day()
    deed = kept.one_of(JoinDeed)
    customer_number = kept.number(kept.to("customer.number"), index=True)
    into_number = kept.number(kept.to("customer.number"), index=True)
    reason = kept.words(kept.FILLED)


customer_join = table("customer_join", JoinColumns, not_itself="customer_number <> into_number")


class WearerColumns(Recorded):
    """Whose eyes the glasses are for."""

    number = kept.key()
    customer_number = kept.number(kept.to("customer.number"), index=True)
    name = kept.personal(kept.words(kept.FILLED))
    folded = kept.personal(kept.words(index=True))
    relationship = kept.personal(kept.one_of(Relationship), Relationship.OTHER)
    birth_date = kept.personal(kept.optional(kept.day()))
    member_id = kept.personal(kept.words())
    printed_name = kept.personal(kept.words())
    claim_within_days = kept.personal(kept.optional(kept.number(kept.between(1, 3650))))
    erased_on = kept.optional(kept.day())


wearer = table("wearer", WearerColumns)


class WearerMoveColumns(Recorded):
    """That a wearer became a customer."""

    number = kept.key()
    day = kept.day()
    wearer_number = kept.number(kept.to("wearer.number"), index=True)
    from_customer = kept.number(kept.to("customer.number"), index=True)
    to_customer = kept.number(kept.to("customer.number"), index=True)


wearer_move = table("wearer_move", WearerMoveColumns)


class PrescriberColumns(Recorded):
    """Who wrote the prescription."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    phone = kept.words()
    npi = kept.words()


prescriber = table("prescriber", PrescriberColumns)
