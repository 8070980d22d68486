"""Jobs made again as jobs of their own: after they left, or otherwise than before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.job_costs import margin_of_order
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import job_needs, record_inspection, record_remake
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import LensOrderRequest, plan_lens_order
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order
from shopledger.desk.papers import print_of_order
from shopledger.desk.parcels import parcel_back
from shopledger.desk.people import add_supplier
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.remaking import RemakeRequest, plan_remake, remake_job
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.books.bill_requests import BillRequest, JobBilled
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Making, Method, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.shipping import served_on
from shopledger.ledger.stages import Stage
from shopledger.ledger.stock import StockedKind
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.sides import Side
from tests.desk.books import everything, on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, MEASURED, inspected, later, ordered, prescribe, read_as_ordered
from tests.shelf import CUSTOMER, LARK, THIN, WREN

pytestmark = pytest.mark.slow

LEFT, DAY, AGAIN = date(2026, 3, 9), date(2026, 3, 16), date(2026, 3, 20)
ASKED = RemakeRequest(1, RemakeCause.MAKER, "the coating peels", Side.LEFT)


@pytest.fixture
def sent(desk: Desk) -> Desk:
    """Sell a distance pair and a child's pair, bill both jobs, and send them; gives the desk a week later."""
    record_sale(desk, ordered(DISTANCE, CHILDS, payments=(PaymentRequest(30_000, Method.CARD, "4242"),)))
    add_supplier(desk, Supplier("Thistledown"))
    record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(1, 2_500), JobBilled(2, 3_100))))
    inspected(desk)
    ship_order(later(desk, LEFT), 1, "post")
    return later(desk, DAY)


def frames(desk: Desk, code: str) -> tuple[int, int]:
    """Give how many frames are on hand and how many of them are reserved."""
    with desk.reading() as work:
        level = work.stock.level(StockedKind.FRAME, code)
    return level.on_hand, level.reserved


