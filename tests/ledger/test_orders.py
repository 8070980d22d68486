"""Requests, lines, orders and what happened to them: valid from birth, sums that hold."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import (
    AccessoryRequest,
    Charge,
    Method,
    Order,
    OrderAccount,
    OrderLine,
    OrderRequest,
    PairRequest,
    Payment,
    PaymentRequest,
)
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.parties import Address
from shopledger.money.tax import TaxRounding
from shopledger.optics.sides import Side

DAY = date(2026, 3, 2)
HOME = Address("18 Tansy Lane", "Millbrae", "OH", "43002")
PAIR = PairRequest("Odalys Fernhollow", "SV-150", "WREN-52")


def charge(net: int, side: Side | None = None) -> Charge:
    """A charge of that net amount."""
    return Charge("Lens", side, "V2100", net, 0, net)


def line(list_price: int = 10000, reduction: int = 0, **changes: Any) -> OrderLine:  # noqa: ANN401 - any field of a line
    """A line of that price and reduction."""
    details: dict[str, Any] = {
        "kind": LineKind.LENSES,
        "item_code": "SV-150",
        "description": "Clear single vision",
        "list_price": list_price,
        "reduction": reduction,
        "net": list_price - reduction,
        "tax_category": TaxCategory.PRESCRIPTION_EYEWEAR,
        "reimbursement": Reimbursement.ELIGIBLE,
        "reimbursement_reason": "",
    }
    return OrderLine(**(details | changes))


@pytest.mark.parametrize("quantity", [0, -1, 1000])
def test_an_accessory_is_asked_for_once_at_least(quantity: int) -> None:
    """From 1 to 999."""
    assert AccessoryRequest("CASE", 999).quantity == 999
    with pytest.raises(RefusedError, match="from 1 to 999"):
        AccessoryRequest("CASE", quantity)


@pytest.mark.parametrize("amount", [0, -100])
def test_a_payment_is_more_than_nothing(amount: int) -> None:
    """Money going back is an entry of its own."""
    with pytest.raises(RefusedError, match="refund is an entry of its own"):
        PaymentRequest(amount, Method.CASH)


@pytest.mark.parametrize(
    ("method", "reference"),
    [
        (Method.CARD, "4000 1234 5678 9010"),
        (Method.CARD, "ending 42421"),
        (Method.CHECK, "1234567890123"),
        (Method.TRANSFER, "4000123456789010"),
    ],
)
def test_a_whole_card_number_is_refused_and_not_repeated(method: Method, reference: str) -> None:
    """At most four digits for a card, twelve for a check or transfer; the refusal shows none of them."""
    with pytest.raises(RefusedError, match="last four digits") as caught:
        PaymentRequest(5000, method, reference)
    assert reference not in str(caught.value)


def test_a_short_reference_is_kept() -> None:
    """The last four digits of a card, the number of a check."""
    assert PaymentRequest(5000, Method.CARD, " ending  4242 ").reference == "ending 4242"
    assert PaymentRequest(5000, Method.CHECK, "123456789012").reference == "123456789012"


def test_an_order_asks_for_something() -> None:
    """A pair or an accessory; neither is refused."""
    assert OrderRequest("Odalys", pairs=(PAIR,), note=" by  phone ").note == "by phone"
    assert OrderRequest("Odalys", accessories=(AccessoryRequest("CASE"),)).shipping is None
    with pytest.raises(RefusedError, match="at least one pair, frame or accessory"):
        OrderRequest("Odalys")


def test_shipping_is_not_negative() -> None:
    """It may be free."""
    assert OrderRequest("Odalys", (PAIR,), shipping=0).shipping == 0
    with pytest.raises(RefusedError, match=r"shipping is -0\.01"):
        OrderRequest("Odalys", (PAIR,), shipping=-1)


def test_a_charge_names_its_side_by_modifier() -> None:
    """RT right, LT left (HCPCS Level II modifiers), nothing where there is no side."""
    assert [charge(1, side).modifier for side in (Side.RIGHT, Side.LEFT, None)] == ["RT", "LT", ""]


@pytest.mark.parametrize(
    "wrong",
    [
        {"net": 9999},
        {"list_price": 10000, "reduction": 10001},
        {"reduction": -1},
        {"charges": (charge(5000), charge(4999))},
    ],
    ids=str,
)
def test_a_line_s_sums_hold(wrong: dict[str, Any]) -> None:
    """Net is list less reduction, none negative, and the charges add up to it."""
    assert line(10000, 10000).net == 0
    assert line(charges=(charge(5000), charge(5000)))
    with pytest.raises(RefusedError, match="fault of the program"):
        line(**wrong)


def test_an_order_adds_up_its_lines() -> None:
    """List, reduction, net, tax and the total owed."""
    order = Order(1, DAY, HOME, (), (line(10000, 2500, tax=543), line(1200, tax=87)), TaxRounding.PER_LINE)
    assert (order.list_total, order.reduction_total, order.net_total) == (11200, 2500, 8700)
    assert (order.tax_total, order.total) == (630, 9330)


def test_an_account_knows_what_is_paid_and_owed() -> None:
    """The balance is the total less the payments."""
    order = Order(1, DAY, HOME, (), (line(10000),), TaxRounding.PER_LINE, number=7)
    payments = (Payment(7, DAY, 4000, Method.CARD), Payment(7, DAY, 1000, Method.CASH))
    account = OrderAccount(order, payments)
    assert (account.paid, account.balance) == (5000, 5000)
    assert OrderAccount(order).balance == 10000


def test_a_parcel_names_its_carrier() -> None:
    """The tracking number may be left out, the carrier not."""
    assert Parcel(7, DAY, HOME, " Parcel  post ").carrier == "Parcel post"
    with pytest.raises(RefusedError, match="carrier is empty"):
        Parcel(7, DAY, HOME, "")
