"""What a report asks of the sales, in SQL that SQLite and PostgreSQL both understand.

What was taken back is found by the day it was taken back; only the order's own words come from the sale. A query lists
its columns in the order of the fields of its record; those after them only put the rows in order.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.customer_rows import DepositEvent, GivenUpCause, MoneyBackCause, SaleEvent
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.taxes import ImposedOn
from shopledger.store.words import cases, stands_on, word

IN_PERIOD: Final = "day BETWEEN :first AND :last"
NO_ORDER: Final = "CAST(NULL AS BIGINT)"


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
_OF_CUSTOMER: Final = "JOIN customer ON customer.number = sold.customer_number"


_ADDED: Final = """EXISTS (
    SELECT 1 FROM added_line added WHERE added.order_number = line.order_number AND added.line = line.position)"""
_RIGHT: Final = f"changed.kind = {word(CorrectionKind.PUT_RIGHT)}"


def _sold(more: str = "") -> str:
    return f"""
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number {more}
WHERE sold.{IN_PERIOD} AND NOT {_ADDED}"""


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


def _refunded(more: str = "") -> str:
    return f"""
FROM refund given JOIN refund_part part ON part.refund_number = given.number
JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
JOIN shop_order sold ON sold.number = given.order_number {more} WHERE given.{IN_PERIOD}"""


REFUNDED_PARTS: Final = _refunded()


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
SELECT orders, sold.list, sold.reduction, sold.net, sold.tax, paid, cancellations,
       gone.list - gone_parts.net, gone.reduction, gone.net - gone_parts.net, gone.tax - gone_parts.tax, repaid,
       refunds, back.net, back.tax, more.list - less.net, more.reduction, more.net - less.net, more.tax - less.tax,
       lowered.net - undone.net, lowered.tax - undone.tax
FROM (SELECT COUNT(*) AS orders FROM shop_order WHERE {IN_PERIOD}) ordered,
     ({_sums(_sold())}) sold,
     (SELECT {total("amount")} AS paid FROM payment WHERE {IN_PERIOD}) received,
     (SELECT COUNT(*) AS cancellations FROM cancellation WHERE {IN_PERIOD}) cancelled,
     ({_sums(_cancelled())}) gone,
     ({_parts(_changed(_RIGHT, cancelled=True))}) gone_parts,
     (SELECT {total("payment.amount")} AS repaid
      FROM cancellation taken JOIN payment ON payment.order_number = taken.order_number
      WHERE taken.{IN_PERIOD}) given_back,
     (SELECT COUNT(DISTINCT given.number) AS refunds, {total("part.net")} AS net, {total("part.tax")} AS tax
      FROM refund given JOIN refund_part part ON part.refund_number = given.number WHERE given.{IN_PERIOD}) back,
     ({_sums(_added())}) more,
     ({_parts(_changed(_RIGHT))}) less,
     ({_parts(_changed(f"NOT {_RIGHT}"))}) lowered,
     ({_parts(_changed(f"NOT {_RIGHT}", cancelled=True))}) undone
"""
_LINE: Final = "sold.number, customer.name, sold.state, line.kind, line.item_code, line.description"
_OUT: Final = "CASE WHEN part.net = line.net THEN line.quantity ELSE part.returned END"
SALES: Final = f"""
SELECT sold.day AS day, sold.number AS order_number, customer.name AS customer, sold.state, line.kind, line.item_code,
       line.description, line.quantity, line.list_price, line.reduction, line.net, line.tax_category, line.tax,
       {word(SaleEvent.SOLD)} AS event, line.position AS position, 0 AS turn
{_sold(_OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_LINE}, line.quantity, line.list_price, line.reduction, line.net, line.tax_category, line.tax,
       {word(SaleEvent.ADDED)}, line.position, 1
{_added(_OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_LINE}, -{_OUT}, -part.net, 0, -part.net, line.tax_category, -part.tax,
       {word(SaleEvent.TAKEN_OUT)}, 0, 2
{_changed(_RIGHT, _OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_LINE}, -line.quantity, -line.list_price, -line.reduction, -line.net, line.tax_category, -line.tax,
       {word(SaleEvent.CANCELLED)}, line.position, 3
{_cancelled(_OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_LINE}, {_OUT}, part.net, 0, part.net, line.tax_category, part.tax,
       {word(SaleEvent.CANCELLED)}, 0, 4
{_changed(_RIGHT, _OF_CUSTOMER, cancelled=True)}
ORDER BY day, order_number, turn, position
"""
_GIVING: Final = (
    "sold.number AS order_number, customer.name, sold.state, line.kind, line.description, line.tax_category"
)
_CAUSE: Final = cases(
    "changed.kind",
    {CorrectionKind.REDUCED: GivenUpCause.REDUCED, CorrectionKind.EXCHANGED: GivenUpCause.EXCHANGED},
)
REFUNDS: Final = f"""
SELECT given.day AS day, {_GIVING}, part.net, part.tax, given.method, given.reason, part.returned,
       {word(GivenUpCause.REFUND)} AS cause, 0 AS turn, given.number AS number, part.position AS position
{_refunded(_OF_CUSTOMER)}
UNION ALL
SELECT changed.day, {_GIVING}, part.net, part.tax, '', changed.reason, part.returned, {_CAUSE}, 1, changed.number,
       part.position
{_changed(f"NOT {_RIGHT}", _OF_CUSTOMER)}
UNION ALL
SELECT taken.day, {_GIVING}, -part.net, -part.tax, '', taken.reason, 0, {word(GivenUpCause.CANCELLED)}, 2,
       changed.number, part.position
{_changed(f"NOT {_RIGHT}", _OF_CUSTOMER, cancelled=True)}
ORDER BY day, turn, number, position
"""


