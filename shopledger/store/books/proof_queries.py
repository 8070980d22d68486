"""What proving the books asks of the database beside documents and their entries: counters, stock, lots, totals.

Each query gives what is wanted and what was found; all but the counters give only what differs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from sqlalchemy import Column

from shopledger.ledger.audit import Subject
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.posting_rules import STANDS_ON
from shopledger.ledger.stock import STOCKED, StockedKind, StockReason
from shopledger.store.books.document_rows import LOWERED, REFUNDED, TAKEN, WRITTEN_OFF
from shopledger.store.tables import (
    backups,
    bank,
    bills,
    catalogue,
    corrections,
    counters,
    erasures,
    inspections,
    journal,
    lens_orders,
    names,
    orders,
    parcels,
    parties,
    payments,
    periods,
    prescriptions,
    processor,
    receipts,
    spending,
    stock,
    traces,
    year_lists,
)
from shopledger.store.words import listed, stands_on, word

COUNTERS: Final[Mapping[str, Column[int]]] = {
    "entry": journal.journal_entry.c.number,
    "order": orders.shop_order.c.number,
    "job": orders.order_pair.c.job_number,
    "payment": payments.payment.c.number,
    "refund": payments.refund.c.number,
    "parcel": parcels.parcel.c.number,
    "order address": parcels.order_address.c.number,
    "correction": corrections.correction.c.number,
    "receipt": receipts.receipt.c.number,
    "movement": stock.stock_movement.c.number,
    "bill": bills.bill.c.number,
    "bill payment": bills.bill_payment.c.number,
    "bill credit": bills.bill_credit.c.number,
    "adjustment": journal.adjustment.c.number,
    "expense": spending.expense.c.number,
    "money": spending.money_move.c.number,
    "deposit": spending.deposit.c.number,
    "disposal": year_lists.disposal.c.number,
    "w9": year_lists.w9.c.number,
    "w9 erasure": year_lists.w9_erasure.c.number,
    "report limit": year_lists.report_limit.c.number,
    "remake": inspections.remake.c.number,
    "inspection": inspections.inspection.c.number,
    "prescription": prescriptions.prescription.c.number,
    "customer": parties.customer.c.number,
    "supplier": bills.supplier.c.number,
    "lens order": lens_orders.lens_order.c.number,
    "draft": payments.draft_order.c.number,
    "period": periods.period_event.c.number,
    "audit": counters.audit_note.c.number,
    "ledger copy": backups.ledger_copy.c.number,
    "certificate": inspections.certificate.c.number,
    "impact record": inspections.impact_record.c.number,
    "wearer": parties.wearer.c.number,
    "prescriber": parties.prescriber.c.number,
    "trace": traces.trace.c.number,
    "frame": catalogue.frame.c.number,
    "lens": catalogue.lens.c.number,
    "extra": catalogue.extra.c.number,
    "accessory": catalogue.accessory.c.number,
    "offer": catalogue.offer.c.number,
    "audit pruning": counters.audit_pruning.c.number,
    "erasure": erasures.erasure.c.number,
    "legal hold": erasures.legal_hold.c.number,
    "wearer move": parties.wearer_move.c.number,
    "customer join": parties.customer_join.c.number,
    "name change": names.name_change.c.number,
    "bank account": bank.bank_account.c.number,
    "bank layout": bank.bank_layout.c.number,
    "bank statement": bank.bank_statement.c.number,
    "bank line": bank.bank_line.c.number,
    "bank match": bank.bank_match.c.number,
    "processor": processor.processor.c.number,
    "processor layout": processor.processor_layout.c.number,
    "processor report": processor.processor_report.c.number,
    "processor line": processor.processor_line.c.number,
    "payout move": processor.payout_move.c.number,
}
"""The counters that give numbers without gaps, each with the column that holds them."""

_GONE: Final = {"audit": "(SELECT COALESCE(MAX(last), 0) FROM audit_pruning)"}
"""How many of the first numbers are gone because their rows grew old and were taken away."""
WITH_GAPS: Final[Mapping[str, Column[int]]] = {
    "backup place": backups.backup_place.c.number,
    "backup key": backups.backup_key.c.number,
}
"""The counters whose numbers may go again, since the owner takes their rows away."""
BELOW: Final = "UNION ALL".join(
    f"""
