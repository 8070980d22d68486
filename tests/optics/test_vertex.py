"""Vertex distance and position of wear: against print and hand calculation, then as properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder, power_vector
from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.sides import Side
from shopledger.optics.vertex import as_worn_power, effective_power, moved_power, power_for_wear
from tests.optics.published.printed import Printed
from tests.optics.published.vertices import MOVED, TILTED_CYLINDERS, TILTED_SPHERES
from tests.optics.strategies import powers

tilts = st.floats(-15, 20)
wraps = st.floats(-10, 25)


def worn(case: Printed) -> SphereCylinder:
    """The as-worn power of a tilted sphere."""
    sphere, tilt, index = case.given
    return as_worn_power(SphereCylinder(sphere), Side.RIGHT, tilt, 0, index)


@pytest.mark.parametrize("case", MOVED, ids=str)
def test_a_moved_lens_needs_the_printed_power(case: Printed) -> None:
    """Moving toward the eye strengthens plus and weakens minus by the printed amount."""
    assert effective_power(*case.given) == pytest.approx(case.expect, abs=case.within)


@given(st.floats(-25, 18), st.floats(-20, 20))
def test_moving_back_gives_the_power_back(power: float, moved: float) -> None:
    """Compensation is undone by the way back."""
    assert effective_power(effective_power(power, moved), -moved) == pytest.approx(power, abs=1e-9)


@given(powers(most=12), st.floats(-15, 15))
def test_a_moved_cylinder_keeps_its_axis_and_both_forms_agree(power: SphereCylinder, moved: float) -> None:
    """Each principal power moves by itself, so the form of the cylinder does not matter."""
    one, other = moved_power(power, moved), moved_power(power.transposed(), moved)
    assert (power_vector(one) + -power_vector(other)).length < 1e-9
    assert one.axis == power.axis


@pytest.mark.parametrize("case", TILTED_SPHERES, ids=str)
def test_a_tilted_sphere_gains_strength(case: Printed) -> None:
    """The weaker principal power of a tilted sphere is Martin's sphere."""
    assert min(worn(case).principal_powers, key=abs) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", TILTED_CYLINDERS, ids=str)
def test_a_tilted_sphere_gains_a_cylinder_of_its_own_sign_at_180(case: Printed) -> None:
    """The induced cylinder has the sphere's sign and the axis of the turn."""
    made = worn(case)
    form = made if case.expect < 0 else made.as_plus_cylinder()
    assert form.cylinder == pytest.approx(case.expect, abs=case.within)
    assert form.axis == pytest.approx(180)


def test_wrap_turns_about_the_vertical() -> None:
    """A wrapped sphere has its induced cylinder at 90."""
    made = as_worn_power(SphereCylinder(-6), Side.LEFT, 0, 15, 1.6)
    assert made.axis == pytest.approx(90)


def test_tilt_and_wrap_together_lean_outward_and_down() -> None:
    """A right lens faces down and out and has its minus cylinder at 135, a left one at 45."""
    assert as_worn_power(SphereCylinder(-6), Side.RIGHT, 10, 10, 1.6).axis == pytest.approx(135, abs=1)
    assert as_worn_power(SphereCylinder(-6), Side.LEFT, 10, 10, 1.6).axis == pytest.approx(45, abs=1)


@given(powers(most=10), tilts, wraps)
def test_each_eye_is_the_mirror_of_the_other(power: SphereCylinder, tilt: float, wrap: float) -> None:
    """A left lens with the mirrored axis is met as the mirror of the right one."""
    mirrored = SphereCylinder(power.sphere, power.cylinder, None if power.axis is None else (180 - power.axis) or 180)
    one = power_vector(as_worn_power(power, Side.RIGHT, tilt, wrap, 1.6))
    other = power_vector(as_worn_power(mirrored, Side.LEFT, tilt, wrap, 1.6))
    assert (one.mean, one.straight, one.oblique) == pytest.approx(
        (other.mean, other.straight, -other.oblique), abs=1e-9
    )


@given(powers(most=10), st.sampled_from(Side), tilts, wraps)
def test_a_compensated_lens_is_met_as_prescribed(power: SphereCylinder, side: Side, tilt: float, wrap: float) -> None:
    """What is made for wear is the exact inverse of what is met."""
    made = power_for_wear(power, side, tilt, wrap, 1.6)
    met = as_worn_power(made, side, tilt, wrap, 1.6)
    assert (power_vector(met) + -power_vector(power)).length < 1e-9


@given(powers(most=10), st.sampled_from(Side))
def test_a_lens_that_stands_straight_is_met_as_it_is(power: SphereCylinder, side: Side) -> None:
    """No tilt and no wrap change nothing."""
    assert (power_vector(as_worn_power(power, side, 0, 0, 1.5)) + -power_vector(power)).length < 1e-9


def test_a_lens_cannot_pass_its_own_focus() -> None:
    """A strong plus lens moved beyond its focal length is refused."""
    with pytest.raises(OutOfRangeError, match=r"A lens of \+20\.00 D would pass its own focus") as refused:
        effective_power(20, 50)
    error = refused.value
    assert (error.name, error.value, error.low, error.high, error.unit) == ("moved", 50, -100, 100, "mm")


@pytest.mark.parametrize("bad", [math.nan, math.inf, 45])
def test_angles_beyond_any_frame_are_refused(bad: float) -> None:
    """Tilt and wrap stay within 40 degrees."""
    with pytest.raises(OutOfRangeError, match="tilt"):
        as_worn_power(read_power("-1.00 DS"), Side.RIGHT, bad, 0, 1.5)
    with pytest.raises(OutOfRangeError, match="wrap"):
        power_for_wear(read_power("-1.00 DS"), Side.RIGHT, 0, bad, 1.5)


@given(st.floats(-12, 12), st.floats(1, 25), st.floats(1.49, 1.75))
def test_tilt_agrees_with_coddingtons_equations(sphere: float, tilt: float, index: float) -> None:
    """Two oblique refractions at the middle of a thin lens give both focal lines; the formula is their third order."""
    turned, inside = math.radians(tilt), math.asin(math.sin(math.radians(tilt)) / index)
    across = sphere * (index * math.cos(inside) - math.cos(turned)) / (index - 1)
    along = across / math.cos(turned) ** 2
    made = as_worn_power(SphereCylinder(sphere), Side.LEFT, tilt, 0, index)
    beyond_third_order = abs(sphere) * math.sin(turned) ** 4 + 1e-9
    assert sorted(made.principal_powers) == pytest.approx(sorted((across, along)), abs=beyond_third_order)
