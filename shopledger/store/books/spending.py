"""Expenses, as the ledger keeps them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.taking_back import Listed
from shopledger.store.books.taking_back import listed_rows
from shopledger.store.lookups import folded
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction
from shopledger.store.words import stands_on

_STANDING: Final = f"""
SELECT expense.* FROM expense
WHERE expense.day = :day AND expense.amount = :amount
  AND NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.EXPENSE, "expense.number", "taken_back")})
ORDER BY expense.number
"""  # noqa: S608 - the words of the ledger


@dataclass(frozen=True, slots=True)
class Expenses:
    """The expenses of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, expense: Expense) -> Expense:
        """Post an expense; gives it back with its number."""
        number = self.transaction.next_number("expense")
        values = {
            "number": number,
            "day": day_text(expense.day),
            "payee": expense.payee,
            "category": expense.category.value,
            "description": expense.description,
            "amount": expense.amount,
            "method": expense.method.value,
            "reference": expense.reference,
            "file_sha256": expense.file_sha256,
        }
        self.transaction.add("expense", {**values, **self.transaction.stamp})
        return replace(expense, number=number)

    def get(self, number: int) -> Expense:
        """Give the expense with that number."""
        row = self.transaction.row("expense", number=number)
        if row is None:
            raise NumberUnknownError("expense", number)
        return expense_of(row)

    def listed(self, month: Month | None = None) -> tuple[Listed[Expense], ...]:
        """Give a month's expenses, or all, by day; one that was taken back stands below nought on that day."""
        return listed_rows(self.transaction, "expense", DocumentKind.EXPENSE, expense_of, month)

    def like(self, expense: Expense) -> Sequence[Expense]:
        """Give the expenses of the same day, amount and payee that were not taken back."""
        rows = self.transaction.asked(_STANDING, day=day_text(expense.day), amount=expense.amount)
        return [expense_of(row) for row in rows if folded(row.payee) == folded(expense.payee)]


def expense_of(row: Row[Any]) -> Expense:
    """Give the expense in a row."""
    return Expense(
        day=read_day(row.day),
        payee=row.payee,
        category=ExpenseCategory(row.category),
        description=row.description,
        amount=row.amount,
        method=SpendMethod(row.method),
        reference=row.reference,
        file_sha256=row.file_sha256,
        number=row.number,
    )
