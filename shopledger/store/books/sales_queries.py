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
_RIGHT: Final = f"changed.kind = {word(CorrectionKind.PUT_RIGHT)}"


def _sold(more: str = "") -> str:
    return f"""
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number {more}
WHERE sold.{IN_PERIOD} AND NOT {ADDED}"""


def _added(more: str = "") -> str:
    return f"""
FROM correction changed JOIN added_line added ON added.correction_number = changed.number
JOIN order_line line ON line.order_number = added.order_number AND line.position = added.line
JOIN shop_order sold ON sold.number = changed.order_number {more} WHERE changed.{IN_PERIOD}"""


def _changed(condition: str, more: str = "", *, cancelled: bool = False) -> str:
    """Give what corrections took from lines, in the period, or on orders that were cancelled in it."""
    on = "taken" if cancelled else "changed"
    taken = "JOIN cancellation taken ON taken.order_number = changed.order_number" if cancelled else ""
    return f"""
FROM correction changed {taken} JOIN correction_part part ON part.correction_number = changed.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = changed.order_number {more} WHERE {on}.{IN_PERIOD} AND {condition}"""


def _cancelled(more: str = "") -> str:
    return f"""
FROM cancellation taken JOIN shop_order sold ON sold.number = taken.order_number
JOIN order_line line ON line.order_number = sold.number {more} WHERE taken.{IN_PERIOD}"""


def refunded(more: str = "") -> str:
    """Give what refunds gave back of lines, in the period."""
    return f"""
FROM refund given JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number {more} WHERE given.{IN_PERIOD}"""


REFUNDED_PARTS: Final = refunded()


_OF_ORDER: Final = {"day": "sold.day", "kind": word(DocumentKind.ORDER), "number": "sold.number"}
_OF_CHANGE: Final = {"day": "changed.day", "kind": word(DocumentKind.CORRECTION), "number": "changed.number"}
_OF_REFUND: Final = {"day": "given.day", "kind": word(DocumentKind.REFUND), "number": "given.number"}
_OF_CANCELLED: Final = {"day": "taken.day", "kind": word(DocumentKind.CANCELLATION), "number": "sold.number"}


def sold(keys: str, where: str = "") -> str:
    """Give, line by line, net and tax of what was sold and added, and below zero of what was taken out.

    `keys` are further columns of `sold` and `line`, with `{day}`, `{kind}` and `{number}` for those of the document;
    `where` begins with AND.
    """
    return f"""
    SELECT {keys.format(**_OF_ORDER)}, line.net AS net, line.tax AS tax {_sold()} {where}
    UNION ALL SELECT {keys.format(**_OF_CHANGE)}, line.net, line.tax {_added()} {where}
    UNION ALL SELECT {keys.format(**_OF_CHANGE)}, -part.net, -part.tax {_changed(_RIGHT)} {where}
    """


def cancelled(keys: str, where: str = "") -> str:
    """Give the same of orders that were cancelled: what they had come to."""
    keys = keys.format(**_OF_CANCELLED)
    return f"""
    SELECT {keys}, line.net AS net, line.tax AS tax {_cancelled()} {where}
    UNION ALL SELECT {keys}, -part.net, -part.tax {_changed(_RIGHT, cancelled=True)} {where}
    """


def given_up(keys: str, where: str = "") -> str:
    """Give the same of what lines gave up after the sale, with money or without."""
    other = f"NOT {_RIGHT}"
    return f"""
    SELECT {keys.format(**_OF_REFUND)}, part.net AS net, part.tax AS tax {REFUNDED_PARTS} {where}
    UNION ALL SELECT {keys.format(**_OF_CHANGE)}, part.net, part.tax {_changed(other)} {where}
    UNION ALL
    SELECT {keys.format(**_OF_CANCELLED)}, -part.net, -part.tax {_changed(other, cancelled=True)} {where}
    """


def _sums(lines: str) -> str:
    sums = {"list": "line.list_price", "reduction": "line.reduction", "net": "line.net", "tax": "line.tax"}
    added = (f"{total(column)} AS {name}" for name, column in sums.items())
    return f"SELECT {', '.join(added)} {lines}"


def _parts(parts: str) -> str:
    return f"SELECT {total('part.net')} AS net, {total('part.tax')} AS tax {parts}"


