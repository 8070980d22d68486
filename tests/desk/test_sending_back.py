"""Goods that go back to their supplier, and bills that are taken back whole."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import bill_account, bills, pay_bill, send_back
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_remake
from shopledger.desk.orders import cancel_order, ship_order
from shopledger.desk.people import add_supplier, supplier_card
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    GoodsBilled,
    JobBilled,
    SendBackRequest,
)
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.stock import OutOfStockError, StockedKind, StockReason
from tests.desk.books import everything, on_both, postings
from tests.desk.family import DISTANCE, later, ordered
from tests.rows import rows
from tests.shelf import CASE, WREN

FRAMES = "Tollgate Frames"
LAB = "Brightwater Lab"
BILL = Document.read("bill 1")


@pytest.fixture
def billed(desk: Desk) -> Desk:
    """Record a bill of three frames at 65.00 with 9.00 of freight, so that each cost 68.00; a week passes."""
    add_supplier(desk, Supplier(FRAMES))
    add_supplier(desk, Supplier(LAB))
    record_bill(desk, BillRequest(FRAMES, "TG-1", goods=(GoodsBilled(WREN.code, 3, 6500),), freight=900))
    return later(desk, date(2026, 3, 9))


def balance(desk: Desk, account: Account) -> int:
    """Add up what is posted to an account."""
    with desk.reading() as work:
        return sum(row.amount for row in rows(work, "journal_posting", {"account": account.title}))


def lots(desk: Desk) -> list[tuple[int, int]]:
    """Give the lots of the frame, as count and cost, oldest first."""
    with desk.reading() as work:
        return [(lot.on_hand, lot.cost) for lot in work.stock.lots(StockedKind.FRAME, WREN.code)]


def agrees(desk: Desk) -> None:
    """Assert that the books agree with the shelf and with the bills."""
    assert prove_books(desk).failed == ()
    with desk.reading() as work:
        moved = sum(row.cost for row in rows(work, "stock_movement"))
    assert moved == balance(desk, Account.INVENTORY)
    assert sum(account.balance for account in bills(desk)) == -balance(desk, Account.ACCOUNTS_PAYABLE)


@on_both
def test_goods_go_back_out_of_the_bill_s_own_lot(billed: Desk) -> None:
    """Not out of the older one; the difference between credit and cost is a stock difference."""
    done = send_back(billed, 1, SendBackRequest("wren-52", 1, 6500, "hinge loose"))
    assert (done.credit.cost, done.credit.credit) == (6800, 6500)
    assert lots(billed) == [(3, 18600), (2, 13600)]
    document = f"movement {done.credit.movement_number}"
    assert postings(billed)[-3:] == [
        (document, "bills to pay", 6500),
        (document, "stock differences", 300),
        (document, "inventory", -6800),
    ]
    # 3 × 65.00 + 9.00 - 65.00
    assert (done.account.credited, done.account.balance) == (6500, 13900)
    assert bill_account(billed, 1) == done.account
    with billed.reading() as work:
        gone = work.bills.goods(1)[-1]
    assert (gone.reason, gone.quantity, gone.note) == (StockReason.SENT_BACK, -1, "hinge loose")
    agrees(billed)


def test_where_the_bill_s_lot_is_gone_the_oldest_goes_back(billed: Desk) -> None:
    """One frame is like another; what is left of the bill's own lot leaves first."""
    send_back(billed, 1, SendBackRequest(WREN.code, 2, 13000, "wrong colour"))
    ship_first_three(billed)
    assert lots(billed) == [(1, 6800)]
    done = send_back(billed, 1, SendBackRequest(WREN.code, 1, 6500, "wrong colour"))
    assert done.credit.cost == 6800
    assert lots(billed) == []
    agrees(billed)


def ship_first_three(desk: Desk) -> None:
    """Sell and ship the three frames of the opening stock."""
    for order in (1, 2, 3):
        record_sale(desk, ordered(DISTANCE))
        ship_order(desk, order, "Parcel post", without_inspection="shown at the counter")


@on_both
def test_a_credit_larger_than_what_is_owed_is_a_balance_in_the_shop_s_favour(billed: Desk) -> None:
    """The bill was paid before the goods went back."""
    pay_bill(billed, 1, BillPaymentRequest(20400, SpendMethod.BANK))
    done = send_back(billed, 1, SendBackRequest(WREN.code, 1, 6500, "hinge loose"))
    assert done.account.balance == -6500
    assert supplier_card(billed, FRAMES).owed == -6500
    assert [each.bill.number for each in bills(billed, open_only=True)] == [1]
    agrees(billed)


