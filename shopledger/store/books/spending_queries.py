"""What a report asks of the shop's own spending, in SQL that SQLite and PostgreSQL both understand.

A document that was voided stands once on its own day and once, below zero, on the day it was voided. A query lists its
columns in the order of the fields of its record; those after them only put the rows in order.
"""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from shopledger.ledger.books import adjustments
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_moves import OF_PROCESSOR, MoveKind
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.books.spending_rows import GONE, PROCESSOR, BilledFor, BillEvent, ExpenseSource
from shopledger.ledger.names import Named
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockReason
from shopledger.store.books.document_rows import LOWERED, REFUNDED, SET_AGAINST, WRITTEN_OFF
from shopledger.store.books.payment_queries import DEPOSIT_EVENTS, FEE, MONEY_BACK, PAYMENTS
from shopledger.store.books.sales_queries import (
    DEBTS_BOTH_WAYS,
    IN_PERIOD,
    ON_SELLER,
    both_ways,
    cancelled,
    given_up,
    sold,
    total,
)
from shopledger.store.names import called_by_then
from shopledger.store.words import cases, listed, stands_on, word

EXPENSES_BOTH_WAYS: Final = both_ways("expense", DocumentKind.EXPENSE)
BILLS_BOTH_WAYS: Final = both_ways("bill", DocumentKind.BILL)
ADJUSTED_BOTH_WAYS: Final = both_ways("adjustment", DocumentKind.ADJUSTMENT)
_ENTERED: Final = f"""
SELECT entry.*,
       CASE WHEN entry.opening = 0
           AND EXISTS (SELECT 1 FROM adjustment_line moved WHERE moved.adjustment_number = entry.number
               AND moved.account IN {listed(adjustments.TIMED)})
           AND NOT EXISTS (SELECT 1 FROM adjustment_line moved WHERE moved.adjustment_number = entry.number
               AND moved.account IN {listed(adjustments.MONEY)})
       THEN 1 ELSE 0 END AS of_time_alone
FROM ({ADJUSTED_BOTH_WAYS}) entry
"""
"""Adjusting entries both ways, each with whether it is of time alone, as `Adjustment.of_time_alone` says."""
GONE_BOTH_WAYS: Final = both_ways("disposal", DocumentKind.DISPOSAL)
_EXPENSE_ACCOUNTS: Final = tuple(account for account in Account if account.kind is AccountKind.EXPENSE)
_SPENT: Final = listed((*_EXPENSE_ACCOUNTS, Account.EQUIPMENT))
"""The accounts that the expenses are listed by."""
_OF_RESULT: Final = tuple(account for account in Account if not account.kind.lasts)


def _settled(days: str) -> str:
    """Give what was paid on bills in these days, and below zero what suppliers gave back."""
    return f"""
    SELECT on_day, sign, bill_number, number, amount, method, reference, {word(BillEvent.PAID)} AS event
    FROM ({both_ways("bill_payment", DocumentKind.BILL_PAYMENT, days)}) paid
    UNION ALL
    SELECT on_day, sign, bill_number, number, -amount, method, reason, {word(BillEvent.REFUNDED)}
    FROM ({both_ways("bill_credit", DocumentKind.BILL_CREDIT, days)}) back WHERE {REFUNDED}
    """


_BILL_PAYMENTS: Final = _settled("BETWEEN :first AND :last")
_CHANGES: Final = both_ways("bill_credit", DocumentKind.BILL_CREDIT)
MOVES_BOTH_WAYS: Final = both_ways("money_move", DocumentKind.MONEY)
OF_EXPENSE: Final = f"line.kind = {word(BillLineKind.EXPENSE)}"
_OF_PROCESSOR: Final = f"kind IN {listed(OF_PROCESSOR)}"
_GIVEN: Final = {each: each.account for each in StockReason if each.account.kind is AccountKind.EXPENSE}
"""Goods that left as an expense, each reason with its account."""

MONEY_MOVES: Final = f"""
SELECT on_day, number, kind, till, state, reference, note, amount, fee, sign FROM ({MOVES_BOTH_WAYS}) moved
ORDER BY on_day, number, sign DESC
"""


SUPPLIER: Final = "COALESCE(called.name, supplier.name)"


