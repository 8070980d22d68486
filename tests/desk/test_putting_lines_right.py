"""Lines put right after the sale: less owed, prices agreed, goods added and taken out; exact to the cent."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.jobs import open_jobs
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.putting_right import plan_correction, record_correction
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.orders import AccessoryRequest, DemoLenses, FrameRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import OutOfStockError, StockedKind
from tests.desk.books import on_both, postings
from tests.desk.family import CHILDS, DISTANCE, READING, inspected, later, ordered
from tests.desk.righted import (
    CASH_BACK,
    CHILDS_FRAME,
    SHIPPING,
    TWO_CASES,
    WHY,
    assert_whole,
    free,
    pay_all,
    refused,
    sell_two_pairs,
    stands,
)
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, LARK, SHADES, WREN

pytestmark = pytest.mark.slow


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell the customer's pair and the child's, with two cases."""
    return sell_two_pairs(desk)


@pytest.fixture
def taxed(desk: Desk) -> Desk:
    """Sell three pairs of sunglasses at 135.00 with 9.79 tax, 7.25 %."""
    record_sale(desk, OrderRequest(CUSTOMER, (), (AccessoryRequest(SHADES.code, 3, CUSTOMER),), shipping=0))
    return desk


@on_both
def test_what_is_owed_is_lowered(taxed: Desk, tmp_path: Path) -> None:
    """10.00 of the net charge with 0.73 of its tax, after the goods left an allowance; its receipt is named."""
    ship_order(taxed, 1, "post")
    issue_receipt(taxed, 1, CUSTOMER, tmp_path, not_paid_in_full=True)
    done = record_correction(taxed, Reduction(1, {1: 1000}, replace(WHY, reason="late")))
    assert [(part.net, part.tax) for part in done.correction.parts] == [(1000, 73)]
    assert (done.account.balance, done.correction.kind) == (14479 - 1073, CorrectionKind.REDUCED)
    assert done.touched_receipts == (1,)
    assert sorted(postings(taxed)[-3:]) == [
        ("correction 1", "receivable", -1073),
        ("correction 1", "returns and allowances", 1000),
        ("correction 1", "sales tax payable", 73),
    ]
    record_correction(taxed, Reduction(1, {1: 12500}, WHY))
    assert order_account(taxed, 1).balance == 0
    assert_whole(taxed)


@on_both
def test_goods_that_come_back_before_they_are_paid_are_owed_no_longer(taxed: Desk) -> None:
    """One of three at 45.00 comes back: 45.00 and a third of 9.79 are a return; no money moves; it is on the shelf."""
    # 979 / 3 = 326.3, so 3.26 of tax.
    ship_order(taxed, 1, "Harrow Post")
    on_shelf = free(taxed, SHADES.code, StockedKind.ACCESSORY)
    done = record_correction(taxed, Reduction(1, {}, WHY, {1: 1}))
    assert [(part.net, part.tax, part.returned) for part in done.correction.parts] == [(4500, 326, 1)]
    assert (done.account.balance, done.refund) == (14479 - 4826, None)
    assert free(taxed, SHADES.code, StockedKind.ACCESSORY) == on_shelf + 1
    assert {("correction 1", "returns and allowances", 4500), ("correction 1", "receivable", -4826)} <= set(
        postings(taxed)
    )
    assert_whole(taxed)


def test_no_more_comes_back_than_the_customer_has(taxed: Desk) -> None:
    """Three were sold; a fourth is refused, and so is what is no goods."""
    assert "3 of line 1 are with the customer" in refused(taxed, Reduction(1, {1: 100}, WHY, {1: 4}))


