"""What waits for the owner today, on both databases: each kind by what happened, and in which order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from shopledger.desk.backing_up import add_place, make_backup
from shopledger.desk.books.bank_matching import LineRequest, match_lines, record_line, unmatch
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import close_month
from shopledger.desk.books.statements import ImportRequest, import_statement, keep_account
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_inspection, record_remake
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, record_arrival
from shopledger.desk.orders import cancel_order, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.people import change_wearer
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.desk.today import today
from shopledger.ledger.books.bank_matches import LineMeaning
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest, ExpenseBilled
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.books.statements import BankAccount
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.inspections import Checked, Scrap
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.ledger.today import MOST, Urgency, Waiting, Waits
from shopledger.store.pending import Pending, forget, pending
from tests.desk.books import everything, notes, on_both
from tests.desk.family import CHILDS, DISTANCE, later, ordered, read_as_ordered
from tests.shelf import CASE, CUSTOMER, LARK
from tests.statements import ofx, transaction

LAB = "Brightwater Lens Laboratory"
DUE = date(2026, 3, 9)


@pytest.fixture(autouse=True)
def _nothing_known() -> Iterator[None]:
    """Let each test begin like a process that never looked."""
    forget()
    yield
    forget()


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a pair in the traced frame and a child's in one that was never traced, unpaid; there is a lab."""
    record_sale(desk, ordered(DISTANCE, CHILDS))
    with desk.writing() as work:
        work.suppliers.add(Supplier(LAB, "A-77", "555-0164"))
    return desk


def waiting(desk: Desk, *kinds: Waits) -> list[tuple[Waits, str]]:
    """Give what waits of some kinds, as kind and what it is about, the most urgent first."""
    return [(row.kind, row.about.said) for row in today(desk).rows if row.kind in kinds]


def the(desk: Desk, kind: Waits) -> Waiting:
    """Give the one thing of a kind that waits."""
    (row,) = (row for row in today(desk).rows if row.kind is kind)
    return row


AT_THE_BENCH = (Waits.LENSES_LATE, Waits.MAKE_AGAIN, Waits.CUT, Waits.TRACE, Waits.ORDER_LENSES)


@on_both
def test_a_job_waits_for_what_comes_next(sold: Desk, tmp_path: Path) -> None:
    """To be traced, for lenses to order, for late lenses, to be cut; while the lab has time, for nobody."""
    assert waiting(sold, *AT_THE_BENCH) == [(Waits.TRACE, "job 2"), (Waits.ORDER_LENSES, "job 1")]
    place_lens_order(sold, LensOrderRequest(1, LAB, expected_on=DUE), tmp_path)
    assert waiting(later(sold, DUE), *AT_THE_BENCH) == [(Waits.TRACE, "job 2")]
    late = the(later(sold, DUE + timedelta(2)), Waits.LENSES_LATE)
    assert late.sentence == "Job 1, O.F.: its lenses should have come 2 days ago; ask the lab."
    assert (late.until, late.urgency(DUE + timedelta(2))) == (DUE, Urgency.OVERDUE)
    record_arrival(later(sold, DUE), 1)
    assert the(later(sold, DUE + timedelta(2)), Waits.CUT).sentence == (
        "Job 1, O.F.: its lenses came 2 days ago; cut and inspect."
    )


@on_both
def test_an_order_waits_to_be_sent_once_all_its_jobs_have_passed(sold: Desk) -> None:
    """Not with the first of two; after it left nothing of it is at the bench."""
    record_inspection(sold, read_as_ordered(sold, 1))
    assert waiting(sold, *AT_THE_BENCH, Waits.SEND) == [(Waits.TRACE, "job 2")]
    record_inspection(sold, read_as_ordered(sold, 2))
    assert waiting(sold, *AT_THE_BENCH, Waits.SEND) == [(Waits.SEND, "order 1")]
    assert the(sold, Waits.SEND).who == CUSTOMER
    ship_order(sold, 1, "post")
    assert waiting(sold, *AT_THE_BENCH, Waits.SEND) == []