SELECT '{name}' AS name, (SELECT last FROM counter WHERE name = '{name}') AS last,
       COALESCE(MAX({column.name}), 0) AS highest FROM {column.table.name}
"""  # noqa: S608 - the names above
    for name, column in WITH_GAPS.items()
)
NAMES: Final = "SELECT name FROM counter"

COUNTED: Final = "UNION ALL".join(
    f"""
SELECT '{name}' AS name, (SELECT last FROM counter WHERE name = '{name}') AS last,
       COUNT(*) + {_GONE.get(name, "0")}
       + (SELECT COALESCE(SUM(gap.last - gap.after), 0) FROM number_gap gap WHERE gap.kind = '{name}') AS many,
       COALESCE(MAX({column.name}), 0) AS highest,
       (SELECT COALESCE(MAX(gap.last), 0) FROM number_gap gap WHERE gap.kind = '{name}') AS gap FROM {column.table.name}
"""  # noqa: S608 - the names above
    for name, column in COUNTERS.items()
)

LEVELS: Final = """
SELECT kind, item_code, SUM(moved) AS wanted, SUM(level) AS found
FROM (
    SELECT kind, item_code, quantity AS moved, 0 AS level FROM stock_movement
    UNION ALL SELECT kind, item_code, 0, on_hand FROM stock_level
) together
GROUP BY kind, item_code HAVING SUM(moved) <> SUM(level) ORDER BY kind, item_code
"""
# What an order takes from the shelf less what left of it and did not come back; a frame that goes along with a remake
# stands on no line, and is free again once another job took that one's place.
RESERVED: Final = f"""
SELECT kind, item_code, SUM(wanted) AS wanted, SUM(found) AS found
FROM (
    SELECT line.kind AS kind, line.item_code AS item_code, line.quantity - COALESCE((
               SELECT SUM(part.returned) FROM refund_part part
               WHERE part.order_number = line.order_number AND part.line = line.position), 0) - COALESCE((
               SELECT SUM(part.returned) FROM correction_part part
               WHERE part.order_number = line.order_number AND part.line = line.position), 0) AS wanted, 0 AS found
    FROM order_line line
    WHERE line.kind IN {listed(STOCKED)}
      AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = line.order_number)
    UNION ALL
    SELECT moved.kind, moved.item_code, moved.quantity, 0 FROM stock_movement moved
    WHERE moved.reason IN {listed((StockReason.SOLD, StockReason.RETURNED))}
      AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = moved.order_number)
    UNION ALL
    SELECT {word(StockedKind.FRAME)}, pair.frame_code, CASE WHEN after.job_number IS NULL THEN 1 ELSE -COALESCE((
               SELECT SUM(moved.quantity) FROM stock_movement moved WHERE moved.job_number = pair.job_number), 0) END, 0
    FROM job_again again JOIN order_pair pair ON pair.job_number = again.job_number
    LEFT JOIN job_again after ON after.in_place_of = again.job_number
    WHERE again.new_frame = 1
      AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
    UNION ALL SELECT kind, item_code, 0, set_aside FROM stock_level
) together
GROUP BY kind, item_code HAVING SUM(wanted) <> SUM(found) ORDER BY kind, item_code
"""  # noqa: S608 - the words of the ledger
LOTS: Final = """
SELECT number, SUM(came) AS came, SUM(cost) AS cost, SUM(on_hand) AS on_hand, SUM(stands) AS stands
FROM (
    SELECT number, quantity AS came, cost, 0 AS on_hand, 0 AS stands FROM stock_movement WHERE quantity > 0
    UNION ALL SELECT lot, -quantity, -cost, 0, 0 FROM stock_issue
    UNION ALL SELECT number, 0, 0, on_hand, cost FROM stock_lot
) together
GROUP BY number HAVING SUM(came) <> SUM(on_hand) OR SUM(cost) <> SUM(stands) ORDER BY number
"""
MISLAID: Final = """
SELECT lot.number FROM stock_lot lot JOIN stock_movement moved ON moved.number = lot.number
WHERE lot.kind <> moved.kind OR lot.item_code <> moved.item_code OR lot.day <> moved.day
ORDER BY lot.number
"""
ISSUES: Final = """
SELECT number, SUM(went) AS went, SUM(cost) AS cost, SUM(issued) AS issued, SUM(stands) AS stands
FROM (
    SELECT number, -quantity AS went, -cost AS cost, 0 AS issued, 0 AS stands FROM stock_movement WHERE quantity <= 0
    UNION ALL SELECT movement_number, 0, 0, quantity, cost FROM stock_issue
) together
GROUP BY number HAVING SUM(went) <> SUM(issued) OR SUM(cost) <> SUM(stands) ORDER BY number
"""

_NOT_CANCELLED: Final = "NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = {row}.order_number)"
_PAYMENTS: Final = f"(SELECT COALESCE(SUM(amount), 0) FROM payment WHERE {_NOT_CANCELLED.format(row='payment')}"  # noqa: S608 - as above


def _voided(kind: DocumentKind, number: str) -> str:
    return f"EXISTS (SELECT 1 FROM taken_back WHERE {stands_on(kind, number, 'taken_back')})"  # noqa: S608 - as above


_SUMS: Final = {
    Account.INVENTORY: "(SELECT COALESCE(SUM(cost), 0) FROM stock_movement)",
    # With the prepayments, since those are what orders owe less than nothing.
    Account.RECEIVABLE: f"""
