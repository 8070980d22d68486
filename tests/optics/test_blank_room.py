"""Between which decentrations a blank covers a shape: by hand for a circle, and against the smallest blank for any."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.fitting import covered_decentrations, minimum_blank
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from tests.optics.strategies import shapes


@pytest.mark.parametrize("side", Side)
def test_a_circle_has_the_same_room_on_both_sides(side: Side) -> None:
    """A blank of 62 mm less 2 mm reaches 30 mm: 5 mm more than a circle of 25 mm, straight out or inward."""
    room = covered_decentrations(Trace(side, (2500,) * 360), 0.0, 62, 2)
    assert room == pytest.approx((-5, 5), abs=0.002)


def test_a_centre_that_stands_high_leaves_less_room() -> None:
    """3 mm up, 4 mm of the 5 mm are left: 3, 4 and 5 are a right triangle."""
    room = covered_decentrations(Trace(Side.LEFT, (2500,) * 3600), 3.0, 62, 2)
    assert room == pytest.approx((-4, 4), abs=0.01)


def test_a_blank_that_covers_nowhere_has_no_room() -> None:
    """51 mm less 2 mm do not cover 50 mm wherever they lie; nor does a blank that is not even high enough."""
    assert covered_decentrations(Trace(Side.RIGHT, (2500,) * 360), 0.0, 51, 2) is None
    assert covered_decentrations(Trace(Side.RIGHT, (2500,) * 360), 10.0, 62, 2) is None


@given(shapes(), st.floats(-4, 4), st.floats(0.1, 12))
def test_the_smallest_blank_just_fits_at_either_end(trace: Trace, up: float, more: float) -> None:
    """At both ends of the room the smallest blank is the blank itself; a little further it is larger."""
    blank = minimum_blank(trace, 0.0, up, 2.0) + more
    room = covered_decentrations(trace, up, blank, 2.0)
    assert room is not None
    for end, beyond in zip(room, (-0.01, 0.01), strict=True):
        assert minimum_blank(trace, end, up, 2.0) == pytest.approx(blank, abs=1e-6)
        assert minimum_blank(trace, end + beyond, up, 2.0) > blank
    assert math.isfinite(sum(room))
