"""Offers as data: the terms that an offer may have, and the days on which it holds."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind

FRAME = Matches(LineKind.FRAME)
DAY = date(2026, 3, 2)


def offer(**changes: Any) -> Offer:  # noqa: ANN401 - any field of an offer
    """A second-pair offer with some terms changed."""
    terms: dict[str, Any] = {
        "code": "second",
        "name": "Second pair",
        "kind": OfferKind.PERCENT,
        "reduces": (FRAME,),
        "percent": 200_000,
    }
    return Offer(**(terms | changes))


def test_an_offer_s_code_and_items_are_in_written_form() -> None:
    """Codes are raised to capitals."""
    assert offer().code == "SECOND"
    assert Matches(LineKind.EXTRA, code="clear").code == "CLEAR"


def test_only_lenses_have_a_design() -> None:
    """A design on a frame means nothing."""
    assert Matches(LineKind.LENSES, Design.PROGRESSIVE).design is Design.PROGRESSIVE
    with pytest.raises(RefusedError, match="only lenses have a design"):
        Matches(LineKind.FRAME, Design.PROGRESSIVE)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"reduces": ()}, "which lines it reduces"),
        ({"percent": 0}, "above 0 and at most at 100"),
        ({"percent": 1_000_001}, "above 0 and at most at 100"),
        ({"kind": OfferKind.PACKAGE, "price": -100}, r"-1\.00; it may not be negative"),
        ({"from_pair": 0}, "first pair is 1"),
        ({"starts": date(2026, 3, 2), "ends": date(2026, 3, 1)}, "before the start 2026-03-02"),
        ({"name": " "}, "offer name is empty"),
    ],
)
def test_terms_that_cannot_be_are_refused(wrong: dict[str, Any], told: str) -> None:
    """Each refusal says what is allowed."""
    with pytest.raises(RefusedError, match=told):
        offer(**wrong)


def test_terms_at_their_limits_are_taken() -> None:
    """All of a price, a package for nothing, one day long."""
    assert offer(percent=1_000_000)
    assert offer(kind=OfferKind.PACKAGE, price=0, percent=0)
    assert offer(starts=DAY, ends=DAY).runs_on(DAY)


def test_an_offer_without_dates_always_holds() -> None:
    """Open at either end, it holds on that side for ever."""
    assert offer().runs_on(date(1999, 1, 1))
    assert offer(ends=DAY).runs_on(date(1999, 1, 1))
    assert not offer(ends=DAY).runs_on(date(2026, 3, 3))
    assert not offer(starts=DAY).runs_on(date(2026, 3, 1))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "20 % off frame"),
        (
            {"kind": OfferKind.INCLUDED, "reduces": (Matches(LineKind.LENSES, Design.SINGLE_VISION, "SV-150"), FRAME)},
            "single vision lenses SV-150 and frame included",
        ),
        ({"kind": OfferKind.PACKAGE, "price": 19900}, "199.00 together"),
    ],
)
def test_an_offer_says_what_it_does(changes: dict[str, Any], words: str) -> None:
    """In the words that every list of offers shows."""
    assert offer(**changes).words == words
