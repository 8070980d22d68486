"""Shapes of frames that were never traced have the size that was asked for."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.boxing import box
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.sides import Side


def test_one_size_is_a_circle() -> None:
    """A width equal to the height has one radius everywhere."""
    assert set(plain_shape(Side.RIGHT, 50, 50).hundredths) == {2500}


def test_a_box_without_effective_diameter_is_an_ellipse() -> None:
    """Its area is a quarter of pi times both sides, and its effective diameter is its longer side."""
    boxed = box(plain_shape(Side.LEFT, 54, 36))
    assert boxed.area == pytest.approx(math.pi / 4 * 54 * 36, rel=1e-4)
    assert (boxed.a, boxed.b, boxed.ed) == pytest.approx((54, 36, 54), abs=0.01)


@given(st.floats(40, 62), st.floats(26, 50), st.floats(0.05, 0.8))
def test_a_rounded_box_has_all_three_sizes(a: float, b: float, share: float) -> None:
    """Width, height and effective diameter are met, from next to an ellipse to next to a box."""
    longest, diagonal = max(a, b), math.hypot(a, b)
    ed = longest + share * (diagonal - longest)
    boxed = box(plain_shape(Side.RIGHT, a, b, ed))
    assert (boxed.a, boxed.b, boxed.ed) == pytest.approx((a, b, ed), abs=0.05)


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ((9, 30), "boxed width is 9 mm"),
        ((50, math.nan), "boxed height is nan mm"),
        ((50, 30, 49), "effective diameter is 49 mm; allowed is 50 to"),
        ((50, 30, 58.4), "less than its diagonal"),
    ],
)
def test_a_size_that_no_lens_has_is_refused(sizes: tuple[float, ...], said: str) -> None:
    """The sentence says which size, and what it may be."""
    with pytest.raises(OutOfRangeError) as refused:
        plain_shape(Side.RIGHT, *sizes)
    assert said in str(refused.value)
