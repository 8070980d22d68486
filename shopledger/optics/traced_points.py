"""A trace from points: a closed outline in x and y becomes radii at equal angles from the middle of its box."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from shopledger.optics.outline import ray_lengths
from shopledger.optics.refusals import TraceError, within
from shopledger.optics.sides import Side
from shopledger.optics.trace import (
    FEWEST_RADII,
    LONGEST_RADIUS,
    MOST_RADII,
    SHORTEST_RADIUS,
    Floats,
    Trace,
    trace_from_radii,
)

_LONGEST_STEP: Final = 9.0
"""Points further apart leave the shape between them to guesswork (common practice, no source). [mm]"""
_END_GAP: Final = 2.0
"""How much longer the last step home may be than the longest other one (common practice, no source). [-]"""
_AGAIN: Final = "Export the outline again, one row a point, once round."


def trace_from_points(side: Side, corners: Floats | Sequence[tuple[float, float]], count: int = 1000) -> Trace:
    """Make a trace from the points of a closed outline, taken either way round.

    Parameters
    ----------
    side : Side
        The eye.
    corners : (n, 2) array of float
        Points once round; the last may repeat the first. [mm]
    count : int
        How many radii to give. [-]

    Returns
    -------
    Trace
        Radii in hundredths from the boxed centre. [mm]

    Raises
    ------
    TraceError
        If the outline is open, has too few points or a gap, crosses itself, or cannot be seen from its middle.
    OutOfRangeError
        If the count is not from 36 to 20,000.

    Notes
    -----
    The points are joined by straight lines, and each radius is the exact length of its ray from the boxed centre to the
    line that it meets, then rounded to a hundredth. Nothing is smoothed, so the box of the result is that of the points
    to within what lies between two rays.

    References
    ----------
    [iso_8624]_ boxed centre, second-hand; [definition]_
    """
    within("count", count, FEWEST_RADII, MOST_RADII, "")
    ring = _ring(np.asarray(corners, dtype=float))
    x, y = (ring - (ring.min(axis=0) + ring.max(axis=0)) / 2).T
    if float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) < 0:
        x, y = x[::-1], y[::-1]
    _hold_in_view(x, y)
    radii = ray_lengths(np.array([x, y]), count)
    low, high = float(radii.min()), float(radii.max())
    if low < SHORTEST_RADIUS or high > LONGEST_RADIUS:
        reason = f"from its middle it reaches from {low:.2f} to {high:.2f} mm; possible is 5 to 60 mm"
        raise TraceError(reason, "Check that the points are in millimetres.")
    return trace_from_radii(side, radii)


def _ring(points: Floats) -> Floats:
    """Give the outline without repeated points, or say why it is none."""
    if points.ndim != 2 or points.shape[1] != 2 or not np.isfinite(points).all():
        raise TraceError("its points are not rows of two finite numbers", _AGAIN)
    moved = np.any(points != np.roll(points, 1, axis=0), axis=1)
    ring = points[moved]
    if len(ring) < FEWEST_RADII:
        reason = f"it has {len(ring)} different points; at least {FEWEST_RADII} are needed"
        raise TraceError(reason, "Trace it again with more points; 400 to 1000 are usual.")
    steps = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    home, longest = float(np.hypot(*(points[0] - points[-1]))), float(np.sort(steps)[-2])
    if home > _END_GAP * longest:
        raise TraceError(f"the outline is open: its ends are {home:.2f} mm apart", _AGAIN)
    if steps.max() > _LONGEST_STEP:
        at = ring[int(steps.argmax())]
        reason = f"it has a gap of {steps.max():.2f} mm after the point {at[0]:g}, {at[1]:g}"
        raise TraceError(reason, _AGAIN)
    return ring


def _hold_in_view(x: Floats, y: Floats) -> None:
    """Refuse an outline that turns back, crosses itself or runs round twice, as seen from its middle."""
    turns = np.arctan2(x * np.roll(y, -1) - y * np.roll(x, -1), x * np.roll(x, -1) + y * np.roll(y, -1))
    if turns.min() <= 0:
        at = int(turns.argmin())
        middle = f"{x[at]:.2f} mm across and {y[at]:.2f} mm up from its middle"
        raise TraceError(f"the outline crosses itself or turns back {middle}", _AGAIN)
    rounds = round(float(turns.sum()) / (2 * np.pi))
    if rounds != 1:
        raise TraceError(f"the outline runs {rounds} times round its middle", _AGAIN)
