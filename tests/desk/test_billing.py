"""Recording suppliers' bills: what lands where, what is owed, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.billing import plan_bill, receive_one, record_bill
from shopledger.desk.books.bills import (
    bill_account,
    bills,
    kept_name,
    newest_bills,
    pay_bill,
    plan_bill_payment,
    write_kept_file,
)
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, FRAMES, add_frame
from shopledger.desk.people import add_supplier, change_supplier, supplier_card, suppliers
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    ExpenseBilled,
    GoodsBilled,
    JobBilled,
)
from shopledger.ledger.books.closing import PeriodDeed, PeriodEvent
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import Accessory
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.usual import COST_UNUSUAL, QUANTITY_UNUSUAL
from shopledger.store.refusals import FileChangedError, MonthClosedError, NumberUnknownError
from tests.desk.books import everything, notes, on_both, postings
from tests.desk.family import DISTANCE, later, ordered
from tests.forging import forge
from tests.rows import rows
from tests.shelf import CASE, CUSTOMER, LARK, WREN

DAY = date(2026, 3, 2)
TOLLGATE = "Tollgate Frames"
LAB = "Brightwater Lab"
GOODS = BillRequest(
    TOLLGATE,
    "TG-4471",
    goods=(GoodsBilled("wren-52", 2, 6500), GoodsBilled("CASE", 10, 350)),
    freight=1000,
    tax=500,
)
"""130.00 of frames and 35.00 of cases, with 15.00 of freight and tax over both: 11.82 and 3.18."""


@pytest.fixture
def supplied(desk: Desk) -> Desk:
    """Give the desk with two suppliers and one job sold."""
    add_supplier(desk, Supplier(TOLLGATE, account="P-118"))
    add_supplier(desk, Supplier(LAB))
    record_sale(desk, ordered(DISTANCE))
    return desk


def close(desk: Desk, month: Month) -> None:
    """Close a month, whatever is in it."""
    with desk.writing() as work:
        work.periods.add(PeriodEvent(month, PeriodDeed.CLOSED, "", (), work.journal.head()))


def balance(desk: Desk, account: Account) -> int:
    """Add up what is posted to an account."""
    with desk.reading() as work:
        return sum(row.amount for row in rows(work, "journal_posting", {"account": account.title}))


@on_both
def test_a_bill_lands_its_freight_and_tax_on_its_goods(supplied: Desk) -> None:
    """Each line carries its share in proportion, the goods stand on the shelf at that cost, and all of it is owed."""
    account = record_bill(supplied, GOODS)
    # 15.00 × 130 / 165 = 11.818…, 15.00 × 35 / 165 = 3.1818…: largest remainder gives 11.82 and 3.18.
    assert [(line.words, line.amount, line.landed) for line in account.bill.lines] == [
        ("2 WREN-52", 13000, 14182),
        ("10 CASE", 3500, 3818),
        ("freight", 1000, 0),
        ("sales tax", 500, 0),
    ]
    assert postings(supplied)[-2:] == [("bill 1", "inventory", 18000), ("bill 1", "bills to pay", -18000)]
    assert account.balance == 18000
    assert FRAMES.called(supplied, WREN.code)[1] == 5
    with supplied.reading() as work:
        assert [(each.item_code, each.quantity, each.cost) for each in work.bills.goods(1)] == [
            ("WREN-52", 2, 14182),
            ("CASE", 10, 3818),
        ]


@on_both
def test_a_bill_of_everything_posts_each_part_where_it_belongs(supplied: Desk) -> None:
    """Goods to inventory, a job to the jobs in work, the rest to its expense; freight is carried by goods and job."""
    request = BillRequest(
        LAB,
        goods=(GoodsBilled(CASE.code, 3, amount=1000),),
        jobs=(JobBilled(1, 3000, "single vision, surfaced"),),
        expenses=(ExpenseBilled(ExpenseCategory.SUPPLIES, 700, "edging pads"),),
        freight=400,
    )
    account = record_bill(supplied, request)
    assert postings(supplied)[-4:] == [
        ("bill 1", "inventory", 1100),
        ("bill 1", "jobs in work", 3300),
        ("bill 1", "supplies", 700),
        ("bill 1", "bills to pay", -5100),
    ]
    assert bill_account(supplied, 1) == account


def test_a_bill_may_be_paid_at_once(supplied: Desk) -> None:
    """The payment is an entry of its own, on the bill's day."""
    account = record_bill(supplied, replace(GOODS, paid=SpendMethod.CARD, reference="4242"))
    assert postings(supplied)[-2:] == [
        ("bill payment 1", "bills to pay", 18000),
        ("bill payment 1", "credit card owed", -18000),
    ]
    assert (account.balance, account.payments[0].reference) == (0, "4242")
    assert bills(supplied, open_only=True) == ()


