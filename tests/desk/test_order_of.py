"""Which order something belongs to, whatever it is."""

from __future__ import annotations

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.fixing import order_of
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.sales import record_sale
from shopledger.errors import StoreError
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.remedies import Fixable
from tests.desk.family import DISTANCE, READING, ordered


def test_an_order_is_found_by_each_of_its_things(desk: Desk) -> None:
    """Its job, payment and parcel; what belongs to no order has none."""
    record_sale(desk, ordered(DISTANCE))
    record_sale(desk, ordered(READING))
    take_payment(desk, 2, PaymentRequest(100, Method.CASH))
    ship_order(desk, 2, "Post", without_inspection="measured by hand")
    found = {what: order_of(desk, what, number) for what, number in
             ((Fixable.ORDER, 2), (Fixable.JOB, 2), (Fixable.PAYMENT, 1), (Fixable.PARCEL, 1))}  # fmt: skip
    assert set(found.values()) == {2}
    assert order_of(desk, Fixable.PRESCRIPTION, 1) is None


def test_what_is_not_there_is_refused(desk: Desk) -> None:
    """By its number."""
    with pytest.raises(StoreError):
        order_of(desk, Fixable.JOB, 99)
