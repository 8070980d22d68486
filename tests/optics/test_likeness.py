"""The same frame is told from another one by the worst difference of its two eyes, in mm."""

from __future__ import annotations

import pytest

from shopledger.optics.likeness import likeness, overlaid
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.optics.strategies import rounded_shape

RIGHT = rounded_shape(400, lift=0.05, skew=0.05)
FRAME = FrameTrace(RIGHT, RIGHT.mirrored(), 18)


def traced_again(by: int) -> FrameTrace:
    """Give the same frame with every other radius a little off."""
    right, left = (
        tuple(each + (by if place % 2 else -by) for place, each in enumerate(eye.hundredths))
        for eye in (FRAME.right, FRAME.left)
    )
    return FrameTrace(Trace(Side.RIGHT, right), Trace(Side.LEFT, left), 18.2)


def test_a_frame_is_the_same_as_itself() -> None:
    """Nothing differs, and nothing is swapped."""
    found = likeness(FRAME, FRAME)
    assert (found.worst, found.mean, found.straight) == (0, 0, 0)
    assert found.same()
    assert not found.swapped()


def test_a_second_tracing_is_the_same_frame_within_its_noise() -> None:
    """Six hundredths of noise stay below three tenths, and above five hundredths."""
    found = likeness(FRAME, traced_again(6))
    assert found.worst == pytest.approx(0.06, abs=0.03)
    assert found.same()
    assert not found.same(0.02)


def test_a_larger_frame_is_another_one() -> None:
    """Half a millimetre all round is not the same, and the number says by how much."""
    right, left = (Trace(eye.side, tuple(each + 50 for each in eye.hundredths)) for eye in (FRAME.right, FRAME.left))
    larger = FrameTrace(right, left, 18)
    found = likeness(FRAME, larger)
    assert found.mean == pytest.approx(0.5, abs=0.03)
    assert not found.same()
    assert found.same(0.6)


def test_one_eye_that_differs_is_enough() -> None:
    """The worse eye decides."""
    bent = Trace(Side.LEFT, tuple(each + 80 for each in FRAME.left.hundredths))
    found = likeness(FRAME, FrameTrace(FRAME.right, bent, 18))
    assert found.right.worst == 0
    assert found.worst == found.left.worst > 0.7
    assert not found.same()


def test_swapped_sides_are_noticed() -> None:
    """Right as left and left as right fit crosswise as they lie, though mirrored they fit straight too."""
    swapped = FrameTrace(Trace(Side.RIGHT, FRAME.left.hundredths), Trace(Side.LEFT, FRAME.right.hundredths), 18)
    found = likeness(FRAME, swapped)
    assert found.same()
    assert found.right.mirrored
    assert found.swapped()


def test_a_symmetrical_lens_has_no_sides_to_swap() -> None:
    """Where straight fits as well, nothing is said."""
    round_one = FrameTrace(Trace(Side.RIGHT, (2300,) * 72), Trace(Side.LEFT, (2300,) * 72), 18)
    assert not likeness(round_one, round_one).swapped()


def test_overlaid_radii_differ_by_what_was_found() -> None:
    """What is drawn is what was measured, for each eye."""
    again = traced_again(6)
    found, drawn = likeness(FRAME, again), overlaid(FRAME, again)
    worsts = [float(abs(still - laid).max()) for still, laid in drawn]
    assert worsts == [found.right.worst, found.left.worst]
