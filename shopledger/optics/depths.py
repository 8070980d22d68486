"""How deep both sides of a lens lie behind its front: a sphere before, a torus behind, which a prism leans over."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from shopledger.optics.boxing import direction_of
from shopledger.optics.prism import PrismVector
from shopledger.optics.refusals import ImpossibleLensError, within
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, first_longest

Slope: TypeAlias = tuple[float, float]
"""Rise of the back against the front where the light goes through: to the right of who faces the wearer, and up [-]."""

LEVEL_BACK: Final = (0.0, 0.0)
"""The back of a lens without prism."""

_SETTLED = 1e-11
_CLOSE = 1e-5
# Nine places around one, and the differences between them that give the slope and the bend of what is seen there.
_APART = 0.1
_NEARBY = _APART * np.array([[0, 1, -1, 0, 0, 1, -1, 1, -1], [0, 0, 0, 1, -1, 1, -1, -1, 1]], dtype=float)
_FIRST = np.array([[0, 1, -1, 0, 0, 0, 0, 0, 0], [0, 0, 0, 1, -1, 0, 0, 0, 0]]) / (2 * _APART)
_SECOND = np.array(
    [[-2, 1, 1, 0, 0, 0, 0, 0, 0], [0, 0, 0, 0, 0, 0.25, 0.25, -0.25, -0.25], [-2, 0, 0, 1, 1, 0, 0, 0, 0]]
) / (_APART * _APART)
_MOST_ROUNDS = 50


@dataclass(frozen=True, slots=True)
class Surfaces:
    """The two sides of a lens: a spherical front, and a back with one power along `axis` and one across it.

    Powers are in dioptres for the lens's own index; the axis is in standard notation, seen from the front. A prism
    leans the whole back about its vertex; the lens is thicker the way that `slope` rises.
    """

    front: float
    back_along: float
    back_across: float
    axis: float
    index: float
    slope: Slope = LEVEL_BACK

    @property
    def front_curvature(self) -> float:
        """One over the front's radius [1/mm]."""
        return self.front / (self.index - 1) / 1000

    @property
    def back_curvatures(self) -> tuple[float, float]:
        """One over the back's radii along and across the axis; plus is hollow toward the eye [1/mm]."""
        per_dioptre = -1 / (self.index - 1) / 1000
        return self.back_along * per_dioptre, self.back_across * per_dioptre


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Points from the reference point, with the squares that depths are worked out from; in mm."""

    points: Floats
    squared: Floats
    along_squared: Floats
    across_squared: Floats

    def one(self, at: int) -> Places:
        """Give one of the places alone."""
        parts = (self.squared, self.along_squared, self.across_squared)
        return Places(self.points[:, at : at + 1], *(part[at : at + 1] for part in parts))


def places_of(points: Floats, axis: float) -> Places:
    """Square the distances of points from the reference point: whole, along an axis and across it.

    Parameters
    ----------
    points : (2, n) ndarray of float
        Row x and row y, seen from the front. [mm]
    axis : float
        The axis. [degrees]

    Returns
    -------
    Places
        The points with their squares. [mm]

    References
    ----------
    [definition]_
    """
    x, y = points
    squared = x * x + y * y
    axis_rad = math.radians(axis)
    along = x * math.cos(axis_rad) + y * math.sin(axis_rad)
    along *= along
    return Places(points, squared, along, squared - along)


def slope_of(prism: PrismVector, side: Side, index: float) -> Slope:
    r"""Give how far a lens's back leans against its front, so that it has a prism at its reference point.

    Parameters
    ----------
    prism : PrismVector
        The prism. [prism dioptres]
    side : Side
        The eye, since the nose lies on the other side of the picture for the left one.
    index : float
        Refractive index of the lens. [-]

    Returns
    -------
    (2,) tuple of float
        Rise of the back away from the front, to the right of who faces the wearer and up. [-]

    Raises
    ------
    OutOfRangeError
        If the index is out of range.

    Notes
    -----
    .. math:: \tan\alpha = \frac{\sin\delta}{n - \cos\delta}, \quad \tan\delta = P / 100

    exactly, for light that meets the front squarely, or the back as in a lensmeter. The usual
    :math:`P / (100 (n - 1))` leans 1 per cent too far at 8 prism dioptres and an index of 1.5, and 6 per cent at 20.

    References
    ----------
    [definition]_ of the prism dioptre, and refraction at both sides
    """
    glass, amount = within("index", index, 1.3, 2.2, ""), prism.amount
    if amount == 0:
        return LEVEL_BACK
    turned = math.atan(amount / 100)
    rise = math.sin(turned) / (glass - math.cos(turned)) / amount
    return side.inward * prism.inward * rise, prism.upward * rise


def sides_apart(surfaces: Surfaces, places: Places) -> Floats:
    """Give the front's depth less the back's, each from its own vertex, at points from the reference point.

    Parameters
    ----------
    surfaces : Surfaces
        Both sides. [D]
    places : Places
        The points, squared along the axis of the surfaces. [mm]

    Returns
    -------
    (n,) ndarray of float
        By how much the lens is thinner there than at the reference point. [mm]

    Raises
    ------
    ImpossibleLensError
        If a surface ends before it reaches a point; it says at which angle.

    Notes
    -----
    A toric back is a torus whose flatter curve goes round: the steeper circle is turned about an axis at the flatter
    curve's centre. With a prism the torus is turned as a whole about the back's vertex, and its depth is looked for
    along the line through each point.

    References
    ----------
    [eop_601]_ sags and edge thickness
    """
    front = _depth(surfaces.front_curvature, places.squared, places.points)
    gap: Floats = front - (
        _back(surfaces, places.along_squared, places.across_squared, places.squared, places.points)
        if surfaces.slope == LEVEL_BACK
        else _leaning_back(surfaces, places.points)
    )
    return gap


def thinner_inside(surfaces: Surfaces, points: Floats) -> float:
    """Give by how much a lens is thinner at its thinnest place inside a shape than at its reference point.

    Parameters
    ----------
    surfaces : Surfaces
        Both sides. [D]
    points : (2, n) ndarray of float
        The shape's outline, seen from the reference point. [mm]

    Returns
    -------
    float
        Nothing where no place inside is thinner than all around it, as in a plus lens. [mm]

    Notes
    -----
    The thickness is nearly a quadratic, so that Newton's method with differences finds its least in a few steps.

    References
    ----------
    [definition]_
    """
    here, reach = np.zeros(2), float(np.hypot(*points).max())
    for _ in range(_MOST_ROUNDS):
        around = sides_apart(surfaces, places_of(here[:, None] + _NEARBY, surfaces.axis))
        slope, bend = _FIRST @ around, np.array([_SECOND[0] @ around, _SECOND[1] @ around, _SECOND[2] @ around])
        size = float(bend[0] * bend[2] - bend[1] ** 2)
        if size <= 0 or bend[0] >= 0:
            return 0.0
        step = np.array([bend[2] * slope[0] - bend[1] * slope[1], bend[0] * slope[1] - bend[1] * slope[0]]) / size
        here = here - step
        if float(np.hypot(*here)) > reach:
            return 0.0
        if float(np.abs(step).max()) < _CLOSE:
            break
    if not _is_inside(points, here):
        return 0.0
    return max(0.0, float(sides_apart(surfaces, places_of(here[:, None], surfaces.axis))[0]))


def _is_inside(points: Floats, place: Floats) -> bool:
    """Tell whether a closed outline goes round a place, by how often it crosses the level line to the right of it."""
    x, y = points - place[:, None]
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    over = (y <= 0) != (next_y <= 0)
    crossed = x[over] - y[over] * (next_x[over] - x[over]) / (next_y[over] - y[over])
    return bool(np.count_nonzero(crossed > 0) % 2)


def _back(surfaces: Surfaces, along_squared: Floats, across_squared: Floats, squared: Floats, points: Floats) -> Floats:
    """Give the depth of a back that does not lean."""
    along, across = surfaces.back_curvatures
    if along == across:
        return _depth(along, squared, points)
    flat, flat_squared, steep, steep_squared = (
        (along, along_squared, across, across_squared)
        if abs(along) < abs(across)
        else (across, across_squared, along, along_squared)
    )
    rolled = _depth(steep, steep_squared, points)
    toric: Floats = rolled + _depth(flat / (1 - flat * rolled), flat_squared, points)
    return toric


def _leaning_back(surfaces: Surfaces, points: Floats) -> Floats:
    """Give the depth of a leaning back, by Newton's method on the lines through the points."""
    rise = math.hypot(*surfaces.slope)
    cosine = 1 / math.hypot(1, rise)
    sine, (to_x, to_y) = rise * cosine, (each / rise for each in surfaces.slope)
    ahead, aside = points[0] * to_x + points[1] * to_y, points[1] * to_x - points[0] * to_y
    turned = math.radians(surfaces.axis) - math.atan2(to_y, to_x)
    along_ahead, along_aside = math.cos(turned), math.sin(turned)
    depth: Floats = ahead * rise
    for _ in range(_MOST_ROUNDS):
        # The point of the line in the back's own frame: two ways along its tangent plane, and behind it.
        near, behind = ahead * cosine + depth * sine, depth * cosine - ahead * sine
        along, across = near * along_ahead + aside * along_aside, aside * along_ahead - near * along_aside
        along_squared, across_squared = along * along, across * across
        own = _back(surfaces, along_squared, across_squared, along_squared + across_squared, points)
        steep_along, steep_across = _steepness(surfaces, own, along, across, across_squared, along_squared)
        steepness = steep_along * along_ahead - steep_across * along_aside
        step = (behind - own) / (cosine - steepness * sine)
        depth = depth - step
        if float(np.abs(step).max()) < _SETTLED:
            return depth
    at = first_longest(np.abs(step))
    angle = direction_of(float(points[0, at]), float(points[1, at]))
    raise ImpossibleLensError("a surface is too steep to reach the edge", angle, math.nan, math.nan)


