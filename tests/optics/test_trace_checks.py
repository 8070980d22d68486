"""What is found wrong with a trace, and what is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given

from shopledger.optics.boxing import box
from shopledger.optics.findings import Severity
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace, directions, trace_from_radii
from shopledger.optics.trace_checks import StatedFigures, check_frame_trace, check_trace
from tests.optics.strategies import rounded_shape, shapes

CLEAN = rounded_shape(400, lift=0.03, skew=0.02)


def changed(trace: Trace, by: dict[int, int]) -> Trace:
    """The trace with some radii changed by hundredths of a mm."""
    return replace(trace, hundredths=tuple(each + by.get(at, 0) for at, each in enumerate(trace.hundredths)))


def codes(trace: Trace, stated: StatedFigures | None = None) -> list[str]:
    """The codes found in one shape."""
    return [finding.code for finding in check_trace(trace, stated)]


@given(shapes())
def test_a_smooth_shape_has_no_spike_and_no_jump(trace: Trace) -> None:
    """Nothing is called broken that is only curved."""
    assert not {"TRACE-SPIKE", "TRACE-JUMP", "TRACE-OPEN"} & set(codes(trace))


@pytest.mark.parametrize("at", [0, 1, 100, 398, 399])
@pytest.mark.parametrize("by", [40, -40])
def test_a_radius_that_stands_out_is_a_spike(at: int, by: int) -> None:
    """One radius 0.4 mm out or in is found, with its angle, and is no jump."""
    (found,) = check_trace(changed(CLEAN, {at: by}))
    assert (found.code, found.severity) == ("TRACE-SPIKE", Severity.ERROR)
    assert f"{at * 0.9:.1f} degrees" in found.sentence


def test_a_shape_that_does_not_close_is_open() -> None:
    """A slow drift that jumps back at the end is an open shape."""
    drifted = changed(CLEAN, {at: at // 4 for at in range(400)})
    (found,) = check_trace(drifted)
    assert (found.code, found.severity) == ("TRACE-OPEN", Severity.ERROR)


def test_a_shape_that_goes_on_at_another_size_jumps() -> None:
    """A slip of the stylus in the middle is a jump where it happens."""
    slipped = changed(CLEAN, {at: round((200 - at) / 2) for at in range(100, 200)})
    (found,) = check_trace(slipped)
    assert found.code == "TRACE-JUMP"
    assert "89.1 degrees" in found.sentence


def test_stated_figures_are_compared_with_the_radii() -> None:
    """What agrees says nothing; each figure that does not is named."""
    boxed = box(CLEAN)
    good = StatedFigures(round(boxed.a, 1), round(boxed.b, 1), round(boxed.ed, 1), round(boxed.circumference, 1))
    assert codes(CLEAN, good) == []
    bad = StatedFigures(boxed.a + 1, boxed.b - 1, boxed.ed + 1, boxed.circumference - 3)
    found = check_trace(CLEAN, bad)
    assert [each.field for each in found] == [f"right.trace.{name}" for name in ("a", "b", "ed", "circumference")]
    assert {each.code for each in found} == {"TRACE-STATED"}


def test_a_size_that_frames_seldom_have_is_asked_about() -> None:
    """Small and large shapes get a question and are not stopped."""
    small, large = Trace(Side.LEFT, (800,) * 72), Trace(Side.LEFT, (3600,) * 72)
    for trace in (small, large):
        assert [(each.code, each.severity) for each in check_trace(trace)] == [
            ("A-UNUSUAL", Severity.WARNING),
            ("B-UNUSUAL", Severity.WARNING),
        ]


def test_a_true_pair_that_fits_the_catalogue_is_clean() -> None:
    """A shape and its mirror with the marked sizes raise no question."""
    pair = FrameTrace(CLEAN, CLEAN.mirrored(), 18)
    assert check_frame_trace(pair, eye_size=round(box(CLEAN).a), bridge=18) == ()


def test_one_side_traced_twice_is_found() -> None:
    """A left shape that is the right one again does not mirror it."""
    twice = FrameTrace(CLEAN, Trace(Side.LEFT, CLEAN.hundredths), 18)
    assert "TRACE-MIRROR" in [each.code for each in check_frame_trace(twice)]


def test_unlike_sizes_of_a_pair_are_found() -> None:
    """A left shape half a millimetre larger is asked about, figure by figure."""
    left = Trace(Side.LEFT, tuple(each + 25 for each in CLEAN.mirrored().hundredths))
    found = check_frame_trace(FrameTrace(CLEAN, left, 18))
    assert [each.field for each in found if each.code == "TRACE-PAIR"] == ["trace.a", "trace.b", "trace.circumference"]


def test_another_frame_than_the_catalogues_is_found() -> None:
    """An eye size or a bridge that does not match is asked about, and so is a strange bridge."""
    pair = FrameTrace(CLEAN, CLEAN.mirrored(), 8)
    found = check_frame_trace(pair, eye_size=50, bridge=18)
    assert sorted(each.code for each in found) == ["DBL-UNUSUAL"] + ["TRACE-CATALOGUE"] * 3


@pytest.mark.parametrize("count", [36, 72, 180, 400, 1000])
@pytest.mark.parametrize("corner", [2.0, 4.0])
def test_a_tight_corner_is_no_spike(count: int, corner: float) -> None:
    """A rectangle of 52 by 30 with rounded corners is clean at any usual count."""
    outline = shapely.box(corner - 26, corner - 15, 26 - corner, 15 - corner).buffer(corner, quad_segs=64).exterior
    rays = directions(count).T * 60
    ends = [outline.intersection(shapely.LineString([(0, 0), ray])) for ray in rays]
    radii = np.array([np.hypot(end.x, end.y) for end in ends])
    assert check_trace(trace_from_radii(Side.RIGHT, radii)) == ()


def test_each_shape_is_compared_with_what_is_stated_of_it() -> None:
    """What is wrong on one side is told of this side."""
    frame = FrameTrace(CLEAN, CLEAN.mirrored(), 18)
    wrong = StatedFigures(a=box(CLEAN).a + 1)
    assert [each.field for each in check_frame_trace(frame, wrong)] == ["right.trace.a"]
    assert [each.field for each in check_frame_trace(frame, None, wrong)] == ["left.trace.a"]
