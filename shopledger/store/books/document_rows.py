"""What the ledger's rows say that each document should have posted, as the posting rules name it.

One query for each kind of document gives its number, its amounts and the words that choose its accounts, by the very
names in `ledger/books/posting_rules.py`. The legs of the rules make of them what `verify` holds the books against.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from sqlalchemy import Table

from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.completeness import complete
from shopledger.ledger.books.documents import VOIDABLE, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import Flow, MoveKind
from shopledger.ledger.books.posting_rules import BILL_LINES, EVENED, RULES, By, Leg
from shopledger.ledger.corrections import REVERSING, CorrectionKind
from shopledger.ledger.offers import LineKind
from shopledger.ledger.stock import StockReason
from shopledger.ledger.taxes import ImposedOn
from shopledger.store.tables import (
    bills,
    corrections,
    earnings,
    inspections,
    journal,
    orders,
    parcels,
    payments,
    spending,
    stock,
    year_lists,
)
from shopledger.store.words import cases, listed, stands_on, word

_VOIDING: Final = frozenset(kind.voiding for kind in VOIDABLE)

TABLES: Final[Mapping[DocumentKind, Table[Any]]] = complete(
    (kind for kind in DocumentKind if kind is not DocumentKind.SHIPMENT and kind not in _VOIDING),
    {
        DocumentKind.ORDER: orders.shop_order,
        DocumentKind.OPENING_DEBT: earnings.opening_debt,
        DocumentKind.PUT_OFF: earnings.put_off,
        DocumentKind.PAYMENT: payments.payment,
        DocumentKind.REFUND: payments.refund,
        DocumentKind.CORRECTION: corrections.correction,
        DocumentKind.CORRECTION_FEE: corrections.correction,
        DocumentKind.CANCELLATION: payments.cancellation,
        DocumentKind.PARCEL: parcels.parcel,
        DocumentKind.PARCEL_RETURN: parcels.parcel_return,
        DocumentKind.MOVEMENT: stock.stock_movement,
        DocumentKind.REMAKE: inspections.remake,
        DocumentKind.EXPENSE: spending.expense,
        DocumentKind.BILL: bills.bill,
        DocumentKind.BILL_PAYMENT: bills.bill_payment,
        DocumentKind.BILL_CREDIT: bills.bill_credit,
        DocumentKind.ADJUSTMENT: journal.adjustment,
        DocumentKind.DISPOSAL: year_lists.disposal,
        DocumentKind.MONEY: spending.money_move,
        DocumentKind.DEPOSIT: spending.deposit,
    },
    "name its table in TABLES of shopledger/store/books/document_rows.py",
)
"""Where the documents of each kind lie; those that void others lie in `taken_back`, shipments of before are parcels."""

_SHIPPING: Final = f"line.kind = {word(LineKind.SHIPPING)}"
_SELLERS: Final = f"line.tax_imposed_on = {word(ImposedOn.SELLER)}"
_OUT: Final = f"kind IN {listed(kind for kind in MoveKind if kind.flow is Flow.OUT)}"
_LANDED: Final = ", ".join(
    f"CASE WHEN kind = {word(kind)} THEN landed ELSE 0 END AS {kind.value}"
    for kind in BillLineKind
    if BILL_LINES[kind] is not None
)
# Where a job's costs stood is not kept by itself: the rules take those accounts together, so any of them will do.
_STANDING: Final = f"{word(Account.WORK_IN_PROGRESS)} AS standing"

_EARNED: Final = {
    "charged": "earned.net + earned.tax - earned.net_back - earned.tax_back",
    "offers": f"CASE WHEN {_SHIPPING} THEN 0 ELSE earned.listed - earned.net END",
    "listed": f"CASE WHEN {_SHIPPING} THEN 0 ELSE earned.listed END",
    "shipping": f"CASE WHEN {_SHIPPING} THEN earned.net ELSE 0 END",
    "tax": "earned.tax",
    "sellers_tax": f"CASE WHEN {_SELLERS} THEN earned.tax ELSE 0 END",
    "net_back": "earned.net_back",
    "tax_back": "earned.tax_back",
    "sellers_tax_back": f"CASE WHEN {_SELLERS} THEN earned.tax_back ELSE 0 END",
}
"""What rows of what counts come to, by the names of the rules."""
# On which side an order stands is kept by the books alone, and proven by itself.
_EVENED: Final = f"0 AS {EVENED}"
_NONE_EARNED: Final = ", ".join(f"0 AS {name}" for name in _EARNED)


def _earned(kind: DocumentKind, *others: str) -> str:
    """Give what documents of a kind count as sold; `others` are the names of what else they come to."""
    nothing = ", ".join(f"{'NULL' if name == 'method' else 0} AS {name}" for name in others)
    sums = ", ".join(f"SUM({amount}) AS {name}" for name, amount in _EARNED.items())
    return f"""
