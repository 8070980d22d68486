"""Putting an order right after it was recorded: each deed is planned, shown, and then stored whole or not at all.

What every such deed has in common: whether the order still takes one, the goods that are set free or kept for it, the
money that goes back, the jobs that others take the place of, and the receipts that it overtakes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Protocol

from shopledger.desk.books.goods_moves import put_back, take_out
from shopledger.desk.books.order_postings import post_refund
from shopledger.desk.context import Desk
from shopledger.desk.corrections import keep_credit, post_correction, store_correction, touched_receipts
from shopledger.desk.refusals import accepted_warnings, note_accepted, on_or_after, standing_order
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.opening_debts import refuse_opening_debt
from shopledger.ledger.orders import Method, OrderAccount, OrderLine, Pair, Refund
from shopledger.ledger.putting_right import righted, standing_lines
from shopledger.ledger.shipping import goods_here
from shopledger.ledger.stock import STOCKED, OutOfStockError, StockedKind, StockMovement
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class CorrectionTerms:
    """What is said with each deed that puts an order right."""

    reason: str
    method: Method | None = None
    """How money goes back, where some is to."""
    reference: str = ""
    day: date | None = None
    prices: Mapping[str, Cents] = field(default_factory=dict)
    """Net prices agreed for goods that come in, by their code."""
    offers: tuple[str, ...] = ()
    without_offers: tuple[str, ...] = ()
    accept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Change:
    """What a deed asks to be changed on an order, before it is known what that comes to."""

    account: OrderAccount
    kind: CorrectionKind
    out: tuple[LinePart, ...] = ()
    """All that lines give that are taken out or lowered, with the goods that are not needed or came back."""
    added: tuple[OrderLine, ...] = ()
    jobs: tuple[Pair, ...] = ()
    """Pairs that are made in the place of others, or added; none has its number yet."""
    gone: tuple[Pair, ...] = ()
    """Pairs that are taken out with nothing in their place."""
    findings: tuple[Finding, ...] = ()
    lost: tuple[StockMovement, ...] = ()
    """Goods that are thrown away."""


class CorrectionRequest(Protocol):
    """A deed that puts an order right, as asked for."""

    @property
    def terms(self) -> CorrectionTerms:
        """What is said with it."""

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Look up what it names, and give what it changes; nothing is stored."""


@dataclass(frozen=True, slots=True)
class CorrectionPlan:
    """What a deed would store: the correction with its lines and jobs, the money that goes back, what is asked."""

    change: Change
    correction: Correction
    back: tuple[LinePart, ...]
    after: OrderAccount
    """The order as it would stand."""

    @property
    def due_back(self) -> Cents:
        """How much money goes back."""
        return sum(part.net + part.tax for part in self.back)

    @property
    def difference(self) -> Cents:
        """By how much more the order comes to; below zero where it comes to less."""
        return sum(line.net + line.tax for line in self.change.added) - sum(
            part.net + part.tax for part in self.change.out
        )


@dataclass(frozen=True, slots=True)
class CorrectionDone:
    """What was stored, the order as it stands now, and the issued receipts that no longer say what is."""

    account: OrderAccount
    correction: Correction
    refund: Refund | None
    jobs: tuple[Pair, ...]
    touched_receipts: tuple[int, ...]


def plan_correction(desk: Desk, request: CorrectionRequest) -> CorrectionPlan:
    """Work out what a deed comes to, without storing anything."""
    with desk.reading() as work:
        return _planned(work, desk, request)


def record_correction(desk: Desk, request: CorrectionRequest) -> CorrectionDone:
    """Store a deed with its entry, its goods, its jobs and the money that goes back: all of it, or nothing."""
    with desk.writing() as work:
        plan = _planned(work, desk, request)
        accepted = accepted_warnings(plan.change.findings, request.terms.accept)
        refund = _refund(plan, request.terms)
        before = plan.change.account
        number = number_of(before.order)
        # A line names the place of its pair, so a pair that is new stands before its lines do.
        new = [work.orders.add_job(number, pair) for pair in plan.change.jobs if pair.again is None]
        correction = store_correction(work, before, plan.correction, plan.change.added)
        note_accepted(work, accepted, Document(DocumentKind.ORDER, number))
        made = [work.orders.add_job(number, _belongs(pair, correction)) for pair in plan.change.jobs if pair.again]
        for pair in plan.change.gone:
            work.orders.take_out(pair.job_number or 0, number_of(correction))
        _move_goods(work, plan.change, correction)
        account = post_correction(work, before, correction, refunded=refund is not None)
        if refund is not None:
            refund = work.refunds.add(refund)
            account = post_refund(work, account, refund)
            keep_credit(work, refund, before.order)
        return CorrectionDone(account, correction, refund, (*new, *made), touched_receipts(work, before, account))


