"""Centring and blanks against print, then as properties."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.boxing import box, from_point
from shopledger.optics.centring import (
    decentration,
    optical_centre_height,
    progressive_fits,
    rule_of_thumb_blank,
    usual_corridor,
    vertical_offset,
)
from shopledger.optics.fitting import blank_covers, depth_below, minimum_blank, require_blank
from shopledger.optics.refusals import BlankTooSmallError, OutOfRangeError, TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from tests.optics.published.fittings import BLANKS, CORRIDORS, DECENTRATIONS, DROPS
from tests.optics.published.printed import Printed
from tests.optics.strategies import rounded_shape, shapes


@pytest.mark.parametrize("case", DECENTRATIONS, ids=str)
def test_decentration_is_as_printed(case: Printed) -> None:
    """Half of box and bridge less half the PD; inward is plus."""
    a, dbl, pd = case.given
    assert decentration(a, dbl, pd / 2) == case.expect


@pytest.mark.parametrize("case", DROPS, ids=str)
def test_vertical_offset_is_as_printed(case: Printed) -> None:
    """Height less half the boxed height; up is plus."""
    assert vertical_offset(*case.given) == case.expect


@pytest.mark.parametrize("case", BLANKS, ids=str)
def test_the_rule_of_thumb_is_as_printed(case: Printed) -> None:
    """Effective diameter, twice the decentration of one lens, and the allowance."""
    a, dbl, pd, ed, allowance = case.given
    assert rule_of_thumb_blank(ed, decentration(a, dbl, pd / 2), allowance) == case.expect


@pytest.mark.parametrize("case", CORRIDORS, ids=str)
def test_the_usual_corridor_is_as_printed(case: Printed) -> None:
    """A height of 18 takes a corridor of 14: common practice."""
    assert usual_corridor(*case.given) == case.expect


@given(shapes(), st.floats(-5, 10), st.floats(-6, 6))
def test_the_blank_reaches_every_point_and_no_farther(trace: Trace, inward: float, up: float) -> None:
    """Every point lies inside the blank, one on its rim, and the vector rule is never smaller."""
    far = np.hypot(*from_point(trace, inward, up))
    needed = minimum_blank(trace, inward, up, 0)
    assert far.max() * 2 == pytest.approx(needed)
    assert needed <= rule_of_thumb_blank(box(trace).ed, math.hypot(inward, up), 0) + 1e-9


def test_the_rule_of_thumb_can_be_too_small() -> None:
    """With a vertical shift the horizontal rule may give less than the exact blank."""
    trace = rounded_shape(400, lift=0.05)
    exact = max(minimum_blank(trace, sign * 5, 4, 0) for sign in (-1, 1))
    assert exact > rule_of_thumb_blank(box(trace).ed, 5, 0)


def test_inward_is_to_the_nose_of_either_eye() -> None:
    """A right shape and its mirror need the same blank."""
    trace = rounded_shape(400, skew=0.05)
    assert minimum_blank(trace, 4, 2) == pytest.approx(minimum_blank(trace.mirrored(), 4, 2))


def test_a_blank_covers_from_its_need_upward() -> None:
    """The need itself is enough, less is refused with the need and the direction."""
    trace = rounded_shape()
    needed = minimum_blank(trace, 3, 1)
    assert blank_covers(trace, 3, 1, needed)
    require_blank(trace, 3, 1, needed)
    assert blank_covers(trace, 3, 1, needed - 1, 1)
    require_blank(trace, 3, 1, needed - 1, 1)
    assert not blank_covers(trace, 3, 1, needed, 3)
    assert not blank_covers(trace, 3, 1, needed - 0.01)
    with pytest.raises(BlankTooSmallError, match="too small") as refused:
        require_blank(trace, 3, 1, needed - 1)
    assert refused.value.needed == pytest.approx(needed)
    assert 90 < refused.value.angle < 270


def test_a_blank_of_exactly_the_needed_size_covers() -> None:
    """A circle of 25 mm decentred by 0.1 three times 0.1 mm: the noise of such sums must not ask for a larger blank."""
    circle = Trace(Side.RIGHT, (2500,) * 360)
    # 2 * (25 + 0.3) + 2 = 52.6, while 0.1 + 0.1 + 0.1 is a little more than 0.3 as a float.
    assert blank_covers(circle, 0.1 + 0.1 + 0.1, 0, 52.6)
    assert not blank_covers(circle, 0.301, 0, 52.6)


def test_the_optical_centre_height_is_from_the_lowest_point() -> None:
    """Half of the box and the offset."""
    assert optical_centre_height(40, 2) == 22
    assert vertical_offset(optical_centre_height(40, 2), 40) == 2


def test_a_progressive_needs_its_makers_height() -> None:
    """The minimum itself is enough."""
    assert progressive_fits(18, 18)
    assert not progressive_fits(17.9, 18)


@pytest.mark.parametrize("side", Side)
def test_depth_below_is_straight_down(side: Side) -> None:
    """In a circle of 25 mm the depth 15 mm aside and 5 above is 20 and 5."""
    circle = Trace(side, (2500,) * 3600)
    assert depth_below(circle, 15, 5) == pytest.approx(25, abs=0.01)
    assert depth_below(circle, 0, 0) == pytest.approx(25)
    assert depth_below(circle, 0, -30) == pytest.approx(-5)


def test_a_point_beside_the_shape_has_no_depth() -> None:
    """A point outside the width is refused."""
    with pytest.raises(TraceError, match="within its width"):
        depth_below(rounded_shape(), 28, 0)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -5])
def test_measures_out_of_range_are_refused(bad: float) -> None:
    """Nothing is worked out from a NaN or an absurd measure."""
    with pytest.raises(OutOfRangeError):
        decentration(bad, 18, 31)
    with pytest.raises(OutOfRangeError):
        vertical_offset(bad, 40)
    with pytest.raises(OutOfRangeError):
        minimum_blank(rounded_shape(), 3, 1, bad)
    with pytest.raises(OutOfRangeError):
        rule_of_thumb_blank(55, 50 if bad < 0 else bad)
