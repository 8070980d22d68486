"""What was sold, taxed and taken back in each state over some days."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.books.tax_return import NO_RATE, ZERO_RATE, TaxReturn
from shopledger.store.books.balances import Balances
from shopledger.store.scales import day_text
from shopledger.store.transaction import Transaction

_SOLD: Final = f"""
SELECT sold.state,
       CASE WHEN line.tax_rate > 0 THEN '' WHEN line.tax_reason <> '' THEN line.tax_reason
            WHEN EXISTS (SELECT 1 FROM tax_rate rate WHERE rate.state = sold.state
                         AND rate.category = line.tax_category AND rate.valid_from <= sold.day) THEN '{ZERO_RATE}'
            ELSE '{NO_RATE}' END AS reason,
       SUM(line.net) AS net, SUM(line.tax) AS tax
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last AND (:state = '' OR sold.state = :state)
GROUP BY 1, 2 ORDER BY 1, 2
"""  # noqa: S608 - the words above
_TAKEN_BACK: Final = """
SELECT state, SUM(net) AS net, SUM(tax) AS tax, SUM(CASE WHEN tax_rate > 0 THEN net ELSE 0 END) AS taxable
FROM (
    SELECT sold.state, line.net, line.tax, line.tax_rate
    FROM cancellation gone JOIN shop_order sold ON sold.number = gone.order_number
    JOIN order_line line ON line.order_number = sold.number
    WHERE gone.day BETWEEN :first AND :last AND (:state = '' OR sold.state = :state)
    UNION ALL
    SELECT sold.state, part.net, part.tax, line.tax_rate
    FROM refund JOIN refund_part part ON part.refund_number = refund.number
    JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
    JOIN shop_order sold ON sold.number = refund.order_number
    WHERE refund.day BETWEEN :first AND :last AND (:state = '' OR sold.state = :state)
) together
GROUP BY state
"""
_PAID: Final = """
SELECT state, SUM(amount) AS amount
FROM (
    SELECT move.state, move.amount FROM money_move move
    WHERE move.kind = 'tax paid' AND move.day BETWEEN :first AND :last AND (:state = '' OR move.state = :state)
    UNION ALL
    SELECT move.state, -move.amount FROM money_move move
    JOIN taken_back taken ON taken.document = 'money ' || CAST(move.number AS TEXT)
    WHERE move.kind = 'tax paid' AND taken.day BETWEEN :first AND :last AND (:state = '' OR move.state = :state)
) together
GROUP BY state
"""


@dataclass(frozen=True, slots=True)
class TaxReturns:
    """Sales tax by state over any days."""

    transaction: Transaction

    def between(self, first: date, last: date, state: str = "") -> tuple[TaxReturn, ...]:
        """Give each state in which something happened, or the one named, by its code."""
        asked = {"first": day_text(first), "last": day_text(last), "state": state}
        sold = defaultdict(list)
        for row in self.transaction.asked(_SOLD, **asked):
            sold[row.state].append(row)
        back = {row.state: row for row in self.transaction.asked(_TAKEN_BACK, **asked)}
        paid = {row.state: int(row.amount) for row in self.transaction.asked(_PAID, **asked)}
        met = {*sold, *back, *paid, *((state,) if state else ())}
        return tuple(
            TaxReturn(
                state=each,
                first=first,
                last=last,
                gross=sum(int(row.net) for row in sold[each]),
                exempt=tuple((row.reason, int(row.net)) for row in sold[each] if row.reason and row.net),
                charged=sum(int(row.tax) for row in sold[each]),
                taken_back=int(back[each].net) if each in back else 0,
                tax_taken_back=int(back[each].tax) if each in back else 0,
                taxable_taken_back=int(back[each].taxable) if each in back else 0,
                paid=paid.get(each, 0),
                owed_at_end=Balances(self.transaction).sales_tax_owed(each, last),
            )
            for each in sorted(met)
        )
