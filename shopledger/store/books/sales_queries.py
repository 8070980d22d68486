"""What a report asks of the sales, in SQL that SQLite and PostgreSQL both understand.

What was taken back is found by the day it was taken back; only the order's own words come from the sale. A query lists
its columns in the order of the fields of its record; those after them only put the rows in order.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.customer_rows import GivenUpCause, SaleEvent
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.names import Named
from shopledger.ledger.taxes import ImposedOn
from shopledger.store.books.document_rows import TAKEN
from shopledger.store.names import called_by_then
from shopledger.store.words import cases, stands_on, word

IN_PERIOD: Final = "day BETWEEN :first AND :last"


def total(amount: str, where: str = "") -> str:
    """Add up whole numbers, of all rows or of some; cast, since elsewhere a sum of whole numbers is none."""
    counted = f"CASE WHEN {where} THEN {amount} ELSE 0 END" if where else amount
    return f"CAST(COALESCE(SUM({counted}), 0) AS BIGINT)"


def both_ways(table: str, kind: DocumentKind, days: str = "BETWEEN :first AND :last") -> str:
    """Give the rows of a table that are of these days, and with the opposite sign those voided on them."""
    return f"""
    SELECT {table}.*, {table}.day AS on_day, 1 AS sign FROM {table} WHERE {table}.day {days}
    UNION ALL
    SELECT {table}.*, taken.day AS on_day, -1 AS sign FROM taken_back taken
    JOIN {table} ON {stands_on(kind, f"{table}.number", "taken")} WHERE taken.day {days}
    """


ON_BUYER: Final = f"line.tax_imposed_on = {word(ImposedOn.BUYER)}"
ON_SELLER: Final = f"line.tax_imposed_on = {word(ImposedOn.SELLER)}"
CUSTOMER_CALLED: Final = f"""
JOIN customer ON customer.number = {{number}}
LEFT JOIN ({called_by_then(Named.CUSTOMER, "customer_number")}) called ON called.own = customer.number"""
"""Joins whoever has a number, and what they were called on the last day if it was not always the same."""
CUSTOMER: Final = "COALESCE(called.name, customer.name)"
OF_CUSTOMER: Final = CUSTOMER_CALLED.format(number="sold.customer_number")


ADDED: Final = """EXISTS (
    SELECT 1 FROM added_line added WHERE added.order_number = line.order_number AND added.line = line.position)"""


def refunded(more: str = "") -> str:
    """Give what refunds gave back of lines, in the period, whether it had counted as sold or not: money."""
    return f"""
FROM refund given JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number {more} WHERE given.{IN_PERIOD}"""


REFUNDED_PARTS: Final = refunded()

_SALE: Final = f"earned.document_kind <> {word(DocumentKind.OPENING_DEBT)}"
DEBTS_BOTH_WAYS: Final = f"""
SELECT earned.net FROM earned
WHERE earned.document_kind = {word(DocumentKind.OPENING_DEBT)} AND earned.{IN_PERIOD}
UNION ALL
SELECT -earned.net FROM cancellation taken
JOIN opening_debt debt ON debt.order_number = taken.order_number
JOIN earned ON earned.order_number = taken.order_number
    AND earned.document_kind = {word(DocumentKind.OPENING_DEBT)}
WHERE taken.{IN_PERIOD}
"""
"""What customers owed when the books began, and below zero what of it was cancelled."""
SOLD_HERE: Final = "NOT EXISTS (SELECT 1 FROM opening_debt WHERE opening_debt.order_number = {order})"
"""That an order is a sale of these books, and not what was owed when they began."""
_AMOUNTS: Final = ("quantity", "listed", "net", "tax", "net_back", "tax_back")
COUNTED: Final = f"""
SELECT earned.document_kind AS kind, earned.document_number AS number, earned.order_number, earned.line, earned.day,
       {", ".join(f"earned.{name}" for name in _AMOUNTS)}
FROM earned WHERE earned.{IN_PERIOD} AND {_SALE}
UNION ALL
SELECT {word(DocumentKind.CANCELLATION)}, taken.order_number, taken.order_number, earned.line, taken.day,
       {", ".join(f"-earned.{name}" for name in _AMOUNTS)}
FROM cancellation taken JOIN earned ON earned.order_number = taken.order_number AND {_SALE}
WHERE taken.{IN_PERIOD}
"""
"""What documents count as sold and as given up in the period, line by line; a cancellation takes back all that did."""
_CANCELLED: Final = f"counted.kind = {word(DocumentKind.CANCELLATION)}"
_PUT_RIGHT: Final = f"counted.kind = {word(DocumentKind.CORRECTION)}"
_REFUNDED: Final = f"counted.kind = {word(DocumentKind.REFUND)}"


def _counted(more: str = "") -> str:
    return f"""
