"""What a report asks of payments and deposits, in SQL that SQLite and PostgreSQL both understand.

A payment stands once on its own day; what the bank or the processor took back, what was recorded by mistake and what
was moved to another order stands once more, below zero, on the day of its correction. A query lists its columns in the
order of the fields of its record; those after them only put the rows in order.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.customer_rows import DepositEvent, MoneyBackCause, PaymentEvent
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method
from shopledger.store.books.document_rows import TAKEN
from shopledger.store.books.sales_queries import (
    ADDED,
    CUSTOMER,
    CUSTOMER_CALLED,
    IN_PERIOD,
    OF_CUSTOMER,
    ON_BUYER,
    ON_SELLER,
    both_ways,
    refunded,
    total,
)
from shopledger.store.words import cases, word

_NONE: Final = "CAST(NULL AS BIGINT)"
_SHARES: Final = {
    "tax": f"CASE WHEN {ON_BUYER} THEN line.tax ELSE 0 END",
    "sellers_tax": f"CASE WHEN {ON_SELLER} THEN line.tax ELSE 0 END",
    "shipping": f"CASE WHEN line.kind = {word(LineKind.SHIPPING)} THEN line.net ELSE 0 END",
}
"""What payments carry of an order besides goods, told by its lines, under the names of its columns."""


def _payments(orders: str, where: str) -> str:
    """Give payments of some orders, all of them or some, each with its share of its order.

    On an order to which nothing was put right its share is that of all paid so far less that of what was paid before
    it, rounded half up, so that all payments carry exactly what the order does; else the share is kept with it
    (`ledger/carried.py`).
    """

    def share(part: str, paid: str) -> str:
        return f"(whole.{part} * part.{paid} * 2 + whole.total) / NULLIF(whole.total * 2, 0)"

    shares = (
        f"COALESCE(kept.{part}, {share(part, 'upto')} - {share(part, 'before')}, 0) AS {part}" for part in _SHARES
    )
    sums = ", ".join(f"{total(amount)} AS {name}" for name, amount in _SHARES.items())
    return f"""
    SELECT part.number, part.number AS payment_number, part.order_number, part.day, part.method, part.reference,
           part.amount, part.deposit_number, {", ".join(shares)}, 0 AS fee, 0 AS turn,
           CASE WHEN origin.moved_from IS NOT NULL THEN {word(PaymentEvent.MOVED_HERE)}
               WHEN origin.corrects IS NOT NULL THEN {word(PaymentEvent.CORRECTED)}
               ELSE {word(PaymentEvent.PAID)} END AS event
    FROM (
        SELECT earlier.*, earlier.before + earlier.amount AS upto FROM (
            SELECT payment.number, payment.order_number, payment.day, payment.method, payment.reference, payment.amount,
                   payment.deposit_number, CAST(COALESCE((
                       SELECT SUM(other.amount) FROM payment other
                       WHERE other.order_number = payment.order_number AND other.number < payment.number
                   ), 0) AS BIGINT) AS before
            FROM payment WHERE {where}
        ) earlier
    ) part
    JOIN (
        SELECT line.order_number, {total("line.net + line.tax")} AS total, {sums}
        FROM order_line line WHERE line.order_number IN ({orders}) AND NOT {ADDED} GROUP BY line.order_number
    ) whole ON whole.order_number = part.order_number
    LEFT JOIN payment_share kept ON kept.payment_number = part.number
    LEFT JOIN payment_origin origin ON origin.payment_number = part.number
    """


_WHY: Final = cases(
    "correction.kind",
    {
        CorrectionKind.BOUNCED: PaymentEvent.BOUNCED,
        CorrectionKind.DISPUTED: PaymentEvent.DISPUTED,
        CorrectionKind.DISPUTE_WON: PaymentEvent.DISPUTE_WON,
        CorrectionKind.MISTAKEN: PaymentEvent.MISTAKEN,
        CorrectionKind.MOVED: PaymentEvent.MOVED_AWAY,
    },
    word(PaymentEvent.PUT_RIGHT),
)
_WON: Final = f"correction.kind = {word(CorrectionKind.DISPUTE_WON)}"
FEE: Final = f"CASE WHEN {_WON} THEN -correction.fee ELSE correction.fee END"
"""What a bank or processor took for a correction, below zero where it came back."""


def _corrections(where: str) -> str:
    """Give what corrections changed of payments, and of what these carry, in the columns of payments."""
    shares = (f"COALESCE(kept.{part}, 0) AS {part}" for part in _SHARES)
    return f"""
    SELECT correction.number, correction.payment_number, correction.order_number, correction.day,
           COALESCE(payment.method, ''), COALESCE(payment.reference, ''), -({TAKEN}), payment.deposit_number,
           {", ".join(shares)}, {FEE}, 1, {_WHY}
    FROM correction LEFT JOIN payment ON payment.number = correction.payment_number
    LEFT JOIN correction_share kept ON kept.correction_number = correction.number
    WHERE correction.{where} AND ({TAKEN} <> 0 OR correction.fee <> 0 OR kept.correction_number IS NOT NULL)
    """


AS_CREDIT: Final = f"given.method = {word(Method.CREDIT)}"
"""Whether a refund brought no money, but a balance of the customer's, which waits as a deposit."""

