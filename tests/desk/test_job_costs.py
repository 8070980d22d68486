"""Jobs in work: what their bills come to before and after they leave, with remakes, cancellations and margins."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.job_costs import margin_of_job, margin_of_order, newest_margins
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_remake
from shopledger.desk.orders import cancel_order, give_refund, ship_order
from shopledger.desk.people import add_supplier
from shopledger.desk.remaking import RemakeRequest, remake_job
from shopledger.desk.sales import record_sale
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.books.bill_requests import BillRequest, JobBilled
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import AccessoryRequest, Method, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.optics.measurements import Measurements
from tests.desk.books import on_both, postings
from tests.desk.family import DISTANCE, PROGRESSIVE, later, ordered
from tests.shelf import CASE, WREN

LAB = "Brightwater Lab"
FRAMES = "Tollgate Frames"
JOB_ACCOUNTS = (Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)


@pytest.fixture
def working(desk: Desk) -> Desk:
    """Sell two pairs in one order and a case beside them; a lab and a supplier of frames are known."""
    add_supplier(desk, Supplier(LAB))
    add_supplier(desk, Supplier(FRAMES))
    # Two frames at 180.00, a progressive at 260.00 with a coating at 129.95, a case at 12.00, shipping at 6.50.
    paid = (PaymentRequest(76845, Method.CASH),)
    sold = ordered(DISTANCE, PROGRESSIVE, accessories=(AccessoryRequest(CASE.code),), shipping=650, payments=paid)
    record_sale(desk, sold)
    return later(desk, date(2026, 3, 20))


def bill_job(desk: Desk, job: int, amount: int) -> int:
    """Record the lab's bill for one job; gives its number."""
    return record_bill(desk, BillRequest(LAB, jobs=(JobBilled(job, amount),))).bill.number or 0


MEASURED_ANEW = Measurements.from_monocular((31, 31), (29.5, 29.5), 19, 19)


def leave(desk: Desk) -> None:
    """Ship the order."""
    ship_order(desk, 1, "Parcel post", without_inspection="shown at the counter")


def standing(desk: Desk) -> tuple[int, ...]:
    """Give what lies in jobs in work, in lenses and lab work, and in scrap."""
    posted = postings(desk)
    return tuple(sum(amount for _, title, amount in posted if title == each.title) for each in JOB_ACCOUNTS)


@on_both
def test_lens_bills_wait_in_work_until_the_order_leaves(working: Desk) -> None:
    """The shipment moves them in its one entry; a bill that comes later goes where the others are."""
    bill_job(working, 1, 2500)
    bill_job(working, 2, 9000)
    assert standing(working) == (11500, 0, 0)
    leave(working)
    assert [each for each in postings(working) if each[0] == "parcel 1"][-2:] == [
        ("parcel 1", "lenses and lab work", 11500),
        ("parcel 1", "jobs in work", -11500),
    ]
    bill_job(working, 1, 700)
    assert standing(working) == (0, 12200, 0)
    with working.reading() as work:
        costs = work.job_costs.of(1)
    assert (costs.billed, costs.scrapped, costs.goods, costs.bills) == (3200, 0, WREN.cost, (1, 3))
    assert prove_books(working).failed == ()


@on_both
def test_a_remake_moves_its_cost_to_scrap(working: Desk) -> None:
    """Out of the jobs in work before the order leaves, out of the lenses after; the bill for it may come later."""
    bill_job(working, 1, 2500)
    record_remake(working, 1, "scratched in edging", 2000)
    assert standing(working) == (500, 0, 2000)
    assert postings(working)[-2:] == [("remake 1", "scrap and remakes", 2000), ("remake 1", "jobs in work", -2000)]
    leave(working)
    assert standing(working) == (0, 500, 2000)
    assert prove_books(working).failed == ()


@on_both
def test_what_is_made_again_after_it_left_is_scrap_where_the_shop_bears_it(working: Desk) -> None:
    """In work until it leaves; through the customer's wish it is lenses like the first."""
    bill_job(working, 1, 2500)
    bill_job(working, 2, 9000)
    leave(working)
    for job, cause in ((1, RemakeCause.MAKER), (2, RemakeCause.CUSTOMER)):
        remake_job(working, RemakeRequest(job, cause, "came back"))
    bill_job(working, 3, 2600)
    bill_job(working, 4, 9100)
    assert standing(working) == (11700, 11500, 0)
    with working.reading() as work:
        assert [costs.job_number for costs in work.job_costs.in_work()] == [3, 4]
    leave(working)
    assert standing(working) == (0, 20600, 2600)
    bill_job(working, 3, 100)
    assert standing(working) == (0, 20600, 2700)
    assert prove_books(working).failed == ()


@on_both
def test_lenses_that_nobody_wears_are_scrap_and_those_in_their_place_are_not(working: Desk) -> None:
    """A job made again before anything left: what the first one cost goes with the one that leaves."""
    bill_job(working, 1, 2500)
    remake_job(working, RemakeRequest(1, RemakeCause.SHOP, "wrong PD", measurements=MEASURED_ANEW))
    bill_job(working, 3, 2600)
    assert standing(working) == (5100, 0, 0)
    leave(working)
    assert standing(working) == (0, 2600, 2500)
    bill_job(working, 1, 40)
    assert standing(working) == (0, 2600, 2540)
    assert prove_books(working).failed == ()