@on_both
def test_a_bill_is_paid_in_parts(supplied: Desk) -> None:
    """Each payment goes out by its method, and lowers what is owed."""
    record_bill(supplied, GOODS)
    there = later(supplied, date(2026, 3, 20))
    pay_bill(there, 1, BillPaymentRequest(8000, SpendMethod.BANK, "1187"))
    assert [each.bill.number for each in bills(there, open_only=True)] == [1]
    account = pay_bill(there, 1, BillPaymentRequest(10000, SpendMethod.OWNER, day=date(2026, 3, 15)))
    assert (account.paid, account.balance) == (18000, 0)
    assert postings(there)[-4:] == [
        ("bill payment 1", "bills to pay", 8000),
        ("bill payment 1", "bank", -8000),
        ("bill payment 2", "bills to pay", 10000),
        ("bill payment 2", "owner contributions", -10000),
    ]
    assert bills(there, open_only=True) == ()


@pytest.mark.parametrize(
    ("payment", "words"),
    [
        (BillPaymentRequest(18001, SpendMethod.BANK), "payment is 180.01; only 180.00 is still owed. Pay 180.00 or"),
        (BillPaymentRequest(0, SpendMethod.BANK), "payment is 0.00; it must be more than 0"),
        (BillPaymentRequest(-5, SpendMethod.BANK), "payment is -0.05; it must be more than 0"),
        (BillPaymentRequest(5, SpendMethod.BANK, day=date(2026, 3, 1)), "the bill is of 2026-03-02"),
        (BillPaymentRequest(5, SpendMethod.BANK, day=date(2026, 3, 3)), "it lies after today"),
        (BillPaymentRequest(5, SpendMethod.CARD, "4000123412341234"), "at most 4 digits are kept"),
    ],
)
def test_a_payment_that_cannot_be_is_refused(supplied: Desk, payment: BillPaymentRequest, words: str) -> None:
    """Nothing is stored or posted."""
    record_bill(supplied, GOODS)
    before = everything(supplied)
    with pytest.raises(RefusedError) as refused:
        pay_bill(supplied, 1, payment)
    assert words in str(refused.value)
    assert everything(supplied) == before


def test_a_bill_paid_in_full_takes_no_more(supplied: Desk) -> None:
    """The sentence says so, and names the bill."""
    record_bill(supplied, replace(GOODS, paid=SpendMethod.BANK))
    with pytest.raises(RefusedError, match=r"nothing is owed any more\. Bill 1 is paid in full"):
        pay_bill(supplied, 1, BillPaymentRequest(1, SpendMethod.BANK))


def test_an_unknown_bill_is_named(supplied: Desk) -> None:
    """Whoever types a wrong number is told which."""
    with pytest.raises(NumberUnknownError, match="there is no bill 7"):
        pay_bill(supplied, 7, BillPaymentRequest(1, SpendMethod.BANK))


