"""Taking a payment on an order, and shipping it."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import newest_orders, order_account
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.people import add_customer
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, on_both, postings
from tests.desk.family import DISTANCE, inspected, later, ordered
from tests.parcels import whole_parcel
from tests.shelf import CASE, CUSTOMER, HOME


@pytest.fixture
def owing(desk: Desk) -> Desk:
    """Record an order of 180.00 on 2 March, nothing paid, and come back a week later."""
    record_sale(desk, ordered(DISTANCE))
    return later(desk, date(2026, 3, 9))


@on_both
def test_two_payments_settle_an_order(owing: Desk) -> None:
    """Each is kept with its day, method and reference, and posted to where the money went."""
    # What is paid before the goods left is the customer's until then; what is paid after lowers what is owed.
    take_payment(owing, 1, PaymentRequest(10001, Method.CHECK, "1187", date(2026, 3, 4)))
    ship_order(owing, 1, "post", day=date(2026, 3, 5), without_inspection="sent at once")
    account = take_payment(owing, 1, PaymentRequest(7999, Method.CASH))
    assert account == order_account(owing, 1)
    assert [(paid.day.day, paid.amount, paid.method, paid.reference) for paid in account.payments] == [
        (4, 10001, Method.CHECK, "1187"),
        (9, 7999, Method.CASH, ""),
    ]
    assert account.balance == 0
    assert [each for each in postings(owing) if each[0].startswith("payment")] == [
        ("payment 1", "bank", 10001),
        ("payment 1", "customer prepayments", -10001),
        ("payment 2", "cash", 7999),
        ("payment 2", "receivable", -7999),
    ]


@pytest.mark.parametrize(
    ("method", "account"),
    [(Method.CARD, "card clearing"), (Method.CASH, "cash"), (Method.CHECK, "bank"), (Method.TRANSFER, "bank")],
)
def test_money_goes_where_its_method_says(owing: Desk, method: Method, account: str) -> None:
    """Card payments wait for the processor; checks and transfers are in the bank."""
    take_payment(owing, 1, PaymentRequest(100, method))
    assert postings(owing) == [("payment 1", account, 100), ("payment 1", "customer prepayments", -100)]


@on_both
@pytest.mark.parametrize(
    ("payment", "words"),
    [
        (PaymentRequest(18001, Method.CASH), "payment is 180.01; only 180.00 is still owed. Take 180.00 or less."),
        (PaymentRequest(100, Method.CASH, day=date(2026, 3, 1)), "the order was recorded on 2026-03-02"),
        (PaymentRequest(100, Method.CASH, day=date(2026, 3, 10)), "it lies after today, 2026-03-09"),
    ],
)
def test_a_payment_that_cannot_be_is_refused(owing: Desk, payment: PaymentRequest, words: str) -> None:
    """Nothing is stored or posted."""
    before, head = everything(owing), prove_books(owing)
    with pytest.raises(RefusedError) as refused:
        take_payment(owing, 1, payment)
    assert words in str(refused.value)
    assert (everything(owing), prove_books(owing)) == (before, head)


def test_an_order_paid_in_full_takes_no_more(owing: Desk) -> None:
    """The sentence says so."""
    take_payment(owing, 1, PaymentRequest(18000, Method.CASH))
    with pytest.raises(RefusedError, match="The order is paid in full"):
        take_payment(owing, 1, PaymentRequest(1, Method.CASH))


def test_a_payment_may_be_of_the_order_s_own_day(owing: Desk) -> None:
    """The day itself is not before it."""
    assert take_payment(owing, 1, PaymentRequest(1, Method.CASH, day=date(2026, 3, 2))).paid == 1


@on_both
def test_an_order_is_shipped(owing: Desk) -> None:
    """With its day, carrier and number; today where no day is given."""
    inspected(owing)
    account = ship_order(owing, 1, "post", "9400-5550-1001")
    assert account.parcels == (whole_parcel(account.order, date(2026, 3, 9), "post", "9400-5550-1001", 1),)
    assert order_account(owing, 1) == account


@on_both
def test_an_order_is_shipped_once(owing: Desk) -> None:
    """The first shipment is named."""
    ship_order(owing, 1, "post", day=date(2026, 3, 4), without_inspection="sent at once")
    before = everything(owing)
    with pytest.raises(RefusedError, match=r"order is 1; it was shipped on 2026-03-04\. Nothing is left to ship"):
        ship_order(owing, 1, "post")
    assert everything(owing) == before


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 3, 1), "shipping day is 2026-03-01; the order was recorded on 2026-03-02"),
        (date(2026, 3, 10), "shipping day is 2026-03-10; it lies after today, 2026-03-09"),
    ],
)
def test_an_order_is_shipped_between_its_day_and_today(owing: Desk, day: date, words: str) -> None:
    """That day is the date of service on a claim."""
    with pytest.raises(RefusedError, match=words):
        ship_order(owing, 1, "post", day=day)
    assert order_account(owing, 1).parcels == ()


def test_a_parcel_has_a_carrier(owing: Desk) -> None:
    """An empty one is refused, and nothing is stored."""
    before = everything(owing)
    with pytest.raises(RefusedError, match="carrier"):
        ship_order(owing, 1, " ")
    assert everything(owing) == before


def test_an_unknown_order_is_named(desk: Desk) -> None:
    """Neither paid nor shipped."""
    with pytest.raises(NumberUnknownError, match="there is no order 9"):
        take_payment(desk, 9, PaymentRequest(1, Method.CASH))
    with pytest.raises(NumberUnknownError, match="there is no order 9"):
        ship_order(desk, 9, "post")


def test_the_newest_orders_come_first(owing: Desk) -> None:
    """Of one customer or of all, with what was paid; no more than asked for."""
    add_customer(owing, "Bram Ollerenshaw", HOME)
    record_sale(owing, OrderRequest("Bram", accessories=(AccessoryRequest(CASE.code),)))
    take_payment(owing, 1, PaymentRequest(100, Method.CASH))
    shown = [(account.order.number, account.paid, name) for account, name in newest_orders(owing)]
    assert shown == [(2, 0, "Bram Ollerenshaw"), (1, 100, CUSTOMER)]
    assert [account.order.number for account, _ in newest_orders(owing, "Odalys")] == [1]
    assert len(newest_orders(owing, limit=1)) == 1
