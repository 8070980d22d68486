"""Money of an order: taken, out of a deposit, given back, taken back by a bank, for another order, never to be paid."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from shopledger.counter.addresses import order_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, form, tick, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.orders.card import pages
from shopledger.counter.pages.orders.deeds import BACK, BOTH, DAY, REASON, about_order, comes_to
from shopledger.counter.pages.paying import AMOUNT, METHOD, REFERENCE, as_typed
from shopledger.counter.refusals import UnreadError
from shopledger.counter.showing import money
from shopledger.desk.books.deposits import deposits, pay_from_deposit
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import give_refund, planned_refund, take_payment
from shopledger.desk.payment_corrections import (
    PaymentPutRight,
    correct_payment,
    end_dispute,
    move_payment,
    reverse_payment,
    revive_rest,
    write_rest_off,
)
from shopledger.errors import RefusedError
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import PAID_BY, Method, PaymentRequest
from shopledger.ledger.payment_corrections import Change, Move, Outcome, Reversal, WriteOff
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.money.amount import write_amount
from shopledger.optics.sides import Side
from shopledger.store.refusals import NumberUnknownError
from shopledger.typed.words import read_word

_SOME: Final = amount("amount", "How much", needed=False, hint="Left empty: all of it.", about=("payment", "dispute"))
_FEE: Final = amount("fee", "What the bank or the processor took for it", needed=False, about=("fee",))
_CHARGE: Final = amount(
    "charge", "Charged to the customer for it", needed=False, hint="As far as the law allows.", about=("charge",)
)
_ALL: Final = tick("all", "Everything that is left of the order")
_RIGHT_METHOD: Final[Field[Any]] = Field(
    "method", "Paid by", lambda typed, field: read_word(typed, field, PAID_BY), Kind.CHOICE, needed=False,
    choices=tuple(Choice(each.value, each.value.capitalize()) for each in PAID_BY),
)  # fmt: skip
_OTHER: Final = whole("other", "Number of the other order", about=("order",))


@pages.route("/orders/<int:number>/pay", methods=BOTH)
def pay(number: int) -> Answer:
    """Take a payment."""
    owed = order_account(desk(), number).balance

    def store(values: Values) -> Done:
        given = values.of(AMOUNT)
        if given is None:
            raise RefusedError("payment", "empty", "an amount belongs to it", "Type it.")
        asked = PaymentRequest(given, values.of(METHOD), values.text(REFERENCE), values.of(DAY))
        return _paid(number, take_payment(desk(), number, asked).balance)

    asked = form(METHOD, AMOUNT, REFERENCE, DAY)
    lead = f"{money(owed)} is owed." if owed else "Nothing is owed."
    start = {"amount": [as_typed(owed)], "method": [Method.CARD.value]}
    return about_order(
        number, asked, store, f"Payment on order {number}", "Take the payment", start=start, lead=lead, focus="method"
    )


@pages.route("/orders/<int:number>/from-deposit", methods=BOTH)
def from_deposit(number: int) -> Answer:
    """Pay out of a deposit of the customer's, or of another's, such as a gift card."""
    account = order_account(desk(), number)
    own = account.order.customer_number
    held = sorted(deposits(desk()), key=lambda each: each.customer.number != own)
    choices = [
        Choice(
            str(each.account.deposit.number),
            f"Deposit {each.account.deposit.number}, {money(each.account.left)} left",
            each.customer.name,
        )
        for each in held
    ]
    which: Field[int] = Field(
        "deposit", "Which deposit", lambda typed, _: int(typed), Kind.SELECT, choices=choices, width="middle"
    )

    def store(values: Values) -> Done:
        after = pay_from_deposit(desk(), number, values.of(which), values.of(_SOME), values.of(DAY), values.accept)
        return _paid(number, after.balance)

    first = [str(each.account.deposit.number) for each in held if each.customer.number == own][:1]
    return about_order(
        number, form(which, _SOME, DAY), store, f"Order {number} out of a deposit", "Pay out of it",
        start={"deposit": first}, lead=f"{money(account.balance)} is owed.",
    )  # fmt: skip


@pages.route("/orders/<int:number>/refund", methods=BOTH)
def refund(number: int) -> Answer:
    """Give money back, line by line, with the goods that came back."""
    account = order_account(desk(), number)
    lines = [each for each in kept_lines(account) if each.kept or each.tax_kept or each.count]
    groups = tuple((f"Line {each.place}: {each.line.description}", tuple(_of_line(each))) for each in lines)
    asked = Form((("", (_ALL,)), *groups, ("Why and how", (REASON, BACK, REFERENCE, DAY))))

    def store(values: Values) -> Done:
        method = values.of(BACK)
        if method is None:
            raise RefusedError("method", "open", "money goes back some way", "Choose one.")
        wanted = () if values.of(_ALL) else tuple(_refunded(lines, values))
        if not wanted and not values.of(_ALL):
            raise RefusedError("all", "open", "nothing is named", "Name a line, or tick that everything goes back.")
        request = RefundRequest(method, values.of(REASON), wanted, values.text(REFERENCE), values.of(DAY))
        planned = planned_refund(desk(), number, request)
        meant = comes_to(str(planned.amount), f"{money(planned.amount)} goes back by {method.value}, tax with it.")
        if meant.code not in values.accept:
            raise UnreadError((meant,))
        done = give_refund(desk(), number, request)
        said = [f"{money(done.refund.amount)} was given back by {method.value}."]
        said += [f"It waits in deposit {done.credit}."] if done.credit else []
        said += [f"Receipt {each} does not say so: replace it." for each in done.touched_receipts]
        return Done(order_page(number), " ".join(said))

    return about_order(number, asked, store, f"Money back on order {number}", "Give it back")


def _of_line(kept: KeptLine) -> Iterator[Field[Any]]:
    shown = write_amount(kept.kept)
    yield amount(f"line_{kept.place}", f"Of its {shown} before tax", needed=False, about=(f"line {kept.place}",))
    if kept.line.kind in {LineKind.FRAME, LineKind.ACCESSORY} and kept.count:
        yield whole(
            f"back_{kept.place}",
            "How many came back",
            needed=False,
            hint=f"Of {kept.count}. Without an amount the whole line goes back.",
        )
    if kept.line.kind is LineKind.LENSES and len(kept.charges) > 1:
        sides = (Choice("right", "The right lens alone"), Choice("left", "The left lens alone"))
        yield Field(
            f"side_{kept.place}", "Which lens", lambda typed, _: Side(typed), Kind.SELECT, needed=False, choices=sides
        )
    yield tick(f"whole_{kept.place}", "All that is left of this line")


def _refunded(lines: list[KeptLine], values: Values) -> Iterator[RefundedLine]:
    for kept in lines:
        at = kept.place
        net, back, side = (values.read.get(f"{name}_{at}") for name in ("line", "back", "side"))
        if net is not None or back or side or values.read.get(f"whole_{at}"):
            yield RefundedLine(at, net, back or 0, side)


@pages.route("/orders/<int:number>/write-off", methods=BOTH)
def write_off(number: int) -> Answer:
    """Write off what will not be paid."""
    owed = order_account(desk(), number).balance
    return _rest(number, f"What will not be paid of order {number}", "Write it off", write_rest_off, owed)


@pages.route("/orders/<int:number>/revive", methods=BOTH)
def revive(number: int) -> Answer:
    """Let what was written off be owed again."""
    gone = order_account(desk(), number).written_off
    return _rest(number, f"What is paid after all of order {number}", "Let it be owed again", revive_rest, gone)


def _rest(number: int, heading: str, button: str, deed: Callable[..., PaymentPutRight], most: int) -> Answer:
    def store(values: Values) -> Done:
        asked = WriteOff(number, values.of(REASON), values.of(_SOME), values.of(DAY))
        return _put_right(deed(desk(), asked))

    lead = f"It is {money(most)} at most."
    return about_order(number, form(_SOME, REASON, DAY), store, heading, button, lead=lead)


@pages.route("/orders/<int:number>/payments/<int:payment>/reverse", methods=BOTH)
def reverse(number: int, payment: int) -> Answer:
    """Record that a bank or a processor took a payment back."""

    def store(values: Values) -> Done:
        asked = Reversal(
            payment, values.of(REASON), values.of(_SOME), values.of(_FEE) or 0, values.of(_CHARGE) or 0, values.of(DAY)
        )
        return _put_right(reverse_payment(desk(), asked))

    return _of_payment(
        number, payment, form(_SOME, _FEE, _CHARGE, REASON, DAY), store, "was taken back", "Record that it was"
    )


@pages.route("/orders/<int:number>/payments/<int:payment>/correct", methods=BOTH)
def correct(number: int, payment: int) -> Answer:
    """Put a payment right that was recorded by mistake."""
    found = next((each for each in order_account(desk(), number).payments if each.number == payment), None)
    if found is None:
        raise NumberUnknownError("payment of this order", payment)
    start = {
        "amount": [write_amount(found.amount)],
        "method": [found.method.value],
        "reference": [found.reference],
        "day": [found.day.isoformat()],
    }

    def store(values: Values) -> Done:
        given, method, text, on = (values.of(each) for each in (AMOUNT, _RIGHT_METHOD, REFERENCE, DAY))
        asked = Change(
            payment,
            values.of(REASON),
            None if given == found.amount else given,
            None if method is found.method else method,
            None if (text or "") == found.reference else text or "",
            None if on == found.day else on,
        )
        return _put_right(correct_payment(desk(), asked))

    return _of_payment(
        number, payment, form(AMOUNT, _RIGHT_METHOD, REFERENCE, DAY, REASON), store, "was otherwise", "Put it right",
        start=start, lead="Type 0 where it never came in.",
    )  # fmt: skip


@pages.route("/orders/<int:number>/payments/<int:payment>/move", methods=BOTH)
def move(number: int, payment: int) -> Answer:
    """Let a payment count for another order."""

    def store(values: Values) -> Done:
        asked = Move(
            payment, values.of(_OTHER), values.of(REASON), values.of(_SOME), values.of(DAY), values.accept
        )  # fmt: skip
        return _put_right(move_payment(desk(), asked))

    return _of_payment(number, payment, form(_OTHER, _SOME, REASON, DAY), store, "is for another order", "Move it")


@pages.route("/orders/<int:number>/payments/<int:payment>/dispute-<outcome>", methods=BOTH)
def dispute(number: int, payment: int, outcome: str) -> Answer:
    """Record how a dispute ended."""
    won = outcome == "won"

    def store(values: Values) -> Done:
        came = (values.of(_SOME), values.of(_FEE) or 0) if won else (None, 0)
        return _put_right(end_dispute(desk(), Outcome(payment, won, values.of(REASON), *came, values.of(DAY))))

    fields = (_SOME, _FEE, REASON, DAY) if won else (REASON, DAY)
    words = "'s dispute was won" if won else "'s dispute was lost"
    return _of_payment(number, payment, form(*fields), store, words, "Record it")


def _of_payment(
    number: int,
    payment: int,
    asked: Form,
    store: Callable[[Values], Done],
    words: str,
    button: str,
    **shown: Any,
) -> Answer:
    space = "" if words.startswith("'") else " "
    heading = f"Payment {payment}{space}{words}"
    return about_order(number, asked, store, heading, button, about=f"{number}-{payment}", **shown)


def _paid(number: int, balance: int) -> Done:
    rest = f"{money(balance)} is still owed." if balance else "Nothing is owed any more."
    return Done(order_page(number), f"The payment was recorded. {rest}")


def _put_right(done: PaymentPutRight) -> Done:
    said = ["It was put right."]
    if done.account.balance:
        said.append(f"{money(done.account.balance)} is owed on this order.")
    if done.deposit_number:
        said.append(f"The money is in deposit {done.deposit_number} again.")
    said += [f"Receipt {each} does not say so: replace it." for each in done.touched_receipts]
    said += [f"Payment {each.number} holds what was moved before: look at it." for each in done.moved_before]
    return Done(order_page(done.account.order.number), " ".join(said))
