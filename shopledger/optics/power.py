"""Sphere-cylinder powers: valid from birth, in either form, as vectors, as matrices, and crossed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from shopledger.optics.refusals import IncompleteError, OutOfRangeError, within

Matrix: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
"""A symmetric 2 x 2 power matrix in dioptres; x runs to the right of who faces the wearer, y up."""

MOST_SPHERE = 40.0
"""The largest principal power either side of zero [D]."""

MOST_CYLINDER = 20.0
"""The largest cylinder either side of zero [D]."""

# Sums of sines leave a trace of cylinder where there is none; no lensmeter reads a millionth of a dioptre.
_NO_CYLINDER = 1e-9


@dataclass(frozen=True, slots=True)
class SphereCylinder:
    """A lens power as written: sphere, cylinder and axis, in dioptres and degrees, plus or minus form.

    Both principal powers lie within 40 D and the cylinder within 20 D. A cylinder needs an axis above 0 and up to
    180 degrees (standard notation, 180 and never 0), and a sphere has none. Values need not lie on a quarter step:
    calculated powers seldom do.
    """

    sphere: float
    cylinder: float = 0.0
    axis: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no lens can be."""
        object.__setattr__(self, "sphere", within("sphere", self.sphere, -MOST_SPHERE, MOST_SPHERE, "D"))
        object.__setattr__(self, "cylinder", within("cylinder", self.cylinder, -MOST_CYLINDER, MOST_CYLINDER, "D"))
        within("sphere and cylinder together", self.sphere + self.cylinder, -MOST_SPHERE, MOST_SPHERE, "D")
        if self.cylinder and self.axis is None:
            raise IncompleteError("axis", "a cylinder has an axis", "Give the axis, from 1 to 180 degrees.")
        if not self.cylinder and self.axis is not None:
            reason = f"axis {self.axis:g} is given without a cylinder"
            raise IncompleteError("cylinder", reason, "Give the cylinder, or leave the axis out.")
        if self.axis is not None:
            object.__setattr__(self, "axis", _checked_axis(self.axis))

    @property
    def spherical_equivalent(self) -> float:
        """The mean of the two principal powers [D]."""
        return self.sphere + self.cylinder / 2

    @property
    def strongest_meridian_power(self) -> float:
        """The principal power that is farther from zero, with its sign [D]."""
        return max(self.sphere, self.sphere + self.cylinder, key=abs)

    @property
    def principal_powers(self) -> tuple[float, float]:
        """The power along the axis, and the power across it [D]."""
        return self.sphere, self.sphere + self.cylinder

    def transposed(self) -> SphereCylinder:
        """Give the same power in the other form of the cylinder."""
        if self.axis is None:
            return self
        across = self.axis - 90 if self.axis > 90 else self.axis + 90
        return SphereCylinder(self.sphere + self.cylinder, -self.cylinder, across)

    def as_minus_cylinder(self) -> SphereCylinder:
        """Give the same power with a minus cylinder, or as a sphere."""
        return self.transposed() if self.cylinder > 0 else self

    def as_plus_cylinder(self) -> SphereCylinder:
        """Give the same power with a plus cylinder, or as a sphere."""
        return self.transposed() if self.cylinder < 0 else self


@dataclass(frozen=True, slots=True)
class PowerVector:
    """A power as three numbers that add up when lenses are laid on one another: mean, straight and oblique [D]."""

    mean: float
    straight: float
    oblique: float

    def __add__(self, other: PowerVector) -> PowerVector:
        """Lay one thin power on another."""
        return PowerVector(self.mean + other.mean, self.straight + other.straight, self.oblique + other.oblique)

    def __neg__(self) -> PowerVector:
        """Give the power that cancels this one."""
        return PowerVector(-self.mean, -self.straight, -self.oblique)

    @property
    def length(self) -> float:
        """The overall blur strength: the length of the vector [D]."""
        return math.hypot(self.mean, self.straight, self.oblique)

    def to_power(self) -> SphereCylinder:
        """Give the sphere and minus cylinder."""
        cylinder = -2 * math.hypot(self.straight, self.oblique)
        if -cylinder < _NO_CYLINDER:
            return SphereCylinder(self.mean)
        axis = math.degrees(math.atan2(self.oblique, self.straight)) / 2
        return SphereCylinder(self.mean - cylinder / 2, cylinder, standard_axis(axis))


def standard_axis(angle: float) -> float:
    """Bring any angle of a meridian into standard notation.

    Parameters
    ----------
    angle : float
        Angle of a meridian, any turn. [degrees]

    Returns
    -------
    float
        The same meridian above 0 and up to 180. [degrees]

    Raises
    ------
    OutOfRangeError
        If the angle is not finite.

    References
    ----------
    [iso_8429]_ scope
    """
    turned = within("angle", angle, -1e9, 1e9, "degrees") % 180
    return turned or 180.0


