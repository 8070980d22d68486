"""Recording a sale: priced, checked whole, and stored with its payments, stock and postings, or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, FRAMES, add_frame
from shopledger.desk.order_lookups import order_account, order_card
from shopledger.desk.orders import ship_order
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.ledger.orders import AccessoryRequest, Charge, Method, OrderAccount, OrderRequest, PaymentRequest
from shopledger.optics.notation import write_eye
from tests.desk.books import everything, on_both, postings
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.shelf import CASE, CUSTOMER, LARK, SHADES, WREN

TOTAL = 106871
"""Frames 180 + 120 + 180 + 120, progressive 260, coating 129.95, cases 24, sunglasses 45 with 7.25 % tax (3.26),
shipping 6.50; the three pairs of single vision lenses are included."""


@pytest.fixture
def sold(desk: Desk) -> OrderAccount:
    """Record the family's order."""
    return record_sale(desk, FAMILY_ORDER)


def charges(account: OrderAccount, pair: int, item: str) -> tuple[Charge, ...]:
    """Give the charges of one item of a pair."""
    return next(line.charges for line in account.order.lines if (line.pair, line.item_code) == (pair, item))


@on_both
def test_an_order_is_stored_as_it_was_planned(desk: Desk) -> None:
    """What the plan shows is what is kept, but for the numbers that storing gives."""
    plan = plan_sale(desk, FAMILY_ORDER)
    order = record_sale(desk, FAMILY_ORDER).order
    assert order.number == 1
    assert [pair.job_number for pair in order.pairs] == [1, 2, 3, 4]
    unnumbered = replace(order, number=None, pairs=tuple(replace(pair, job_number=None) for pair in order.pairs))
    assert unnumbered == plan.order
    assert plan.paid == 40000


@on_both
def test_an_order_reads_back_as_it_was_recorded(desk: Desk, sold: OrderAccount) -> None:
    """The account from the ledger is the one that recording gave."""
    assert order_account(desk, 1) == sold
    assert order_card(desk, 1)[1].name == CUSTOMER


@on_both
def test_the_sums_of_an_order_are_exact(sold: OrderAccount) -> None:
    """List prices, the offer's reductions, tax and what is still owed, to the cent."""
    order = sold.order
    assert (order.list_total, order.reduction_total, order.tax_total) == (130545, 24000, 326)
    assert (order.total, sold.paid, sold.balance) == (TOTAL, 40000, 66871)


def test_single_vision_lenses_are_included_with_a_frame(sold: OrderAccount) -> None:
    """The line keeps its list price, the whole reduction and the offer's code."""
    lenses = [line for line in sold.order.lines if line.item_code == "SV-150"]
    assert [(line.list_price, line.reduction, line.net) for line in lenses] == [(8000, 8000, 0)] * 3
    assert {line.offer_code for line in lenses} == {"SV-FREE"}


def test_a_reading_pair_is_made_from_the_same_prescription(sold: OrderAccount) -> None:
    """Reading is sphere and add: -2.50 with add 2.00 is made as -0.50, and -2.25 as -0.25."""
    made = sold.order.pairs[1].made
    assert made is not None
    assert write_eye(made.right) == "-0.50 -1.25 x 090"
    assert write_eye(made.left) == "-0.25 -1.00 x 085"


def test_a_progressive_splits_into_base_and_design_for_each_lens(sold: OrderAccount) -> None:
    """260.00 with 140.00 for the design: 60.00 and 70.00 on each side, under the bifocal's code and V2781."""
    shown = [(charge.code, charge.modifier, charge.net) for charge in charges(sold, 3, "PROG-14")]
    assert shown == [("V2203", "RT", 6000), ("V2781", "RT", 7000), ("V2203", "LT", 6000), ("V2781", "LT", 7000)]


def test_an_odd_cent_of_a_coating_goes_to_the_right_lens(sold: OrderAccount) -> None:
    """129.95 is 64.98 and 64.97."""
    shown = [(charge.code, charge.modifier, charge.net) for charge in charges(sold, 3, "CLEAR")]
    assert shown == [("V2750", "RT", 6498), ("V2750", "LT", 6497)]


def test_only_what_is_not_medical_is_taxed(sold: OrderAccount) -> None:
    """45.00 at 7.25 % is 3.26; eyewear on a prescription is taxed at the rate of nothing that was set for it."""
    assert {line.item_code: line.tax for line in sold.order.lines if line.tax} == {SHADES.code: 326}


def test_a_category_without_a_rate_is_told_and_not_taxed(desk: Desk) -> None:
    """No rate is made up: a note names the state and the category."""
    notes = [each.sentence for each in plan_sale(desk, FAMILY_ORDER).findings if each.code == "TAX-NOT-SET"]
    assert notes == [
        "No sales tax rate is set for accessory in OH, so none is charged.",
        "No sales tax rate is set for shipping in OH, so none is charged.",
    ]


