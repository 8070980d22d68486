"""What an eye meets through a leaning lens, by an exact ray along its line of sight through both thick surfaces."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from shopledger.optics.base_curve import usual_base_curve
from shopledger.optics.body import lens_surfaces
from shopledger.optics.depths import Surfaces
from shopledger.optics.power import SphereCylinder, power_from_matrix, power_vector
from shopledger.optics.refusals import ImpossibleLensError, within
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats
from shopledger.optics.vertex import as_worn_power, leaning_normal, power_for_wear

SURE_TILT: Final = 15.0
"""Up to which pantoscopic tilt the thin-lens formula is used without a word [degrees]; common practice."""

SURE_WRAP: Final = 25.0
"""Up to which wrap angle the thin-lens formula is used without a word [degrees]; common practice."""

WORTH_SAYING: Final = 0.125
"""From which error on the formula's figure is not left alone; an eighth, common practice [D]."""

_LEAST_CENTRE = 2.0
_HALF_OF_A_LENS = 25.0
_CLOSE = 1e-6
_MOST_ROUNDS = 100


def beyond_formula(pantoscopic_tilt: float, wrap_angle: float) -> bool:
    """Tell whether a lens leans farther than the thin-lens formula is good for.

    Parameters
    ----------
    pantoscopic_tilt : float
        Lower rim toward the cheek. [degrees]
    wrap_angle : float
        Outer rim toward the temple. [degrees]

    Returns
    -------
    bool
        Whether what the eye meets should be looked at by an exact ray.

    References
    ----------
    [common_practice]_ for the limits
    """
    return abs(pantoscopic_tilt) > SURE_TILT or abs(wrap_angle) > SURE_WRAP


def usual_lens(power: SphereCylinder, index: float) -> tuple[Surfaces, float]:
    """Give a lens as it is usually made, where only its power is known.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power. [D]
    index : float
        Refractive index. [-]

    Returns
    -------
    (2,) tuple of Surfaces and float
        Both sides on the usual front, and the centre thickness: 2 mm, more for a plus lens that is 50 mm wide. [D, mm]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [vogel]_ for the front curve; [common_practice]_ for the thickness
    """
    glass = within("index", index, 1.3, 2.2, "")
    bulge = max(power.principal_powers) * _HALF_OF_A_LENS**2 / (2000 * (glass - 1))
    thickness = max(_LEAST_CENTRE, 1 + bulge)
    return lens_surfaces(power, usual_base_curve(power), thickness, glass), thickness


def met_power(
    surfaces: Surfaces, centre_thickness: float, side: Side, pantoscopic_tilt: float, wrap_angle: float
) -> SphereCylinder:
    r"""Give the power that the eye meets along its line of sight through a leaning lens, exactly.

    Parameters
    ----------
    surfaces : Surfaces
        Both sides. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    side : Side
        The eye.
    pantoscopic_tilt : float
        Lower rim toward the cheek. [degrees]
    wrap_angle : float
        Outer rim toward the temple. [degrees]

    Returns
    -------
    SphereCylinder
        Power met from the back's vertex on, minus-cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees.
    ImpossibleLensError
        If the ray misses the front.

    Notes
    -----
    A ray is followed from the eye through the back's vertex and out at the front; then a parallel beam is sent back
    along it. At each surface, for any small step :math:`\tau` along it,

    .. math:: n' \tau^T W' \tau - n \tau^T W \tau = (n' \cos i' - n \cos i) \, \tau^T C \tau

    with W the curvature of the wave and C that of the surface, which is Coddington's pair of equations for any
    direction of a torus. A prism in the surfaces is left out: the back stands square on the axis.

    References
    ----------
    [definition]_ of Snell's law and of Coddington's equations, from memory
    """
    thickness = within("centre thickness", centre_thickness, 0, 60, "mm")
    # In the lens's own frame the line of sight leans instead: x and y as seen from the front, z toward the eye.
    sight = np.array(leaning_normal(side, pantoscopic_tilt, wrap_angle)) * [-1, -1, 1]
    level, index = np.array([0.0, 0.0, 1.0]), surfaces.index
    inside = _bent(sight, level, 1, index)
    front, way = surfaces.front_curvature, _to_front(surfaces.front_curvature, thickness, inside)
    at_front = np.array([0.0, 0.0, thickness]) - way * inside
    facing = np.array([-front * at_front[0], -front * at_front[1], 1 - front * at_front[2]])
    wave = _refracted(np.zeros((3, 3)), _bent(inside, facing, index, 1), inside, facing, np.eye(3) * front, (1, index))
    crossed = wave @ np.linalg.inv(np.eye(3) - way * wave)
    wave = _refracted(crossed, inside, sight, level, _back_curvature(surfaces), (index, 1))
    return power_from_matrix(_upright(wave, sight))