_PAID_ORDERS: Final = f"SELECT order_number FROM payment WHERE {IN_PERIOD}"
PAID: Final = f"{_payments(_PAID_ORDERS, IN_PERIOD)} UNION ALL {_corrections(IN_PERIOD)}"
"""What was paid on orders in the period and what was taken from that again, each with what it carries."""

_CANCELLED_ORDERS: Final = f"SELECT order_number FROM cancellation WHERE {IN_PERIOD}"
_OF_CANCELLED: Final = f"order_number IN ({_CANCELLED_ORDERS})"
_ALL_PAID: Final = f"{_payments(_CANCELLED_ORDERS, f'payment.{_OF_CANCELLED}')} UNION ALL {_corrections(_OF_CANCELLED)}"


def _shared(part: str) -> str:
    """Give a payment's proportion of what all that stands paid on an order carries."""
    upto, before = (f"({part} * {paid} * 2 + whole) / NULLIF(whole * 2, 0)" for paid in ("upto", "(upto - amount)"))
    return f"{upto} - {before} AS {part}"


def _sum_over(what: str, name: str, order: str = "") -> str:
    return f"CAST(SUM({what}) OVER (PARTITION BY order_number{order}) AS BIGINT) AS {name}"


_CORRECTED: Final = "EXISTS (SELECT 1 FROM correction WHERE correction.order_number = {row}.order_number)"
PAID_BACK: Final = f"""
SELECT number, order_number, method, reference, amount, deposit_number, {", ".join(_SHARES)}
FROM ({_payments(_CANCELLED_ORDERS, f"payment.{_OF_CANCELLED}")}) paid WHERE NOT {_CORRECTED.format(row="paid")}
UNION ALL
SELECT number, order_number, method, reference, amount, deposit_number, {", ".join(map(_shared, _SHARES))}
FROM (
    SELECT standing.*, {_sum_over("amount", "upto", " ORDER BY number")}, {_sum_over("amount", "whole")}
    FROM (
        SELECT payment.number, payment.order_number, payment.method, payment.reference, payment.deposit_number,
               payment.amount - CAST(COALESCE((
                   SELECT SUM({TAKEN}) FROM correction WHERE correction.payment_number = payment.number), 0) AS BIGINT)
               AS amount, {", ".join(f"carried.{part}" for part in _SHARES)}
        FROM payment JOIN (
            SELECT order_number, {", ".join(f"{total(part)} AS {part}" for part in _SHARES)}
            FROM ({_ALL_PAID}) every GROUP BY order_number
        ) carried ON carried.order_number = payment.order_number
        WHERE payment.{_OF_CANCELLED} AND {_CORRECTED.format(row="payment")}
    ) standing
    WHERE amount <> 0
) placed
"""
"""What stands of each payment of the orders cancelled in the period, with its share of what all of them carry."""