def payments_of(orders: str, where: str = "", **parts: str) -> str:
    """Give payments of some orders, all of them or some, each with its share of parts of its order, told by line.

    Its share is that of all paid so far less that of what was paid before it, rounded half up, so that all payments of
    an order carry exactly what the order does.
    """

    def share(part: str, paid: str) -> str:
        return f"(whole.{part} * part.{paid} * 2 + whole.total) / (whole.total * 2)"

    shares = (f"{share(part, 'upto')} - {share(part, 'before')} AS {part}" for part in parts)
    sums = ", ".join(f"{total(amount)} AS {name}" for name, amount in parts.items())
    return f"""
    SELECT part.number, part.order_number, part.day, part.method, part.reference, part.amount, part.deposit_number,
           {", ".join(shares)}
    FROM (
        SELECT earlier.*, earlier.before + earlier.amount AS upto FROM (
            SELECT payment.number, payment.order_number, payment.day, payment.method, payment.reference, payment.amount,
                   payment.deposit_number, CAST(COALESCE((
                       SELECT SUM(other.amount) FROM payment other
                       WHERE other.order_number = payment.order_number AND other.number < payment.number
                   ), 0) AS BIGINT) AS before
            FROM payment WHERE {where or f"payment.order_number IN ({orders})"}
        ) earlier
    ) part
    JOIN (
        SELECT line.order_number, {total("line.net + line.tax")} AS total, {sums}
        FROM order_line line WHERE line.order_number IN ({orders}) AND NOT {_ADDED} GROUP BY line.order_number
    ) whole ON whole.order_number = part.order_number
    """


