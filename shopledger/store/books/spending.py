"""Expenses, and money that moved without a sale or a bill, as the ledger keeps them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense
from shopledger.ledger.books.voiding import Listed
from shopledger.store.books.voiding import listed_rows
from shopledger.store.folding import folded
from shopledger.store.records import Record
from shopledger.store.scales import day_text
from shopledger.store.tables.spending import expense, money_move
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on

_EXPENSES_STANDING: Final = f"""
SELECT expense.* FROM expense
WHERE expense.day = :day AND expense.amount = :amount
  AND NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.EXPENSE, "expense.number", "taken_back")})
ORDER BY expense.number
"""  # noqa: S608 - the words of the ledger
_MOVES_STANDING: Final = f"""
SELECT move.* FROM money_move move
WHERE move.kind = :kind AND move.till = :till
  AND NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.MONEY, "move.number", "taken_back")})
ORDER BY move.number
"""  # noqa: S608 - the words of the ledger

EXPENSE: Final = Record(Expense, expense)
MOVE: Final = Record(MoneyMove, money_move, counter="money")


class Expenses(Area):
    """The expenses of the ledger; none is ever changed."""

    def add(self, expense: Expense) -> Expense:
        """Post an expense; gives it back with its number."""
        return self.transaction.post(EXPENSE, expense)

    def get(self, number: int) -> Expense:
        """Give the expense with that number."""
        return self.transaction.get(EXPENSE, number)

    def listed(self, month: Month | None = None) -> tuple[Listed[Expense], ...]:
        """Give a month's expenses, or all, by day; one that was voided stands below zero on that day."""
        return listed_rows(self.transaction, "expense", DocumentKind.EXPENSE, EXPENSE.named, month)

    def like(self, expense: Expense) -> Sequence[Expense]:
        """Give the expenses of the same day, amount and payee that were not voided."""
        rows = self.transaction.asked(_EXPENSES_STANDING, day=day_text(expense.day), amount=expense.amount)
        return [EXPENSE.named(row) for row in rows if folded(row.payee) == folded(expense.payee)]


class MoneyMoves(Area):
    """The money moves of the ledger; none is ever changed."""

    def add(self, move: MoneyMove) -> MoneyMove:
        """Post a move; gives it back with its number."""
        return self.transaction.post(MOVE, move)

    def get(self, number: int) -> MoneyMove:
        """Give the move with that number."""
        return self.transaction.get(MOVE, number, "money move")

    def listed(self, month: Month | None = None) -> tuple[Listed[MoneyMove], ...]:
        """Give a month's moves, or all, by day; one that was voided stands below zero on that day."""
        return listed_rows(self.transaction, "money_move", DocumentKind.MONEY, MOVE.named, month)

    def standing(self, kind: MoveKind, till: CashAccount) -> Sequence[MoneyMove]:
        """Give the moves of one kind and till that were not voided, oldest first."""
        return [MOVE.named(row) for row in self.transaction.asked(_MOVES_STANDING, kind=kind.value, till=till.value)]
