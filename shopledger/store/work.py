"""Everything that can be read and written in one transaction, each area made when it is first asked for."""

# ruff: noqa: PLC0415 - an area's module, and what it brings with it, is imported by the command that needs it

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.store.transaction import Transaction

if TYPE_CHECKING:
    from shopledger.store.audit import Audit
    from shopledger.store.books.balances import Balances
    from shopledger.store.books.bills import Bills
    from shopledger.store.books.closing_checks import ClosingChecks
    from shopledger.store.books.deposits import Deposits
    from shopledger.store.books.job_costs import JobCostBook
    from shopledger.store.books.journal import Journal
    from shopledger.store.books.money_moves import MoneyMoves
    from shopledger.store.books.periods import Periods
    from shopledger.store.books.proofs import Proofs
    from shopledger.store.books.reports import Reports
    from shopledger.store.books.spending import Expenses
    from shopledger.store.books.stock import Stock
    from shopledger.store.books.suppliers import Suppliers
    from shopledger.store.books.taking_back import TakenBack
    from shopledger.store.books.tax_returns import TaxReturns
    from shopledger.store.catalogue import CatalogueShelf
    from shopledger.store.customers import Customers
    from shopledger.store.drafts import Drafts
    from shopledger.store.inspections import Inspections
    from shopledger.store.jobs import Jobs
    from shopledger.store.kept_files import KeptFiles
    from shopledger.store.lens_orders import LensOrders
    from shopledger.store.orders import Orders
    from shopledger.store.payments import Cancellations, Payments, Refunds, Shipments
    from shopledger.store.prescriptions import Prescriptions
    from shopledger.store.receipts import Receipts
    from shopledger.store.shop import ShopDesk
    from shopledger.store.traces import Traces


class Work:
    """One transaction's view of the ledger, area by area."""

    def __init__(self, transaction: Transaction, kept: Path) -> None:
        self._transaction = transaction
        self._kept = kept

    @cached_property
    def shop(self) -> ShopDesk:
        """The shop's profile and settings."""
        from shopledger.store.shop import ShopDesk

        return ShopDesk(self._transaction)

    @cached_property
    def customers(self) -> Customers:
        """Customers, wearers and prescribers."""
        from shopledger.store.customers import Customers

        return Customers(self._transaction)

    @cached_property
    def prescriptions(self) -> Prescriptions:
        """Prescriptions as written."""
        from shopledger.store.prescriptions import Prescriptions

        return Prescriptions(self._transaction)

    @cached_property
    def catalogue(self) -> CatalogueShelf:
        """What the shop sells, and on what terms."""
        from shopledger.store.catalogue import CatalogueShelf

        return CatalogueShelf(self._transaction)

    @cached_property
    def traces(self) -> Traces:
        """Traced shapes."""
        from shopledger.store.traces import Traces

        return Traces(self._transaction)

    @cached_property
    def orders(self) -> Orders:
        """Posted orders."""
        from shopledger.store.orders import Orders

        return Orders(self._transaction)

    @cached_property
    def payments(self) -> Payments:
        """Payments on orders."""
        from shopledger.store.payments import Payments

        return Payments(self._transaction)

    @cached_property
    def shipments(self) -> Shipments:
        """Shipments of orders."""
        from shopledger.store.payments import Shipments

        return Shipments(self._transaction)

    @cached_property
    def refunds(self) -> Refunds:
        """Refunds on orders."""
        from shopledger.store.payments import Refunds

        return Refunds(self._transaction)

    @cached_property
    def cancellations(self) -> Cancellations:
        """Orders that were taken back."""
        from shopledger.store.payments import Cancellations

        return Cancellations(self._transaction)

    @cached_property
    def receipts(self) -> Receipts:
        """Receipts as issued."""
        from shopledger.store.receipts import Receipts

        return Receipts(self._transaction)

    @cached_property
    def drafts(self) -> Drafts:
        """Drafted orders."""
        from shopledger.store.drafts import Drafts

        return Drafts(self._transaction)

    @cached_property
    def inspections(self) -> Inspections:
        """What happened to jobs at the bench."""
        from shopledger.store.inspections import Inspections

        return Inspections(self._transaction)

    @cached_property
    def stock(self) -> Stock:
        """Stock movements and counts."""
        from shopledger.store.books.stock import Stock

        return Stock(self._transaction)

    @cached_property
    def jobs(self) -> Jobs:
        """Pairs as jobs at the bench."""
        from shopledger.store.jobs import Jobs

        return Jobs(self._transaction)

    @cached_property
    def journal(self) -> Journal:
        """The books."""
        from shopledger.store.books.journal import Journal

        return Journal(self._transaction)

    @cached_property
    def audit(self) -> Audit:
        """Who looked at or changed what."""
        from shopledger.store.audit import Audit

        return Audit(self._transaction)

    @cached_property
    def suppliers(self) -> Suppliers:
        """Who sends goods and bills."""
        from shopledger.store.books.suppliers import Suppliers

        return Suppliers(self._transaction)

    @cached_property
    def lens_orders(self) -> LensOrders:
        """Lenses ordered for jobs, and their arrival."""
        from shopledger.store.lens_orders import LensOrders

        return LensOrders(self._transaction)

    @cached_property
    def kept_files(self) -> KeptFiles:
        """Files kept as proof beside the ledger."""
        from shopledger.store.kept_files import KeptFiles

        return KeptFiles(self._transaction, self._kept)

    @cached_property
    def bills(self) -> Bills:
        """Suppliers' bills and what was paid on them."""
        from shopledger.store.books.bills import Bills

        return Bills(self._transaction)

    @cached_property
    def job_costs(self) -> JobCostBook:
        """What jobs cost."""
        from shopledger.store.books.job_costs import JobCostBook

        return JobCostBook(self._transaction)

    @cached_property
    def reports(self) -> Reports:
        """The figures and rows of any period."""
        from shopledger.store.books.reports import Reports

        return Reports(self._transaction)

    @cached_property
    def periods(self) -> Periods:
        """Months, open and closed."""
        from shopledger.store.books.periods import Periods

        return Periods(self._transaction)

    @cached_property
    def expenses(self) -> Expenses:
        """What was spent and paid at once."""
        from shopledger.store.books.spending import Expenses

        return Expenses(self._transaction)

    @cached_property
    def money_moves(self) -> MoneyMoves:
        """Money that moved without a sale or a bill."""
        from shopledger.store.books.money_moves import MoneyMoves

        return MoneyMoves(self._transaction)

    @cached_property
    def deposits(self) -> Deposits:
        """Money of customers that waits for an order."""
        from shopledger.store.books.deposits import Deposits

        return Deposits(self._transaction)

    @cached_property
    def taken_back(self) -> TakenBack:
        """The owner's own documents that were mistakes."""
        from shopledger.store.books.taking_back import TakenBack

        return TakenBack(self._transaction)

    @cached_property
    def balances(self) -> Balances:
        """What lies in each account."""
        from shopledger.store.books.balances import Balances

        return Balances(self._transaction)

    @cached_property
    def proofs(self) -> Proofs:
        """The checks that prove the books."""
        from shopledger.store.books.proofs import Proofs

        return Proofs(self._transaction)

    @cached_property
    def closing_checks(self) -> ClosingChecks:
        """What is loose in a month."""
        from shopledger.store.books.closing_checks import ClosingChecks

        return ClosingChecks(self._transaction)

    @cached_property
    def tax_returns(self) -> TaxReturns:
        """Sales tax by state over any days."""
        from shopledger.store.books.tax_returns import TaxReturns

        return TaxReturns(self._transaction)