def supplier_called(number: str) -> str:
    """Join the supplier with a number, and its name on the last day if it was not always the same."""
    return f"""
JOIN supplier ON supplier.number = {number}
LEFT JOIN ({called_by_then(Named.SUPPLIER, "supplier_number")}) called ON called.own = supplier.number"""


def _document(kind: DocumentKind, number: str = "number") -> str:
    """Give the text of a document."""
    return f"'{kind.value} ' || CAST({number} AS TEXT)"


def _sellers_tax(rows: Callable[[str, str], str], sign: str, turn: int) -> str:
    """Give the tax laid on the seller that documents of the sale charge, or take back."""
    keys = "{day} AS day, {kind} AS kind, {number} AS number, sold.state AS state"
    return f"""
SELECT day, kind || ' ' || CAST(number AS TEXT), {word(ExpenseSource.SELLERS_TAX)}, state, 'sales tax on the sale',
       {word(Account.TAXES)}, '', '', NULL, {sign}{total("tax")}, {turn}, number, 0
FROM ({rows(keys, f"AND {ON_SELLER}")}) taxed WHERE tax <> 0 GROUP BY day, kind, number, state"""


_BY_CARD: Final = f"payment.method = {word(Method.CARD)}"
EXPENSES: Final = f"""
SELECT on_day AS day, {_document(DocumentKind.EXPENSE)} AS document, {word(ExpenseSource.PAID)} AS source,
       payee AS payee, description AS description, category AS account, method AS method, reference AS reference,
       file_sha256 AS file_sha256, sign * amount AS amount, 0 AS turn, number AS number, 0 AS position
FROM ({EXPENSES_BOTH_WAYS}) spent
UNION ALL
SELECT billed.on_day, {_document(DocumentKind.BILL, "billed.number")}, {word(ExpenseSource.BILLED)}, {SUPPLIER},
       line.description, line.category, '', billed.invoice, billed.file_sha256, billed.sign * line.landed, 1,
       billed.number, line.position
FROM ({BILLS_BOTH_WAYS}) billed
JOIN bill_line line ON line.bill_number = billed.number AND {OF_EXPENSE}
{supplier_called("billed.supplier_number")}
UNION ALL
SELECT changed.on_day, {_document(DocumentKind.BILL_CREDIT, "changed.number")}, {word(ExpenseSource.BILLED)},
       {SUPPLIER}, changed.kind || ': ' || changed.reason, part.account, '', bill.invoice, NULL,
       -changed.sign * part.amount, 10, changed.number, part.position
FROM ({_CHANGES}) changed
JOIN bill_credit_part part ON part.credit_number = changed.number AND part.account IN {_SPENT}
JOIN bill ON bill.number = changed.bill_number
{supplier_called("bill.supplier_number")}
UNION ALL
SELECT adjusted.on_day, {_document(DocumentKind.ADJUSTMENT, "adjusted.number")},
       CASE WHEN adjusted.of_time_alone = 1 AND line.account <> {word(Account.EQUIPMENT)}
           THEN {word(ExpenseSource.TIMED)} ELSE {word(ExpenseSource.ADJUSTED)} END, '',
       adjusted.reason, line.account, '', '', NULL, adjusted.sign * line.amount, 11, adjusted.number, line.position
FROM ({_ENTERED}) adjusted
JOIN adjustment_line line ON line.adjustment_number = adjusted.number
    AND (line.account IN {_SPENT} OR adjusted.of_time_alone = 1 AND line.account IN {listed(_OF_RESULT)})
UNION ALL
SELECT on_day, {_document(DocumentKind.DISPOSAL)}, {word(ExpenseSource.DISPOSED)}, '',
       how || ', ' || document_kind || ' ' || CAST(document_number AS TEXT), {word(Account.EQUIPMENT)}, '', reference,
       NULL, -sign * cost, 12, number, 0
FROM ({GONE_BOTH_WAYS}) gone
UNION ALL
SELECT on_day, {_document(DocumentKind.MONEY)}, {word(ExpenseSource.FEE)}, 'card processor', 'fee',
       {word(Account.FEES)}, '', reference, NULL, sign * fee, 2, number, 0
FROM ({MOVES_BOTH_WAYS}) moved WHERE {_OF_PROCESSOR} AND fee <> 0
UNION ALL
SELECT day, {_document(DocumentKind.MOVEMENT)}, {word(ExpenseSource.SAMPLE)}, '', item_code || ' ' || note,
       {cases("reason", _GIVEN)}, '', '', NULL, -cost, 3, number, 0
FROM stock_movement WHERE {IN_PERIOD} AND reason IN {listed(_GIVEN)} AND cost <> 0
UNION ALL
SELECT correction.day, {_document(DocumentKind.CORRECTION_FEE, "correction.number")},
       {word(ExpenseSource.REVERSAL_FEE)}, CASE WHEN {_BY_CARD} THEN 'card processor' ELSE 'the bank' END,
       correction.kind || ', order ' || CAST(correction.order_number AS TEXT), {word(Account.FEES)},
       CASE WHEN {_BY_CARD} THEN '{PROCESSOR}' ELSE {word(SpendMethod.BANK)} END, '', NULL, {FEE}, 7,
       correction.number, 0
FROM correction JOIN payment ON payment.number = correction.payment_number
WHERE correction.{IN_PERIOD} AND correction.fee <> 0
UNION ALL
SELECT correction.day, {_document(DocumentKind.CORRECTION, "correction.number")}, {word(ExpenseSource.NEVER_PAID)}, '',
       correction.kind || ', order ' || CAST(correction.order_number AS TEXT), {word(Account.NEVER_PAID)}, '', '', NULL,
       {WRITTEN_OFF}, 8, correction.number, 0
FROM correction WHERE correction.{IN_PERIOD} AND {WRITTEN_OFF} <> 0
UNION ALL
SELECT taken.day, {_document(DocumentKind.CANCELLATION, "taken.order_number")}, {word(ExpenseSource.NEVER_PAID)}, '',
       'order cancelled', {word(Account.NEVER_PAID)}, '', '', NULL, -{total(WRITTEN_OFF)}, 9, taken.order_number, 0
FROM cancellation taken JOIN correction ON correction.order_number = taken.order_number
WHERE taken.{IN_PERIOD} GROUP BY taken.day, taken.order_number HAVING {total(WRITTEN_OFF)} <> 0
UNION ALL {_sellers_tax(sold, "", 4)}
UNION ALL {_sellers_tax(cancelled, "-", 5)}
UNION ALL {_sellers_tax(given_up, "-", 6)}
ORDER BY day, turn, number, position
"""
# What a supplier takes off for goods sent back is what his account was debited in the entry of their movement.
_CREDITS: Final = f"""
    SELECT moved.bill_number, moved.day, moved.item_code, posting.amount
    FROM stock_movement moved
    JOIN journal_entry entry ON {stands_on(DocumentKind.MOVEMENT, "moved.number")}
    JOIN journal_posting posting
        ON posting.entry_number = entry.number AND posting.account = {word(Account.ACCOUNTS_PAYABLE)}
    WHERE moved.reason = {word(StockReason.SENT_BACK)} AND moved.bill_number IS NOT NULL AND moved.day <= :last
"""