SELECT earned.document_number AS number, {nothing + ", " if nothing else ""}{sums}, {_EVENED}
FROM earned JOIN order_line line ON line.order_number = earned.order_number AND line.position = earned.line
WHERE earned.document_kind = {word(kind)} GROUP BY earned.document_number
"""  # noqa: S608 - the words above


TAKEN: Final = f"""CASE WHEN correction.kind IN {listed(REVERSING)} THEN correction.amount
    WHEN correction.kind = {word(CorrectionKind.DISPUTE_WON)} THEN -correction.amount ELSE 0 END"""
"""By how much less was paid since a correction, below zero where money came again."""
WRITTEN_OFF: Final = f"""CASE WHEN correction.kind = {word(CorrectionKind.WRITTEN_OFF)} THEN correction.amount
    WHEN correction.kind = {word(CorrectionKind.REVIVED)} THEN -correction.amount ELSE 0 END"""
"""By how much less is to be paid, below zero where it is to be paid again."""
LOWERED: Final = f"""CASE WHEN kind = {word(CreditKind.CHARGE)} THEN -amount
    WHEN kind IN {listed(kind for kind in CreditKind if kind.sign > 0)} THEN amount ELSE 0 END"""
"""By how much the price of a bill fell, below zero where its supplier charged more."""
REFUNDED: Final = f"kind = {word(CreditKind.REFUND)}"
SET_AGAINST: Final = f"kind = {word(CreditKind.SET_AGAINST)}"

ROWS: Final[Mapping[DocumentKind, str]] = complete(
    (kind for kind, rule in RULES.items() if not rule.reverses),
    {
        DocumentKind.ORDER: _earned(DocumentKind.ORDER),
        DocumentKind.OPENING_DEBT: _earned(DocumentKind.OPENING_DEBT),
        DocumentKind.PUT_OFF: _earned(DocumentKind.PUT_OFF),
        DocumentKind.PAYMENT: f"""
SELECT number, method, amount AS paid, CASE WHEN deposit_number IS NULL THEN amount ELSE 0 END AS received,
       CASE WHEN deposit_number IS NULL THEN 0 ELSE amount END AS from_deposit, {_EVENED}
FROM payment
""",  # noqa: S608 - the words above
        DocumentKind.REFUND: f"""
{_earned(DocumentKind.REFUND, "method", "repaid")}
UNION ALL
SELECT refund.number, refund.method, SUM(part.net + part.tax), {_NONE_EARNED}, {_EVENED}
FROM refund JOIN refund_part part ON part.refund_number = refund.number
GROUP BY refund.number, refund.method
""",  # noqa: S608 - as above
        DocumentKind.CORRECTION: f"""
{_earned(DocumentKind.CORRECTION, "method", "unpaid", "reversed", "to_deposit", "written_off")}
UNION ALL
SELECT own.number, payment.method, own.taken AS unpaid,
       CASE WHEN payment.deposit_number IS NULL THEN own.taken ELSE 0 END AS reversed,
       CASE WHEN payment.deposit_number IS NULL THEN 0 ELSE own.taken END AS to_deposit, own.off AS written_off,
       {_NONE_EARNED}, {_EVENED}
FROM (
    SELECT number, payment_number,
           {TAKEN} AS taken, {WRITTEN_OFF} AS off
    FROM correction
) own LEFT JOIN payment ON payment.number = own.payment_number
""",  # noqa: S608 - as above
        DocumentKind.CORRECTION_FEE: f"""
