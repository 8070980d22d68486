"""Boxed figures against exact shapes, against an independent geometry library, and as properties."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.boxing import box, direction_of
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from tests.optics.published.shapes import DIRECTION_3, EXACT, PERIMETER_3
from tests.optics.strategies import rounded_shape, shapes


@pytest.mark.parametrize("count", [400, 800, 1000])
@pytest.mark.parametrize(("exponent", "ed", "area"), EXACT)
def test_a_superellipse_has_its_exact_figures(count: int, exponent: float, ed: float, area: float) -> None:
    """Width, height, effective diameter and area are those of the curve, to what hundredths of a mm allow."""
    boxed = box(rounded_shape(count, exponent=exponent))
    assert (boxed.a, boxed.b) == pytest.approx((54, 40), abs=0.011)
    assert boxed.ed == pytest.approx(ed, abs=0.02)
    assert boxed.area == pytest.approx(area, abs=0.3)
    assert (boxed.centre_x, boxed.centre_y) == pytest.approx((0, 0), abs=0.006)


def test_a_superellipse_has_its_length_and_direction() -> None:
    """The circumference and the direction of the longest radius are those of the curve."""
    boxed = box(rounded_shape(400))
    assert boxed.circumference == pytest.approx(PERIMETER_3, abs=0.005)
    # Points stand 0.9 degrees apart, and hundredths of a mm may favour the next one.
    from_horizontal = min(boxed.ed_axis % 180, 180 - boxed.ed_axis % 180)
    assert from_horizontal == pytest.approx(DIRECTION_3, abs=0.95)


@given(shapes())
def test_figures_agree_with_an_independent_library(trace: Trace) -> None:
    """Box and area are those of the polygon through the points, whose length is nearly the smooth curve's."""
    boxed, polygon = box(trace), shapely.Polygon(trace.points)
    left, low, right, high = polygon.bounds
    assert (boxed.a, boxed.b) == pytest.approx((right - left, high - low), abs=1e-9)
    assert boxed.area == pytest.approx(polygon.area, abs=1e-7)
    assert boxed.circumference == pytest.approx(polygon.length, rel=6 / trace.count**2 + 0.0005)
    assert (boxed.centre_x, boxed.centre_y) == pytest.approx(((left + right) / 2, (low + high) / 2), abs=1e-9)
    centre = shapely.Point(boxed.centre_x, boxed.centre_y)
    assert boxed.ed / 2 == pytest.approx(polygon.hausdorff_distance(centre), abs=1e-9)
    turned = math.radians(boxed.ed_axis)
    end = (centre.x + boxed.ed / 2 * math.cos(turned), centre.y + boxed.ed / 2 * math.sin(turned))
    assert polygon.exterior.distance(shapely.Point(end)) < 1e-9
    assert 0 <= boxed.ed_axis < 360


def test_the_effective_diameter_is_the_enclosing_circle_of_a_symmetrical_shape() -> None:
    """Both definitions agree where the shape is symmetrical about its boxed centre, and only there."""
    even = rounded_shape(400)
    assert box(even).ed / 2 == pytest.approx(shapely.minimum_bounding_radius(shapely.Polygon(even.points)), abs=0.01)
    uneven = rounded_shape(400, lift=0.1)
    circle = shapely.minimum_bounding_radius(shapely.Polygon(uneven.points))
    assert box(uneven).ed / 2 > circle + 0.2


@given(shapes(), st.integers(0, 399))
def test_area_and_length_do_not_change_when_a_shape_is_turned(trace: Trace, by: int) -> None:
    """Turning the radii round turns the shape and nothing else."""
    cut = by % trace.count
    turned = Trace(trace.side, trace.hundredths[cut:] + trace.hundredths[:cut])
    assert box(turned).area == pytest.approx(box(trace).area)
    assert box(turned).circumference == pytest.approx(box(trace).circumference)


@given(shapes())
def test_the_mirror_has_the_same_figures(trace: Trace) -> None:
    """A mirrored shape has the same box, with the centre on the other side."""
    one, other = box(trace), box(trace.mirrored())
    assert (one.a, one.b, one.ed, one.area) == pytest.approx((other.a, other.b, other.ed, other.area))
    assert (one.centre_x, one.centre_y) == pytest.approx((-other.centre_x, other.centre_y), abs=1e-9)


def test_a_circle_is_as_wide_as_high() -> None:
    """A circle of radius 25 has A, B and ED of 50."""
    boxed = box(Trace(Side.LEFT, (2500,) * 360))
    assert (boxed.a, boxed.b, boxed.ed) == pytest.approx((50, 50, 50))
    assert boxed.area == pytest.approx(math.pi * 625, rel=1e-4)


def test_a_direction_stays_below_the_full_circle() -> None:
    """A hair below 3 o'clock is 0 and not 360; the quarters are where they belong."""
    assert direction_of(1, -1e-18) == 0
    assert [direction_of(*point) for point in ((1, 0), (0, 1), (-1, 0), (0, -1))] == [0, 90, 180, 270]
