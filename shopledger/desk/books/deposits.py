"""Taking a customer's money before there is an order, using it on one, and handing it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.desk.books.banking import short_of
from shopledger.desk.context import Desk
from shopledger.desk.corrections import pays_for_another, post_payment
from shopledger.desk.orders import check_payment
from shopledger.desk.refusals import accepted_warnings, note_accepted, standing_order
from shopledger.errors import RefusedError
from shopledger.ledger.books.deposits import Deposit, DepositAccount, check_taking, giving_back, refuse_credit
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import deposit_entry
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Method, OrderAccount, Payment, PaymentRequest
from shopledger.ledger.parties import Customer
from shopledger.money.amount import Cents
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class DepositRequest:
    """Money that a customer leaves for an order to come."""

    customer: str
    """Number or name."""
    amount: Cents
    method: Method
    reference: str = ""
    note: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True)
class GiveBackRequest:
    """Money of a deposit that is handed back; without an amount all that is left, by the method it came by."""

    amount: Cents | None = None
    method: Method | None = None
    reference: str = ""
    note: str = ""
    day: date | None = None
    accept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class DepositCard:
    """A deposit with all that became of it, and whose it is."""

    account: DepositAccount
    customer: Customer


@dataclass(frozen=True, slots=True)
class GiveBackPlan:
    """The deposit as it is, what would be handed back of it, and what is odd about that."""

    card: DepositCard
    handed: Deposit
    findings: tuple[Finding, ...] = ()


def take_deposit(desk: Desk, asked: DepositRequest) -> DepositCard:
    """Store a deposit with its posting."""
    day = desk.day(asked.day, "deposit day")
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        customer = work.customers.pick(asked.customer)
        deposit = Deposit(number_of(customer), day, asked.amount, asked.method, asked.reference, asked.note)
        refuse_credit(deposit)
        stored = work.deposits.add(deposit)
        work.journal.post(deposit_entry(stored))
        return DepositCard(DepositAccount(stored), customer)


def plan_give_back(desk: Desk, number: int, asked: GiveBackRequest) -> GiveBackPlan:
    """Work out what would be handed back, without storing it."""
    with desk.reading() as work:
        return _planned(desk, work, number, asked)


def give_back(desk: Desk, number: int, asked: GiveBackRequest) -> DepositCard:
    """Hand money of a deposit back, with its posting; never more than is left of it."""
    with desk.writing() as work:
        plan = _planned(desk, work, number, asked)
        accepted = accepted_warnings(plan.findings, asked.accept)
        stored = work.deposits.add(plan.handed)
        work.journal.post(deposit_entry(stored))
        note_accepted(work, accepted, Document(DocumentKind.DEPOSIT, number_of(stored)))
        return _card(work, number)


def pay_from_deposit(
    desk: Desk,
    order_number: int,
    deposit_number: int,
    amount: Cents | None = None,
    day: date | None = None,
    accept: frozenset[str] = frozenset(),
) -> OrderAccount:
    """Pay on an order out of a deposit; without an amount as much as is owed and is left.

    The payment keeps the method and the reference that the deposit came by: that is how it was paid. A deposit of
    another customer, such as a gift card, is asked about.
    """
    paid_on = desk.day(day, "payment day")
    with desk.writing() as work:
        work.periods.refuse_closed(paid_on)
        account = standing_order(work, order_number, "payment")
        held = _deposit(work, deposit_number)
        accepted = accepted_warnings(pays_for_another(work, account, held.deposit.customer_number), accept)
        # With nothing owed or nothing left, the whole of the other is asked for, so that the refusal says which it was.
        most = min(account.balance, held.free_from(paid_on)) or account.balance or held.deposit.amount
        taken = most if amount is None else amount
        request = PaymentRequest(taken, held.deposit.method, held.deposit.reference, paid_on)
        check_payment(request, account.balance, account.order.day, paid_on, account)
        check_taking(held, taken, paid_on)
        paid = Payment(order_number, paid_on, taken, request.method, request.reference, deposit_number)
        post_payment(work, paid, account.order)
        note_accepted(work, accepted, Document(DocumentKind.ORDER, order_number))
        return work.orders.account(order_number)


def deposit_findings(desk: Desk, order_number: int, deposit_number: int) -> tuple[Finding, ...]:
    """Give what is odd about paying an order out of a deposit: that it is another customer's."""
    with desk.reading() as work:
        account = standing_order(work, order_number, "payment")
        return pays_for_another(work, account, _deposit(work, deposit_number).deposit.customer_number)


def deposit_card(desk: Desk, number: int) -> DepositCard:
    """Give one deposit with what became of it."""
    with desk.reading() as work:
        return _card(work, number)


def deposits(desk: Desk, customer: str | None = None, *, used_up: bool = False) -> tuple[DepositCard, ...]:
    """Give the deposits of which something is left, or all, of one customer or of every one, oldest first."""
    with desk.reading() as work:
        whose = number_of(work.customers.pick(customer)) if customer is not None else None
        found = [each for each in work.deposits.accounts(whose) if used_up or each.left]
        customers = work.customers.many(each.deposit.customer_number for each in found)
        return tuple(DepositCard(each, customers[each.deposit.customer_number]) for each in found)


def _planned(desk: Desk, work: UnitOfWork, number: int, asked: GiveBackRequest) -> GiveBackPlan:
    day = desk.day(asked.day)
    work.periods.refuse_closed(day)
    held = _deposit(work, number)
    amount = (held.free_from(day) or held.deposit.amount) if asked.amount is None else asked.amount
    method = asked.method or held.deposit.method
    reference = asked.reference or (held.deposit.reference if method is held.deposit.method else "")
    handed = giving_back(held, Deposit(held.deposit.customer_number, day, amount, method, reference, asked.note))
    short = short_of(work, Account.CASH, amount, day) if method.account is Account.CASH else ()
    return GiveBackPlan(DepositCard(held, work.customers.get(handed.customer_number)), handed, short)


def _deposit(work: UnitOfWork, number: int) -> DepositAccount:
    """Give a deposit, or refuse the number of a giving back."""
    account = work.deposits.account(number)
    if account.deposit.gives_back is not None:
        raise RefusedError(
            "deposit",
            number,
            f"that is the giving back of deposit {account.deposit.gives_back}",
            "Look for the right one with 'shopledger deposit list'.",
        )
    return account


def _card(work: UnitOfWork, number: int) -> DepositCard:
    account = _deposit(work, number)
    return DepositCard(account, work.customers.get(account.deposit.customer_number))
