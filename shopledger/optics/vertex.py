"""Power where the lens really stands: another vertex distance, tilted and wrapped before the eye."""

from __future__ import annotations

import math
from typing import Final

from shopledger.optics.power import Matrix, SphereCylinder, power_from_matrix, power_matrix
from shopledger.optics.refusals import OutOfRangeError, within
from shopledger.optics.sides import Side

MOST_TILT: Final = 40.0
"""The most that a lens leans either way [degrees]."""


def effective_power(power: float, moved: float) -> float:
    r"""Give the power that does the same work once the lens stands elsewhere.

    Parameters
    ----------
    power : float
        Back vertex power where the lens stood. [D]
    moved : float
        How far it moves toward the eye; away is minus. [mm]

    Returns
    -------
    float
        Back vertex power needed where it stands now. [D]

    Raises
    ------
    OutOfRangeError
        If the lens would pass through its own focus, or a value is out of range.

    Notes
    -----
    .. math:: F' = \frac{F}{1 - dF}, \quad d \text{ in metres}

    The simplified rule of thumb, power squared times distance, is not used.

    References
    ----------
    [optics_quiz]_ question 12
    """
    strength = within("power", power, -80, 80, "D")
    left = 1 - within("moved", moved, -100, 100, "mm") / 1000 * strength
    if left < 0.05:
        raise OutOfRangeError("moved", moved, -100, 100, "mm", f"A lens of {strength:+.2f} D would pass its own focus.")
    return strength / left


def moved_power(power: SphereCylinder, moved: float) -> SphereCylinder:
    """Give the sphere-cylinder that does the same work at another vertex distance.

    Parameters
    ----------
    power : SphereCylinder
        Power where the lens stood. [D]
    moved : float
        How far it moves toward the eye; away is minus. [mm]

    Returns
    -------
    SphereCylinder
        Power needed where it stands now, each principal power by itself, in the same cylinder form; not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If the lens would pass through its own focus, or a value is out of range.

    References
    ----------
    [optics_quiz]_ question 12
    """
    along, across = (effective_power(each, moved) for each in power.principal_powers)
    return SphereCylinder(along, across - along, power.axis)


def as_worn_power(
    power: SphereCylinder, side: Side, pantoscopic_tilt: float, wrap_angle: float, index: float
) -> SphereCylinder:
    r"""Give the power that the eye meets through a tilted and wrapped lens.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens as a lensmeter reads it. [D]
    side : Side
        The eye, since tilt and wrap together lean the other way for the left one.
    pantoscopic_tilt : float
        Lower rim toward the cheek. [degrees]
    wrap_angle : float
        Outer rim toward the temple. [degrees]
    index : float
        Refractive index. [-]

    Returns
    -------
    SphereCylinder
        Power met on the line of sight, minus-cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees, or a value is out of range.

    Notes
    -----
    For a sphere turned by an angle :math:`\omega` Martin's formulae give

    .. math:: S' = S\left(1 + \frac{\sin^2\omega}{2n}\right), \quad C' = S' \tan^2\omega

    with the cylinder's power across the axis of the turn. A sphere-cylinder is taken as a matrix, stretched by the
    secant in the plane of the turn on either side. A thin-lens approximation of third order, from memory: against an
    exact ray through lenses up to 9 D of usual form it is off by up to 0.02 D for a tilt of 8 and a wrap of 5 degrees,
    0.06 for 15 and 10, 0.2 for 15 and 25, and 0.5 for 30 and 35.

    References
    ----------
    [position_of_wear]_
    """
    stretch, strength = _turn(side, pantoscopic_tilt, wrap_angle, index)
    return power_from_matrix(_scaled(_around(stretch, power_matrix(power)), strength))


def power_for_wear(
    power: SphereCylinder, side: Side, pantoscopic_tilt: float, wrap_angle: float, index: float
) -> SphereCylinder:
    """Give the power to make so that the eye meets the prescribed one through a tilted and wrapped lens.

    Parameters
    ----------
    power : SphereCylinder
        Power that the eye should meet. [D]
    side : Side
        The eye.
    pantoscopic_tilt : float
        Lower rim toward the cheek. [degrees]
    wrap_angle : float
        Outer rim toward the temple. [degrees]
    index : float
        Refractive index. [-]

    Returns
    -------
    SphereCylinder
        Compensated power, minus-cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees, or a value is out of range.

    Notes
    -----
    The exact inverse of the as-worn power.

    References
    ----------
    [position_of_wear]_
    """
    stretch, strength = _turn(side, pantoscopic_tilt, wrap_angle, index)
    return power_from_matrix(_scaled(_around(_inverse(stretch), power_matrix(power)), 1 / strength))


def leaning_normal(side: Side, pantoscopic_tilt: float, wrap_angle: float) -> tuple[float, float, float]:
    """Give which way a leaning lens faces, as a unit vector toward the eye.

    Parameters
    ----------
    side : Side
        The eye, since a wrapped lens faces to the nose behind.
    pantoscopic_tilt : float
        Lower rim toward the cheek. [degrees]
    wrap_angle : float
        Outer rim toward the temple. [degrees]

    Returns
    -------
    (3,) tuple of float
        To the right of who faces the wearer, up, and straight toward the eye. [-]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees.

    References
    ----------
    [definition]_
    """
    tilt_rad = math.radians(within("pantoscopic tilt", pantoscopic_tilt, -MOST_TILT, MOST_TILT, "degrees"))
    wrap_rad = math.radians(within("wrap angle", wrap_angle, -MOST_TILT, MOST_TILT, "degrees"))
    level = math.cos(tilt_rad)
    aside = side.inward * math.sin(wrap_rad) * level
    return aside, math.sin(tilt_rad), math.cos(wrap_rad) * level


def _turn(side: Side, tilt: float, wrap: float, index: float) -> tuple[Matrix, float]:
    """Give the stretch in the plane of the turn, and the gain of the sphere."""
    x, y, cosine = leaning_normal(side, tilt, wrap)
    aside = math.hypot(x, y) or 1.0
    x, y, more = x / aside, y / aside, 1 / cosine - 1
    stretch = ((1 + more * x * x, more * x * y), (more * x * y, 1 + more * y * y))
    return stretch, 1 + (1 - cosine * cosine) / (2 * within("index", index, 1.3, 2.2, ""))


def _around(side: Matrix, middle: Matrix) -> Matrix:
    """Multiply a symmetric matrix from both sides."""
    (a, b), (_, d) = side
    (p, q), (_, s) = middle
    left = (a * p + b * q, a * q + b * s, b * p + d * q, b * q + d * s)
    off = left[0] * b + left[1] * d
    return ((left[0] * a + left[1] * b, off), (off, left[2] * b + left[3] * d))


def _scaled(matrix: Matrix, by: float) -> Matrix:
    """Multiply a matrix by a number."""
    (a, b), (c, d) = matrix
    return ((a * by, b * by), (c * by, d * by))


def _inverse(matrix: Matrix) -> Matrix:
    """Invert a symmetric matrix."""
    (a, b), (_, d) = matrix
    size = a * d - b * b
    return ((d / size, -b / size), (-b / size, a / size))
