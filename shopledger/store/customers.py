"""Customers, their wearers, and the prescribers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Wearer
from shopledger.store.addresses import address_of, address_values
from shopledger.store.audit import Audit
from shopledger.store.folding import folded
from shopledger.store.lookups import find, pick
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class Customers:
    """The people of the ledger."""

    transaction: Transaction

    def add(self, customer: Customer) -> Customer:
        """Store a customer; gives it back with its number."""
        stored = replace(customer, number=self.transaction.next_number("customer"))
        self.transaction.add(
            "customer", {"number": stored.number, **_customer_values(stored), **self.transaction.stamp}
        )
        return stored

    def change(self, customer: Customer) -> Customer:
        """Write a customer's new name or address; orders and papers keep what they said."""
        number = number_of(customer)
        values = {**_customer_values(customer), **self.transaction.stamp}
        if not self.transaction.change("customer", values, number=number):
            raise NumberUnknownError("customer", number)
        Audit(self.transaction).note("changed a customer", f"customer {number}")
        return customer

    def get(self, number: int) -> Customer:
        """Give the customer with that number."""
        return _customer(self._numbered("customer", number))

    def pick(self, text: str) -> Customer:
        """Give the one customer that a number, a name or part of a name means."""
        hint = "Look with 'shopledger customer find', or add one with 'shopledger customer add'."
        return _customer(pick(self.transaction, "customer", text, hint))

    def find(self, text: str, limit: int = 20) -> tuple[Customer, ...]:
        """Give the customers whose number it is or whose names contain it, by name."""
        return tuple(_customer(row) for row in find(self.transaction, "customer", text, limit))

    def add_wearer(self, wearer: Wearer) -> Wearer:
        """Store a wearer of a customer's; gives it back with its number."""
        stored = replace(wearer, number=self.transaction.next_number("wearer"))
        self.transaction.add("wearer", {"number": stored.number, **_wearer_values(stored), **self.transaction.stamp})
        return stored

    def change_wearer(self, wearer: Wearer) -> Wearer:
        """Write what is new about a wearer; orders and papers keep what they said."""
        number = number_of(wearer)
        values = {**_wearer_values(wearer), **self.transaction.stamp}
        if not self.transaction.change("wearer", values, number=number):
            raise NumberUnknownError("wearer", number)
        Audit(self.transaction).note("changed a wearer", f"wearer {number}")
        return wearer

    def wearer(self, number: int) -> Wearer:
        """Give the wearer with that number."""
        return _wearer(self._numbered("wearer", number))

    def wearers(self, customer_number: int) -> tuple[Wearer, ...]:
        """Give a customer's wearers in the order in which they were added."""
        rows = self.transaction.rows("wearer", {"customer_number": customer_number}, order=("number",))
        return tuple(_wearer(row) for row in rows)

    def pick_wearer(self, customer_number: int, text: str) -> Wearer:
        """Give the one wearer of this customer that a number or name means."""
        hint = "Add one with 'shopledger wearer add'."
        return _wearer(pick(self.transaction, "wearer", text, hint, customer_number=customer_number))

    def add_prescriber(self, prescriber: Prescriber) -> Prescriber:
        """Store a prescriber; gives it back with its number."""
        stored = replace(prescriber, number=self.transaction.next_number("prescriber"))
        values = {"name": stored.name, "folded": folded(stored.name), "phone": stored.phone, "npi": stored.npi}
        self.transaction.add("prescriber", {"number": stored.number, **values, **self.transaction.stamp})
        return stored

    def prescriber(self, number: int) -> Prescriber:
        """Give the prescriber with that number."""
        return _prescriber(self._numbered("prescriber", number))

    def pick_prescriber(self, text: str) -> Prescriber:
        """Give the one prescriber that a number or name means."""
        hint = "Add one with 'shopledger prescriber add'."
        return _prescriber(pick(self.transaction, "prescriber", text, hint))

    def prescribers(self) -> tuple[Prescriber, ...]:
        """Give all prescribers by name."""
        return tuple(_prescriber(row) for row in self.transaction.rows("prescriber", order=("folded", "number")))

    def _numbered(self, kind: str, number: int) -> Row[Any]:
        row = self.transaction.row(kind, number=number)
        if row is None:
            raise NumberUnknownError(kind, number)
        return row


def _customer_values(customer: Customer) -> dict[str, object]:
    return {
        "name": customer.name,
        "folded": folded(customer.name),
        **address_values(customer.address),
        "phone": customer.phone,
        "email": customer.email,
        "printed_name": customer.printed_name,
    }


def _customer(row: Row[Any]) -> Customer:
    return Customer(row.name, address_of(row), row.phone, row.email, row.number, row.printed_name)


def _wearer_values(wearer: Wearer) -> dict[str, object]:
    return {
        "customer_number": wearer.customer_number,
        "name": wearer.name,
        "folded": folded(wearer.name),
        "relationship": wearer.relationship.value,
        "birth_date": day_text(wearer.birth_date),
        "member_id": wearer.member_id,
        "printed_name": wearer.printed_name,
        "claim_within_days": wearer.claim_within_days,
    }


def _wearer(row: Row[Any]) -> Wearer:
    return Wearer(
        row.name,
        row.customer_number,
        Relationship(row.relationship),
        read_day(row.birth_date),
        row.member_id,
        row.number,
        row.printed_name,
        row.claim_within_days,
    )


def _prescriber(row: Row[Any]) -> Prescriber:
    return Prescriber(row.name, row.phone, row.npi, row.number)