def power_in_meridian(power: SphereCylinder, meridian: float) -> float:
    r"""Give the power that a sphere-cylinder has along one meridian.

    Parameters
    ----------
    power : SphereCylinder
        The power. [D]
    meridian : float
        Meridian in standard notation. [degrees]

    Returns
    -------
    float
        Power along that meridian. [D]

    Raises
    ------
    OutOfRangeError
        If the meridian is not finite.

    Notes
    -----
    .. math:: F(\theta) = S + C \sin^2(\theta - a)

    References
    ----------
    [nfos_10a]_ worksheet on oblique meridians
    """
    turned = within("meridian", meridian, -1e9, 1e9, "degrees")
    if power.axis is None:
        return power.sphere
    return power.sphere + power.cylinder * math.sin(math.radians(turned - power.axis)) ** 2


def near_power(distance: SphereCylinder, add: float) -> SphereCylinder:
    """Give the power for near: the add goes on the sphere, cylinder and axis stay.

    Parameters
    ----------
    distance : SphereCylinder
        Distance power. [D]
    add : float
        What near needs above distance. [D]

    Returns
    -------
    SphereCylinder
        Near power in the same cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If the add or the sum is out of range.

    References
    ----------
    [opt_1156]_ unit 1
    """
    more = within("add", add, 0, 6, "D")
    return SphereCylinder(distance.sphere + more, distance.cylinder, distance.axis)


def power_vector(power: SphereCylinder) -> PowerVector:
    r"""Give a power as mean, straight and oblique part.

    Parameters
    ----------
    power : SphereCylinder
        The power, either form. [D]

    Returns
    -------
    PowerVector
        Three parts that add up over thin lenses. [D]

    Notes
    -----
    .. math:: M = S + C/2, \quad J_0 = -(C/2)\cos 2a, \quad J_{45} = -(C/2)\sin 2a

    Only the paper's abstract was read; the formula is from memory and agrees with a second-hand page.

    References
    ----------
    [thibos_1997]_
    """
    double = math.radians(2 * (power.axis or 0.0))
    half = -power.cylinder / 2
    return PowerVector(power.spherical_equivalent, half * math.cos(double), half * math.sin(double))


def power_matrix(power: SphereCylinder) -> Matrix:
    r"""Give a power as a symmetric matrix, so that prism at a point is one product.

    Parameters
    ----------
    power : SphereCylinder
        The power, either form. [D]

    Returns
    -------
    ((2,), (2,)) tuple of float
        Rows x then y; x to the right of who faces the wearer, y up. [D]

    Notes
    -----
    .. math:: F_{xx} = S + C\sin^2 a, \quad F_{xy} = -C \sin a \cos a, \quad F_{yy} = S + C\cos^2 a

    Only the paper's abstract was read; the formula is from memory and agrees with [jalie_2024]_.

    References
    ----------
    [long_1976]_
    """
    axis_rad = math.radians(power.axis or 0.0)
    sine, cosine = math.sin(axis_rad), math.cos(axis_rad)
    across = -power.cylinder * sine * cosine
    return (
        (power.sphere + power.cylinder * sine * sine, across),
        (across, power.sphere + power.cylinder * cosine * cosine),
    )


def power_from_matrix(matrix: Matrix) -> SphereCylinder:
    """Give the sphere and minus cylinder of a symmetric power matrix.

    Parameters
    ----------
    matrix : ((2,), (2,)) tuple of float
        Rows x then y; both off-diagonal terms equal. [D]

    Returns
    -------
    SphereCylinder
        The power in minus-cylinder form. [D]

    Raises
    ------
    OutOfRangeError
        If the matrix is not symmetric, or its power is out of range.

    References
    ----------
    [long_1976]_
    """
    (xx, xy), (yx, yy) = matrix
    if not math.isclose(xy, yx, rel_tol=1e-9, abs_tol=1e-9):
        raise OutOfRangeError("difference of the off-diagonal terms", xy - yx, 0, 0, "D", "Give a symmetric matrix.")
    return PowerVector((xx + yy) / 2, (xx - yy) / 2, (xy + yx) / 2).to_power()


def cross(first: SphereCylinder, *others: SphereCylinder) -> SphereCylinder:
    """Lay thin powers on one another and give the one power that does the same.

    Parameters
    ----------
    first : SphereCylinder
        A power. [D]
    *others : SphereCylinder
        More powers, any axes. [D]

    Returns
    -------
    SphereCylinder
        The sum in minus-cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If the sum is out of range.

    References
    ----------
    [thibos_1997]_
    """
    total = power_vector(first)
    for power in others:
        total = total + power_vector(power)
    return total.to_power()


def _checked_axis(axis: float) -> float:
    """Give a usable axis, or say how it is written."""
    if axis == 0:
        raise OutOfRangeError("axis", axis, 1, 180, "degrees", "Standard notation has no 0: write 180.")
    if not 0 < axis <= 180:
        raise OutOfRangeError("axis", axis, 1, 180, "degrees", "Standard notation runs from 1 to 180.")
    return within("axis", axis, 0, 180, "degrees")
