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
POSTED: Final = """
SELECT posting.account, SUM(posting.amount) AS amount
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day BETWEEN :first AND :last
GROUP BY posting.account
"""
SALES: Final = """
SELECT sold.day AS day, sold.number AS order_number, customer.name AS customer, sold.state,
       COALESCE(wearer.name, '') AS wearer, line.kind, line.item_code, line.description, line.quantity,
       line.list_price, line.reduction, line.net, line.tax_category, line.tax, 'sold' AS event,
       0 AS turn, line.position AS position
FROM shop_order sold
JOIN order_line line ON line.order_number = sold.number
JOIN customer ON customer.number = sold.customer_number
LEFT JOIN wearer ON wearer.number = line.wearer_number
WHERE sold.day BETWEEN :first AND :last
UNION ALL
SELECT taken.day, sold.number, customer.name, sold.state,
       COALESCE(wearer.name, ''), line.kind, line.item_code, line.description, -line.quantity,
       -line.list_price, -line.reduction, -line.net, line.tax_category, -line.tax, 'cancelled',
       1, line.position
FROM cancellation taken
JOIN shop_order sold ON sold.number = taken.order_number
JOIN order_line line ON line.order_number = sold.number
JOIN customer ON customer.number = sold.customer_number
LEFT JOIN wearer ON wearer.number = line.wearer_number
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
PAYMENTS: Final = """
SELECT payment.day, payment.order_number, customer.name AS customer, payment.method, payment.reference, payment.amount
FROM payment
JOIN shop_order sold ON sold.number = payment.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE payment.day BETWEEN :first AND :last
ORDER BY payment.day, payment.number
"""
MONEY_BACK: Final = """
SELECT given.day AS day, given.order_number AS order_number, customer.name AS customer, 'refund' AS cause, given.method,
       given.reference,
       (SELECT SUM(part.net + part.tax) FROM refund_part part WHERE part.refund_number = given.number) AS amount,
       given.number AS number
FROM refund given
JOIN shop_order sold ON sold.number = given.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE given.day BETWEEN :first AND :last
UNION ALL
SELECT taken.day, taken.order_number, customer.name, 'cancellation', payment.method, payment.reference,
       payment.amount, payment.number
FROM cancellation taken
JOIN payment ON payment.order_number = taken.order_number
JOIN shop_order sold ON sold.number = taken.order_number
JOIN customer ON customer.number = sold.customer_number
WHERE taken.day BETWEEN :first AND :last
ORDER BY day, order_number, number
"""
TAX: Final = """
SELECT state, tax_category, tax_rate, SUM(sales) AS sales, SUM(tax) AS tax, SUM(refunds) AS refunds,
       SUM(refunds_tax) AS refunds_tax, SUM(cancellations) AS cancellations, SUM(cancellations_tax) AS cancellations_tax
FROM (
    SELECT sold.state, line.tax_category, line.tax_rate, SUM(line.net) AS sales, SUM(line.tax) AS tax,
           0 AS refunds, 0 AS refunds_tax, 0 AS cancellations, 0 AS cancellations_tax
    FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
    WHERE sold.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate
    UNION ALL
    SELECT sold.state, line.tax_category, line.tax_rate, 0, 0, SUM(part.net), SUM(part.tax), 0, 0
    FROM refund given
    JOIN refund_part part ON part.refund_number = given.number
    JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
    JOIN shop_order sold ON sold.number = given.order_number
    WHERE given.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate
    UNION ALL
    SELECT sold.state, line.tax_category, line.tax_rate, 0, 0, 0, 0, SUM(line.net), SUM(line.tax)
    FROM cancellation taken
    JOIN shop_order sold ON sold.number = taken.order_number
    JOIN order_line line ON line.order_number = sold.number
    WHERE taken.day BETWEEN :first AND :last
    GROUP BY sold.state, line.tax_category, line.tax_rate
) together
GROUP BY state, tax_category, tax_rate
ORDER BY state, tax_category, tax_rate
"""
STOCK: Final = """
SELECT moved.kind, moved.item_code, accessory.name, frame.*,
       moved.opening, moved.received, moved.sold, moved.adjusted, moved.closing, moved.value
FROM (
    SELECT kind, item_code,
           SUM(CASE WHEN day < :first THEN quantity ELSE 0 END) AS opening,
           SUM(CASE WHEN day >= :first AND reason IN ('opening', 'received') THEN quantity ELSE 0 END) AS received,
           -SUM(CASE WHEN day >= :first AND reason IN ('sold', 'returned') THEN quantity ELSE 0 END) AS sold,
           SUM(CASE WHEN day >= :first AND reason NOT IN ('opening', 'received', 'sold', 'returned')
               THEN quantity ELSE 0 END) AS adjusted,
           SUM(quantity) AS closing, SUM(cost) AS value
    FROM stock_movement WHERE day <= :last GROUP BY kind, item_code
) moved
LEFT JOIN accessory ON moved.kind = 'accessory' AND accessory.code = moved.item_code
LEFT JOIN frame ON moved.kind = 'frame' AND frame.code = moved.item_code
ORDER BY moved.kind, moved.item_code
"""
