"""Sales tax rates as the owner set them: which holds on a day, and none where none was set."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import (
    RATE_OVERLAPS,
    Destination,
    TaxRate,
    overlapping,
    rate_for,
    rate_on,
    spans,
)

ACCESSORY, SHIPPING = TaxCategory.ACCESSORY, TaxCategory.SHIPPING
RATES = (
    TaxRate("oh", ACCESSORY, 72_500, date(2026, 1, 1)),
    TaxRate("OH", ACCESSORY, 70_000, date(2020, 1, 1)),
    TaxRate("OH", SHIPPING, 0, date(2020, 1, 1)),
    TaxRate("PA", ACCESSORY, 60_000, date(2020, 1, 1)),
)


@pytest.mark.parametrize(
    ("state", "category", "day", "rate"),
    [
        ("OH", ACCESSORY, date(2025, 12, 31), 70_000),
        ("OH", ACCESSORY, date(2026, 1, 1), 72_500),
        ("OH", SHIPPING, date(2026, 1, 1), 0),
        ("PA", ACCESSORY, date(2026, 1, 1), 60_000),
        ("OH", ACCESSORY, date(2019, 12, 31), None),
        ("PA", SHIPPING, date(2026, 1, 1), None),
        ("NY", ACCESSORY, date(2026, 1, 1), None),
    ],
)
def test_the_newest_rate_that_has_begun_holds(state: str, category: TaxCategory, day: date, rate: int | None) -> None:
    """By state, category and day; a rate of 0 is a rate, and where none is set nothing is assumed."""
    assert rate_on(RATES, Destination(state), category, day) == rate


@pytest.mark.parametrize("rate", [-1, 300_001])
def test_a_rate_lies_from_0_to_30_per_cent(rate: int) -> None:
    """Both limits are rates; beyond is a slip."""
    assert TaxRate("OH", ACCESSORY, 300_000, date(2026, 1, 1)).rate == 300_000
    with pytest.raises(RefusedError, match="from 0 to 30 %"):
        TaxRate("OH", ACCESSORY, rate, date(2026, 1, 1))


def test_a_rate_belongs_to_a_state() -> None:
    """An unknown state is refused."""
    with pytest.raises(RefusedError, match="two-letter"):
        TaxRate("Ohio", ACCESSORY, 0, date(2026, 1, 1))


def test_only_what_is_not_taxed_has_a_reason() -> None:
    """A reason beside a rate is refused; white space in it is evened out."""
    assert (
        TaxRate("OH", ACCESSORY, 0, date(2026, 1, 1), exempt_reason=" made  to order ").exempt_reason == "made to order"
    )
    with pytest.raises(RefusedError, match="only what is not taxed has one"):
        TaxRate("OH", ACCESSORY, 1, date(2026, 1, 1), exempt_reason="made to order")


DAY = date(2026, 1, 1)
LATER = date(2026, 7, 1)
TOWN = Destination("OH", "St. Alder", "43002-1234")


def rated(rate: int, place: str = "", first: date = DAY, last: date | None = None, zips: str = "") -> TaxRate:
    """Give a rate for accessories in a place of Ohio."""
    return TaxRate("OH", ACCESSORY, rate, first, place=place, valid_to=last, zips=zips)


def test_the_nearest_place_holds_whenever_its_rate_was_set() -> None:
    """The address's own ZIP code comes before a county's list of codes, that before the city, that before the state."""
    by_nearness = [
        rated(10_000, first=LATER),
        rated(20_000, "st alder", first=LATER),
        rated(30_000, "Alder County", zips="43001 43002"),
        rated(40_000, "43002"),
    ]
    elsewhere = [rated(50_000, "43003"), rated(60_000, "Birch"), replace(rated(70_000, "St Alder"), state="PA")]
    for count in range(1, 5):
        rates = [*elsewhere, *by_nearness[:count]]
        assert rate_on(rates, TOWN, ACCESSORY, LATER) == by_nearness[count - 1].rate
    assert rate_on(elsewhere, TOWN, ACCESSORY, LATER) is None


@pytest.mark.parametrize("typed", ["ST. ALDER", " st  alder ", "St Alder", "St. Alder"])
def test_a_city_is_known_however_it_is_written(typed: str) -> None:
    """Capitals, points and doubled blanks tell no cities apart."""
    assert rate_on([rated(10_000, typed)], TOWN, ACCESSORY, DAY) == 10_000


def test_a_place_with_zip_codes_is_found_by_them_alone() -> None:
    """A county may be called as a city is that lies in another county."""
    assert rate_on([rated(10_000, "St. Alder", zips="43009")], TOWN, ACCESSORY, DAY) is None


def test_a_rate_that_ended_without_a_follower_is_given_with_its_last_day() -> None:
    """It does not hold, and no farther place's rate takes its place: nothing is assumed."""
    ended = rated(20_000, "43002", last=date(2026, 3, 31))
    rates = [rated(10_000), ended]
    assert rate_on(rates, TOWN, ACCESSORY, date(2026, 3, 31)) == 20_000
    assert rate_on(rates, TOWN, ACCESSORY, date(2026, 4, 1)) is None
    assert rate_for(rates, TOWN, ACCESSORY, date(2026, 4, 1)) == ended


