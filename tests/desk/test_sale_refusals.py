"""Sales that are refused: each says what was given and what to do, and leaves the ledger as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import add_frame
from shopledger.desk.order_lookups import order_account
from shopledger.desk.people import add_customer
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PairRequest, PaymentRequest
from shopledger.ledger.stock import OutOfStockError
from shopledger.optics.prescription import LensUse
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, on_both
from tests.desk.family import CHILDS, DISTANCE, PROGRESSIVE, READING, at_height, ordered
from tests.shelf import CASE, CUSTOMER, HOME, LARK, WREN


@on_both
@pytest.mark.parametrize(
    ("payments", "words"),
    [
        ((PaymentRequest(18001, Method.CASH),), "only 180.00 is still owed"),
        ((PaymentRequest(10000, Method.CASH), PaymentRequest(8001, Method.CARD)), "only 80.00 is still owed"),
        ((PaymentRequest(18000, Method.CASH), PaymentRequest(1, Method.CARD)), "The order is paid in full"),
        ((PaymentRequest(100, Method.CASH, day=date(2026, 3, 1)),), "the order was recorded on 2026-03-02"),
        ((PaymentRequest(100, Method.CASH, day=date(2026, 3, 3)),), "it lies after today"),
    ],
)
def test_a_payment_that_cannot_be_stores_nothing(desk: Desk, payments: tuple[PaymentRequest, ...], words: str) -> None:
    """More than is owed, before the order or after today: refused, and the order with it."""
    before = everything(desk)
    with pytest.raises(RefusedError, match=words):
        record_sale(desk, ordered(DISTANCE, payments=payments))
    assert everything(desk) == before


def test_an_order_of_tomorrow_is_refused(desk: Desk) -> None:
    """An order is entered on its day or after it."""
    with pytest.raises(RefusedError, match="order day is 2026-03-03; it lies after today, 2026-03-02"):
        plan_sale(desk, ordered(DISTANCE, day=date(2026, 3, 3)))


@on_both
def test_more_than_is_on_hand_is_refused_whole(desk: Desk) -> None:
    """Pairs and accessories are counted over the whole order: three LARK-48 are asked for and two are there."""
    before = everything(desk)
    with pytest.raises(OutOfStockError, match="LARK-48: 3 asked for, 2 on hand"):
        record_sale(desk, ordered(READING, READING, CHILDS))
    assert everything(desk) == before


def test_an_accessory_that_is_not_there_is_refused(desk: Desk) -> None:
    """Ten cases are on the shelf."""
    with pytest.raises(OutOfStockError, match="CASE: 11 asked for, 10 on hand"):
        plan_sale(desk, OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code, 11),)))


def test_another_customer_s_frame_is_refused(desk: Desk) -> None:
    """A frame that belongs to somebody else is not sold."""
    add_customer(desk, "Bram Ollerenshaw", HOME)
    add_frame(desk, replace(WREN, code="OWN-1"), owner="Bram")
    with pytest.raises(RefusedError, match="frame is OWN-1; it belongs to another customer"):
        plan_sale(desk, ordered(replace(DISTANCE, frame="OWN-1")))


@pytest.mark.parametrize(
    ("lens", "use", "words"),
    [
        ("PROG-14", LensUse.READING, "Even progressive is a progressive lens and is made for multifocal"),
        ("SV-150", LensUse.MULTIFOCAL, "Clear single vision is a single vision lens and is made for distance, reading"),
    ],
)
def test_a_lens_is_made_for_what_its_design_can_do(desk: Desk, lens: str, use: LensUse, words: str) -> None:
    """A single vision lens carries no add, and a multifocal always does."""
    with pytest.raises(RefusedError, match=words):
        plan_sale(desk, ordered(replace(DISTANCE, lens=lens, use=use)))


def test_a_wearer_without_a_prescription_is_told_so(desk: Desk) -> None:
    """The sentence names the wearer and both ways on."""
    add_customer(desk, "Bram Ollerenshaw", HOME)
    request = OrderRequest("Bram", (replace(DISTANCE, wearer="Bram"),))
    with pytest.raises(RefusedError, match=r"Bram Ollerenshaw has none in the ledger.*without a prescription"):
        plan_sale(desk, request)


def test_somebody_else_s_prescription_is_refused(desk: Desk) -> None:
    """Prescription 2 is the child's."""
    with pytest.raises(RefusedError, match="prescription is 2; it is not Odalys Fernhollow's"):
        plan_sale(desk, ordered(replace(DISTANCE, prescription=2)))


@pytest.mark.parametrize(
    ("pair", "code"),
    [
        (replace(PROGRESSIVE, frame=LARK.code, measurements=at_height(None)), "HEIGHT-MISSING"),
        (replace(PROGRESSIVE, measurements=at_height(None)), "HEIGHT-MISSING"),
        (replace(PROGRESSIVE, measurements=at_height(16)), "HEIGHT-LOW"),
        (replace(DISTANCE, measurements=None), "PD-MISSING"),
    ],
)
def test_a_pair_that_cannot_be_made_is_not_sold(desk: Desk, pair: PairRequest, code: str) -> None:
    """Errors stop the sale even where they are said to be accepted, with the frame traced or not."""
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=code):
        record_sale(desk, ordered(pair, accept=frozenset({code})))
    assert everything(desk) == before


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (OrderRequest("Odalis Fernholow", (DISTANCE,)), "Did you mean Odalys Fernhollow"),
        (ordered(replace(DISTANCE, wearer="Wrem")), "Did you mean Wren Fernhollow"),
        (ordered(replace(DISTANCE, frame="WREN-25")), "Did you mean WREN-52"),
        (ordered(replace(DISTANCE, lens="SV-15")), "Did you mean SV-150"),
        (ordered(replace(DISTANCE, extras=("CLAER",))), "Did you mean CLEAR"),
        (OrderRequest(CUSTOMER, accessories=(AccessoryRequest("CASES"),)), "Did you mean CASE"),
        (ordered(DISTANCE, offers=("SV-FEE",)), "Did you mean SV-FREE"),
        (ordered(DISTANCE, without_offers=("SV-FEE",)), "Did you mean SV-FREE"),
    ],
)
def test_a_mistyped_name_is_answered_with_the_nearest(desk: Desk, request_: OrderRequest, words: str) -> None:
    """Whatever an order names, the sentence says which name was perhaps meant."""
    with pytest.raises(UnknownNameError, match=words):
        plan_sale(desk, request_)


def test_an_accessory_for_a_stranger_is_refused(desk: Desk) -> None:
    """What stands on a wearer's receipt is for a wearer of this customer."""
    with pytest.raises(UnknownNameError, match="no wearer called 'Bram'"):
        plan_sale(desk, OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code, wearer="Bram"),)))


def test_an_unknown_prescription_or_order_is_named(desk: Desk) -> None:
    """A number that means nothing is said back."""
    with pytest.raises(NumberUnknownError, match="there is no prescription 77"):
        plan_sale(desk, ordered(replace(DISTANCE, prescription=77)))
    with pytest.raises(NumberUnknownError, match="there is no order 77"):
        order_account(desk, 77)
