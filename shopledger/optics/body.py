"""The body of an edged lens: centre and edge thickness round the whole shape, thickest and thinnest place, weight."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from shopledger.optics.boxing import direction_of, from_point
from shopledger.optics.depths import (
    LEVEL_BACK,
    Places,
    Slope,
    Surfaces,
    places_of,
    sides_apart,
    slope_of,
    thinner_inside,
)
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import NO_PRISM, PrismVector
from shopledger.optics.refusals import ImpossibleLensError, within
from shopledger.optics.surfaces import CLOCK_INDEX, back_surface_power, lens_clock_power
from shopledger.optics.trace import Floats, Trace, directions, first_longest

Centre: TypeAlias = tuple[float, float]
"""Where the reference point stands from the boxed centre, which without prism is the optical centre: inward, then
upward [mm]."""

_THICKEST_CENTRE = 40.0
_LEVEL = 180.0
"""The axis that stands for none."""
_SETTLED = 1e-9
_MOST_ROUNDS = 100
# Depths are smooth along a radius: six nodes give a volume to better than a thousandth of a per cent.
_NODES, _NODE_WEIGHTS = np.polynomial.legendre.leggauss(6)
_NODES = (_NODES + 1) / 2
_NODE_WEIGHTS = _NODE_WEIGHTS / 2


@dataclass(frozen=True, slots=True, eq=False)
class LensBody:
    """An edged lens: thicknesses in mm along the axis, directions in degrees from the boxed centre, from the front.

    `edge_thickness` has one value for each radius of the trace; `thickest` and `thinnest` are places on that edge;
    `volume` is in cubic mm and `weight_g` in grams.
    """

    surfaces: Surfaces
    centre_thickness: float
    edge_thickness: Floats = field(repr=False)
    thickest: float
    thickest_angle: float
    thinnest: float
    thinnest_angle: float
    volume: float
    weight_g: float


@dataclass(frozen=True, slots=True)
class _Recipe:
    """What a lens is made by, all but its thickness."""

    power: SphereCylinder
    base_curve: float
    index: float
    curve_index: float
    slope: Slope

    @property
    def axis(self) -> float:
        return self.power.axis or _LEVEL

    def surfaces(self, centre_thickness: float) -> Surfaces:
        """Give both sides: the back curve depends a little on the thickness."""
        made = lens_surfaces(self.power, self.base_curve, centre_thickness, self.index, self.curve_index)
        return replace(made, slope=self.slope)


@lru_cache(maxsize=4)
def _seat(trace: Trace, centre: Centre, axis: float) -> tuple[Places, Places]:
    """Give the places on a shape's edge, and those inside it that a volume is summed over, ray by ray.

    A lens is compared in one material after another, and its places are the same in all of them.
    """
    points = from_point(trace, *centre)
    rays = directions(trace.count) * trace.radii
    origin = points[:, :1] - rays[:, :1]
    inner = (origin[:, :, None] + rays[:, :, None] * _NODES).reshape(2, -1)
    return places_of(points, axis), places_of(inner, axis)


def lens_surfaces(
    power: SphereCylinder, base_curve: float, centre_thickness: float, index: float, curve_index: float = CLOCK_INDEX
) -> Surfaces:
    """Give the sides of a lens that has a wanted back vertex power on a given front curve.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power to make. [D]
    base_curve : float
        Front curve as marked. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    index : float
        Refractive index of the lens. [-]
    curve_index : float
        Index for which front curves are marked; the lens's own index where they are true powers. [-]

    Returns
    -------
    Surfaces
        Front and back for the lens's own index. [D]

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [nfos_11a]_ worksheet on vertex powers; [common_practice]_ for the index of curve markings
    """
    front = lens_clock_power(base_curve, index, curve_index)
    along, across = (back_surface_power(each, front, centre_thickness, index) for each in power.principal_powers)
    return Surfaces(front, along, across, power.axis or _LEVEL, index)


def thickness_at(surfaces: Surfaces, centre_thickness: float, points: Floats) -> Floats:
    r"""Give the thickness of a lens at points, along the optical axis.

    Parameters
    ----------
    surfaces : Surfaces
        Both sides. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    points : (2, n) ndarray of float
        Row x and row y from the reference point, seen from the front. [mm]

    Returns
    -------
    (n,) ndarray of float
        Thickness; below zero where the sides would cross. [mm]

    Raises
    ------
    ImpossibleLensError
        If a surface ends before it reaches a point; it says at which angle.

    Notes
    -----
    .. math:: t = t_c - s_1 + s_2

    with exact depths, also where a prism leans the back.

    References
    ----------
    [eop_601]_ sags and edge thickness
    """
    return centre_thickness - sides_apart(surfaces, places_of(points, surfaces.axis))


def edge_thickness(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    index: float,
    base_curve: float,
    centre_thickness: float,
    min_edge: float = 0.0,
    curve_index: float = CLOCK_INDEX,
    prism: PrismVector = NO_PRISM,
) -> Floats:
    """Give the edge thickness round a shape for a lens of known centre thickness.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power. [D]
    trace : Trace
        The shape. [mm]
    centre : (2,) tuple of float
        Optical centre from the boxed centre: inward, upward. [mm]
    index : float
        Refractive index. [-]
    base_curve : float
        Front curve as marked. [D]
    centre_thickness : float
        Thickness on the axis. [mm]
    min_edge : float
        The least edge that may be. [mm]
    curve_index : float
        Index for which front curves are marked. [-]
    prism : PrismVector
        Prism at the reference point. [prism dioptres]

    Returns
    -------
    (n,) ndarray of float
        Edge thickness at each radius of the trace. [mm]

    Raises
    ------
    ImpossibleLensError
        If the edge is thinner than allowed; it says where, and which centre thickness would do.
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [eop_601]_ sags and edge thickness
    """
    recipe = _Recipe(power, base_curve, index, curve_index, slope_of(prism, trace.side, index))
    places, _ = _seat(trace, centre, recipe.axis)
    edge = centre_thickness - sides_apart(recipe.surfaces(centre_thickness), places)
    if edge.min() < min_edge:
        thin = first_longest(-edge)
        enough, _ = _thick_enough(recipe, places, 0.0, min_edge)
        # Rounded up, so that the number in the sentence does do.
        needed = math.ceil(enough * 100) / 100
        reason = f"its edge is thinner than {min_edge:.2f} mm"
        raise ImpossibleLensError(reason, _boxed_direction(trace, places, centre, thin), float(edge.min()), needed)
    return edge


def lens_body(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    index: float,
    base_curve: float,
    min_centre: float,
    min_edge: float,
    density: float,
    curve_index: float = CLOCK_INDEX,
    prism: PrismVector = NO_PRISM,
) -> LensBody:
    """Work out the thinnest lens that keeps both minimum thicknesses in a shape.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power to make. [D]
    trace : Trace
        The shape. [mm]
    centre : (2,) tuple of float
        Optical centre from the boxed centre: inward, upward. [mm]
    index : float
        Refractive index. [-]
    base_curve : float
        Front curve as marked. [D]
    min_centre : float
        The least centre thickness. [mm]
    min_edge : float
        The least edge thickness. [mm]
    density : float
        Density of the material. [g/cm3]
    curve_index : float
        Index for which front curves are marked. [-]
    prism : PrismVector
        Prism to work into the lens at its reference point. [prism dioptres]

    Returns
    -------
    LensBody
        Thicknesses, thickest and thinnest edge, volume and weight, before any bevel. [mm]

    Raises
    ------
    ImpossibleLensError
        If a surface ends before the edge, or the centre would be absurdly thick.
    OutOfRangeError
        If a value is out of range.

    Notes
    -----
    A prism is surfaced: the reference point stays where it is ordered, and the back leans about its vertex there. The
    curves stay those of the lens without prism, as they are usually cut; light that meets one side aslant then finds up
    to 0.2 D more cylinder at 4 prism dioptres and 0.4 D at 6 (-8 D, index 1.5), and curves that make up for it would
    change the edge 25 mm out by 0.1 and 0.25 mm. Where a lens with prism is thinnest inside its shape,
    as a minus lens is at its optical centre, that place is kept as thick as a centre; the edge is kept all round.

    References
    ----------
    [eop_601]_ sags and edge thickness; [common_practice]_ for where a centre thickness is kept
    """
    least_centre = within("minimum centre thickness", min_centre, 0, 20, "mm")
    least_edge = within("minimum edge thickness", min_edge, 0, 20, "mm")
    heavy = within("density", density, 0.5, 6, "g/cm3")
    recipe = _Recipe(power, base_curve, index, curve_index, slope_of(prism, trace.side, index))
    places, _ = _seat(trace, centre, recipe.axis)
    thickness, gap = _thick_enough(recipe, places, least_centre, least_edge)
    return _body(recipe, trace, centre, thickness, thickness - gap, heavy)


def known_body(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    index: float,
    base_curve: float,
    centre_thickness: float,
    min_edge: float,
    density: float,
    curve_index: float = CLOCK_INDEX,
    prism: PrismVector = NO_PRISM,
) -> LensBody:
    """Work out a lens of known thickness at its reference point.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power. [D]
    trace : Trace
        The shape. [mm]
    centre : (2,) tuple of float
        Reference point from the boxed centre: inward, upward. [mm]
    index : float
        Refractive index. [-]
    base_curve : float
        Front curve as marked. [D]
    centre_thickness : float
        Thickness at the reference point. [mm]
    min_edge : float
        The least edge that may be. [mm]
    density : float
        Density of the material. [g/cm3]
    curve_index : float
        Index for which front curves are marked. [-]
    prism : PrismVector
        Prism at the reference point. [prism dioptres]

    Returns
    -------
    LensBody
        Thicknesses, thickest and thinnest edge, volume and weight, before any bevel. [mm]

    Raises
    ------
    ImpossibleLensError
        If the edge is thinner than allowed; it says where, and which centre thickness would do.
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [eop_601]_ sags and edge thickness
    """
    heavy = within("density", density, 0.5, 6, "g/cm3")
    edge = edge_thickness(power, trace, centre, index, base_curve, centre_thickness, min_edge, curve_index, prism)
    recipe = _Recipe(power, base_curve, index, curve_index, slope_of(prism, trace.side, index))
    return _body(recipe, trace, centre, centre_thickness, edge, heavy)


def _body(recipe: _Recipe, trace: Trace, centre: Centre, thickness: float, edge: Floats, density: float) -> LensBody:
    """Put a lens together whose thickness and edge are known."""
    places, inner = _seat(trace, centre, recipe.axis)
    surfaces = recipe.surfaces(thickness)
    edge.flags.writeable = False
    thick, thin = first_longest(edge), first_longest(-edge)
    volume = _volume(surfaces, thickness, trace, inner)
    angles = tuple(_boxed_direction(trace, places, centre, at) for at in (thick, thin))
    return LensBody(
        surfaces,
        thickness,
        edge,
        float(edge.max()),
        angles[0],
        float(edge.min()),
        angles[1],
        volume,
        volume * density / 1000,
    )


def _thick_enough(recipe: _Recipe, places: Places, min_centre: float, min_edge: float) -> tuple[float, Floats]:
    """Give the least thickness at the reference point that keeps both minima, and the gap of the sides at the edge."""

    def needed(thickness: float, at: Places) -> float:
        return max(min_centre, min_edge + float(sides_apart(recipe.surfaces(thickness), at).max()))

    if recipe.slope != LEVEL_BACK:
        return _thick_enough_with_prism(recipe, places, min_centre, min_edge)
    thickness, worst = min_centre, places
    for _ in range(_MOST_ROUNDS):
        gap = sides_apart(recipe.surfaces(thickness), places)
        wanted = max(min_centre, min_edge + float(gap.max()))
        if abs(wanted - thickness) <= _SETTLED:
            return thickness, gap
        # The back curve changes little, so that the worst place alone settles the thickness, and all are asked again.
        worst = places.one(int(np.round(gap, 10).argmax()))
        thickness = _settled(needed, wanted, worst)
    raise _too_thick(thickness, worst)


def _thick_enough_with_prism(
    recipe: _Recipe, places: Places, min_centre: float, min_edge: float
) -> tuple[float, Floats]:
    """Give the same where the thinnest place may lie anywhere in the shape."""
    thickness = min_centre
    for _ in range(_MOST_ROUNDS):
        surfaces = recipe.surfaces(thickness)
        gap = sides_apart(surfaces, places)
        wanted = max(min_centre + thinner_inside(surfaces, places.points), min_edge + float(gap.max()))
        if abs(wanted - thickness) <= _SETTLED:
            return thickness, gap
        thickness = wanted
        if thickness > _THICKEST_CENTRE:
            break
    raise _too_thick(thickness, places.one(int(np.round(gap, 10).argmax())))


def _settled(needed: Callable[[float, Places], float], wanted: float, place: Places) -> float:
    """Give the centre thickness that makes itself necessary at one place."""
    for _ in range(_MOST_ROUNDS):
        thickness = wanted
        wanted = needed(thickness, place)
        if wanted > _THICKEST_CENTRE:
            break
        if abs(wanted - thickness) < _SETTLED / 10:
            return wanted
    raise _too_thick(wanted, place)


def _too_thick(wanted: float, place: Places) -> ImpossibleLensError:
    """Refuse a lens whose centre would be absurdly thick, or whose thickness does not settle."""
    angle = direction_of(float(place.points[0, 0]), float(place.points[1, 0]))
    return ImpossibleLensError(f"the centre would be {wanted:.0f} mm thick", angle, math.nan, math.nan)


def _volume(surfaces: Surfaces, centre_thickness: float, trace: Trace, inner: Places) -> float:
    """Integrate the thickness over the shape, ray by ray from the trace's origin."""
    thickness = (centre_thickness - sides_apart(surfaces, inner)).reshape(trace.count, -1)
    along_rays = thickness @ (_NODES * _NODE_WEIGHTS)
    return float(trace.radii**2 @ along_rays) * 2 * math.pi / trace.count


def _boxed_direction(trace: Trace, places: Places, centre: Centre, at: int) -> float:
    """Give the direction of a point of the edge from the boxed centre."""
    x, y = places.points[:, at]
    return direction_of(float(x) + trace.side.inward * centre[0], float(y) + centre[1])
