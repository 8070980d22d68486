"""What happens to a bill afterwards: discounts, allowances, charges, and what a supplier owes given back or used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from shopledger.desk.refusals import on_or_after
from shopledger.errors import RefusedError, listed
from shopledger.ledger.books.bill_credits import BillCredit, CreditKind, CreditPart, LotShare, Priced, shared
from shopledger.ledger.books.bills import BillAccount, BillLine, BillLineKind, refuse_voided
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import bill_credit_entry
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.ledger.books.lots import Lot
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class CreditRequest:
    """What changes a bill, or what becomes of its supplier's debt, as it is asked for."""

    kind: CreditKind
    amount: Cents | None = None
    """None: all that the supplier owes, as far as the other bill has room for it."""
    reason: str = ""
    day: date | None = None
    item: str = ""
    """Only on these goods; otherwise over all that the bill brought."""
    job: int | None = None
    method: SpendMethod | None = None
    other_bill: int | None = None


@dataclass(frozen=True, slots=True)
class CreditPlan:
    """What would be stored, the bill it is about, and how much of it goods on the shelf take."""

    account: BillAccount
    credit: BillCredit
    lots: tuple[LotShare, ...] = ()

    @property
    def on_shelf(self) -> Cents:
        """By how much goods that are still there cost less."""
        return sum(each.amount for each in self.lots)


def plan_credit(desk: Desk, number: int, request: CreditRequest) -> CreditPlan:
    """Look at a change of a bill without storing it."""
    with desk.reading() as work:
        return planned_credit(work, desk, number, request)


def change_bill(desk: Desk, number: int, request: CreditRequest) -> CreditPlan:
    """Store a change of a bill with its posting and its share for goods on the shelf; gives the bill as it stands."""
    with desk.writing() as work:
        plan = planned_credit(work, desk, number, request)
        stored = store_credit(work, plan)
        return replace(plan, account=work.bills.account(number), credit=stored)


def planned_credit(work: UnitOfWork, desk: Desk, number: int, request: CreditRequest) -> CreditPlan:
    """Check a change of a bill inside a transaction; stores nothing."""
    account = work.bills.account(number)
    refuse_voided(account)
    day = on_or_after(account.bill.day, desk.day(request.day), "day", "the bill is of")
    work.periods.refuse_closed(day)
    amount = _held_amount(work, account, request, day)
    reason = request.reason or request.kind.value
    credit = BillCredit(number, day, request.kind, amount, reason, request.method, request.other_bill)
    if not request.kind.sign:
        return CreditPlan(account, credit)
    accounts, lots = shared(tuple(_priced(work, account, request)), amount, request.kind.sign)
    parts = tuple(CreditPart(each, cents) for each, cents in accounts.items())
    return CreditPlan(account, replace(credit, parts=parts), lots)


def store_credit(work: UnitOfWork, plan: CreditPlan) -> BillCredit:
    """Write a change of a bill, what it does to goods on the shelf, and its posting."""
    repriced = tuple(_repriced(work, plan, each) for each in plan.lots)
    stored = work.bills.add_credit(replace(plan.credit, parts=(*repriced, *plan.credit.parts)))
    work.journal.post(bill_credit_entry(stored, plan.account.supplier))
    return stored


def check_credit_can_be_voided(work: UnitOfWork, number: int) -> date:
    """Give the day of a change, or say that goods left since at what it made them cost."""
    credit = work.bills.credit(number)
    _lots_to_restore(work, credit)
    return credit.day


def undo_credit(work: UnitOfWork, number: int, day: date) -> None:
    """Let goods on the shelf cost again what they did; whoever voids the change reverses its entry."""
    credit = work.bills.credit(number)
    for part, movement, lot in _lots_to_restore(work, credit):
        back = StockMovement(
            day,
            movement.kind,
            movement.item_code,
            0,
            part.amount,
            StockReason.REPRICED,
            bill_number=credit.bill_number,
            note=f"bill credit {number} voided",
        )
        work.stock.reprice(back, lot)


def _repriced(work: UnitOfWork, plan: CreditPlan, part: LotShare) -> CreditPart:
    """Write down that a lot costs less."""
    brought = work.stock.movement(part.lot.number)
    number, kind = plan.account.bill.number, plan.credit.kind.value
    moved = StockMovement(
        plan.credit.day,
        brought.kind,
        brought.item_code,
        0,
        -part.amount,
        StockReason.REPRICED,
        bill_number=number,
        note=f"{kind}, {part.lot.on_hand} on the shelf",
    )
    return CreditPart(Account.INVENTORY, part.amount, number_of(work.stock.reprice(moved, part.lot)))


def _lots_to_restore(work: UnitOfWork, credit: BillCredit) -> tuple[tuple[CreditPart, StockMovement, Lot], ...]:
    """Give each part of goods with what brought them and their lot, as long as none of them left since."""
    lots = work.bills.lots_of(credit.parts)
    return tuple(
        _restorable(work, credit, part, lots[part.movement_number])
        for part in credit.parts
        if part.movement_number is not None
    )