@pytest.mark.parametrize(
    ("request_", "error", "words"),
    [
        (replace(GOODS, supplier="Nobody"), UnknownNameError, "no supplier called 'Nobody'"),
        (replace(GOODS, goods=(GoodsBilled("WREN", 1, 100),)), UnknownNameError, "Did you mean WREN-52"),
        (replace(GOODS, jobs=(JobBilled(99, 100),)), NumberUnknownError, "there is no job 99"),
        (replace(GOODS, jobs=(JobBilled(1, 0),)), RefusedError, "amount of job 1 is 0.00; it must be more than 0"),
        (replace(GOODS, jobs=(JobBilled(1, -5),)), RefusedError, "amount of job 1 is -0.05; it must be more than 0"),
        (replace(GOODS, goods=(GoodsBilled(CASE.code, 0, 5),)), RefusedError, "quantity of CASE is 0; it must lie"),
        (replace(GOODS, goods=(GoodsBilled(CASE.code, -1, 5),)), RefusedError, "is -0.05; it may not be negative"),
        (replace(GOODS, day=date(2026, 3, 3)), RefusedError, "bill's day is 2026-03-03; it lies after today"),
        (replace(GOODS, due_on=date(2026, 3, 1)), RefusedError, "due day is 2026-03-01; the bill is of 2026-03-02"),
        (BillRequest(TOLLGATE, freight=900), RefusedError, "freight is 9.00; the bill has no goods and no job"),
        (BillRequest(TOLLGATE), RefusedError, "bill is empty"),
        (replace(GOODS, invoice="x" * 61), RefusedError, "invoice number is 61 characters long"),
    ],
)
def test_a_bill_that_cannot_be_is_refused(
    supplied: Desk, request_: BillRequest, error: type[Exception], words: str
) -> None:
    """Nothing is stored, whether it is asked first or recorded at once."""
    before = everything(supplied)
    for deed in (plan_bill, record_bill):
        with pytest.raises(error) as refused:
            deed(supplied, request_)
        assert words in str(refused.value)
    assert everything(supplied) == before


def test_freight_below_nothing_is_refused() -> None:
    """What a supplier takes off is no freight."""
    with pytest.raises(RefusedError, match=r"freight is -0\.01; it may not be negative"):
        BillRequest(TOLLGATE, freight=-1)
    with pytest.raises(RefusedError, match=r"tax is -0\.01; it may not be negative"):
        BillRequest(TOLLGATE, tax=-1)


def test_a_line_has_one_price() -> None:
    """That of one, or that of the whole line."""
    with pytest.raises(RefusedError, match="price of CASE is not given"):
        GoodsBilled("CASE", 1)
    with pytest.raises(RefusedError, match="price of CASE is given twice"):
        GoodsBilled("CASE", 1, 100, 100)


def test_a_customer_s_own_frame_is_not_bought(supplied: Desk) -> None:
    """It was never the shop's."""
    add_frame(supplied, replace(LARK, code="OWN-1"), owner=CUSTOMER)
    with pytest.raises(RefusedError, match="it belongs to customer 1"):
        record_bill(supplied, BillRequest(TOLLGATE, goods=(GoodsBilled("OWN-1", 1, 100),)))


def test_a_code_of_a_frame_and_an_accessory_has_to_say_which(supplied: Desk) -> None:
    """A guess could put the goods on the wrong shelf."""
    ACCESSORIES.add(supplied, Accessory(WREN.code, "Pouch", price=500, cost=100))
    request = BillRequest(TOLLGATE, goods=(GoodsBilled(WREN.code, 1, 100),))
    with pytest.raises(RefusedError, match="a frame and an accessory are both called so"):
        record_bill(supplied, request)
    named = GoodsBilled(WREN.code, 1, 100, kind=StockedKind.ACCESSORY)
    assert record_bill(supplied, replace(request, goods=(named,))).bill.lines[0].item_kind is StockedKind.ACCESSORY


def test_the_same_invoice_twice_is_refused_by_the_earlier_bill_s_number(supplied: Desk) -> None:
    """However it is spelt; another supplier may number as he likes, and a bill without a number has none to repeat."""
    record_bill(supplied, GOODS)
    with pytest.raises(RefusedError, match="invoice is 'tg-4471'; bill 1 of Tollgate Frames has it already"):
        record_bill(supplied, replace(GOODS, invoice=" tg-4471 "))
    assert record_bill(supplied, replace(GOODS, supplier=LAB)).bill.number == 2
    for number in (3, 4):
        assert record_bill(supplied, replace(GOODS, invoice="")).bill.number == number


@on_both
def test_a_closed_month_takes_no_bill_and_no_payment(supplied: Desk) -> None:
    """The month is named, and nothing is stored, not even the file."""
    record_bill(supplied, GOODS)
    close(supplied, Month(2026, 3))
    there = later(supplied, date(2026, 4, 2))
    before = everything(there)
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        record_bill(there, replace(GOODS, invoice="", day=DAY))
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        pay_bill(there, 1, BillPaymentRequest(100, SpendMethod.BANK, day=date(2026, 3, 30)))
    assert everything(there) == before
    assert pay_bill(there, 1, BillPaymentRequest(100, SpendMethod.BANK)).paid == 100