SELECT correction.number, payment.method,
       CASE WHEN kind = {word(CorrectionKind.DISPUTE_WON)} THEN -fee ELSE fee END AS fee
FROM correction JOIN payment ON payment.number = correction.payment_number
""",  # noqa: S608 - as above
        DocumentKind.SHIPMENT: f"""
SELECT order_number AS number, -SUM(cost) AS goods, 0 AS jobs
FROM stock_movement WHERE reason = {word(StockReason.SOLD)} AND parcel_number IS NULL GROUP BY order_number
""",  # noqa: S608 - as above
        DocumentKind.PARCEL: f"""
{_earned(DocumentKind.PARCEL, "goods", "jobs", "remade")}
UNION ALL
SELECT parcel_number AS number, -SUM(cost) AS goods, 0 AS jobs, 0 AS remade, {_NONE_EARNED}, {_EVENED}
FROM stock_movement WHERE reason = {word(StockReason.SOLD)} AND parcel_number IS NOT NULL GROUP BY parcel_number
""",  # noqa: S608 - as above
        # Job costs are kept by the books alone; its goods are movements.
        DocumentKind.PARCEL_RETURN: _earned(DocumentKind.PARCEL_RETURN, "jobs", "remade"),
        # What was sold stands on its parcel, what was billed on its bill, what was repriced on its bill's credit; a
        # supplier's credit for goods sent back is not kept by itself.
        DocumentKind.MOVEMENT: f"""
SELECT number, reason, cost, cost AS against, 0 AS credit, 0 AS lost
FROM stock_movement
WHERE reason NOT IN {listed((StockReason.SOLD, StockReason.REPRICED))}
  AND NOT (reason = {word(StockReason.RECEIVED)} AND bill_number IS NOT NULL)
""",  # noqa: S608 - as above
        # A remake of the time before the books knew remakes has no entry, and nothing of it was scrapped in them.
        DocumentKind.REMAKE: f"""
SELECT number, cost, {_STANDING} FROM remake
WHERE EXISTS (SELECT 1 FROM journal_entry entry WHERE {stands_on(DocumentKind.REMAKE, "remake.number")})
""",  # noqa: S608 - as above
        DocumentKind.EXPENSE: "SELECT number, category, method, amount FROM expense",
        DocumentKind.BILL: f"""
SELECT bill_number AS number, category, amount AS billed, {_STANDING}, {_LANDED} FROM bill_line
""",  # noqa: S608 - as above
        DocumentKind.BILL_PAYMENT: "SELECT number, method, amount FROM bill_payment",
        DocumentKind.BILL_CREDIT: f"""
SELECT number, method, '' AS account, {LOWERED} AS lowered, 0 AS share,
       CASE WHEN {REFUNDED} THEN amount ELSE 0 END AS came,
       CASE WHEN {SET_AGAINST} THEN amount ELSE 0 END AS set_against
FROM bill_credit
UNION ALL SELECT credit_number, NULL, account, 0, amount, 0, 0 FROM bill_credit_part
""",  # noqa: S608 - as above
        DocumentKind.ADJUSTMENT: "SELECT adjustment_number AS number, account, amount FROM adjustment_line",
        DocumentKind.DISPOSAL: """
SELECT number, till, cost, depreciation, proceeds, proceeds - cost + depreciation AS gain FROM disposal
""",
        DocumentKind.MONEY: f"""
SELECT number, kind, till, CASE WHEN {_OUT} THEN amount ELSE 0 END AS went_out,
       CASE WHEN {_OUT} THEN 0 ELSE amount END AS came_in,
       CASE WHEN {_OUT} THEN fee - amount ELSE amount - fee END AS moved,
       CASE WHEN {_OUT} THEN -fee ELSE fee END AS fee
FROM money_move
""",  # noqa: S608 - as above
        DocumentKind.DEPOSIT: """
SELECT number, method, CASE WHEN gives_back IS NULL THEN amount ELSE -amount END AS amount FROM deposit
""",
    },
    "give its amounts in ROWS of shopledger/store/books/document_rows.py",
)
"""Each kind's documents, or their parts, with the amounts and words of its rule."""

