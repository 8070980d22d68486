"""A month's figures, added up by the database and handed on row by row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.catalogue import Frame
from shopledger.ledger.month import Month, MonthTotals, PaymentRow, SalesRow, StockRow, TaxRow
from shopledger.ledger.stock import StockedKind
from shopledger.store.catalogue_rows import frame_of
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_TOTALS: Final = """
SELECT COUNT(DISTINCT sold.number) AS orders, COALESCE(SUM(line.list_price), 0) AS list_total,
       COALESCE(SUM(line.reduction), 0) AS reduction_total, COALESCE(SUM(line.net), 0) AS net_total,
       COALESCE(SUM(line.tax), 0) AS tax_total
FROM shop_order sold LEFT JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last
"""
_PAID: Final = "SELECT COALESCE(SUM(amount), 0) AS paid FROM payment WHERE day BETWEEN :first AND :last"
_SALES: Final = """
SELECT sold.day, sold.number AS order_number, customer.name AS customer, sold.state,
       COALESCE(wearer.name, '') AS wearer, line.kind, line.item_code, line.description, line.quantity,
       line.list_price, line.reduction, line.net, line.tax_category, line.tax
FROM shop_order sold
JOIN order_line line ON line.order_number = sold.number
JOIN customer ON customer.number = sold.customer_number
LEFT JOIN wearer ON wearer.number = line.wearer_number
WHERE sold.day BETWEEN :first AND :last
ORDER BY sold.day, sold.number, line.position
"""
_PAYMENTS: Final = """
SELECT payment.day, payment.order_number, customer.name AS customer, payment.method, payment.reference, payment.amount
FROM payment
JOIN shop_order sold ON sold.number = payment.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE payment.day BETWEEN :first AND :last
ORDER BY payment.day, payment.number
"""
_TAX: Final = """
SELECT sold.state, line.tax_category, line.tax_rate, SUM(line.net) AS sales, SUM(line.tax) AS tax
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last
GROUP BY sold.state, line.tax_category, line.tax_rate
ORDER BY sold.state, line.tax_category, line.tax_rate
"""
_STOCK: Final = """
SELECT moved.kind, moved.item_code, accessory.name, frame.*,
       moved.opening, moved.received, moved.sold, moved.adjusted, moved.closing,
       (SELECT bought.unit_cost FROM stock_movement bought
        WHERE bought.kind = moved.kind AND bought.item_code = moved.item_code
          AND bought.quantity > 0 AND bought.reason <> 'returned' AND bought.day <= :last
        ORDER BY bought.day DESC, bought.number DESC LIMIT 1) AS unit_cost
FROM (
    SELECT kind, item_code,
           SUM(CASE WHEN day < :first THEN quantity ELSE 0 END) AS opening,
           SUM(CASE WHEN day >= :first AND reason IN ('opening', 'received') THEN quantity ELSE 0 END) AS received,
           -SUM(CASE WHEN day >= :first AND reason IN ('sold', 'returned') THEN quantity ELSE 0 END) AS sold,
           SUM(CASE WHEN day >= :first AND reason = 'adjusted' THEN quantity ELSE 0 END) AS adjusted,
           SUM(quantity) AS closing
    FROM stock_movement WHERE day <= :last GROUP BY kind, item_code
) moved
LEFT JOIN accessory ON moved.kind = 'accessory' AND accessory.code = moved.item_code
LEFT JOIN frame ON moved.kind = 'frame' AND frame.code = moved.item_code
ORDER BY moved.kind, moved.item_code
"""


@dataclass(frozen=True, slots=True)
class Months:
    """The months of the ledger."""

    transaction: Transaction

    def totals(self, month: Month) -> MonthTotals:
        """Give what the month's orders and payments come to."""
        sold = self.transaction.asked(_TOTALS, **_days(month))[0]
        paid = self.transaction.asked(_PAID, **_days(month))[0].paid
        figures = (sold.orders, sold.list_total, sold.reduction_total, sold.net_total, sold.tax_total, paid)
        return MonthTotals(*map(int, figures))

    def sales(self, month: Month) -> Iterator[SalesRow]:
        """Give the lines sold, by day and order."""
        for row in self.transaction.stream(_SALES, **_days(month)):
            yield SalesRow(read_day(row[0]), *_after_day(row))

    def payments(self, month: Month) -> Iterator[PaymentRow]:
        """Give the payments received, by day."""
        for row in self.transaction.stream(_PAYMENTS, **_days(month)):
            yield PaymentRow(read_day(row[0]), *_after_day(row))

    def tax(self, month: Month) -> Iterator[TaxRow]:
        """Give what each state's categories came to at each rate."""
        for row in self.transaction.stream(_TAX, **_days(month)):
            yield TaxRow(row.state, row.tax_category, row.tax_rate, int(row.sales), int(row.tax))

    def stock(self, month: Month) -> Iterator[StockRow]:
        """Give each stocked item's counts over the month, and its cost as last paid by the month's end."""
        for row in self.transaction.stream(_STOCK, **_days(month)):
            yield StockRow(
                item_code=row.item_code,
                description=_description(row),
                opening=int(row.opening),
                received=int(row.received),
                sold=int(row.sold),
                adjusted=int(row.adjusted),
                closing=int(row.closing),
                unit_cost=int(row.unit_cost or 0),
            )


def _days(month: Month) -> dict[str, object]:
    return {"first": day_text(month.first), "last": day_text(month.last)}


def _after_day(row: Row[Any]) -> tuple[Any, ...]:
    """Give the columns after the first; the questions above list them as the rows of the month do."""
    return tuple(row)[1:]


def _description(row: Row[Any]) -> str:
    if StockedKind(row.kind) is StockedKind.ACCESSORY:
        return row.name or ""
    frame: Frame | None = frame_of(row) if row.code is not None else None
    return frame.description if frame else ""
