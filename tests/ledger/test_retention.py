"""From which day somebody's records may be erased."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.retention import Dealings, Ground, Keeping, KeptStillError, retention, years_after

SHIPPED = date(2026, 3, 9)
DEALT = Dealings(shipped_on=SHIPPED, booked_on=SHIPPED)


def day_of(ground: Ground, keeping: Keeping) -> date | None:
    """Give until when one rule keeps what was shipped on 9 March 2026."""
    return next(each.erasable_from for each in retention(DEALT, keeping).reasons if each.ground is ground)


def test_lens_records_are_kept_three_years_after_shipping() -> None:
    """21 CFR 801.410(e): shipped on 2026-03-09, kept until 2029-03-09."""
    assert day_of(Ground.LENSES, Keeping()) == date(2029, 3, 9)


@pytest.mark.parametrize(("years", "until"), [(3, date(2030, 4, 15)), (6, date(2033, 4, 15)), (7, date(2034, 4, 15))])
def test_tax_records_are_kept_from_the_day_on_which_the_return_is_due(years: int, until: date) -> None:
    """The return for 2026 is due on 2027-04-15 (IRS, how long to keep records: 3, 6 or 7 years)."""
    assert day_of(Ground.TAX, Keeping(tax_years=years)) == until


def test_a_state_may_ask_for_longer() -> None:
    """Washington's dispensers keep records 5 years (WAC 246-824-220): until 2031-03-09; others need not set any."""
    assert day_of(Ground.STATE, Keeping(state_years=5)) == date(2031, 3, 9)
    assert Ground.STATE not in {each.ground for each in retention(DEALT, Keeping()).reasons}


def test_the_latest_rule_decides() -> None:
    """With 3 years for tax the tax day decides; where the state asks for 5, the state does; as set at first, tax."""
    usual = retention(DEALT, Keeping(tax_years=3))
    assert (usual.erasable_from, usual.reasons[0].ground) == (date(2030, 4, 15), Ground.TAX)
    washington = retention(DEALT, Keeping(tax_years=3, state_years=5))
    assert (washington.erasable_from, washington.reasons[0].ground) == (date(2031, 3, 9), Ground.STATE)
    assert retention(DEALT, Keeping()).erasable_from == date(2034, 4, 15)


def test_what_is_open_keeps_the_records_however_old_they_are() -> None:
    """A hold, an unfinished order and money that is owed have no last day; a claim has the plan's."""
    old = date(2050, 1, 1)
    for open_ in ({"holds": ("a lawsuit",)}, {"open_orders": (12,)}, {"owing": ("deposit 3",)}):
        kept = retention(replace(DEALT, **open_), Keeping())
        assert kept.erasable_from is None
        assert len(kept.against(old)) == 1
    claim = retention(replace(DEALT, claims=((2, date(2036, 3, 6)),)), Keeping())
    assert claim.erasable_from == date(2036, 3, 7)


def test_the_first_day_is_the_one_on_which_nothing_stands_against_it() -> None:
    """On the day before, the rule still stands; on the day itself none does."""
    kept = retention(DEALT, Keeping())
    assert [each.ground for each in kept.against(date(2034, 4, 14))] == [Ground.TAX]
    assert kept.against(date(2034, 4, 15)) == ()


def test_who_never_bought_anything_may_be_erased_at_once() -> None:
    """No rule asks for the records of somebody to whom nothing was sold."""
    kept = retention(Dealings(), Keeping())
    assert kept.against(date(2026, 1, 1)) == ()
    assert kept.erasable_from == date.min


def test_a_leap_day_is_followed_by_the_first_of_march() -> None:
    """Three years after 2024-02-29 there is no such day."""
    assert years_after(date(2024, 2, 29), 3) == date(2027, 3, 1)


@pytest.mark.parametrize("years", [{"lens_years": 2}, {"tax_years": 2}, {"state_years": -1}, {"audit_years": 0}])
def test_fewer_years_than_the_law_asks_for_are_refused(years: dict[str, int]) -> None:
    """An owner may keep longer, never shorter."""
    with pytest.raises(RefusedError, match="they must lie from"):
        Keeping(**years)


def test_a_refusal_says_from_which_day_and_why() -> None:
    """The owner can tell the customer both."""
    kept = retention(DEALT, Keeping())
    said = str(KeptStillError("customer 7", kept.against(date(2030, 1, 1)), kept.erasable_from))
    assert "from 2034-04-15 on" in said
    assert "7 years after 2027-04-15" in said
