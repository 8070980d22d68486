"""Which blanks a shape takes and where they may stand, exactly, and how much lens there is below a point."""

from __future__ import annotations

import numpy as np

from shopledger.optics.boxing import direction_of, from_point
from shopledger.optics.centring import USUAL_ALLOWANCE
from shopledger.optics.refusals import BlankTooSmallError, TraceError, within
from shopledger.optics.trace import Floats, Trace, first_longest


def minimum_blank(trace: Trace, decentration_in: float, offset_up: float, allowance: float = USUAL_ALLOWANCE) -> float:
    """Give the smallest round blank that covers a shape, exactly, when its middle is the optical centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    float
        Diameter of the blank. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    Twice the longest way from the optical centre to a point of the shape. Never more than the effective diameter and
    twice the length of the shift.

    References
    ----------
    [definition]_
    """
    needed, _ = _reach(trace, decentration_in, offset_up)
    # A blank of exactly the size must do: the last places of a float are noise, not lens.
    return round(2 * needed + within("allowance", allowance, 0, 20, "mm"), 9)


def blank_middle(decentration_in: float, offset_up: float, mark_in: float, mark_up: float) -> tuple[float, float]:
    """Give where the middle of a blank comes to stand once its segment top or fitting cross is before the eye.

    Parameters
    ----------
    decentration_in : float
        Segment top or fitting cross inward of the boxed centre. [mm]
    offset_up : float
        Segment top or fitting cross above the boxed centre. [mm]
    mark_in : float
        How far inward of its blank's middle the mark stands. [mm]
    mark_up : float
        How far above its blank's middle the mark stands; below is minus. [mm]

    Returns
    -------
    (2,) tuple of float
        Inward and upward from the boxed centre. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    inward = within("decentration", decentration_in, -40, 40, "mm") - within("mark inward", mark_in, -40, 40, "mm")
    return inward, within("offset", offset_up, -45, 45, "mm") - within("mark upward", mark_up, -45, 45, "mm")


def blank_covers(
    trace: Trace, decentration_in: float, offset_up: float, blank: float, allowance: float = USUAL_ALLOWANCE
) -> bool:
    """Tell whether a round blank covers a shape when its middle is the optical centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    blank : float
        Diameter of the blank. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    bool
        Whether it is large enough.

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    return within("blank", blank, 10, 150, "mm") >= minimum_blank(trace, decentration_in, offset_up, allowance)


def require_blank(
    trace: Trace, decentration_in: float, offset_up: float, blank: float, allowance: float = USUAL_ALLOWANCE
) -> None:
    """Refuse a blank that does not cover the shape.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Optical centre inward of the boxed centre. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    blank : float
        Diameter of the blank. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    None
        Nothing, where it covers.

    Raises
    ------
    BlankTooSmallError
        If it does not cover; it says how large it must be and where it falls short.
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    if not blank_covers(trace, decentration_in, offset_up, blank, allowance):
        reach, angle = _reach(trace, decentration_in, offset_up)
        raise BlankTooSmallError(blank, 2 * reach + allowance, angle)


def depth_below(trace: Trace, decentration_in: float, offset_up: float) -> float:
    """Give how much lens there is straight below a point, which may be less than its fitting height.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    decentration_in : float
        Point inward of the boxed centre. [mm]
    offset_up : float
        Point above the boxed centre. [mm]

    Returns
    -------
    float
        From the point straight down to the edge; below zero where the point is not in the shape. [mm]

    Raises
    ------
    TraceError
        If the point does not stand within the width of the shape.
    OutOfRangeError
        If a measure is out of range.

    References
    ----------
    [definition]_
    """
    x, y = from_point(trace, decentration_in, offset_up)
    next_x, next_y = _rolled(x), _rolled(y)
    over = (x <= 0) != (next_x <= 0)
    if not over.any():
        raise TraceError("the point does not stand within its width", "Check the PD, and the frame that was chosen.")
    crossing = y[over] - x[over] * (next_y[over] - y[over]) / (next_x[over] - x[over])
    return -float(crossing.min())


def _rolled(values: Floats) -> Floats:
    """Give each value's follower round the shape."""
    rolled: Floats = values.take(range(1, len(values) + 1), mode="wrap")
    return rolled


def _reach(trace: Trace, decentration_in: float, offset_up: float) -> tuple[float, float]:
    """Give the longest way from the optical centre to the shape, and its direction in degrees."""
    x, y = from_point(trace, decentration_in, offset_up)
    lengths = np.hypot(x, y)
    far = first_longest(lengths)
    return float(lengths.max()), direction_of(float(x[far]), float(y[far]))


def covered_decentrations(
    trace: Trace, offset_up: float, blank: float, allowance: float = USUAL_ALLOWANCE
) -> tuple[float, float] | None:
    """Give between which decentrations a blank covers a shape, the height being kept.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    offset_up : float
        Optical centre above the boxed centre. [mm]
    blank : float
        Diameter of the blank. [mm]
    allowance : float
        Added for the edge. [mm]

    Returns
    -------
    (2,) tuple of float, or None
        The least and the most inward of the boxed centre; None where the blank covers the shape nowhere. [mm]

    Raises
    ------
    OutOfRangeError
        If a measure is out of range.

    Notes
    -----
    Each point of the shape leaves a stretch of the level line within its reach; what is left in all of them is exact.

    References
    ----------
    [definition]_
    """
    reach = (within("blank", blank, 10, 150, "mm") - within("allowance", allowance, 0, 20, "mm")) / 2
    x, y = from_point(trace, 0.0, offset_up)
    room = reach * reach - y * y
    if room.min() < 0:
        return None
    half = np.sqrt(room)
    low, high = float((x - half).max()), float((x + half).min())
    if low > high:
        return None
    return (low, high) if trace.side.inward > 0 else (-high, -low)
