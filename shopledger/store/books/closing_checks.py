"""What is still loose in a month, as the ledger stands now."""

# ruff: noqa: S608 - the queries are made of the words in this file alone

from __future__ import annotations

from datetime import date, timedelta
from itertools import accumulate
from typing import Any, Final

from shopledger.ledger.books.closing import OLD_DEPOSIT_DAYS, MonthLoose
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import OF_PROCESSOR, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.overtaken import overtaken
from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents
from shopledger.store.books.bills import Bills
from shopledger.store.books.deposits import Deposits
from shopledger.store.books.document_rows import TAKEN, WRITTEN_OFF
from shopledger.store.books.tax_returns import RATE_STANDS
from shopledger.store.earnings import Earnings
from shopledger.store.orders import Orders
from shopledger.store.parcels import SOMETHING_HERE
from shopledger.store.receipts import Receipts
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Area
from shopledger.store.words import listed, stands_on, word

_OPEN: Final = "NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = sold.number)"
_NOT_SHIPPED: Final = f"""
SELECT sold.number AS found FROM shop_order sold
WHERE sold.day BETWEEN :first AND :last AND {_OPEN}
  AND {SOMETHING_HERE.format(number="sold.number")}
ORDER BY sold.number
"""
# What was corrected since, whenever that was: what is owed now is loose, not what was owed then.
_NOT_PAID: Final = f"""
SELECT sold.number AS found FROM shop_order sold
WHERE sold.day BETWEEN :first AND :last AND {_OPEN}
  AND (SELECT COALESCE(SUM(line.net + line.tax), 0) FROM order_line line WHERE line.order_number = sold.number)
    - (SELECT COALESCE(SUM(part.net + part.tax), 0) FROM correction_part part WHERE part.order_number = sold.number)
    - (SELECT COALESCE(SUM(payment.amount), 0) FROM payment WHERE payment.order_number = sold.number)
    + (SELECT COALESCE(SUM({TAKEN} - {WRITTEN_OFF}), 0) FROM correction WHERE correction.order_number = sold.number) > 0
ORDER BY sold.number
"""
_CHANGED: Final = """
SELECT order_number AS found FROM refund WHERE day BETWEEN :first AND :last
UNION SELECT order_number FROM correction WHERE day BETWEEN :first AND :last
UNION SELECT pair.order_number FROM job_again again JOIN order_pair pair ON pair.job_number = again.job_number
WHERE again.day BETWEEN :first AND :last
"""
_NO_COST: Final = f"""
SELECT DISTINCT item_code AS found FROM stock_movement
WHERE day BETWEEN :first AND :last AND reason IN {listed((StockReason.RECEIVED, StockReason.OPENING))}
  AND quantity > 0 AND cost = 0
ORDER BY item_code
"""
_CARD_OPEN: Final = f"""
SELECT (SELECT COALESCE(SUM(posting.amount), 0) FROM journal_posting posting
        JOIN journal_entry entry ON entry.number = posting.entry_number
        WHERE posting.account = {word(Account.CARD_CLEARING)} AND entry.day <= :last)
     - (SELECT COALESCE(SUM(CASE WHEN move.kind = {word(MoveKind.RELEASED)} THEN -move.amount ELSE move.amount END), 0)
        FROM money_move move
        WHERE move.kind IN {listed((*OF_PROCESSOR, MoveKind.RESERVED, MoveKind.RELEASED))} AND move.day > :last
          AND NOT EXISTS (
            SELECT 1 FROM taken_back WHERE {stands_on(DocumentKind.MONEY, "move.number", "taken_back")})) AS amount
"""
_UNTAXED: Final = f"""
SELECT DISTINCT sold.state || ' ' || line.tax_category AS found
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last AND line.net > 0 AND line.tax_reason = '' AND line.tax_rate = 0
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = sold.number)
  AND NOT {RATE_STANDS}
ORDER BY found
"""
_CASH_BY_DAY: Final = f"""
SELECT entry.day, SUM(posting.amount) AS amount
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE posting.account = {word(Account.CASH)} AND entry.day <= :last
GROUP BY entry.day ORDER BY entry.day
"""


class ClosingChecks(Area):
    """Looks for what is loose in a month."""

    def loose(self, month: Month) -> MonthLoose:
        """Give what is loose in a month as the ledger stands now: what was mended since is not among it."""
        return MonthLoose(
            not_shipped=self._found(_NOT_SHIPPED, month),
            not_paid=self._found(_NOT_PAID, month),
            not_put_off=Earnings(self.transaction).counted_at_once(month.last),
            overtaken_receipts=self._overtaken(month),
            goods_without_cost=self._found(_NO_COST, month),
            jobs_without_bill=tuple(each.job_number for each in Bills(self.transaction).jobs_without_bill(month)),
            card_open=int(self.transaction.asked(_CARD_OPEN, last=day_text(month.last))[0].amount),
            untaxed=self._found(_UNTAXED, month),
            old_deposits=self._old_deposits(month),
            cash_short=self._cash_short(month),
        )

    def _found(self, query: str, month: Month) -> tuple[Any, ...]:
        rows = self.transaction.asked(query, first=day_text(month.first), last=day_text(month.last))
        return tuple(row.found for row in rows)

    def _overtaken(self, month: Month) -> tuple[int, ...]:
        """Give the receipts of orders that changed in the month: those that say otherwise, and have no successor."""
        numbers = sorted(self._found(_CHANGED, month))
        holding = Receipts(self.transaction).holding(numbers)
        issued = [receipt for number in numbers for receipt in holding[number]]
        return tuple(sorted(overtaken(issued, Orders(self.transaction).sums(numbers))))

    def _old_deposits(self, month: Month) -> tuple[int, ...]:
        latest = month.last - timedelta(OLD_DEPOSIT_DAYS)
        accounts = Deposits(self.transaction).accounts(None)
        return tuple(each.deposit.number or 0 for each in accounts if each.left and each.deposit.day < latest)

    def _cash_short(self, month: Month) -> tuple[date, Cents] | None:
        rows = self.transaction.asked(_CASH_BY_DAY, last=day_text(month.last))
        days = (max(read_day(row.day), month.first) for row in rows)
        # What lay there before the month is what lies there on its first day, unless that day changed it.
        standing = dict(zip(days, accumulate(int(row.amount) for row in rows), strict=True))
        return next(((day, amount) for day, amount in standing.items() if amount < 0), None)