def test_goods_may_go_back_for_nothing(billed: Desk) -> None:
    """All they cost is then a stock difference."""
    done = send_back(billed, 1, SendBackRequest(WREN.code, 1, 0, "no credit agreed"))
    assert (done.account.balance, balance(billed, Account.STOCK_DIFFERENCES)) == (20400, 6800)
    agrees(billed)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (SendBackRequest("WREN", 1, 100, "x"), "item is 'WREN'; bill 1 brought no such goods. Did you mean WREN-52"),
        (SendBackRequest(CASE.code, 1, 100, "x"), "bill 1 brought no such goods. Look at the bill"),
        (SendBackRequest(WREN.code, 4, 100, "x"), "bill 1 brought 3 WREN-52, of which 0 went back already"),
        (SendBackRequest(WREN.code, 1, 100, "x", date(2026, 3, 1)), "the bill is of 2026-03-02"),
        (SendBackRequest(WREN.code, 1, 100, "x", date(2026, 3, 10)), "it lies after today"),
    ],
)
def test_what_cannot_go_back_is_refused(billed: Desk, asked: SendBackRequest, words: str) -> None:
    """Nothing is stored."""
    before = everything(billed)
    with pytest.raises(RefusedError) as refused:
        send_back(billed, 1, asked)
    assert words in str(refused.value)
    assert everything(billed) == before


def test_none_or_fewer_cannot_go_back() -> None:
    """Nor may the supplier charge for it, and it happens for a reason."""
    with pytest.raises(RefusedError, match="quantity is 0; it is 1 or more"):
        SendBackRequest(WREN.code, 0, 100, "x")
    with pytest.raises(RefusedError, match=r"credit is -0\.01; it may not be negative"):
        SendBackRequest(WREN.code, 1, -1, "x")
    with pytest.raises(RefusedError, match="reason is empty"):
        SendBackRequest(WREN.code, 1, 100, " ")


def test_goods_set_aside_for_orders_do_not_go_back(billed: Desk) -> None:
    """Six are there and five are sold."""
    for _ in range(5):
        record_sale(billed, ordered(DISTANCE))
    with pytest.raises(OutOfStockError, match="2 asked for, 1 on hand and not reserved"):
        send_back(billed, 1, SendBackRequest(WREN.code, 2, 100, "x"))


@on_both
def test_a_bill_taken_back_takes_its_goods_along(billed: Desk) -> None:
    """The lot is gone, nothing is owed, and its invoice number is free for the right bill."""
    void_document(billed, BILL, "typed twice")
    assert lots(billed) == [(3, 18600)]
    assert bill_account(billed, 1).balance == 0
    assert (bill_account(billed, 1).voided, balance(billed, Account.ACCOUNTS_PAYABLE)) == (date(2026, 3, 9), 0)
    assert record_bill(billed, BillRequest(FRAMES, "TG-1", goods=(GoodsBilled(WREN.code, 3, 6000),))).bill.number == 2
    for deed in (
        lambda: pay_bill(billed, 1, BillPaymentRequest(1, SpendMethod.BANK)),
        lambda: send_back(billed, 1, SendBackRequest(WREN.code, 1, 1, "x")),
    ):
        with pytest.raises(RefusedError, match="it was voided on 2026-03-09"):
            deed()
    agrees(billed)


def test_a_bill_whose_goods_left_is_not_taken_back(billed: Desk) -> None:
    """The sentence says how many left, and what to do."""
    ship_first_three(billed)
    record_sale(billed, ordered(DISTANCE))
    with pytest.raises(RefusedError, match="1 of WREN-52 are reserved for orders, and 3 are there"):
        void_document(billed, BILL, "typed twice")
    ship_order(billed, 4, "Parcel post", without_inspection="shown at the counter")
    with pytest.raises(RefusedError, match=r"1 of the 3 WREN-52 it brought left the shelf already\. Send back what"):
        void_document(billed, BILL, "typed twice")


def test_a_bill_with_a_payment_or_a_credit_is_not_taken_back(billed: Desk) -> None:
    """The payment is voided first; what went back to the supplier stays."""
    pay_bill(billed, 1, BillPaymentRequest(100, SpendMethod.BANK))
    with pytest.raises(RefusedError, match="Take 'bill payment 1' back first"):
        void_document(billed, BILL, "typed twice")
    void_document(billed, Document.read("bill payment 1"), "not paid at all")
    assert bill_account(billed, 1).balance == 20400
    send_back(billed, 1, SendBackRequest(WREN.code, 1, 6500, "hinge loose"))
    with pytest.raises(RefusedError, match="what was sent back on it stays"):
        void_document(billed, BILL, "typed twice")


@on_both
def test_job_costs_of_a_bill_taken_back_leave_from_where_they_stand(billed: Desk) -> None:
    """Whether the job waits, has left since, or was cancelled: nothing of the bill is left in any account."""
    for _ in range(3):
        record_sale(billed, ordered(DISTANCE))
    for job in (1, 2, 3):
        record_bill(billed, BillRequest(LAB, jobs=(JobBilled(job, 2500 + job),)))
    record_remake(billed, 1, "scratched", 0)
    ship_order(billed, 2, "Parcel post", without_inspection="shown at the counter")
    cancel_order(billed, 3, "changed her mind")
    assert [balance(billed, each) for each in (Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)] == [
        2501,
        2502,
        2503,
    ]
    for number in (2, 3, 4):
        void_document(billed, Document.read(f"bill {number}"), "another shop's")
    assert [balance(billed, each) for each in (Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)] == [0, 0, 0]
    with billed.reading() as work:
        assert [work.job_costs.of(job).billed for job in (1, 2, 3)] == [0, 0, 0]
    agrees(billed)
