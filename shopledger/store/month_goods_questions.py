"""What a month asks of the stock, in SQL that SQLite and PostgreSQL both understand."""

from __future__ import annotations

from typing import Final

_AFTER_DOCUMENT: Final = (
    "CASE WHEN entry.document LIKE '{kind} %' THEN CAST(substr(entry.document, {start}) AS INTEGER) END"
)
_MOVEMENT: Final = _AFTER_DOCUMENT.format(kind="movement", start=len("movement ") + 1)
_REMAKE: Final = _AFTER_DOCUMENT.format(kind="remake", start=len("remake ") + 1)

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
# Goods out of their lots and back from the stock's own tables; lenses, scrap and differences as they were posted.
GOODS_COST: Final = f"""
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
SELECT entry.day, posting.account, entry.document, moved.order_number,
       COALESCE(moved.job_number, remake.job_number), COALESCE(moved.item_code, ''), NULL, NULL,
       -moved.quantity, posting.amount, 1, entry.number, posting.position
FROM journal_entry entry
JOIN journal_posting posting ON posting.entry_number = entry.number
LEFT JOIN stock_movement moved ON moved.number = {_MOVEMENT}
LEFT JOIN remake ON remake.number = {_REMAKE}
WHERE entry.day BETWEEN :first AND :last
  AND posting.account IN ('lenses and lab work', 'scrap and remakes', 'stock differences', 'stock written off')
ORDER BY day, turn, number, position
"""  # noqa: S608 - made of the questions above alone
