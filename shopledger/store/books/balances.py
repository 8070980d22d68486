"""What lies in each account, and what is owed to a state, as the books add it up to a day."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.money.amount import Cents
from shopledger.store.books.sales_queries import cancelled, given_up, sold
from shopledger.store.scales import day_text
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on, word

_AT_FIRST, _AT_LAST = "0000-00-00", "9999-99-99"
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
_IN_STATE: Final = "AND sold.state = :state"
_TAX_OWED: Final = f"""
SELECT COALESCE(SUM(part.amount), 0) AS total FROM (
    SELECT tax AS amount FROM ({sold("sold.state", _IN_STATE)}) charged
  UNION ALL
    SELECT -tax FROM ({cancelled("sold.state", _IN_STATE)}) gone
  UNION ALL
    SELECT -tax FROM ({given_up("sold.state", _IN_STATE)}) back
  UNION ALL
    SELECT -move.amount FROM money_move move
    WHERE move.kind = {word(MoveKind.TAX_PAID)} AND move.state = :state AND move.day <= :last
  UNION ALL
    SELECT move.amount
    FROM money_move move JOIN taken_back taken ON {stands_on(DocumentKind.MONEY, "move.number", "taken")}
    WHERE move.kind = {word(MoveKind.TAX_PAID)} AND move.state = :state AND taken.day <= :last
  UNION ALL
    SELECT -line.amount FROM adjustment entered
    JOIN adjustment_line line ON line.adjustment_number = entered.number
    WHERE line.state = :state AND entered.day <= :last
  UNION ALL
    SELECT line.amount FROM adjustment_line line
    JOIN taken_back taken ON {stands_on(DocumentKind.ADJUSTMENT, "line.adjustment_number", "taken")}
    WHERE line.state = :state AND taken.day <= :last
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
        asked = {"first": _AT_FIRST, "last": _until(day), "state": state}
        (row,) = self.transaction.asked(_TAX_OWED, **asked)
        return int(row.total)


def _until(day: date | None) -> str:
    return day_text(day) if day else _AT_LAST