def test_asking_first_stores_nothing(supplied: Desk) -> None:
    """The plan shows what would land where."""
    before = everything(supplied)
    plan = plan_bill(supplied, replace(GOODS, paid=SpendMethod.BANK))
    assert [line.landed for line in plan.bill.lines] == [14182, 3818, 0, 0]
    assert (plan.account.balance, plan.jobs) == (0, {})
    assert everything(supplied) == before


def test_goods_may_be_free_of_charge(supplied: Desk) -> None:
    """One more for ten bought: it stands on the shelf, and nothing is owed or posted for it."""
    count = len(postings(supplied))
    account = record_bill(supplied, BillRequest(TOLLGATE, goods=(GoodsBilled(CASE.code, 1, 0),)))
    assert (account.balance, len(postings(supplied))) == (0, count)


def test_goods_from_nobody_in_particular_are_a_bill_too(supplied: Desk) -> None:
    """One supplier stands for all who are not named, and an invoice number needs a name."""
    goods = GoodsBilled(CASE.code, 2, 400, kind=StockedKind.ACCESSORY)
    for _ in range(2):
        with supplied.writing() as work:
            account = receive_one(work, supplied, goods, paid=SpendMethod.BANK)
        assert (account.supplier, account.balance) == ("not named", 0)
    assert [each.name for each in suppliers(supplied)] == [LAB, "not named", TOLLGATE]
    with supplied.writing() as work, pytest.raises(RefusedError, match="an invoice number belongs to a supplier"):
        receive_one(work, supplied, goods, invoice="7")


def test_the_bill_s_file_is_kept_and_comes_back_byte_for_byte(supplied: Desk, tmp_path: Path) -> None:
    """Under a name that leads nowhere else; a file changed from outside is noticed."""
    scan = tmp_path / "scan; of bill.pdf"
    scan.write_bytes(b"%PDF-1.4 an invented scan")
    account = record_bill(supplied, replace(GOODS, file=str(scan)))
    out = tmp_path / "out"
    out.mkdir()
    file = write_kept_file(supplied, 1, out)
    assert (file.name, file.read_bytes()) == ("bill-1-scan-of-bill.pdf", scan.read_bytes())
    assert kept_name(supplied, account) == "scan; of bill.pdf"
    forge(supplied, "UPDATE kept_body SET body = CAST('something else' AS BLOB)")
    with pytest.raises(FileChangedError, match="it is not what was kept"):
        write_kept_file(supplied, 1, out)


def test_a_bill_without_a_file_has_none_to_write(supplied: Desk, tmp_path: Path) -> None:
    """The sentence says how one is kept."""
    account = record_bill(supplied, GOODS)
    assert kept_name(supplied, account) == ""
    with pytest.raises(RefusedError, match=r"no file was kept of it\. A file is kept with --file"):
        write_kept_file(supplied, 1, tmp_path)


def test_a_supplier_is_changed_and_keeps_its_bills(supplied: Desk) -> None:
    """What is owed to it stands on its card."""
    record_bill(supplied, GOODS)
    change_supplier(supplied, TOLLGATE, lambda found: replace(found, name="Tollgate Eyewear", phone="555-0188"))
    card = supplier_card(supplied, "tollgate")
    assert (card.supplier.name, card.supplier.account, card.owed) == ("Tollgate Eyewear", "P-118", 18000)
    assert bill_account(supplied, 1).supplier == "Tollgate Eyewear"


AMOUNTS = st.integers(1, 50_000)
BOUGHT = st.builds(GoodsBilled, st.sampled_from(["WREN-52", "CASE"]), st.integers(1, 5), AMOUNTS)
LENSES = st.builds(JobBilled, st.just(1), AMOUNTS)
SPENT = st.builds(ExpenseBilled, st.sampled_from(ExpenseCategory), AMOUNTS)
BILLS = st.builds(
    BillRequest,
    supplier=st.sampled_from([TOLLGATE, LAB]),
    goods=st.lists(BOUGHT, max_size=3).map(tuple),
    jobs=st.lists(LENSES, min_size=1, max_size=2).map(tuple),
    expenses=st.lists(SPENT, max_size=2).map(tuple),
    freight=st.integers(0, 5_000),
    tax=st.integers(0, 5_000),
    paid=st.sampled_from([None, *SpendMethod]),
)


