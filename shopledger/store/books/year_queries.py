"""What only a year asks of the database: money by month and kind, its customers, its tax by month, its open months."""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.closing import PeriodDeed
from shopledger.ledger.books.customer_rows import PaymentEvent
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import OF_PROCESSOR, MoveKind
from shopledger.ledger.books.reports import MoneyEvent
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method
from shopledger.store.books.payment_queries import AS_CREDIT, PAID, PAID_BACK
from shopledger.store.books.sales_queries import (
    CUSTOMER,
    CUSTOMER_CALLED,
    IN_PERIOD,
    ON_BUYER,
    REFUNDED_PARTS,
    SOLD_HERE,
    both_ways,
    cancelled,
    given_up,
    sold,
    total,
)
from shopledger.store.books.spending_queries import ADJUSTED_BOTH_WAYS, MOVES_BOTH_WAYS
from shopledger.store.words import cases, listed, word

_SHIPPING: Final = f"line.kind = {word(LineKind.SHIPPING)}"


def _either(condition: str, yes: MoneyEvent, no: MoneyEvent) -> str:
    return f"CASE WHEN {condition} THEN {word(yes)} ELSE {word(no)} END"


_EVENTS: Final = cases(
    "event",
    {
        PaymentEvent.PAID: MoneyEvent.PAYMENT,
        PaymentEvent.CORRECTED: MoneyEvent.PAYMENT,
        PaymentEvent.MISTAKEN: MoneyEvent.PAYMENT,
        PaymentEvent.BOUNCED: MoneyEvent.BOUNCED,
        PaymentEvent.DISPUTED: MoneyEvent.DISPUTED,
        PaymentEvent.DISPUTE_WON: MoneyEvent.DISPUTE_WON,
    },
    word(MoneyEvent.PUT_RIGHT),
)
_MOVED: Final = f"event IN {listed((PaymentEvent.MOVED_HERE, PaymentEvent.MOVED_AWAY))}"
_PAID_NOW: Final = f"""CASE WHEN {_MOVED} THEN {word(MoneyEvent.MOVED)}
    WHEN deposit_number IS NOT NULL THEN {word(MoneyEvent.FROM_DEPOSIT)} ELSE {_EVENTS} END"""
