"""Powers against print, then as properties, then what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.notation import read_power
from shopledger.optics.power import (
    PowerVector,
    SphereCylinder,
    cross,
    near_power,
    power_from_matrix,
    power_in_meridian,
    power_matrix,
    power_vector,
    standard_axis,
)
from shopledger.optics.refusals import IncompleteError, OutOfRangeError
from tests.optics.published.meridians import MERIDIANS
from tests.optics.published.powers import (
    CROSSED_CYLINDERS,
    CROSSED_SPHERES,
    EQUIVALENTS,
    NEAR,
    TRANSPOSITIONS,
    VECTORS,
)
from tests.optics.published.printed import Printed
from tests.optics.strategies import powers


def same(one: SphereCylinder, other: SphereCylinder, within: float = 1e-9) -> bool:
    """Whether two powers agree in every meridian."""
    apart = power_vector(one) + -power_vector(other)
    return apart.length < within


@pytest.mark.parametrize(("source", "meridian"), MERIDIANS, ids=str)
def test_power_in_a_meridian_is_as_printed(source: str, meridian: int) -> None:
    """The power along an oblique meridian is the printed one, to half its last digit."""
    for sphere, cylinder, axis, printed in MERIDIANS[source, meridian]:
        power = SphereCylinder(sphere, cylinder, axis) if cylinder else SphereCylinder(sphere)
        assert power_in_meridian(power, meridian) == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize(("source", "where", "one", "other"), TRANSPOSITIONS)
def test_transposition_is_as_printed(source: str, where: str, one: str, other: str) -> None:
    """Either printed form gives the other one exactly."""
    assert read_power(one).transposed() == read_power(other), (source, where)
    assert read_power(other).transposed() == read_power(one), (source, where)


@pytest.mark.parametrize("case", EQUIVALENTS, ids=str)
def test_spherical_equivalent_is_as_printed(case: Printed) -> None:
    """The mean power is the printed one."""
    assert read_power(case.given[0]).spherical_equivalent == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize(("source", "where", "distance", "add", "near"), NEAR)
def test_near_power_is_as_printed(source: str, where: str, distance: str, add: float, near: str) -> None:
    """The add goes on the sphere and nothing else changes."""
    assert near_power(read_power(distance), add) == read_power(near), (source, where)


@pytest.mark.parametrize("case", CROSSED_SPHERES, ids=str)
def test_crossed_sphere_is_as_printed(case: Printed) -> None:
    """Two crossed cylinders leave the printed sphere in minus form."""
    assert cross(*map(read_power, case.given)).sphere == pytest.approx(case.expect, abs=case.within)


@pytest.mark.parametrize("case", CROSSED_CYLINDERS, ids=str)
def test_crossed_cylinder_is_as_printed(case: Printed) -> None:
    """Two crossed cylinders leave the printed cylinder in minus form."""
    assert cross(*map(read_power, case.given)).cylinder == pytest.approx(case.expect, abs=case.within)


def test_crossed_axis_stands_half_way_between_equal_cylinders() -> None:
    """Equal cylinders at 135 and 180 act at 157.5, by symmetry."""
    assert cross(read_power("pl -0.50 x 135"), read_power("pl -0.50 x 180")).axis == pytest.approx(157.5)


@pytest.mark.parametrize(("power", "vector"), VECTORS)
def test_power_vector_is_as_worked_out(power: str, vector: tuple[float, float, float]) -> None:
    """Mean, straight and oblique part follow the formula, worked out apart from the program."""
    made = power_vector(read_power(power))
    assert (made.mean, made.straight, made.oblique) == pytest.approx(vector, abs=0.0005)


@given(powers())
def test_transposing_twice_changes_nothing(power: SphereCylinder) -> None:
    """Transposition is its own inverse."""
    assert power.transposed().transposed() == power


@given(powers(), st.floats(0, 180))
def test_both_forms_have_the_same_power_everywhere(power: SphereCylinder, meridian: float) -> None:
    """Plus and minus form agree in every meridian, and each has the sign it promises."""
    minus, plus = power.as_minus_cylinder(), power.as_plus_cylinder()
    assert minus.cylinder <= 0 <= plus.cylinder
    assert power_in_meridian(minus, meridian) == pytest.approx(power_in_meridian(plus, meridian), abs=1e-9)


@given(powers())
def test_vectors_and_matrices_lead_back(power: SphereCylinder) -> None:
    """A power comes back from its vector and from its matrix in minus form."""
    assert same(power_vector(power).to_power(), power)
    assert same(power_from_matrix(power_matrix(power)), power)
    assert power_vector(power).to_power().cylinder <= 0


@given(powers())
def test_matrix_eigenvalues_are_the_principal_powers(power: SphereCylinder) -> None:
    """An independent eigenvalue routine finds the two principal powers in the matrix."""
    found = np.linalg.eigvalsh(np.array(power_matrix(power)))
    assert found == pytest.approx(sorted(power.principal_powers), abs=1e-9)


@given(powers(), powers())
def test_crossing_adds_matrices(one: SphereCylinder, other: SphereCylinder) -> None:
    """Crossed powers have the eigenvalues of the summed matrices."""
    try:
        crossed = cross(one, other)
    except OutOfRangeError:
        return
    found = np.linalg.eigvalsh(np.array(power_matrix(one)) + np.array(power_matrix(other)))
    assert found == pytest.approx(sorted(crossed.principal_powers), abs=1e-9)


@given(powers())
def test_crossing_with_the_inverse_leaves_nothing(power: SphereCylinder) -> None:
    """A power and the same power with all signs turned leave plano."""
    inverse = (-power_vector(power)).to_power()
    assert same(cross(power, inverse), SphereCylinder(0))


@given(powers())
def test_strongest_meridian_is_a_principal_one_farthest_from_zero(power: SphereCylinder) -> None:
    """No meridian is stronger than the strongest."""
    strongest = abs(power.strongest_meridian_power)
    assert all(abs(power_in_meridian(power, meridian)) <= strongest + 1e-9 for meridian in range(0, 180, 5))


@given(st.floats(-1e6, 1e6))
def test_standard_axis_is_the_same_meridian(angle: float) -> None:
    """Any angle comes to above 0 and up to 180, and points the same way."""
    axis = standard_axis(angle)
    assert 0 < axis <= 180
    assert abs(math.sin(math.radians(axis - angle))) < 1e-6


def test_the_zero_of_a_calculated_cylinder_is_a_sphere() -> None:
    """A cylinder that only rounding made is no cylinder."""
    assert PowerVector(1.0, 1e-13, -1e-13).to_power() == SphereCylinder(1.0)


def test_minus_zero_is_zero() -> None:
    """A sphere of minus zero is plain zero, so that it is written without a sign."""
    assert math.copysign(1, SphereCylinder(-0.0).sphere) == 1


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 40.25, -41.0])
def test_a_sphere_out_of_range_is_refused(bad: float) -> None:
    """No lens has such a sphere, and the refusal has its fields."""
    with pytest.raises(OutOfRangeError) as refused:
        SphereCylinder(bad)
    assert refused.value.name == "sphere"
    assert (refused.value.low, refused.value.high, refused.value.unit) == (-40, 40, "D")
    assert "allowed is -40 to 40 D" in str(refused.value)


@pytest.mark.parametrize(("sphere", "cylinder"), [(1.0, 20.25), (1.0, math.nan), (-39.0, -2.0)])
def test_a_cylinder_or_sum_out_of_range_is_refused(sphere: float, cylinder: float) -> None:
    """A cylinder is at most 20 D, and both principal powers at most 40 D."""
    with pytest.raises(OutOfRangeError):
        SphereCylinder(sphere, cylinder, 90)


def test_a_cylinder_needs_an_axis_and_an_axis_a_cylinder() -> None:
    """Neither stands alone."""
    with pytest.raises(IncompleteError, match="a cylinder has an axis"):
        SphereCylinder(1.0, -0.5)
    with pytest.raises(IncompleteError, match="without a cylinder"):
        SphereCylinder(1.0, 0.0, 90)


@pytest.mark.parametrize("axis", [0, -1, 180.5, math.nan, math.inf])
def test_an_axis_out_of_standard_notation_is_refused(axis: float) -> None:
    """An axis is above 0 and up to 180; for 0 the refusal says to write 180."""
    with pytest.raises(OutOfRangeError, match="180"):
        SphereCylinder(1.0, -0.5, axis)


def test_axis_zero_is_told_to_be_180() -> None:
    """The refusal of axis 0 says what to write."""
    with pytest.raises(OutOfRangeError) as refused:
        SphereCylinder(1.0, -0.5, 0)
    assert (
        str(refused.value) == "axis is 0 degrees; allowed is 1 to 180 degrees. Standard notation has no 0: write 180."
    )
    with pytest.raises(OutOfRangeError) as beyond:
        SphereCylinder(1.0, -0.5, 181)
    assert (
        str(beyond.value) == "axis is 181 degrees; allowed is 1 to 180 degrees. Standard notation runs from 1 to 180."
    )


def test_an_unsymmetrical_matrix_is_no_power() -> None:
    """A thin lens has a symmetric matrix."""
    with pytest.raises(OutOfRangeError, match="symmetric") as refused:
        power_from_matrix(((1.0, 0.5), (0.2, 1.0)))
    error = refused.value
    assert (error.name, error.low, error.high, error.unit) == ("difference of the off-diagonal terms", 0, 0, "D")
    assert error.value == pytest.approx(0.3)


def test_an_add_below_zero_is_refused() -> None:
    """Near needs no less than distance."""
    with pytest.raises(OutOfRangeError, match=r"add is -0\.5 D"):
        near_power(SphereCylinder(0), -0.5)