@on_both
def test_planning_a_sale_stores_nothing(desk: Desk) -> None:
    """A dry run leaves every row of every table as it was, counters included."""
    before = everything(desk)
    plan_sale(desk, FAMILY_ORDER)
    assert everything(desk) == before


@on_both
def test_a_sale_sets_its_goods_aside(desk: Desk, sold: OrderAccount) -> None:
    """Two of three WREN-52, both LARK-48, two cases and one pair of sunglasses are kept for it; all still lie there."""
    assert sold.order.number == 1
    assert [FRAMES.called(desk, frame.code)[1] for frame in (WREN, LARK)] == [3, 2]
    assert [ACCESSORIES.called(desk, goods.code)[1] for goods in (CASE, SHADES)] == [10, 4]
    with desk.reading() as work:
        free = {level.item_code: level.free for level in work.stock.levels()}
    assert free == {WREN.code: 1, LARK.code: 0, CASE.code: 8, SHADES.code: 3}


@on_both
def test_a_sale_counts_when_its_goods_leave_and_is_posted_in_balance(desk: Desk, sold: OrderAccount) -> None:
    """The card payment is held until then; then the rest is owed; list prices less offers, shipping and tax stand."""
    # The goods cost two WREN-52 at 62.00, two LARK-48 at 41.00, two cases at 4.00 and sunglasses at 15.00: 229.00.
    assert sold.payments[0].number == 1
    assert postings(desk) == [("payment 1", "card clearing", 40000), ("payment 1", "customer prepayments", -40000)]
    ship_order(desk, 1, "post", without_inspection="a trial")
    assert sorted(postings(desk)[2:]) == [
        ("parcel 1", "cost of goods sold", 22900),
        ("parcel 1", "customer prepayments", 40000),
        ("parcel 1", "inventory", -22900),
        ("parcel 1", "offers and discounts", 24000),
        ("parcel 1", "receivable", TOTAL - 40000),
        ("parcel 1", "sales", -129895),
        ("parcel 1", "sales tax payable", -326),
        ("parcel 1", "shipping income", -650),
    ]


@on_both
def test_the_journal_grows_by_an_entry_for_each_payment_and_none_for_the_sale(desk: Desk) -> None:
    """The proof counts every entry, and the head changes; the chain proves itself."""
    before = prove_books(desk)
    record_sale(desk, FAMILY_ORDER)
    after = prove_books(desk)
    assert after.entries - before.entries == 1
    assert before.holds
    assert after.holds
    assert before.head.hash != after.head.hash


def test_the_shop_s_usual_shipping_is_charged_unless_the_order_says_otherwise(desk: Desk) -> None:
    """The setting is 0 here; an order may name its own."""
    assert plan_sale(desk, ordered(DISTANCE)).order.total == 18000
    assert plan_sale(desk, ordered(DISTANCE, shipping=650)).order.total == 18650


def test_accessories_alone_make_an_order(desk: Desk) -> None:
    """No pair is needed."""
    request = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code, 3),))
    assert record_sale(desk, request).order.total == 3600


def test_prices_are_frozen_on_the_order(desk: Desk, sold: OrderAccount) -> None:
    """A price that changes later changes nothing on what was sold."""
    FRAMES.change(desk, WREN.code, {"price": 99900})
    assert order_account(desk, 1).order.total == sold.order.total


def test_a_payment_without_a_day_is_of_the_order_s_day(desk: Desk) -> None:
    """An order entered some days late carries its payment with it."""
    day = date(2026, 3, 2)
    account = record_sale(
        later(desk, date(2026, 3, 9)), ordered(DISTANCE, day=day, payments=(PaymentRequest(100, Method.CASH),))
    )
    assert (account.order.day, account.payments[0].day) == (day, day)


def test_a_customer_s_own_frame_is_neither_charged_nor_taken(desk: Desk) -> None:
    """Only the lenses are sold, and no offer includes them where no frame is bought."""
    order = record_sale(desk, ordered(replace(DISTANCE, frame_owned=True))).order
    assert [(line.item_code, line.net) for line in order.lines] == [("SV-150", 8000)]
    assert FRAMES.called(desk, WREN.code)[1] == 3


def test_a_frame_entered_as_the_customer_s_own_is_never_charged(desk: Desk) -> None:
    """Whose frame it is stands with the frame, so the order need not say it."""
    add_frame(desk, replace(WREN, code="OWN-1"), owner=CUSTOMER)
    order = record_sale(desk, ordered(replace(DISTANCE, frame="OWN-1"))).order
    assert [line.item_code for line in order.lines] == ["SV-150"]


def test_a_pair_without_a_prescription_has_no_powers_and_no_codes(desk: Desk) -> None:
    """It is taxed as what it is, and no claim code is given."""
    order = record_sale(desk, ordered(replace(DISTANCE, without_prescription=True))).order
    assert (order.pairs[0].made, order.pairs[0].prescription_number) == (None, None)
    assert {charge.code for line in order.lines for charge in line.charges} == {""}
    assert order.tax_total == 1305  # 180.00 at 7.25 %
