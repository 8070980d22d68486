"""What may be put right about payments: sent back by a bank, disputed, mistaken, for another order, never to be paid.

A check that is not paid and a card payment that is disputed take money back out of the shop; what a bank or processor
takes for it is the shop's own expense, and may be charged on. Whether the customer may be charged for it, and how much,
a state's law says; sales tax on such a charge is none here (common practice, no source).

A rest that is written off was never income on the cash basis, so there it is no loss (IRS Publication 334, bad debts;
value from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.limits import MOVED, PRICE, hold_amount
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Charge, Method, OrderAccount, OrderLine, Payment, read_reference
from shopledger.ledger.refunds import cancelled
from shopledger.ledger.sharing import parts_of
from shopledger.money.amount import Cents, write_amount

CHARGE_CODE: Final = "CHARGE"
"""The code of a line that charges a customer for a payment that was sent back."""
_NO_CARE: Final = "A charge for a payment that was sent back is no medical care."
_UNTAXED: Final = "charge for a payment that was sent back"
_SENT_BACK: Final = {
    Method.CHECK: CorrectionKind.BOUNCED,
    Method.TRANSFER: CorrectionKind.BOUNCED,
    Method.CARD: CorrectionKind.DISPUTED,
}
"""What happens to a payment that the bank or processor takes back, by its method; cash stays where it is."""


@dataclass(frozen=True, slots=True)
class Reversal:
    """A payment that the bank or the processor took back, as told."""

    payment: int
    reason: str
    amount: Cents | None = None
    """How much of a card payment is disputed; None for all that stands."""
    fee: Cents = 0
    """What the bank or processor took for it."""
    charge: Cents = 0
    """What the customer is charged for it."""
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a dispute ended, as told."""

    payment: int
    won: bool
    reason: str
    amount: Cents | None = None
    """How much of it came again; None for all that was disputed."""
    fee_back: Cents = 0
    """What came back of the processor's fee."""
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """What a payment should have been, as told; None where it is right as it is."""

    payment: int
    reason: str
    amount: Cents | None = None
    """0 where it never came in."""
    method: Method | None = None
    reference: str | None = None
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Move:
    """A payment, or part of it, that counts for another order, as told."""

    payment: int
    to_order: int
    reason: str
    amount: Cents | None = None
    """None for as much as stands and the other order owes."""
    day: date | None = None
    accept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class WriteOff:
    """What will not be paid on an order, or is expected again, as told."""

    order: int
    reason: str
    amount: Cents | None = None
    """None for all of it."""
    day: date | None = None


def payment_on(account: OrderAccount, number: int) -> Payment:
    """Give one payment of an order."""
    return next(each for each in account.payments if each.number == number)


def what_became(account: OrderAccount, number: int) -> Iterator[str]:
    """Say in words what became of a payment, event by event."""
    for each in account.corrections:
        if each.payment_number == number:
            amount = f" {write_amount(each.amount)}" if each.amount else ""
            yield f"{each.kind.value}{amount} on {each.day.isoformat()}: {each.reason}"
    if account.cancellation and account.standing(number):
        yield f"paid back on {account.cancellation.day.isoformat()}, order cancelled"


def open_dispute(account: OrderAccount, number: int) -> Correction | None:
    """Give the dispute of a payment that is neither won nor lost yet."""
    found: Correction | None = None
    for each in account.corrections:
        if each.payment_number == number and each.kind is CorrectionKind.DISPUTED:
            found = each
        elif each.payment_number == number and each.kind in _ENDED:
            found = None
    return found


_ENDED: Final = frozenset({CorrectionKind.DISPUTE_WON, CorrectionKind.DISPUTE_LOST})


def plan_reversal(account: OrderAccount, asked: Reversal, day: date) -> Correction:
    """Give the correction by which a payment stands no longer, since the bank or processor took it back."""
    payment = _standing_payment(account, asked.payment, "reversal", day)
    kind = _SENT_BACK.get(payment.method)
    stands = account.standing(asked.payment)
    if kind is None:
        raise RefusedError(
            "payment",
            f"{asked.payment}, of cash",
            "only a check, a transfer or a card payment is taken back by a bank or processor",
            f"Put a mistake right with 'shopledger payment correct {asked.payment}', or give money back with "
            f"'shopledger refund give {payment.order_number}'.",
        )
    amount = stands if asked.amount is None else asked.amount
    if kind is CorrectionKind.BOUNCED and amount != stands:
        raise RefusedError(
            "amount",
            write_amount(amount),
            f"a {payment.method.value} is sent back whole, and {write_amount(stands)} of it stands",
            "Leave the amount out.",
        )
    _hold("amount", amount, stands, f"stands of payment {asked.payment}")
    hold_amount("fee", asked.fee, PRICE)
    hold_amount("charge", asked.charge, PRICE)
    if min(asked.fee, asked.charge) < 0:
        raise RefusedError("fee", write_amount(min(asked.fee, asked.charge)), "it may not be negative", "Type 0.")
    return Correction(payment.order_number, day, kind, asked.reason, asked.payment, amount, asked.fee)


