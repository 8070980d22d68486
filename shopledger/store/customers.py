"""Customers, their wearers, and the prescribers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final, TypeVar

from shopledger.errors import UnknownNameError
from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Address, Customer, Prescriber, Wearer, WearerMove
from shopledger.ledger.twice import phone_digits
from shopledger.store.audit import Audit
from shopledger.store.folding import folded
from shopledger.store.lookups import find, pick
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import AmbiguousError
from shopledger.store.tables import parties as tables
from shopledger.store.transaction import Area

if TYPE_CHECKING:
    from shopledger.ledger.orders import Order
    from shopledger.store.joins import Joins

CUSTOMER: Final = Record(Customer, tables.customer, {"address": Fields(Address, tables.customer)}, also=("folded",))
WEARER: Final = Record(Wearer, tables.wearer, also=("folded",))
MOVE: Final = Record(WearerMove, tables.wearer_move, counter="wearer move")
PRESCRIBER: Final = Record(Prescriber, tables.prescriber, also=("folded",))


_AREA: Final = 5
"""How many digits of a ZIP code name the place; what follows names the street."""
_NAMED: Final = 5
"""How many who are alike are named at most: more have nothing but a number in common that is nobody's own."""


def digits_in(column: str) -> str:
    """Give the digits of a phone number in SQL, without the 1 that names the country before ten others."""
    bare = column
    for mark in " -()./+":
        bare = f"replace({bare}, '{mark}', '')"
    return f"CASE WHEN length({bare}) = 11 AND {bare} LIKE '1%' THEN substr({bare}, 2) ELSE {bare} END"


_ALIKE: Final = f"""
SELECT number FROM customer WHERE erased_on IS NULL AND (
    (folded = :folded AND substr(postcode, 1, {_AREA}) = :postcode)
    OR (:phone <> '' AND phone LIKE :ending AND {digits_in("phone")} = :phone)
    OR (:email <> '' AND lower(email) = :email))
ORDER BY number LIMIT {_NAMED}
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
        joined = self.joins.all()
        try:
            own = number_of(self.pick_itself(text))
        except AmbiguousError as several:
            leading = {joined.leading(number) for number, _ in several.found}
            if len(leading) > 1:
                raise
            (own,) = leading
        found = self.get(joined.leading(own))
        return found if erased_too else _standing(found, "customer")

    def pick_itself(self, text: str) -> Customer:
        """Give the customer that a number or a name means, also one who was joined to another since."""
        hint = "Look with 'shopledger customer find', or add one with 'shopledger customer add'."
        return pick(self.transaction, CUSTOMER, text, hint)

    @property
    def joins(self) -> Joins:
        """Which customers are one."""
        from shopledger.store.joins import Joins  # noqa: PLC0415 - most that could ask know the customer

        return Joins(self.transaction)

    def find(self, text: str, limit: int = 20) -> tuple[Customer, ...]:
        """Give the customers whose number it is or whose names contain it, by name; for a joined one who leads."""
        found, joined = find(self.transaction, CUSTOMER, text, limit), self.joins.all()
        leading = dict.fromkeys(joined.leading(number_of(each)) for each in found)
        known = {number_of(each): each for each in found}
        return tuple(known.get(number) or self.get(number) for number in leading)

    def alike(self, customer: Customer) -> tuple[Customer, ...]:
        """Give those who have the phone number, the mail address, or the name and ZIP code of a customer to be."""
        columns = tables.customer.c
        own = {
            "folded": folded(customer.name),
            "postcode": customer.address.postcode[:_AREA],
            "phone": phone_digits(customer.phone),
            # However a phone is written, its last four digits stand together; few others end with them.
            "ending": f"%{phone_digits(customer.phone)[-4:]}",
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

    def add_move(self, move: WearerMove) -> WearerMove:
        """Store that a wearer became a customer."""
        return self.transaction.post(MOVE, move)

    def moved_to(self, customer_number: int) -> tuple[WearerMove, ...]:
        """Give the wearers who had been another customer's before."""
        move = tables.wearer_move.c
        return self.transaction.all(MOVE, {move.to_customer: customer_number}, (move.number,))

    def pick_of_order(self, order: Order, text: str) -> Wearer:
        """Give the one wearer that a number or name means, of an order's customer or on the order itself.

        Somebody on it may have become a customer since.
        """
        try:
            return self.pick_wearer(order.customer_number, text)
        except UnknownNameError:
            number = tables.wearer.c.number
            found = {number: sorted(order.wearer_numbers)}
            return _standing(pick(self.transaction, WEARER, text, "", found), "wearer")

    def wearer(self, number: int) -> Wearer:
        """Give the wearer with that number."""
        return self.transaction.get(WEARER, number)

    def many_wearers(self, numbers: Iterable[int]) -> Mapping[int, Wearer]:
        """Give the wearers with these numbers, each under its number."""
        return self.transaction.many(WEARER, numbers)

    def wearers(self, customer_number: int) -> tuple[Wearer, ...]:
        """Give a customer's wearers in the order in which they were added, those of joined numbers among them."""
        wearer, group = tables.wearer.c, self.joins.group(customer_number)
        return self.transaction.all(WEARER, {wearer.customer_number: group}, (wearer.number,))

    def pick_wearer(self, customer_number: int, text: str, *, erased_too: bool = False) -> Wearer:
        """Give the one wearer of this customer that a number or name means; one that was erased only if asked so."""
        hint, whose = "Add one with 'shopledger wearer add'.", tables.wearer.c.customer_number
        try:
            found = pick(self.transaction, WEARER, text, hint, {whose: customer_number})
        except UnknownNameError:
            # The same person may be a wearer of each joined number: whoever leads comes first.
            group = self.joins.group(customer_number)
            if group == [customer_number]:
                raise
            found = pick(self.transaction, WEARER, text, hint, {whose: group})
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