def owed(days: str) -> str:
    """Give what was billed, and below zero what was paid and credited, of some days: what is owed of each bill."""
    return f"""
    SELECT billed.number AS bill_number, billed.sign * line.landed AS amount
    FROM ({both_ways("bill", DocumentKind.BILL, days)}) billed
    JOIN bill_line line ON line.bill_number = billed.number
    UNION ALL
    SELECT bill_number, -sign * amount FROM ({_settled(days)}) paid
    UNION ALL
    SELECT bill_number, -sign * ({LOWERED})
    FROM ({both_ways("bill_credit", DocumentKind.BILL_CREDIT, days)}) repriced
    UNION ALL
    SELECT bill_number, sign * amount
    FROM ({both_ways("bill_credit", DocumentKind.BILL_CREDIT, days)}) given WHERE {SET_AGAINST}
    UNION ALL
    SELECT other_bill, -sign * amount
    FROM ({both_ways("bill_credit", DocumentKind.BILL_CREDIT, days)}) taken WHERE {SET_AGAINST}
    UNION ALL
    SELECT bill_number, -amount FROM ({_CREDITS}) credited WHERE day {days}
    """


_BILLED_FOR: Final = cases(
    "line.kind",
    {kind: BilledFor[kind.name] for kind in BillLineKind if kind.name in BilledFor.__members__},
    "line.kind",
)
_SHARE_OF: Final = cases(
    "part.account",
    {
        Account.INVENTORY: BilledFor.STOCK,
        Account.PURCHASE_ALLOWANCES: BilledFor.STOCK,
        Account.LENSES: BilledFor.JOB,
    },
    word(BilledFor.EXPENSE),
)


