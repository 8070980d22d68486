"""What a month asks of the database, in SQL that SQLite and PostgreSQL both understand.

What was taken back is found by the day it was taken back; only the order's own words come from the sale.
"""

from __future__ import annotations

from typing import Final

TOTALS: Final = """
SELECT 'sold' AS what, (SELECT COUNT(*) FROM shop_order WHERE day BETWEEN :first AND :last) AS many,
       SUM(line.list_price) AS list_price, SUM(line.reduction) AS reduction, SUM(line.net) AS net, SUM(line.tax) AS tax
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last
UNION ALL
SELECT 'cancelled', (SELECT COUNT(*) FROM cancellation WHERE day BETWEEN :first AND :last),
       SUM(line.list_price), SUM(line.reduction), SUM(line.net), SUM(line.tax)
FROM cancellation taken JOIN order_line line ON line.order_number = taken.order_number
WHERE taken.day BETWEEN :first AND :last
UNION ALL
SELECT 'refunded', COUNT(DISTINCT given.number), 0, 0, SUM(part.net), SUM(part.tax)
FROM refund given JOIN refund_part part ON part.refund_number = given.number
WHERE given.day BETWEEN :first AND :last
UNION ALL
SELECT 'paid', COUNT(*), 0, 0, SUM(amount), 0 FROM payment WHERE day BETWEEN :first AND :last
UNION ALL
SELECT 'repaid', COUNT(*), 0, 0, SUM(payment.amount), 0
FROM cancellation taken JOIN payment ON payment.order_number = taken.order_number
WHERE taken.day BETWEEN :first AND :last
"""
SALES: Final = """
SELECT sold.day AS day, sold.number AS order_number, customer.name AS customer, sold.state,
       line.kind, line.item_code, line.description, line.quantity,
       line.list_price, line.reduction, line.net, line.tax_category, line.tax, 'sold' AS event,
       0 AS turn, line.position AS position
FROM shop_order sold
JOIN order_line line ON line.order_number = sold.number
JOIN customer ON customer.number = sold.customer_number
WHERE sold.day BETWEEN :first AND :last
UNION ALL
SELECT taken.day, sold.number, customer.name, sold.state,
       line.kind, line.item_code, line.description, -line.quantity,
       -line.list_price, -line.reduction, -line.net, line.tax_category, -line.tax, 'cancelled',
       1, line.position
FROM cancellation taken
JOIN shop_order sold ON sold.number = taken.order_number
JOIN order_line line ON line.order_number = sold.number
JOIN customer ON customer.number = sold.customer_number
WHERE taken.day BETWEEN :first AND :last
ORDER BY day, order_number, turn, position
"""
REFUNDS: Final = """
SELECT given.day, given.order_number, customer.name AS customer, sold.state, line.kind, line.description,
       line.tax_category, part.net, part.tax, given.method, given.reason, part.returned
FROM refund given
JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE given.day BETWEEN :first AND :last
ORDER BY given.day, given.number, part.position
"""
# What a payment carries of its order's tax: the share of all paid so far, less the share of what was paid before it.
_CARRIED: Final = (
    "({taxed} * part.upto * 2 + taxed.total) / (taxed.total * 2) - "
    "({taxed} * (part.upto - part.amount) * 2 + taxed.total) / (taxed.total * 2)"
)
_BUYERS, _SELLERS = (_CARRIED.format(taxed=f"taxed.{whose}") for whose in ("buyers", "sellers"))
# The payments of some orders, each with the taxes in it; sums are cast since a sum of whole numbers is none elsewhere.
_SHARES: Final = f"""
    SELECT part.number, part.order_number, part.day, part.method, part.reference, part.amount, part.deposit_number,
           {_BUYERS} AS tax, {_SELLERS} AS sellers_tax
    FROM (
        SELECT payment.number, payment.order_number, payment.day, payment.method, payment.reference, payment.amount,
               payment.deposit_number,
               CAST(SUM(payment.amount) OVER (PARTITION BY payment.order_number ORDER BY payment.number) AS BIGINT)
               AS upto
        FROM payment WHERE payment.order_number IN ({{orders}})
    ) part
    JOIN (
        SELECT order_number, CAST(SUM(net + tax) AS BIGINT) AS total,
               CAST(SUM(CASE WHEN tax_imposed_on = 'buyer' THEN tax ELSE 0 END) AS BIGINT) AS buyers,
               CAST(SUM(CASE WHEN tax_imposed_on = 'seller' THEN tax ELSE 0 END) AS BIGINT) AS sellers
        FROM order_line WHERE order_number IN ({{orders}}) GROUP BY order_number
    ) taxed ON taxed.order_number = part.order_number
"""  # noqa: S608 - made of the questions above alone
_PAID: Final = _SHARES.format(orders="SELECT order_number FROM payment WHERE day BETWEEN :first AND :last")
_REPAID: Final = _SHARES.format(orders="SELECT order_number FROM cancellation WHERE day BETWEEN :first AND :last")
PAYMENTS: Final = f"""
SELECT paid.day, paid.order_number, customer.name AS customer, paid.method, paid.reference, paid.amount,
       paid.deposit_number, paid.tax, paid.sellers_tax
FROM ({_PAID}) paid
JOIN shop_order sold ON sold.number = paid.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE paid.day BETWEEN :first AND :last
ORDER BY paid.day, paid.number
"""  # noqa: S608 - made of the questions above alone
MONEY_BACK: Final = f"""
SELECT given.day AS day, given.order_number AS order_number, customer.name AS customer, 'refund' AS cause, given.method,
       given.reference, SUM(part.net + part.tax) AS amount, 0 AS to_deposit,
       SUM(CASE WHEN line.tax_imposed_on = 'buyer' THEN part.tax ELSE 0 END) AS tax,
       SUM(CASE WHEN line.tax_imposed_on = 'seller' THEN part.tax ELSE 0 END) AS sellers_tax, given.number AS number
FROM refund given
JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE given.day BETWEEN :first AND :last
GROUP BY given.day, given.order_number, customer.name, given.method, given.reference, given.number
UNION ALL
SELECT taken.day, taken.order_number, customer.name, 'cancellation', repaid.method, repaid.reference,
       CASE WHEN repaid.deposit_number IS NULL THEN repaid.amount ELSE 0 END,
       CASE WHEN repaid.deposit_number IS NULL THEN 0 ELSE repaid.amount END,
       repaid.tax, repaid.sellers_tax, repaid.number
FROM cancellation taken
JOIN ({_REPAID}) repaid ON repaid.order_number = taken.order_number
JOIN shop_order sold ON sold.number = taken.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE taken.day BETWEEN :first AND :last
ORDER BY day, order_number, number
"""  # noqa: S608 - made of the questions above alone
TAX: Final = """
SELECT state, tax_category, tax_rate, imposed_on, reason, SUM(sales) AS sales, SUM(tax) AS tax, SUM(refunds) AS refunds,
       SUM(refunds_tax) AS refunds_tax, SUM(cancellations) AS cancellations, SUM(cancellations_tax) AS cancellations_tax
FROM (
    SELECT sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on AS imposed_on,
           line.tax_reason AS reason, SUM(line.net) AS sales, SUM(line.tax) AS tax,
           0 AS refunds, 0 AS refunds_tax, 0 AS cancellations, 0 AS cancellations_tax
    FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
    WHERE sold.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason
    UNION ALL
    SELECT sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason,
           0, 0, SUM(part.net), SUM(part.tax), 0, 0
    FROM refund given
    JOIN refund_part part ON part.refund_number = given.number
    JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
    JOIN shop_order sold ON sold.number = given.order_number
    WHERE given.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason
    UNION ALL
    SELECT sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason,
           0, 0, 0, 0, SUM(line.net), SUM(line.tax)
    FROM cancellation taken
    JOIN shop_order sold ON sold.number = taken.order_number
    JOIN order_line line ON line.order_number = sold.number
    WHERE taken.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason
) together
GROUP BY state, tax_category, tax_rate, imposed_on, reason
ORDER BY state, tax_category, tax_rate, imposed_on, reason
"""
