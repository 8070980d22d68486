"""The books prove themselves against all that was recorded, and say what differs and by how much."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.adjusting import record_adjustment
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill, send_back
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.deposits import DepositRequest, GiveBackRequest, give_back, pay_from_deposit, take_deposit
from shopledger.desk.books.disposing import DisposalRequest, dispose
from shopledger.desk.books.opening_debts import take_over_debt
from shopledger.desk.books.order_postings import put_orders_off
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.corrections import post_correction, store_correction
from shopledger.desk.inspecting import record_remake
from shopledger.desk.orders import cancel_order, give_refund, ship_order
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.people import add_supplier
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    ExpenseBilled,
    GoodsBilled,
    JobBilled,
    SendBackRequest,
)
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Head
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.proofs import KeptHead, Verdict
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.seals import chain_hash
from shopledger.ledger.stock import StockedKind
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.sealing import SEALS
from shopledger.store.tables import seals
from tests.desk.before_parcels import sold_at_once
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, FAMILY_ORDER, ordered
from tests.forging import forge
from tests.shelf import CASE, CUSTOMER, SHADES

pytestmark = pytest.mark.slow

DAY = date(2026, 3, 2)
BANK, CASH = CashAccount.BANK, CashAccount.CASH
MOVES = (
    MoneyMove(DAY, MoveKind.OPENING, CASH, 90_000),
    MoneyMove(DAY, MoveKind.CONTRIBUTION, BANK, 80_000),
    MoneyMove(DAY, MoveKind.PAYOUT, BANK, 40_000, 1_200),
    MoneyMove(DAY, MoveKind.BANKED, BANK, 5_000),
    MoneyMove(DAY, MoveKind.WITHDRAWAL, CASH, 3_000),
    MoneyMove(DAY, MoveKind.CARD_PAID, BANK, 700),
    MoneyMove(DAY, MoveKind.DRAW, CASH, 1_500),
    MoneyMove(DAY, MoveKind.TAX_PAID, BANK, 174, 2, "OH"),
    MoneyMove(DAY, MoveKind.OTHER_INCOME, BANK, 650, note="interest"),
)
"""Money moved for every reason there is."""


def said(verdict: Verdict) -> list[str]:
    """Give all that differs."""
    return [str(each) for failed in verdict.failed for each in failed.differences]


def codes(verdict: Verdict) -> list[str]:
    """Give the checks that do not hold."""
    return [failed.code for failed in verdict.failed]


def spent(method: SpendMethod) -> Expense:
    """Give an expense paid from somewhere."""
    return Expense(DAY, "Rook & Daughters", ExpenseCategory.SUPPLIES, "cloths", 700, method, "17")


@pytest.fixture
def busy(desk: Desk, tmp_path: Path) -> Desk:
    """Let everything happen that the books know: each kind of document, and what takes it back."""
    for move in MOVES[:2]:
        record_move(desk, move)
    add_supplier(desk, Supplier("Thistledown Optical"))
    _sell(desk, tmp_path)
    _buy(desk, tmp_path)
    for move in MOVES[2:]:
        record_move(desk, move, frozenset({"PAYOUT-ABOVE-CLEARING", "CARD-ABOVE-OWED", "TAX-ABOVE-OWED"}))
    for _ in range(2):
        change_bill(desk, 1, CreditRequest(CreditKind.ALLOWANCE, 120, "late"))
        short = AdjustmentLine(Account.OVER_SHORT, 45), AdjustmentLine(Account.CASH, -45)
        record_adjustment(desk, Adjustment(DAY, "the drawer was short", short))
    for words in (
        "expense 1",
        "bill 3",
        "bill payment 1",
        "money 9",
        "deposit 3",
        "bill credit 2",
        "adjustment 2",
        "disposal 2",
    ):
        void_document(desk, Document.read(words), "a mistake")
    count_stock(desk, StockedKind.ACCESSORY, CASE.code, 3)
    count_stock(desk, StockedKind.ACCESSORY, CASE.code, 5)
    return desk


def _sell(desk: Desk, folder: Path) -> None:
    take_deposit(desk, DepositRequest(CUSTOMER, 9_000, Method.CHECK))
    record_sale(desk, FAMILY_ORDER)
    pay_from_deposit(desk, 1, 1, 4_000)
    issue_receipt(desk, 1, CUSTOMER, folder, not_paid_in_full=True)
    record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(1, 1_501), JobBilled(2, 1_700)), freight=333))
    record_remake(desk, 1, "axis off", 900)
    record_remake(desk, 1, "scratched", 450)
    ship_order(desk, 1, "by post", without_inspection="collected")
    parcel_back(desk, 1, "nobody at home")
    send_again(desk, 1, "by post")
    refunded = RefundRequest(Method.CARD, "too small", (RefundedLine(1, None, 1), RefundedLine(11, 500)))
    give_refund(desk, 1, refunded)
    record_sale(desk, ordered(DISTANCE))
    pay_from_deposit(desk, 2, 1, 1_000)
    record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(5, 1_200),)))
    cancel_order(desk, 2, "ordered twice")
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(1_000, Method.CASH),)))
    with desk.writing() as work:
        before = work.orders.account(3)
        (paid,) = before.payments
        kind, number = CorrectionKind.BOUNCED, paid.number
        bounced = Correction(3, DAY, kind, "not paid", payment_number=number, amount=1_000, fee=1_500)
        post_correction(work, before, store_correction(work, before, bounced))
    sold_at_once(desk, OrderRequest(CUSTOMER, (), (AccessoryRequest(SHADES.code),)))
    put_orders_off(desk)
    take_over_debt(desk, CUSTOMER, 4_500, "invoice 88")
    give_back(desk, 1, GiveBackRequest(2_000))
    take_deposit(desk, DepositRequest(CUSTOMER, 1_100, Method.CASH))


def _buy(desk: Desk, folder: Path) -> None:
    proof = folder / "invoice.txt"
    proof.write_text("two cases", encoding="utf-8")
    for method in SpendMethod:
        record_expense(desk, spent(method), proof, frozenset({"EXPENSE-TWICE"}))
    edger = record_expense(desk, replace(spent(SpendMethod.BANK), category=ExpenseCategory.EQUIPMENT, amount=90_000))
    for _ in range(2):
        dispose(desk, DisposalRequest(f"expense {edger.expense.number}", DisposalKind.SCRAPPED, 0, cost=100))
    record_bill(
        desk, BillRequest("Thistledown", goods=(GoodsBilled(CASE.code, 2, amount=901),), jobs=(JobBilled(6, 800),))
    )
    goods = (GoodsBilled(CASE.code, 3, amount=1_000), GoodsBilled(SHADES.code, 2, amount=4_005))
    office = (ExpenseBilled(ExpenseCategory.OFFICE, 250),)
    record_bill(desk, BillRequest("Thistledown", goods=goods, expenses=office, freight=407, tax=31))
    pay_bill(desk, 4, BillPaymentRequest(600, SpendMethod.CARD))
    pay_bill(desk, 4, BillPaymentRequest(500, SpendMethod.OWNER))
    send_back(desk, 4, SendBackRequest(SHADES.code, 1, 1_900, "scratched"))


def test_a_new_shop_holds(desk: Desk) -> None:
    """Opening stock alone passes every check."""
    assert said(prove_books(desk)) == []


@on_both
def test_a_shop_where_everything_happened_holds(busy: Desk) -> None:
    """Every kind of document with its entries, and what was voided: every check holds, and looked at something."""
    with busy.reading() as work:
        entries = work.journal.head().count
        kinds = {entry.document.kind for _, _, entry in work.journal._entries(1, entries)}
        head = work.seals.head()
        receipt = KeptHead.read(work.receipts.get(1).content.ledger_head)
    verdict = prove_books(busy, receipt)
    assert said(verdict) == []
    assert verdict.holds
    assert verdict.head == head
    assert kinds == set(DocumentKind) - {DocumentKind.SHIPMENT}, "what left was once an order's shipment, now a parcel"
    looked_at = {proof.code: proof.checked for proof in verdict.proofs}
    assert looked_at["CHAIN"] == looked_at["BALANCE"] == entries
    assert looked_at["SEALS"] == head.count
    assert looked_at["FILES"] == looked_at["RECEIPTS"] == looked_at["HEADS"] == 1
    assert min(looked_at.values()) > 0


CHANGES = (
    ("UPDATE payment SET amount = amount - 5 WHERE number = 1", "DOCUMENTS", "payment 1, "),
    ("UPDATE earned SET tax = tax + 1 WHERE order_number = 4", "DOCUMENTS", "order 4, sales tax payable"),
    ("UPDATE earned SET net = net + 1 WHERE document_kind = 'parcel'", "DOCUMENTS", "parcel 1, sales"),
    ("UPDATE earned SET net = net + 1 WHERE document_kind = 'parcel'", "ACCOUNTS", "receivable: "),
    ("UPDATE refund SET method = 'cash'", "DOCUMENTS", "refund 1, card clearing"),
    ("UPDATE expense SET category = 'travel' WHERE number = 2", "DOCUMENTS", "expense 2, travel"),
    ("UPDATE money_move SET fee = fee + 1 WHERE kind = 'payout'", "DOCUMENTS", "money 3, commissions and fees"),
    ("UPDATE deposit SET amount = amount + 1 WHERE number = 1", "DOCUMENTS", "deposit 1, bank"),
    ("UPDATE bill_line SET landed = landed + 1 WHERE bill_number = 4", "DOCUMENTS", "bill 4, inventory"),
    ("UPDATE remake SET cost = cost + 1", "DOCUMENTS", "remake 1, scrap and remakes"),
    ("DELETE FROM taken_back WHERE document_kind = 'expense'", "DOCUMENTS", "taking back of expense 1, "),
    ("DELETE FROM cancellation", "DOCUMENTS", "cancellation of order 2, "),
    ("UPDATE journal_entry SET document_number = 99 WHERE document = 'payment 1'", "DOCUMENTS", "payment 99, "),
    ("UPDATE stock_movement SET cost = cost - 1 WHERE reason = 'sold'", "DOCUMENTS", "parcel 1, "),
    ("UPDATE stock_movement SET cost = cost + 1 WHERE number = 1", "ACCOUNTS", "inventory: "),
    ("UPDATE payment SET amount = amount - 5 WHERE number = 1", "ACCOUNTS", "receivable: "),
    ("UPDATE deposit SET amount = amount + 1 WHERE number = 1", "ACCOUNTS", "customer deposits: "),
    ("UPDATE bill_payment SET amount = amount + 1 WHERE number = 2", "ACCOUNTS", "bills to pay: "),
    ("UPDATE counter SET last = last + 1 WHERE name = 'expense'", "COUNTERS", "expense numbers: "),
    ("DELETE FROM receipt_print; DELETE FROM receipt WHERE number = 1", "COUNTERS", "receipt numbers: "),
    ("UPDATE stock_level SET on_hand = on_hand + 1 WHERE kind = 'frame'", "STOCK", "on hand"),
    ("UPDATE stock_level SET set_aside = 0 WHERE kind = 'frame'", "STOCK", "reserved"),
    ("UPDATE stock_lot SET cost = cost + 1", "LOTS", "lot "),
    ("UPDATE stock_issue SET quantity = quantity + 1", "LOTS", "movement "),
    ("UPDATE receipt SET canonical = canonical || ' '", "RECEIPTS", "receipt 1: "),
    ("UPDATE journal_posting SET amount = amount + 1 WHERE entry_number = 2 AND position = 1", "BALANCE", "entry 2"),
    ("UPDATE journal_entry SET memo = 'other' WHERE number = 2", "CHAIN", "entry 2"),
    (
        "UPDATE journal_entry SET hash = '" + "0" * 64 + "' WHERE number = (SELECT MAX(number) FROM journal_entry)",
        "CHAIN",
        "entry ",
    ),
)
"""What somebody might change from outside: the statement, the check that finds it, and what it names."""


class _UndoneError(Exception):
    """Takes a change back again."""


@on_both
def test_whatever_is_changed_from_outside_differs(busy: Desk) -> None:
    """The check that it belongs to says where, and what was found."""
    for deed, code, words in CHANGES:
        with suppress(_UndoneError), busy.writing() as work:
            lift_guards(work.transaction.connection)
            for statement in deed.split(";"):
                work.transaction.connection.exec_driver_sql(statement)
            failed = [proof for proof in work.proofs.all() if not proof.holds]
            found = [str(each) for proof in failed if proof.code == code for each in proof.differences]
            assert any(words in each for each in found), (deed, failed)
            raise _UndoneError
    assert prove_books(busy).holds


def test_a_kept_file_that_changed_or_went_is_found(busy: Desk) -> None:
    """Its bytes are held by their own hash, so that other bytes or none are told by the file's name."""
    forge(busy, "UPDATE kept_body SET body = CAST('three cases' AS BLOB)")
    assert codes(prove_books(busy)) == ["FILES"]
    assert "invoice.txt" in str(prove_books(busy).failed[0].differences[0])
    forge(busy, "DELETE FROM kept_body")
    assert codes(prove_books(busy)) == ["RECORDS", "FILES"]
    assert "it is missing" in said(prove_books(busy))[-1]