def _restorable(
    work: UnitOfWork, credit: BillCredit, part: CreditPart, lot_number: int
) -> tuple[CreditPart, StockMovement, Lot]:
    brought = work.stock.movement(lot_number)
    lot = next((each for each in work.stock.lots(brought.kind, brought.item_code) if each.number == lot_number), None)
    if lot is None or work.stock.left_since(lot_number, part.movement_number or 0) or lot.cost + part.amount < 0:
        other = "charge" if part.amount > 0 else "credit"
        raise RefusedError(
            f"bill credit {credit.number}",
            f"on {brought.item_code}",
            "goods left the shelf since at what it made them cost",
            f"Record the opposite with 'shopledger bill {other} {credit.bill_number} {write_amount(credit.amount)}'.",
        )
    return part, brought, lot


def _priced(work: UnitOfWork, account: BillAccount, request: CreditRequest) -> Iterator[Priced]:
    """Give what the change falls on: an item, a job, or all that the bill brought."""
    lines = [line for line in account.bill.lines if line.kind is not BillLineKind.FREIGHT and _meant(line, request)]
    if not lines:
        what = f"item '{request.item}'" if request.item else f"job {request.job}"
        known = [line.words for line in account.bill.lines if line.kind is not BillLineKind.FREIGHT]
        raise RefusedError(what, "not on the bill", f"bill {account.bill.number} is for {listed(known)}", "Name one.")
    goods: dict[tuple[StockedKind, str], list[BillLine]] = {}
    for line in lines:
        if line.item_kind is not None:
            goods.setdefault((line.item_kind, line.item_code), []).append(line)
        elif line.category is not None:
            yield Priced(line.landed, line.category.account)
        elif line.kind is BillLineKind.OPENING:
            yield Priced(line.landed, Account.PURCHASE_ALLOWANCES)
        else:
            yield Priced(line.landed, Account.LENSES)
    own = {number_of(each) for each in work.bills.goods(account.bill.number or 0) if each.quantity > 0}
    for (kind, code), same in goods.items():
        brought = sum(line.quantity for line in same)
        kept = brought - sum(each.quantity for each in account.credits if each.item_code == code)
        lots = tuple(lot for lot in work.stock.lots(kind, code) if lot.number in own)
        yield Priced(sum(line.landed for line in same) * kept // brought, Account.INVENTORY, kept, lots)


def _meant(line: BillLine, request: CreditRequest) -> bool:
    if request.item:
        return line.item_code == request.item.strip().upper()
    return request.job is None or line.job_number == request.job


def _held_amount(work: UnitOfWork, account: BillAccount, request: CreditRequest, day: date) -> Cents:
    """Give the amount, or refuse more than there is to take off, to pay, or to get back."""
    if request.kind is CreditKind.CHARGE:
        return request.amount or 0
    most, allowed, hint = _most(account, request.kind)
    if request.kind is CreditKind.SET_AGAINST:
        room = _room(work, account, request, day)
        if request.amount is None or request.amount > room:
            most, allowed = min(most, room), f"bill {request.other_bill} owes {write_amount(room)}, and {allowed}"
    amount = most if request.amount is None else request.amount
    if amount > most or not most:
        raise RefusedError("amount", write_amount(amount), allowed, hint)
    return amount


def _most(account: BillAccount, kind: CreditKind) -> tuple[Cents, str, str]:
    """Give the most that a change may come to, why, and what to do about it."""
    number = account.bill.number
    if kind is CreditKind.DISCOUNT:
        most = max(account.balance, 0)
        hint = "A discount is taken off what is still to be paid."
        return most, f"bill {number} owes {write_amount(most)}", hint
    if kind is CreditKind.ALLOWANCE:
        most = max(account.price, 0)
        return most, f"bill {number} comes to {write_amount(most)} by now", "Type that or less."
    most = max(-account.balance, 0)
    hint = "What the supplier takes off is recorded first, with 'shopledger bill credit' or 'bill send-back'."
    return most, f"{account.supplier} owes {write_amount(most)} on bill {number}", hint


def _room(work: UnitOfWork, account: BillAccount, request: CreditRequest, day: date) -> Cents:
    """Give what the other bill owes; it is the same supplier's, and there by then."""
    other = work.bills.account(request.other_bill or 0)
    refuse_voided(other)
    if other.bill.number == account.bill.number or other.bill.supplier_number != account.bill.supplier_number:
        hint = f"See 'shopledger bill list --supplier {account.bill.supplier_number}'."
        raise RefusedError("bill", other.bill.number, f"it is another bill of {account.supplier}", hint)
    on_or_after(other.bill.day, day, "day", f"bill {other.bill.number} is of")
    return max(other.balance, 0)