_ONE: Final = f"CASE WHEN event = {word(PaymentEvent.MISTAKEN)} THEN -1 ELSE 1 END"
"""A payment that was recorded by mistake is none."""
_HELD: Final = f"kind = {word(MoveKind.RESERVED)}"
_PAID_BACK: Final = _either("deposit_number IS NULL", MoneyEvent.CANCELLED, MoneyEvent.CANCELLED_DEPOSIT)
_DEPOSITED: Final = _either("gives_back IS NULL", MoneyEvent.DEPOSIT, MoneyEvent.DEPOSIT_BACK)
MONEY: Final = f"""
SELECT substr(day, 1, 7) AS month, {_PAID_NOW} AS event, method, {total(_ONE)} AS many, {total("amount")} AS amount,
       {total("fee")} AS fee, {total("tax")} AS tax, {total("shipping")} AS shipping
FROM ({PAID}) came GROUP BY 1, 2, 3
UNION ALL
SELECT substr(taken.day, 1, 7), {_PAID_BACK}, method, COUNT(*), {total("amount")}, 0, {total("tax")},
       {total("shipping")}
FROM cancellation taken JOIN ({PAID_BACK}) went ON went.order_number = taken.order_number
WHERE taken.{IN_PERIOD} GROUP BY 1, 2, 3
UNION ALL
SELECT substr(given.day, 1, 7), {word(MoneyEvent.REFUND)}, given.method, COUNT(DISTINCT given.number),
       {total("part.net + part.tax", f"NOT {AS_CREDIT}")}, 0, {total("part.tax", ON_BUYER)},
       {total("part.net", _SHIPPING)}
{REFUNDED_PARTS} GROUP BY 1, 2, 3
UNION ALL
SELECT substr(on_day, 1, 7), {_DEPOSITED}, method, COUNT(*), {total("sign * amount")}, 0, 0, 0
FROM ({both_ways("deposit", DocumentKind.DEPOSIT)}) kept
WHERE gives_back IS NOT NULL OR method <> {word(Method.CREDIT)} GROUP BY 1, 2, 3
UNION ALL
SELECT substr(on_day, 1, 7), {word(MoneyEvent.PAYOUT)}, {word(Method.CARD)}, COUNT(*), {total("sign * amount")},
       {total("sign * fee")}, 0, 0
FROM ({MOVES_BOTH_WAYS}) handed WHERE kind IN {listed(OF_PROCESSOR)} GROUP BY 1, 2, 3
UNION ALL
SELECT substr(on_day, 1, 7), {word(MoneyEvent.RESERVED)}, {word(Method.CARD)}, COUNT(*),
       {total("sign * amount", _HELD)} - {total("sign * amount", f"NOT {_HELD}")}, 0, 0, 0
FROM ({MOVES_BOTH_WAYS}) held WHERE kind IN {listed((MoveKind.RESERVED, MoveKind.RELEASED))} GROUP BY 1, 2, 3
UNION ALL
SELECT substr(entered.on_day, 1, 7), {word(MoneyEvent.CARD_OPENING)}, {word(Method.CARD)}, COUNT(*),
       {total("entered.sign * line.amount")}, 0, 0, 0
FROM ({ADJUSTED_BOTH_WAYS}) entered
JOIN adjustment_line line ON line.adjustment_number = entered.number AND line.account = {word(Account.CARD_CLEARING)}
GROUP BY 1, 2, 3
ORDER BY 1, 2, 3
"""
_MONTH: Final = "substr({day}, 1, 7) AS month"
_OF_BUYER: Final = f"AND {ON_BUYER}"
TAX_BY_MONTH: Final = f"""
SELECT month, {total("tax")} FROM (
    SELECT month, tax FROM ({sold(_MONTH, _OF_BUYER)}) charged
    UNION ALL SELECT month, -tax FROM ({cancelled(_MONTH, _OF_BUYER)}) gone
    UNION ALL SELECT month, -tax FROM ({given_up(_MONTH, _OF_BUYER)}) back
) charged
GROUP BY month
"""
_DEBT: Final = f"earned.document_kind = {word(DocumentKind.OPENING_DEBT)}"
TAKEN_OVER: Final = f"""
SELECT {total("debt.amount")} FROM (
    SELECT earned.net AS amount FROM earned WHERE {_DEBT} AND earned.{IN_PERIOD}
    UNION ALL
    SELECT -earned.net FROM cancellation taken JOIN earned ON earned.order_number = taken.order_number
    WHERE {_DEBT} AND taken.{IN_PERIOD}
) debt
"""
"""What was owed when the books began, taken over in the period less cancelled in it."""
_WHO: Final = "sold.customer_number AS who"
CUSTOMERS: Final = f"""
SELECT bought.who, {CUSTOMER}, COALESCE((
           SELECT newest.state FROM shop_order newest WHERE newest.number = (
               SELECT MAX(sold.number) FROM shop_order sold
               WHERE sold.customer_number = bought.who AND sold.day <= :last)), ''),
       {total("bought.orders")}, {total("bought.sales")},
       {total("bought.refunds")}, {total("bought.cancellations")}
FROM (
    SELECT customer_number AS who, COUNT(*) AS orders, 0 AS sales, 0 AS refunds, 0 AS cancellations
    FROM shop_order WHERE {IN_PERIOD} AND {SOLD_HERE.format(order="shop_order.number")} GROUP BY customer_number
    UNION ALL
    SELECT sold.customer_number, -COUNT(*), 0, 0, 0
    FROM cancellation taken JOIN shop_order sold ON sold.number = taken.order_number
    WHERE taken.{IN_PERIOD} AND {SOLD_HERE.format(order="sold.number")} GROUP BY sold.customer_number
    UNION ALL SELECT who, 0, SUM(net), 0, 0 FROM ({sold(_WHO)}) sales GROUP BY who
    UNION ALL SELECT who, 0, 0, SUM(net), 0 FROM ({given_up(_WHO)}) back GROUP BY who
    UNION ALL SELECT who, 0, 0, 0, SUM(net) FROM ({cancelled(_WHO)}) gone GROUP BY who
) bought
{CUSTOMER_CALLED.format(number="bought.who")}
GROUP BY bought.who, {CUSTOMER}
ORDER BY SUM(bought.sales) - SUM(bought.refunds) - SUM(bought.cancellations) DESC, bought.who
"""
_STATE: Final = "sold.state AS state"
NEXUS: Final = f"""
SELECT met.state, {total("met.orders")}, {total("met.sales")}, {total("met.taken_back")}, held.sales, held.orders,
       held.needs_both
FROM (
    SELECT state, COUNT(*) AS orders, 0 AS sales, 0 AS taken_back FROM shop_order
    WHERE {IN_PERIOD} AND {SOLD_HERE.format(order="shop_order.number")} GROUP BY state
    UNION ALL
    SELECT sold.state, -COUNT(*), 0, 0
    FROM cancellation taken JOIN shop_order sold ON sold.number = taken.order_number
    WHERE taken.{IN_PERIOD} AND {SOLD_HERE.format(order="sold.number")} GROUP BY sold.state
    UNION ALL SELECT state, 0, SUM(net), 0 FROM ({sold(_STATE)}) sales GROUP BY state
    UNION ALL SELECT state, 0, 0, SUM(net) FROM ({given_up(_STATE)}) back GROUP BY state
    UNION ALL SELECT state, 0, 0, SUM(net) FROM ({cancelled(_STATE)}) gone GROUP BY state
) met
LEFT JOIN nexus_limit held ON held.state = met.state AND held.valid_from = (
    SELECT MAX(other.valid_from) FROM nexus_limit other WHERE other.state = met.state AND other.valid_from <= :last)
GROUP BY met.state, held.sales, held.orders, held.needs_both
ORDER BY met.state
"""
OPEN_MONTHS: Final = f"""
SELECT DISTINCT substr(entry.day, 1, 7) AS month FROM journal_entry entry
WHERE entry.{IN_PERIOD} AND COALESCE((
    SELECT event.deed FROM period_event event WHERE event.month = substr(entry.day, 1, 7)
    ORDER BY event.number DESC LIMIT 1), '') <> {word(PeriodDeed.CLOSED)}
ORDER BY month
"""
VIEWS: Final = """
SELECT detail FROM audit_note WHERE deed = :deed AND detail LIKE :year || ':%' ORDER BY number DESC LIMIT 1
"""