def _steepness(
    surfaces: Surfaces, depth: Floats, along: Floats, across: Floats, across_squared: Floats, along_squared: Floats
) -> tuple[Floats, Floats]:
    """Give how steep the back is along and across its axis, at points of its own frame."""
    one, other = surfaces.back_curvatures
    if one == other:
        up = one / (1 - one * depth)
        return up * along, up * across
    if abs(one) < abs(other):
        return _torus_steepness(one, other, depth, along, across, across_squared)
    steep, flat = _torus_steepness(other, one, depth, across, along, along_squared)
    return flat, steep


def _torus_steepness(
    flat: float, steep: float, depth: Floats, flat_way: Floats, steep_way: Floats, steep_squared: Floats
) -> tuple[Floats, Floats]:
    """Give how steep a torus is along its flat and its steep curve."""
    root = np.sqrt(1 - steep * steep * steep_squared)
    rolled = steep * steep_squared / (1 + root)
    below = 1 - flat * depth
    return flat * flat_way / below, (1 - flat * rolled) / below * steep * steep_way / root


def _depth(curvature: float | Floats, squared: Floats, points: Floats) -> Floats:
    """Give exact depths at squared distances from the vertex."""
    bent = curvature * squared
    room = 1 - curvature * bent
    if room.min() < 0:
        x, y = points[:, first_longest(-room)]
        raise ImpossibleLensError(
            "a surface is too steep to reach the edge", direction_of(float(x), float(y)), math.nan, math.nan
        )
    np.sqrt(room, out=room)
    room += 1
    depth: Floats = bent / room
    return depth
