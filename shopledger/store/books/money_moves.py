"""Money that moved without a sale or a bill, as the ledger keeps it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.money_moves import MoneyMove, MoveKind, Till
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.taking_back import Listed
from shopledger.store.books.taking_back import listed_rows
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction
from shopledger.store.words import stands_on

_STANDING: Final = f"""
SELECT move.* FROM money_move move
WHERE move.kind = :kind AND move.till = :till
  AND NOT EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.MONEY, "move.number", "taken_back")})
ORDER BY move.number
"""  # noqa: S608 - the words of the ledger


@dataclass(frozen=True, slots=True)
class MoneyMoves:
    """The money moves of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, move: MoneyMove) -> MoneyMove:
        """Post a move; gives it back with its number."""
        number = self.transaction.next_number("money")
        values = {
            "number": number,
            "day": day_text(move.day),
            "kind": move.kind.value,
            "till": move.till.value,
            "amount": move.amount,
            "fee": move.fee,
            "state": move.state,
            "reference": move.reference,
            "note": move.note,
        }
        self.transaction.add("money_move", {**values, **self.transaction.stamp})
        return replace(move, number=number)

    def get(self, number: int) -> MoneyMove:
        """Give the move with that number."""
        row = self.transaction.row("money_move", number=number)
        if row is None:
            raise NumberUnknownError("money move", number)
        return move_of(row)

    def listed(self, month: Month | None = None) -> tuple[Listed[MoneyMove], ...]:
        """Give a month's moves, or all, by day; one that was taken back stands below nought on that day."""
        return listed_rows(self.transaction, "money_move", DocumentKind.MONEY, move_of, month)

    def standing(self, kind: MoveKind, till: Till) -> Sequence[MoneyMove]:
        """Give the moves of one kind and till that were not taken back, oldest first."""
        return [move_of(row) for row in self.transaction.asked(_STANDING, kind=kind.value, till=till.value)]


def move_of(row: Row[Any]) -> MoneyMove:
    """Give the move in a row."""
    return MoneyMove(
        day=read_day(row.day),
        kind=MoveKind(row.kind),
        till=Till(row.till),
        amount=row.amount,
        fee=row.fee,
        state=row.state,
        reference=row.reference,
        note=row.note,
        number=row.number,
    )