PAID_ORDERS: Final = f"SELECT order_number FROM payment WHERE {IN_PERIOD}"
CANCELLED_ORDERS: Final = f"SELECT order_number FROM cancellation WHERE {IN_PERIOD}"
BUYERS_TAX: Final = f"CASE WHEN {ON_BUYER} THEN line.tax ELSE 0 END"
_TAXES: Final = {"tax": BUYERS_TAX, "sellers_tax": f"CASE WHEN {ON_SELLER} THEN line.tax ELSE 0 END"}
PAYMENTS: Final = f"""
SELECT paid.day, paid.order_number, customer.name AS customer, paid.method, paid.reference, paid.amount,
       paid.deposit_number, paid.tax, paid.sellers_tax
FROM ({payments_of(PAID_ORDERS, IN_PERIOD, **_TAXES)}) paid
JOIN shop_order sold ON sold.number = paid.order_number {_OF_CUSTOMER}
WHERE paid.{IN_PERIOD}
ORDER BY paid.day, paid.number
"""
MONEY_BACK: Final = f"""
SELECT given.day AS day, given.order_number AS order_number, customer.name AS customer,
       {word(MoneyBackCause.REFUND)} AS cause, given.method, given.reference, {total("part.net + part.tax")} AS amount,
       0 AS to_deposit, {total("part.tax", ON_BUYER)} AS tax, {total("part.tax", ON_SELLER)} AS sellers_tax,
       given.number AS number
{_refunded(_OF_CUSTOMER)}
GROUP BY given.day, given.order_number, customer.name, given.method, given.reference, given.number
UNION ALL
SELECT taken.day, taken.order_number, customer.name, {word(MoneyBackCause.CANCELLATION)}, repaid.method,
       repaid.reference,
       CASE WHEN repaid.deposit_number IS NULL THEN repaid.amount ELSE 0 END,
       CASE WHEN repaid.deposit_number IS NULL THEN 0 ELSE repaid.amount END,
       repaid.tax, repaid.sellers_tax, repaid.number
FROM cancellation taken
JOIN ({payments_of(CANCELLED_ORDERS, **_TAXES)}) repaid ON repaid.order_number = taken.order_number
JOIN shop_order sold ON sold.number = taken.order_number {_OF_CUSTOMER}
WHERE taken.{IN_PERIOD}
ORDER BY day, order_number, number
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
_DEPOSITS: Final = both_ways("deposit", DocumentKind.DEPOSIT, "<= :last")
DEPOSIT_EVENTS: Final = f"""
    SELECT on_day AS day, COALESCE(gives_back, number) AS deposit_number,
           CASE WHEN sign < 0 THEN {word(DepositEvent.MISTAKE)} WHEN gives_back IS NULL THEN {word(DepositEvent.TAKEN)}
               ELSE {word(DepositEvent.GIVEN_BACK)} END AS event,
           {NO_ORDER} AS order_number, method, reference,
           CASE WHEN gives_back IS NULL THEN sign * amount ELSE 0 END AS taken,
           CASE WHEN gives_back IS NULL THEN 0 ELSE sign * amount END AS given_back, 0 AS used,
           CASE WHEN gives_back IS NULL THEN 0 ELSE 2 END + CASE WHEN sign < 0 THEN 1 ELSE 0 END AS turn
    FROM ({_DEPOSITS}) deposited
    UNION ALL
    SELECT day, deposit_number, {word(DepositEvent.USED)}, order_number, '', '', 0, 0, amount, 4
    FROM payment WHERE deposit_number IS NOT NULL AND day <= :last
    UNION ALL
    SELECT taken.day, payment.deposit_number, {word(DepositEvent.PUT_BACK)}, payment.order_number, '', '',
           0, 0, -payment.amount, 5
    FROM payment JOIN cancellation taken ON taken.order_number = payment.order_number
    WHERE payment.deposit_number IS NOT NULL AND taken.day <= :last
"""
DEPOSITS: Final = f"""
SELECT happened.day AS day, deposit_number, customer.name, event, order_number, happened.method, happened.reference,
       left_before, taken, given_back, used, turn
FROM (
    SELECT NULL AS day, deposit_number, {word(DepositEvent.BEFORE)} AS event, {NO_ORDER} AS order_number, '' AS method,
           '' AS reference, {total("taken - given_back - used")} AS left_before, 0 AS taken, 0 AS given_back, 0 AS used,
           -1 AS turn
    FROM ({DEPOSIT_EVENTS}) earlier WHERE day < :first
    GROUP BY deposit_number HAVING SUM(taken - given_back - used) <> 0
    UNION ALL
    SELECT day, deposit_number, event, order_number, method, reference, 0, taken, given_back, used, turn
    FROM ({DEPOSIT_EVENTS}) events WHERE day >= :first
) happened
JOIN deposit ON deposit.number = deposit_number JOIN customer ON customer.number = deposit.customer_number
ORDER BY COALESCE(happened.day, ''), deposit_number, turn
"""