def proven(desk: Desk) -> bool:
    """Tell whether the books prove themselves."""
    return [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []


@on_both
def test_a_job_that_left_is_made_again_for_one_lens(sent: Desk, tmp_path: Path) -> None:
    """It stands on the board, orders one lens, is inspected, leaves by itself, and its cost is in the margin."""
    before = order_account(sent, 1)
    plan = plan_remake(sent, ASKED)
    assert (plan.pair.job_number, order_account(sent, 1)) == (None, before)
    job = remake_job(sent, ASKED).pair
    assert job.job_number == 3
    assert job.again == Again(1, 1, RemakeCause.MAKER, DAY, "the coating peels")
    assert (job.sides, job.right.making) == ((Side.LEFT,), Making.KEPT)
    assert job.made == before.order.pairs[0].made
    (row,) = open_jobs(sent)
    assert (row.job.facts.job_number, row.days, row.standing.next_step) == (3, 0, "order lenses, cut, inspect")
    assert [lens.asked for lens in plan_lens_order(sent, LensOrderRequest(3, "Thistledown")).content.lenses] == [
        False,
        True,
    ]
    record_bill(sent, BillRequest("Thistledown", jobs=(JobBilled(3, 1_300),)))
    assert job_needs(sent, 3).sides == (Side.LEFT,)
    with pytest.raises(ShopledgerError, match="job 3 was not inspected"):
        ship_order(sent, 1, "post")
    record_inspection(sent, read_as_ordered(sent, 3))
    ship_order(later(sent, AGAIN), 1, "post")
    account = order_account(sent, 1)
    assert [item.job for item in account.parcels[-1].items] == [3]
    assert frames(sent, WREN.code) == (2, 0)
    assert served_on(account) == LEFT
    first, second, third = margin_of_order(sent, 1).jobs
    assert (first.margin.net > 0, first.margin.lenses, third.margin.net, third.margin.lenses) == (True, 2_500, 0, 1_300)
    assert (first.marks, second.marks, third.marks) == ((), (), ())
    slip = words_in(print_of_order(later(sent, AGAIN), "packing", 1, tmp_path))
    assert "Sent on Mar 9, 2026 in another parcel: job 1; job 2." in slip
    assert job_card(sent, 1).row.standing.stage is Stage.OVERTAKEN
    assert proven(sent)


@on_both
def test_a_job_is_made_again_under_another_prescription(sent: Desk, tmp_path: Path) -> None:
    """The powers are worked out anew, receipts of before are named, and a new one shows what is worn; no new charge."""
    old = issue_receipt(sent, 1, CUSTOMER, tmp_path, not_paid_in_full=True).receipt
    prescribe(sent, CUSTOMER, "-2.75 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", DAY)
    cause = RemakeCause.PRESCRIBER
    done = remake_job(sent, RemakeRequest(1, cause, "changed by the prescriber", Side.RIGHT, prescription=3))
    assert done.touched_receipts == (old.number,)
    assert done.pair.made is not None
    assert done.pair.made.right.power.sphere == -2.75
    new = replace_receipt(sent, old.number, "a remake", tmp_path, not_paid_in_full=True).receipt.content
    assert (new.total, new.dispensed_on) == (old.content.total, "2026-03-09")
    (pair,) = new.pairs
    assert (pair.job_number, pair.right[:5], pair.left[:5]) == (3, "-2.75", "-2.25")
    record_inspection(sent, read_as_ordered(sent, 3))
    ship_order(later(sent, AGAIN), 1, "post")
    assert issue_of(sent) == old.content.total
    assert proven(sent)


def issue_of(desk: Desk) -> int:
    """Give what the receipt that holds comes to."""
    with desk.reading() as work:
        (receipt,) = (each for each in work.receipts.of_order(1) if each.replaced_by is None)
    return receipt.content.total


@on_both
def test_a_job_that_is_here_and_made_otherwise_gets_a_job_of_its_own(desk: Desk) -> None:
    """The frame lies there for it, what was billed for the first one is scrap, and the first is not inspected."""
    record_sale(desk, ordered(DISTANCE))
    wider = Measurements(EyeMeasurements(32, 30.0, 19), EyeMeasurements(31.5, 29.5, 19))
    job = remake_job(desk, RemakeRequest(1, RemakeCause.SHOP, "PD read wrong", measurements=wider)).pair
    assert (job.measurements, job.sides, job.frame_code) == (wider, tuple(Side), WREN.code)
    assert frames(desk, WREN.code) == (3, 1)
    inspected(desk)
    ship_order(desk, 1, "post")
    assert order_account(desk, 1).parcels[0].jobs == (2,)
    assert frames(desk, WREN.code) == (2, 0)
    assert proven(desk)


@on_both
def test_a_parcel_that_never_arrived_is_made_again_with_its_frame(sent: Desk) -> None:
    """Another frame goes along that nobody pays; the first one is gone, and the day of service is the new one's."""
    assert frames(sent, LARK.code) == (1, 0)
    job = remake_job(sent, RemakeRequest(2, RemakeCause.LOST, "never arrived")).pair
    assert job.again is not None
    assert job.again.new_frame
    assert frames(sent, LARK.code) == (1, 1)
    assert served_on(order_account(sent, 1)) is None
    assert proven(sent)
    record_bill(sent, BillRequest("Thistledown", jobs=(JobBilled(3, 3_200),)))
    record_inspection(sent, read_as_ordered(sent, 3))
    ship_order(later(sent, AGAIN), 1, "post")
    assert frames(sent, LARK.code) == (0, 0)
    assert served_on(order_account(sent, 1)) == AGAIN
    with sent.reading() as work:
        costs = work.job_costs.of(3)
    assert (costs.goods, costs.billed) == (LARK.cost, 3_200)
    assert proven(sent)
    give_refund(later(sent, AGAIN), 1, RefundRequest(Method.CARD, "too late", (RefundedLine(3, 5_000, 1),)))
    assert frames(sent, LARK.code) == (1, 0)
    assert proven(sent)


@on_both
def test_a_frame_that_waits_for_a_remake_goes_on_to_the_next_one(sent: Desk) -> None:
    """Made again twice before it left: one frame is kept, and it comes back with its parcel."""
    remake_job(sent, RemakeRequest(2, RemakeCause.LOST, "never arrived"))
    remake_job(sent, RemakeRequest(3, RemakeCause.SHOP, "cracked", lens=THIN.code))
    assert frames(sent, LARK.code) == (1, 1)
    assert proven(sent)
    record_inspection(sent, read_as_ordered(sent, 4))
    ship_order(sent, 1, "post")
    assert frames(sent, LARK.code) == (0, 0)
    parcel_back(sent, 2, "moved away")
    assert frames(sent, LARK.code) == (1, 1)
    assert proven(sent)


def test_a_cancelled_order_sets_the_frames_of_its_remakes_free(desk: Desk) -> None:
    """Those that no line names too."""
    with desk.writing() as work:
        work.catalogue.add_frame(replace(WREN, code="OWN-1", number=None, owned_by=1, price=0, cost=0))
    record_sale(desk, ordered(replace(DISTANCE, frame="OWN-1", frame_owned=True, measurements=MEASURED)))
    remake_job(desk, RemakeRequest(1, RemakeCause.BROKEN, "her own frame broke", frame=LARK.code))
    assert frames(desk, LARK.code) == (2, 1)
    assert proven(desk)
    cancel_order(desk, 1, "she gave up")
    assert frames(desk, LARK.code) == (2, 0)
    assert proven(desk)


def test_what_cannot_be_made_again_so_is_refused(sent: Desk) -> None:
    """What was given, what is allowed, what to do; nothing is stored."""
    prescribe(sent, "Wren Fernhollow", "-1.25 DS", "-1.50 DS", DAY)
    with sent.writing() as work:
        assert work.orders.get(1).number == 1
    before = everything(sent)
    refused: list[tuple[RemakeRequest, str]] = [
        (replace(ASKED, job_number=9), "there is no job 9"),
        (replace(ASKED, cause=RemakeCause.PUT_RIGHT), "cause is put right; it is shop error, maker error"),
        (replace(ASKED, reason=" "), "reason"),
        (replace(ASKED, prescription=3), "prescription is 3; it is not Odalys Fernhollow's"),
        (replace(ASKED, day=date(2026, 3, 8)), "the job left on 2026-03-09"),
        (replace(ASKED, cause=RemakeCause.LOST), r"lens is left; both were in the parcel that was lost"),
        (replace(ASKED, lens="NOPE"), "NOPE"),
        (replace(ASKED, frame="NOPE"), "NOPE"),
    ]
    for asked, words in refused:
        with pytest.raises(ShopledgerError, match=words):
            remake_job(sent, asked)
    deeds: list[tuple[Callable[[], object], str]] = [
        (
            lambda: record_remake(sent, 1, "scratched", 0),
            r"it left on 2026-03-09\. It is made again as a job of its own",
        ),
    ]
    for deed, words in deeds:
        with pytest.raises(ShopledgerError, match=words):
            deed()
    assert everything(sent) == before
    remake_job(sent, ASKED)
    with pytest.raises(ShopledgerError, match=r"job 3 took its place on 2026-03-16 \(maker error\)"):
        remake_job(sent, ASKED)
    with pytest.raises(ShopledgerError, match="job 3 lies here"):
        remake_job(sent, RemakeRequest(3, RemakeCause.LOST, "never arrived"))


def test_a_frame_that_lies_here_is_not_taken_twice(desk: Desk) -> None:
    """It waits for the job, whichever makes it."""
    record_sale(desk, ordered(DISTANCE))
    for more in (replace(ASKED, new_frame=True), replace(ASKED, frame=LARK.code)):
        with pytest.raises(ShopledgerError, match="the order's own, WREN-52, lies here"):
            remake_job(desk, replace(more, only=None))