def _event(changed: BillEvent) -> str:
    return f"CASE WHEN changed.sign = 1 THEN {word(changed)} ELSE {word(BillEvent.CHANGE_MISTAKE)} END"


BILLS: Final = f"""
SELECT happened.day, bill.number, {SUPPLIER}, bill.invoice, bill.due_on, event, billed_for, about,
       happened.method, owed_before, billed, paid, credited
FROM (
    SELECT NULL AS day, bill_number, {word(BillEvent.BEFORE)} AS event, '' AS billed_for, '' AS about, '' AS method,
           {total("amount")} AS owed_before, 0 AS billed, 0 AS paid, 0 AS credited, 0 AS turn, 0 AS position
    FROM ({owed("< :first")}) earlier GROUP BY bill_number HAVING SUM(amount) <> 0
    UNION ALL
    SELECT billed.on_day, billed.number,
           CASE WHEN billed.sign = 1 THEN {word(BillEvent.BILLED)} ELSE {word(BillEvent.BILL_MISTAKE)} END,
           {_BILLED_FOR},
           CASE line.kind WHEN {word(BillLineKind.STOCK)} THEN line.item_code
               WHEN {word(BillLineKind.JOB)} THEN 'job ' || CAST(line.job_number AS TEXT)
               ELSE COALESCE(line.category, '') END,
           '', 0, billed.sign * line.landed, 0, 0, 2 - billed.sign, line.position
    FROM ({BILLS_BOTH_WAYS}) billed JOIN bill_line line ON line.bill_number = billed.number AND line.landed <> 0
    UNION ALL
    SELECT on_day, bill_number,
           CASE WHEN sign = 1 THEN event WHEN event = {word(BillEvent.REFUNDED)} THEN {word(BillEvent.CHANGE_MISTAKE)}
               ELSE {word(BillEvent.PAYMENT_MISTAKE)} END, '', reference,
           method, 0, 0, sign * amount, 0, 3, number
    FROM ({_BILL_PAYMENTS}) paid
    UNION ALL
    SELECT changed.on_day, changed.bill_number, {_event(BillEvent.REPRICED)}, {_SHARE_OF},
           changed.kind || ': ' || part.account, '', 0, 0, 0, changed.sign * part.amount, 5, changed.number
    FROM ({_CHANGES}) changed JOIN bill_credit_part part ON part.credit_number = changed.number
    UNION ALL
    SELECT changed.on_day, changed.bill_number, {_event(BillEvent.SET_AGAINST)}, '',
           'bill ' || CAST(changed.other_bill AS TEXT), '', 0, 0, 0, -changed.sign * changed.amount, 6, changed.number
    FROM ({_CHANGES}) changed WHERE changed.{SET_AGAINST}
    UNION ALL
    SELECT changed.on_day, changed.other_bill, {_event(BillEvent.SET_AGAINST)}, '',
           'bill ' || CAST(changed.bill_number AS TEXT), '', 0, 0, 0, changed.sign * changed.amount, 6, changed.number
    FROM ({_CHANGES}) changed WHERE changed.{SET_AGAINST}
    UNION ALL
    SELECT day, bill_number, {word(BillEvent.SENT_BACK)}, {word(BilledFor.STOCK)}, item_code, '', 0, 0, 0, amount, 4, 0
    FROM ({_CREDITS}) credited WHERE day >= :first
) happened
JOIN bill ON bill.number = happened.bill_number
{supplier_called("bill.supplier_number")}
ORDER BY COALESCE(happened.day, ''), bill_number, turn, position
"""
_EQUIPMENT: Final = f"category = {word(ExpenseCategory.EQUIPMENT)}"