FROM ({COUNTED}) counted
JOIN order_line line ON line.order_number = counted.order_number AND line.position = counted.line
JOIN shop_order sold ON sold.number = counted.order_number {more}"""


_KEYS: Final = {name: f"counted.{name}" for name in ("day", "kind", "number")}


def sold(keys: str, where: str = "") -> str:
    """Give, line by line, net and tax of what counts as sold, and below zero of what counts no longer.

    `keys` are further columns of `sold` and `line`, with `{day}`, `{kind}` and `{number}` for those of the document;
    `where` begins with AND.
    """
    return f"""
    SELECT {keys.format(**_KEYS)}, counted.net AS net, counted.tax AS tax {_counted()} WHERE NOT {_CANCELLED} {where}
    """


def cancelled(keys: str, where: str = "") -> str:
    """Give the same of orders that were cancelled: what they had come to."""
    return f"""
    SELECT {keys.format(**_KEYS)}, -counted.net AS net, -counted.tax AS tax {_counted()} WHERE {_CANCELLED} {where}
    """


def given_up(keys: str, where: str = "") -> str:
    """Give the same of what lines gave up after it counted, with money or without."""
    return f"""
    SELECT {keys.format(**_KEYS)}, counted.net_back AS net, counted.tax_back AS tax {_counted()}
    WHERE (counted.net_back <> 0 OR counted.tax_back <> 0) {where}
    """


def _sums(where: str, sign: str = "") -> tuple[str, ...]:
    amounts = ("counted.listed", "counted.listed - counted.net", "counted.net", "counted.tax")
    return tuple(total(f"{sign}({amount})", where) for amount in amounts)


def _back(where: str) -> tuple[str, ...]:
    return tuple(total(f"counted.{name}", where) for name in ("net_back", "tax_back"))


# One row, by the fields of the period's totals.
_SOLD: Final = f"NOT {_CANCELLED} AND NOT {_PUT_RIGHT}"
_TOTALS: Final = {
    **dict(zip(("list", "reduction", "net", "tax"), _sums(_SOLD), strict=True)),
    **dict(zip(("gone_list", "gone_reduction", "gone_net", "gone_tax"), _sums(_CANCELLED, "-"), strict=True)),
    **dict(zip(("right_list", "right_reduction", "right_net", "right_tax"), _sums(_PUT_RIGHT), strict=True)),
    **dict(zip(("back_net", "back_tax"), _back(_REFUNDED), strict=True)),
    **dict(zip(("lowered_net", "lowered_tax"), _back(f"NOT {_REFUNDED}"), strict=True)),
}
TOTALS: Final = f"""
SELECT orders, earned.list, earned.reduction, earned.net, earned.tax, paid - unpaid, cancellations,
       earned.gone_list, earned.gone_reduction, earned.gone_net, earned.gone_tax, repaid - unpaid_before,
       refunds, earned.back_net, earned.back_tax, earned.right_list, earned.right_reduction, earned.right_net,
       earned.right_tax, earned.lowered_net, earned.lowered_tax, refunded
FROM (SELECT COUNT(*) AS orders FROM shop_order
      WHERE {IN_PERIOD} AND {SOLD_HERE.format(order="shop_order.number")}) ordered,
     (SELECT {", ".join(f"{amount} AS {name}" for name, amount in _TOTALS.items())} FROM ({COUNTED}) counted) earned,
     (SELECT {total("amount")} AS paid FROM payment WHERE {IN_PERIOD}) received,
     (SELECT {total(TAKEN)} AS unpaid FROM correction WHERE {IN_PERIOD}) reversed,
     (SELECT COUNT(*) AS cancellations FROM cancellation
      WHERE {IN_PERIOD} AND {SOLD_HERE.format(order="cancellation.order_number")}) cancelled,
     (SELECT {total("payment.amount")} AS repaid
      FROM cancellation taken JOIN payment ON payment.order_number = taken.order_number
      WHERE taken.{IN_PERIOD}) given_back,
     (SELECT {total(TAKEN)} AS unpaid_before
      FROM cancellation taken JOIN correction ON correction.order_number = taken.order_number
      WHERE taken.{IN_PERIOD}) reversed_before,
     (SELECT COUNT(DISTINCT given.number) AS refunds, {total("part.net + part.tax")} AS refunded
      FROM refund given JOIN refund_part part ON part.refund_number = given.number WHERE given.{IN_PERIOD}) back
