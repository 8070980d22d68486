"""What a month asks of the shop's own spending, in SQL that SQLite and PostgreSQL both understand.

A document that was taken back stands once on its own day and once, below nought, on the day it was taken back.
"""

from __future__ import annotations

from typing import Final

from shopledger.store.books.month_questions import MONEY_BACK, PAYMENTS


def _both_ways(table: str, document: str) -> str:
    """Give the rows of a table that are of the month, and below nought those taken back in it."""
    return f"""
    SELECT {table}.*, {table}.day AS on_day, 1 AS sign FROM {table} WHERE {table}.day BETWEEN :first AND :last
    UNION ALL
    SELECT {table}.*, taken.day AS on_day, -1 AS sign FROM taken_back taken
    JOIN {table} ON taken.document = '{document} ' || CAST({table}.number AS TEXT)
    WHERE taken.day BETWEEN :first AND :last
    """  # noqa: S608 - the names of two tables


_EXPENSES: Final = _both_ways("expense", "expense")
_BILLS: Final = _both_ways("bill", "bill")
_BILL_PAYMENTS: Final = _both_ways("bill_payment", "bill payment")
_MOVES: Final = _both_ways("money_move", "money")

MONEY_MOVES: Final = f"""
SELECT on_day, number, kind, till, state, reference, note, amount, fee, sign FROM ({_MOVES}) moved
ORDER BY on_day, number, sign DESC
"""  # noqa: S608 - made of the questions above alone
EXPENSES: Final = f"""
SELECT on_day AS day, 'expense ' || CAST(number AS TEXT) AS document, 'paid at once' AS source, payee AS payee,
       description AS description, category AS account, method AS method, reference AS reference,
       file_sha256 AS file_sha256, sign * amount AS amount, 0 AS turn, number AS number, 0 AS position
FROM ({_EXPENSES}) spent
UNION ALL
SELECT billed.on_day, 'bill ' || CAST(billed.number AS TEXT), 'on a bill', supplier.name, line.description,
       line.category, '', billed.invoice, billed.file_sha256, billed.sign * line.landed, 1, billed.number, line.position
FROM ({_BILLS}) billed
JOIN bill_line line ON line.bill_number = billed.number AND line.kind = 'expense'
JOIN supplier ON supplier.number = billed.supplier_number
UNION ALL
SELECT on_day, 'money ' || CAST(number AS TEXT), 'kept from a payout', 'card processor', 'fee', 'commissions and fees',
       '', reference, NULL, sign * fee, 2, number, 0
FROM ({_MOVES}) moved WHERE kind = 'payout' AND fee <> 0
UNION ALL
SELECT day, 'movement ' || CAST(number AS TEXT), 'goods given away', '', item_code || ' ' || note,
       'samples and gifts', '', '', NULL, -cost, 3, number, 0
FROM stock_movement WHERE day BETWEEN :first AND :last AND reason = 'given away' AND cost <> 0
UNION ALL
SELECT sold.day, 'order ' || CAST(sold.number AS TEXT), 'tax on the seller', sold.state, 'sales tax on the sale',
       'taxes and licences', '', '', NULL, SUM(line.tax), 4, sold.number, 0
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE sold.day BETWEEN :first AND :last AND line.tax_imposed_on = 'seller' AND line.tax <> 0
GROUP BY sold.day, sold.number, sold.state
UNION ALL
SELECT taken.day, 'cancellation of order ' || CAST(sold.number AS TEXT), 'tax on the seller', sold.state,
       'sales tax on the sale', 'taxes and licences', '', '', NULL, -SUM(line.tax), 5, sold.number, 0
FROM cancellation taken
JOIN shop_order sold ON sold.number = taken.order_number
JOIN order_line line ON line.order_number = sold.number
WHERE taken.day BETWEEN :first AND :last AND line.tax_imposed_on = 'seller' AND line.tax <> 0
GROUP BY taken.day, sold.number, sold.state
UNION ALL
SELECT given.day, 'refund ' || CAST(given.number AS TEXT), 'tax on the seller', sold.state, 'sales tax on the sale',
       'taxes and licences', '', '', NULL, -SUM(part.tax), 6, given.number, 0
FROM refund given
JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number
WHERE given.day BETWEEN :first AND :last AND line.tax_imposed_on = 'seller' AND part.tax <> 0
GROUP BY given.day, given.number, sold.state
ORDER BY day, turn, number, position
"""  # noqa: S608 - made of the questions above alone
# What a supplier takes off for goods sent back is what his account was debited in the entry of their movement.
_CREDITS: Final = """
    SELECT moved.bill_number, moved.day, moved.item_code, posting.amount
    FROM stock_movement moved
    JOIN journal_entry entry ON entry.document = 'movement ' || CAST(moved.number AS TEXT)
    JOIN journal_posting posting ON posting.entry_number = entry.number AND posting.account = 'bills to pay'
    WHERE moved.reason = 'sent back' AND moved.bill_number IS NOT NULL AND moved.day <= :last
"""
_EARLIER: Final = f"""
    SELECT bill.number AS bill_number, line.landed AS amount
    FROM bill JOIN bill_line line ON line.bill_number = bill.number WHERE bill.day < :first
    UNION ALL
    SELECT bill.number, -line.landed
    FROM taken_back taken JOIN bill ON taken.document = 'bill ' || CAST(bill.number AS TEXT)
    JOIN bill_line line ON line.bill_number = bill.number WHERE taken.day < :first
    UNION ALL
    SELECT bill_number, -amount FROM bill_payment WHERE day < :first
    UNION ALL
    SELECT paid.bill_number, paid.amount
    FROM taken_back taken JOIN bill_payment paid ON taken.document = 'bill payment ' || CAST(paid.number AS TEXT)
    WHERE taken.day < :first
    UNION ALL
    SELECT bill_number, -amount FROM ({_CREDITS}) credited WHERE day < :first
"""  # noqa: S608 - made of the questions above alone
BILLS: Final = f"""
SELECT happened.day AS day, bill.number AS bill_number, supplier.name AS supplier, bill.invoice AS invoice,
       bill.due_on AS due_on, happened.event AS event, happened.billed_for AS billed_for, happened.about AS about,
       happened.method AS method, happened.owed_before AS owed_before, happened.billed AS billed, happened.paid AS paid,
       happened.credited AS credited, happened.turn AS turn, happened.position AS position
FROM (
    SELECT NULL AS day, bill_number, 'owed from before' AS event, '' AS billed_for, '' AS about, '' AS method,
           SUM(amount) AS owed_before, 0 AS billed, 0 AS paid, 0 AS credited, 0 AS turn, 0 AS position
    FROM ({_EARLIER}) earlier GROUP BY bill_number HAVING SUM(amount) <> 0
    UNION ALL
    SELECT billed.on_day, billed.number, CASE WHEN billed.sign = 1 THEN 'billed' ELSE 'bill taken back' END,
           CASE line.kind WHEN 'stock' THEN 'goods' ELSE line.kind END,
           CASE line.kind WHEN 'stock' THEN line.item_code WHEN 'job' THEN 'job ' || CAST(line.job_number AS TEXT)
               ELSE line.category END,
           '', 0, billed.sign * line.landed, 0, 0, 2 - billed.sign, line.position
    FROM ({_BILLS}) billed JOIN bill_line line ON line.bill_number = billed.number AND line.landed <> 0
    UNION ALL
    SELECT on_day, bill_number, CASE WHEN sign = 1 THEN 'paid' ELSE 'payment taken back' END, '', reference, method,
           0, 0, sign * amount, 0, 3, number
    FROM ({_BILL_PAYMENTS}) paid
    UNION ALL
    SELECT day, bill_number, 'goods sent back', 'goods', item_code, '', 0, 0, 0, amount, 4, 0
    FROM ({_CREDITS}) credited WHERE day >= :first
) happened
JOIN bill ON bill.number = happened.bill_number
JOIN supplier ON supplier.number = bill.supplier_number
ORDER BY CASE WHEN happened.day IS NULL THEN '' ELSE happened.day END, bill_number, turn, position
"""  # noqa: S608 - made of the questions above alone
_DEPOSIT_EVENTS: Final = """
    SELECT day, number AS deposit_number, 'taken' AS event, CAST(NULL AS BIGINT) AS order_number, method, reference,
           amount AS taken, 0 AS given_back, 0 AS used, 0 AS turn
    FROM deposit WHERE gives_back IS NULL AND day <= :last
    UNION ALL
    SELECT taken.day, deposit.number, 'taken back as a mistake', CAST(NULL AS BIGINT), method, reference,
           -amount, 0, 0, 1
    FROM taken_back taken JOIN deposit ON taken.document = 'deposit ' || CAST(deposit.number AS TEXT)
    WHERE deposit.gives_back IS NULL AND taken.day <= :last
    UNION ALL
    SELECT day, gives_back, 'given back', CAST(NULL AS BIGINT), method, reference, 0, amount, 0, 2
    FROM deposit WHERE gives_back IS NOT NULL AND day <= :last
    UNION ALL
    SELECT taken.day, deposit.gives_back, 'taken back as a mistake', CAST(NULL AS BIGINT), method, reference,
           0, -amount, 0, 3
    FROM taken_back taken JOIN deposit ON taken.document = 'deposit ' || CAST(deposit.number AS TEXT)
    WHERE deposit.gives_back IS NOT NULL AND taken.day <= :last
    UNION ALL
    SELECT day, deposit_number, 'used for an order', order_number, '', '', 0, 0, amount, 4
    FROM payment WHERE deposit_number IS NOT NULL AND day <= :last
    UNION ALL
    SELECT taken.day, payment.deposit_number, 'put back, order cancelled', payment.order_number, '', '',
           0, 0, -payment.amount, 5
    FROM payment JOIN cancellation taken ON taken.order_number = payment.order_number
    WHERE payment.deposit_number IS NOT NULL AND taken.day <= :last
"""
DEPOSITS: Final = f"""
SELECT happened.day AS day, happened.deposit_number AS deposit_number, customer.name AS customer,
       happened.event AS event, happened.order_number AS order_number, happened.method AS method,
       happened.reference AS reference, happened.left_before AS left_before, happened.taken AS taken,
       happened.given_back AS given_back, happened.used AS used, happened.turn AS turn
FROM (
    SELECT NULL AS day, deposit_number, 'left from before' AS event, NULL AS order_number, '' AS method,
           '' AS reference, SUM(taken - given_back - used) AS left_before, 0 AS taken, 0 AS given_back, 0 AS used,
           -1 AS turn
    FROM ({_DEPOSIT_EVENTS}) earlier WHERE day < :first
    GROUP BY deposit_number HAVING SUM(taken - given_back - used) <> 0
    UNION ALL
    SELECT day, deposit_number, event, order_number, method, reference, 0, taken, given_back, used, turn
    FROM ({_DEPOSIT_EVENTS}) events WHERE day >= :first
) happened
JOIN deposit ON deposit.number = happened.deposit_number
JOIN customer ON customer.number = deposit.customer_number
ORDER BY CASE WHEN happened.day IS NULL THEN '' ELSE happened.day END, deposit_number, turn
"""  # noqa: S608 - made of the questions above alone
# Every sum that the cash view is made of: one row for each, by the name it has there.
MONEY: Final = f"""
SELECT 'received' AS what, SUM(CASE WHEN deposit_number IS NULL THEN amount ELSE 0 END) AS amount,
       SUM(CASE WHEN deposit_number IS NULL THEN 0 ELSE amount END) AS deposit, SUM(tax) AS tax,
       SUM(sellers_tax) AS sellers_tax
FROM ({PAYMENTS}) paid
UNION ALL
SELECT 'given_back', SUM(amount), SUM(to_deposit), SUM(tax), SUM(sellers_tax) FROM ({MONEY_BACK}) back
UNION ALL
SELECT 'deposits', SUM(taken), SUM(given_back), 0, 0 FROM ({_DEPOSIT_EVENTS}) events WHERE day >= :first
UNION ALL
SELECT 'expenses', SUM(CASE WHEN category = 'equipment' THEN 0 ELSE sign * amount END),
       SUM(CASE WHEN category = 'equipment' THEN sign * amount ELSE 0 END), 0, 0
FROM ({_EXPENSES}) spent
UNION ALL
SELECT 'bills_paid', SUM(sign * amount), 0, 0, 0 FROM ({_BILL_PAYMENTS}) paid
UNION ALL
SELECT 'moves', SUM(CASE WHEN kind = 'payout' THEN sign * fee ELSE 0 END),
       SUM(CASE WHEN kind = 'other income' THEN sign * amount ELSE 0 END),
       SUM(CASE WHEN kind = 'tax paid' THEN sign * amount ELSE 0 END),
       SUM(CASE WHEN kind = 'tax paid' THEN sign * fee ELSE 0 END)
FROM ({_MOVES}) moved
UNION ALL
SELECT 'owner', SUM(CASE WHEN kind = 'opening' THEN sign * amount ELSE 0 END),
       SUM(CASE WHEN kind = 'draw' THEN sign * amount ELSE 0 END), 0, 0
FROM ({_MOVES}) moved
"""  # noqa: S608 - made of the questions above alone
