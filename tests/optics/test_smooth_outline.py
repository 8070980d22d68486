"""The length of the smooth curve through rounded radii, against curves whose length is known, at every count."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import TypeAlias

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ellipe

from shopledger.optics.boxing import box
from shopledger.optics.sides import Side
from shopledger.optics.smooth_outline import smooth_length
from shopledger.optics.trace import Trace, trace_from_radii
from tests.optics.published.shapes import PERIMETER_3
from tests.optics.strategies import rounded_shape

Row: TypeAlias = NDArray[np.float64]

COUNTS = (36, 48, 72, 100, 144, 200, 256, 360, 400, 512, 720, 800, 997, 1000, 2000, 5000, 20_000)


def allowed(count: int) -> float:
    """What rounding to hundredths leaves open in mm: the mean of so many roundings, four of which may be one."""
    return 0.005 + 4 * 2 * math.pi * 0.01 / math.sqrt(12) / math.sqrt(count / 4) * (count < 400)


def traced(radius: Callable[[Row], Row], count: int, turned: float = 0.0) -> Trace:
    """Radii of a curve in hundredths, the curve turned by a part of the step between them."""
    return trace_from_radii(Side.RIGHT, radius((np.arange(count) + turned) * 2 * np.pi / count))


def ellipse(at: Row) -> Row:
    """The radius of an ellipse of 54 by 40 mm."""
    radius: Row = 1 / np.hypot(np.cos(at) / 27, np.sin(at) / 20)
    return radius


def rounded_rectangle(corner: float) -> Callable[[Row], Row]:
    """The radius of a rectangle of 52 by 34 mm with round corners, seen from a point off its middle."""
    centres = [(x * (26 - corner), y * (17 - corner)) for x in (-1, 1) for y in (-1, 1)]

    def radius(at: Row) -> Row:
        ways = np.array([np.cos(at), np.sin(at)])
        # The shape is all that lies within a corner's radius of the inner rectangle; march each ray to its border.
        inside, outside = np.zeros(at.shape), np.full(at.shape, 40.0)
        for _ in range(45):
            middle = (inside + outside) / 2
            x, y = middle * ways[0] - 1.2, middle * ways[1] + 0.8
            beyond = np.hypot(np.maximum(abs(x) - centres[3][0], 0), np.maximum(abs(y) - centres[3][1], 0)) > corner
            inside, outside = np.where(beyond, inside, middle), np.where(beyond, middle, outside)
        return inside

    return radius


@pytest.mark.parametrize("count", COUNTS)
def test_an_ellipse_has_its_length_at_every_count(count: int) -> None:
    """By the complete elliptic integral, within what rounding leaves open, however the radii lie on it."""
    length = 4 * 27 * float(ellipe(1 - (20 / 27) ** 2))
    for turned in np.linspace(0, 0.95, 20 if count < 5000 else 4):
        assert smooth_length(traced(ellipse, count, float(turned))) == pytest.approx(length, abs=allowed(count))


@pytest.mark.parametrize("count", COUNTS)
def test_a_superellipse_has_its_length_at_every_count(count: int) -> None:
    """54 by 40 mm with exponent 3, whose perimeter is known to four decimals."""
    assert smooth_length(rounded_shape(count)) == pytest.approx(PERIMETER_3, abs=allowed(count))


def uneven(at: Row, a: float, b: float, exponent: float, lift: float, skew: float) -> Row:
    """The radius of a superellipse that is no mirror of itself."""
    plain = (np.abs(np.cos(at) * 2 / a) ** exponent + np.abs(np.sin(at) * 2 / b) ** exponent) ** (-1 / exponent)
    radius: Row = plain * (1 + lift * np.sin(at) + skew * np.sin(2 * at + 0.6))
    return radius


def test_random_shapes_have_the_length_of_their_fine_polygons() -> None:
    """On random uneven shapes, each at eight counts, the length is that of 100,000 unrounded corners."""
    generator = np.random.default_rng(9)
    fine = np.linspace(0, 2 * np.pi, 100_000, endpoint=False)
    for _ in range(40):
        given = (*generator.uniform((44, 28, 2), (60, 46, 4)), *generator.uniform(-0.08, 0.08, 2))
        a, b, exponent, lift, skew = map(float, given)
        radius = partial(uneven, a=a, b=b, exponent=exponent, lift=lift, skew=skew)
        x, y = radius(fine) * np.cos(fine), radius(fine) * np.sin(fine)
        length = float(np.hypot(np.diff(x, append=x[0]), np.diff(y, append=y[0])).sum())
        for count in generator.choice(COUNTS, 8, replace=False).tolist():
            found = smooth_length(traced(radius, count, float(generator.random())))
            assert found == pytest.approx(length, abs=allowed(count) + 0.03 * (count < 48))


@pytest.mark.parametrize(("corner", "fewest"), [(2.0, 300), (3.0, 300), (4.0, 200), (6.0, 144), (12.0, 100)])
def test_corners_are_followed_from_enough_radii_on(corner: float, fewest: int) -> None:
    """A rectangle with round corners has 2 (a + b) less what the corners cut off, within a hundredth of a mm."""
    length = 2 * (52 + 34) - (8 - 2 * math.pi) * corner
    for count in (each for each in COUNTS if each >= fewest):
        for turned in (0.0, 0.3, 0.6):
            found = smooth_length(traced(rounded_rectangle(corner), count, turned))
            assert found == pytest.approx(length, abs=0.01), (count, turned)


def test_more_radii_of_one_shape_do_not_make_it_longer() -> None:
    """From 400 to 20,000 rounded radii the figure of the box stays the same within 0.005 mm."""
    found = [box(rounded_shape(count, lift=0.05, skew=0.03)).circumference for count in COUNTS if count >= 400]
    assert max(found) - min(found) < 0.005
