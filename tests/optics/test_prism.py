"""Prism against print, then as properties, then what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.notation import read_power, read_prism
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import (
    Base,
    Prism,
    PrismVector,
    combine,
    imbalance_at,
    point_of_prism,
    prentice,
    prism_at,
    resolve,
    split_prism,
)
from shopledger.optics.refusals import IncompleteError, OutOfRangeError
from shopledger.optics.sides import Side
from tests.optics.published.printed import Printed
from tests.optics.published.prisms import (
    ASTIGMATIC_INWARD,
    ASTIGMATIC_UPWARD,
    IMBALANCES,
    PRENTICE,
    RESULTANT_AMOUNTS,
    RESULTANT_ANGLES,
)
from tests.optics.strategies import powers


def at_point(case: Printed) -> PrismVector:
    """The prism at the point of a printed example."""
    power, side, inward, upward = case.given
    return prism_at(read_power(power), Side(side), inward, upward)


@pytest.mark.parametrize("case", PRENTICE, ids=str)
def test_prentice_is_as_printed(case: Printed) -> None:
    """Prism is centimetres times dioptres."""
    assert prentice(*case.given) == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", ASTIGMATIC_UPWARD, ids=str)
def test_vertical_astigmatic_prism_is_as_printed(case: Printed) -> None:
    """Up is plus, with oblique cylinders, before either eye."""
    assert at_point(case).upward == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", ASTIGMATIC_INWARD, ids=str)
def test_horizontal_astigmatic_prism_is_as_printed(case: Printed) -> None:
    """In is plus, with oblique cylinders, before either eye."""
    assert at_point(case).inward == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", RESULTANT_AMOUNTS, ids=str)
def test_resultant_amount_is_as_printed(case: Printed) -> None:
    """Two prisms at right angles make the printed one."""
    assert combine(map(read_prism, case.given)).amount == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", RESULTANT_ANGLES, ids=str)
def test_resultant_angle_is_as_printed(case: Printed) -> None:
    """The base of the resultant is at the printed angle for a right eye."""
    assert combine(map(read_prism, case.given)).base_angle(Side.RIGHT) == pytest.approx(case.expect, abs=case.within)


def test_three_prisms_resolve_as_in_the_exam() -> None:
    """2 in, 1.5 at 30 and 0.75 at 60 before a right eye make 3.93; [master_exam] printed choice."""
    parts = resolve(2, 0, Side.RIGHT) + resolve(1.5, 30, Side.RIGHT) + resolve(0.75, 60, Side.RIGHT)
    assert parts.amount == pytest.approx(3.93, abs=0.005)


@pytest.mark.parametrize("case", IMBALANCES, ids=str)
def test_vertical_imbalance_is_as_printed(case: Printed) -> None:
    """The eyes differ by the printed prism at the reading level."""
    right, left, below = case.given
    apart = imbalance_at(read_power(right), read_power(left), below)
    assert apart.upward == pytest.approx(case.expect, abs=case.within)


@given(st.floats(0.01, 40), st.floats(0, 359.9), st.sampled_from(Side))
def test_prism_resolved_and_combined_is_the_same(amount: float, angle: float, side: Side) -> None:
    """Parts lead back to the amount and the base angle."""
    parts = resolve(amount, angle, side)
    assert parts.amount == pytest.approx(amount)
    turn = (parts.base_angle(side) - angle + 180) % 360 - 180
    assert turn == pytest.approx(0, abs=1e-6)


@given(st.floats(-20, 20), st.floats(-20, 20))
def test_written_prisms_add_up_to_their_vector(inward: float, upward: float) -> None:
    """What is written as in, out, up and down adds up again; zero parts are left out."""
    vector = PrismVector(inward, upward)
    again = combine(vector.as_prisms())
    assert (again.inward, again.upward) == pytest.approx((inward, upward), abs=2e-9)


@given(powers(), st.floats(-15, 15), st.floats(-15, 15))
def test_mirrored_lenses_have_mirrored_prism(power: SphereCylinder, inward: float, upward: float) -> None:
    """A left lens with the mirrored axis has the same base in and base up as the right one."""
    axis = None if power.axis is None else (180 - power.axis) or 180
    mirrored = SphereCylinder(power.sphere, power.cylinder, axis)
    one, other = prism_at(power, Side.RIGHT, inward, upward), prism_at(mirrored, Side.LEFT, inward, upward)
    assert (one.inward, one.upward) == pytest.approx((other.inward, other.upward), abs=1e-9)


@given(st.floats(-20, 20), st.floats(-15, 15), st.floats(-15, 15))
def test_a_sphere_obeys_prentice_toward_its_centre(sphere: float, inward: float, upward: float) -> None:
    """A plus lens has its base toward the optical centre, by centimetres times dioptres."""
    made = prism_at(SphereCylinder(sphere), Side.LEFT, inward, upward)
    assert made.inward == pytest.approx(-prentice(sphere, inward), abs=1e-9)
    assert made.upward == pytest.approx(-prentice(sphere, upward), abs=1e-9)


def test_bases_know_their_opposite_and_their_line() -> None:
    """In faces out, up faces down; in and out lie along the eyes."""
    assert [base.opposite for base in Base] == [Base.OUT, Base.IN, Base.DOWN, Base.UP]
    assert [base.horizontal for base in Base] == [True, True, False, False]


def test_zero_degrees_is_in_for_the_right_eye_and_out_for_the_left() -> None:
    """The picture is seen from the front, so the nose is at 0 for the right eye and at 180 for the left."""
    assert resolve(2, 0, Side.RIGHT).as_prisms() == (Prism(2, Base.IN),)
    assert resolve(2, 0, Side.LEFT).as_prisms() == (Prism(2, Base.OUT),)
    assert PrismVector(2, 0).base_angle(Side.LEFT) == pytest.approx(180)


def test_taking_a_prism_away_undoes_adding_it() -> None:
    """Subtraction undoes addition."""
    assert PrismVector(1, 2) + PrismVector(3, -1) - PrismVector(3, -1) == PrismVector(1, 2)


@pytest.mark.parametrize("amount", [math.nan, math.inf, -1, 40.5])
def test_a_prism_out_of_range_is_refused(amount: float) -> None:
    """A written prism is above 0 and at most 40."""
    with pytest.raises(OutOfRangeError, match="prism"):
        Prism(amount, Base.IN)


def test_a_prism_of_zero_is_no_prism() -> None:
    """Zero has no base and is left out."""
    with pytest.raises(IncompleteError) as refused:
        Prism(0, Base.IN)
    assert str(refused.value) == "prism: a prism of zero has no base. Leave the prism out."


@pytest.mark.parametrize("angle", [-1, 361, math.nan])
def test_a_base_angle_runs_from_0_to_360(angle: float) -> None:
    """No other angle is written."""
    with pytest.raises(OutOfRangeError, match="base angle"):
        resolve(1, angle, Side.RIGHT)


@given(powers(), st.sampled_from(Side), st.floats(-6, 6), st.floats(-6, 6))
def test_the_point_of_a_prism_has_that_prism(power: SphereCylinder, side: Side, inward: float, upward: float) -> None:
    """The point that is found has the wanted prism; a lens too weak in a meridian is refused."""
    weakest = min(power.principal_powers, key=abs)
    if abs(weakest) < 0.1:
        with pytest.raises(OutOfRangeError, match="surfaced with its prism") as refused:
            point_of_prism(power, side, PrismVector(inward, upward))
        error = refused.value
        assert (error.name, error.value, error.low, error.high) == ("weakest principal power", weakest, 0.1, 40)
        return
    # So much prism that the point stays on a lens of any strength.
    wanted = PrismVector(inward * abs(weakest), upward * abs(weakest))
    made = prism_at(power, side, *point_of_prism(power, side, wanted))
    assert (made.inward, made.upward) == pytest.approx((wanted.inward, wanted.upward), abs=1e-9)


def test_two_prism_dioptres_of_five_dioptres_stand_four_millimetres_off() -> None:
    """2 base down of +5.00 stand 4 mm above the centre; [jalie_2022] p. 108, the distance is printed."""
    assert point_of_prism(SphereCylinder(5), Side.RIGHT, PrismVector(0, -2)) == pytest.approx((0, 4))


@given(st.floats(-10, 10), st.floats(-10, 10), st.floats(0, 1))
def test_a_shared_prism_does_the_same_for_both_eyes_together(inward: float, upward: float, share: float) -> None:
    """Base in adds up over the eyes; base up before one eye is base down before the other."""
    right, left = split_prism(PrismVector(inward, upward), share)
    assert right.inward + left.inward == pytest.approx(inward)
    assert right.upward - left.upward == pytest.approx(upward)


def test_half_each_is_usual() -> None:
    """4 base up before the right eye is 2 up and 2 down: common practice."""
    right, left = split_prism(PrismVector(0, 4))
    assert right.as_prisms() == (Prism(2, Base.UP),)
    assert left.as_prisms() == (Prism(2, Base.DOWN),)
    with pytest.raises(OutOfRangeError, match="right share"):
        split_prism(PrismVector(0, 4), 1.5)


def test_small_prisms_keep_their_base() -> None:
    """Half a prism dioptre is in, out, up or down like any other, and a billionth is none."""
    assert PrismVector(0.5, -0.5).as_prisms() == (Prism(0.5, Base.DOWN), Prism(0.5, Base.IN))
    assert PrismVector(-0.5, 0.5).as_prisms() == (Prism(0.5, Base.UP), Prism(0.5, Base.OUT))
    assert PrismVector(1e-10, -1e-10).as_prisms() == ()


def test_a_base_angle_stays_below_the_full_circle() -> None:
    """A hair below 0 degrees is 0 and not 360."""
    assert PrismVector(1, -1e-18).base_angle(Side.RIGHT) == 0


def test_a_lens_made_of_no_power_has_no_prism_with_a_sign() -> None:
    """No prism is plain zero, whichever way the point lies."""
    made = prism_at(SphereCylinder(0), Side.LEFT, 3, -2)
    assert [math.copysign(1, each) for each in (made.inward, made.upward)] == [1, 1]


def test_both_eyes_share_what_they_have_across() -> None:
    """Reading 2 mm inward of -3.00 and -5.00 makes 0.6 and 1.0 base in together, worked out by hand."""
    made = imbalance_at(SphereCylinder(-3), SphereCylinder(-5), 10, 2)
    assert (made.inward, made.upward) == pytest.approx((1.6, 2.0))


@pytest.mark.parametrize("weak", [0.1, -0.1])
def test_a_tenth_of_a_dioptre_is_just_enough_to_move_a_centre(weak: float) -> None:
    """At a tenth a point can be found, a hair below it is refused, by either sign of the weak meridian."""
    assert point_of_prism(SphereCylinder(weak), Side.RIGHT, PrismVector(0.5, 0)) == pytest.approx((-5 / weak, 0))
    with pytest.raises(OutOfRangeError) as refused:
        point_of_prism(SphereCylinder(-9, 9 + weak * 0.99, 180), Side.RIGHT, PrismVector(0.5, 0))
    assert refused.value.value == pytest.approx(weak * 0.99)
    assert refused.value.unit == "D either sign"