def correctable(work: UnitOfWork, desk: Desk, order_number: int, terms: CorrectionTerms, what: str) -> OrderAccount:
    """Give an order that still takes a correction on that day, or refuse it in words."""
    day = desk.day(terms.day, "day of the correction")
    work.periods.refuse_closed(day)
    account = standing_order(work, order_number, what)
    hint = f"What will not be paid is written off: 'shopledger payment write-off {order_number}'."
    refuse_opening_debt(account.order, what, hint)
    refuse_of_erased(f"order {order_number}", work.customers.get(account.order.customer_number))
    happened = [account.order.day, *(each.day for each in account.payments), *(each.day for each in account.refunds)]
    happened += [each.day for each in account.corrections]
    on_or_after(max(happened), day, "day of the correction", "something was recorded on that order on")
    return account


def left_on(account: OrderAccount) -> date | None:
    """Give the day on which the first of an order left that is away; None while all of it is here."""
    return account.away[0].day if account.away else None


def _planned(work: UnitOfWork, desk: Desk, request: CorrectionRequest) -> CorrectionPlan:
    change = request.change(work, desk)
    account, terms = change.account, request.terms
    day = desk.day(terms.day, "day of the correction")
    asked = Correction(number_of(account.order), day, change.kind, terms.reason)
    found = righted(account, asked, change.out, change.added)
    _refuse_empty(account, change, found.after)
    _refuse_short(work, change)
    return CorrectionPlan(change, found.correction, found.back, found.after)


def _refund(plan: CorrectionPlan, terms: CorrectionTerms) -> Refund | None:
    """Give the money that goes back with a deed; how it does must be said, and only where some does."""
    if not plan.back:
        if terms.method is not None:
            raise RefusedError(
                "method", terms.method.value, "no money goes back with this", "Leave the way it is given back out."
            )
        return None
    if terms.method is None:
        raise RefusedError(
            "method",
            "not said",
            f"{write_amount(plan.due_back)} was paid and goes back",
            "Say how it is given back (card, cash, check, transfer or credit).",
        )
    correction = plan.correction
    return Refund(correction.order_number, correction.day, terms.method, terms.reference, correction.reason, plan.back)


def _belongs(pair: Pair, correction: Correction) -> Pair:
    """Let a pair name the correction by which it is made in the place of another."""
    return replace(pair, again=replace(pair.again, correction=correction.number)) if pair.again else pair


def _refuse_empty(account: OrderAccount, change: Change, after: OrderAccount) -> None:
    """Refuse to take everything out of an order: that is cancelling it."""
    rest = [each for each in standing_lines(after) if each.line.kind is not LineKind.SHIPPING]
    if change.out and not rest:
        raise RefusedError(
            "order",
            account.order.number,
            "nothing would be left on it",
            f"Cancel it instead: 'shopledger sale cancel {account.order.number} --reason WHY'.",
        )


def _refuse_short(work: UnitOfWork, change: Change) -> None:
    """Refuse goods that are not on the shelf, or are promised to others."""
    needed: Counter[tuple[StockedKind, str]] = Counter()
    freed: Counter[tuple[StockedKind, str]] = Counter()
    for line in change.added:
        if line.kind in STOCKED:
            needed[STOCKED[line.kind], line.item_code] += line.quantity
    for movement in change.lost:
        needed[movement.kind, movement.item_code] -= movement.quantity
    here = {each.position: each.count for each in goods_here(change.account)}
    for part in change.out:
        line = change.account.order.lines[part.line - 1]
        free_again = min(part.returned, here.get(part.line, 0))
        if free_again:
            freed[STOCKED[line.kind], line.item_code] += free_again
    for (kind, code), count in needed.items():
        free = work.stock.level(kind, code).free + freed[kind, code]
        if count > free:
            raise OutOfStockError(code, count, free)


def _move_goods(work: UnitOfWork, change: Change, correction: Correction) -> None:
    """Set free or bring back what is not needed any more, throw away what broke, keep what comes in for the order."""
    put_back(work, change.account, correction)
    for movement in change.lost:
        take_out(work, movement)
    for line in change.added:
        if line.kind in STOCKED:
            work.stock.reserve(STOCKED[line.kind], line.item_code, line.quantity)
    for pair in change.gone:
        if pair.again and pair.again.new_frame:
            work.stock.reserve(StockedKind.FRAME, pair.frame_code, -1)
