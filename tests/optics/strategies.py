"""Powers, prescriptions and shapes for properties."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace, trace_from_radii


def quarters(low: float, high: float) -> st.SearchStrategy[float]:
    """Multiples of a quarter dioptre."""
    return st.integers(int(low * 4), int(high * 4)).map(lambda count: count / 4)


@st.composite
def powers(draw: st.DrawFn, most: float = 18) -> SphereCylinder:
    """Powers on the quarter step, plus and minus form, and spheres."""
    sphere, cylinder = draw(quarters(-most, most)), draw(quarters(-6, 6))
    return SphereCylinder(sphere, cylinder, draw(st.integers(1, 180)) if cylinder else None)


@st.composite
def eyes(draw: st.DrawFn) -> EyePrescription:
    """What may be written for one eye."""
    amounts = quarters(0.25, 8)
    horizontal = st.builds(Prism, amounts, st.sampled_from([Base.IN, Base.OUT]))
    vertical = st.builds(Prism, amounts, st.sampled_from([Base.UP, Base.DOWN]))
    prisms = tuple(each for each in (draw(st.none() | vertical), draw(st.none() | horizontal)) if each)
    return EyePrescription(draw(powers()), draw(st.none() | quarters(0.5, 4)), prisms, draw(st.booleans()))


def rounded_shape(
    count: int = 400,
    side: Side = Side.RIGHT,
    a: float = 54,
    b: float = 40,
    exponent: float = 3.0,
    lift: float = 0.0,
    skew: float = 0.0,
) -> Trace:
    """A superellipse with boxed width a and height b; lift and skew make it unlike its mirror."""
    at = np.arange(count) * 2 * np.pi / count
    radii = (np.abs(np.cos(at) * 2 / a) ** exponent + np.abs(np.sin(at) * 2 / b) ** exponent) ** (-1 / exponent)
    return trace_from_radii(side, radii * (1 + lift * np.sin(at) + skew * np.sin(2 * at + 0.6)))


@st.composite
def shapes(draw: st.DrawFn) -> Trace:
    """Smooth shapes of usual sizes, right or left, not symmetrical."""
    return rounded_shape(
        draw(st.sampled_from([36, 72, 180, 400])),
        draw(st.sampled_from(Side)),
        draw(st.floats(40, 62)),
        draw(st.floats(26, 50)),
        draw(st.floats(2.0, 3.5)),
        draw(st.floats(-0.06, 0.06)),
        draw(st.floats(-0.06, 0.06)),
    )
