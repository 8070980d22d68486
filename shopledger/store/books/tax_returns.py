"""What was sold, taxed and taken back in each state over some days."""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from collections import defaultdict
from typing import Final

from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.tax_forms import NO_RATE, ZERO_RATE, TaxReturn
from shopledger.store.books.balances import Balances
from shopledger.store.books.sales_queries import cancelled, given_up, sold, total
from shopledger.store.books.spending_queries import MOVES_BOTH_WAYS
from shopledger.store.scales import day_text
from shopledger.store.transaction import Area
from shopledger.store.words import word

_IN_STATE: Final = "AND (:state = '' OR sold.state = :state)"
_REASON: Final = f"""
CASE WHEN line.tax_rate > 0 THEN '' WHEN line.tax_reason <> '' THEN line.tax_reason
     WHEN EXISTS (SELECT 1 FROM tax_rate rate WHERE rate.state = sold.state
                  AND rate.category = line.tax_category AND rate.valid_from <= sold.day) THEN '{ZERO_RATE}'
     ELSE '{NO_RATE}' END AS reason"""
_SOLD: Final = f"""
SELECT state, reason, {total("net")} AS net, {total("tax")} AS tax
FROM ({sold(f"sold.state, {_REASON}", _IN_STATE)}) charged GROUP BY 1, 2 ORDER BY 1, 2
"""
_RATED: Final = "sold.state, line.tax_rate"
_TAKEN_BACK: Final = f"""
SELECT state, {total("net")} AS net, {total("tax")} AS tax, {total("net", "tax_rate > 0")} AS taxable
FROM ({cancelled(_RATED, _IN_STATE)} UNION ALL {given_up(_RATED, _IN_STATE)}) together
GROUP BY state
"""
_PAID: Final = f"""
SELECT state, {total("sign * amount")} AS amount FROM ({MOVES_BOTH_WAYS}) moved
WHERE kind = {word(MoveKind.TAX_PAID)} AND (:state = '' OR state = :state) GROUP BY state
"""


class TaxReturns(Area):
    """Sales tax by state over any days."""

    def over(self, period: Period, state: str = "") -> tuple[TaxReturn, ...]:
        """Give each state in which something happened, or the one named, by its code."""
        asked = {"first": day_text(period.first), "last": day_text(period.last), "state": state}
        sold = defaultdict(list)
        for row in self.transaction.asked(_SOLD, **asked):
            sold[row.state].append(row)
        back = {row.state: row for row in self.transaction.asked(_TAKEN_BACK, **asked)}
        paid = {row.state: row.amount for row in self.transaction.asked(_PAID, **asked)}
        met = {*sold, *back, *paid, *((state,) if state else ())}
        return tuple(
            TaxReturn(
                state=each,
                first=period.first,
                last=period.last,
                gross=sum(row.net for row in sold[each]),
                exempt=tuple((row.reason, row.net) for row in sold[each] if row.reason and row.net),
                charged=sum(row.tax for row in sold[each]),
                taken_back=back[each].net if each in back else 0,
                tax_taken_back=back[each].tax if each in back else 0,
                taxable_taken_back=back[each].taxable if each in back else 0,
                paid=paid.get(each, 0),
                owed_at_end=Balances(self.transaction).sales_tax_owed(each, period.last),
            )
            for each in sorted(met)
        )
