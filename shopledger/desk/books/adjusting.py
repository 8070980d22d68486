"""Adjusting entries: recording one, reversing it on another day, and listing them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopledger.desk.books.disposing import refuse_gone
from shopledger.desk.refusals import on_or_after
from shopledger.errors import RefusedError
from shopledger.ledger.books.adjustments import Adjustment
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import adjustment_entry
from shopledger.ledger.books.voiding import Listed, Voiding

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork


def plan_adjustment(desk: Desk, asked: Adjustment) -> Adjustment:
    """Look at an adjusting entry without storing it."""
    with desk.reading() as work:
        return _checked(desk, work, asked)


def record_adjustment(desk: Desk, asked: Adjustment) -> Adjustment:
    """Store an adjusting entry with its posting."""
    with desk.writing() as work:
        return _stored(work, _checked(desk, work, asked))


def reverse_adjustment(desk: Desk, number: int, day: date | None = None) -> Adjustment:
    """Store the entry that reverses an earlier one on a day of its own; each is reversed once."""
    with desk.writing() as work:
        earlier = work.adjustments.get(number)
        if earlier.opening:
            hint = f"A mistake is voided with 'shopledger void adjustment {number}'."
            raise RefusedError(f"adjustment {number}", "the opening position", "it is never reversed", hint)
        _refuse_undone(work, number)
        refuse_gone(work, Document(DocumentKind.ADJUSTMENT, number))
        on = on_or_after(earlier.day, desk.day(day), "day", f"adjustment {number} is of")
        return _stored(work, _checked(desk, work, earlier.reversed_on(on, number)))


def plan_opening(desk: Desk, asked: Adjustment) -> Adjustment:
    """Look at an opening position without storing it."""
    with desk.reading() as work:
        return _checked_opening(desk, work, asked)


def open_books(desk: Desk, asked: Adjustment) -> Adjustment:
    """Store what the shop had and owed when the books began: once, and before everything else."""
    with desk.writing() as work:
        return _stored(work, _checked_opening(desk, work, asked))


def adjustments(desk: Desk, month: Month | None = None) -> tuple[Listed[Adjustment], ...]:
    """Give a month's adjusting entries, or all, by day; one that was voided stands below zero on that day."""
    with desk.reading() as work:
        return work.adjustments.listed(month)


def adjustment_card(desk: Desk, number: int) -> tuple[Adjustment, int | None, Voiding | None]:
    """Give an adjusting entry, the number of the one that reverses it, and its voiding."""
    with desk.reading() as work:
        found = work.adjustments.get(number)
        voided = work.voidings.of(Document(DocumentKind.ADJUSTMENT, number))
        return found, work.adjustments.reversal_of(number), voided


def check_adjustment_can_be_voided(work: UnitOfWork, number: int) -> date:
    """Give the day of an adjusting entry, or say that another one reverses it."""
    found = work.adjustments.get(number)
    reversal = work.adjustments.reversal_of(number)
    if reversal is not None:
        given = f"reversed by adjustment {reversal}"
        hint = f"Void 'adjustment {reversal}' first."
        raise RefusedError(f"adjustment {number}", given, "what reverses it would be left alone", hint)
    return found.day


def _refuse_undone(work: UnitOfWork, number: int) -> None:
    reversal, voided = work.adjustments.reversal_of(number), work.voidings.of(Document(DocumentKind.ADJUSTMENT, number))
    if reversal is not None or voided is not None:
        how = f"reversed by adjustment {reversal}" if voided is None else f"voided on {voided.day.isoformat()}"
        raise RefusedError(
            f"adjustment {number}", how, "it is undone once", "Record a new one with 'shopledger adjust'."
        )


def _checked_opening(desk: Desk, work: UnitOfWork, asked: Adjustment) -> Adjustment:
    """Refuse a second opening position, one after something was posted, and cash that was opened already."""
    earlier, first = work.adjustments.opening(), work.adjustments.first_day()
    if earlier is not None:
        hint = (
            f"See 'shopledger adjust show {earlier}'; a mistake is voided with 'shopledger void adjustment {earlier}'."
        )
        raise RefusedError("opening position", "given again", f"the books have one, adjustment {earlier}", hint)
    if first is not None and first < asked.day:
        allowed = f"something is posted on {first.isoformat()} already"
        raise RefusedError("day", asked.day.isoformat(), allowed, "Type that day or an earlier one.")
    for till in CashAccount:
        opened = work.money_moves.standing(MoveKind.OPENING, till)
        if opened and any(line.account is till.account for line in asked.lines):
            hint = f"Leave it out, or void 'money {opened[0].number}' first."
            raise RefusedError(till.value, "given again", f"money {opened[0].number} says what lay there", hint)
    return _checked(desk, work, asked)


def _checked(desk: Desk, work: UnitOfWork, asked: Adjustment) -> Adjustment:
    work.periods.refuse_closed(desk.day(asked.day))
    return asked


def _stored(work: UnitOfWork, asked: Adjustment) -> Adjustment:
    stored = work.adjustments.add(asked)
    work.journal.post(adjustment_entry(stored))
    return stored