PAYMENTS: Final = f"""
SELECT paid.day, paid.order_number, {CUSTOMER} AS customer, paid.method, paid.reference, paid.amount,
       paid.deposit_number, paid.tax, paid.sellers_tax, paid.event
FROM ({PAID}) paid
JOIN shop_order sold ON sold.number = paid.order_number {OF_CUSTOMER}
WHERE paid.amount <> 0 OR paid.tax <> 0 OR paid.sellers_tax <> 0
ORDER BY paid.day, paid.turn, paid.number
"""
MONEY_BACK: Final = f"""
SELECT given.day AS day, given.order_number AS order_number, {CUSTOMER} AS customer,
       {word(MoneyBackCause.REFUND)} AS cause, given.method, given.reference,
       {total("part.net + part.tax", f"NOT {AS_CREDIT}")} AS amount,
       {total("part.net + part.tax", AS_CREDIT)} AS to_deposit, {total("part.tax", ON_BUYER)} AS tax,
       {total("part.tax", ON_SELLER)} AS sellers_tax,
       given.number AS number
{refunded(OF_CUSTOMER)}
GROUP BY given.day, given.order_number, {CUSTOMER}, given.method, given.reference, given.number
UNION ALL
SELECT taken.day, taken.order_number, {CUSTOMER}, {word(MoneyBackCause.CANCELLATION)}, repaid.method,
       repaid.reference,
       CASE WHEN repaid.deposit_number IS NULL THEN repaid.amount ELSE 0 END,
       CASE WHEN repaid.deposit_number IS NULL THEN 0 ELSE repaid.amount END,
       repaid.tax, repaid.sellers_tax, repaid.number
FROM cancellation taken
JOIN ({PAID_BACK}) repaid ON repaid.order_number = taken.order_number
JOIN shop_order sold ON sold.number = taken.order_number {OF_CUSTOMER}
WHERE taken.{IN_PERIOD}
ORDER BY day, order_number, number
"""
_CREDITED: Final = f"(gives_back IS NULL AND method = {word(Method.CREDIT)})"
_DEPOSITS: Final = both_ways("deposit", DocumentKind.DEPOSIT, "<= :last")
DEPOSIT_EVENTS: Final = f"""
    SELECT on_day AS day, COALESCE(gives_back, number) AS deposit_number,
           CASE WHEN sign < 0 THEN {word(DepositEvent.MISTAKE)} WHEN {_CREDITED} THEN {word(DepositEvent.CREDITED)}
               WHEN gives_back IS NULL THEN {word(DepositEvent.TAKEN)}
               ELSE {word(DepositEvent.GIVEN_BACK)} END AS event,
           {_NONE} AS order_number, method, reference,
           CASE WHEN gives_back IS NULL AND NOT {_CREDITED} THEN sign * amount ELSE 0 END AS taken,
           CASE WHEN gives_back IS NULL THEN 0 ELSE sign * amount END AS given_back,
           CASE WHEN {_CREDITED} THEN -amount ELSE 0 END AS used,
           CASE WHEN gives_back IS NULL THEN 0 ELSE 2 END + CASE WHEN sign < 0 THEN 1 ELSE 0 END AS turn
    FROM ({_DEPOSITS}) deposited
    UNION ALL
    SELECT day, deposit_number, {word(DepositEvent.USED)}, order_number, '', '', 0, 0, amount, 4
    FROM payment WHERE deposit_number IS NOT NULL AND day <= :last
    UNION ALL
    SELECT correction.day, payment.deposit_number,
           CASE WHEN {_WON} THEN {word(DepositEvent.USED)} ELSE {word(DepositEvent.REVERSED)} END,
           correction.order_number, '', '', 0, 0, -({TAKEN}), 5
    FROM correction JOIN payment ON payment.number = correction.payment_number
    WHERE payment.deposit_number IS NOT NULL AND {TAKEN} <> 0 AND correction.day <= :last
    UNION ALL
    SELECT taken.day, payment.deposit_number, {word(DepositEvent.PUT_BACK)}, payment.order_number, '', '',
           0, 0, {total(TAKEN)} - payment.amount, 6
    FROM payment JOIN cancellation taken ON taken.order_number = payment.order_number
    LEFT JOIN correction ON correction.payment_number = payment.number
    WHERE payment.deposit_number IS NOT NULL AND taken.day <= :last
    GROUP BY taken.day, payment.deposit_number, payment.order_number, payment.number, payment.amount
    HAVING {total(TAKEN)} <> payment.amount
"""
DEPOSITS: Final = f"""
SELECT happened.day AS day, deposit_number, {CUSTOMER}, event, order_number, happened.method, happened.reference,
       left_before, taken, given_back, used, turn
FROM (
    SELECT NULL AS day, deposit_number, {word(DepositEvent.BEFORE)} AS event, {_NONE} AS order_number, '' AS method,
           '' AS reference, {total("taken - given_back - used")} AS left_before, 0 AS taken, 0 AS given_back, 0 AS used,
           -1 AS turn
    FROM ({DEPOSIT_EVENTS}) earlier WHERE day < :first
    GROUP BY deposit_number HAVING SUM(taken - given_back - used) <> 0
    UNION ALL
    SELECT day, deposit_number, event, order_number, method, reference, 0, taken, given_back, used, turn
    FROM ({DEPOSIT_EVENTS}) events WHERE day >= :first
) happened
JOIN deposit ON deposit.number = deposit_number {CUSTOMER_CALLED.format(number="deposit.customer_number")}
ORDER BY COALESCE(happened.day, ''), deposit_number, turn
"""
_CARD: Final = f"method = {word(Method.CARD)}"
CARD_DAYS: Final = f"""
SELECT day, {total("many")} AS many, {total("amount")} AS amount
FROM (
    SELECT payment.day AS day, 1 AS many, payment.amount AS amount
    FROM payment LEFT JOIN payment_origin origin ON origin.payment_number = payment.number
    WHERE payment.{IN_PERIOD} AND {_CARD} AND payment.deposit_number IS NULL AND origin.moved_from IS NULL
      AND NOT EXISTS (SELECT 1 FROM correction WHERE correction.payment_number = payment.number
                      AND correction.kind = {word(CorrectionKind.MISTAKEN)})
    UNION ALL
    SELECT on_day, sign, sign * amount FROM ({both_ways("deposit", DocumentKind.DEPOSIT)}) kept
    WHERE {_CARD} AND gives_back IS NULL
) processed
GROUP BY day ORDER BY day
"""
"""What the card processor processed on each day: each payment once, on the day it came in, whatever became of it."""
