"""Recording what was spent and paid at once, with the paper that proves it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.books.banking import short_of
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError
from shopledger.files.replacing import COPY
from shopledger.files.writing import write_whole
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_findings import no_proof, same_expense
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import expense_entry
from shopledger.ledger.books.spending import Expense, ExpenseCategory
from shopledger.ledger.books.voiding import Listed, Voiding
from shopledger.ledger.numbers import number_of
from shopledger.ledger.text import LONGEST_NAME
from shopledger.optics.findings import Finding
from shopledger.store.kept_files import KeptFile
from shopledger.store.work import UnitOfWork

_UNSAFE: Final = re.compile(r"[^\w. -]")
"""What never becomes part of a file's name."""


@dataclass(frozen=True, slots=True)
class ExpensePlan:
    """An expense as it would be stored, the file that is to be kept, and what is odd about it."""

    expense: Expense
    receipt: KeptFile | None
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class ExpenseCard:
    """A stored expense, its kept file, and its voiding if it was a mistake."""

    expense: Expense
    receipt: KeptFile | None = None
    voided: Voiding | None = None


def plan_expense(desk: Desk, asked: Expense, receipt: Path | None = None) -> ExpensePlan:
    """Look at an expense without storing it."""
    with desk.reading() as work:
        return _planned(desk, work, asked, receipt)


def record_expense(
    desk: Desk, asked: Expense, receipt: Path | None = None, accept: frozenset[str] = frozenset()
) -> ExpensePlan:
    """Store an expense with its posting, and keep its paper: all of it, or nothing."""
    with desk.writing() as work:
        return post_expense(desk, work, asked, receipt, accept)


def post_expense(
    desk: Desk, work: UnitOfWork, asked: Expense, receipt: Path | None, accept: frozenset[str]
) -> ExpensePlan:
    """Store an expense with its posting, and keep its paper, as a part of what is being written."""
    plan = _planned(desk, work, asked, receipt)
    accepted = accepted_warnings(plan.findings, accept)
    kept = work.kept_files.keep(receipt) if receipt is not None else None
    expense = work.expenses.add(replace(plan.expense, file_sha256=kept.sha256 if kept else None))
    work.journal.post(expense_entry(expense))
    note_accepted(work, accepted, Document(DocumentKind.EXPENSE, number_of(expense)))
    return replace(plan, expense=expense, receipt=kept)


def expense_card(desk: Desk, number: int) -> ExpenseCard:
    """Give one expense with what is kept of it."""
    with desk.reading() as work:
        return _card(work, number)


def expenses(
    desk: Desk, month: Month | None = None, category: ExpenseCategory | None = None
) -> tuple[Listed[Expense], ...]:
    """Give a month's expenses or all, of one category or of every one, by day."""
    with desk.reading() as work:
        found = work.expenses.listed(month)
    return tuple(each for each in found if category in {None, each.what.category})


def write_receipt(desk: Desk, number: int, folder: Path) -> Path:
    """Write the kept file of an expense into a folder, named after the expense and the name that it came with."""
    with desk.reading() as work:
        card = _card(work, number)
        if card.receipt is None:
            raise RefusedError("receipt", f"of expense {number}", "no file was kept with it", "Look at its reference.")
        body = work.kept_files.body(card.receipt.sha256)
    target = folder / f"expense-{number:05d}-{_UNSAFE.sub('_', card.receipt.name)[-LONGEST_NAME:]}"
    return write_whole(body, target, COPY)


def _planned(desk: Desk, work: UnitOfWork, asked: Expense, receipt: Path | None) -> ExpensePlan:
    day: date = desk.day(asked.day)
    work.periods.refuse_closed(day)
    kept = work.kept_files.look(receipt) if receipt is not None else None
    expense = replace(asked, file_sha256=kept.sha256 if kept else None)
    return ExpensePlan(expense, kept, _findings(work, expense))


def _findings(work: UnitOfWork, expense: Expense) -> tuple[Finding, ...]:
    earlier = next(iter(work.expenses.like(expense)), None)
    short = short_of(work, Account.CASH, expense.amount, expense.day) if expense.method.account is Account.CASH else ()
    return (*same_expense(expense, earlier), *short, *no_proof(expense))


def _card(work: UnitOfWork, number: int) -> ExpenseCard:
    expense = work.expenses.get(number)
    kept = work.kept_files.get(expense.file_sha256) if expense.file_sha256 else None
    return ExpenseCard(expense, kept, work.voidings.of(Document(DocumentKind.EXPENSE, number)))
