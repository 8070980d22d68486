"""What a report asks of the stock and of the journal, in SQL that SQLite and PostgreSQL both understand.

A query lists its columns in the order of the fields of its record; those after them only put the rows in order.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.again import AT_THE_SHOPS_COST
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.stock import StockColumn, StockReason
from shopledger.store.books.sales_queries import IN_PERIOD, total
from shopledger.store.parcels import AWAY, PLACE
from shopledger.store.words import listed, stands_on, word

_BY_ORDER: Final = listed((DocumentKind.SHIPMENT, DocumentKind.CANCELLATION))
_OF_A_PARCEL: Final = listed((DocumentKind.PARCEL, DocumentKind.PARCEL_RETURN))
_COST_SHOP: Final = listed(AT_THE_SHOPS_COST)

MOVEMENTS: Final = f"""
SELECT day, number, kind, item_code, reason, quantity, cost, order_number, job_number, bill_number, note
FROM stock_movement WHERE {IN_PERIOD} ORDER BY day, number
"""


def _moved(column: StockColumn, sign: str = "") -> str:
    """Give the count and the cost of what moved under a heading of the roll-forward."""
    reasons = listed(reason for reason in StockReason if reason.column is column)
    sums = (total(amount, f"day >= :first AND reason IN {reasons}") for amount in ("quantity", "cost"))
    return ", ".join(f"{sign}{each}" for each in sums)


# What it is called is looked up by kind and code.
STOCK: Final = f"""
SELECT item_code, kind, {total("quantity", "day < :first")}, {total("cost", "day < :first")},
       {_moved(StockColumn.CAME)}, {_moved(StockColumn.WENT, "-")}, {_moved(StockColumn.ADJUSTED)}
FROM stock_movement WHERE day <= :last GROUP BY kind, item_code ORDER BY kind, item_code
"""
LOTS: Final = """
SELECT lot.number, lot.day, lot.item_code, lot.kind,
       CAST(lot.quantity - COALESCE(gone.quantity, 0) AS BIGINT), CAST(lot.cost - COALESCE(gone.cost, 0) AS BIGINT)
FROM stock_movement lot
LEFT JOIN (
    SELECT issue.lot, SUM(issue.quantity) AS quantity, SUM(issue.cost) AS cost
    FROM stock_issue issue JOIN stock_movement left_on ON left_on.number = issue.movement_number
    WHERE left_on.day <= :last
    GROUP BY issue.lot
) gone ON gone.lot = lot.number
WHERE lot.quantity > 0 AND lot.day <= :last
  AND (lot.quantity <> COALESCE(gone.quantity, 0) OR lot.cost <> COALESCE(gone.cost, 0))
ORDER BY lot.kind DESC, lot.item_code, lot.day, lot.number
"""
# What each job in a parcel had cost by then: billed and not voided before, less what remakes scrapped. Entries of
# before there were parcels stand on the order.
_JOBS_LEFT: Final = f"""
    SELECT entry.number AS entry_number, entry.day, item.job_number
    FROM journal_entry entry JOIN parcel_item item ON item.parcel_number = entry.document_number
    WHERE entry.{IN_PERIOD} AND entry.document_kind = {word(DocumentKind.PARCEL)} AND item.job_number IS NOT NULL
    UNION ALL
    SELECT entry.number, entry.day, pair.job_number
    FROM journal_entry entry JOIN order_pair pair ON pair.order_number = entry.document_number
    WHERE entry.{IN_PERIOD} AND entry.document_kind = {word(DocumentKind.SHIPMENT)}
"""
_LENSES: Final = f"""
    SELECT entry.entry_number, entry.day, pair.order_number, pair.job_number,
           CASE WHEN again.cause IN {_COST_SHOP} AND EXISTS (
               SELECT 1 FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number
               JOIN order_pair other ON other.job_number = item.job_number
               LEFT JOIN job_again made ON made.job_number = other.job_number
               WHERE other.order_number = pair.order_number AND other.job_number < pair.job_number AND {AWAY}
                 AND {PLACE.format(again="made", pair="other")} = again.place
           ) THEN {word(Account.SCRAP)} ELSE {word(Account.LENSES)} END AS account,
           COALESCE((
               SELECT SUM(line.landed) FROM bill_line line
               JOIN journal_entry billed ON {stands_on(DocumentKind.BILL, "line.bill_number", "billed")}
               WHERE line.job_number = pair.job_number AND billed.number < entry.entry_number AND NOT EXISTS (
                   SELECT 1 FROM journal_entry back
                   WHERE back.reverses = billed.number AND back.number < entry.entry_number)
           ), 0) - COALESCE((
               SELECT SUM(scrapped.amount) FROM remake
               JOIN journal_entry made ON {stands_on(DocumentKind.REMAKE, "remake.number", "made")}
               JOIN journal_posting scrapped
                    ON scrapped.entry_number = made.number AND scrapped.account = {word(Account.SCRAP)}
               WHERE remake.job_number = pair.job_number AND made.number < entry.entry_number
           ), 0) AS cost
    FROM ({_JOBS_LEFT}) entry
    JOIN order_pair pair ON pair.job_number = entry.job_number
    LEFT JOIN job_again again ON again.job_number = pair.job_number