(SELECT COALESCE(SUM(net + tax - net_back - tax_back), 0) FROM earned WHERE {_NOT_CANCELLED.format(row="earned")})
- {_PAYMENTS})
+ (SELECT COALESCE(SUM({TAKEN} - {WRITTEN_OFF}), 0) FROM correction WHERE {_NOT_CANCELLED.format(row="correction")})
+ (SELECT COALESCE(SUM(net + tax), 0) FROM refund_part WHERE {_NOT_CANCELLED.format(row="refund_part")})
""",  # noqa: S608 - as above
    Account.CUSTOMER_DEPOSITS: f"""
{_PAYMENTS} AND deposit_number IS NOT NULL)
- (SELECT COALESCE(SUM({TAKEN}), 0) FROM correction JOIN payment ON payment.number = correction.payment_number
   WHERE payment.deposit_number IS NOT NULL AND {_NOT_CANCELLED.format(row="correction")})
- (SELECT COALESCE(SUM(CASE WHEN gives_back IS NULL THEN amount ELSE -amount END), 0) FROM deposit
   WHERE NOT {_voided(DocumentKind.DEPOSIT, "deposit.number")})
""",  # noqa: S608 - as above
    # What suppliers took off for goods sent back is kept by the books alone.
    Account.ACCOUNTS_PAYABLE: f"""
(SELECT COALESCE(SUM(amount), 0) FROM bill_payment
 WHERE NOT {_voided(DocumentKind.BILL_PAYMENT, "bill_payment.number")})
- (SELECT COALESCE(SUM(amount), 0) FROM bill_line WHERE NOT {_voided(DocumentKind.BILL, "bill_line.bill_number")})
+ (SELECT COALESCE(SUM({LOWERED} - CASE WHEN {REFUNDED} THEN amount ELSE 0 END), 0) FROM bill_credit
   WHERE NOT {_voided(DocumentKind.BILL_CREDIT, "bill_credit.number")})