def _of(kind: MoveKind, amount: str) -> str:
    return total(f"sign * {amount}", f"kind = {word(kind)}")


def _adjusted(accounts: Iterable[Account], *, timed: bool | None = None) -> str:
    """Add up what adjusting entries moved accounts by: all, those of time alone, or the others."""
    some = "" if timed is None else f" AND entered.of_time_alone = {int(timed)}"
    return total("entered.sign * line.amount", f"line.account IN {listed(accounts)}{some}")


# One row, by the fields of the period's money.
MONEY: Final = f"""
SELECT received, from_deposits, came.tax, came.sellers_tax, given_back, to_deposits, back.tax, back.sellers_tax,
       deposits_taken, deposits_given_back, expenses, equipment, bills_paid, fees + taken, other_income, tax_paid,
       tax_kept, opening_money, debts_taken_over, drawn + adjusted_draws, adjusted_equipment - gone_equipment,
       adjusted_tax, adjusted_expenses, -adjusted_income, timed, -timed_income
FROM (SELECT {total("amount", "deposit_number IS NULL")} AS received,
             {total("amount", "deposit_number IS NOT NULL")} AS from_deposits, {total("tax")} AS tax,
             {total("sellers_tax")} AS sellers_tax FROM ({PAYMENTS}) paid) came,
     (SELECT {total("amount")} AS given_back, {total("to_deposit")} AS to_deposits, {total("tax")} AS tax,
             {total("sellers_tax")} AS sellers_tax FROM ({MONEY_BACK}) given) back,
     (SELECT {total("taken")} AS deposits_taken, {total("given_back")} AS deposits_given_back
      FROM ({DEPOSIT_EVENTS}) events WHERE day >= :first) deposited,
     (SELECT {total("sign * amount", f"NOT {_EQUIPMENT}")} AS expenses,
             {total("sign * amount", _EQUIPMENT)} AS equipment
      FROM ({EXPENSES_BOTH_WAYS}) spent) spending,
     (SELECT {total("sign * amount")} AS bills_paid FROM ({_BILL_PAYMENTS}) paid) settled,
     (SELECT {total("sign * fee", _OF_PROCESSOR)} AS fees, {_of(MoveKind.OTHER_INCOME, "amount")} AS other_income,
             {_of(MoveKind.TAX_PAID, "amount")} AS tax_paid, {_of(MoveKind.TAX_PAID, "fee")} AS tax_kept,
             {_of(MoveKind.OPENING, "amount")} AS opening_money, {_of(MoveKind.DRAW, "amount")} AS drawn
      FROM ({MOVES_BOTH_WAYS}) moved) moves,
     (SELECT {total("net")} AS debts_taken_over FROM ({DEBTS_BOTH_WAYS}) owed) debts,
     (SELECT {total(FEE)} AS taken FROM correction WHERE {IN_PERIOD}) reversals,
     (SELECT {total("sign * cost")} AS gone_equipment FROM ({GONE_BOTH_WAYS}) gone) disposed,
     (SELECT {_adjusted(_EXPENSE_ACCOUNTS, timed=False)} AS adjusted_expenses,
             {_adjusted([Account.OTHER_INCOME], timed=False)} AS adjusted_income,
             {_adjusted(_OF_RESULT, timed=True)} AS timed,
             {_adjusted([Account.OTHER_INCOME], timed=True)} AS timed_income,
             {_adjusted([Account.EQUIPMENT])} AS adjusted_equipment,
             {_adjusted([Account.SALES_TAX_PAYABLE])} AS adjusted_tax,
             {_adjusted([Account.DRAWS])} AS adjusted_draws
      FROM ({_ENTERED}) entered
      JOIN adjustment_line line ON line.adjustment_number = entered.number) adjusted
"""
TIMED: Final = f"""
SELECT line.account, {total("entered.sign * line.amount")} FROM ({_ENTERED}) entered
JOIN adjustment_line line ON line.adjustment_number = entered.number AND line.account IN {listed(_OF_RESULT)}
WHERE entered.of_time_alone = 1 GROUP BY line.account
"""