_OF_THE_ORDER: Final = "SELECT order_number AS number, order_number AS reversed FROM cancellation"
_CANCELLED: Final = {
    **dict.fromkeys((DocumentKind.ORDER, DocumentKind.OPENING_DEBT, DocumentKind.PUT_OFF), _OF_THE_ORDER),
    DocumentKind.PAYMENT: """
SELECT payment.order_number AS number, payment.number AS reversed
FROM payment JOIN cancellation ON cancellation.order_number = payment.order_number
""",
    DocumentKind.CORRECTION: """
SELECT correction.order_number AS number, correction.number AS reversed
FROM correction JOIN cancellation ON cancellation.order_number = correction.order_number
""",
}
_VOIDED: Final = """
SELECT document_number AS number, document_number AS reversed FROM taken_back WHERE document_kind = {kind}
"""
REVERSED: Final[Mapping[tuple[DocumentKind, DocumentKind], str]] = {
    (reversing, kind): _CANCELLED[kind] if reversing is DocumentKind.CANCELLATION else _VOIDED.format(kind=word(kind))
    for reversing, rule in RULES.items()
    for kind in rule.reverses
}
"""Which document reverses which, of each pair of kinds."""


def _name(kind: DocumentKind) -> str:
    return f"of_{kind.name.lower()}"


def _account(leg: Leg, together: Mapping[Account, Account]) -> str:
    if isinstance(leg.account, By):
        chosen = {member: together.get(account, account) for member, account in leg.account.accounts.items()}
        return cases(f"own.{leg.account.word}", chosen)
    return word(together.get(leg.account, leg.account))


def _wanted() -> Iterator[str]:
    """Give what each leg of each kind of document should have posted, and what reversing it should."""
    for kind in ROWS:
        rule = RULES[kind]
        for leg in rule.legs:
            sign = "-" if leg.sign < 0 else ""
            yield (
                f"SELECT {word(kind)} AS document_kind, own.number AS document_number, "  # noqa: S608 - as above
                f"{_account(leg, rule.together)} AS account, {sign}own.{leg.amount} AS wanted, 0 AS found "
                f"FROM {_name(kind)} own WHERE own.{leg.amount} <> 0"
            )
    for (reversing, kind), asked in REVERSED.items():
        for leg in RULES[kind].legs:
            sign, account = "" if leg.sign < 0 else "-", _account(leg, RULES[reversing].together)
            yield (
                f"SELECT {word(reversing)}, undone.number, {account}, {sign}own.{leg.amount}, 0 "  # noqa: S608 - as above
                f"FROM ({asked}) undone JOIN {_name(kind)} own ON own.number = undone.reversed "
                f"WHERE own.{leg.amount} <> 0"
            )


def _together() -> str:
    """Give the account of a posting, or the one that it is proven together with."""
    kinds: dict[tuple[Account, Account], list[DocumentKind]] = {}
    for kind, rule in RULES.items():
        for pair in rule.together.items():
            kinds.setdefault(pair, []).append(kind)
    whens = " ".join(
        f"WHEN posting.account = {word(account)} AND entry.document_kind IN {listed(some)} THEN {word(other)}"
        for (account, other), some in kinds.items()
    )
    return f"CASE {whens} ELSE posting.account END"


DOCUMENTS: Final = f"""
WITH {", ".join(f"{_name(kind)} AS ({asked})" for kind, asked in ROWS.items())}
SELECT document_kind, document_number, account, SUM(wanted) AS wanted, SUM(found) AS found
FROM (
    {" UNION ALL ".join(_wanted())}
    UNION ALL
    SELECT entry.document_kind, entry.document_number, {_together()}, 0, posting.amount
    FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
) side_by_side
GROUP BY document_kind, document_number, account HAVING SUM(wanted) <> SUM(found)
ORDER BY document_kind, document_number, account
"""  # noqa: S608 - as above
"""Each account of a document that its postings and its rule do not agree on: an entry without its document shows just
as a document without its entry does."""

COUNTED: Final = f"""
SELECT {" + ".join(f"(SELECT COUNT(*) FROM {table.name})" for table in (*TABLES.values(), spending.taken_back))} AS many
"""  # noqa: S608 - as above
"""How many documents there are."""