+ (SELECT COALESCE(SUM(posting.amount), 0) FROM journal_entry entry
   JOIN journal_posting posting ON posting.entry_number = entry.number
   WHERE posting.account = {word(Account.ACCOUNTS_PAYABLE)} AND entry.document_kind = {word(DocumentKind.MOVEMENT)})
""",  # noqa: S608 - as above
}
ACCOUNTS: Final = " UNION ALL ".join(
    f"""
SELECT {word(account)} AS account, {wanted} AS wanted,
       (SELECT COALESCE(SUM(amount), 0) FROM journal_posting
        WHERE account IN {listed(STANDS_ON if account in STANDS_ON else (account,))}) AS found
"""  # noqa: S608 - as above
    for account, wanted in _SUMS.items()
)
_OF_ORDERS: Final = " UNION ALL ".join(
    f"SELECT {word(kind)} AS kind, {number} AS number, {order} AS order_number FROM {table}"  # noqa: S608 - as above
    for kind, number, order, table in (
        (DocumentKind.ORDER, "number", "number", "shop_order"),
        (DocumentKind.OPENING_DEBT, "order_number", "order_number", "opening_debt"),
        (DocumentKind.PUT_OFF, "order_number", "order_number", "put_off"),
        (DocumentKind.CANCELLATION, "order_number", "order_number", "cancellation"),
        (DocumentKind.PAYMENT, "number", "order_number", "payment"),
        (DocumentKind.REFUND, "number", "order_number", "refund"),
        (DocumentKind.CORRECTION, "number", "order_number", "correction"),
        (DocumentKind.PARCEL, "number", "order_number", "parcel"),
        (DocumentKind.PARCEL_RETURN, "number", "order_number", "parcel"),
    )
)
SIDES: Final = f"""
SELECT order_number, day, owed, ahead FROM (
    SELECT order_number, day, SUM(owed) OVER upto AS owed, SUM(ahead) OVER upto AS ahead FROM (
        SELECT own.order_number, entry.day,
               SUM(CASE WHEN posting.account = {word(Account.RECEIVABLE)} THEN posting.amount ELSE 0 END) AS owed,
               SUM(CASE WHEN posting.account = {word(Account.PREPAYMENTS)} THEN posting.amount ELSE 0 END) AS ahead
        FROM ({_OF_ORDERS}) own
        JOIN journal_entry entry ON entry.document_kind = own.kind AND entry.document_number = own.number
        JOIN journal_posting posting ON posting.entry_number = entry.number
            AND posting.account IN {listed(STANDS_ON)}
        GROUP BY own.order_number, entry.day
    ) daily
    WINDOW upto AS (PARTITION BY order_number ORDER BY day)
) standing
WHERE ahead > 0 OR (ahead < 0 AND owed <> 0)
ORDER BY order_number, day
"""  # noqa: S608 - as above
"""The orders that stand on both sides at the end of a day, or on the wrong one. Before there were prepayments, an order
paid too much stood below zero in what customers owe."""
RECEIPTS: Final = "SELECT number, canonical, sha256 FROM receipt ORDER BY number"
FROZEN: Final = f"""
SELECT {word(Subject.RECEIPT)} AS what, receipt.number, canonical AS body, sha256, wearer_number, customer_number
FROM receipt JOIN shop_order ON shop_order.number = order_number
UNION ALL
SELECT {word(Subject.CERTIFICATE)}, certificate.number, body, sha256, wearer_number, customer_number
FROM certificate JOIN inspection ON inspection.number = inspection_number
JOIN order_pair own ON own.job_number = inspection.job_number JOIN wearer ON wearer.number = wearer_number
UNION ALL
SELECT {word(Subject.LENS_ORDER)}, lens_order.number, body, sha256, wearer_number, customer_number
FROM lens_order JOIN order_pair own ON own.job_number = lens_order.job_number
JOIN wearer ON wearer.number = wearer_number
"""  # noqa: S608 - the words of the ledger
CLOSINGS: Final = "SELECT month, deed, head_count, head_hash FROM period_event ORDER BY number"