def test_after_a_rate_of_some_days_the_older_one_holds_again() -> None:
    """Each counts on its days; the list says from when to when, and what is ended is not joined with what follows."""
    holiday = rated(0, first=date(2026, 8, 7), last=date(2026, 8, 9))
    rates = [holiday, rated(70_000)]
    days = (date(2026, 8, 6), date(2026, 8, 7), date(2026, 8, 9), date(2026, 8, 10))
    assert [rate_on(rates, TOWN, ACCESSORY, day) for day in days] == [70_000, 0, 0, 70_000]
    assert [(span.rate.rate, span.first, span.last) for span in spans(rates)] == [
        (70_000, DAY, date(2026, 8, 6)),
        (0, date(2026, 8, 7), date(2026, 8, 9)),
        (70_000, date(2026, 8, 10), None),
    ]


@given(st.lists(st.tuples(st.integers(0, 40), st.one_of(st.none(), st.integers(0, 20)), st.integers(0, 9)), max_size=6))
def test_spans_say_for_every_day_what_holds(drawn: list[tuple[int, int | None, int]]) -> None:
    """Day by day the span that covers it is of the rate that holds, and none where none does."""
    rates = {DAY + timedelta(at): (length, rate) for at, length, rate in drawn}
    made = [
        rated(rate, first=first, last=None if length is None else first + timedelta(length))
        for first, (length, rate) in rates.items()
    ]
    found = list(spans(made))
    for at in range(65):
        day = DAY + timedelta(at)
        covering = [each.rate.rate for each in found if each.first <= day and (each.last is None or day <= each.last)]
        held = rate_on(made, TOWN, ACCESSORY, day)
        assert covering == ([] if held is None else [held])


def test_days_of_a_rate_that_stands_are_asked_about() -> None:
    """Which rate it is is told; other places, categories and days, and the very same rate again, ask nothing."""
    standing = (rated(70_000), rated(80_000, "Alder", last=date(2026, 6, 30)))
    (asked,) = overlapping(rated(72_500, first=LATER), standing)
    assert asked.code == RATE_OVERLAPS
    assert "7 % from 2026-01-01 without a last day" in asked.sentence
    (same_day,) = overlapping(rated(72_500), standing)
    assert "it takes the place of 7 %" in same_day.sentence
    (in_town,) = overlapping(rated(72_500, "ALDER", first=date(2026, 6, 30)), standing)
    assert "8 % from 2026-01-01 to 2026-06-30" in in_town.sentence
    for quiet in (
        rated(72_500, "Alder", first=LATER),
        rated(72_500, "Birch"),
        rated(72_500, first=date(2025, 1, 1), last=date(2025, 12, 31)),
        standing[0],
        TaxRate("OH", SHIPPING, 70_000, DAY),
    ):
        assert overlapping(quiet, standing) == ()


def test_a_zip_code_leads_to_one_place_alone() -> None:
    """Of two places for the same days and category, nobody could tell which rate counts."""
    standing = (rated(70_000, "Alder County", zips="43001 43002"),)
    with pytest.raises(RefusedError, match="43002 of Birch County"):
        overlapping(rated(60_000, "Birch County", zips="43002 43003"), standing)
    assert overlapping(rated(60_000, "43002"), standing) == ()


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"place": "4300"}, "five digits"),
        ({"place": "43002-1234"}, "five digits"),
        ({"zips": "43001"}, "a place with a name"),
        ({"place": "43001", "zips": "43002"}, "a place with a name"),
        ({"place": "Alder", "zips": "4300"}, "five digits"),
        ({"valid_to": date(2025, 12, 31)}, "on or after"),
        ({"as_goods": True}, "only shipping"),
        ({"as_goods": True, "category": SHIPPING}, "no rate or reason of its own"),
        ({"as_goods": True, "category": SHIPPING, "rate": 0, "exempt_reason": "x"}, "no rate or reason of its own"),
    ],
)
def test_what_no_rate_can_be_is_refused(values: dict[str, Any], said: str) -> None:
    """A place is a name or a whole ZIP code, days follow one another, and only shipping goes with the goods."""
    with pytest.raises(RefusedError, match=said):
        replace(rated(70_000), **values)
