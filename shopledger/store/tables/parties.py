"""Customers, wearers and prescribers. `folded` is the name as it is searched: without accents and capitals."""

from __future__ import annotations

from shopledger.ledger.parties import Relationship
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class CustomerColumns(Recorded):
    """Who orders and pays."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    street = kept.words()
    second_line = kept.words()
    city = kept.words()
    state = kept.words()
    postcode = kept.words()
    phone = kept.words()
    email = kept.words()
    printed_name = kept.words()


customer = table("customer", CustomerColumns)


class WearerColumns(Recorded):
    """Whose eyes the glasses are for."""

    number = kept.key()
    customer_number = kept.number(kept.to("customer.number"), index=True)
    name = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    relationship = kept.one_of(Relationship)
    birth_date = kept.optional(kept.day())
    member_id = kept.words()
    printed_name = kept.words()
    claim_within_days = kept.optional(kept.number(kept.between(1, 3650)))


wearer = table("wearer", WearerColumns)


class PrescriberColumns(Recorded):
    """Who wrote the prescription."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    phone = kept.words()
    npi = kept.words()


prescriber = table("prescriber", PrescriberColumns)
