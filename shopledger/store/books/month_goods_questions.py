"""What a month asks of the stock, in SQL that SQLite and PostgreSQL both understand."""

from __future__ import annotations

from typing import Final

_AFTER_DOCUMENT: Final = (
    "CASE WHEN entry.document LIKE '{kind} %' THEN CAST(substr(entry.document, {start}) AS INTEGER) END"
)
_MOVEMENT: Final = _AFTER_DOCUMENT.format(kind="movement", start=len("movement ") + 1)
_REMAKE: Final = _AFTER_DOCUMENT.format(kind="remake", start=len("remake ") + 1)
_SHIPPED: Final = _AFTER_DOCUMENT.format(kind="shipment of order", start=len("shipment of order ") + 1)

MOVEMENTS: Final = """
SELECT day, number, kind, item_code, reason, quantity, cost, order_number, job_number, bill_number, note
FROM stock_movement WHERE day BETWEEN :first AND :last ORDER BY day, number
"""
STOCK: Final = """
SELECT moved.kind, moved.item_code, accessory.name, frame.*, moved.opening, moved.opening_value,
       moved.came, moved.came_value, moved.went, moved.went_value, moved.adjusted, moved.adjusted_value
FROM (
    SELECT kind, item_code,
           SUM(CASE WHEN day < :first THEN quantity ELSE 0 END) AS opening,
           SUM(CASE WHEN day < :first THEN cost ELSE 0 END) AS opening_value,
           SUM(CASE WHEN day >= :first AND reason IN ('opening', 'received', 'returned')
               THEN quantity ELSE 0 END) AS came,
           SUM(CASE WHEN day >= :first AND reason IN ('opening', 'received', 'returned')
               THEN cost ELSE 0 END) AS came_value,
           -SUM(CASE WHEN day >= :first AND reason IN ('sold', 'given away', 'own use', 'sent back')
               THEN quantity ELSE 0 END) AS went,
           -SUM(CASE WHEN day >= :first AND reason IN ('sold', 'given away', 'own use', 'sent back')
               THEN cost ELSE 0 END) AS went_value,
           SUM(CASE WHEN day >= :first AND reason IN ('adjusted', 'written off') THEN quantity ELSE 0 END) AS adjusted,
           SUM(CASE WHEN day >= :first AND reason IN ('adjusted', 'written off') THEN cost ELSE 0 END) AS adjusted_value
    FROM stock_movement WHERE day <= :last GROUP BY kind, item_code
) moved
LEFT JOIN accessory ON moved.kind = 'accessory' AND accessory.code = moved.item_code
LEFT JOIN frame ON moved.kind = 'frame' AND frame.code = moved.item_code
ORDER BY moved.kind, moved.item_code
"""
# What each job of a shipped order had cost by then: billed and not taken back before, less what remakes scrapped.
_LENSES: Final = f"""
    SELECT entry.number AS entry_number, entry.day, pair.order_number, pair.job_number,
           COALESCE((
               SELECT SUM(line.landed) FROM bill_line line
               JOIN journal_entry billed ON billed.document = 'bill ' || CAST(line.bill_number AS TEXT)
               WHERE line.job_number = pair.job_number AND billed.number < entry.number AND NOT EXISTS (
                   SELECT 1 FROM journal_entry back WHERE back.reverses = billed.number AND back.number < entry.number)
           ), 0) - COALESCE((
               SELECT SUM(scrapped.amount) FROM remake
               JOIN journal_entry made ON made.document = 'remake ' || CAST(remake.number AS TEXT)
               JOIN journal_posting scrapped
                    ON scrapped.entry_number = made.number AND scrapped.account = 'scrap and remakes'
               WHERE remake.job_number = pair.job_number AND made.number < entry.number
           ), 0) AS cost
    FROM journal_entry entry
    JOIN order_pair pair ON pair.order_number = {_SHIPPED}
    WHERE entry.day BETWEEN :first AND :last AND entry.document LIKE 'shipment of order %'
"""  # noqa: S608 - made of the lines above alone
# Goods out of their lots and back from the stock's own tables, lenses job by job; the rest as it was posted.
GOODS_COST: Final = f"""
WITH lenses AS ({_LENSES})
SELECT moved.day AS day, 'cost of goods sold' AS account, 'shipped' AS event, moved.order_number AS order_number,
       moved.job_number AS job_number, moved.item_code AS item_code, issue.lot AS lot, lot.day AS lot_day,
       issue.quantity AS quantity, issue.cost AS cost, 0 AS turn, moved.number AS number, issue.position AS position
FROM stock_movement moved
JOIN stock_issue issue ON issue.movement_number = moved.number
JOIN stock_movement lot ON lot.number = issue.lot
WHERE moved.day BETWEEN :first AND :last AND moved.reason = 'sold'
UNION ALL
SELECT day, 'cost of goods sold', 'back from a customer', order_number, job_number, item_code, number, day,
       -quantity, -cost, 0, number, 0
FROM stock_movement WHERE day BETWEEN :first AND :last AND reason = 'returned'
UNION ALL
SELECT day, 'lenses and lab work', 'shipped', order_number, job_number, '', NULL, NULL, NULL, cost, 1, entry_number,
       job_number
FROM lenses WHERE cost <> 0
UNION ALL
SELECT entry.day, posting.account, entry.document, moved.order_number,
       COALESCE(moved.job_number, remake.job_number), COALESCE(moved.item_code, ''), NULL, NULL,
       -moved.quantity, posting.amount - CASE WHEN posting.account = 'lenses and lab work' THEN
           COALESCE((SELECT SUM(lenses.cost) FROM lenses WHERE lenses.entry_number = entry.number), 0) ELSE 0 END,
       2, entry.number, posting.position
FROM journal_entry entry
JOIN journal_posting posting ON posting.entry_number = entry.number
LEFT JOIN stock_movement moved ON moved.number = {_MOVEMENT}
LEFT JOIN remake ON remake.number = {_REMAKE}
WHERE entry.day BETWEEN :first AND :last
  AND posting.account IN ('lenses and lab work', 'scrap and remakes', 'stock differences', 'stock written off')
ORDER BY day, turn, number, position
"""  # noqa: S608 - made of the lines above alone
