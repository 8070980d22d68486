"""The best alignment of two shapes equals the plain search over every turn, and means what it says."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.optics.alignment import Seen, align, align_seen, as_laid, best_turn, seen_from_middle
from shopledger.optics.outline import radii_about
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.refusals import TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, Trace
from tests.optics.strategies import rounded_shape, shapes


def plain_search(still: Floats, laid: Floats) -> tuple[int, float, float]:
    """Every turn one after another; of those that tie to a millionth of a millimetre, the smallest either way."""
    tried = [np.abs(still - np.roll(laid, steps)) for steps in range(len(still))]
    least = min(each.max() for each in tried)
    tied = [steps for steps, each in enumerate(tried) if each.max() <= least + 1e-6]
    steps = min(tied, key=lambda steps: (min(steps, len(still) - steps), steps))
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


SYMMETRICAL = {
    "circle": plain_shape(Side.RIGHT, 50, 50),
    "ellipse": rounded_shape(exponent=2),
    "square": rounded_shape(a=44, b=44, exponent=4),
    "mirror of itself": rounded_shape(lift=0.06),
}
"""Shapes that some turn, the mirror or both lay on themselves."""


@pytest.mark.parametrize("trace", SYMMETRICAL.values(), ids=SYMMETRICAL)
def test_a_tie_falls_to_the_least_motion_whatever_the_last_bits_are(trace: Trace) -> None:
    """A symmetrical shape lies on a larger one as it is, wherever a sum's last bits lean; a processor decides those."""
    larger = Trace(trace.side, tuple(each + 25 for each in trace.hundredths))
    still, laid = seen_from_middle(trace, 400), seen_from_middle(larger, 400)
    for seed in range(40):
        bits = np.random.default_rng(seed).integers(-3, 4, (2, 400)) * np.spacing(25.0)
        found = align_seen(
            Seen(still.x, still.y, still.radii + bits[0]), Seen(laid.x + 1e-14, laid.y - 1e-14, laid.radii + bits[1])
        )
        assert (found.turned, found.mirrored) == (0, False)
        # A shape that is taller above its middle has it a little elsewhere once it is larger.
        assert str(found.moved_x) == "0.0"
        assert found.moved_y == pytest.approx(0, abs=0.05)


@pytest.mark.parametrize(
    ("name", "by", "turned"),
    [("square", 70, 340), ("square", 44, 44), ("ellipse", 100, 280), ("ellipse", 89, 89), ("circle", 123, 0)],
)
def test_the_smallest_turn_is_found_either_way(name: str, by: int, turned: int) -> None:
    """A square turned by 70 degrees lies as one that is turned back by 20, and a turned circle has not been turned."""
    still = seen_from_middle(SYMMETRICAL[name], 360)
    assert best_turn(np.roll(still.radii, by), still.radii).steps == turned


ASKED = """
from shopledger.optics.alignment import align
from shopledger.optics.body import lens_body
from shopledger.optics.boxing import box
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.power import SphereCylinder
from shopledger.optics.sides import Side

for a, b in ((50, 50), (52, 36), (40, 40.5), (58, 30)):
    for ed in (None, 1.02 * max(a, b)):
        one, other = plain_shape(Side.RIGHT, a, b, ed), plain_shape(Side.RIGHT, a + 1, b + 1, ed and ed + 1)
        lens = lens_body(SphereCylinder(-4, -1, 180), one, (0, 0), 1.6, 2, 1.5, 1, 1.3)
        print(align(one, other), align(one, other.mirrored()).turned, round(box(one).ed_axis, 6))
        print(round(lens.thickest_angle, 6), round(lens.thinnest_angle, 6))
"""
"""Laying symmetrical shapes on others, and asking where each is longest and its lens thickest."""
PROCESSORS = [
    *((core, "") for core in ("Prescott", "Nehalem", "Sandybridge", "Haswell", "Zen", "SkylakeX")),
    *(("", disabled) for disabled in ("X86_V4", "X86_V3 X86_V4")),
    ("Nehalem", "X86_V3 X86_V4"),
]


def answered(core: str = "", disabled: str = "") -> list[str]:
    """What a process of its own says, made to sum as another processor does; figures without their last bits."""
    chosen = {name: value for name, value in os.environ.items() if not name.startswith("OPENBLAS")}
    chosen |= {"OPENBLAS_CORETYPE": core} if core else {}
    chosen |= {"NPY_DISABLE_CPU_FEATURES": disabled} if disabled else {}
    # numpy warns where it cannot leave out what the processor never had.
    words = [sys.executable, "-W", "ignore", "-c", ASKED]
    folder = Path(__file__).parents[2]
    said = subprocess.run(words, env=chosen, cwd=folder, capture_output=True, text=True, check=True)
    assert said.stderr == ""
    return [re.sub(r"[0-9]+[.][0-9]+(e-[0-9]+)?", lambda number: f"{float(number[0]):.9f}", said.stdout)]


@pytest.fixture(scope="module")
def here() -> list[str]:
    """What this processor says."""
    return answered()


@pytest.mark.slow
@pytest.mark.parametrize(("core", "disabled"), PROCESSORS)
def test_shapes_lie_alike_on_every_processor(core: str, disabled: str, here: list[str]) -> None:
    """Older and other processors add the same numbers in another order, and still the same way is found."""
    assert answered(core, disabled) == here


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