# One row, by the fields of the period's totals.
TOTALS: Final = f"""
SELECT orders, sold.list, sold.reduction, sold.net, sold.tax, paid - unpaid, cancellations,
       gone.list - gone_parts.net, gone.reduction, gone.net - gone_parts.net, gone.tax - gone_parts.tax,
       repaid - unpaid_before,
       refunds, back.net, back.tax, more.list - less.net, more.reduction, more.net - less.net, more.tax - less.tax,
       lowered.net - undone.net, lowered.tax - undone.tax
FROM (SELECT COUNT(*) AS orders FROM shop_order WHERE {IN_PERIOD}) ordered,
     ({_sums(_sold())}) sold,
     (SELECT {total("amount")} AS paid FROM payment WHERE {IN_PERIOD}) received,
     (SELECT {total(TAKEN)} AS unpaid FROM correction WHERE {IN_PERIOD}) reversed,
     (SELECT COUNT(*) AS cancellations FROM cancellation WHERE {IN_PERIOD}) cancelled,
     ({_sums(_cancelled())}) gone,
     ({_parts(_changed(_RIGHT, cancelled=True))}) gone_parts,
     (SELECT {total("payment.amount")} AS repaid
      FROM cancellation taken JOIN payment ON payment.order_number = taken.order_number
      WHERE taken.{IN_PERIOD}) given_back,
     (SELECT {total(TAKEN)} AS unpaid_before
      FROM cancellation taken JOIN correction ON correction.order_number = taken.order_number
      WHERE taken.{IN_PERIOD}) reversed_before,
     (SELECT COUNT(DISTINCT given.number) AS refunds, {total("part.net")} AS net, {total("part.tax")} AS tax
      FROM refund given JOIN refund_part part ON part.refund_number = given.number WHERE given.{IN_PERIOD}) back,
     ({_sums(_added())}) more,
     ({_parts(_changed(_RIGHT))}) less,
     ({_parts(_changed(f"NOT {_RIGHT}"))}) lowered,
     ({_parts(_changed(f"NOT {_RIGHT}", cancelled=True))}) undone
"""
_LINE: Final = f"sold.number, {CUSTOMER}, sold.state, line.kind, line.item_code, line.description"
_OUT: Final = "CASE WHEN part.net = line.net THEN line.quantity ELSE part.returned END"
SALES: Final = f"""
SELECT sold.day AS day, sold.number AS order_number, {CUSTOMER} AS customer, sold.state, line.kind, line.item_code,
       line.description, line.quantity, line.list_price, line.reduction, line.net, line.tax_category, line.tax,
       {word(SaleEvent.SOLD)} AS event, line.position AS position, 0 AS turn
{_sold(OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_LINE}, line.quantity, line.list_price, line.reduction, line.net, line.tax_category, line.tax,
       {word(SaleEvent.ADDED)}, line.position, 1
{_added(OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_LINE}, -{_OUT}, -part.net, 0, -part.net, line.tax_category, -part.tax,
       {word(SaleEvent.TAKEN_OUT)}, 0, 2
{_changed(_RIGHT, OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_LINE}, -line.quantity, -line.list_price, -line.reduction, -line.net, line.tax_category, -line.tax,
       {word(SaleEvent.CANCELLED)}, line.position, 3
{_cancelled(OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_LINE}, {_OUT}, part.net, 0, part.net, line.tax_category, part.tax,
       {word(SaleEvent.CANCELLED)}, 0, 4
{_changed(_RIGHT, OF_CUSTOMER, cancelled=True)}
ORDER BY day, order_number, turn, position
"""
_GIVING: Final = f"sold.number AS order_number, {CUSTOMER}, sold.state, line.kind, line.description, line.tax_category"
_CAUSE: Final = cases(
    "changed.kind",
    {CorrectionKind.REDUCED: GivenUpCause.REDUCED, CorrectionKind.EXCHANGED: GivenUpCause.EXCHANGED},
)
REFUNDS: Final = f"""
SELECT given.day AS day, {_GIVING}, part.net, part.tax, given.method, given.reason, part.returned,
       {word(GivenUpCause.REFUND)} AS cause, 0 AS turn, given.number AS number, part.position AS position
{refunded(OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_GIVING}, part.net, part.tax, '', changed.reason, part.returned, {_CAUSE}, 1, changed.number,
       part.position
{_changed(f"NOT {_RIGHT}", OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_GIVING}, -part.net, -part.tax, '', taken.reason, 0, {word(GivenUpCause.CANCELLED)}, 2,
       changed.number, part.position
{_changed(f"NOT {_RIGHT}", OF_CUSTOMER, cancelled=True)}
ORDER BY day, turn, number, position
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
