"""A shape as seen from a point that is placed in its box, as from the optical centre."""

from __future__ import annotations

import math

import numpy as np

from shopledger.optics.refusals import within
from shopledger.optics.trace import Floats, Trace, directions


def from_point(trace: Trace, decentration_in: float, offset_up: float) -> Floats:
    """Give a shape's points as seen from a point that is placed from the boxed centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Point inward of the boxed centre; outward is minus. [mm]
    offset_up : float
        Point above the boxed centre; below is minus. [mm]

    Returns
    -------
    (2, n) ndarray of float
        Row x to the right of who faces the wearer, row y up. [mm]

    Raises
    ------
    OutOfRangeError
        If the point is absurdly far.

    References
    ----------
    [iso_8624]_ boxed centre, second-hand
    """
    inward = within("decentration", decentration_in, -40, 40, "mm")
    up = within("offset", offset_up, -45, 45, "mm")
    points = directions(trace.count) * trace.radii
    middle = (points.min(axis=1) + points.max(axis=1)) / 2
    seen: Floats = points - (middle + np.array([trace.side.inward * inward, up]))[:, None]
    return seen


def direction_of(x: float, y: float) -> float:
    """Give the direction of a point, counter-clockwise from 3 o'clock.

    Parameters
    ----------
    x : float
        To the right of who faces the wearer. [mm]
    y : float
        Up. [mm]

    Returns
    -------
    float
        From 0 up to 360. [degrees]

    References
    ----------
    [definition]_
    """
    # A hair below 0 is 0, not the full circle.
    return round(math.degrees(math.atan2(y, x)), 9) % 360
