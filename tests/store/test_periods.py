"""Months closed and reopened, as the ledger keeps them; a closed month takes no row in the database itself."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.ledger.books.closing import MonthState, PeriodDeed, PeriodEvent
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import Method, Payment
from shopledger.store.guards import DATED
from shopledger.store.opening import Ledger
from shopledger.store.refusals import MonthClosedError
from tests.documents import named
from tests.store.samples import NOW, OPERATOR, an_order, furnish

FEBRUARY, MARCH = Month(2026, 2), Month(2026, 3)
HEAD = Head(7, "ab" * 32)


def close(ledger: Ledger, month: Month, deed: PeriodDeed = PeriodDeed.CLOSED, reason: str = "") -> PeriodEvent:
    """Store that a month was closed or reopened."""
    with ledger.writing(OPERATOR, NOW) as work:
        return work.periods.add(PeriodEvent(month, deed, reason, ("NOT-SHIPPED", "NOT-PAID"), HEAD))


def posted(ledger: Ledger, day: date) -> None:
    """Post an entry on a day."""
    with ledger.writing(OPERATOR, NOW) as work:
        work.journal.post(
            Entry(day, "a sale", named("order 1"), (Posting(Account.CASH, 5), Posting(Account.SALES, -5)))
        )


def test_what_was_done_to_a_month_comes_back(ledger: Ledger) -> None:
    """An event keeps its reason, accepted codes, head and who did it; the newest counts."""
    first = close(ledger, MARCH)
    assert (first.number, first.operator, first.recorded_at) == (1, OPERATOR, "2026-03-02T15:04:05+00:00")
    second = close(ledger, MARCH, PeriodDeed.REOPENED, "a late bill")
    with ledger.reading() as work:
        assert work.periods.history(MARCH) == (first, second)
        assert work.periods.newest(MARCH) == second
        assert work.periods.newest(FEBRUARY) is None


def test_a_month_is_closed_while_the_newest_event_says_so(ledger: Ledger) -> None:
    """Closed, opened again, closed again: each time the newest holds, for that month alone."""
    for deed, reason, is_closed in (
        (PeriodDeed.CLOSED, "", True),
        (PeriodDeed.REOPENED, "a late bill", False),
        (PeriodDeed.CLOSED, "", True),
    ):
        close(ledger, MARCH, deed, reason)
        with ledger.reading() as work:
            assert work.periods.is_closed(MARCH) is is_closed
            assert not work.periods.is_closed(FEBRUARY)
            assert work.periods.closed_months() == ((MARCH,) if is_closed else ())


def test_a_day_of_a_closed_month_is_refused_by_name(ledger: Ledger) -> None:
    """The refusal names the month and how it is opened again; other days pass."""
    close(ledger, MARCH)
    with ledger.reading() as work:
        work.periods.refuse_closed(date(2026, 4, 1))
        with pytest.raises(MonthClosedError, match="'shopledger month reopen 2026-03 --reason TEXT'"):
            work.periods.refuse_closed(date(2026, 3, 31))


def test_months_with_entries_or_a_history_are_listed(ledger: Ledger) -> None:
    """Each month comes once, oldest first, with its count of entries and the newest event."""
    posted(ledger, date(2026, 3, 5))
    posted(ledger, date(2026, 3, 31))
    posted(ledger, date(2025, 12, 31))
    event = close(ledger, FEBRUARY)
    with ledger.reading() as work:
        assert work.periods.states() == (
            MonthState(Month(2025, 12), 1, net_sales=5),
            MonthState(FEBRUARY, 0, event),
            MonthState(MARCH, 2, net_sales=10),
        )


def test_the_database_refuses_every_dated_row_of_a_closed_month(ledger: Ledger) -> None:
    """No table whose rows count in a month takes one more of a closed month, by any road; other months still do."""
    furnish(ledger)
    with ledger.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        work.payments.add(Payment(1, date(2026, 3, 2), 100, Method.CASH))
    close(ledger, MARCH)
    for table in DATED:
        said = f"INSERT INTO {table} (day) VALUES ('2026-03-31')"  # noqa: S608 - names of ours
        with pytest.raises(MonthClosedError), ledger.writing(OPERATOR, NOW) as work:
            work.transaction.connection.exec_driver_sql(said)
    posted(ledger, date(2026, 4, 1))
    with ledger.reading() as work:
        assert work.journal.head() != EMPTY_HEAD
