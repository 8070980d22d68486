"""Points of an outline become radii at equal angles from the middle of their box, exactly."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.optics.boxing import box
from shopledger.optics.refusals import OutOfRangeError, TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, Trace
from shopledger.optics.traced_points import trace_from_points
from tests.optics.strategies import rounded_shape, shapes


def square(half: float, each: int = 10) -> Floats:
    """A square with some points along each side, counter-clockwise from the lower right corner."""
    along = np.linspace(-half, half, each, endpoint=False)
    sides = (
        [(half, t) for t in along],
        [(-t, half) for t in along],
        [(-half, -t) for t in along],
        [(t, -half) for t in along],
    )
    return np.array([point for side in sides for point in side])


def test_a_square_has_the_radii_of_a_square() -> None:
    """20 mm to the middle of each side, 20 times the root of two to each corner, and 20/cos in between."""
    trace = trace_from_points(Side.RIGHT, square(20) + np.array([103.0, -7.0]), 360)
    assert trace.hundredths[0] == trace.hundredths[90] == trace.hundredths[180] == 2000
    assert trace.hundredths[45] == 2828
    assert trace.hundredths[20] == round(2000 / np.cos(np.radians(20)))


@settings(max_examples=40)
@given(shapes(), st.booleans(), st.booleans(), st.integers(0, 35), st.floats(-200, 200))
def test_points_give_the_shape_back(trace: Trace, turned: bool, closed: bool, start: int, away: float) -> None:
    """Either way round, from any first point, anywhere, with the first point repeated or not: the same box."""
    points = np.roll(trace.points, start, axis=0) + away
    points = points[::-1] if turned else points
    points = np.concatenate((points, points[:1])) if closed else points
    boxed, wanted = box(trace_from_points(trace.side, points, 4000)), box(trace)
    assert (boxed.a, boxed.b) == pytest.approx((wanted.a, wanted.b), abs=0.08)
    assert (boxed.centre_x, boxed.centre_y) == pytest.approx((0, 0), abs=0.05)
    assert boxed.area == pytest.approx(wanted.area, rel=0.002)


def test_a_shape_about_its_boxed_centre_comes_back_to_the_hundredth() -> None:
    """Points at the rays themselves give their own radii."""
    shape = rounded_shape(400)
    assert trace_from_points(shape.side, shape.points, 400) == shape


CIRCLE = rounded_shape(400, a=50, b=50, exponent=2).points


@pytest.mark.parametrize(
    ("points", "reason"),
    [
        (CIRCLE[:300], "the outline is open: its ends are"),
        (CIRCLE[:, :1], "not rows of two finite numbers"),
        (np.where(CIRCLE > 24.99, np.nan, CIRCLE), "not rows of two finite numbers"),
        (CIRCLE[::16], "25 different points; at least 36"),
        (CIRCLE * 10, "possible is 5 to 60 mm"),
        (CIRCLE / 10, "possible is 5 to 60 mm"),
        (np.concatenate((CIRCLE, CIRCLE)), "runs 2 times round its middle"),
        (np.concatenate((CIRCLE[:200], CIRCLE[200:150:-1], CIRCLE[150:])), "crosses itself or turns back"),
        (np.concatenate((CIRCLE[:100], CIRCLE[140:])), "it has a gap of"),
        (np.concatenate((CIRCLE[:200], CIRCLE[200:] * np.array([1, -1]))), "crosses itself or turns back"),
    ],
    ids=["open", "one number", "no number", "few", "large", "small", "twice", "back", "gap", "half over"],
)
def test_what_is_no_closed_outline_is_refused(points: Floats, reason: str) -> None:
    """Each says what is wrong in its own words."""
    with pytest.raises(TraceError, match=reason):
        trace_from_points(Side.RIGHT, points)


def test_an_absurd_count_is_refused() -> None:
    """At least 36 radii are given."""
    with pytest.raises(OutOfRangeError):
        trace_from_points(Side.RIGHT, CIRCLE, 12)
