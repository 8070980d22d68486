"""On which side an order stands on each day."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.books.prepaid import DayMoved, evened

FIRST, SECOND, THIRD = (date(2026, 3, day) for day in (2, 5, 9))


def test_a_payment_before_the_goods_left_is_the_customer_s() -> None:
    """100.00 paid on an order of which nothing left moves from what is owed to what is paid ahead."""
    assert list(evened({}, FIRST, -10_000)) == [(FIRST, 10_000)]


def test_goods_that_leave_use_up_what_was_paid_ahead() -> None:
    """100.00 were paid ahead and 120.00 leave: 20.00 are owed."""
    assert list(evened({FIRST: DayMoved(0, -10_000)}, SECOND, 12_000)) == [(SECOND, -10_000)]


def test_a_payment_dated_back_moves_the_days_after_it_too() -> None:
    """Sent on the fifth and owed since; a payment of the second is prepaid until then, and owed no longer after."""
    posted = {SECOND: DayMoved(12_000)}
    assert list(evened(posted, FIRST, -12_000)) == [(FIRST, 12_000), (SECOND, -12_000)]


def test_days_before_are_left_as_they_are() -> None:
    """An order that stood below zero in what is owed is set right on the day of what happens next."""
    assert list(evened({FIRST: DayMoved(-500)}, THIRD, 200)) == [(THIRD, 300)]


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(-500, 500)), min_size=1, max_size=12))
def test_in_whatever_order_things_are_recorded_no_day_stands_on_both_sides(events: list[tuple[int, int]]) -> None:
    """At each day's end one side is nothing, and both together are what all documents of days up to then come to."""
    moved: dict[date, DayMoved] = {}
    for after, owed in events:
        day = FIRST + timedelta(after)
        for at, evening in evened(moved, day, owed):
            before = moved.get(at, DayMoved())
            own = owed if at == day else 0
            moved[at] = DayMoved(before.receivable + own + evening, before.prepaid - evening)
    for after in range(10):
        upto = [each for day, each in moved.items() if day <= FIRST + timedelta(after)]
        receivable, prepaid = sum(each.receivable for each in upto), sum(each.prepaid for each in upto)
        assert receivable + prepaid == sum(owed for day, owed in events if day <= after)
        assert receivable >= 0 >= prepaid
        assert not receivable * prepaid