def test_a_head_of_other_books_is_told_with_the_place_where_they_part(busy: Desk) -> None:
    """The last kept head before it that still fits says from where on; a count beyond the last seal is said so."""
    with busy.reading() as work:
        head: Head = work.seals.head()
        held = KeptHead.read(work.receipts.get(1).content.ledger_head)
    lost = prove_books(busy, KeptHead(head.count, "0123456789abcdef"))
    assert f"after {held.count}, which receipt 1 still proves, up to {head.count}" in said(lost)[0]
    beyond = prove_books(busy, KeptHead(head.count + 1, "0123456789abcdef"))
    assert f"the chain has {head.count} seals" in said(beyond)[0]
    huge = prove_books(busy, KeptHead(9_999_999_999, "0123456789abcdef"))
    assert [proof.code for proof in huge.failed] == ["HEAD"]


def test_a_head_that_no_longer_fits_a_receipt_differs(busy: Desk) -> None:
    """A chain that was made anew from outside holds by itself, but not the heads printed on receipts."""
    with busy.writing() as work:
        lift_guards(work.transaction.connection)
        head = EMPTY_HEAD
        for seal in work.transaction.all(SEALS, order=(seals.seal.c.number,)):
            anew = replace(seal, note="another past" if seal.number == 2 else seal.note)
            head = Head(seal.number, chain_hash(head.hash, anew.heading, anew.body))
            work.transaction.connection.exec_driver_sql(
                f"UPDATE seal SET note = '{anew.note}', hash = '{head.hash}' WHERE number = {seal.number}"  # noqa: S608 - the chain's own
            )
        set_guards(work.transaction.connection)
    verdict = prove_books(busy)
    assert codes(verdict) == ["HEADS"]
    assert "receipt 1: the chain carries" in said(verdict)[0]


def test_a_head_of_before_the_ledger_had_seals_is_found_in_the_journal(busy: Desk) -> None:
    """What was printed when only the journal was chained still proves that the journal contains it."""
    with busy.reading() as work:
        entry = work.journal.hash_of(3)
    assert prove_books(busy, KeptHead(3, entry[:16])).holds
    assert codes(prove_books(busy, KeptHead(4, entry[:16]))) == ["HEAD"]
