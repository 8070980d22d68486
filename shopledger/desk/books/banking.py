"""Money that moves without a sale or a bill, what lies where, and whether it is enough to take some out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.ledger.books.balance_sheet import BalanceSheet, SheetLine, balance_sheet
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_findings import above_balance, above_tax, opened_before, same_move, turned_round
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind, shown_balances
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import move_entry
from shopledger.ledger.books.voiding import Listed
from shopledger.ledger.numbers import number_of
from shopledger.money.amount import Cents
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class MovePlan:
    """A move as it would be stored, and what is odd about it."""

    move: MoneyMove
    findings: tuple[Finding, ...] = ()


def plan_move(desk: Desk, asked: MoneyMove) -> MovePlan:
    """Look at a move without storing it."""
    with desk.reading() as work:
        return _planned(desk, work, asked)


def record_move(desk: Desk, asked: MoneyMove, accept: frozenset[str] = frozenset()) -> MovePlan:
    """Store a move with its posting."""
    with desk.writing() as work:
        return post_move(desk, work, asked, accept)


def post_move(desk: Desk, work: UnitOfWork, asked: MoneyMove, accept: frozenset[str]) -> MovePlan:
    """Store a move with its posting, as a part of what is being written."""
    plan = _planned(desk, work, asked)
    accepted = accepted_warnings(plan.findings, accept)
    move = work.money_moves.add(plan.move)
    work.journal.post(move_entry(move))
    note_accepted(work, accepted, Document(DocumentKind.MONEY, number_of(move)))
    return replace(plan, move=move)


def moves(desk: Desk, month: Month | None = None) -> tuple[Listed[MoneyMove], ...]:
    """Give a month's moves or all, by day."""
    with desk.reading() as work:
        return work.money_moves.listed(month)


def balances(desk: Desk, day: date | None = None) -> tuple[tuple[Account, Cents], ...]:
    """Give what lies in the tills and what is owed, at the end of a day; without one, with all that is recorded."""
    until = desk.past_day(day) if day else None
    with desk.reading() as work:
        return shown_balances(work.balances.all(until))


def balance_sheet_of(desk: Desk, day: date | None = None) -> BalanceSheet:
    """Give what the shop has and owes at the end of a day, and the roll-forward of the owner's capital."""
    on = desk.past_day(day)
    with desk.reading() as work:
        return balance_sheet(on, work.balances.all(date(on.year - 1, 12, 31)), work.balances.all(on))


def has_and_owes(desk: Desk) -> tuple[tuple[SheetLine, ...], tuple[SheetLine, ...]]:
    """Give what the shop has and what it owes today, account by account."""
    with desk.reading() as work:
        sheet = balance_sheet(desk.today, {}, work.balances.all(desk.today))
    return sheet.assets, sheet.liabilities


def _planned(desk: Desk, work: UnitOfWork, asked: MoneyMove) -> MovePlan:
    work.periods.refuse_closed(desk.day(asked.day))
    return MovePlan(asked, tuple(_findings(work, asked)))


def _findings(work: UnitOfWork, move: MoneyMove) -> Iterator[Finding]:
    standing = work.money_moves.standing(move.kind, move.till)
    if move.kind is MoveKind.OPENING:
        yield from opened_before(move, next(iter(standing), None))
    else:
        same = (each for each in standing if _same(each, move))
        yield from same_move(move, next(same, None))
    yield from turned_round(move)
    account = _taken_from(move)
    if account is not None:
        yield from short_of(work, account, move.moved if account is Account.CASH else move.amount, move.day)
    if move.kind is MoveKind.TAX_PAID:
        owed = min(work.balances.sales_tax_owed(move.state, day) for day in (move.day, None))
        yield from above_tax(move.state, move.amount, owed)


def _same(earlier: MoneyMove, move: MoneyMove) -> bool:
    """Tell whether two moves may be one; payouts of one amount under two numbers of the processor's are two."""
    two = move.kind is MoveKind.PAYOUT and move.reference and earlier.reference and move.reference != earlier.reference
    return not two and (earlier.day, earlier.amount, earlier.state) == (move.day, move.amount, move.state)


def _taken_from(move: MoneyMove) -> Account | None:
    """Give the account that the move empties and that does not go below zero; a bank account may."""
    if move.kind in {MoveKind.PAYOUT, MoveKind.RESERVED, MoveKind.RELEASED}:
        return move.kind.account if move.amount > 0 else None
    if move.kind is MoveKind.CARD_PAID:
        return Account.CREDIT_CARD
    out_of_cash = move.till is CashAccount.CASH and move.kind in {MoveKind.DRAW, MoveKind.TAX_PAID}
    return Account.CASH if out_of_cash or move.kind is MoveKind.BANKED else None


def short_of(work: UnitOfWork, account: Account, amount: Cents, day: date) -> tuple[Finding, ...]:
    """Warn where the account does not hold the amount: on that day, or because of what was recorded for later days."""
    then, at_last = work.balances.of(account, day), work.balances.of(account)
    lies = min(then, at_last) if account.kind is AccountKind.ASSET else max(then, at_last)
    return above_balance(account, amount, lies)
