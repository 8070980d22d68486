"""What room an uncut lens leaves: how far its middle may stand from a boxed centre and still cover the shape."""

from __future__ import annotations

import numpy as np

from shopledger.optics.fitting import USUAL_ALLOWANCE
from shopledger.optics.placement import from_point
from shopledger.optics.refusals import within
from shopledger.optics.trace import Trace


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
