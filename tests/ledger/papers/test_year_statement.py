"""The year statement: payments dated in the year, shared exactly over wearers and lines."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.orders import Cancellation, Method, OrderAccount, Refund
from shopledger.ledger.papers.year_statement import YearStatement, YearSums, year_statement
from tests.ledger.papers.bought import DAY, PAYER, account, order, paid_account
from tests.shelf import CHILD, CUSTOMER, SHOP

WEARERS = {1: CUSTOMER, 2: CHILD}
MADE_ON = date(2028, 1, 5)
TOTAL = order().total


def year_of(*accounts: OrderAccount, year: int = 2026) -> YearStatement:
    """Give the customer's year."""
    return year_statement(year, accounts, SHOP, PAYER, WEARERS, made_on=MADE_ON)


def test_a_paid_order_is_sorted_by_wearer_and_kind() -> None:
    """569.95 eyewear, 24.00 for cases, 5.44 shipping; the child 120.00 and 1.10; nobody 45.00, 3.26 tax and 0.41."""
    sums = {wearer.name: wearer.sums for wearer in year_of(paid_account()).wearers}
    assert sums == {
        CUSTOMER: YearSums(56995, 2400, 544),
        CHILD: YearSums(12000, 0, 110),
        "": YearSums(0, 4500, 326 + 41),
    }


def test_rows_name_order_day_and_kinds_of_goods() -> None:
    """Each row can be found again on the receipt."""
    (row,) = year_of(paid_account()).wearers[0].rows
    assert (row.order_number, row.day, row.goods) == (12, "2026-03-02", "frame, lenses, extra, accessory")


def test_a_payment_counts_in_the_year_of_its_own_day() -> None:
    """An order of March paid half in the next January stands in both years, each with its half."""
    split = account((DAY, 40000), (date(2027, 1, 4), TOTAL - 40000))
    assert year_of(split).sums.total == 40000
    assert year_of(split, year=2027).sums.total == TOTAL - 40000
    assert year_of(split, year=2025).wearers == ()


def test_a_refund_counts_against_the_line_it_names_in_its_own_year() -> None:
    """The sunglasses of 45.00 with 3.26 tax go back a year later: that year's part of nobody is below zero."""
    sold = paid_account()
    at = next(at for at, line in enumerate(sold.order.lines, 1) if line.description == "Plano sunglasses")
    back = Refund(12, date(2027, 2, 1), Method.CARD, "4242", "unworn", (LinePart(at, 4500, 326, 1),))
    refunded = replace(sold, refunds=(back,))
    (wearer,) = year_of(refunded, year=2027).wearers
    assert (wearer.name, wearer.sums) == ("", YearSums(0, -4500, -326))
    assert year_of(refunded).sums == year_of(sold).sums


def test_a_cancelled_order_leaves_nothing() -> None:
    """What had been paid is given back on the day of the cancellation: the year ends at zero, with both rows shown."""
    cancelled = replace(
        account((DAY, 30000), shipped=False), cancellation=Cancellation(12, date(2026, 3, 5), "changed mind")
    )
    statement = year_of(cancelled)
    assert statement.sums == YearSums()
    assert [row.sums.total > 0 for row in statement.wearers[0].rows] == [True, False]


def test_a_year_that_has_not_begun_is_refused() -> None:
    """Nothing was paid in the future."""
    with pytest.raises(RefusedError, match="2029"):
        year_of(year=2029)


DAYS = st.dates(date(2025, 11, 1), date(2027, 2, 28))


@given(st.lists(st.tuples(DAYS, st.floats(0, 1)), max_size=5), st.booleans())
def test_all_years_together_are_what_was_paid(moves: list[tuple[date, float]], rest: bool) -> None:
    """No cent is lost or found: over all years the sums are the payments, and clear every line of a paid order."""
    left, payments = TOTAL, []
    for day, share in sorted(moves):
        amount = int(left * share)
        left -= amount
        if amount:
            payments.append((day, amount))
    if rest and left:
        payments.append((date(2027, 3, 1), left))
    years = [year_of(account(*payments), year=year) for year in (2025, 2026, 2027)]
    for year in years:
        assert sum(wearer.sums.total for wearer in year.wearers) == year.sums.total
        assert year.sums.total == sum(amount for day, amount in payments if day.year == year.year)
    if sum(amount for _, amount in payments) == TOTAL:
        whole = YearSums()
        for year in years:
            whole = whole.plus(year.sums)
        assert whole == YearSums(56995 + 12000, 2400 + 4500, 695 + 326)


@given(st.lists(st.integers(1, TOTAL // 4), max_size=4))
def test_no_kind_is_ever_overpaid(amounts: list[int]) -> None:
    """However the payments fall, no sum exceeds what its lines cost."""
    sums = year_of(account(*((DAY, amount) for amount in amounts))).sums
    assert 0 <= sums.eyewear <= 68995
    assert 0 <= sums.others <= 2400 + 4500
    assert 0 <= sums.shipping_and_tax <= 1021