"""
_EVENT: Final = cases(
    "counted.kind",
    {
        DocumentKind.CORRECTION: f"""CASE WHEN counted.net > 0 OR counted.listed > 0 THEN {word(SaleEvent.ADDED)}
            ELSE {word(SaleEvent.TAKEN_OUT)} END""",
        DocumentKind.PARCEL_RETURN: SaleEvent.CAME_BACK,
        DocumentKind.PUT_OFF: SaleEvent.PUT_OFF,
        DocumentKind.CANCELLATION: SaleEvent.CANCELLED,
    },
    word(SaleEvent.SOLD),
)
_COUNTS: Final = "(counted.quantity <> 0 OR counted.listed <> 0 OR counted.net <> 0 OR counted.tax <> 0)"
SALES: Final = f"""
SELECT counted.day AS day, sold.number AS order_number, {CUSTOMER} AS customer, sold.state, line.kind, line.item_code,
       line.description, counted.quantity, counted.listed, counted.listed - counted.net, counted.net,
       line.tax_category, counted.tax, {_EVENT} AS event
{_counted(OF_CUSTOMER)}
WHERE {_COUNTS}
ORDER BY counted.day, sold.number, CASE WHEN {_CANCELLED} THEN 1 ELSE 0 END, counted.number, line.position
"""
_CAUSE: Final = f"""CASE WHEN {_REFUNDED} THEN {word(GivenUpCause.REFUND)}
    WHEN counted.kind = {word(DocumentKind.PARCEL_RETURN)} THEN {word(GivenUpCause.CAME_BACK)}
    WHEN counted.kind = {word(DocumentKind.PUT_OFF)} THEN {word(GivenUpCause.PUT_OFF)}
    WHEN {_CANCELLED} THEN {word(GivenUpCause.CANCELLED)}
    WHEN changed.kind = {word(CorrectionKind.EXCHANGED)} THEN {word(GivenUpCause.EXCHANGED)}
    ELSE {word(GivenUpCause.REDUCED)} END"""


def _parts(of: str, number: str) -> str:
    return f"""COALESCE((SELECT SUM(part.returned) FROM {of}_part part
        WHERE part.{of}_number = {number} AND part.line = counted.line), 0)"""


REFUNDS: Final = f"""
SELECT counted.day AS day, sold.number AS order_number, {CUSTOMER}, sold.state, line.kind, line.description,
       line.tax_category, counted.net_back, counted.tax_back, COALESCE(given.method, '') AS method,
       COALESCE(given.reason, changed.reason, back.reason, taken.reason, '') AS reason,
       CASE WHEN {_REFUNDED} THEN {_parts("refund", "counted.number")}
           WHEN {_PUT_RIGHT} THEN {_parts("correction", "counted.number")} ELSE 0 END AS returned,
       {_CAUSE} AS cause
{_counted(OF_CUSTOMER)}
LEFT JOIN refund given ON {_REFUNDED} AND given.number = counted.number
LEFT JOIN correction changed ON {_PUT_RIGHT} AND changed.number = counted.number
LEFT JOIN parcel_return back ON counted.kind = {word(DocumentKind.PARCEL_RETURN)}
    AND back.parcel_number = counted.number
LEFT JOIN cancellation taken ON {_CANCELLED} AND taken.order_number = counted.number
WHERE counted.net_back <> 0 OR counted.tax_back <> 0
ORDER BY counted.day, cause, counted.number, counted.line
"""


_TAXED: Final = "sold.state, line.tax_category, line.tax_rate, line.tax_imposed_on, line.tax_reason"


def _taxed(rows: str, *columns: str) -> str:
    """Add rows up by what tells taxes apart, their net and tax in two of the six sums."""
    every = ("sales", "tax", "refunds", "refunds_tax", "cancellations", "cancellations_tax")
    sums = (f"SUM({'net' if name == columns[0] else 'tax'})" if name in columns else "0" for name in every)
    named = (f"{each} AS {name}" for each, name in zip(sums, every, strict=True))
    return f"""
    SELECT state, tax_category, tax_rate, tax_imposed_on, tax_reason, {", ".join(named)} FROM ({rows}) {columns[0]}_rows
    GROUP BY state, tax_category, tax_rate, tax_imposed_on, tax_reason"""


TAX: Final = f"""
SELECT state, tax_category, tax_rate, {total("sales")}, {total("tax")}, {total("refunds")}, {total("refunds_tax")},
       {total("cancellations")}, {total("cancellations_tax")}, tax_imposed_on, tax_reason
FROM (
    {_taxed(sold(_TAXED), "sales", "tax")}
    UNION ALL {_taxed(given_up(_TAXED), "refunds", "refunds_tax")}
    UNION ALL {_taxed(cancelled(_TAXED), "cancellations", "cancellations_tax")}
) together
GROUP BY state, tax_category, tax_rate, tax_imposed_on, tax_reason
ORDER BY state, tax_category, tax_rate, tax_imposed_on, tax_reason
"""
