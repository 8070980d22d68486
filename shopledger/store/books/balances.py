"""What lies in each account, and what is owed to a state, as the books add it up to a day."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.money.amount import Cents
from shopledger.store.scales import day_text
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on, word

_AT_LAST: Final = "9999-99-99"
_ACCOUNTS: Final = {account.title: account for account in Account}
_SUMS: Final = """
SELECT posting.account, SUM(posting.amount) AS total
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE entry.day <= :day GROUP BY posting.account
"""
_OF_ONE: Final = """
SELECT COALESCE(SUM(posting.amount), 0) AS total
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE entry.day <= :day AND posting.account = :account
"""
_TAX_OWED: Final = f"""
SELECT COALESCE(SUM(part.amount), 0) AS total FROM (
    SELECT line.tax AS amount
    FROM order_line line JOIN shop_order sold ON sold.number = line.order_number
    WHERE sold.state = :state AND sold.day <= :day
  UNION ALL
    SELECT -line.tax
    FROM cancellation undone
    JOIN shop_order sold ON sold.number = undone.order_number
    JOIN order_line line ON line.order_number = sold.number
    WHERE sold.state = :state AND undone.day <= :day
  UNION ALL
    SELECT -given.tax
    FROM refund_part given
    JOIN refund ON refund.number = given.refund_number
    JOIN shop_order sold ON sold.number = given.order_number
    WHERE sold.state = :state AND refund.day <= :day
  UNION ALL
    SELECT -move.amount FROM money_move move
    WHERE move.kind = {word(MoveKind.TAX_PAID)} AND move.state = :state AND move.day <= :day
  UNION ALL
    SELECT move.amount
    FROM money_move move JOIN taken_back taken ON {stands_on(DocumentKind.MONEY, "move.number", "taken")}
    WHERE move.kind = {word(MoveKind.TAX_PAID)} AND move.state = :state AND taken.day <= :day
) part
"""  # noqa: S608 - the words of the ledger


class Balances(Area):
    """The sums of the books, to the end of a day or to the last entry."""

    def all(self, day: date | None = None) -> dict[Account, Cents]:
        """Give every account that was ever touched with its balance, debits above zero."""
        rows = self.transaction.asked(_SUMS, day=_until(day))
        return {_ACCOUNTS[row.account]: int(row.total) for row in rows}

    def of(self, account: Account, day: date | None = None) -> Cents:
        """Give one account's balance, debits above zero."""
        (row,) = self.transaction.asked(_OF_ONE, day=_until(day), account=account.title)
        return int(row.total)

    def sales_tax_owed(self, state: str, day: date | None = None) -> Cents:
        """Give the sales tax charged for a state, less what was given back and what was handed on."""
        (row,) = self.transaction.asked(_TAX_OWED, day=_until(day), state=state)
        return int(row.total)


def _until(day: date | None) -> str:
    return day_text(day) if day else _AT_LAST
