"""Where a shape is broken is told by the place of its radius."""

from __future__ import annotations

import pytest

from shopledger.optics.trace import Trace
from shopledger.optics.trace_breaks import breaks
from tests.optics.strategies import rounded_shape

CLEAN = rounded_shape(400)


@pytest.mark.parametrize("at", [0, 1, 200, 398, 399])
def test_a_spike_is_told_by_its_place(at: int) -> None:
    """The radius that stands out is named, also where the row begins again."""
    radii = list(CLEAN.hundredths)
    radii[at] += 150
    (found,) = breaks(Trace(CLEAN.side, tuple(radii)))
    assert (found.at, found.code) == (at, "TRACE-SPIKE")
    assert float(found.words.split()[-2]) == pytest.approx(1.5, abs=0.3)


def test_a_clean_shape_has_no_broken_place() -> None:
    """Nothing is found on a smooth shape."""
    assert breaks(CLEAN) == ()


def test_a_jump_is_told_where_it_happens() -> None:
    """The last radius before the shape goes on at another size is named."""
    radii = tuple(each + (200 if 100 <= place < 300 else 0) for place, each in enumerate(CLEAN.hundredths))
    assert [(each.at, each.code) for each in breaks(Trace(CLEAN.side, radii))] == [
        (99, "TRACE-JUMP"),
        (299, "TRACE-JUMP"),
    ]