def formula_error(
    power: SphereCylinder, side: Side, pantoscopic_tilt: float, wrap_angle: float, index: float
) -> tuple[SphereCylinder, float]:
    """Give what the eye really meets through a usual lens, and how far the thin-lens formula is from it.

    Parameters
    ----------
    power : SphereCylinder
        Power of the lens as a lensmeter reads it. [D]
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
    (2,) tuple of SphereCylinder and float
        The power met, and the length of the difference of both as vectors. [D]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees, or a value is out of range.
    ImpossibleLensError
        If the ray misses the front.

    References
    ----------
    [position_of_wear]_ for the formula; [definition]_ for the ray
    """
    met = met_power(*usual_lens(power, index), side, pantoscopic_tilt, wrap_angle)
    thin = as_worn_power(power, side, pantoscopic_tilt, wrap_angle, index)
    return met, (power_vector(met) + -power_vector(thin)).length


def exact_power_for_wear(
    power: SphereCylinder, side: Side, pantoscopic_tilt: float, wrap_angle: float, index: float
) -> SphereCylinder:
    """Give the power of a usual lens through which the eye meets the prescribed one exactly.

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
        Power to make, minus-cylinder form, not rounded. [D]

    Raises
    ------
    OutOfRangeError
        If an angle is beyond 40 degrees, or a value is out of range.
    ImpossibleLensError
        If the ray misses the front, or no lens comes close.

    Notes
    -----
    What is met too much is taken off again and again, each time as much as the thin-lens formula would.

    References
    ----------
    [definition]_
    """
    tilt, wrap = pantoscopic_tilt, wrap_angle
    wanted = power_vector(power)
    made = power_vector(power_for_wear(power, side, tilt, wrap, index))
    for _ in range(_MOST_ROUNDS):
        lens = made.to_power()
        surfaces, thickness = usual_lens(lens, index)
        off = power_vector(met_power(surfaces, thickness, side, tilt, wrap)) + -wanted
        if off.length < _CLOSE:
            return lens
        made = made + -power_vector(power_for_wear(off.to_power(), side, tilt, wrap, index))
    raise ImpossibleLensError("no lens of this power can be worn so", 0.0, math.nan, math.nan)


def _bent(way: Floats, facing: Floats, before: float, behind: float) -> Floats:
    """Refract a direction, either way through a surface that faces along it."""
    ratio, cosine = before / behind, float(way @ facing)
    room = 1 - ratio * ratio * (1 - cosine * cosine)
    if room < 0:
        raise ImpossibleLensError("the line of sight is thrown back inside the lens", 0.0, math.nan, math.nan)
    bent: Floats = ratio * way + (math.sqrt(room) - ratio * cosine) * facing
    return bent


def _to_front(curvature: float, thickness: float, inside: Floats) -> float:
    """Give how far the ray runs in the lens, from the front to the back's vertex."""
    # Of |p|^2 c - 2 z = 0 on the front, with p back along the ray; in this form a plane front is no exception.
    a, b = curvature, float(inside[2]) * (1 - curvature * thickness)
    c = thickness * (curvature * thickness - 2)
    room = b * b - a * c
    if room < 0:
        raise ImpossibleLensError("the line of sight misses the front", 0.0, math.nan, math.nan)
    return -c / (b + math.sqrt(room))


def _refracted(
    wave: Floats, coming: Floats, going: Floats, facing: Floats, curvature: Floats, media: tuple[float, float]
) -> Floats:
    """Give the wave's curvature behind a surface."""
    before, behind = media
    along = _two_across(facing)
    more = behind * float(going @ facing) - before * float(coming @ facing)
    met = (before * along @ wave @ along.T + more * along @ curvature @ along.T) / behind
    # A step along the surface is a shorter one across the ray.
    steps = along - np.outer(along @ going, going)
    back = np.linalg.pinv(steps)
    refracted: Floats = back @ met @ back.T
    return refracted


def _two_across(facing: Floats) -> Floats:
    """Give two unit steps at right angles to a direction, and to each other."""
    first = np.array([facing[2], 0.0, -facing[0]])
    first /= np.linalg.norm(first)
    return np.array([first, np.cross(facing, first)])


def _back_curvature(surfaces: Surfaces) -> Floats:
    """Give the curvature of the back at its vertex as a matrix."""
    axis_rad = math.radians(surfaces.axis)
    along, across = (
        np.array([math.cos(axis_rad), math.sin(axis_rad), 0]),
        np.array([-math.sin(axis_rad), math.cos(axis_rad), 0]),
    )
    one, other = surfaces.back_curvatures
    curved: Floats = one * np.outer(along, along) + other * np.outer(across, across)
    return curved


def _upright(wave: Floats, sight: Floats) -> tuple[tuple[float, float], tuple[float, float]]:
    """Give a wave across the line of sight as a power matrix, in the frame that the lens leans out of."""
    aside = math.hypot(sight[0], sight[1])
    if aside == 0:
        turned = wave
    else:
        axis = np.array([-sight[1], sight[0], 0.0]) / aside
        crossed = np.array([[0, 0, axis[1]], [0, 0, -axis[0]], [-axis[1], axis[0], 0]])
        # The turn that brings the line of sight level brings the wave with it.
        turn = np.eye(3) - aside * crossed + (1 - float(sight[2])) * crossed @ crossed
        turned = turn @ wave @ turn.T
    (xx, xy, _), (yx, yy, _), _ = (turned * 1000).tolist()
    return ((xx, (xy + yx) / 2), ((xy + yx) / 2, yy))
