"""How thick an edged lens is from place to place: along a cut through its optical centre, and round its edge."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shopledger.optics.body import Centre, LensBody, thickness_at
from shopledger.optics.boxing import from_point
from shopledger.optics.refusals import TraceError, within
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, Trace


@dataclass(frozen=True, slots=True, eq=False)
class LensCut:
    """A lens cut along a straight line through its optical centre, from edge to edge; all in mm.

    `along` runs from the optical centre, to the right of who faces the wearer or up; `front` and `back` are the depths
    of both sides behind the front's vertex, toward the eye.
    """

    meridian: float
    along: Floats
    front: Floats
    back: Floats

    @property
    def thickness(self) -> Floats:
        """The thickness at each place [mm]."""
        thick: Floats = self.back - self.front
        return thick


def lens_cut(body: LensBody, trace: Trace, centre: Centre, meridian: float, count: int = 41) -> LensCut:
    """Cut a lens along a meridian through its optical centre.

    Parameters
    ----------
    body : LensBody
        The lens. [mm]
    trace : Trace
        The shape that it was edged to. [mm]
    centre : (2,) tuple of float
        Optical centre from the boxed centre: inward, upward. [mm]
    meridian : float
        Direction of the cut: 0 is level, 90 upright. [degrees]
    count : int
        How many places, both edges among them. [-]

    Returns
    -------
    LensCut
        Both sides from edge to edge. [mm]

    Raises
    ------
    TraceError
        If the optical centre stands outside the shape, so that no such cut goes through it.
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [definition]_; [eop_601]_ sags and edge thickness
    """
    within("count", count, 3, 1001, "")
    low, high = _chord(from_point(trace, *centre), math.radians(within("meridian", meridian, 0, 180, "degrees")))
    along = np.linspace(low, high, count)
    angle_rad = math.radians(meridian)
    thickness = thickness_at(
        body.surfaces, body.centre_thickness, np.array([along * math.cos(angle_rad), along * math.sin(angle_rad)])
    )
    bent = body.surfaces.front_curvature * along
    front = bent * along / (1 + np.sqrt(1 - bent * bent))
    return LensCut(meridian, along, front, front + thickness)


def edge_from_nose(body: LensBody, trace: Trace, count: int = 72) -> Floats:
    """Give the edge thickness at equal directions from the boxed centre, from the nose over the top to the temple.

    Right and left lens are read the same way round, so that both can be laid on each other.

    Parameters
    ----------
    body : LensBody
        The lens. [mm]
    trace : Trace
        The shape that it was edged to. [mm]
    count : int
        How many directions. [-]

    Returns
    -------
    (count,) ndarray of float
        Edge thickness: the first toward the nose, a quarter of them later upward. [mm]

    Raises
    ------
    OutOfRangeError
        If the count is out of range.

    References
    ----------
    [definition]_
    """
    within("count", count, 4, 20_000, "")
    x, y = from_point(trace, 0.0, 0.0)
    seen = np.degrees(np.arctan2(y, x if trace.side is Side.RIGHT else -x))
    order = np.argsort(seen)
    wanted = np.arange(count) * (360 / count)
    edge: Floats = np.interp(wanted, seen[order], body.edge_thickness[order], period=360)
    return edge


def _chord(points: Floats, angle_rad: float) -> tuple[float, float]:
    """Give where a line through the origin enters and leaves a shape, measured along the line."""
    along = points[0] * math.cos(angle_rad) + points[1] * math.sin(angle_rad)
    aside = points[1] * math.cos(angle_rad) - points[0] * math.sin(angle_rad)
    next_along, next_aside = np.roll(along, -1), np.roll(aside, -1)
    over = (aside <= 0) != (next_aside <= 0)
    if over.any():
        crossed = along[over] - aside[over] * (next_along[over] - along[over]) / (next_aside[over] - aside[over])
        low, high = float(crossed.min()), float(crossed.max())
        if low < 0 < high:
            return low, high
    raise TraceError("the optical centre stands outside it", "Check the PD, the height and the frame that was chosen.")
