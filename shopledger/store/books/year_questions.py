"""What a year asks of the database, in SQL that SQLite and PostgreSQL both understand: all of it added up there.

Shares of an order's tax and shipping are worked out on all that was paid so far less what went before, rounded half up,
so that the payments of an order carry exactly what the order does.
"""

# ruff: noqa: S608 - the questions are made of the words in this file alone

from __future__ import annotations

from typing import Final

CHANGES: Final = """
SELECT substr(entry.day, 1, 7) AS month, posting.account, SUM(posting.amount) AS amount
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day BETWEEN :first AND :last
GROUP BY substr(entry.day, 1, 7), posting.account
"""
OPENING: Final = """
SELECT posting.account, SUM(posting.amount) AS amount
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day < :first
GROUP BY posting.account
"""
GOODS: Final = """
SELECT reason, SUM(cost) AS cost FROM stock_movement WHERE day BETWEEN :first AND :last GROUP BY reason
"""
OPEN_MONTHS: Final = """
SELECT DISTINCT substr(entry.day, 1, 7) AS month FROM journal_entry entry
WHERE entry.day BETWEEN :first AND :last AND COALESCE((
    SELECT event.deed FROM period_event event WHERE event.month = substr(entry.day, 1, 7)
    ORDER BY event.number DESC LIMIT 1), '') <> 'closed'
ORDER BY month
"""

_ORDERS: Final = """
SELECT line.order_number,
    CAST(SUM(line.net + line.tax) AS BIGINT) AS total,
    CAST(SUM(CASE WHEN line.tax_imposed_on = 'buyer' THEN line.tax ELSE 0 END) AS BIGINT) AS tax,
    CAST(SUM(CASE WHEN line.kind = 'shipping' THEN line.net ELSE 0 END) AS BIGINT) AS shipping
FROM order_line line
WHERE line.order_number IN (
    SELECT paid.order_number FROM payment paid WHERE paid.day BETWEEN :first AND :last
    UNION SELECT taken.order_number FROM cancellation taken WHERE taken.day BETWEEN :first AND :last)
GROUP BY line.order_number
"""
_SHARE: Final = "((2 * sold.{part} * {paid} + sold.total) / (2 * sold.total))"


def _shares(paid: str, before: str) -> str:
    parts = (
        f"SUM({_SHARE.format(part=part, paid=paid)} - {_SHARE.format(part=part, paid=before)}) AS {part}"
        for part in ("tax", "shipping")
    )
    return ", ".join(parts)


_BEFORE: Final = """CAST(COALESCE((SELECT SUM(earlier.amount) FROM payment earlier
        WHERE earlier.order_number = paid.order_number AND earlier.number < paid.number), 0) AS BIGINT)"""
