"""Customers, their wearers, and the prescribers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, TypeVar

from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Address, Customer, Prescriber, Wearer
from shopledger.ledger.twice import phone_digits
from shopledger.store.audit import Audit
from shopledger.store.lookups import find, folded, pick
from shopledger.store.records import Fields, Record
from shopledger.store.tables import parties as tables
from shopledger.store.transaction import Area

CUSTOMER: Final = Record(Customer, tables.customer, {"address": Fields(Address, tables.customer)}, also=("folded",))
WEARER: Final = Record(Wearer, tables.wearer, also=("folded",))
PRESCRIBER: Final = Record(Prescriber, tables.prescriber, also=("folded",))


_AREA: Final = 5
"""How many digits of a ZIP code name the place; what follows names the street."""


def _digits(column: str) -> str:
    """Give the digits of a phone number in SQL, without the 1 that names the country before ten others."""
    bare = column
    for mark in " -()./+":
        bare = f"replace({bare}, '{mark}', '')"
    return f"CASE WHEN length({bare}) = 11 AND {bare} LIKE '1%' THEN substr({bare}, 2) ELSE {bare} END"


_ALIKE: Final = f"""
SELECT number FROM customer WHERE erased_on IS NULL AND (
    (folded = :folded AND substr(postcode, 1, {_AREA}) = :postcode)
    OR (:phone <> '' AND phone <> '' AND {_digits("phone")} = :phone)
    OR (:email <> '' AND lower(email) = :email))
ORDER BY number
"""  # noqa: S608 - the words above

Person = TypeVar("Person", Customer, Wearer)


class Customers(Area):
    """The people of the ledger."""

    def add(self, customer: Customer) -> Customer:
        """Store a customer; gives it back with its number."""
        return self.transaction.post(CUSTOMER, customer, folded=folded(customer.name))

    def change(self, customer: Customer) -> Customer:
        """Write a customer's new name or address; orders and papers keep what they said."""
        from shopledger.ledger.audit import Subject  # noqa: PLC0415 - most who ask only read

        number = number_of(customer)
        before = self.get(number)
        self.transaction.rewrite(CUSTOMER, customer, {tables.customer.c.number: number}, folded=folded(customer.name))
        Audit(self.transaction).changed(Subject.CUSTOMER, number, before, customer, customer=number)
        return customer

    def get(self, number: int) -> Customer:
        """Give the customer with that number."""
        return self.transaction.get(CUSTOMER, number)

    def many(self, numbers: Iterable[int]) -> Mapping[int, Customer]:
        """Give the customers with these numbers, each under its number."""
        return self.transaction.many(CUSTOMER, numbers)

    def pick(self, text: str, *, erased_too: bool = False) -> Customer:
        """Give the one customer that a number, a name or part of a name means; one that was erased only if asked so."""
        hint = "Look with 'shopledger customer find', or add one with 'shopledger customer add'."
        found = pick(self.transaction, CUSTOMER, text, hint)
        return found if erased_too else _standing(found, "customer")

    def find(self, text: str, limit: int = 20) -> tuple[Customer, ...]:
        """Give the customers whose number it is or whose names contain it, by name."""
        return find(self.transaction, CUSTOMER, text, limit)

    def alike(self, customer: Customer) -> tuple[Customer, ...]:
        """Give those who have the phone number, the mail address, or the name and ZIP code of a customer to be."""
        columns = tables.customer.c
        own = {
            "folded": folded(customer.name),
            "postcode": customer.address.postcode[:_AREA],
            "phone": phone_digits(customer.phone),
            "email": customer.email.lower(),
        }
        numbers = [int(row.number) for row in self.transaction.asked(_ALIKE, **own)]
        return self.transaction.all(CUSTOMER, {columns.number: numbers}, (columns.number,)) if numbers else ()

    def add_wearer(self, wearer: Wearer) -> Wearer:
        """Store a wearer of a customer's; gives it back with its number."""
        return self.transaction.post(WEARER, wearer, folded=folded(wearer.name))

    def change_wearer(self, wearer: Wearer) -> Wearer:
        """Write what is new about a wearer; orders and papers keep what they said."""
        from shopledger.ledger.audit import Subject  # noqa: PLC0415 - as above

        number = number_of(wearer)
        before = self.wearer(number)
        self.transaction.rewrite(WEARER, wearer, {tables.wearer.c.number: number}, folded=folded(wearer.name))
        Audit(self.transaction).changed(Subject.WEARER, number, before, wearer, wearer=number)
        return wearer

    def wearer(self, number: int) -> Wearer:
        """Give the wearer with that number."""
        return self.transaction.get(WEARER, number)

    def many_wearers(self, numbers: Iterable[int]) -> Mapping[int, Wearer]:
        """Give the wearers with these numbers, each under its number."""
        return self.transaction.many(WEARER, numbers)

    def wearers(self, customer_number: int) -> tuple[Wearer, ...]:
        """Give a customer's wearers in the order in which they were added."""
        wearer = tables.wearer.c
        return self.transaction.all(WEARER, {wearer.customer_number: customer_number}, (wearer.number,))

    def pick_wearer(self, customer_number: int, text: str, *, erased_too: bool = False) -> Wearer:
        """Give the one wearer of this customer that a number or name means; one that was erased only if asked so."""
        hint = "Add one with 'shopledger wearer add'."
        found = pick(self.transaction, WEARER, text, hint, {tables.wearer.c.customer_number: customer_number})
        return found if erased_too else _standing(found, "wearer")

    def add_prescriber(self, prescriber: Prescriber) -> Prescriber:
        """Store a prescriber; gives it back with its number."""
        return self.transaction.post(PRESCRIBER, prescriber, folded=folded(prescriber.name))

    def prescriber(self, number: int) -> Prescriber:
        """Give the prescriber with that number."""
        return self.transaction.get(PRESCRIBER, number)

    def pick_prescriber(self, text: str) -> Prescriber:
        """Give the one prescriber that a number or name means."""
        return pick(self.transaction, PRESCRIBER, text, "Add one with 'shopledger prescriber add'.")

    def prescribers(self) -> tuple[Prescriber, ...]:
        """Give all prescribers by name."""
        prescriber = tables.prescriber.c
        return self.transaction.all(PRESCRIBER, order=(prescriber.folded, prescriber.number))


def _standing(person: Person, kind: str) -> Person:
    """Give somebody to deal with, or refuse one whose data was erased."""
    if person.erased_on is not None:
        from shopledger.ledger.erasing import PersonErasedError  # noqa: PLC0415 - as above

        raise PersonErasedError(f"{kind} {person.number}", person.erased_on.isoformat())
    return person
