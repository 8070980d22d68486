"""A month is closed once what stands against it is settled, takes nothing afterwards, and is opened with a reason."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import close_month, month_history, month_states, plan_closing, reopen_month
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_remake
from shopledger.desk.orders import cancel_order, give_refund, planned_refund, ship_order, take_payment
from shopledger.desk.people import add_supplier
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest, GoodsBilled, JobBilled
from shopledger.ledger.books.closing import MonthNotReadyError, PeriodDeed
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import StockedKind
from shopledger.store.guards import lift_guards
from shopledger.store.refusals import MonthClosedError
from tests.desk.books import everything, on_both
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.documents import named
from tests.shelf import CASE, CUSTOMER

DAY = date(2026, 3, 2)
IN_APRIL = date(2026, 4, 2)
MARCH, APRIL = Month(2026, 3), Month(2026, 4)
ALL = frozenset({"NOT-SHIPPED", "NOT-PAID", "NO-LENS-BILL", "CARD-NOT-PAID-OUT", "TAX-NOT-SET"})


def codes(desk: Desk, month: Month = MARCH) -> list[str]:
    """Give what is pointed out before a month is closed."""
    return [finding.code for finding in plan_closing(desk, month).findings]


def sentence(desk: Desk, code: str, month: Month = MARCH) -> str:
    """Give what is said of one thing that is pointed out."""
    return next(finding.sentence for finding in plan_closing(desk, month).findings if finding.code == code)


@on_both
def test_a_month_in_order_is_closed_on_its_head(desk: Desk) -> None:
    """A month with nothing against it is closed at once, and keeps the head of the books and who closed it."""
    april = later(desk, IN_APRIL)
    event = close_month(april, MARCH)
    with desk.reading() as work:
        assert work.seals.hash_of(event.head.count) == event.head.hash
    assert (event.operator, event.accepted, event.deed) == ("tester", (), PeriodDeed.CLOSED)
    assert [(state.month, state.closed) for state in month_states(desk)] == [(MARCH, True)]
    with pytest.raises(RefusedError, match="closed already"):
        close_month(april, MARCH)


@on_both
def test_what_is_loose_in_a_month_is_pointed_out_until_it_is_mended(desk: Desk) -> None:
    """Unshipped, unpaid, untaxed, no lens bill, card money not paid out: each goes once it is settled."""
    record_sale(desk, FAMILY_ORDER)
    april = later(desk, IN_APRIL)
    assert codes(april) == ["NOT-SHIPPED", "NOT-PAID", "CARD-NOT-PAID-OUT", "TAX-NOT-SET"]
    assert "1 order of the month is not shipped yet: 1." in sentence(april, "NOT-SHIPPED")
    assert "OH accessory, OH shipping." in sentence(april, "TAX-NOT-SET")
    with desk.reading() as work:
        owed = work.orders.account(1).balance
    take_payment(desk, 1, PaymentRequest(owed, Method.CASH))
    ship_order(desk, 1, "by post", without_inspection="collected")
    assert codes(april) == ["NO-LENS-BILL", "CARD-NOT-PAID-OUT", "TAX-NOT-SET"]
    assert "jobs left without a bill for the lenses: 1, 2, 3, 4." in sentence(april, "NO-LENS-BILL")
    add_supplier(desk, Supplier("Thistledown Optical"))
    record_bill(april, BillRequest("Thistledown", jobs=tuple(JobBilled(job, 1_500) for job in range(1, 5))))
    record_move(april, MoneyMove(IN_APRIL, MoveKind.PAYOUT, CashAccount.BANK, 40_000, 1_200))
    assert codes(april) == ["TAX-NOT-SET"]


@on_both
def test_warnings_need_a_yes_that_is_kept(desk: Desk) -> None:
    """Without it the month stays open, and the refusal says what to type; with it the codes stay with the month."""
    record_sale(desk, FAMILY_ORDER)
    april = later(desk, IN_APRIL)
    before = everything(desk)
    with pytest.raises(MonthNotReadyError, match="--accept NOT-SHIPPED --accept NOT-PAID"):
        close_month(april, MARCH)
    assert everything(desk) == before
    close_month(april, MARCH, ALL)
    (event,) = month_history(desk, MARCH)
    assert event.accepted == ("NOT-SHIPPED", "NOT-PAID", "CARD-NOT-PAID-OUT", "TAX-NOT-SET")


def test_a_receipt_that_a_refund_overtook_is_pointed_out_until_it_is_replaced(desk: Desk, tmp_path: Path) -> None:
    """Only receipts of the wearers whose lines gave something back, and only while nothing replaced them."""
    record_sale(desk, FAMILY_ORDER)
    for wearer in ("Odalys", "Wren"):
        issue_receipt(desk, 1, wearer, tmp_path, not_paid_in_full=True)
    refunded = later(desk, date(2026, 3, 20))
    give_refund(refunded, 1, RefundRequest(Method.CARD, "scratched", (RefundedLine(1, 100),)))
    april = later(desk, IN_APRIL)
    assert "1 receipt is overtaken by a refund, a correction or a remake and not replaced: 1." in sentence(
        april, "RECEIPT-OVERTAKEN"
    )
    replace_receipt(later(desk, date(2026, 3, 21)), 1, "a refund", tmp_path, not_paid_in_full=True)
    assert "RECEIPT-OVERTAKEN" not in codes(april)


def test_goods_without_a_cost_old_deposits_and_missing_cash_are_pointed_out(desk: Desk) -> None:
    """Each with its numbers; a deposit is old after ninety days, not before."""
    add_supplier(desk, Supplier("Thistledown Optical"))
    record_bill(desk, BillRequest("Thistledown", goods=(GoodsBilled(CASE.code, 2, amount=0),)))
    take_deposit(desk, DepositRequest(CUSTOMER, 5_000, Method.CHECK))
    spent = Expense(DAY, "Rook & Daughters", ExpenseCategory.SUPPLIES, "cloths", 900, SpendMethod.CASH, "4")
    record_expense(desk, spent, accept=frozenset({"CASH-SHORT"}))
    june = later(desk, date(2026, 7, 1))
    assert codes(june) == ["NO-COST", "CASH-SHORT"]
    assert CASE.code in sentence(june, "NO-COST")
    assert "-9.00 lies in the drawer on 2026-03-02" in sentence(june, "CASH-SHORT")
    close_month(june, MARCH, frozenset({"NO-COST", "CASH-SHORT"}))
    assert codes(june, Month(2026, 5)) == ["CASH-SHORT"]
    assert "1 deposit is older than 90 days: 1." in sentence(june, "OLD-DEPOSIT", Month(2026, 6))


BROKEN = (
    ("UPDATE stock_level SET on_hand = on_hand + 1 WHERE kind = 'frame'", "BOOKS-STOCK"),
    ("UPDATE stock_lot SET cost = cost + 1", "BOOKS-LOTS"),
    ("UPDATE counter SET last = last + 1 WHERE name = 'order'", "BOOKS-COUNTERS"),
    ("UPDATE stock_movement SET cost = cost + 1 WHERE number = 1", "BOOKS-DOCUMENTS"),
    ("UPDATE journal_entry SET memo = 'other' WHERE number = 1", "BOOKS-CHAIN"),
)
"""What is changed from outside, one after another, and what is said of it."""


@on_both
def test_books_that_are_not_whole_are_not_closed(desk: Desk) -> None:
    """No yes helps against an error."""
    april = later(desk, IN_APRIL)
    for deed, code in BROKEN:
        with desk.writing() as work:
            lift_guards(work.transaction.connection)
            work.transaction.connection.exec_driver_sql(deed)
        with pytest.raises(MonthNotReadyError, match=rf"cannot be closed.*\[{code}\]"):
            close_month(april, MARCH, ALL | {code})
        assert code in codes(april)
    assert month_history(desk, MARCH) == ()


@pytest.fixture
def busy(desk: Desk) -> Desk:
    """Record of each kind of document one in March that April may go on with, close March, and stand in April."""
    add_supplier(desk, Supplier("Thistledown Optical"))
    record_sale(desk, ordered(DISTANCE))
    record_sale(desk, ordered(DISTANCE))
    for number in (1, 2):
        take_payment(desk, number, PaymentRequest(1_000, Method.CASH))
    record_bill(desk, BillRequest("Thistledown", goods=(GoodsBilled(CASE.code, 2, amount=900),)))
    take_deposit(desk, DepositRequest(CUSTOMER, 5_000, Method.CHECK))
    april = later(desk, IN_APRIL)
    close_month(april, MARCH, ALL | {"OLD-DEPOSIT"})
    return april


REFUND = RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 100),), day=DAY)
RENT = Expense(DAY, "Alder Row Estates", ExpenseCategory.RENT, "rent", 85_000, SpendMethod.BANK, "M-17")
GOODS = (GoodsBilled(CASE.code, 1, amount=400),)
DEEDS: dict[str, Callable[[Desk], object]] = {
    "sale": lambda desk: record_sale(desk, ordered(DISTANCE, day=DAY)),
    "planned sale": lambda desk: plan_sale(desk, ordered(DISTANCE, day=DAY)),
    "payment": lambda desk: take_payment(desk, 1, PaymentRequest(500, Method.CASH, day=DAY)),
    "refund": lambda desk: give_refund(desk, 1, REFUND),
    "planned refund": lambda desk: planned_refund(desk, 1, REFUND),
    "cancellation": lambda desk: cancel_order(desk, 2, "ordered twice", DAY),
    "shipment": lambda desk: ship_order(desk, 1, "by post", day=DAY, without_inspection="collected"),
    "bill": lambda desk: record_bill(desk, BillRequest("Thistledown", day=DAY, goods=GOODS)),
    "bill payment": lambda desk: pay_bill(desk, 1, BillPaymentRequest(100, SpendMethod.BANK, day=DAY)),
    "expense": lambda desk: record_expense(desk, RENT),
    "money": lambda desk: record_move(desk, MoneyMove(DAY, MoveKind.CONTRIBUTION, CashAccount.BANK, 100)),
    "deposit": lambda desk: take_deposit(desk, DepositRequest(CUSTOMER, 100, Method.CASH, day=DAY)),
    "remake": lambda desk: record_remake(desk, 1, "axis off", 0, day=DAY),
    "taking back": lambda desk: void_document(desk, Document.read("deposit 1"), "a mistake", DAY),
    "count": lambda desk: count_stock(later(desk, DAY), StockedKind.ACCESSORY, CASE.code, 1),
}
"""What the shop does, each dated in March."""


@on_both
def test_a_closed_month_takes_nothing(busy: Desk) -> None:
    """Every deed dated in it is refused, says so by the month's name, and leaves nothing behind."""
    before = everything(busy)
    for name, deed in DEEDS.items():
        with pytest.raises(MonthClosedError) as refused:
            deed(busy)
        assert refused.value.month == "2026-03", name
        assert everything(busy) == before, name


