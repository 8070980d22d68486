"""Payouts of the card processor: recorded from its reports, compared with the books, and what it owes on a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shopledger.desk.books.banking import plan_move, post_move
from shopledger.desk.books.processor_reports import the_processor
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError, nearest
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoneyMove
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.processor_matches import NEAR_DAYS, CardComparison, compared
from shopledger.ledger.books.processor_payouts import PayoutParts, payout_parts
from shopledger.ledger.books.processor_reports import (
    OF_PAYMENTS,
    Payout,
    Processor,
    ProcessorOwes,
    owed_by_reports,
    payouts_of,
    standing,
)
from shopledger.ledger.numbers import number_of
from shopledger.money.amount import Cents
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class PayoutPlan:
    """A payout by its report, the moves that record it, and what is odd about it."""

    processor: Processor
    payout: Payout
    moves: tuple[MoneyMove, ...]
    found: tuple[MoneyMove, ...]
    """Moves that the owner recorded before, which are a part of it."""
    linked: tuple[MoneyMove, ...] = ()
    """Moves by which it is recorded already."""
    findings: tuple[Finding, ...] = ()

    @property
    def recorded(self) -> bool:
        """Whether nothing of it is left to record."""
        return not self.moves and not self.found


@dataclass(frozen=True, slots=True)
class CardsOwed:
    """What the card processor owes at the end of a day, by the books and by its reports."""

    day: date
    books: Cents
    reserve: Cents
    reports: ProcessorOwes | None
    """Nothing where no report was taken in."""

    @property
    def apart(self) -> Cents:
        """By how much the books pass the reports, the reserve with it."""
        if self.reports is None:
            return 0
        return self.books + self.reserve - self.reports.owed - self.reports.reserve


def payouts(desk: Desk, name: str | None = None, month: Month | None = None) -> tuple[PayoutPlan, ...]:
    """Give a processor's payouts by its reports, those of a month or all, each with what is left to record of it."""
    with desk.reading() as work:
        processor = the_processor(work, name)
        every = _plans(work, processor)
    return tuple(each for each in every if month is None or month.first <= each.payout.day <= month.last)


def plan_payout(desk: Desk, payout: str, name: str | None = None) -> PayoutPlan:
    """Look at what recording a payout would move, and store nothing."""
    with desk.reading() as work:
        plan = _plan(work, the_processor(work, name), payout)
    found = {
        finding.code: finding for move in plan.moves for finding in plan_move(desk, move).findings
    }  # fmt: skip
    return _with(plan, tuple(found.values()))


def record_payout(desk: Desk, payout: str, name: str | None = None, accept: frozenset[str] = frozenset()) -> PayoutPlan:
    """Record a payout by its report: its amount, fees of its month and of earlier ones, reserves; all or nothing."""
    with desk.writing() as work:
        plan = _plan(work, the_processor(work, name), payout)
        if plan.recorded:
            numbers = ", ".join(f"money {each.number}" for each in plan.linked) or "nothing was left of it"
            raise RefusedError("payout", plan.payout.name, f"it is recorded already: {numbers}", "Nothing is to do.")
        accepted = accepted_warnings(plan.findings, accept)
        posted = tuple(post_move(desk, work, move, accept).move for move in plan.moves)
        number = plan.processor.number or 0
        for move in (*posted, *plan.found):
            work.processors.link(number, plan.payout.name, number_of(move))
        if posted:
            note_accepted(work, accepted, Document(DocumentKind.MONEY, number_of(posted[-1])))
        return PayoutPlan(plan.processor, plan.payout, posted, plan.found, plan.linked, plan.findings)


def compare_cards(desk: Desk, period: Period) -> CardComparison:
    """Compare all rows that processors reported with the card money of the books, over a period."""
    wider = timedelta(2 * NEAR_DAYS)
    first, last = period.first - wider, period.last + wider
    with desk.reading() as work:
        lines = standing(work.processors.lines())
        events = work.processors.events(first, last)
    reaches = max((line.day for line in lines), default=None)
    rows = [line for line in lines if line.kind in OF_PAYMENTS and first <= line.day <= last]
    return compared(rows, events, reaches, period.first, period.last)


def cards_owed(desk: Desk, day: date | None = None) -> CardsOwed:
    """Give what the card processor owes at the end of a day."""
    on = desk.past_day(day)
    with desk.reading() as work:
        lines = work.processors.lines()
        books, reserve = (work.balances.of(each, on) for each in (Account.CARD_CLEARING, Account.CARD_RESERVE))
    return CardsOwed(on, books, reserve, owed_by_reports(on, lines) if lines else None)


def _plan(work: UnitOfWork, processor: Processor, name: str) -> PayoutPlan:
    plans = _plans(work, processor)
    found = next((each for each in plans if each.payout.name.casefold() == name.strip().casefold()), None)
    if found is None:
        near = nearest(name, [each.payout.name for each in plans], most=1)
        hint = f"Did you mean '{near[0]}'?" if near else "See 'shopledger processor payouts'."
        raise RefusedError("payout", f"'{name}'", f"no report of {processor.name} tells of it", hint)
    return found


def _plans(work: UnitOfWork, processor: Processor) -> tuple[PayoutPlan, ...]:
    number = processor.number or 0
    linked, loose = work.processors.linked(number), list(work.processors.loose())
    closed = {state.month for state in work.periods.states() if state.closed}
    plans = []
    for payout in payouts_of(standing(work.processors.lines(number))):
        mine = linked.get(payout.name, [])
        parts = payout_parts(payout, mine, loose, closed)
        # What is a part of one payout is none of the next.
        loose = [each for each in loose if each not in parts.found]
        plans.append(_made(processor, payout, parts, mine))
    return tuple(plans)


def _made(processor: Processor, payout: Payout, parts: PayoutParts, linked: Sequence[MoneyMove]) -> PayoutPlan:
    done = not parts.moves and not parts.found
    return PayoutPlan(processor, payout, parts.moves, parts.found, tuple(linked), () if done else parts.findings)


def _with(plan: PayoutPlan, findings: tuple[Finding, ...]) -> PayoutPlan:
    return PayoutPlan(plan.processor, plan.payout, plan.moves, plan.found, plan.linked, (*plan.findings, *findings))