@on_both
def test_a_failed_job_is_to_be_made_again(sold: Desk) -> None:
    """First by a remake that is written down, then by lenses that are ordered anew."""
    record_inspection(sold, read_as_ordered(sold, 1, off=(Checked.HINGES,)))
    assert the(sold, Waits.MAKE_AGAIN).about.said == "job 1"
    record_remake(sold, 1, "a scratch", 0, Scrap.BOTH)
    assert waiting(sold, *AT_THE_BENCH) == [(Waits.TRACE, "job 2"), (Waits.ORDER_LENSES, "job 1")]


@on_both
def test_goods_and_parcels_that_came_back_wait_to_be_sent(desk: Desk) -> None:
    """Goods beside no glasses are ready at once; a parcel that came back is named by its own number."""
    record_sale(desk, OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code),)))
    assert waiting(desk, Waits.SEND, Waits.SEND_AGAIN) == [(Waits.SEND, "order 1")]
    ship_order(desk, 1, "post")
    assert waiting(desk, Waits.SEND, Waits.SEND_AGAIN) == []
    parcel_back(desk, 1, "nobody there")
    assert waiting(desk, Waits.SEND, Waits.SEND_AGAIN) == [(Waits.SEND_AGAIN, "parcel 1")]
    send_again(desk, 1, "post")
    assert waiting(desk, Waits.SEND, Waits.SEND_AGAIN) == []


@on_both
def test_what_is_not_paid_waits_apart_by_whether_it_left(sold: Desk) -> None:
    """With what is owed by now; paid in full or cancelled it waits no more."""
    whole = the(sold, Waits.UNPAID)
    assert whole.sentence == "Order 1: 300.00 is not paid."
    take_payment(sold, 1, PaymentRequest(10_000, Method.CASH))
    for job in (1, 2):
        record_inspection(sold, read_as_ordered(sold, job))
    ship_order(sold, 1, "post")
    rest = the(later(sold, DUE), Waits.UNPAID_SENT)
    assert rest.sentence == "Order 1 was sent 7 days ago, and 200.00 is not paid."
    assert waiting(sold, Waits.UNPAID) == []
    take_payment(sold, 1, PaymentRequest(20_000, Method.CASH))
    record_sale(sold, ordered(DISTANCE))
    cancel_order(sold, 2, "changed her mind")
    assert waiting(sold, Waits.UNPAID, Waits.UNPAID_SENT, *AT_THE_BENCH) == []


@on_both
def test_a_receipt_waits_as_the_plans_last_day_comes_near(desk: Desk, tmp_path: Path) -> None:
    """From thirty days before it, until it, and only where none was issued; where no limit is told, never."""
    record_sale(desk, ordered(DISTANCE))
    record_inspection(desk, read_as_ordered(desk, 1))
    ship_order(desk, 1, "post")
    near, last = desk.today + timedelta(60), desk.today + timedelta(90)
    change_wearer(desk, CUSTOMER, CUSTOMER, lambda wearer: replace(wearer, claim_within_days=90))
    assert waiting(later(desk, near), Waits.RECEIPT) == []
    take_payment(desk, 1, PaymentRequest(18_000, Method.CASH))
    assert waiting(later(desk, near - timedelta(1)), Waits.RECEIPT) == []
    row = the(later(desk, near), Waits.RECEIPT)
    assert (row.about.said, row.until, row.who) == ("order 1", last, CUSTOMER)
    assert the(later(desk, last), Waits.RECEIPT).until == last
    assert waiting(later(desk, last + timedelta(1)), Waits.RECEIPT) == []
    issue_receipt(later(desk, near), 1, CUSTOMER, tmp_path)
    assert waiting(later(desk, near), Waits.RECEIPT) == []