@on_both
@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(BILLS, min_size=1, max_size=3))
def test_whatever_is_billed_the_books_agree_with_the_bills(supplied: Desk, asked: list[BillRequest]) -> None:
    """Landed costs come to each total, what is owed is the sum of the open bills, and inventory is what moved."""
    for request in asked:
        account = record_bill(supplied, request, frozenset({"CASH-SHORT", QUANTITY_UNUSUAL, COST_UNUSUAL}))
        assert sum(line.landed for line in account.bill.lines) == account.bill.total
    assert prove_books(supplied).failed == ()
    owed = sum(account.balance for account in bills(supplied, open_only=True))
    assert owed == -balance(supplied, Account.ACCOUNTS_PAYABLE)
    with supplied.reading() as work:
        moved = sum(row.cost for row in rows(work, "stock_movement"))
        in_work = sum(costs.in_work for costs in work.job_costs.in_work())
    assert moved == balance(supplied, Account.INVENTORY)
    assert in_work == balance(supplied, Account.WORK_IN_PROGRESS)


def test_cash_that_the_books_do_not_know_of_is_asked_about(supplied: Desk) -> None:
    """A bill is paid in cash of which none lies in the drawer: by a yes, which is kept."""
    paid = replace(GOODS, paid=SpendMethod.CASH)
    assert [each.code for each in plan_bill(supplied, paid).findings] == ["CASH-SHORT"]
    with pytest.raises(FindingsRefusedError, match="CASH-SHORT"):
        record_bill(supplied, paid)
    record_bill(supplied, paid, frozenset({"CASH-SHORT"}))
    assert ("tester", "accepted a warning", "bill 1 CASH-SHORT") in notes(supplied)
    record_bill(supplied, replace(GOODS, invoice=""))
    request = BillPaymentRequest(100, SpendMethod.CASH)
    assert [each.code for each in plan_bill_payment(supplied, 2, request).findings] == ["CASH-SHORT"]
    pay_bill(supplied, 2, request, frozenset({"CASH-SHORT"}))
    assert ("tester", "accepted a warning", "bill payment 2 CASH-SHORT") in notes(supplied)


@on_both
def test_open_bills_are_those_with_a_balance_either_way(desk: Desk) -> None:
    """Paid, voided and set against one another they are open no more; what a supplier owes is open too."""
    for name in (TOLLGATE, LAB):
        add_supplier(desk, Supplier(name))
    for number in range(1, 7):
        record_bill(desk, replace(GOODS, supplier=LAB if number == 6 else TOLLGATE, invoice=f"TG-{number}"))
    pay_bill(desk, 1, BillPaymentRequest(18000, SpendMethod.BANK))
    pay_bill(desk, 2, BillPaymentRequest(5000, SpendMethod.BANK))
    pay_bill(desk, 3, BillPaymentRequest(18000, SpendMethod.BANK))
    change_bill(desk, 3, CreditRequest(CreditKind.ALLOWANCE, 3000, "scuffed"))
    change_bill(desk, 3, CreditRequest(CreditKind.SET_AGAINST, 1000, other_bill=4))
    void_document(desk, Document(DocumentKind.BILL, 5), "another's")
    every = bills(desk)
    found = bills(desk, open_only=True)
    assert found == tuple(each for each in every if each.balance)
    assert {each.bill.number: each.balance for each in found} == {6: 18000, 4: 17000, 3: -2000, 2: 13000}
    assert [each.bill.number for each in bills(desk, LAB, open_only=True)] == [6]
    assert newest_bills(desk, 2) == every[:2]
    assert [each.bill.number for each in newest_bills(desk, 2, TOLLGATE)] == [5, 4]
    assert [each.bill.number for each in supplier_card(desk, TOLLGATE).open_bills] == [4, 3, 2]
