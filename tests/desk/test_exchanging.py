"""Exchanging what left: a frame, lenses, goods; the difference settled, the old goods back, the new ones sent."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.job_costs import margin_of_order
from shopledger.desk.changing_jobs import JobChange, Remeasured
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed
from shopledger.desk.context import Desk
from shopledger.desk.exchanging import Exchange
from shopledger.desk.jobs import open_jobs
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order
from shopledger.desk.putting_right import record_correction
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.orders import AccessoryRequest, DemoLenses, FrameRequest, Making, OrderRequest
from shopledger.ledger.stages import Stage
from shopledger.ledger.stock import OutOfStockError, StockedKind
from shopledger.optics.sides import Side
from tests.desk.books import on_both, postings, words_in
from tests.desk.family import DISTANCE, inspected, later, ordered, prescribe
from tests.desk.righted import (
    CASH_BACK,
    CHILDS_FRAME,
    TWO_CASES,
    WHY,
    assert_whole,
    free,
    pay_all,
    refused,
    sell_two_pairs,
)
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, LARK, SHADES, SINGLE, THIN, WREN

pytestmark = pytest.mark.slow

BY_CARD = replace(WHY, reason="too wide")
WIDE = frozenset({"DECENTRATION-UNUSUAL"})


@pytest.fixture
def shipped(desk: Desk) -> Desk:
    """Sell, make and ship the two pairs with the cases, paid in full, and come back a week later."""
    sell_two_pairs(desk)
    pay_all(desk)
    inspected(desk)
    ship_order(desk, 1, "post")
    return later(desk, date(2026, 3, 9))


@on_both
def test_a_frame_is_exchanged(shipped: Desk) -> None:
    """120.00 for 180.00: 60.00 goes back, the old one lies on the shelf at its cost, a job in the new one is made."""
    done = record_correction(shipped, Exchange(1, 1, LARK.code, replace(CASH_BACK, reason="too wide")))
    assert (done.correction.kind, done.refund and done.refund.amount, done.account.balance) == (
        CorrectionKind.EXCHANGED,
        6000,
        0,
    )
    line, (job,) = done.account.order.lines[-1], done.jobs
    assert (line.item_code, line.pair, line.wearer_number, line.net) == ("LARK-48", 1, 1, 12000)
    assert (job.frame_code, job.place, job.again and job.again.cause) == ("LARK-48", 1, RemakeCause.EXCHANGED)
    assert (free(shipped, WREN.code), free(shipped, LARK.code)) == (3, 0)
    assert ("correction 1", "returns and allowances", 12000) in postings(shipped)
    assert ("movement 8", "inventory", 6200) in postings(shipped)
    (row,) = open_jobs(shipped)
    assert (row.job.facts.job_number, row.standing.stage) == (3, Stage.ORDERED)
    assert_whole(shipped)


@on_both
def test_what_was_exchanged_leaves_in_a_parcel_of_its_own(shipped: Desk, tmp_path: Path) -> None:
    """With its cost; the receipt shows the new frame as the frame of that pair, and the old one given back."""
    first = issue_receipt(shipped, 1, CUSTOMER, tmp_path)
    done = record_correction(shipped, Exchange(1, 1, LARK.code, CASH_BACK))
    assert done.touched_receipts == (first.receipt.number,)
    inspected(shipped)
    ship_order(shipped, 1, "post")
    with shipped.reading() as work:
        moved = [(each.item_code, each.quantity, each.job_number) for each in work.stock.of_order(1)]
    assert moved[-2:] == [("WREN-52", 1, 1), ("LARK-48", -1, 3)]
    assert [parcel.jobs for parcel in order_account(shipped, 1).parcels] == [(1, 2), (3,)]
    assert not open_jobs(shipped)
    said = words_in(replace_receipt(shipped, first.receipt.number, "an exchange", tmp_path).file)
    assert "Harrow Row Lark, brick" in said
    margins = {each.job_number: each.margin for each in margin_of_order(shipped, 1).jobs}
    assert (margins[1].net + margins[3].net, margins[1].goods, margins[3].goods) == (12000, 0, LARK.cost)
    assert_whole(shipped)


@on_both
def test_a_dearer_frame_that_does_not_come_back_is_owed(shipped: Desk) -> None:
    """180.00 for 120.00: 60.00 is owed; a frame that is lost with its goods stays with the customer."""
    terms = replace(WHY, accept=WIDE)
    done = record_correction(shipped, Exchange(1, CHILDS_FRAME, WREN.code, terms, came_back=False))
    assert (done.account.balance, done.refund, free(shipped, LARK.code)) == (6000, None, 1)
    assert done.touched_receipts == ()
    assert_whole(shipped)


@on_both
def test_lenses_are_exchanged(shipped: Desk) -> None:
    """Thin ones at 150.00 as agreed in the place of those that were included; the frame stays with the wearer."""
    agreed = replace(WHY, prices={THIN.code: 15000})
    done = record_correction(shipped, Exchange(1, 2, THIN.code, agreed))
    (job,) = done.jobs
    assert (job.lens_code, job.frame_code, done.account.balance) == (THIN.code, WREN.code, 15000)
    assert [part.line for part in done.correction.parts] == [2]
    inspected(shipped)
    ship_order(shipped, 1, "post")
    with shipped.reading() as work:
        assert len(work.stock.of_order(1)) == 3
    assert_whole(shipped)


def test_one_lens_is_exchanged_and_the_other_stays(desk: Desk) -> None:
    """Where lenses were charged one by one; the other keeps its power and its code in the frame."""
    pair = replace(DISTANCE, left=replace(DISTANCE.left, lens=THIN.code))
    record_sale(desk, ordered(pair))
    pay_all(desk)
    inspected(desk)
    ship_order(desk, 1, "post")
    lines = order_account(desk, 1).order.lines
    place = next(at for at, line in enumerate(lines, start=1) if line.item_code == THIN.code)
    done = record_correction(desk, Exchange(1, place, SINGLE.code, CASH_BACK))
    (job,) = done.jobs
    assert (job.right.making, job.left.making, job.lens_of(Side.LEFT)) == (Making.KEPT, Making.NEW, SINGLE.code)
    assert_whole(desk)


@on_both
def test_goods_beside_the_glasses_are_exchanged(shipped: Desk) -> None:
    """One of two cases for sunglasses: 33.00 more and their tax; the case is on the shelf again."""
    cases = free(shipped, CASE.code, StockedKind.ACCESSORY)
    done = record_correction(shipped, Exchange(1, TWO_CASES, SHADES.code, WHY, count=1))
    assert done.account.balance == 4500 + 326 - 1200
    assert (free(shipped, CASE.code, StockedKind.ACCESSORY), free(shipped, SHADES.code, StockedKind.ACCESSORY)) == (
        cases + 1,
        3,
    )
    assert done.account.order.lines[-1].wearer_number == 2
    ship_order(shipped, 1, "post")
    assert_whole(shipped)


def test_a_frame_without_lenses_is_exchanged(desk: Desk) -> None:
    """For another one, with its demo lenses as they were."""
    record_sale(desk, OrderRequest(CUSTOMER, (), frames=(FrameRequest(WREN.code, DemoLenses.MARKED, CUSTOMER),)))
    pay_all(desk)
    ship_order(desk, 1, "post")
    done = record_correction(desk, Exchange(1, 1, LARK.code, CASH_BACK))
    assert (done.account.order.lines[-1].demo_lenses, done.jobs) == (DemoLenses.MARKED, ())
    assert_whole(desk)


def test_what_is_not_exchanged_is_refused_with_the_way(desk: Desk) -> None:
    """What is still here is put right; upgrades and shipping are given back; what was exchanged names the new line."""
    record_sale(desk, ordered(replace(DISTANCE, extras=(CLEAR.code,)), shipping=650))
    assert "'shopledger fix order 1'" in refused(desk, Exchange(1, 1, LARK.code, WHY))
    pay_all(desk)
    inspected(desk)
    ship_order(desk, 1, "post")
    assert "'shopledger refund give 1 --line 3'" in refused(desk, Exchange(1, 3, CLEAR.code, WHY))
    assert "'shopledger refund give 1 --line 4'" in refused(desk, Exchange(1, 4, CASE.code, WHY))
    assert "a pair has one frame" in refused(desk, Exchange(1, 1, LARK.code, WHY, count=2))
    record_sale(desk, ordered(replace(DISTANCE, frame=LARK.code), replace(DISTANCE, frame=LARK.code)))
    assert "LARK-48: 1 asked for, 0 on hand" in refused(desk, Exchange(1, 1, LARK.code, CASH_BACK), OutOfStockError)
    record_correction(desk, Exchange(1, 2, THIN.code, WHY))
    assert "Name what stands in its place: line 5" in refused(desk, Exchange(1, 2, SINGLE.code, WHY))


def test_a_job_that_was_exchanged_is_put_right_before_it_is_cut(shipped: Desk) -> None:
    """It is here again: a wrong PD is put right on it; its old frame is gone."""
    record_correction(shipped, Exchange(1, 1, LARK.code, CASH_BACK))
    assert "it left on 2026-03-02" in refused(shipped, JobChange(2, WHY, measured=Remeasured(pd=55)))
    done = record_correction(shipped, JobChange(3, WHY, measured=Remeasured(pd_right=31)))
    assert done.jobs[0].frame_code == LARK.code
    inspected(shipped)
    ship_order(shipped, 1, "post")
    assert_whole(shipped)


def test_of_an_order_that_left_in_part_the_rest_is_put_right(desk: Desk) -> None:
    """What is in a parcel is not taken out any more; what is here is, and something may be added to it."""
    from shopledger.ledger.shipping import PackRequest

    sell_two_pairs(desk)
    inspected(desk)
    ship_order(desk, 1, "post", only=PackRequest((1,)))
    assert "it left on 2026-03-02" in refused(desk, LinesTakenOut(1, WHY, {}, (1,)))
    assert "some of it left on 2026-03-02" in refused(desk, PricesAgreed(1, {TWO_CASES: 3000}, WHY))
    record_correction(desk, LinesTakenOut(1, WHY, {TWO_CASES: 1}))
    record_correction(desk, LinesAdded(1, WHY, accessories=(AccessoryRequest(SHADES.code, 1, CHILD),)))
    ship_order(desk, 1, "post")
    assert prove_books(desk).failed == ()
    assert_whole(desk)


def test_new_lenses_ask_about_the_prescription_anew(desk: Desk) -> None:
    """An exchange makes lenses on its own day: by then the prescription has expired."""
    prescribe(desk, CUSTOMER, "-2.50 DS", "-2.25 DS", expires_on=date(2028, 3, 1))
    record_sale(desk, ordered(DISTANCE))
    inspected(desk)
    ship_order(desk, 1, "post")
    years = later(desk, date(2029, 3, 9))
    with pytest.raises(FindingsRefusedError, match="PRESCRIPTION-EXPIRED"):
        record_correction(years, Exchange(1, 2, THIN.code, WHY))
