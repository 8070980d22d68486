"""The best alignment of two shapes equals the plain search over every turn, and means what it says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.optics.alignment import align, align_seen, as_laid, best_turn, seen_from_middle
from shopledger.optics.outline import radii_about
from shopledger.optics.refusals import TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, Trace
from tests.optics.strategies import rounded_shape, shapes


def plain_search(still: Floats, laid: Floats) -> tuple[int, float, float]:
    """Every turn one after another; the first of the best."""
    tried = [np.abs(still - np.roll(laid, steps)) for steps in range(len(still))]
    steps = int(np.argmin([each.max() for each in tried]))
    return steps, float(tried[steps].max()), float(tried[steps].mean())


rows = st.integers(0, 2**32 - 1).map(
    lambda seed: np.round(25 + np.random.default_rng(seed).normal(0, 1, 60).cumsum() / 8, 2)
)


@settings(max_examples=60)
@given(shapes(), shapes())
def test_the_best_turn_of_shapes_is_that_of_the_plain_search(one: Trace, other: Trace) -> None:
    """Bounds leave nothing out: turn, worst and mean are equal on every pair."""
    still, laid = radii_about(one, 0, 0, 240), radii_about(other, 0, 0, 240)
    found = best_turn(still, laid)
    assert (found.steps, found.worst, found.mean) == plain_search(still, laid)


@given(rows, rows)
def test_the_best_turn_of_any_rows_is_that_of_the_plain_search(still: Floats, laid: Floats) -> None:
    """Even rows that are no shapes, with ties among hundredths, give the same answer."""
    found = best_turn(still, laid)
    assert (found.steps, found.worst, found.mean) == plain_search(still, laid)


def test_circles_tie_and_the_first_turn_counts() -> None:
    """Two circles fit at every turn, so nothing is turned."""
    found = best_turn(np.full(100, 25.0), np.full(100, 24.0))
    assert (found.steps, found.worst, found.mean) == (0, 1.0, 1.0)


@settings(max_examples=30)
@given(shapes(), st.integers(0, 35))
def test_a_turned_shape_is_found_again(trace: Trace, tenths: int) -> None:
    """The same shape with its radii rolled on fits with nothing left over."""
    by = tenths * trace.count // 36
    turned = Trace(trace.side, trace.hundredths[by:] + trace.hundredths[:by])
    found = align(trace, turned, 2 * trace.count)
    assert found.worst < 1e-9


def test_the_other_eye_of_a_frame_is_its_mirror() -> None:
    """A left shape lies on the right one mirrored, unturned, with next to no difference."""
    right = rounded_shape(400, lift=0.05, skew=0.05)
    found = align(right, right.mirrored())
    assert found.mirrored
    assert found.turned == 0
    assert found.worst < 1e-9


def test_a_moved_origin_is_found_as_a_shift() -> None:
    """Radii from another origin are the same shape, moved."""
    shape = rounded_shape(1000, lift=0.05, skew=0.05)
    radii = radii_about(shape, 2.0, -1.5, 1000)
    moved = Trace(Side.RIGHT, tuple(int(each) for each in np.rint(radii * 100)))
    found = align(shape, moved)
    assert (found.moved_x, found.moved_y) == pytest.approx((2.0, -1.5), abs=0.02)
    assert found.worst < 0.05
    assert not found.mirrored


def test_another_shape_keeps_its_difference() -> None:
    """A shape half a millimetre larger all round differs by about half a millimetre."""
    shape = rounded_shape(400, lift=0.05, skew=0.05)
    larger = Trace(Side.RIGHT, tuple(each + 50 for each in shape.hundredths))
    found = align(shape, larger)
    assert found.mean == pytest.approx(0.5, abs=0.03)
    assert found.worst >= found.mean


def test_rows_of_unequal_length_are_refused() -> None:
    """Only equal counts can be laid on one another, and an odd count cannot be mirrored."""
    with pytest.raises(TraceError, match="equally long"):
        best_turn(np.full(40, 25.0), np.full(41, 25.0))
    with pytest.raises(TraceError, match="mirrored"):
        align(rounded_shape(), rounded_shape(), 101)


def test_a_quarter_turn_is_ninety_degrees() -> None:
    """A shape whose radii begin a quarter later must be turned on by a quarter."""
    shape = rounded_shape(400, lift=0.05, skew=0.05)
    later = Trace(Side.RIGHT, shape.hundredths[100:] + shape.hundredths[:100])
    found = align(shape, later, 800)
    assert found.turned == pytest.approx(90)
    assert not found.mirrored


def test_a_mirrored_shape_from_another_origin_is_moved_back() -> None:
    """The mirror of a moved shape is moved the other way across, and the same way up."""
    shape = rounded_shape(1000, lift=0.05, skew=0.05)
    moved = Trace(Side.RIGHT, tuple(int(each) for each in np.rint(radii_about(shape, 2.0, -1.5, 1000) * 100)))
    found = align(shape, moved.mirrored())
    assert found.mirrored
    assert (found.moved_x, found.moved_y) == pytest.approx((2.0, -1.5), abs=0.02)


@settings(max_examples=30)
@given(shapes(), shapes())
def test_a_shape_as_it_lies_differs_by_what_was_found(one: Trace, other: Trace) -> None:
    """Mirrored and turned as the alignment says, its radii differ from the other's by the worst and the mean."""
    still, laid = seen_from_middle(one, 360), seen_from_middle(other, 360)
    found = align_seen(still, laid)
    apart = np.abs(as_laid(laid, found) - still.radii)
    assert (apart.max(), apart.mean()) == (found.worst, pytest.approx(found.mean))
