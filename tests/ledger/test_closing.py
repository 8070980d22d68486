"""Which months may be closed or opened again, and what is said of one that may not."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.books.closing import (
    MonthNotReadyError,
    MonthState,
    PeriodDeed,
    PeriodEvent,
    accepted_codes,
    check_closable,
    check_reopenable,
)
from shopledger.ledger.books.journal import EMPTY_HEAD
from shopledger.ledger.books.period import Month
from shopledger.optics.findings import Finding, Severity

JANUARY, FEBRUARY, MARCH = (Month(2026, number) for number in (1, 2, 3))
IN_APRIL = date(2026, 4, 1)


def event(month: Month, deed: PeriodDeed, reason: str = "") -> PeriodEvent:
    """Give what was done to a month."""
    return PeriodEvent(month, deed, reason, (), EMPTY_HEAD)


def opened(month: Month) -> MonthState:
    """Give a month with entries that nobody closed."""
    return MonthState(month, 3)


def closed(month: Month) -> MonthState:
    """Give a closed month."""
    return MonthState(month, 3, event(month, PeriodDeed.CLOSED))


def finding(severity: Severity, code: str) -> Finding:
    """Give a finding with a sentence of its own."""
    return Finding(severity, code, "order", "1", "", "", f"This is {code}.")


def test_a_month_is_closed_only_once_it_has_ended() -> None:
    """On its last day a month still lasts; the day after it may be closed."""
    with pytest.raises(RefusedError, match="it lasts until 2026-03-31"):
        check_closable(MARCH, [], date(2026, 3, 31))
    check_closable(MARCH, [], IN_APRIL)


def test_months_are_closed_one_after_another() -> None:
    """An earlier open month with entries is named with the command that closes it; closed ones are not in the way."""
    with pytest.raises(RefusedError, match="'shopledger month close 2026-01'"):
        check_closable(MARCH, [opened(JANUARY), opened(FEBRUARY), opened(MARCH)], IN_APRIL)
    check_closable(MARCH, [closed(JANUARY), closed(FEBRUARY), opened(MARCH)], IN_APRIL)


def test_a_closed_month_is_not_closed_again() -> None:
    """What is closed already is refused; a month that was opened again may be closed."""
    with pytest.raises(RefusedError, match="closed already"):
        check_closable(MARCH, [closed(MARCH)], IN_APRIL)
    check_closable(MARCH, [MonthState(MARCH, 3, event(MARCH, PeriodDeed.REOPENED, "late bill"))], IN_APRIL)


def test_only_the_newest_closed_month_is_opened_again() -> None:
    """A later closed month is named with the command that opens it; an open month is refused."""
    with pytest.raises(RefusedError, match="'shopledger month reopen 2026-02 --reason TEXT'"):
        check_reopenable(JANUARY, [closed(JANUARY), closed(FEBRUARY)])
    with pytest.raises(RefusedError, match="it is not closed"):
        check_reopenable(MARCH, [closed(JANUARY), opened(MARCH)])
    check_reopenable(FEBRUARY, [closed(JANUARY), closed(FEBRUARY)])


def test_opening_again_needs_a_reason() -> None:
    """A reopening without a reason, or with one of blanks, is refused; a closing needs none."""
    with pytest.raises(RefusedError, match="reason"):
        event(MARCH, PeriodDeed.REOPENED, "  ")
    assert event(MARCH, PeriodDeed.CLOSED).reason == ""
    assert event(MARCH, PeriodDeed.REOPENED, " a  late bill ").reason == "a late bill"


def test_errors_stop_and_warnings_need_a_yes() -> None:
    """An accepted error still stops; an accepted warning is kept by its code, once; notes need nothing."""
    warnings = [finding(Severity.WARNING, "NOT-SHIPPED"), finding(Severity.WARNING, "NOT-SHIPPED")]
    with pytest.raises(MonthNotReadyError, match=r"^2026-03 was not closed\. .* add --accept NOT-SHIPPED\.$"):
        accepted_codes(MARCH, warnings, frozenset())
    assert accepted_codes(MARCH, warnings, frozenset({"NOT-SHIPPED"})) == ("NOT-SHIPPED",)
    with pytest.raises(MonthNotReadyError, match=r"^2026-03 cannot be closed\. This is CHAIN\. \[CHAIN\]$"):
        accepted_codes(MARCH, [*warnings, finding(Severity.ERROR, "CHAIN")], frozenset({"CHAIN", "NOT-SHIPPED"}))
    assert accepted_codes(MARCH, [finding(Severity.NOTE, "TAX")], frozenset()) == ()
