"""The boxing system: what the rectangle around a traced shape says, and the shape as seen from a point in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shopledger.optics.refusals import within
from shopledger.optics.smooth_outline import smooth_length
from shopledger.optics.trace import Floats, Trace, directions, first_longest


@dataclass(frozen=True, slots=True)
class Boxed:
    """A shape's boxed figures in mm; the centre of the box is given from the trace's origin.

    `ed` is twice the longest radius from the boxed centre, `ed_axis` the direction of that radius in degrees
    counter-clockwise for who faces the wearer; `area` is in square mm.
    """

    a: float
    b: float
    ed: float
    ed_axis: float
    circumference: float
    area: float
    centre_x: float
    centre_y: float


def box(trace: Trace) -> Boxed:
    """Measure a shape: boxed width and height, effective diameter, circumference, area and boxed centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]

    Returns
    -------
    Boxed
        Its figures, for the polygon through the traced points, and the length of the smooth curve through them. [mm]

    Notes
    -----
    The effective diameter is taken from the boxed centre, not from the smallest circle around the shape: the two differ
    for a shape that is not symmetrical. The polygon's own length grows with the count of rounded radii, so that the
    circumference is that of a smooth curve.

    References
    ----------
    [iso_8624]_ box, second-hand; [definition]_ for the area of a polygon and the length of a curve
    """
    x, y = directions(trace.count) * trace.radii
    left, right, low, high = x.min(), x.max(), y.min(), y.max()
    centre_x, centre_y = (left + right) / 2, (low + high) / 2
    from_centre = np.hypot(x - centre_x, y - centre_y)
    far = first_longest(from_centre)
    next_x, next_y = np.concatenate((x[1:], x[:1])), np.concatenate((y[1:], y[:1]))
    return Boxed(
        a=float(right - left),
        b=float(high - low),
        ed=2 * float(from_centre.max()),
        ed_axis=direction_of(float(x[far] - centre_x), float(y[far] - centre_y)),
        circumference=smooth_length(trace),
        area=float(x @ next_y - y @ next_x) / 2,
        centre_x=float(centre_x),
        centre_y=float(centre_y),
    )


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
