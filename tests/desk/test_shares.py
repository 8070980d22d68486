"""Whatever is ordered and paid: the wearers' receipts and what is nobody's add up to the ledger's own totals."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import period_figures
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.period import Month
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import NOBODY, AccessoryRequest, Method, OrderAccount, OrderRequest, PaymentRequest
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import StockedKind
from tests.desk.family import CHILDS, DISTANCE, PROGRESSIVE, READING, TWICE
from tests.shelf import CASE, CHILD, CUSTOMER, LARK, SHADES, WREN

wanted_pairs = st.builds(
    lambda pair, coated, own: replace(pair, extras=("CLEAR",) if coated else (), frame_owned=own),
    st.sampled_from([DISTANCE, READING, PROGRESSIVE, CHILDS]),
    st.booleans(),
    st.booleans(),
)
DELIVERIES = 5
"""So often goods come, never a hundred times as many as usual."""
goods = st.builds(
    AccessoryRequest,
    st.sampled_from([CASE.code, SHADES.code]),
    st.integers(1, 3),
    st.sampled_from([NOBODY, CUSTOMER, CHILD]),
)
orders = st.builds(
    OrderRequest,
    st.just(CUSTOMER),
    st.lists(wanted_pairs, min_size=1, max_size=3).map(tuple),
    st.lists(goods, max_size=2).map(tuple),
    without_offers=st.sampled_from([(), ("SV-FREE",)]),
    shipping=st.integers(0, 1500),
    accept=st.just(TWICE),
)
parts_paid = st.lists(st.integers(1, 100), min_size=1, max_size=4)
"""How many hundredths of what is still owed are paid, time after time."""


@pytest.fixture
def full_shelves(desk: Desk) -> Desk:
    """Receive enough for every order that may be tried."""
    for kind, goods in ((StockedKind.FRAME, (WREN, LARK)), (StockedKind.ACCESSORY, (CASE, SHADES))):
        for item in goods * DELIVERIES:
            receive_stock(desk, kind, item.code, 180, item.cost)
    return desk


@pytest.mark.slow
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(request_=orders, hundredths=parts_paid)
def test_receipts_add_up_to_the_ledger(
    full_shelves: Desk, tmp_path: Path, request_: OrderRequest, hundredths: list[int]
) -> None:
    """Charges, shipping, tax, payments and balance: nothing is lost between the receipts or counted twice."""
    # Once the goods left, the month counts just that as sold.
    month = Month(2026, 3)
    before = period_figures(full_shelves, month.days)[0].totals
    account = paid_in_part(full_shelves, number_of(record_sale(full_shelves, request_).order), hundredths)
    order = account.order
    contents = [receipt_of(full_shelves, account, number, tmp_path) for number in wearers_of(account)]
    rest = [part for part in parts_of(account) if part.wearer_number is None]
    assert sum(part.total for part in rest) + sum(content.total for content in contents) == order.total
    assert sum(part.tax for part in rest) + sum(content.tax for content in contents) == order.tax_total
    assert sum(part.paid for part in rest) + sum(content.paid for content in contents) == account.paid
    assert sum(part.balance for part in rest) + sum(content.balance for content in contents) == account.balance
    for content in contents:
        charged = sum(line.charge for line in content.lines)
        assert charged + content.shipping + content.tax == content.total == content.paid + content.balance
        assert sum(payment.amount for payment in content.payments) == content.paid
        assert content.balance >= 0
    ship_order(full_shelves, number_of(order), "post", without_inspection="a trial")
    assert added(before, period_figures(full_shelves, month.days)[0].totals) == PeriodTotals(
        1, order.list_total, order.reduction_total, order.net_total, order.tax_total, account.paid
    )
    assert prove_books(full_shelves).failed == ()


def paid_in_part(desk: Desk, order_number: int, hundredths: list[int]) -> OrderAccount:
    """Pay parts of what is owed, one after another, as long as anything is."""
    for part in hundredths:
        owed = order_account(desk, order_number).balance
        if amount := owed * part // 100:
            take_payment(desk, order_number, PaymentRequest(amount, Method.CARD))
    return order_account(desk, order_number)


def wearers_of(account: OrderAccount) -> list[int]:
    """Give the numbers of those who have a part in the order."""
    return [part.wearer_number for part in parts_of(account) if part.wearer_number is not None]


def receipt_of(desk: Desk, account: OrderAccount, wearer: int, folder: Path) -> ReceiptContent:
    """Issue one wearer's receipt, paid in full or not."""
    number = number_of(account.order)
    return issue_receipt(desk, number, str(wearer), folder, not_paid_in_full=True).receipt.content


def added(before: PeriodTotals, after: PeriodTotals) -> PeriodTotals:
    """Give what one order added to a month."""
    names = [field.name for field in fields(PeriodTotals)]
    return PeriodTotals(*(getattr(after, name) - getattr(before, name) for name in names))
