"""Jobs that are made in the place of others of their order: board, sheet, bench, lens orders, papers, margins."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.job_costs import margin_of_job, margin_of_order
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import job_needs, plan_inspection, record_remake
from shopledger.desk.job_sheets import print_job_sheet
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import LensOrderRequest, plan_lens_order
from shopledger.desk.orders import ship_order
from shopledger.desk.papers import print_of_order
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.reorder_lookups import pairs_of
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.orders import Making, OwnLens, Pair
from shopledger.ledger.stages import Stage
from shopledger.optics.prescription import Prescription
from tests.desk.books import on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, inspected, ordered, read_as_ordered
from tests.shelf import CUSTOMER, LARK, WREN


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair and a child's pair."""
    record_sale(desk, ordered(DISTANCE, CHILDS))
    return desk


def put_in_place(desk: Desk, job: int, cause: RemakeCause = RemakeCause.PUT_RIGHT, **changed: object) -> Pair:
    """Make a job in the place of another, with some things changed."""
    with desk.writing() as work:
        order, pair = work.orders.pair(job)
        again = Again(pair.place, job, cause, desk.today, "PD read wrong")
        return work.orders.add_job(order.number or 0, replace(pair, again=again, **changed))  # type: ignore[arg-type]  # fields of the pair


@on_both
def test_the_board_shows_the_job_that_stands(sold: Desk) -> None:
    """The overtaken one is gone from it, is waited for by nobody, and says which job to look at."""
    put_in_place(sold, 1)
    rows = {row.job.facts.job_number: row for row in open_jobs(sold)}
    assert set(rows) == {2, 3}
    assert rows[2].job.facts.waits_for == (3,)
    assert (rows[3].job.facts.in_place_of, rows[3].job.facts.order_number) == (1, 1)
    before = job_card(sold, 1).row.standing
    assert (before.stage, before.command) == (Stage.OVERTAKEN, "shopledger job show 3")


@on_both
def test_both_sheets_say_which_job_took_whose_place(sold: Desk, tmp_path: Path) -> None:
    """The old one is not to be made; the new one says in whose place it is, and why."""
    put_in_place(sold, 1)
    old, new = (words_in(print_job_sheet(sold, job, tmp_path)) for job in (1, 3))
    assert "Do not make it: job 3 took its place on 2026-03-02 (put right)." in old
    assert "In the place of job 1, put right: PD read wrong." in new


def test_nothing_is_done_any_more_for_an_overtaken_job(sold: Desk) -> None:
    """Ordering lenses, inspecting and remaking it are refused, and point at the one that stands."""
    put_in_place(sold, 1)
    for deed in (
        lambda: plan_lens_order(sold, LensOrderRequest(1, "nobody")),
        lambda: job_needs(sold, 1),
        lambda: plan_inspection(sold, read_as_ordered(sold, 1)),
        lambda: record_remake(sold, 1, "scratched", 0),
    ):
        with pytest.raises(RefusedError, match=r"job 3 took its place on 2026-03-02 \(put right\)") as refused:
            deed()
        assert "shopledger job show 3" in str(refused.value)


@on_both
def test_an_order_leaves_with_the_jobs_that_stand(sold: Desk) -> None:
    """The overtaken one needs no inspection, and its frame leaves with the one in its place, once."""
    put_in_place(sold, 1)
    inspected(sold)
    ship_order(sold, 1, "post")
    with sold.reading() as work:
        sent = {(each.item_code, each.job_number) for each in work.stock.of_order(1)}
    assert sent == {(WREN.code, 3), (LARK.code, 2)}
    first, second, third = margin_of_order(sold, 1).jobs
    assert (first.margin.net, first.margin.goods, first.marks) == (0, 0, ("job 3 is made in its place",))
    assert third == margin_of_job(sold, 3)
    assert (third.margin.net > 0, third.margin.goods > 0, second.margin.goods > 0) == (True, True, True)


@on_both
def test_papers_show_the_pair_as_it_is_worn(sold: Desk, tmp_path: Path) -> None:
    """A kept lens with its old power beside the new one, under the heading of its place; the old job nowhere."""
    with sold.reading() as work:
        made = work.orders.pair(1)[1].made
    assert made is not None
    stronger = replace(made.right, power=replace(made.right.power, sphere=-2.75))
    put_in_place(sold, 1, RemakeCause.PRESCRIBER, made=Prescription(stronger, made.left), left=OwnLens(Making.KEPT))
    receipt = words_in(issue_receipt(sold, 1, CUSTOMER, tmp_path, not_paid_in_full=True).file)
    assert "-2.75 -1.25 x 090" in receipt
    assert "-2.25 -1.00 x 085" in receipt
    assert "not made" not in receipt
    assert "right lens only" not in receipt
    assert "Job 3" in receipt
    assert "Job 1" not in receipt
    slip = words_in(print_of_order(sold, "packing", 1, tmp_path))
    assert "right lens only" not in slip


def test_new_lenses_are_offered_for_the_pair_that_stands(sold: Desk) -> None:
    """The frame that was put right is not among the wearer's pairs any more."""
    put_in_place(sold, 1, frame_code=LARK.code)
    with sold.reading() as work:
        wearer = work.customers.pick_wearer(1, CUSTOMER)
        cards = pairs_of(work, wearer)
    assert [(card.job_number, card.frame.code) for card in cards] == [(3, LARK.code)]
