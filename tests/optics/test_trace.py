"""Traces: valid from birth, hashable, and mirrored exactly."""

from __future__ import annotations

import copy
import pickle

import numpy as np
import pytest
from hypothesis import given

from shopledger.optics.refusals import OutOfRangeError, TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace, directions, trace_from_radii
from tests.optics.strategies import rounded_shape, shapes


@given(shapes())
def test_mirroring_twice_changes_nothing(trace: Trace) -> None:
    """The mirror of the mirror is the same shape on the same side."""
    assert trace.mirrored().mirrored() == trace
    assert trace.mirrored().side is trace.side.other


@given(shapes())
def test_a_mirrored_shape_has_its_points_mirrored(trace: Trace) -> None:
    """Each point of the mirror stands where the other point's x is turned."""
    mirrored = trace.mirrored().points
    half = trace.count // 2
    turned = trace.points[(half - np.arange(trace.count)) % trace.count] * [-1, 1]
    assert mirrored == pytest.approx(turned, abs=1e-9)


def test_the_first_radius_points_to_three_o_clock_and_they_run_counter_clockwise() -> None:
    """Seen from the front the quarter of the way is straight up."""
    trace = Trace(Side.RIGHT, (2000,) + (1500,) * 39)
    assert trace.points[0] == pytest.approx([20, 0])
    assert trace.points[10] == pytest.approx([0, 15])


def test_traces_are_values() -> None:
    """Equal radii make equal traces with equal hashes, and copies and pickles are equal too."""
    one, same = rounded_shape(), rounded_shape()
    assert one == same
    assert hash(one) == hash(same)
    assert pickle.loads(pickle.dumps(one)) == one  # noqa: S301 - made in the line itself
    assert copy.deepcopy(one) == one
    assert one != one.mirrored()


def test_the_radii_of_a_trace_cannot_be_written() -> None:
    """A trace stays what it was."""
    with pytest.raises(ValueError, match="read-only"):
        rounded_shape().radii[0] = 1
    with pytest.raises(ValueError, match="read-only"):
        directions(36)[0, 0] = 1


@pytest.mark.parametrize(
    ("radii", "said"),
    [
        ((2500,) * 35, "it has 35 radii; allowed is 36"),
        ((2500,) * 20_001, "20001 radii"),
        ((2500.0,) * 40, "whole hundredths"),
        ((True,) * 40, "whole hundredths"),
        ((2500,) * 39 + (499,), r"at 351\.0 degrees is 4\.99 mm; allowed is 5 to 60"),
        ((2500,) * 39 + (6001,), r"60\.01 mm"),
        ((2500,) * 39 + (-2500,), r"-25\.00 mm"),
        ((2500,) * 39 + (0,), r"0\.00 mm"),
    ],
)
def test_what_is_no_lens_shape_is_refused(radii: tuple[int, ...], said: str) -> None:
    """A shape has at least 36 whole radii, each from 5 to 60 mm."""
    with pytest.raises(TraceError, match=said):
        Trace(Side.RIGHT, radii)


def test_an_odd_count_cannot_be_mirrored() -> None:
    """The mirror needs a radius on either side of noon."""
    with pytest.raises(TraceError) as refused:
        Trace(Side.LEFT, (2500,) * 37).mirrored()
    assert str(refused.value) == (
        "the trace cannot be used: it has 37 radii, and only an even count can be mirrored radius by radius. "
        "Trace it again with an even count, or resample it first."
    )


@pytest.mark.parametrize("bad", [np.full(40, np.nan), np.full(40, np.inf), np.full((2, 40), 25.0)])
def test_radii_that_are_no_numbers_are_refused(bad: np.ndarray) -> None:
    """No trace holds a silent NaN."""
    with pytest.raises(TraceError, match="finite"):
        trace_from_radii(Side.RIGHT, bad)


def test_a_frame_has_its_right_shape_first() -> None:
    """Swapped sides are refused, and so is a bridge that no frame has."""
    right, left = rounded_shape(), rounded_shape().mirrored()
    assert FrameTrace(right, left, 18).eye(Side.LEFT) is left
    assert FrameTrace(right, left, 18).eye(Side.RIGHT) is right
    for one, other, marks in ((left, right, "left, the left one right"), (left, left, "left, the left one left")):
        with pytest.raises(TraceError) as refused:
            FrameTrace(one, other, 18)
        assert refused.value.reason == f"the right shape is marked {marks}"
        assert refused.value.hint == "Give the right eye's shape first, then the left one's."
    with pytest.raises(TraceError, match="the left one right"):
        FrameTrace(right, right, 18)
    with pytest.raises(OutOfRangeError, match="distance between lenses"):
        FrameTrace(right, left, 1.8)


def test_directions_need_a_count() -> None:
    """No directions are nothing to ask for."""
    with pytest.raises(OutOfRangeError):
        directions(0)
