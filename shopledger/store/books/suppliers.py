"""Suppliers, as the ledger keeps them."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.audit import Subject
from shopledger.ledger.books.bill_requests import UNNAMED
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.numbers import number_of
from shopledger.store.audit import Audit
from shopledger.store.folding import folded
from shopledger.store.lookups import find, pick
from shopledger.store.records import Record
from shopledger.store.tables.bills import supplier
from shopledger.store.transaction import Area

SUPPLIER: Final = Record(Supplier, supplier, also=("folded",))


class Suppliers(Area):
    """Who sends the shop goods and bills."""

    def add(self, supplier: Supplier) -> Supplier:
        """Store a supplier; gives it back with its number."""
        return self.transaction.post(SUPPLIER, supplier, folded=folded(supplier.name))

    def change(self, supplier: Supplier) -> Supplier:
        """Write a supplier's new name or numbers; bills keep pointing at it."""
        number = number_of(supplier)
        before = self.get(number)
        self.transaction.rewrite(SUPPLIER, supplier, {SUPPLIER.table.c.number: number}, folded=folded(supplier.name))
        Audit(self.transaction).changed(Subject.SUPPLIER, number, before, supplier)
        return supplier

    def get(self, number: int) -> Supplier:
        """Give the supplier with that number."""
        return self.transaction.get(SUPPLIER, number)

    def pick(self, text: str) -> Supplier:
        """Give the one supplier that a number, a name or part of a name means."""
        return pick(self.transaction, SUPPLIER, text, "Add one with 'shopledger supplier add'.", unmeant=UNNAMED)

    def find(self, text: str, limit: int = 20) -> tuple[Supplier, ...]:
        """Give the suppliers whose number it is or whose names contain it, by name."""
        return find(self.transaction, SUPPLIER, text, limit)

    def all(self) -> tuple[Supplier, ...]:
        """Give every supplier, by name."""
        return self.transaction.all(SUPPLIER, order=(supplier.c.folded, supplier.c.number))