def test_no_more_is_reduced_than_is_owed(sold: Desk) -> None:
    """On the order and on each wearer's part: what was paid is given back instead, with the line to type for it."""
    take_payment(sold, 1, PaymentRequest(16525, Method.CARD))
    owed = {part.wearer_number: part.balance for part in parts_of(order_account(sold, 1))}
    assert sum(owed.values()) == 16525
    said = refused(sold, Reduction(1, {1: owed[1] + 1}, WHY))
    assert f"{owed[1] / 100:.2f} of that is still owed, the rest was paid" in said
    assert f"'shopledger refund give 1 --line 1={(owed[1] + 1) / 100:.2f} --method HOW --reason WHY'" in said
    record_correction(sold, Reduction(1, {1: owed[1]}, WHY))
    pay_all(sold)
    assert "0.00 of that is still owed" in refused(sold, Reduction(1, {CHILDS_FRAME: 100}, WHY))
    assert_whole(sold)


def test_a_reduction_of_nothing_or_too_much_is_refused(sold: Desk) -> None:
    """No more than a line's net charge, and some of it."""
    for amount in (0, -100, 18001):
        assert "180.00 of its net charge is left" in refused(sold, Reduction(1, {1: amount}, WHY))
    assert "order 1 has lines 1 to 6" in refused(sold, Reduction(1, {7: 100}, WHY))
    assert "Nothing is left to reduce" in refused(sold, Reduction(1, {2: 100}, WHY))


@on_both
@pytest.mark.parametrize(("paid", "back"), [(0, 0), (20000, 0), (33050, 3000)])
def test_a_lower_price_agreed_lowers_what_is_owed_and_gives_back_the_rest(sold: Desk, paid: int, back: int) -> None:
    """150.00 for a frame of 180.00; of what was paid above it, all goes back."""
    if paid:
        take_payment(sold, 1, PaymentRequest(paid, Method.CARD))
    done = record_correction(sold, PricesAgreed(1, {1: 15000}, CASH_BACK if back else WHY))
    assert done.account.balance == 33050 - paid - 3000 + back
    assert (done.refund.amount if done.refund else 0) == back
    assert dict(stands(sold))["WREN-52"] == 15000
    assert_whole(sold)


@on_both
def test_a_higher_price_agreed_is_charged_on_the_same_line_anew(sold: Desk) -> None:
    """200.00 for the frame, list and net; 30.00 of the child's lenses that were included, under the same codes."""
    codes = [charge.code for charge in order_account(sold, 1).order.lines[3].charges]
    done = record_correction(sold, PricesAgreed(1, {1: 20000, 4: 3000}, WHY))
    frame, lenses = done.account.order.lines[-2:]
    assert (frame.list_price, frame.net, frame.pair, frame.wearer_number) == (20000, 20000, 1, 1)
    assert (lenses.list_price, lenses.reduction, lenses.offer_code) == (8000, 5000, "")
    assert [(charge.code, charge.net) for charge in lenses.charges] == [(codes[0], 1500), (codes[1], 1500)]
    assert done.account.balance == 33050 + 2000 + 3000
    assert free(sold, WREN.code) == 2
    assert_whole(sold)


def test_a_price_agreed_after_shipping_is_lower(sold: Desk) -> None:
    """The one is done already; after shipping nothing is charged on top, and a lower price is an allowance."""
    assert "it comes to that already" in refused(sold, PricesAgreed(1, {1: 18000}, WHY))
    inspected(sold)
    ship_order(sold, 1, "post")
    assert "some of it left on 2026-03-02" in refused(sold, PricesAgreed(1, {1: 19000, 3: 100}, WHY))
    done = record_correction(sold, PricesAgreed(1, {1: 15000}, WHY))
    assert (done.correction.kind, done.account.balance) == (CorrectionKind.REDUCED, 30050)
    assert sorted(postings(sold)[-2:]) == [
        ("correction 1", "receivable", -3000),
        ("correction 1", "returns and allowances", 3000),
    ]
    assert_whole(sold)