def test_a_remake_without_cost_posts_nothing(working: Desk) -> None:
    """The lab makes it again for nothing."""
    before = postings(working)
    record_remake(working, 1, "the lab's own fault", 0)
    assert postings(working) == before


@on_both
def test_a_cancelled_order_s_jobs_are_scrap(working: Desk) -> None:
    """Nobody will wear the lenses: what was billed, and what is billed later, is scrap."""
    bill_job(working, 1, 2500)
    record_remake(working, 1, "scratched", 1000)
    cancel_order(working, 1, "changed her mind")
    assert standing(working) == (0, 0, 2500)
    assert ("cancellation of order 1", "jobs in work", -1500) in postings(working)
    bill_job(working, 2, 9000)
    assert standing(working) == (0, 0, 11500)
    assert prove_books(working).failed == ()


@on_both
def test_what_lies_in_work_is_explained_job_by_job(working: Desk) -> None:
    """The account's balance is the sum of the jobs that did not leave."""
    bill_job(working, 1, 2500)
    bill_job(working, 2, 9000)
    record_remake(working, 2, "scratched", 3000)
    with working.reading() as work:
        waiting = [(costs.job_number, costs.in_work) for costs in work.job_costs.in_work()]
    assert waiting == [(1, 2500), (2, 6000)]
    assert standing(working)[0] == 8500
    leave(working)
    with working.reading() as work:
        assert work.job_costs.in_work() == ()


@on_both
def test_jobs_shipped_without_a_bill_are_found_by_month(working: Desk) -> None:
    """The month they left in; a bill that comes, even later, takes a job off the list."""
    bill_job(working, 1, 2500)
    leave(working)
    with working.reading() as work:
        found = work.bills.jobs_without_bill(Month(2026, 3))
        assert [(each.job_number, each.order_number) for each in found] == [(2, 1)]
        assert work.bills.jobs_without_bill(Month(2026, 4)) == ()
    bill_job(later(working, date(2026, 4, 3)), 2, 9000)
    with working.reading() as work:
        assert work.bills.jobs_without_bill(Month(2026, 3)) == ()


@on_both
def test_a_job_s_margin_is_its_charge_less_frame_and_lenses(working: Desk) -> None:
    """Refunds lower the charge; what was scrapped is among the lenses; shipping and tax are left out."""
    bill_job(working, 1, 2500)
    record_remake(working, 1, "scratched", 1000)
    leave(working)
    # Frame 180.00 with lenses included; 180.00 - 62.00 - 25.00 = 93.00, which is 51.666… % of 180.00.
    found = margin_of_job(working, 1)
    assert (found.margin.net, found.margin.goods, found.margin.lenses) == (18000, 6200, 2500)
    assert (found.margin.amount, found.margin.tenths, found.scrapped, found.marks) == (9300, 517, 1000, ())
    give_refund(working, 1, RefundRequest(Method.CASH, "too small", (RefundedLine(1, 5000),)))
    # 130.00 - 62.00 - 25.00 = 43.00, which is 33.07… % of 130.00.
    assert margin_of_job(working, 1).margin.amount == 4300
    assert margin_of_job(working, 1).margin.tenths == 331


def test_goods_that_came_back_cost_the_job_nothing(working: Desk) -> None:
    """The frame is on the shelf again."""
    leave(working)
    give_refund(working, 1, RefundRequest(Method.CASH, "broke", (RefundedLine(1, None, 1),)))
    found = margin_of_job(working, 1).margin
    assert (found.net, found.goods, found.tenths) == (0, 0, None)


def test_an_order_s_margin_is_the_sum_of_its_jobs_and_other_goods(working: Desk) -> None:
    """Each job says what its figures lack."""
    bill_job(working, 1, 2500)
    before = margin_of_order(working, 1)
    assert [job.marks for job in before.jobs] == [("not shipped yet",), ("not shipped yet", "no lens bill yet")]
    leave(working)
    found = margin_of_order(working, 1)
    assert [job.marks for job in found.jobs] == [(), ("no lens bill yet",)]
    # The case: 12.00 - 4.00. The progressive pair: 180.00 + 260.00 + 129.95 - 62.00, its lenses not billed yet.
    assert (found.others.amount, found.jobs[1].margin.amount) == (800, 50795)
    assert found.whole.amount == 800 + 50795 + 9300 + 0
    assert [job.job_number for job in newest_margins(working)] == [2, 1]
    assert [job.job_number for job in newest_margins(working, 1)] == [2]


def test_a_cancelled_job_brings_nothing(working: Desk) -> None:
    """What was billed for it stands against nothing."""
    bill_job(working, 1, 2500)
    cancel_order(working, 1, "changed her mind")
    found = margin_of_job(working, 1)
    assert (found.margin.amount, found.marks) == (-2500, ("cancelled",))