@on_both
def test_papers_drafts_and_shapes_wait(desk: Desk) -> None:
    """Each by its number or code; a draft that became an order waits no more."""
    with desk.writing() as work:
        work.waiting.add(WaitingPaper(IssuedPaper.LENS_ORDER, 4))
        draft = work.drafts.add(1, desk.today, "new lenses", "body")
    assert waiting(desk, Waits.PAPER, Waits.DRAFT, Waits.FRAME_UNTRACED) == [
        (Waits.PAPER, "paper lens-order 4"),
        (Waits.DRAFT, f"draft {draft}"),
        (Waits.FRAME_UNTRACED, f"frame {LARK.code}"),
    ]
    account = record_sale(desk, ordered(DISTANCE))
    with desk.writing() as work:
        work.drafts.mark_recorded(draft, account.order.number or 0)
    assert waiting(desk, Waits.DRAFT) == []


@on_both
def test_a_bill_waits_as_its_day_comes_near(desk: Desk) -> None:
    """By the day it says, else thirty days after its own; paid or voided it waits no more."""
    with desk.writing() as work:
        work.suppliers.add(Supplier(LAB))
    rent = (ExpenseBilled(ExpenseCategory.RENT, 85_000),)
    record_bill(desk, BillRequest(LAB, due_on=date(2026, 3, 20), expenses=rent))
    record_bill(desk, BillRequest(LAB, invoice="B", expenses=rent), frozenset({"BILL-TWICE"}))
    assert waiting(later(desk, date(2026, 3, 12)), Waits.BILL) == []
    first = the(later(desk, date(2026, 3, 13)), Waits.BILL)
    assert (first.sentence, first.who) == ("Bill 1: 850.00 is due in 7 days.", LAB)
    assert the(later(desk, date(2026, 3, 21)), Waits.BILL).sentence == "Bill 1: 850.00 was due 1 day ago."
    both = later(desk, date(2026, 4, 1))
    assert waiting(both, Waits.BILL) == [(Waits.BILL, "bill 1"), (Waits.BILL, "bill 2")]
    pay_bill(both, 1, BillPaymentRequest(35_000, SpendMethod.BANK))
    assert today(both).rows[0].sentence == "Bill 1: 500.00 was due 12 days ago."
    pay_bill(both, 1, BillPaymentRequest(50_000, SpendMethod.BANK))
    void_document(both, Document(DocumentKind.BILL, 2), "typed twice")
    assert waiting(both, Waits.BILL) == []


@on_both
def test_the_banks_lines_wait_until_they_are_entries(desk: Desk, tmp_path: Path) -> None:
    """One taken apart again waits again; what was before the books began does not."""
    keep_account(desk, BankAccount("Checking", "5678"))
    record_move(desk, MoneyMove(date(2026, 3, 2), MoveKind.OPENING, CashAccount.BANK, 100_000))
    there = later(desk, date(2026, 4, 6))
    lines = (transaction("20260301", "-5.00", "a"), transaction("20260310", "-12.00", "b", "SERVICE FEE"))
    file = tmp_path / "march.ofx"
    file.write_text(ofx(*lines, first="20260301", last="20260331", balance="988.00", balance_day="20260331"))
    import_statement(there, ImportRequest(file))
    assert waiting(there, Waits.BANK_LINE) == [(Waits.BANK_LINE, "bank line 2")]
    record_line(there, LineRequest(2, LineMeaning.FEE))
    assert waiting(there, Waits.BANK_LINE) == []
    unmatch(there, 2)
    assert waiting(there, Waits.BANK_LINE) == [(Waits.BANK_LINE, "bank line 2")]
    match_lines(there)
    assert waiting(there, Waits.BANK_LINE) == []


