"""Surfaces and thick lenses against print, against ray tracing, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.surfaces import (
    back_surface_power,
    back_vertex_power,
    front_vertex_power,
    lens_clock_power,
    lens_clock_reading,
    nominal_power,
    sagitta,
    surface_power,
    surface_radius,
)
from tests.optics.published.lenses import (
    BACK_VERTEX,
    DEPTHS,
    EDGES,
    FRONT_VERTEX,
    LENS_CLOCK,
    NOMINAL,
    SURFACE_POWERS,
)
from tests.optics.published.printed import Printed


@pytest.mark.parametrize("case", BACK_VERTEX, ids=str)
def test_back_vertex_power_is_as_printed(case: Printed) -> None:
    """Front, back, thickness and index give the printed power from the eye's side."""
    assert back_vertex_power(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", FRONT_VERTEX, ids=str)
def test_front_vertex_power_is_as_printed(case: Printed) -> None:
    """Front, back, thickness and index give the printed power from the front."""
    assert front_vertex_power(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", SURFACE_POWERS, ids=str)
def test_surface_power_is_as_printed(case: Printed) -> None:
    """Radius and index give the printed power."""
    assert surface_power(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", NOMINAL, ids=str)
def test_nominal_power_is_as_printed(case: Printed) -> None:
    """Two radii give the printed power of a thin lens."""
    front, back, index = case.given
    made = nominal_power(surface_power(front, index), surface_power(back, index))
    assert made == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", LENS_CLOCK, ids=str)
def test_a_lens_clock_is_read_as_printed(case: Printed) -> None:
    """A reading and the two indices give the printed power."""
    assert lens_clock_power(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", DEPTHS, ids=str)
def test_a_depth_is_as_worked_out(case: Printed) -> None:
    """The exact depth, worked out apart from the program."""
    assert sagitta(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", EDGES, ids=str)
def test_an_edge_is_as_printed(case: Printed) -> None:
    """Centre thickness less the front's depth and with the back's gives the printed edge."""
    front, back, distance, centre = case.given
    assert centre - sagitta(front, distance) + sagitta(back, distance) == pytest.approx(case.expect, abs=case.within)


@given(st.floats(-25, 25), st.floats(0, 15), st.floats(0.8, 10), st.floats(1.5, 1.74))
def test_the_back_surface_makes_the_wanted_power(power: float, front: float, thickness: float, index: float) -> None:
    """What is solved for leads back to what was wanted."""
    back = back_surface_power(power, front, thickness, index)
    assert back_vertex_power(front, back, thickness, index) == pytest.approx(power, abs=1e-9)


@given(st.floats(0.1, 25), st.sampled_from([-1, 1]), st.floats(1.5, 1.74))
def test_radius_and_power_lead_to_each_other(size: float, sign: int, index: float) -> None:
    """A power gives a radius of its own sign, which gives the power."""
    assert surface_power(surface_radius(sign * size, index), index) == pytest.approx(sign * size)


@given(st.floats(40, 2000), st.floats(0, 39.9))
def test_a_depth_lies_on_its_sphere(radius: float, distance: float) -> None:
    """Depth and distance obey Pythagoras on either side of a plane."""
    depth = sagitta(radius, distance)
    assert (radius - depth) ** 2 + distance**2 == pytest.approx(radius**2)
    assert sagitta(-radius, distance) == -depth


def test_a_plane_has_no_power_and_no_depth() -> None:
    """Infinity is the radius of a plane."""
    assert surface_radius(0, 1.5) == math.inf
    assert surface_power(math.inf, 1.5) == 0
    assert sagitta(math.inf, 30) == 0


def test_a_surface_that_ends_too_soon_is_refused() -> None:
    """A sphere of 20 mm does not reach 25 mm from its axis."""
    with pytest.raises(OutOfRangeError, match="surface ends before") as refused:
        sagitta(-20, 25)
    error = refused.value
    assert (error.name, error.value, error.high, error.unit) == ("distance from the vertex", 25, 20, "mm")


@pytest.mark.parametrize("radius", [0, 0.5, math.nan])
def test_a_radius_that_cannot_be_is_refused(radius: float) -> None:
    """No lens has a radius below a millimetre, and none that is no number."""
    with pytest.raises(OutOfRangeError, match="radius") as refused:
        surface_power(radius, 1.5)
    error = refused.value
    assert (error.name, error.low, error.high, error.unit) == ("radius", 1, math.inf, "mm")
    assert error.value == pytest.approx(radius, nan_ok=True)
    assert error.hint == "Give the radius in millimetres, either sign."
    assert surface_power(1, 1.5) == pytest.approx(500)


@pytest.mark.parametrize("index", [1.0, 2.5, math.nan])
def test_an_index_that_cannot_be_is_refused(index: float) -> None:
    """No lens material has it."""
    with pytest.raises(OutOfRangeError, match="index"):
        surface_radius(5, index)


def test_a_focus_inside_the_lens_is_refused() -> None:
    """A thick ball has no back vertex power."""
    with pytest.raises(OutOfRangeError, match="focus inside") as refused:
        back_vertex_power(60, 0, 30, 1.5)
    error = refused.value
    assert (error.name, error.value, error.low, error.high, error.unit) == ("surface power", 60, -80, 80, "D")


@given(st.floats(-15, 15), st.floats(1.49, 1.75), st.sampled_from([1.523, 1.530]))
def test_a_clock_shows_what_leads_back_to_the_surface(power: float, index: float, clock_index: float) -> None:
    """Reading a surface and working out its power gives the power."""
    shown = lens_clock_reading(power, index, clock_index)
    assert lens_clock_power(shown, index, clock_index) == pytest.approx(power)
