"""Orders count as sold with their goods: what a month and a balance say before they leave, when they do, and after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from shopledger.desk.books.closing import close_month, plan_closing, prove_books
from shopledger.desk.books.order_postings import orders_to_put_off, put_orders_off
from shopledger.desk.books.reports import year_figures
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.sales import record_sale
from shopledger.desk.shop import change_shop
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.settings import Accounting, Advances
from shopledger.ledger.shipping import PackRequest
from tests.counted import post_sale
from tests.desk.books import on_both
from tests.desk.family import TWICE, later
from tests.shelf import CASE, CUSTOMER, SHADES

FOUR_SHADES = OrderRequest(CUSTOMER, (), (AccessoryRequest(SHADES.code, 4),), shipping=600, accept=TWICE)
"""Four sunglasses at 45.00 with 7.25 % of sales tax, and 6.00 shipping: 180.00, 13.05 and 6.00, in all 199.05."""
MARCH, APRIL = Month(2026, 3), Month(2026, 4)
STANDING = (Account.RECEIVABLE, Account.PREPAYMENTS, Account.SALES, Account.SHIPPING_INCOME, Account.RETURNS)


def at(desk: Desk, month: int, day: int) -> Desk:
    """Come to the shop on a day of 2026."""
    return later(desk, date(2026, month, day))


def stands(desk: Desk, day: date | None = None) -> tuple[int, ...]:
    """Give what is owed, paid ahead, sold and shipped, and given back of that, to the end of a day; and the tax."""
    with desk.reading() as work:
        accounts = work.balances.all(day)
    return tuple(accounts.get(account, 0) for account in (*STANDING, Account.SALES_TAX_PAYABLE))


@on_both
def test_what_is_paid_in_march_and_sent_in_april_is_sold_in_april(desk: Desk) -> None:
    """199.05 is the customer's at the end of March; in April 180.00 of it are sales, 6.00 shipping and 13.05 tax."""
    record_sale(at(desk, 3, 30), FOUR_SHADES)
    take_payment(at(desk, 3, 31), 1, PaymentRequest(19_905, Method.CASH))
    ship_order(at(desk, 4, 2), 1, "Harrow Post")
    there = at(desk, 4, 2)
    assert stands(there, MARCH.last) == (0, -19_905, 0, 0, 0, 0)
    assert stands(there) == (0, 0, -18_000, -600, 0, -1_305)
    with there.reading() as work:
        march, april = (work.reports.figures(month.days) for month in (MARCH, APRIL))
    assert (march.totals.orders, march.totals.net_kept, march.accrual_result) == (1, 0, 0)
    assert (april.totals.orders, april.totals.net_kept, april.totals.tax_kept) == (0, 18_600, 1_305)
    assert (march.cash_result, april.cash_result) == (18_600, 0)
    assert prove_books(there).holds


@on_both
def test_what_is_sent_before_it_is_paid_is_owed(desk: Desk) -> None:
    """Of four one leaves: 45.00 and 3.26, a quarter of 13.05, and the shipping, less 5.00 paid ahead."""
    record_sale(at(desk, 3, 2), FOUR_SHADES)
    take_payment(at(desk, 3, 3), 1, PaymentRequest(500, Method.CASH))
    ship_order(at(desk, 3, 4), 1, "Harrow Post", only=PackRequest((), ((1, 1),)))
    assert stands(at(desk, 3, 4)) == (4_500 + 326 + 600 - 500, 0, -4_500, -600, 0, -326)
    ship_order(at(desk, 3, 5), 1, "Harrow Post")
    assert stands(at(desk, 3, 5)) == (19_905 - 500, 0, -18_000, -600, 0, -1_305)


@on_both
def test_a_payment_recorded_late_is_prepaid_on_the_days_before_the_goods_left(desk: Desk) -> None:
    """Sent on 2 April, its payment of 31 March is found later: paid ahead in March, and owed no longer in April."""
    record_sale(at(desk, 3, 30), FOUR_SHADES)
    ship_order(at(desk, 4, 2), 1, "Harrow Post")
    take_payment(at(desk, 4, 6), 1, PaymentRequest(19_905, Method.CHECK, "77", date(2026, 3, 31)))
    there = at(desk, 4, 6)
    assert stands(there, MARCH.last)[:2] == (0, -19_905)
    assert stands(there)[:2] == (0, 0)
    assert prove_books(there).holds


@on_both
def test_what_is_given_back_before_the_goods_left_was_never_sold(desk: Desk) -> None:
    """One of four is not wanted, 45.00 and 3.26 go back; three leave and are sold for 135.00 and 9.79; no return."""
    record_sale(at(desk, 3, 2), FOUR_SHADES)
    take_payment(at(desk, 3, 2), 1, PaymentRequest(19_905, Method.CASH))
    give_refund(at(desk, 3, 3), 1, RefundRequest(Method.CASH, "too many", (RefundedLine(1, 4_500, 1),)))
    assert stands(at(desk, 3, 3)) == (0, -19_905 + 4_826, 0, 0, 0, 0)
    ship_order(at(desk, 3, 4), 1, "Harrow Post")
    assert stands(at(desk, 3, 4)) == (0, 0, -13_500, -600, 0, -979)
    give_refund(at(desk, 3, 9), 1, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 400),)))
    assert stands(at(desk, 3, 9)) == (0, 0, -13_500, -600, 400, -979 + 29)
    assert prove_books(at(desk, 3, 9)).holds


