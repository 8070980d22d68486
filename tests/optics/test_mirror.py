"""A left shape against the mirrored right one, and against the right one as it is."""

from __future__ import annotations

import pytest

from shopledger.optics.likeness import copy_difference, mirror_difference
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.optics.strategies import rounded_shape

SKEW = rounded_shape(400, lift=0.05, skew=0.05)


def test_a_mirrored_shape_is_the_mirror_image_and_no_copy() -> None:
    """The left shape of a symmetrical frame leaves its mirror nowhere, and the plain right one somewhere."""
    frame = FrameTrace(SKEW, SKEW.mirrored(), 18)
    assert mirror_difference(frame) < 0.02
    assert copy_difference(frame) > 1


def test_a_side_traced_twice_is_a_copy_and_no_mirror_image() -> None:
    """The same radii for both eyes differ by nothing, and leave the mirror image."""
    frame = FrameTrace(SKEW, Trace(Side.LEFT, SKEW.hundredths), 18)
    assert copy_difference(frame) == 0
    assert mirror_difference(frame) > 1


def test_a_larger_side_is_larger_by_what_was_added() -> None:
    """Circles of 20 and 21 mm radius differ by 1 mm either way."""
    frame = FrameTrace(Trace(Side.RIGHT, (2000,) * 72), Trace(Side.LEFT, (2100,) * 72), 18)
    assert mirror_difference(frame) == pytest.approx(1.0, abs=0.03)
    assert copy_difference(frame) == pytest.approx(1.0, abs=0.03)
