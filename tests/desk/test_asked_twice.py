"""What is asked about before it is stored: first goods, a hundred times the usual, the same order or customer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.billing import plan_bill, record_bill
from shopledger.desk.books.reports import period_figures
from shopledger.desk.books.stocking import count_stock, receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, FRAMES
from shopledger.desk.orders import cancel_order
from shopledger.desk.people import add_customer
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillRequest, GoodsBilled, JobBilled
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import AccessoryRequest, OrderRequest
from shopledger.ledger.parties import Address
from shopledger.ledger.stock import FirstGoods, FirstGoodsError, StockedKind
from shopledger.ledger.twice import CUSTOMER_TWICE, ORDER_TWICE
from shopledger.ledger.usual import COST_UNUSUAL, QUANTITY_UNUSUAL
from tests.desk.books import everything, notes, on_both
from tests.desk.family import DISTANCE, later
from tests.shelf import CASE, CUSTOMER, HOME, SHADES, WREN

MARCH = Month(2026, 3)
OTHER = StockedKind.ACCESSORY
CORD = replace(CASE, code="CORD", name="Cord", cost=250, number=None)


def result(desk: Desk) -> int:
    """Give the month's result on accrual."""
    return period_figures(desk, MARCH.days)[0].accrual_result


@on_both
def test_first_goods_that_were_there_are_no_income(desk: Desk) -> None:
    """Four cords at 2.50: there before the books began they are the owner's own, found they make 10.00 of result."""
    before = result(desk)
    ACCESSORIES.add(desk, CORD)
    assert count_stock(desk, OTHER, "CORD", 4, first=FirstGoods.OPENING).cost == 1_000
    assert result(desk) == before
    ACCESSORIES.add(desk, replace(CORD, code="CHAIN"))
    count_stock(desk, OTHER, "CHAIN", 4, first=FirstGoods.FOUND)
    assert result(desk) == before + 1_000
    FRAMES.add(desk, replace(WREN, code="FINCH-50", number=None), 2)
    assert result(desk) == before + 1_000


def test_nobody_guesses_where_first_goods_come_from(desk: Desk) -> None:
    """Without a word nothing is stored; what was bought is received with its cost; none are left, none are asked."""
    ACCESSORIES.add(desk, CORD)
    before = everything(desk)
    with pytest.raises(FirstGoodsError, match=r"No CORD ever came in\. Say what these are: --as opening"):
        count_stock(desk, OTHER, "CORD", 4)
    with pytest.raises(RefusedError, match="stock receive CORD --quantity N --unit-cost AMOUNT"):
        count_stock(desk, OTHER, "CORD", 4, first=FirstGoods.BOUGHT)
    with pytest.raises(RefusedError, match="some of it came or went before"):
        count_stock(desk, OTHER, CASE.code, 12, first=FirstGoods.OPENING)
    assert count_stock(desk, OTHER, "CORD", 0).difference == 0
    assert everything(desk) == before
    with pytest.raises(RefusedError, match="stock receive FINCH-50"):
        FRAMES.add(desk, replace(WREN, code="FINCH-50", number=None), 2, FirstGoods.BOUGHT)


@on_both
@pytest.mark.parametrize(
    ("goods", "codes"),
    [
        # Ten cases came at 4.00.
        (GoodsBilled(CASE.code, 999, 400), []),
        (GoodsBilled(CASE.code, 1_000, 400), [QUANTITY_UNUSUAL]),
        (GoodsBilled(CASE.code, 10, 39_999), []),
        (GoodsBilled(CASE.code, 10, 40_000), [COST_UNUSUAL]),
        (GoodsBilled(CASE.code, 1_000, 40_000), [QUANTITY_UNUSUAL, COST_UNUSUAL]),
    ],
)
def test_a_hundred_times_the_usual_is_asked_about(desk: Desk, goods: GoodsBilled, codes: list[str]) -> None:
    """As many, or as dear, as a hundred times what came before; one less is not asked about, and a yes is kept."""
    request = BillRequest("not named", goods=(goods,))
    assert [finding.code for finding in plan_bill(desk, request).findings] == codes
    if codes:
        with pytest.raises(FindingsRefusedError, match=codes[0]):
            record_bill(desk, request)
    record_bill(desk, request, frozenset(codes))
    assert [note for note in notes(desk) if note[1] == "accepted a warning"] == [
        ("tester", "accepted a warning", f"bill 1 {code}") for code in codes
    ]


def test_one_slip_does_not_make_the_next_usual(desk: Desk) -> None:
    """The median of three ordinary costs and one slip is an ordinary one; what the catalogue says stands for none."""
    for cost in (410, 41_000_0, 390):
        receive_stock(desk, OTHER, CASE.code, 5, cost, accept=frozenset({COST_UNUSUAL} if cost > 1_000 else ()))
    with pytest.raises(FindingsRefusedError, match=r"CASE costs 400\.00; usually it is 4\.00\. \[COST-UNUSUAL\]"):
        receive_stock(desk, OTHER, CASE.code, 5, 40_000)
    ACCESSORIES.add(desk, CORD)
    with pytest.raises(FindingsRefusedError, match=r"CORD costs 250\.00; usually it is 2\.50"):
        receive_stock(desk, OTHER, "CORD", 500, 25_000)
    with pytest.raises(FindingsRefusedError, match=r"990 of CASE come in; usually it is 5"):
        count_stock(desk, OTHER, CASE.code, 1_015)


