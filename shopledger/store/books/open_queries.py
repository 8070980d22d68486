"""What stands open on a day, in SQL that SQLite and PostgreSQL both understand: orders, bills, deposits, drafts.

All is asked as of the day `:last`: what happened later does not count, so a closed period goes on saying the same.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.open_rows import OpenKind
from shopledger.ledger.stock import STOCKED
from shopledger.store.books.document_rows import TAKEN, WRITTEN_OFF
from shopledger.store.books.payment_queries import DEPOSIT_EVENTS
from shopledger.store.books.sales_queries import CUSTOMER, CUSTOMER_CALLED, OF_CUSTOMER, total
from shopledger.store.books.spending_queries import SUPPLIER, owed, supplier_called
from shopledger.store.parcels import PLACE
from shopledger.store.words import listed, word

_NOT_LATER: Final = """NOT EXISTS (
    SELECT 1 FROM added_line added JOIN correction later ON later.number = added.correction_number
    WHERE added.order_number = line.order_number AND added.line = line.position AND later.day > :last)"""
_AWAY: Final = """parcel.day <= :last AND NOT EXISTS (
    SELECT 1 FROM parcel_return back WHERE back.parcel_number = parcel.number AND back.day <= :last)"""


def _given_up(table: str, of: str) -> str:
    """Give how many goods of a line came back or are not needed, by refunds or by corrections up to the day."""
    return f"""COALESCE((
        SELECT SUM(part.returned) FROM {table}_part part JOIN {table} ON {table}.number = part.{table}_number
        WHERE part.order_number = {of}.order_number AND part.line = {of}.position AND {table}.day <= :last), 0)"""


_AGAIN: Final = "job_again {name} ON {name}.job_number = {pair}.job_number AND {name}.day <= :last"
_PAIRS_HERE: Final = f"""
SELECT pair.order_number FROM order_pair pair LEFT JOIN {_AGAIN.format(name="again", pair="pair")}
WHERE NOT EXISTS (SELECT 1 FROM job_taken_out gone JOIN correction ON correction.number = gone.correction_number
                  WHERE gone.job_number = pair.job_number AND correction.day <= :last)
  AND NOT EXISTS (SELECT 1 FROM job_again later WHERE later.job_number = pair.job_number AND later.day > :last)
  AND EXISTS (SELECT 1 FROM order_line line WHERE line.order_number = pair.order_number
              AND line.pair = {PLACE.format(again="again", pair="pair")} AND {_NOT_LATER})
  AND NOT EXISTS (
    SELECT 1 FROM order_pair other LEFT JOIN {_AGAIN.format(name="made", pair="other")}
    JOIN parcel_item item ON item.job_number = other.job_number
    JOIN parcel ON parcel.number = item.parcel_number AND {_AWAY}
    WHERE other.order_number = pair.order_number
      AND {PLACE.format(again="made", pair="other")} = {PLACE.format(again="again", pair="pair")})
"""
_GOODS_HERE: Final = f"""
SELECT line.order_number FROM order_line line
WHERE line.kind IN {listed(STOCKED)} AND line.pair IS NULL AND {_NOT_LATER}
  AND line.quantity > COALESCE((
    SELECT SUM(item.quantity) FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number AND {_AWAY}
    WHERE item.order_number = line.order_number AND item.line = line.position), 0)
    + {_given_up("refund", "line")} + {_given_up("correction", "line")}
"""
_SUMS: Final = f"""
SELECT order_number, {total("charged")} AS charged, {total("paid")} AS paid, {total("counted")} AS counted,
       {total("later_net")} AS later_net
FROM (
    SELECT line.order_number, line.net + line.tax AS charged, 0 AS paid, 0 AS counted, line.net AS later_net
    FROM order_line line JOIN shop_order sold ON sold.number = line.order_number AND sold.day <= :last
    WHERE {_NOT_LATER}
    UNION ALL
    SELECT part.order_number, -part.net - part.tax, 0, 0, -part.net
    FROM correction_part part JOIN correction ON correction.number = part.correction_number AND correction.day <= :last
    UNION ALL
    SELECT part.order_number, -part.net - part.tax, -part.net - part.tax, 0, -part.net
    FROM refund_part part JOIN refund ON refund.number = part.refund_number AND refund.day <= :last
    UNION ALL
    SELECT order_number, 0, amount, 0, 0 FROM payment WHERE day <= :last
    UNION ALL
    SELECT order_number, -({WRITTEN_OFF}), -({TAKEN}), -({WRITTEN_OFF}), 0 FROM correction WHERE day <= :last
    UNION ALL
    SELECT order_number, 0, 0, net + tax - net_back - tax_back, net_back - net FROM earned WHERE day <= :last
) moved GROUP BY order_number
"""
_ADVANCE: Final = "(sums.paid - sums.counted)"
_LATER: Final = "(sums.charged - sums.counted)"
_PROPORTION: Final = f"""CASE WHEN {_ADVANCE} >= {_LATER} THEN sums.later_net
    ELSE (2 * {_ADVANCE} * sums.later_net + {_LATER}) / (2 * {_LATER}) END"""
ADVANCES: Final = f"""
SELECT {total(_PROPORTION)} AS amount FROM ({_SUMS}) sums
WHERE {_ADVANCE} > 0 AND {_LATER} > 0 AND NOT EXISTS (
    SELECT 1 FROM cancellation taken WHERE taken.order_number = sums.order_number AND taken.day <= :last)
