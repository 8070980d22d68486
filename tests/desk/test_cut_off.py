"""What is open on a day: by what was known up to it, whatever happened later; and beside the accounts, on any day."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.context import Desk
from shopledger.desk.copying import copy_to_draft
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, parcels
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.open_rows import ORDERS, OpenKind, OpenRow
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.posted_rows import TrialRow
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from tests.desk import busy_month
from tests.desk.books import on_both
from tests.desk.busy_year import busy_year
from tests.desk.family import Past, later
from tests.shelf import CASE, CUSTOMER

pytestmark = pytest.mark.slow

TWO_CASES = OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code, 2),), shipping=0)
"""24.00."""


@pytest.fixture(scope="module", params=["year", "month"])
def past(request: pytest.FixtureRequest) -> Past:
    """Trade for a busy year, or live through two busy months."""
    return busy_year if request.param == "year" else busy_month.live_through


def open_on(desk: Desk, day: date) -> list[OpenRow]:
    """Give what was open on a day."""
    with desk.reading() as work:
        return list(work.reports.rows(OpenRow, Period(day.replace(day=1), day)))


def order_on(desk: Desk, number: int, *days: str) -> list[tuple[str, int, str] | None]:
    """Give in which list an order stood at the end of some days, what was left of it, and what was sent."""
    found: list[tuple[str, int, str] | None] = []
    for day in days:
        rows = [row for row in open_on(desk, date.fromisoformat(day)) if row.number == number]
        orders = [row for row in rows if row.kind in ORDERS]
        found.append((orders[0].kind.name, orders[0].left, orders[0].about) if orders else None)
    return found


@on_both
def test_what_is_open_stands_on_its_account_at_every_month_s_end(desk: Desk) -> None:
    """Order by order, bill by bill and deposit by deposit, they add up to what the journal says."""
    # An order is owed as far as its goods left and are not paid, or paid ahead as far as they did not: never both.
    for month in Period(date(2026, 3, 1), date(2027, 3, 31)).months:
        rows = open_on(desk, month.last)
        with desk.reading() as work:
            closing = {row.title: row.closing for row in work.reports.rows(TrialRow, month.days)}
        found = {
            Account.RECEIVABLE: sum(row.owed for row in rows),
            Account.PREPAYMENTS: sum(row.ahead for row in rows),
            Account.ACCOUNTS_PAYABLE: sum(row.left for row in rows if row.kind is OpenKind.BILL),
            Account.CUSTOMER_DEPOSITS: sum(row.left for row in rows if row.kind is OpenKind.DEPOSIT),
        }
        for account, amount in found.items():
            stands = closing.get(account.title, 0) * (1 if account.kind is AccountKind.ASSET else -1)
            assert amount == stands, f"{month} {account.title}"
        assert [row for row in rows if row.owed and row.ahead] == []


@on_both
def test_an_order_moves_through_the_lists_by_the_day(desk: Desk) -> None:
    """Sold, paid, shipped, back again, and given back: each day says what was known then, whatever came after."""
    there = later(desk, date(2027, 3, 1))
    number = number_of(record_sale(there, TWO_CASES).order)
    take_payment(later(desk, date(2027, 3, 3)), number, PaymentRequest(1_000, Method.CASH))
    ship_order(later(desk, date(2027, 3, 5)), number, "Harrow Post")
    take_payment(later(desk, date(2027, 3, 7)), number, PaymentRequest(1_400, Method.CHECK, "77"))
    sent = number_of(parcels(later(desk, date(2027, 3, 7)), number)[0])
    parcel_back(later(desk, date(2027, 3, 9)), sent, "unclaimed")
    give_refund(
        later(desk, date(2027, 3, 11)), number, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 200),))
    )
    days = ("2027-02-28", "2027-03-01", "2027-03-03", "2027-03-05", "2027-03-07", "2027-03-09", "2027-03-11")
    assert order_on(there, number, *days) == [
        None,
        ("SOLD", 2_400, "nothing was sent"),
        ("SOLD", 1_400, "nothing was sent"),
        ("SHIPPED", 1_400, "all of it was sent"),
        None,
        ("PAID", 0, "nothing was sent"),
        ("PAID", 0, "nothing was sent"),
    ]
    counted = [
        (row.whole, row.paid, row.counted, row.later_net, row.owed, row.ahead)
        for day in (3, 5, 9, 11)
        for row in open_on(there, date(2027, 3, day))
        if row.number == number and row.kind in ORDERS
    ]
    assert counted == [
        (2_400, 1_000, 0, 2_400, 0, 1_000),
        (2_400, 1_000, 2_400, 0, 1_400, 0),
        (2_400, 2_400, 0, 2_400, 0, 2_400),
        (2_200, 2_200, 0, 2_200, 0, 2_200),
    ]


@on_both
def test_a_cancelled_order_is_open_until_then(desk: Desk) -> None:
    """It stands in a list up to the day before its cancellation."""
    there = later(desk, date(2027, 3, 1))
    number = number_of(record_sale(there, TWO_CASES).order)
    cancel_order(later(desk, date(2027, 3, 4)), number, "changed her mind")
    assert order_on(there, number, "2027-03-03", "2027-03-04") == [("SOLD", 2_400, "nothing was sent"), None]


@on_both
def test_deposits_and_drafts_are_listed_until_they_are_used(desk: Desk) -> None:
    """A deposit with what is left of it; a draft, which has no charge yet."""
    there = later(desk, date(2027, 3, 1))
    before = {(row.kind, row.number) for row in open_on(there, date(2027, 3, 1))}
    number = number_of(record_sale(there, TWO_CASES).order)
    draft = copy_to_draft(there, number)
    take_deposit(there, DepositRequest(CUSTOMER, 5_000, Method.CASH))
    rows = [row for row in open_on(there, date(2027, 3, 1)) if (row.kind, row.number) not in before]
    assert [(row.kind, row.whole, row.paid) for row in rows] == [
        (OpenKind.SOLD, 2_400, 0), (OpenKind.DEPOSIT, 5_000, 0), (OpenKind.DRAFT, 0, 0),
    ]  # fmt: skip
    record_sale(later(desk, date(2027, 3, 5)), TWO_CASES, draft.number)
    kinds = [[row.kind for row in open_on(there, date(2027, 3, day))] for day in (1, 5)]
    assert [OpenKind.DRAFT in each for each in kinds] == [True, False]
