"""What can be done about something that was recorded: the line to type for each, or why not and what to do instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from typing import Final

from shopledger.ledger.offers import LineKind
from shopledger.ledger.opening_debts import is_opening_debt
from shopledger.ledger.orders import Method, OrderAccount, Pair, Payment
from shopledger.ledger.pair_words import overtaken
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.putting_right import standing_lines
from shopledger.ledger.shipping import whole_content
from shopledger.money.amount import Cents, write_amount

_MADE_OTHERWISE: Final = frozenset({"PD", "prescription"})
"""What a job that is made again after it left may be made by otherwise."""


class Fixable(Enum):
    """What may be asked about."""

    ORDER = "order"
    JOB = "job"
    PAYMENT = "payment"
    REFUND = "refund"
    CORRECTION = "correction"
    RECEIPT = "receipt"
    PARCEL = "parcel"
    PRESCRIPTION = "prescription"
    DEPOSIT = "deposit"
    BILL = "bill"
    EXPENSE = "expense"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Remedy:
    """One thing that may have to be put right."""

    what: str
    command: str
    """What to type for it; where it cannot be put right, what to type instead, if anything."""
    why_not: str = ""
    """Why it cannot be put right any more; empty where it can."""

    @property
    def possible(self) -> bool:
        """Whether it can still be put right."""
        return not self.why_not


@dataclass(frozen=True, slots=True)
class Remedies:
    """Where something stands, and all that can be done about it."""

    title: str
    stands: tuple[str, ...]
    """Where it stands, in words."""
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True, slots=True)
class OrderFacts:
    """What has to be known of an order to say what can be done about it."""

    account: OrderAccount
    left_on: date | None
    erased_on: date | None = None
    jobs_left: Mapping[int, date] = field(default_factory=dict)
    """The day on which a job left, by its number, for those that are away."""
    cut: Mapping[int, str] = field(default_factory=dict)
    """Why the lenses of a job are taken for cut, by its number; empty text where they are not."""
    lenses_ordered: frozenset[int] = frozenset()
    """Jobs whose lenses were ordered."""
    receipts: tuple[int, ...] = ()
    """Receipts that nothing replaced yet."""
    month_closed: bool = False
    """Whether the month of the order is closed."""


def order_remedies(facts: OrderFacts) -> Remedies:
    """Say what can be done about an order."""
    account = facts.account
    title = f"Order {account.order.number} of {account.order.day.isoformat()}"
    ended = _ended(facts)
    if ended is not None:
        return Remedies(title, tuple(_order_stands(facts)), (ended,))
    return Remedies(
        title, tuple(_order_stands(facts)), (*_of_lines(facts), *_of_money(facts), *_whole(facts), *_parts(facts))
    )


def job_remedies(facts: OrderFacts, pair: Pair) -> Remedies:
    """Say what can be done about a job."""
    order, job = facts.account.order, pair.job_number or 0
    title = f"Job {job} of order {order.number}"
    ended = _ended(facts) or _not_standing(facts, pair)
    if ended is not None:
        return Remedies(title, (ended.why_not,), (ended,))
    return Remedies(title, tuple(_job_stands(facts, pair)), (*_of_job(facts, pair), _broken(facts, job)))


def parcel_remedies(facts: OrderFacts, parcel: Parcel) -> Remedies:
    """Say what can be done about a parcel."""
    order, number = facts.account.order.number, parcel.number
    title = f"Parcel {number} of order {order}, left on {parcel.day.isoformat()} by {parcel.carrier}"
    back = parcel.came_back
    came = f"it came back on {back.day.isoformat()}" if back else ""
    again = f"shopledger parcel send-again {number}"
    take_in = again if came else f"shopledger parcel returned {number} --reason WHY"
    stand = "they stand as they were typed: take it back, and send it again as it was"
    here = bool(whole_content(facts.account))
    return Remedies(
        title,
        (came or "it did not come back", f"to {', '.join(parcel.ship_to.lines)}"),
        (
            Remedy("it came back", take_in, came),
            *_never_arrived(facts, parcel, came),
            Remedy("wrong carrier, number or day", take_in, stand),
            Remedy(
                "what is left goes elsewhere",
                f"shopledger sale address {order}" if here else "",
                "" if here else "all of the order has left",
            ),
            Remedy("what lies in it is wrong", f"shopledger fix order {order}"),
        ),
    )


def _never_arrived(facts: OrderFacts, parcel: Parcel, came: str) -> Iterator[Remedy]:
    standing = {pair.job_number for pair in facts.account.order.standing_pairs}
    for job in parcel.jobs:
        gone = came or ("" if job in standing else "another job took its place")
        remake = f"shopledger job remake {job} --because lost-on-its-way --reason WHY"
        yield Remedy(f"job {job} never arrived", "" if gone else remake, gone)


def payment_remedies(facts: OrderFacts, payment: Payment, *, month_closed: bool, disputed: bool) -> Remedies:
    """Say what can be done about a payment."""
    account, number = facts.account, payment.number or 0
    standing = account.standing(number)
    title = f"Payment {number} of {write_amount(payment.amount)} by {payment.method.value} on {payment.day.isoformat()}"
    stands = (f"for order {account.order.number}", f"{write_amount(standing)} of it stands")
    ended = _ended(facts)
    if ended is not None:
        return Remedies(title, stands, (ended,))
    touched = payment.moved_from is not None or any(each.payment_number == number for each in account.corrections)
    late = "something happened to it since" if touched else "the month is closed" if month_closed else ""
    return Remedies(title, stands, tuple(_of_payment(payment, standing, late, disputed=disputed)))


def _ended(facts: OrderFacts) -> Remedy | None:
    """Say that nothing can be done about an order any more."""
    account, number = facts.account, facts.account.order.number
    if facts.erased_on is not None:
        why = f"what it tells of its customer was erased on {facts.erased_on.isoformat()}"
        return Remedy("anything", f"shopledger sale show {number}", why)
    if account.cancellation is not None:
        why = f"it was cancelled on {account.cancellation.day.isoformat()}"
        return Remedy("anything", f"shopledger draft copy {number}", why)
    return None


def _order_stands(facts: OrderFacts) -> Iterator[str]:
    account = facts.account
    if account.cancellation is None:
        paid = write_amount(account.paid - account.refunded)
        yield f"{paid} paid and kept, {write_amount(account.balance)} owed"
    yield f"left on {facts.left_on.isoformat()}" if facts.left_on else "has not left"
    if facts.month_closed:
        yield "its month is closed: what is put right counts in the month in which it is"
    if facts.receipts:
        yield f"receipt {', '.join(map(str, facts.receipts))} issued"


def _of_lines(facts: OrderFacts) -> Iterator[Remedy]:
    number, account = facts.account.order.number, facts.account
    if is_opening_debt(account.order):
        return
    goods = next((each.place for each in standing_lines(account) if each.line.pair is None and each.count), None)
    line = goods or "LINE"
    gone = facts.left_on is not None and not whole_content(account)
    here = f"it left on {facts.left_on.isoformat()}" if facts.left_on and gone else ""
    yield Remedy(
        "goods or a pair forgotten",
        f"shopledger draft copy {number}" if here else f"shopledger sale add {number} --accessory CODE --reason WHY",
        here and f"{here}, so it is an order of its own",
    )
    yield Remedy(
        "goods, an upgrade or a pair not wanted",
        _sent_back(account, line) if here else f"shopledger sale take-out {number} --line {line} --reason WHY",
        here and f"{here}, so goods come back, and money goes back or is owed no longer",
    )
    yield Remedy(
        "exchange for something else",
        f"shopledger sale exchange {number} --line LINE --for CODE --reason WHY" if here else _change_pairs(facts),
        "" if here else "it has not left, so it is put right instead",
    )


def _sent_back(account: OrderAccount, line: int | str) -> str:
    """Give the line that takes goods back: for money, or for what is owed where nothing was paid."""
    if account.paid - account.refunded:
        return f"shopledger refund give {account.order.number} --returned {line} --method HOW --reason WHY"
    return f"shopledger sale reduce {account.order.number} --returned {line} --reason WHY"


def _change_pairs(facts: OrderFacts) -> str:
    """Give the line with which an order is changed that has not left."""
    pairs = facts.account.order.standing_pairs
    if pairs:
        return f"shopledger fix job {pairs[0].job_number}"
    return f"shopledger sale take-out {facts.account.order.number} --line LINE --reason WHY"


def _of_money(facts: OrderFacts) -> Iterator[Remedy]:
    account, number = facts.account, facts.account.order.number
    nothing = "" if account.balance else "nothing is owed on it"
    kept = account.paid - account.refunded
    give = f"shopledger refund give {number} --line LINE=AMOUNT --method HOW --reason WHY"
    if not is_opening_debt(account.order):
        yield Remedy(
            "another price agreed afterwards",
            f"shopledger sale price {number} --line LINE=AMOUNT --reason WHY",
        )
        yield Remedy(
            "less is owed",
            give if nothing else f"shopledger sale reduce {number} --line LINE=AMOUNT --reason WHY",
            nothing and f"{nothing}: what was paid is given back",
        )
    yield Remedy("money given back", give if kept else "", "" if kept else "nothing was paid that is kept")
    owed = write_amount(account.balance).replace(",", "")
    yield Remedy(
        "a payment not recorded yet",
        "" if nothing else f"shopledger payment take {number} --amount {owed} --method HOW",
        nothing,
    )
    yield Remedy(
        "what will not be paid", "" if nothing else f"shopledger payment write-off {number} --reason WHY", nothing
    )
    if account.written_off:
        yield Remedy("what was written off is paid after all", f"shopledger payment revive {number} --reason WHY")


def _whole(facts: OrderFacts) -> Iterator[Remedy]:
    account, number = facts.account, facts.account.order.number
    why, instead = "", f"shopledger sale cancel {number} --reason WHY"
    if account.parcels:
        why = f"it left on {account.parcels[0].day.isoformat()}"
    elif account.refunds:
        why = "something was given back on it already"
    if why:
        instead = f"shopledger refund give {number} --method HOW --reason WHY"
        if not account.paid - account.refunded:
            instead = f"shopledger sale reduce {number} --returned LINE --reason WHY"
    yield Remedy("the whole order taken back", instead, why)
    gone = "" if whole_content(account) else "all of it left"
    address = f"shopledger sale address {number} --street STREET --city CITY --state STATE --zip ZIP"
    yield Remedy("it goes to the wrong address", "" if gone else address, gone)
    yield Remedy(
        "recorded for the wrong customer, or on the wrong day",
        f"shopledger draft copy {number} --customer NAME",
        "whose an order is and its day stand: cancel it, and record the copy",
    )


def _parts(facts: OrderFacts) -> Iterator[Remedy]:
    for pair in facts.account.order.standing_pairs:
        yield Remedy(
            f"job {pair.job_number}: measurements, wearer, prescription, frame, lenses",
            f"shopledger fix job {pair.job_number}",
        )
    for payment in facts.account.payments:
        words = f"{write_amount(payment.amount)} by {payment.method.value}"
        yield Remedy(f"payment {payment.number}: {words}", f"shopledger fix payment {payment.number}")
    for parcel in facts.account.parcels:
        yield Remedy(f"parcel {parcel.number} of {parcel.day.isoformat()}", f"shopledger fix parcel {parcel.number}")
    for receipt in facts.receipts:
        yield Remedy(f"receipt {receipt}", f"shopledger fix receipt {receipt}")


def _not_standing(facts: OrderFacts, pair: Pair) -> Remedy | None:
    order = facts.account.order
    after = order.next_pair(pair)
    if after is not None:
        return Remedy("anything", f"shopledger fix job {after.job_number}", overtaken(order, pair))
    if pair.taken_out_by is not None:
        return Remedy("anything", f"shopledger fix order {order.number}", overtaken(order, pair))
    return None


def _job_stands(facts: OrderFacts, pair: Pair) -> Iterator[str]:
    job = pair.job_number or 0
    yield facts.cut.get(job) or "its lenses are not cut, as far as the ledger knows"
    if job in facts.lenses_ordered:
        yield "its lenses were ordered: a change of lens or power asks about them"


def _of_job(facts: OrderFacts, pair: Pair) -> Iterator[Remedy]:
    """Give what can be put right on a job, or why it is too late and what is done instead."""
    job = pair.job_number or 0
    cut = facts.cut.get(job, "")
    put = f"shopledger job put-right {job}"
    again = f"shopledger job remake {job} --reason WHY --cost AMOUNT"
    if job in facts.jobs_left:
        again = f"shopledger job remake {job} --because CAUSE --reason WHY"
    lines = {each.line.kind: each.place for each in standing_lines(facts.account) if each.line.pair == pair.place}
    exchange = f"shopledger sale exchange {facts.account.order.number}"
    for what, options, kind in (
        ("PD", "--pd MM", None),
        ("fitting height", "--height MM", None),
        ("prescription", "--prescription NUMBER", None),
        ("wearer", "--wearer NAME", None),
        ("lens", "--lens CODE", LineKind.LENSES),
        ("frame", "--frame CODE", LineKind.FRAME),
        ("upgrade", "--extra CODE (or --without-extra CODE)", None),
        ("use of the lenses", "--use WORD", None),
        ("note", "--note TEXT", None),
    ):
        instead = f"{again} {options}" if what in _MADE_OTHERWISE and job in facts.jobs_left else again
        if kind is not None and job in facts.jobs_left and kind in lines:
            instead = f"{exchange} --line {lines[kind]} --for CODE --reason WHY"
        yield Remedy(f"wrong {what}", instead if cut else f"{put} {options} --reason WHY", cut)


def _broken(facts: OrderFacts, job: int) -> Remedy:
    left = f"it left on {facts.jobs_left[job].isoformat()}" if job in facts.jobs_left else ""
    number = facts.account.order.number
    command = f"shopledger job frame-broken {job} --reason WHY"
    return Remedy("frame broke in work", f"shopledger fix order {number}" if left else command, left)


def _of_payment(payment: Payment, standing: Cents, late: str, *, disputed: bool) -> Iterator[Remedy]:
    """Give what can be put right on a payment; `late` says why its record itself cannot be."""
    number = payment.number or 0
    gone = "" if standing else "nothing of it stands"
    sent_back = {
        Method.CHECK: "the check was not paid",
        Method.TRANSFER: "the bank took it back",
        Method.CARD: "the card's holder disputes it",
    }
    if payment.method in sent_back:
        what = sent_back[payment.method]
        yield Remedy(what, "" if gone else f"shopledger payment reverse {number} --reason WHY", gone)
    if disputed:
        yield Remedy("the dispute was won", f"shopledger payment dispute-won {number} --reason WHY")
        yield Remedy("the dispute was lost", f"shopledger payment dispute-lost {number} --reason WHY")
    give = f"shopledger refund give {payment.order_number} --method HOW --reason WHY"
    instead = "" if gone else give
    yield Remedy(
        "wrong amount, method, reference or day",
        instead if gone or late else f"shopledger payment correct {number} --amount AMOUNT --reason WHY",
        gone or late,
    )
    yield Remedy(
        "it is for another order", "" if gone else f"shopledger payment move {number} OTHER-ORDER --reason WHY", gone
    )


def stands_only(title: str, stands: Sequence[str], *remedies: Remedy) -> Remedies:
    """Give what can be done about something of which little is to be known."""
    return Remedies(title, tuple(stands), remedies)