"""
"""What was paid ahead up to the day, without its sales tax: in proportion to what of each order counts later."""
_WAITING: Final = "here.order_number IS NOT NULL"
_LIST: Final = f"""CASE WHEN {_WAITING} AND sums.charged > sums.paid THEN {word(OpenKind.SOLD)}
    WHEN {_WAITING} THEN {word(OpenKind.PAID)} WHEN sums.charged > sums.paid THEN {word(OpenKind.SHIPPED)}
    ELSE {word(OpenKind.OVERPAID)} END"""
_SENT: Final = f"""CASE WHEN NOT ({_WAITING}) THEN 'all of it was sent' WHEN EXISTS (
    SELECT 1 FROM parcel WHERE parcel.order_number = sold.number AND {_AWAY}) THEN 'a part was sent'
    ELSE 'nothing was sent' END"""
_TURNS: Final = " ".join(f"WHEN {word(kind)} THEN {turn}" for turn, kind in enumerate(OpenKind))
OPEN: Final = f"""
SELECT listed.kind, listed.number, listed.day, listed.who, listed.about, listed.whole, listed.paid, listed.counted,
       listed.later_net, CASE listed.kind {_TURNS} END AS turn
FROM (
    SELECT {_LIST} AS kind, sold.number AS number, sold.day AS day, {CUSTOMER} AS who, {_SENT} AS about,
           sums.charged AS whole, sums.paid AS paid, sums.counted AS counted, sums.later_net AS later_net
    FROM ({_SUMS}) sums JOIN shop_order sold ON sold.number = sums.order_number {OF_CUSTOMER}
    LEFT JOIN (SELECT order_number FROM ({_PAIRS_HERE} UNION {_GOODS_HERE}) both_kinds GROUP BY order_number) here
        ON here.order_number = sold.number
    WHERE sold.day <= :last AND (sums.charged <> sums.paid OR sums.charged <> sums.counted OR {_WAITING})
      AND NOT EXISTS (SELECT 1 FROM cancellation taken WHERE taken.order_number = sold.number AND taken.day <= :last)
    UNION ALL
    SELECT {word(OpenKind.BILL)}, bill.number, bill.day, {SUPPLIER}, bill.invoice, left_open.amount, 0, 0, 0
    FROM (SELECT bill_number, {total("amount")} AS amount FROM ({owed("<= :last")}) standing
          GROUP BY bill_number HAVING SUM(amount) <> 0) left_open
    JOIN bill ON bill.number = left_open.bill_number {supplier_called("bill.supplier_number")}
    UNION ALL
    SELECT {word(OpenKind.DEPOSIT)}, deposit.number, deposit.day, {CUSTOMER}, deposit.method, deposit.amount,
           deposit.amount - held.rest, 0, 0
    FROM (SELECT deposit_number, {total("taken - given_back - used")} AS rest
          FROM ({DEPOSIT_EVENTS}) events GROUP BY deposit_number HAVING SUM(taken - given_back - used) <> 0) held
    JOIN deposit ON deposit.number = held.deposit_number {CUSTOMER_CALLED.format(number="deposit.customer_number")}
    UNION ALL
    SELECT {word(OpenKind.DRAFT)}, draft.number, draft.day, {CUSTOMER}, draft.reason, 0, 0, 0, 0
    FROM draft_order draft {CUSTOMER_CALLED.format(number="draft.customer_number")}
    WHERE draft.day <= :last AND NOT EXISTS (
        SELECT 1 FROM draft_recording made JOIN shop_order sold ON sold.number = made.order_number
        WHERE made.draft_number = draft.number AND sold.day <= :last)
) listed
ORDER BY turn, listed.day, listed.number
"""
