"""An order once it is recorded: taking payments, shipping it, giving money back, cancelling it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from shopledger.desk.books.goods_moves import put_back
from shopledger.desk.books.job_costs import scrap_jobs
from shopledger.desk.books.order_postings import post_refund
from shopledger.desk.context import Desk
from shopledger.desk.corrections import keep_credit, post_payment, touched_receipts
from shopledger.desk.refusals import accepted_warnings, note_accepted, on_or_after, standing_order
from shopledger.desk.sending import like_card, send_parcel
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.postings import reversing_entry
from shopledger.ledger.inspections import Omission
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Cancellation, Order, OrderAccount, Payment, PaymentRequest, Refund
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.refunds import RefundRequest, cancelled, plan_refund
from shopledger.ledger.shipping import ALL_OF_IT, PackRequest, goods_here, packed
from shopledger.ledger.stock import STOCKED, StockedKind
from shopledger.money.amount import Cents, write_amount
from shopledger.store.work import UnitOfWork


def take_payment(desk: Desk, order_number: int, request: PaymentRequest) -> OrderAccount:
    """Store a payment; more than is owed is refused, so that a deposit never hides in an order."""
    day = desk.day(request.day, "payment day")
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        account = standing_order(work, order_number, "payment")
        check_payment(request, account.balance, account.order.day, day, account)
        store_payment(work, account.order, request, day)
        return work.orders.account(order_number)


def check_payment(
    request: PaymentRequest, owed: Cents, order_day: date, day: date, account: OrderAccount | None = None
) -> None:
    """Refuse a payment that is more than owed or lies before the order; `account` is one that is stored already."""
    if request.amount > owed:
        hint = f"Take {write_amount(owed)} or less." if owed else "The order is paid in full."
        if account and account.written_off:
            hint = (
                f"{write_amount(account.written_off)} of it is written off: let that be owed again with "
                f"'shopledger payment revive {account.order.number}'."
            )
        raise RefusedError("payment", write_amount(request.amount), f"only {write_amount(owed)} is still owed", hint)
    on_or_after(order_day, day, "payment day")


def store_payment(work: UnitOfWork, order: Order, request: PaymentRequest, day: date) -> Payment:
    """Write the payment and its posting."""
    paid = Payment(number_of(order), request.day or day, request.amount, request.method, request.reference)
    return post_payment(work, paid, order)


def ship_order(
    desk: Desk,
    order_number: int,
    carrier: str,
    tracking: str = "",
    day: date | None = None,
    *,
    only: PackRequest = ALL_OF_IT,
    without_inspection: str = "",
    accept: frozenset[str] = frozenset(),
) -> OrderAccount:
    """Send what is left of an order in one parcel, or what `only` names of it.

    Each job in it has passed its inspection, or `without_inspection` says why it leaves all the same.
    """
    shipped_on = desk.day(day, "shipping day")
    accepted = accepted_warnings(like_card(tracking), accept)
    with desk.writing() as work:
        work.periods.refuse_closed(shipped_on)
        account = standing_order(work, order_number, "parcel")
        content = packed(account, only)
        parcel = Parcel(order_number, shipped_on, account.ship_to, carrier, tracking, content)
        send_parcel(work, account, parcel, without_inspection)
        note_accepted(work, accepted, Document(DocumentKind.ORDER, order_number))
        return work.orders.account(order_number)


def shipped_uninspected(desk: Desk, order: Order) -> tuple[Omission, ...]:
    """Give why jobs of an order were shipped without a passed inspection; nothing where none was."""
    with desk.reading() as work:
        jobs = [pair.job_number for pair in order.pairs if pair.job_number is not None]
        found = [work.inspections.history(job).omission for job in jobs]
        return tuple(omission for omission in found if omission is not None)


@dataclass(frozen=True, slots=True)
class RefundGiven:
    """A refund, the order as it stands now, and the issued receipts that no longer say all."""

    account: OrderAccount
    refund: Refund
    touched_receipts: tuple[int, ...]
    """Each should be replaced, and the customer told if it was handed in."""
    credit: int | None = None
    """The deposit in which it waits, where it was given as credit."""


@dataclass(frozen=True, slots=True)
class OrderCancelled:
    """A cancelled order, what is to be paid back, and the issued receipts that hold no longer."""

    account: OrderAccount
    repaid: tuple[Payment, ...]
    touched_receipts: tuple[int, ...]
    put_back: tuple[Payment, ...] = ()
    """Payments out of a deposit: that money is in the deposit again, and none goes out."""


def planned_refund(desk: Desk, order_number: int, asked: RefundRequest) -> Refund:
    """Work a refund out to the cent without storing it."""
    day = desk.day(asked.day, "refund day")
    with desk.reading() as work:
        work.periods.refuse_closed(day)
        return plan_refund(work.orders.account(order_number), asked, day)


def give_refund(desk: Desk, order_number: int, asked: RefundRequest) -> RefundGiven:
    """Store a refund with its posting and the goods that came back: all of it, or nothing."""
    day = desk.day(asked.day, "refund day")
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        before = work.orders.account(order_number)
        refund = work.refunds.add(plan_refund(before, asked, day))
        put_back(work, before, refund)
        account = post_refund(work, before, refund)
        credit = keep_credit(work, refund, before.order)
        return RefundGiven(account, refund, touched_receipts(work, before, account), credit)


def cancel_order(desk: Desk, order_number: int, reason: str, day: date | None = None) -> OrderCancelled:
    """Take an unshipped order back: every entry reversed, every payment to be paid back, the goods on the shelf."""
    cancelled_on = desk.day(day, "cancellation day")
    with desk.writing() as work:
        work.periods.refuse_closed(cancelled_on)
        account = work.orders.account(order_number)
        _check_cancellable(account, cancelled_on)
        cancellation = work.cancellations.add(Cancellation(order_number, cancelled_on, reason))
        paid = (Document(DocumentKind.PAYMENT, number_of(payment)) for payment in account.payments)
        corrected = (Document(DocumentKind.CORRECTION, number_of(each)) for each in account.corrections)
        kinds = (DocumentKind.ORDER, DocumentKind.OPENING_DEBT, DocumentKind.PUT_OFF)
        own = (Document(kind, order_number) for kind in kinds)
        documents = [*own, *paid, *corrected]
        for number, entry in work.journal.of_documents(documents):
            work.journal.post(reversing_entry(entry, number, cancellation))
        for each in goods_here(account):
            work.stock.reserve(STOCKED[each.line.kind], each.line.item_code, -each.count)
        for pair in account.order.standing_pairs:
            if pair.again is not None and pair.again.new_frame:
                work.stock.reserve(StockedKind.FRAME, pair.frame_code, -1)
        scrap_jobs(work, account.order, cancelled_on)
        touched = tuple(each.number for each in work.receipts.of_order(order_number) if each.replaced_by is None)
        standing = [replace(each, amount=account.standing(number_of(each))) for each in account.payments]
        repaid = tuple(payment for payment in standing if payment.deposit_number is None and payment.amount)
        put_back = tuple(payment for payment in standing if payment.deposit_number is not None and payment.amount)
        return OrderCancelled(work.orders.account(order_number), repaid, touched, put_back)


def _check_cancellable(account: OrderAccount, day: date) -> None:
    number = account.order.number
    if account.cancellation is not None:
        raise cancelled("cancellation", account)
    if account.parcels:
        day_left = account.parcels[-1].day.isoformat()
        raise RefusedError(
            "order",
            number,
            f"it was shipped on {day_left}, and only an unshipped order can be cancelled",
            f"Give the money back with 'shopledger refund give {number}'.",
        )
    if account.refunds:
        raise RefusedError(
            "order",
            number,
            "something was given back on it already",
            f"Give the rest back with 'shopledger refund give {number}' instead.",
        )
    later = [each.day for each in account.payments] + [each.day for each in account.corrections]
    latest = max([account.order.day, *later])
    on_or_after(latest, day, "cancellation day", "the order was recorded, paid or put right on")
