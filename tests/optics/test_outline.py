"""Outlines from other origins, at other counts, as smooth paths and as small pictures."""

from __future__ import annotations

import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.boxing import box, from_point
from shopledger.optics.outline import centroid, radii_about, resampled, small_picture, smooth_path, svg_path
from shopledger.optics.refusals import OutOfRangeError, TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace, directions
from tests.optics.strategies import rounded_shape, shapes


@given(shapes())
def test_the_middle_of_the_area_agrees_with_an_independent_library(trace: Trace) -> None:
    """The centroid is that of the polygon."""
    middle = shapely.Polygon(trace.points).centroid
    assert centroid(trace) == pytest.approx((middle.x, middle.y), abs=1e-9)


@given(shapes(), st.floats(-6, 6), st.floats(-5, 5), st.integers(36, 500))
def test_new_radii_end_on_the_old_outline(trace: Trace, x: float, y: float, count: int) -> None:
    """From any origin inside, each ray ends on the polygon through the traced points."""
    ends = directions(count).T * radii_about(trace, x, y, count)[:, None] + [x, y]
    ring = shapely.LinearRing(trace.points)
    assert shapely.distance(ring, shapely.points(ends)).max() < 1e-9


@given(shapes())
def test_the_own_origin_and_count_give_the_same_radii(trace: Trace) -> None:
    """Resampling to the same count changes nothing."""
    assert resampled(trace, trace.count) == trace
    assert radii_about(trace, 0, 0, 2 * trace.count)[::2] == pytest.approx(trace.radii, abs=1e-9)


def test_an_odd_trace_can_be_mirrored_once_it_is_resampled() -> None:
    """An even count makes the mirror possible and keeps the box."""
    odd = rounded_shape(401)
    mirrored = resampled(odd, 400).mirrored()
    assert box(mirrored).a == pytest.approx(box(odd).a, abs=0.03)


def test_an_origin_outside_sees_no_whole_outline() -> None:
    """From outside the shape there are no radii."""
    with pytest.raises(TraceError, match="cannot be seen"):
        radii_about(rounded_shape(), 40, 0, 100)


@pytest.mark.parametrize("count", [35, 20_001])
def test_a_count_that_is_no_trace_is_refused(count: int) -> None:
    """A trace has from 36 to 20,000 radii."""
    with pytest.raises(OutOfRangeError, match="count"):
        resampled(rounded_shape(), count)


def on_curves(curves: np.ndarray) -> np.ndarray:
    """Points along cubic curves, worked out by repeated halving of their sides."""
    points = []
    for share in np.linspace(0, 1, 9):
        row = curves
        while row.shape[1] > 1:
            row = row[:, :-1] * (1 - share) + row[:, 1:] * share
        points.append(row[:, 0])
    return np.concatenate(points)


@given(shapes(), st.sampled_from([0.02, 0.1, 0.5]))
def test_a_smooth_path_is_closed_and_keeps_to_the_shape(trace: Trace, within: float) -> None:
    """Each curve starts where the last one ended, and none leaves the traced outline by more than was allowed."""
    curves = smooth_path(trace, within)
    assert curves[:, 3] == pytest.approx(np.roll(curves[:, 0], -1, axis=0))
    points = from_point(trace, 0, 0).T
    ring = shapely.LinearRing(points)
    # Between points the polygon itself is short of a smooth shape by the depth of its chord.
    step = np.linalg.norm(np.diff(points, axis=0), axis=1).max()
    assert shapely.distance(ring, shapely.points(on_curves(curves))).max() <= within + step**2 / 8


def test_a_path_uses_few_curves_where_it_can() -> None:
    """A round shape needs far fewer curves than points, and a looser path no more than a close one."""
    circle = Trace(Side.RIGHT, (2500,) * 1440)
    assert len(smooth_path(circle)) == 90
    shape = rounded_shape(400, exponent=3.5)
    assert len(smooth_path(shape, 0.5)) <= len(smooth_path(shape, 0.005)) <= 400


def test_a_smooth_path_keeps_to_a_circle_and_has_no_corners() -> None:
    """Curves through every sixteenth point of a circle stay on it, and each goes on the way the last one went."""
    curves = smooth_path(Trace(Side.RIGHT, (2500,) * 1440))
    assert np.hypot(*on_curves(curves).T) == pytest.approx(np.full(9 * 90, 25), abs=0.001)
    assert curves[:, 3] - curves[:, 2] == pytest.approx(np.roll(curves[:, 1] - curves[:, 0], -1, axis=0))


def test_a_path_leaves_no_more_than_it_may_and_no_less_than_it_must() -> None:
    """A tenth of a mm allows fewer curves than a hundredth on a shape with corners."""
    shape = rounded_shape(1200, exponent=4.0)
    assert len(smooth_path(shape, 0.01)) > len(smooth_path(shape, 0.1))


def test_an_svg_path_has_every_curve_with_y_down() -> None:
    """The path starts with a move, has one curve each, closes, and is upside down as the format wants it."""
    trace = rounded_shape(400, lift=0.05)
    text, curves = svg_path(trace), smooth_path(trace)
    assert text.count("C") == len(curves)
    assert re.fullmatch(r"M[-\d. ]+( C[-\d. ]+)+ Z", text)
    numbers = np.array([float(each) for each in re.findall(r"-?\d+\.\d+", text)]).reshape(-1, 2)
    assert numbers[0] == pytest.approx(curves[0, 0] * [1, -1], abs=0.0006)
    assert numbers[1:].reshape(-1, 3, 2) == pytest.approx(curves[:, 1:] * [1, -1], abs=0.0006)


def test_a_small_picture_shows_the_shape() -> None:
    """A circle drawn 21 columns wide, worked out on squared paper."""
    drawn = small_picture(Trace(Side.RIGHT, (2500,) * 720), columns=21)
    assert drawn == (
        "      *********",
        "   ****       ****",
        " ***             ***",
        "**                 **",
        "*                   *",
        "*         +         *",
        "*                   *",
        "**                 **",
        " ***             ***",
        "   ****       ****",
        "      *********",
    )


def test_a_picture_needs_a_width() -> None:
    """Ten columns show no shape."""
    with pytest.raises(OutOfRangeError, match="columns"):
        small_picture(rounded_shape(), 10)
