"""Recording suppliers' bills with the goods they bring, and undoing one that was a mistake."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.desk.books.bills import short_of_cash, store_bill_payment
from shopledger.desk.books.shelf import stocked_item
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import UNNAMED, BillRequest, GoodsBilled
from shopledger.ledger.books.bills import (
    Bill,
    BillAccount,
    BillLine,
    BillLineKind,
    BillPayment,
    carried,
    refuse_voided,
)
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import bill_entry, moved_jobs_entry
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import Accessory
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.usual import LOOKED_AT, unusual_goods, unusual_job
from shopledger.money.amount import write_amount
from shopledger.money.rate import round_half_away

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.ledger.books.lots import Lot
    from shopledger.optics.findings import Finding
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class BillPlan:
    """What recording a bill would store: the bill with its landed costs, its supplier, and where job costs go."""

    bill: Bill
    supplier: Supplier
    jobs: Mapping[int, Account]
    paid: SpendMethod | None = None
    findings: tuple[Finding, ...] = ()
    """What is odd about it, or about paying it at once."""

    @property
    def account(self) -> BillAccount:
        """The bill as it would stand; one that is paid at once owes nothing."""
        bill = self.bill
        payments = () if self.paid is None else (BillPayment(bill.number or 0, bill.day, bill.total, self.paid),)
        return BillAccount(bill, self.supplier.name, payments)


def plan_bill(desk: Desk, request: BillRequest) -> BillPlan:
    """Check a bill whole and share its freight, without storing anything."""
    with desk.reading() as work:
        return planned_bill(work, desk, request)


def record_bill(desk: Desk, request: BillRequest, accept: frozenset[str] = frozenset()) -> BillAccount:
    """Store a bill with its goods, its posting, the file kept of it and its payment: all of it, or nothing."""
    with desk.writing() as work:
        return store_bill(work, desk, request, accept)


def receive_one(
    work: UnitOfWork,
    desk: Desk,
    goods: GoodsBilled,
    *,
    supplier: str = "",
    invoice: str = "",
    paid: SpendMethod | None = None,
    day: date | None = None,
    accept: frozenset[str] = frozenset(),
) -> BillAccount:
    """Record goods that came in as a bill of one line, of a supplier who need not be named."""
    request = BillRequest(supplier or UNNAMED, invoice=invoice, day=day, goods=(goods,), paid=paid)
    return store_bill(work, desk, request, accept, strict=True)


def planned_bill(work: UnitOfWork, desk: Desk, request: BillRequest) -> BillPlan:
    """Check a bill whole inside a transaction; stores nothing."""
    supplier = _supplier(work, request)
    kept = work.kept_files.look(Path(request.file)) if request.file else None
    bill = Bill(
        supplier_number=supplier.number or 0,
        day=desk.day(request.day, "bill's day"),
        lines=carried(_lines(work, request)),
        invoice=request.invoice,
        due_on=request.due_on,
        note=request.note,
        file_sha256=kept.sha256 if kept else None,
    )
    work.periods.refuse_closed(bill.day)
    _refuse_second(work, supplier, bill)
    return BillPlan(
        bill,
        supplier,
        work.job_costs.standing(job.job for job in request.jobs),
        request.paid,
        (*short_of_cash(work, request.paid, bill.total, bill.day), *_unusual(work, bill)),
    )


def store_bill(
    work: UnitOfWork, desk: Desk, request: BillRequest, accept: frozenset[str] = frozenset(), *, strict: bool = False
) -> BillAccount:
    """Store a bill inside a transaction; a `strict` one refuses a yes to what was not asked."""
    plan = planned_bill(work, desk, request)
    accepted = accepted_warnings(plan.findings, accept, strict=strict)
    supplier = plan.supplier if plan.supplier.number else work.suppliers.add(plan.supplier)
    if request.file:
        work.kept_files.keep(Path(request.file))
    bill = work.bills.add(replace(plan.bill, supplier_number=number_of(supplier)))
    number = number_of(bill)
    for line in bill.lines:
        if line.item_kind is not None:
            work.stock.bring(_movement(bill, line, line.item_kind))
    if bill.total:
        work.journal.post(bill_entry(bill, supplier.name, plan.jobs))
    if request.paid is not None:
        payment = BillPayment(number, bill.day, bill.total, request.paid, request.reference)
        store_bill_payment(work, payment, supplier.name)
    note_accepted(work, accepted, Document(DocumentKind.BILL, number))
    return work.bills.account(number)


def check_bill_can_be_voided(work: UnitOfWork, number: int) -> BillAccount:
    """Give the bill, or say what stands in the way of taking it back: payments, goods sent back, goods gone."""
    account = work.bills.account(number)
    refuse_voided(account)
    if account.payments:
        first = account.payments[-1].number
        raise RefusedError(
            f"bill {number}",
            f"paid with {write_amount(account.paid)}",
            "a bill is voided once no payment stands on it",
            f"Take 'bill payment {first}' back first.",
        )
    if account.credits:
        given = f"{write_amount(account.credited)} lower by goods that were sent back"
        hint = "Send the rest back with 'shopledger bill send-back' instead."
        raise RefusedError(f"bill {number}", given, "what was sent back on it stays", hint)
    if account.changes:
        last = account.changes[-1].number
        given = f"changed by bill credit {last}"
        hint = f"Void 'bill credit {last}' first."
        raise RefusedError(f"bill {number}", given, "a bill is voided once nothing changes it", hint)
    for movement in _brought(work, number):
        _refuse_gone(work, movement, number)
    return account


def undo_bill(work: UnitOfWork, number: int, day: date) -> None:
    """Take a bill's goods from the shelf again, and put the costs right of jobs that left since.

    Whoever takes the bill back has asked `check_bill_can_be_voided` first, and reverses the bill's own entry, which
    holds the cost of the goods.
    """
    bill = work.bills.account(number).bill
    for movement in _brought(work, number):
        back = replace(movement, day=day, quantity=-movement.quantity, cost=-movement.cost, number=None)
        work.stock.take(back, first=(number_of(movement),))
    standing = work.job_costs.standing(line.job_number for line in bill.lines if line.job_number is not None)
    for _, posted in work.journal.of_documents([Document(DocumentKind.BILL, number)]):
        entry = moved_jobs_entry(bill, posted, standing, day)
        if entry.postings:
            work.journal.post(entry)


def _brought(work: UnitOfWork, number: int) -> list[StockMovement]:
    """Give the goods that a bill brought; that they cost less for a while moved nothing."""
    return [movement for movement in work.bills.goods(number) if movement.quantity]


def _supplier(work: UnitOfWork, request: BillRequest) -> Supplier:
    """Find the supplier; the one that stands for nobody in particular need not be there yet."""
    if request.supplier != UNNAMED:
        return work.suppliers.pick(request.supplier)
    if request.invoice:
        raise RefusedError(
            "supplier", "not named", "an invoice number belongs to a supplier", "Name the supplier as well."
        )
    return next((each for each in work.suppliers.all() if each.name == UNNAMED), Supplier(UNNAMED))


def _unusual(work: UnitOfWork, bill: Bill) -> Iterator[Finding]:
    """Ask about what is a hundred times the usual."""
    for line in bill.lines:
        if line.item_kind is not None:
            came = work.stock.came(line.item_kind, line.item_code, LOOKED_AT)
            listed = work.stock.level(line.item_kind, line.item_code).last_cost
            each = round_half_away(line.amount, line.quantity)
            yield from unusual_goods(line.item_code, line.quantity, each, came, listed)
        elif line.job_number is not None:
            yield from unusual_job(line.job_number, line.amount, work.bills.newest_job_costs(LOOKED_AT))


def _lines(work: UnitOfWork, request: BillRequest) -> tuple[BillLine, ...]:
    goods = [_goods_line(work, asked) for asked in request.goods]
    jobs = [BillLine(BillLineKind.JOB, job.amount, job.description, job_number=job.job) for job in request.jobs]
    spent = [
        BillLine(BillLineKind.EXPENSE, each.amount, each.description, category=each.category)
        for each in request.expenses
    ]
    carried_along = (("freight", request.freight), ("sales tax", request.tax))
    freight = [BillLine(BillLineKind.FREIGHT, amount, words) for words, amount in carried_along if amount]
    before = [BillLine(BillLineKind.OPENING, request.owed_before, "owed before")] if request.owed_before else []
    return (*goods, *jobs, *spent, *freight, *before)


def _goods_line(work: UnitOfWork, asked: GoodsBilled) -> BillLine:
    item, kind = stocked_item(work, asked.kind, asked.code)
    return BillLine(
        BillLineKind.STOCK,
        asked.total,
        item.name if isinstance(item, Accessory) else item.description,
        item_kind=kind,
        item_code=item.code,
        quantity=asked.quantity,
    )


def _refuse_second(work: UnitOfWork, supplier: Supplier, bill: Bill) -> None:
    if not (bill.invoice and supplier.number):
        return
    earlier = work.bills.same_invoice(supplier.number, bill.invoice)
    if earlier is not None:
        raise RefusedError(
            "invoice",
            f"'{bill.invoice}'",
            f"bill {earlier} of {supplier.name} has it already",
            f"Look at it with 'shopledger bill show {earlier}', or check the number.",
        )


def _movement(bill: Bill, line: BillLine, kind: StockedKind) -> StockMovement:
    return StockMovement(
        bill.day, kind, line.item_code, line.quantity, line.landed, StockReason.RECEIVED, bill_number=bill.number
    )


def _refuse_gone(work: UnitOfWork, movement: StockMovement, number: int) -> None:
    """Refuse to undo goods of which some left, or which open orders are waiting for."""
    level = work.stock.level(movement.kind, movement.item_code)
    left = _left(work.stock.lots(movement.kind, movement.item_code), number_of(movement))
    gone = movement.quantity - left
    if gone:
        allowed = f"{gone} of the {movement.quantity} {movement.item_code} it brought left the shelf already"
    elif level.free < movement.quantity:
        allowed = f"{level.reserved} of {movement.item_code} are reserved for orders, and {level.on_hand} are there"
    else:
        return
    hint = f"Send back what is there with 'shopledger bill send-back {number}', and record the right bill beside it."
    raise RefusedError("bill", number, allowed, hint)


def _left(lots: tuple[Lot, ...], number: int) -> int:
    return next((lot.on_hand for lot in lots if lot.number == number), 0)