# What suppliers billed as an expense with the whole bill; what was paid of each bill: all so far less what was before.
_WHOLE_BILLS: Final = f"""
whole AS (
    SELECT line.bill_number, {total("line.landed")} AS total FROM bill_line line
    WHERE line.bill_number IN (SELECT line.bill_number FROM bill_line line WHERE {OF_EXPENSE}) GROUP BY line.bill_number
)"""


def _share(paid: str) -> str:
    return f"(2 * line.landed * paid.{paid} + whole.total) / (2 * whole.total)"


_NOT_CARD: Final = f"method <> {word(SpendMethod.CARD)}"
PAID_PARTS: Final = f"""
{_WHOLE_BILLS},
paid AS (
    SELECT settled.bill_number, {total("sign * amount", "on_day < :first")} AS before,
           {total("sign * amount")} AS until,
           {total("sign * amount", f"on_day < :first AND {_NOT_CARD}")} AS before_not_card,
           {total("sign * amount", _NOT_CARD)} AS until_not_card
    FROM ({_settled("<= :last")}) settled
    JOIN whole ON whole.bill_number = settled.bill_number
    GROUP BY settled.bill_number
),
parts AS (
    SELECT line.category, bill.supplier_number, {_share("until")} - {_share("before")} AS amount,
           {_share("until_not_card")} - {_share("before_not_card")} AS not_card
    FROM bill_line line JOIN paid ON paid.bill_number = line.bill_number
    JOIN whole ON whole.bill_number = line.bill_number JOIN bill ON bill.number = line.bill_number
    WHERE {OF_EXPENSE} AND whole.total > 0
)"""
_REPRICED: Final = f"""
    SELECT part.account AS category, bill.supplier_number, -changed.sign * part.amount AS amount
    FROM ({_CHANGES}) changed JOIN bill_credit_part part ON part.credit_number = changed.number
    JOIN bill ON bill.number = changed.bill_number WHERE part.account IN {_SPENT}"""
BILLED: Final = f"""
SELECT category, {total("amount")} FROM (
    SELECT line.category AS category, billed.sign * line.landed AS amount
    FROM ({BILLS_BOTH_WAYS}) billed JOIN bill_line line ON line.bill_number = billed.number
    WHERE {OF_EXPENSE}
    UNION ALL SELECT category, amount FROM ({_REPRICED}) repriced
) arisen GROUP BY category
"""
PAID: Final = f"WITH {PAID_PARTS} SELECT category, {total('amount')} FROM parts GROUP BY category"
PAYEES: Final = f"""
WITH {PAID_PARTS}
SELECT spent.category, spent.payee, {total("spent.many")}, {total("spent.amount")}, {total("spent.not_card")},
       '' AS form
FROM (
    SELECT category, payee, sign AS many, sign * amount AS amount,
           CASE WHEN {_NOT_CARD} THEN sign * amount ELSE 0 END AS not_card
    FROM ({EXPENSES_BOTH_WAYS}) outright
    UNION ALL
    SELECT line.category, {SUPPLIER}, billed.sign, billed.sign * line.landed, 0
    FROM ({BILLS_BOTH_WAYS}) billed JOIN bill_line line ON line.bill_number = billed.number
    {supplier_called("billed.supplier_number")}
    WHERE {OF_EXPENSE}
    UNION ALL
    SELECT repriced.category, {SUPPLIER}, 0, repriced.amount, 0
    FROM ({_REPRICED}) repriced {supplier_called("repriced.supplier_number")}
    UNION ALL
    SELECT line.account, '(adjusting entries)', entered.sign, entered.sign * line.amount, 0
    FROM ({ADJUSTED_BOTH_WAYS}) entered
    JOIN adjustment_line line ON line.adjustment_number = entered.number AND line.account IN {_SPENT}
    UNION ALL
    SELECT {word(Account.EQUIPMENT)}, '{GONE}', sign, -sign * cost, 0 FROM ({GONE_BOTH_WAYS}) gone
    UNION ALL
    SELECT parts.category, {SUPPLIER}, 0, 0, parts.not_card
    FROM parts {supplier_called("parts.supplier_number")}
) spent
GROUP BY spent.category, spent.payee
ORDER BY spent.category, SUM(spent.amount) DESC, spent.payee
"""
