"""Everything that can be read and written in one transaction, each area made when it is first asked for."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Generic, TypeVar

from shopledger.store.transaction import Transaction

if TYPE_CHECKING:
    from shopledger.store.audit import Audit
    from shopledger.store.audit_trail import AuditTrail
    from shopledger.store.backups.records import Backups
    from shopledger.store.books.adjustments import Adjustments
    from shopledger.store.books.balances import Balances
    from shopledger.store.books.bank import Bank
    from shopledger.store.books.bills import Bills
    from shopledger.store.books.closing_checks import ClosingChecks
    from shopledger.store.books.deposits import Deposits
    from shopledger.store.books.disposals import Disposals
    from shopledger.store.books.job_costs import JobCostBook
    from shopledger.store.books.journal import Journal
    from shopledger.store.books.periods import Periods
    from shopledger.store.books.processor import Processors
    from shopledger.store.books.proofs import Proofs
    from shopledger.store.books.reports import Reports
    from shopledger.store.books.spending import Expenses, MoneyMoves
    from shopledger.store.books.stock import Stock
    from shopledger.store.books.suppliers import Suppliers
    from shopledger.store.books.tax_returns import TaxReturns
    from shopledger.store.books.voiding import Voidings
    from shopledger.store.catalogue import CatalogueShelf
    from shopledger.store.corrections import Corrections, PaidShares
    from shopledger.store.customers import Customers
    from shopledger.store.earnings import Earnings
    from shopledger.store.erasures import Erasures
    from shopledger.store.finding import Finding
    from shopledger.store.forms import Forms
    from shopledger.store.inspections import Inspections
    from shopledger.store.jobs import Jobs
    from shopledger.store.joins import Joins
    from shopledger.store.kept_files import KeptFiles
    from shopledger.store.lens_orders import LensOrders
    from shopledger.store.logins import Logins
    from shopledger.store.names import Names
    from shopledger.store.nexus import NexusLimits
    from shopledger.store.orders import Drafts, Orders
    from shopledger.store.parcels import Parcels
    from shopledger.store.payments import Cancellations, Payments, Refunds
    from shopledger.store.prescriptions import Prescriptions
    from shopledger.store.receipts import Receipts
    from shopledger.store.seals import Seals
    from shopledger.store.shop import ShopDesk
    from shopledger.store.traces import Traces
    from shopledger.store.w9s import W9s
    from shopledger.store.waiting import WaitingPapers
    from shopledger.store.waits import WaitingThings

A = TypeVar("A")


class Lazy(Generic[A]):
    """An area, imported with what it brings by the command that needs it, and then kept."""

    __slots__ = ("_kind", "_module", "_name")

    def __init__(self, module: str, kind: str) -> None:
        self._module, self._kind = module, kind

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    def __get__(self, work: UnitOfWork, owner: type) -> A:
        kind = getattr(import_module(f"shopledger.store.{self._module}"), self._kind)
        made: A = kind(work.transaction)
        work.__dict__[self._name] = made
        return made


class UnitOfWork:
    """One transaction's view of the ledger, area by area."""

    shop: Lazy[ShopDesk] = Lazy("shop", "ShopDesk")
    customers: Lazy[Customers] = Lazy("customers", "Customers")
    joins: Lazy[Joins] = Lazy("joins", "Joins")
    names: Lazy[Names] = Lazy("names", "Names")
    prescriptions: Lazy[Prescriptions] = Lazy("prescriptions", "Prescriptions")
    catalogue: Lazy[CatalogueShelf] = Lazy("catalogue", "CatalogueShelf")
    traces: Lazy[Traces] = Lazy("traces", "Traces")
    orders: Lazy[Orders] = Lazy("orders", "Orders")
    payments: Lazy[Payments] = Lazy("payments", "Payments")
    parcels: Lazy[Parcels] = Lazy("parcels", "Parcels")
    earnings: Lazy[Earnings] = Lazy("earnings", "Earnings")
    refunds: Lazy[Refunds] = Lazy("payments", "Refunds")
    corrections: Lazy[Corrections] = Lazy("corrections", "Corrections")
    paid_shares: Lazy[PaidShares] = Lazy("corrections", "PaidShares")
    cancellations: Lazy[Cancellations] = Lazy("payments", "Cancellations")
    receipts: Lazy[Receipts] = Lazy("receipts", "Receipts")
    drafts: Lazy[Drafts] = Lazy("orders", "Drafts")
    inspections: Lazy[Inspections] = Lazy("inspections", "Inspections")
    stock: Lazy[Stock] = Lazy("books.stock", "Stock")
    jobs: Lazy[Jobs] = Lazy("jobs", "Jobs")
    journal: Lazy[Journal] = Lazy("books.journal", "Journal")
    audit: Lazy[Audit] = Lazy("audit", "Audit")
    audit_trail: Lazy[AuditTrail] = Lazy("audit_trail", "AuditTrail")
    erasures: Lazy[Erasures] = Lazy("erasures", "Erasures")
    suppliers: Lazy[Suppliers] = Lazy("books.suppliers", "Suppliers")
    lens_orders: Lazy[LensOrders] = Lazy("lens_orders", "LensOrders")
    bills: Lazy[Bills] = Lazy("books.bills", "Bills")
    job_costs: Lazy[JobCostBook] = Lazy("books.job_costs", "JobCostBook")
    reports: Lazy[Reports] = Lazy("books.reports", "Reports")
    periods: Lazy[Periods] = Lazy("books.periods", "Periods")
    expenses: Lazy[Expenses] = Lazy("books.spending", "Expenses")
    money_moves: Lazy[MoneyMoves] = Lazy("books.spending", "MoneyMoves")
    adjustments: Lazy[Adjustments] = Lazy("books.adjustments", "Adjustments")
    deposits: Lazy[Deposits] = Lazy("books.deposits", "Deposits")
    disposals: Lazy[Disposals] = Lazy("books.disposals", "Disposals")
    w9s: Lazy[W9s] = Lazy("w9s", "W9s")
    voidings: Lazy[Voidings] = Lazy("books.voiding", "Voidings")
    balances: Lazy[Balances] = Lazy("books.balances", "Balances")
    proofs: Lazy[Proofs] = Lazy("books.proofs", "Proofs")
    closing_checks: Lazy[ClosingChecks] = Lazy("books.closing_checks", "ClosingChecks")
    finding: Lazy[Finding] = Lazy("finding", "Finding")
    waits: Lazy[WaitingThings] = Lazy("waits", "WaitingThings")
    waiting: Lazy[WaitingPapers] = Lazy("waiting", "WaitingPapers")
    nexus_limits: Lazy[NexusLimits] = Lazy("nexus", "NexusLimits")
    tax_returns: Lazy[TaxReturns] = Lazy("books.tax_returns", "TaxReturns")
    kept_files: Lazy[KeptFiles] = Lazy("kept_files", "KeptFiles")
    seals: Lazy[Seals] = Lazy("seals", "Seals")
    bank: Lazy[Bank] = Lazy("books.bank", "Bank")
    processors: Lazy[Processors] = Lazy("books.processor", "Processors")
    forms: Lazy[Forms] = Lazy("forms", "Forms")
    logins: Lazy[Logins] = Lazy("logins", "Logins")
    backups: Lazy[Backups] = Lazy("backups.records", "Backups")

    def __init__(self, transaction: Transaction) -> None:
        self.transaction = transaction