def charge_line(amount: Cents, method: Method) -> OrderLine:
    """Give the line that charges a customer for a payment that was sent back."""
    words = f"Charge for a {method.value} payment sent back"
    return line_without_goods(CHARGE_CODE, words, amount, no_care=_NO_CARE, untaxed=_UNTAXED)


def line_without_goods(code: str, words: str, amount: Cents, *, no_care: str, untaxed: str) -> OrderLine:
    """Give a line for something that is no goods: why it is no medical care, and why it is not taxed."""
    return OrderLine(
        kind=LineKind.EXTRA,
        item_code=code,
        description=words,
        list_price=amount,
        reduction=0,
        net=amount,
        tax_category=TaxCategory.SERVICE,
        reimbursement=Reimbursement.NOT_ELIGIBLE,
        reimbursement_reason=no_care,
        tax_reason=untaxed,
        charges=(Charge(words, None, "", amount, 0, amount),),
    )


def plan_outcome(account: OrderAccount, asked: Outcome, day: date) -> Correction:
    """Give the correction that ends a dispute: money that came again, or nothing."""
    payment = payment_on(account, asked.payment)
    _refuse_cancelled(account, "dispute")
    dispute = open_dispute(account, asked.payment)
    if dispute is None:
        raise RefusedError(
            "payment",
            asked.payment,
            "no dispute of it is open",
            f"Look with 'shopledger payment list {payment.order_number}'.",
        )
    _on_or_after(dispute.day, day, "the payment was disputed on")
    if not asked.won:
        if asked.amount is not None or asked.fee_back:
            raise RefusedError(
                "dispute", "lost with money", "where it is lost nothing comes back", "Leave the amounts out."
            )
        kind = CorrectionKind.DISPUTE_LOST
        return Correction(payment.order_number, day, kind, asked.reason, asked.payment)
    amount = dispute.amount if asked.amount is None else asked.amount
    _hold("amount", amount, dispute.amount, f"of payment {asked.payment} was disputed")
    _hold_owed(account, amount)
    if not 0 <= asked.fee_back <= dispute.fee:
        raise RefusedError(
            "fee",
            write_amount(asked.fee_back),
            f"{write_amount(dispute.fee)} was taken for the dispute",
            "Type that or less.",
        )
    kind = CorrectionKind.DISPUTE_WON
    return Correction(payment.order_number, day, kind, asked.reason, asked.payment, amount, asked.fee_back)


def plan_change(account: OrderAccount, asked: Change) -> tuple[Correction, Payment | None]:
    """Give the correction of a payment recorded by mistake, on its own day, and the payment in its place.

    One that never came in has none in its place.
    """
    payment = _standing_payment(account, asked.payment, "payment", None)
    number = payment.order_number
    if payment.moved_from is not None or any(each.payment_number == asked.payment for each in account.corrections):
        raise RefusedError(
            "payment",
            asked.payment,
            "only one that stands on the order it came in on, and that nothing happened to since, can be put right",
            f"Give it back with 'shopledger refund give {number}' and take it again, or look with "
            f"'shopledger payment list {number}'.",
        )
    if payment.deposit_number is not None and (asked.method or asked.reference is not None):
        raise RefusedError(
            "payment",
            f"{asked.payment}, from deposit {payment.deposit_number}",
            "how it was paid stands on the deposit",
            f"Put its amount or day right here; look at the deposit with 'shopledger deposit show "
            f"{payment.deposit_number}'.",
        )
    method = asked.method or payment.method
    kept = payment.reference if asked.reference is None and method is payment.method else asked.reference or ""
    new = replace(
        payment,
        day=asked.day or payment.day,
        amount=payment.amount if asked.amount is None else asked.amount,
        method=method,
        reference=read_reference("payment", method, kept),
        corrects=asked.payment,
        number=None,
    )
    if replace(new, corrects=payment.corrects, number=payment.number) == payment:
        raise RefusedError(
            "payment", asked.payment, "it is recorded just so already", "Say what is to be put right, with an option."
        )
    if new.amount < 0:
        raise RefusedError(
            "amount",
            write_amount(new.amount),
            "it may not be negative",
            "Type what was paid, or 0 if it never came in.",
        )
    wrong = Correction(number, payment.day, CorrectionKind.MISTAKEN, asked.reason, asked.payment, payment.amount)
    hold_amount("payment", new.amount, MOVED)
    _hold_owed(_with(account, wrong), new.amount)
    _on_or_after(account.order.day, new.day, "the order was recorded on")
    return wrong, new if new.amount else None


