"""Suppliers: adding them, changing what is known of them, and what is owed to each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.numbers import number_of

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.ledger.books.bills import BillAccount
    from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class SupplierCard:
    """A supplier with the bills that are open, newest first."""

    supplier: Supplier
    open_bills: tuple[BillAccount, ...]

    @property
    def owed(self) -> Cents:
        """What is owed to the supplier; below nought the supplier owes the shop."""
        return sum(account.balance for account in self.open_bills)


def add_supplier(desk: Desk, supplier: Supplier) -> Supplier:
    """Add a supplier."""
    with desk.writing() as work:
        return work.suppliers.add(supplier)


def change_supplier(desk: Desk, who: str, change: Callable[[Supplier], Supplier]) -> Supplier:
    """Write what is new about a supplier; bills keep pointing at it."""
    with desk.writing() as work:
        found = work.suppliers.pick(who)
        return work.suppliers.change(replace(change(found), number=found.number))


def suppliers(desk: Desk) -> tuple[Supplier, ...]:
    """Give all suppliers, by name."""
    with desk.reading() as work:
        return work.suppliers.all()


def supplier_card(desk: Desk, who: str) -> SupplierCard:
    """Give one supplier with the bills that are open."""
    with desk.reading() as work:
        found = work.suppliers.pick(who)
        bills = work.bills.accounts(number_of(found))
        return SupplierCard(found, tuple(account for account in bills if account.balance))