@on_both
def test_goods_that_were_forgotten_are_added(sold: Desk) -> None:
    """At today's price, taxed by the order's own day and state, and kept for it; the rest is owed."""
    pay_all(sold)
    goods = (AccessoryRequest(SHADES.code, 2, CHILD),)
    done = record_correction(sold, LinesAdded(1, WHY, accessories=goods))
    line = done.account.order.lines[-1]
    assert (line.net, line.tax, line.wearer_number, done.account.balance) == (9000, 653, 2, 9653)
    assert free(sold, SHADES.code, StockedKind.ACCESSORY) == 2
    frames = (FrameRequest(WREN.code, DemoLenses.REMOVED, CUSTOMER),)
    done = record_correction(sold, LinesAdded(1, replace(WHY, prices={WREN.code: 10000}), frames=frames, shipping=200))
    frame, shipping = done.account.order.lines[-2:]
    assert (frame.list_price, frame.net, frame.tax, frame.demo_lenses) == (18000, 10000, 725, DemoLenses.REMOVED)
    assert shipping.net == 200
    assert done.account.balance == 9653 + 10725 + 200
    assert_whole(sold)


def test_goods_that_are_not_there_are_not_added(sold: Desk) -> None:
    """As with a sale."""
    assert "SHADES: 5 asked for, 4 on hand" in refused(
        sold, LinesAdded(1, WHY, accessories=(AccessoryRequest(SHADES.code, 5, CHILD),)), OutOfStockError
    )
    agreed = replace(WHY, prices={"CORD": 900})
    assert "what comes in is CASE" in refused(
        sold, LinesAdded(1, agreed, accessories=(AccessoryRequest(CASE.code, 1, CHILD),))
    )


@on_both
def test_a_whole_pair_is_added_and_taken_out_again(sold: Desk) -> None:
    """It is a job of its own in a place of its own, leaves the board again, and the order ships without it."""
    done = record_correction(sold, LinesAdded(1, WHY, pairs=(replace(READING, extras=(CLEAR.code,)),)))
    (job,) = done.jobs
    assert (job.job_number, job.position, job.place, job.again) == (3, 3, 3, None)
    assert done.account.balance == 33050 + 12000 + 12995
    assert (free(sold, LARK.code), [row.job.facts.job_number for row in open_jobs(sold)]) == (0, [1, 2, 3])
    pay_all(sold)
    done = record_correction(sold, LinesTakenOut(1, CASH_BACK, {}, (3,)))
    assert (done.refund and done.refund.amount, done.account.balance) == (12000 + 12995, 0)
    assert [pair.job_number for pair in done.account.order.standing_pairs] == [1, 2]
    assert (free(sold, LARK.code), [row.job.facts.job_number for row in open_jobs(sold)]) == (1, [1, 2])
    assert "order 1 has pair 1, 2" in refused(sold, LinesTakenOut(1, WHY, {}, (3,)))
    inspected(sold)
    ship_order(sold, 1, "post")
    assert_whole(sold)


@on_both
def test_goods_are_taken_out_whole_or_piece_by_piece(sold: Desk) -> None:
    """One of two cases, then the other; both are free again, and the line is gone."""
    done = record_correction(sold, LinesTakenOut(1, WHY, {TWO_CASES: 1}))
    assert [(part.net, part.returned) for part in done.correction.parts] == [(1200, 1)]
    assert (done.account.balance, dict(stands(sold))["CASE"]) == (33050 - 1200, 1200)
    assert "1 of Hard case are on the order" in refused(sold, LinesTakenOut(1, WHY, {TWO_CASES: 2}))
    done = record_correction(sold, LinesTakenOut(1, WHY, {TWO_CASES: None, SHIPPING: None}))
    assert (done.account.balance, free(sold, CASE.code, StockedKind.ACCESSORY)) == (30000, 10)
    said = refused(sold, LinesTakenOut(1, WHY, {TWO_CASES: None}))
    assert "it was taken out on 2026-03-02 (put right: misread)" in said
    assert "CASE" not in dict(stands(sold))
    assert_whole(sold)