@on_both
def test_corrections_go_into_the_open_month_and_change_nothing_of_the_closed(busy: Desk) -> None:
    """A refund, a cancellation and a taking back in April post there; March's figures stay to the cent."""
    with busy.reading() as work:
        before = work.reports.totals(MARCH.days), work.reports.posted(MARCH.days)
    give_refund(busy, 1, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 100),)))
    cancel_order(busy, 2, "ordered twice")
    void_document(busy, Document.read("deposit 1"), "a mistake")
    ship_order(busy, 1, "by post", without_inspection="collected")
    with busy.reading() as work:
        assert (work.reports.totals(MARCH.days), work.reports.posted(MARCH.days)) == before
        assert all(proof.holds for proof in work.proofs.all())
        entries = [entry for _, entry in work.journal.of_documents([named("cancellation of order 2")])]
        assert [entry.day for entry in entries] == [IN_APRIL]
        assert entries[0].reverses is not None


@on_both
def test_an_opened_month_takes_entries_again(busy: Desk) -> None:
    """After the reopening, which is kept with its reason, the month takes what it refused, and is closed anew."""
    event = reopen_month(busy, MARCH, "a late sale")
    assert (event.deed, event.reason) == (PeriodDeed.REOPENED, "a late sale")
    record_sale(busy, ordered(DISTANCE, day=DAY))
    close_month(busy, MARCH, ALL)
    assert [each.deed.value for each in month_history(busy, MARCH)] == ["closed", "reopened", "closed"]


def test_months_are_closed_and_opened_in_their_order(busy: Desk) -> None:
    """An earlier open month comes first when closing, a later closed one when opening."""
    record_expense(busy, Expense(IN_APRIL, "Alder Row", ExpenseCategory.RENT, "rent", 100, SpendMethod.BANK, "M-18"))
    june = later(busy, date(2026, 6, 1))
    with pytest.raises(RefusedError, match="'shopledger month close 2026-04'"):
        close_month(june, Month(2026, 5))
    with pytest.raises(RefusedError, match="it lasts until 2026-06-30"):
        close_month(june, Month(2026, 6))
    close_month(june, APRIL, ALL | {"OLD-DEPOSIT"})
    with pytest.raises(RefusedError, match="'shopledger month reopen 2026-04 --reason TEXT'"):
        reopen_month(june, MARCH, "a late bill")