def plan_move(account: OrderAccount, to: OrderAccount, asked: Move, day: date) -> tuple[Correction, Payment]:
    """Give the correction that takes a payment, or part of it, off its order, and the payment on the other."""
    payment = _standing_payment(account, asked.payment, "move", day)
    _refuse_cancelled(to, "payment")
    other = to.order.number or 0
    if other == payment.order_number:
        raise RefusedError("order", other, "the payment stands on that order", "Name another order.")
    _on_or_after(to.order.day, day, f"order {other} was recorded on")
    free = min(account.standing(asked.payment), account.paid - account.refunded)
    # With nothing free or nothing owed, the whole of the other is asked for, so that the refusal says which it was.
    most = min(free, to.balance) or to.balance or free or payment.amount
    amount = most if asked.amount is None else asked.amount
    _hold("amount", amount, free, f"of payment {asked.payment} stands and was not given back")
    _hold_owed(to, amount)
    moved = Correction(payment.order_number, day, CorrectionKind.MOVED, asked.reason, asked.payment, amount)
    if any(part.kept < 0 for part in parts_of(_with(account, moved))):
        raise RefusedError(
            "amount",
            write_amount(amount),
            "it is more than was paid and kept on what is for one of the wearers, who got money back",
            "Move less of it.",
        )
    new = replace(payment, order_number=other, day=day, amount=amount, moved_from=asked.payment, corrects=None)
    return moved, replace(new, number=None)


def plan_write_off(account: OrderAccount, asked: WriteOff, day: date) -> Correction:
    """Give the correction by which a rest, or part of it, is owed no longer."""
    _refuse_cancelled(account, "write-off")
    _on_or_after(account.order.day, day, "the order was recorded on")
    if not account.balance:
        raise RefusedError(
            "order",
            account.order.number,
            "nothing is owed on it",
            f"Look with 'shopledger sale show {account.order.number}'.",
        )
    amount = account.balance if asked.amount is None else asked.amount
    _hold("amount", amount, account.balance, "is still owed")
    return Correction(account.order.number or 0, day, CorrectionKind.WRITTEN_OFF, asked.reason, amount=amount)


def plan_revival(account: OrderAccount, asked: WriteOff, day: date) -> Correction:
    """Give the correction by which what was written off is owed again."""
    _refuse_cancelled(account, "revival")
    off = account.written_off
    if not off:
        raise RefusedError(
            "order",
            account.order.number,
            "nothing on it is written off",
            f"Look with 'shopledger sale show {account.order.number}'.",
        )
    last = max(each.day for each in account.corrections if each.kind is CorrectionKind.WRITTEN_OFF)
    _on_or_after(last, day, "it was written off on")
    amount = off if asked.amount is None else asked.amount
    _hold("amount", amount, off, "is written off")
    return Correction(account.order.number or 0, day, CorrectionKind.REVIVED, asked.reason, amount=amount)


def _standing_payment(account: OrderAccount, number: int, what: str, day: date | None) -> Payment:
    """Give a payment of which something stands, on a day that is not before it."""
    payment = payment_on(account, number)
    _refuse_cancelled(account, what)
    if not account.standing(number):
        raise RefusedError(
            "payment",
            number,
            f"nothing of it stands ({'; '.join(what_became(account, number))})",
            f"Look with 'shopledger payment list {payment.order_number}'.",
        )
    if day is not None:
        _on_or_after(payment.day, day, "it was paid on")
    return payment


def _refuse_cancelled(account: OrderAccount, what: str) -> None:
    if account.cancellation is not None:
        raise cancelled(what, account)


def _on_or_after(earliest: date, day: date, since: str) -> None:
    if day < earliest:
        raise RefusedError("day", day.isoformat(), f"{since} {earliest.isoformat()}", "Type a day on or after it.")


def _hold(what: str, amount: Cents, most: Cents, words: str) -> None:
    """Hold an amount between nothing and what there is."""
    if not 0 < amount <= most:
        raise RefusedError(
            what,
            write_amount(amount),
            f"{write_amount(most)} {words}",
            f"Type more than 0 and at most {write_amount(most)}." if most > 0 else "There is nothing left of it.",
        )


def _hold_owed(account: OrderAccount, amount: Cents) -> None:
    """Hold what comes onto an order to what is owed on it."""
    owed, number = account.balance, account.order.number
    if amount > owed:
        off = f"Let it be owed again with 'shopledger payment revive {number}'." if account.written_off else ""
        raise RefusedError(
            "amount",
            write_amount(amount),
            f"only {write_amount(owed)} is still owed on order {number}",
            off or (f"Take {write_amount(owed)} or less." if owed else "The order is paid in full."),
        )


def _with(account: OrderAccount, new: Correction) -> OrderAccount:
    """Give an order as it would be with a correction that comes after all that happened."""
    last = max((each.number or 0 for each in account.payments), default=0)
    refund = max((each.number or 0 for each in account.refunds), default=0)
    stamped = replace(new, after_payment=last, after_refund=refund)
    return replace(account, corrections=(*account.corrections, stamped))