@on_both
def test_an_upgrade_is_taken_off_its_pair(desk: Desk) -> None:
    """By its line: the job is made anew without it; one lens's own upgrade too."""
    record_sale(desk, ordered(replace(DISTANCE, extras=(CLEAR.code,)), CHILDS))
    done = record_correction(desk, LinesTakenOut(1, WHY, {3: None}))
    assert (done.jobs[0].extras, done.account.balance) == ((), 30000)
    record_sale(desk, ordered(replace(DISTANCE, left=replace(DISTANCE.left, extras=(CLEAR.code,)))))
    done = record_correction(desk, LinesTakenOut(2, WHY, {3: None}))
    assert (done.jobs[0].left.extras, done.account.balance) == ((), 18000)
    assert_whole(desk)


def test_what_is_not_taken_out_by_a_line_is_refused_with_the_way(sold: Desk) -> None:
    """A pair's frame or lenses, an order's last line, what left: each names what to type instead."""
    said = refused(sold, LinesTakenOut(1, WHY, {CHILDS_FRAME: None}))
    assert "Take the pair out with --pair 2, or change it with 'shopledger job put-right 2'" in said
    everything_else = LinesTakenOut(1, WHY, {TWO_CASES: None, SHIPPING: None}, (1, 2))
    assert "'shopledger sale cancel 1 --reason WHY'" in refused(sold, everything_else)
    assert "'shopledger sale cancel 1 --reason WHY'" in refused(sold, LinesTakenOut(1, WHY, {TWO_CASES: None}, (1, 2)))
    inspected(sold)
    assert "so its lenses are cut" in refused(sold, LinesTakenOut(1, WHY, {}, (1,)))
    ship_order(sold, 1, "post")
    assert "'shopledger refund give 1 --returned LINE'" in refused(sold, LinesTakenOut(1, WHY, {TWO_CASES: None}))
    assert "an order of its own" in refused(
        sold, LinesAdded(1, WHY, accessories=(AccessoryRequest(CASE.code, 1, CHILD),))
    )


def test_a_correction_is_not_dated_before_what_happened_since(sold: Desk) -> None:
    """The order's last payment, refund or correction comes before it."""
    take_payment(later(sold, date(2026, 3, 9)), 1, PaymentRequest(1000, Method.CASH))
    tenth = later(sold, date(2026, 3, 10))
    early = replace(WHY, day=date(2026, 3, 8))
    assert "something was recorded on that order on 2026-03-09" in refused(tenth, Reduction(1, {1: 100}, early))


def test_nothing_is_put_right_on_a_cancelled_order(sold: Desk) -> None:
    """Each deed says when it was cancelled."""
    cancel_order(sold, 1, "ordered twice")
    for deed in (
        Reduction(1, {1: 100}, WHY),
        PricesAgreed(1, {1: 100}, WHY),
        LinesAdded(1, WHY, accessories=(AccessoryRequest(CASE.code, 1, CHILD),)),
        LinesTakenOut(1, WHY, {TWO_CASES: None}),
    ):
        assert "that order was cancelled on 2026-03-02" in refused(sold, deed, ShopledgerError)


@on_both
def test_refunds_payments_and_corrections_go_together(sold: Desk) -> None:
    """Whatever their order: each part stays whole, and in the end nothing is owed, nor kept for what is not there."""
    pay_all(sold)
    give_refund(sold, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(1, 2000),)))
    record_correction(sold, LinesTakenOut(1, CASH_BACK, {TWO_CASES: 1}))
    record_correction(sold, PricesAgreed(1, {CHILDS_FRAME: 14000, SHIPPING: 600}, WHY))
    assert order_account(sold, 1).balance == 2000 - 50
    take_payment(sold, 1, PaymentRequest(450, Method.CASH))
    assert plan_correction(sold, LinesTakenOut(1, WHY, {}, (2,))).due_back == 14000 - 1500
    record_correction(sold, LinesTakenOut(1, CASH_BACK, {}, (2,)))
    account = order_account(sold, 1)
    assert (account.balance, account.paid - account.refunded) == (0, 18000 - 2000 + 1200 + 600)
    assert_whole(sold)