def test_a_job_a_hundred_times_as_dear_is_asked_about(desk: Desk) -> None:
    """Lenses for 42.50 are usual; 4,250.00 has lost its point."""
    record_sale(desk, OrderRequest(CUSTOMER, (DISTANCE, replace(DISTANCE, frame=WREN.code))))
    record_bill(desk, BillRequest("not named", jobs=(JobBilled(1, 4_250),)))
    found = plan_bill(desk, BillRequest("not named", jobs=(JobBilled(2, 425_000),))).findings
    assert [(each.code, each.sentence) for each in found] == [
        (COST_UNUSUAL, "job 2 costs 4,250.00; usually it is 42.50.")
    ]


TWO = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code, 2), AccessoryRequest(SHADES.code)), shipping=0)


@on_both
def test_the_same_order_within_a_day_is_asked_about(desk: Desk) -> None:
    """On the day, the day before or after, in any order of its lines; not two days on, nor with one case more."""
    record_sale(desk, TWO)
    there = later(desk, date(2026, 3, 10))
    turned = replace(TWO, accessories=tuple(reversed(TWO.accessories)))

    def codes(request: OrderRequest) -> list[str]:
        return [each.code for each in plan_sale(there, request).findings if each.code == ORDER_TWICE]

    for day, asked in ((1, True), (2, True), (3, True), (4, False)):
        assert codes(replace(turned, day=date(2026, 3, day))) == ([ORDER_TWICE] if asked else [])
    more = (AccessoryRequest(CASE.code, 3), AccessoryRequest(SHADES.code))
    assert codes(replace(TWO, accessories=more, day=date(2026, 3, 2))) == []
    again = replace(TWO, day=date(2026, 3, 3))
    with pytest.raises(FindingsRefusedError, match=r"by the same customer within a day: order 1 of 2026-03-02\."):
        record_sale(there, again)
    order = record_sale(there, replace(again, accept=frozenset({ORDER_TWICE}))).order
    assert [each.code for each in order.accepted] == [ORDER_TWICE]


def test_what_was_cancelled_or_is_another_s_is_no_second_order(desk: Desk) -> None:
    """An order that was cancelled is recorded anew without a question, and two customers may buy the same."""
    record_sale(desk, TWO)
    other = add_customer(desk, "Bram Pike", replace(HOME, street="2 Elm Way"))
    record_sale(desk, replace(TWO, customer=str(other.number), accessories=TWO.accessories[:1]))
    cancel_order(desk, 1, "typed wrongly")
    assert ORDER_TWICE not in {each.code for each in plan_sale(desk, TWO).findings}


@on_both
@pytest.mark.parametrize(
    ("name", "address", "phone", "email", "same"),
    [
        ("Bram Pike", HOME, "(555) 0142", "", "phone"),
        ("Bram Pike", HOME, "", "Odalys@Example.com", "mail address"),
        ("odalys FERNHOLLOW", replace(HOME, street="9 Elm Way"), "", "", "name and ZIP code"),
        ("Odalys Fernhollow", replace(HOME, postcode="43099"), "", "", ""),
        ("Bram Pike", HOME, "555-0143", "bram@example.com", ""),
        ("Bram Pike", HOME, "", "", ""),
    ],
)
def test_the_same_customer_is_asked_about(
    desk: Desk, name: str, address: Address, phone: str, email: str, same: str
) -> None:
    """By phone however it is written, by mail address, or by name and ZIP code; a yes is kept with the new one."""
    with desk.writing() as work:
        work.customers.change(replace(work.customers.get(1), email="odalys@example.com"))
    if not same:
        assert add_customer(desk, name, address, phone, email).number == 2
        return
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=f"Customer 1, {CUSTOMER}, has the same {same}\\."):
        add_customer(desk, name, address, phone, email)
    assert everything(desk) == before
    assert add_customer(desk, name, address, phone, email, accept=frozenset({CUSTOMER_TWICE})).number == 2
    assert ("tester", "accepted a warning", "customer 2 CUSTOMER-TWICE") in notes(desk)


def test_a_country_s_own_digit_makes_no_other_phone(desk: Desk) -> None:
    """+1 stands before the ten digits of the same phone (ITU-T E.164)."""
    add_customer(desk, "Bram Pike", HOME, "+1 614 555-0101")
    with pytest.raises(FindingsRefusedError, match="Customer 2, Bram Pike, has the same phone"):
        add_customer(desk, "Corin Vale", HOME, "614.555.0101")