MONEY: Final = f"""
WITH sold AS ({_ORDERS}),
came AS (
    SELECT paid.*, {_BEFORE} AS before FROM payment paid WHERE paid.day BETWEEN :first AND :last
),
went AS (
    SELECT taken.day AS back_on, paid.*, {_BEFORE} AS before
    FROM cancellation taken JOIN payment paid ON paid.order_number = taken.order_number
    WHERE taken.day BETWEEN :first AND :last
)
SELECT substr(came.day, 1, 7) AS month,
    CASE WHEN came.deposit_number IS NULL THEN 'payment' ELSE 'payment from a deposit' END AS event, came.method,
    COUNT(*) AS many, SUM(came.amount) AS amount, 0 AS fee, {_shares("(came.before + came.amount)", "came.before")}
FROM came JOIN sold ON sold.order_number = came.order_number
GROUP BY 1, 2, 3
UNION ALL
SELECT substr(went.back_on, 1, 7),
    CASE WHEN went.deposit_number IS NULL THEN 'payment of a cancelled order'
        ELSE 'payment of a cancelled order, a deposit again' END, went.method,
    COUNT(*), SUM(went.amount), 0, {_shares("(went.before + went.amount)", "went.before")}
FROM went JOIN sold ON sold.order_number = went.order_number
GROUP BY 1, 2, 3
UNION ALL
SELECT substr(given.day, 1, 7), 'refund', given.method, COUNT(DISTINCT given.number), SUM(part.net + part.tax), 0,
    SUM(CASE WHEN line.tax_imposed_on = 'buyer' THEN part.tax ELSE 0 END),
    SUM(CASE WHEN line.kind = 'shipping' THEN part.net ELSE 0 END)
FROM refund given JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
WHERE given.day BETWEEN :first AND :last
GROUP BY 1, 2, 3
UNION ALL
SELECT substr(kept.day, 1, 7), CASE WHEN kept.gives_back IS NULL THEN 'deposit taken' ELSE 'deposit given back' END,
    kept.method, COUNT(*), SUM(kept.amount), 0, 0, 0
FROM (
    SELECT day, gives_back, method, amount FROM deposit WHERE day BETWEEN :first AND :last
    UNION ALL
    SELECT taken.day, was.gives_back, was.method, -was.amount
    FROM taken_back taken JOIN deposit was ON taken.document = 'deposit ' || CAST(was.number AS TEXT)
    WHERE taken.day BETWEEN :first AND :last
) kept
GROUP BY 1, 2, 3
UNION ALL
SELECT substr(handed.day, 1, 7), 'payout', 'card', COUNT(*), SUM(handed.amount), SUM(handed.fee), 0, 0
FROM (
    SELECT day, amount, fee FROM money_move WHERE kind = 'payout' AND day BETWEEN :first AND :last
    UNION ALL
    SELECT taken.day, -was.amount, -was.fee
    FROM taken_back taken JOIN money_move was ON taken.document = 'money ' || CAST(was.number AS TEXT)
    WHERE was.kind = 'payout' AND taken.day BETWEEN :first AND :last
) handed
GROUP BY 1, 2, 3
ORDER BY 1, 2, 3
"""
TAX_CHARGED: Final = """
SELECT month, SUM(tax) AS tax FROM (
    SELECT substr(sold.day, 1, 7) AS month, line.tax AS tax
    FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
    WHERE line.tax_imposed_on = 'buyer' AND sold.day BETWEEN :first AND :last
    UNION ALL
    SELECT substr(taken.day, 1, 7), -line.tax
    FROM cancellation taken JOIN order_line line ON line.order_number = taken.order_number
    WHERE line.tax_imposed_on = 'buyer' AND taken.day BETWEEN :first AND :last
    UNION ALL
    SELECT substr(given.day, 1, 7), -part.tax
    FROM refund given JOIN refund_part part ON part.refund_number = given.number
    JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
    WHERE line.tax_imposed_on = 'buyer' AND given.day BETWEEN :first AND :last
) charged
GROUP BY month
"""
LOTS: Final = """
SELECT lot.number AS lot_number, lot.day AS lot_day, lot.kind AS lot_kind, lot.item_code, accessory.name AS goods,
    frame.*,
    lot.quantity - COALESCE(gone.quantity, 0) AS on_hand, lot.cost - COALESCE(gone.cost, 0) AS whole_cost
FROM stock_movement lot
LEFT JOIN (
    SELECT issue.lot, SUM(issue.quantity) AS quantity, SUM(issue.cost) AS cost
    FROM stock_issue issue JOIN stock_movement left_on ON left_on.number = issue.movement_number
    WHERE left_on.day <= :last
    GROUP BY issue.lot
) gone ON gone.lot = lot.number
LEFT JOIN accessory ON lot.kind = 'accessory' AND accessory.code = lot.item_code
LEFT JOIN frame ON lot.kind = 'frame' AND frame.code = lot.item_code
WHERE lot.quantity > 0 AND lot.day <= :last
    AND (lot.quantity <> COALESCE(gone.quantity, 0) OR lot.cost <> COALESCE(gone.cost, 0))
ORDER BY lot.kind DESC, lot.item_code, lot.day, lot.number
"""
CUSTOMERS: Final = """
SELECT customer.number, customer.name, customer.state, SUM(bought.orders) AS orders, SUM(bought.sales) AS sales,
    SUM(bought.refunds) AS refunds, SUM(bought.cancellations) AS cancellations
FROM (
    SELECT sold.customer_number AS who, COUNT(DISTINCT sold.number) AS orders, SUM(line.net) AS sales, 0 AS refunds,
        0 AS cancellations
    FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
    WHERE sold.day BETWEEN :first AND :last GROUP BY sold.customer_number
    UNION ALL
    SELECT sold.customer_number, 0, 0, SUM(part.net), 0
    FROM refund given JOIN refund_part part ON part.refund_number = given.number
    JOIN shop_order sold ON sold.number = given.order_number
    WHERE given.day BETWEEN :first AND :last GROUP BY sold.customer_number
    UNION ALL
    SELECT sold.customer_number, -COUNT(DISTINCT sold.number), 0, 0, SUM(line.net)
    FROM cancellation taken JOIN shop_order sold ON sold.number = taken.order_number
    JOIN order_line line ON line.order_number = sold.number
    WHERE taken.day BETWEEN :first AND :last GROUP BY sold.customer_number
) bought
JOIN customer ON customer.number = bought.who
GROUP BY customer.number, customer.name, customer.state
ORDER BY SUM(bought.sales) - SUM(bought.refunds) - SUM(bought.cancellations) DESC, customer.number
"""
# What suppliers billed as an expense, or took back, with the whole bill; what was paid of each bill, or taken back.
_BILLED: Final = """
billed AS (
    SELECT bill.number, bill.supplier_number, 1 AS sign FROM bill WHERE bill.day BETWEEN :first AND :last
    UNION ALL
    SELECT bill.number, bill.supplier_number, -1
    FROM taken_back taken JOIN bill ON taken.document = 'bill ' || CAST(bill.number AS TEXT)
    WHERE taken.day BETWEEN :first AND :last
)"""
_PAID: Final = """
total AS (
    SELECT bill_number, CAST(SUM(landed) AS BIGINT) AS whole FROM bill_line
    WHERE bill_number IN (SELECT bill_number FROM bill_line WHERE kind = 'expense') GROUP BY bill_number
),
settled AS (
    SELECT number, bill_number, day, amount, method FROM bill_payment WHERE day <= :last
    UNION ALL
    SELECT was.number, was.bill_number, taken.day, -was.amount, was.method
    FROM taken_back taken JOIN bill_payment was ON taken.document = 'bill payment ' || CAST(was.number AS TEXT)
    WHERE taken.day <= :last
),
paid AS (
    SELECT settled.bill_number,
        CAST(SUM(CASE WHEN day < :first THEN amount ELSE 0 END) AS BIGINT) AS before,
        CAST(SUM(amount) AS BIGINT) AS until,
        CAST(SUM(CASE WHEN day < :first AND method <> 'card' THEN amount ELSE 0 END) AS BIGINT) AS before_not_card,
        CAST(SUM(CASE WHEN method <> 'card' THEN amount ELSE 0 END) AS BIGINT) AS until_not_card
    FROM settled JOIN total ON total.bill_number = settled.bill_number
    GROUP BY settled.bill_number
),
parts AS (
    SELECT line.category, bill.supplier_number,
        (2 * line.landed * paid.until + total.whole) / (2 * total.whole)
            - (2 * line.landed * paid.before + total.whole) / (2 * total.whole) AS amount,
        (2 * line.landed * paid.until_not_card + total.whole) / (2 * total.whole)
            - (2 * line.landed * paid.before_not_card + total.whole) / (2 * total.whole) AS not_card
    FROM bill_line line JOIN paid ON paid.bill_number = line.bill_number
    JOIN total ON total.bill_number = line.bill_number JOIN bill ON bill.number = line.bill_number
    WHERE line.kind = 'expense' AND total.whole > 0
)"""
BILLED: Final = f"""
WITH {_BILLED}
SELECT line.category, SUM(billed.sign * line.landed) AS amount
FROM billed JOIN bill_line line ON line.bill_number = billed.number
WHERE line.kind = 'expense'
GROUP BY line.category
"""
PAID: Final = f"""
WITH {_PAID}
SELECT category, SUM(amount) AS amount FROM parts GROUP BY category
"""
PAYEES: Final = f"""
WITH {_BILLED}, {_PAID}
SELECT spent.category, spent.payee, SUM(spent.many) AS many, SUM(spent.amount) AS amount,
    SUM(spent.not_card) AS not_card
FROM (
    SELECT category, payee, 1 AS many, amount, CASE WHEN method = 'card' THEN 0 ELSE amount END AS not_card
    FROM expense WHERE day BETWEEN :first AND :last
    UNION ALL
    SELECT was.category, was.payee, -1, -was.amount, CASE WHEN was.method = 'card' THEN 0 ELSE -was.amount END
    FROM taken_back taken JOIN expense was ON taken.document = 'expense ' || CAST(was.number AS TEXT)
    WHERE taken.day BETWEEN :first AND :last
    UNION ALL
    SELECT line.category, supplier.name, billed.sign, billed.sign * line.landed, 0
    FROM billed JOIN bill_line line ON line.bill_number = billed.number
    JOIN supplier ON supplier.number = billed.supplier_number
    WHERE line.kind = 'expense'
    UNION ALL
    SELECT parts.category, supplier.name, 0, 0, parts.not_card
    FROM parts JOIN supplier ON supplier.number = parts.supplier_number
) spent
GROUP BY spent.category, spent.payee
ORDER BY spent.category, SUM(spent.amount) DESC, spent.payee
"""
VIEWS: Final = """
SELECT subject FROM audit_note WHERE deed = :deed AND subject LIKE :year || ':%' ORDER BY number DESC LIMIT 1
"""