@on_both
def test_a_parcel_that_comes_back_is_no_sale_until_it_leaves_again(desk: Desk) -> None:
    """Not paid yet: nothing is owed while it lies here, and all of it again once it left."""
    record_sale(at(desk, 3, 2), FOUR_SHADES)
    ship_order(at(desk, 3, 3), 1, "Harrow Post")
    parcel_back(at(desk, 3, 9), 1, "nobody at home")
    assert stands(at(desk, 3, 9)) == (0, 0, 0, 0, 0, 0)
    send_again(at(desk, 3, 10), 1, "Harrow Post")
    assert stands(at(desk, 3, 10)) == (19_905, 0, -18_000, -600, 0, -1_305)
    assert prove_books(at(desk, 3, 10)).holds


@on_both
def test_an_order_that_is_cancelled_before_it_left_was_never_a_sale(desk: Desk) -> None:
    """Its payment goes back, and no month shows a sale or a return of it."""
    record_sale(at(desk, 3, 2), FOUR_SHADES)
    take_payment(at(desk, 3, 2), 1, PaymentRequest(2_000, Method.CASH))
    cancel_order(at(desk, 3, 4), 1, "changed her mind")
    there = at(desk, 3, 4)
    assert stands(there) == (0, 0, 0, 0, 0, 0)
    with there.reading() as work:
        totals = work.reports.totals(MARCH.days)
    assert (totals.orders, totals.cancellations, totals.net_kept, totals.cancelled_net) == (1, 1, 0, 0)


@on_both
def test_the_year_counts_what_is_paid_ahead_as_the_owner_chose(desk: Desk) -> None:
    """100.00 of 199.05 paid in December carry 186.00 / 199.05 of goods and shipping: 93.44; the rest comes later."""
    record_sale(at(desk, 12, 30), FOUR_SHADES)
    take_payment(at(desk, 12, 31), 1, PaymentRequest(10_000, Method.CASH))
    there = later(desk, date(2027, 1, 4))
    ship_order(there, 1, "Harrow Post")

    def line_1(year: int) -> int:
        return year_figures(there, Period.of_year(year)).schedule(Accounting.ACCRUAL)["1"]

    assert (line_1(2026), line_1(2027)) == (0, 18_600)
    change_shop(there, lambda shop, settings: (shop, replace(settings, advances=Advances.RECEIVED)))
    assert (line_1(2026), line_1(2027)) == (9_344, 18_600 - 9_344)


def of_before(desk: Desk, month: int, day: int, request: OrderRequest) -> int:
    """Record an order that counts on its own day, as all did once; gives its number."""
    there = at(desk, month, day)
    number = record_sale(there, request).order.number or 0
    with there.writing() as work:
        post_sale(work, work.orders.get(number))
    return number


@on_both
def test_orders_of_before_are_put_off_by_one_entry_each(desk: Desk) -> None:
    """Of four one left; 135.00 and 9.79 count no longer, and the paid rest is the customer's."""
    of_before(desk, 3, 2, FOUR_SHADES)
    of_before(desk, 3, 2, OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code),), shipping=0))
    take_payment(at(desk, 3, 2), 1, PaymentRequest(19_905, Method.CASH))
    ship_order(at(desk, 3, 3), 1, "Harrow Post", only=PackRequest((), ((1, 1),)))
    there = at(desk, 4, 2)
    assert stands(there) == (1_200, 0, -18_000 - 1_200, -600, 0, -1_305)
    assert [(each.account.order.number, each.net, each.tax) for each in orders_to_put_off(there)] == [
        (1, 13_500, 979), (2, 1_200, 0),
    ]  # fmt: skip
    put_orders_off(there)
    assert stands(there) == (0, -13_500 - 979, -4_500, -600, 0, -326)
    assert put_orders_off(there) == ()
    with there.reading() as work:
        assert work.reports.totals(MARCH.days).net_kept == 18_000 + 600 + 1_200
        assert work.reports.totals(APRIL.days).net_kept == -13_500 - 1_200
    for number in (1, 2):
        ship_order(there, number, "Harrow Post")
    assert stands(there) == (1_200, 0, -18_000 - 1_200, -600, 0, -1_305)
    assert prove_books(there).holds


@on_both
def test_closing_points_out_orders_of_before_and_what_was_closed_stays(desk: Desk) -> None:
    """March is closed as it counted then; putting off changes April alone."""
    of_before(desk, 3, 2, FOUR_SHADES)
    there = at(desk, 4, 2)
    found = plan_closing(there, MARCH).findings
    assert any(finding.code == "NOT-PUT-OFF" and "'shopledger month put-off'" in finding.sentence for finding in found)
    close_month(there, MARCH, frozenset(finding.code for finding in found))
    with there.reading() as work:
        before = work.reports.figures(MARCH.days)
    put_orders_off(there)
    with there.reading() as work:
        assert work.reports.figures(MARCH.days) == before
    cancel_order(there, 1, "ordered twice")
    assert stands(there) == (0, 0, 0, 0, 0, 0)
    assert order_account(there, 1).cancellation is not None
    assert prove_books(there).holds
