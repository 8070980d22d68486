"""Suppliers, as the ledger keeps them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.numbers import number_of
from shopledger.store.audit import Audit
from shopledger.store.folding import folded
from shopledger.store.lookups import find, pick
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class Suppliers:
    """Who sends the shop goods and bills."""

    transaction: Transaction

    def add(self, supplier: Supplier) -> Supplier:
        """Store a supplier; gives it back with its number."""
        stored = replace(supplier, number=self.transaction.next_number("supplier"))
        self.transaction.add("supplier", {"number": stored.number, **_values(stored), **self.transaction.stamp})
        return stored

    def change(self, supplier: Supplier) -> Supplier:
        """Write a supplier's new name or numbers; bills keep pointing at it."""
        number = number_of(supplier)
        if not self.transaction.change("supplier", {**_values(supplier), **self.transaction.stamp}, number=number):
            raise NumberUnknownError("supplier", number)
        Audit(self.transaction).note("changed a supplier", f"supplier {number}")
        return supplier

    def get(self, number: int) -> Supplier:
        """Give the supplier with that number."""
        row = self.transaction.row("supplier", number=number)
        if row is None:
            raise NumberUnknownError("supplier", number)
        return _supplier(row)

    def pick(self, text: str) -> Supplier:
        """Give the one supplier that a number, a name or part of a name means."""
        return _supplier(pick(self.transaction, "supplier", text, "Add one with 'shopledger supplier add'."))

    def find(self, text: str, limit: int = 20) -> tuple[Supplier, ...]:
        """Give the suppliers whose number it is or whose names contain it, by name."""
        return tuple(_supplier(row) for row in find(self.transaction, "supplier", text, limit))

    def all(self) -> tuple[Supplier, ...]:
        """Give every supplier, by name."""
        return tuple(_supplier(row) for row in self.transaction.rows("supplier", order=("folded", "number")))


def _values(supplier: Supplier) -> dict[str, object]:
    return {
        "name": supplier.name,
        "folded": folded(supplier.name),
        "account": supplier.account,
        "phone": supplier.phone,
        "email": supplier.email,
        "note": supplier.note,
    }


def _supplier(row: Row[Any]) -> Supplier:
    return Supplier(row.name, row.account, row.phone, row.email, row.note, row.number)