"""
_OF_THE_STOCK: Final = Account.COST_OF_GOODS
_COSTING: Final = listed(reason for reason in StockReason if reason.account is _OF_THE_STOCK)
_POSTED: Final = listed(each for each in Account if each.kind is AccountKind.COST and each is not _OF_THE_STOCK)
# Goods out of their lots and back from the stock's own tables, lenses job by job; the rest as it was posted, but for
# what is left of a shipment's posting once its jobs are told one by one.
GOODS_COST: Final = f"""
WITH lenses AS ({_LENSES})
SELECT day, account, event, order_number, job_number, item_code, lot, lot_day, quantity, CAST(cost AS BIGINT)
FROM (
    SELECT moved.day AS day, {word(_OF_THE_STOCK)} AS account, 'shipped' AS event, moved.order_number AS order_number,
           moved.job_number AS job_number, moved.item_code AS item_code, issue.lot AS lot, lot.day AS lot_day,
           issue.quantity AS quantity, issue.cost AS cost, 0 AS turn, moved.number AS number, issue.position AS position
    FROM stock_movement moved
    JOIN stock_issue issue ON issue.movement_number = moved.number
    JOIN stock_movement lot ON lot.number = issue.lot
    WHERE moved.{IN_PERIOD} AND moved.quantity < 0 AND moved.reason IN {_COSTING}
    UNION ALL
    SELECT day, {word(_OF_THE_STOCK)},
           CASE WHEN parcel_number IS NULL THEN 'back from a customer' ELSE 'parcel came back' END,
           order_number, job_number, item_code, number, day, -quantity, -cost, 0, number, 0
    FROM stock_movement WHERE {IN_PERIOD} AND quantity > 0 AND reason IN {_COSTING}
    UNION ALL
    SELECT day, account, 'shipped', order_number, job_number, '', NULL, NULL, NULL, cost, 1,
           entry_number, job_number
    FROM lenses
    UNION ALL
    SELECT entry.day, posting.account, entry.document,
           CASE WHEN entry.document_kind IN {_BY_ORDER} THEN entry.document_number
                ELSE COALESCE(moved.order_number, own.order_number) END,
           COALESCE(moved.job_number, remake.job_number), COALESCE(moved.item_code, ''), NULL, NULL,
           -moved.quantity, posting.amount - COALESCE((
               SELECT SUM(lenses.cost) FROM lenses
               WHERE lenses.entry_number = entry.number AND lenses.account = posting.account), 0),
           2, entry.number, posting.position
    FROM journal_entry entry
    JOIN journal_posting posting ON posting.entry_number = entry.number
    LEFT JOIN stock_movement moved ON {stands_on(DocumentKind.MOVEMENT, "moved.number")}
    LEFT JOIN remake ON {stands_on(DocumentKind.REMAKE, "remake.number")}
    LEFT JOIN parcel own ON entry.document_kind IN {_OF_A_PARCEL} AND entry.document_number = own.number
    WHERE entry.{IN_PERIOD} AND posting.account IN {_POSTED}
) told
WHERE cost <> 0 OR lot IS NOT NULL
ORDER BY day, turn, number, position
"""

_POSTINGS: Final = "FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number"
JOURNAL: Final = f"""
SELECT entry.number, entry.day, entry.document, entry.memo, posting.account, posting.amount, entry.reverses
{_POSTINGS} WHERE entry.{IN_PERIOD} ORDER BY entry.day, entry.number, posting.position
"""
POSTED: Final = f"""
SELECT posting.account, {total("posting.amount")} {_POSTINGS} WHERE entry.{IN_PERIOD} GROUP BY posting.account
"""
POSTED_BY_MONTH: Final = f"""
SELECT substr(entry.day, 1, 7), posting.account, {total("posting.amount")}
{_POSTINGS} WHERE entry.{IN_PERIOD} GROUP BY substr(entry.day, 1, 7), posting.account
"""
POSTED_BEFORE: Final = f"""
SELECT posting.account, {total("posting.amount")} {_POSTINGS} WHERE entry.day < :first GROUP BY posting.account
"""
TRIAL: Final = f"""
SELECT posting.account, {total("posting.amount", "entry.day < :year")},
       {total("posting.amount", "entry.day >= :year AND entry.day < :first")},
       {total("posting.amount", "entry.day >= :first AND posting.amount > 0")},
       -{total("posting.amount", "entry.day >= :first AND posting.amount < 0")}
{_POSTINGS} WHERE entry.day <= :last GROUP BY posting.account
"""
MOVED: Final = f"SELECT reason, {total('cost')} FROM stock_movement WHERE {IN_PERIOD} GROUP BY reason"