@on_both
def test_a_month_that_is_over_waits_to_be_closed(desk: Desk) -> None:
    """The last that has entries, from the first day after it."""
    assert waiting(later(desk, date(2026, 3, 31)), Waits.MONTH) == []
    april = later(desk, date(2026, 6, 1))
    row = the(april, Waits.MONTH)
    assert (row.about.name, row.since, row.sentence) == (
        "2026-03",
        date(2026, 4, 1),
        "2026-03 is over and not closed yet.",
    )
    close_month(april, Month(2026, 3), frozenset({"GOODS-WITHOUT-COST", "CARD-OPEN", "UNTAXED", "NOT-COUNTED"}))
    assert waiting(april, Waits.MONTH) == []


def test_copies_wait_when_they_are_old(desk: Desk, tmp_path: Path) -> None:
    """The last one and the last outside the house apart; when they were made is said whether they are due or not."""
    there = later(desk, date(2026, 4, 20))
    assert [row.sentence for row in today(there).rows if row.kind is Waits.BACKUP] == [
        "No backup was ever made.",
        "No copy lies outside this computer.",
    ]
    add_place(there, tmp_path / "copies", away=False)
    make_backup(there)
    found = today(later(desk, date(2026, 4, 21)))
    assert [row.sentence for row in found.rows if row.kind is Waits.BACKUP] == ["No copy lies outside this computer."]
    assert (found.copies.copy, found.copies.away) == (date(2026, 4, 20), None)


@on_both
def test_a_look_leaves_no_trace(sold: Desk) -> None:
    """No note about anybody, nothing stored: it is the owner's own list of work."""
    before, said = everything(sold), notes(sold)
    assert today(sold).rows
    assert (everything(sold), notes(sold)) == (before, said)


def test_the_most_urgent_comes_first(sold: Desk, tmp_path: Path) -> None:
    """What had a day that has passed, then what somebody waits for, then what has time; of one kind the oldest."""
    place_lens_order(sold, LensOrderRequest(1, LAB, expected_on=DUE), tmp_path)
    there = later(sold, DUE + timedelta(1))
    found = today(there)
    assert [row.urgency(there.today) for row in found.rows] == sorted(
        (row.urgency(there.today) for row in found.rows), key=list(Urgency).index
    )
    assert [row.kind for row in found.rows][:3] == [Waits.LENSES_LATE, Waits.BACKUP, Waits.TRACE]
    record_sale(there, ordered(CHILDS))
    assert waiting(there, Waits.TRACE) == [(Waits.TRACE, "job 2"), (Waits.TRACE, "job 3")]


def test_of_very_many_only_some_are_shown(desk: Desk) -> None:
    """And how many more there are is said."""
    with desk.writing() as work:
        for _ in range(MOST + 3):
            work.drafts.add(1, desk.today, "new lenses", "body")
    (drafts,) = (each for each in today(desk).lists if each.kind is Waits.DRAFT)
    assert (len(drafts.rows), drafts.count, drafts.more) == (MOST, MOST + 3, 3)
    assert drafts.rows[0].about.name == "1"


def test_another_ledger_in_its_place_is_looked_at_anew(desk: Desk) -> None:
    """What a process knows of one chain is not believed of another at the same address, however long that is."""
    with desk.reading() as work:
        assert not pending(work.transaction, Pending.UNPAID)
    path = Path(desk.ledger.url.removeprefix("sqlite:///"))
    before = path.read_bytes()
    record_sale(desk, ordered(DISTANCE))
    assert waiting(desk, Waits.UNPAID) == [(Waits.UNPAID, "order 1")]
    desk.ledger.close()
    for each in path.parent.glob(f"{path.name}-*"):
        each.unlink()
    path.write_bytes(before)
    assert waiting(desk, Waits.UNPAID) == []
    record_sale(desk, ordered(CHILDS))
    record_sale(desk, ordered(DISTANCE))
    assert waiting(desk, Waits.UNPAID) == [(Waits.UNPAID, "order 1"), (Waits.UNPAID, "order 2")]
