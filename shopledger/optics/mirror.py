"""Whether a frame's left shape is the mirror image of its right one, or the same shape over again."""

from __future__ import annotations

import numpy as np

from shopledger.optics.trace import Floats, FrameTrace


def mirror_difference(frame_trace: FrameTrace) -> float:
    """Give how far the left shape leaves the mirrored right one at most, boxed centre on boxed centre.

    Parameters
    ----------
    frame_trace : FrameTrace
        Both shapes. [mm]

    Returns
    -------
    float
        The worst radial difference, from either shape's corners. [mm]

    References
    ----------
    [iso_8624]_ scope: fronts are meant to be symmetrical
    """
    return _apart(frame_trace.right.points * np.array([-1.0, 1.0]), frame_trace.left.points)


def copy_difference(frame_trace: FrameTrace) -> float:
    """Give how far the left shape leaves the right one as it is, as when one side was traced twice.

    Parameters
    ----------
    frame_trace : FrameTrace
        Both shapes. [mm]

    Returns
    -------
    float
        The worst radial difference, boxed centre on boxed centre. [mm]

    References
    ----------
    [definition]_
    """
    return _apart(frame_trace.right.points, frame_trace.left.points)


def _apart(one: Floats, other: Floats) -> float:
    return max(_worst_radial(one, other), _worst_radial(other, one))


def _worst_radial(points: Floats, outline: Floats) -> float:
    """Give the worst difference between points and an outline along rays from the boxed centre."""
    angles, radii = _polar(outline)
    at, length = _polar(points)
    order = np.argsort(angles)
    return float(np.abs(np.interp(at, angles[order], radii[order], period=2 * np.pi) - length).max())


def _polar(points: Floats) -> tuple[Floats, Floats]:
    """Give angles and lengths of points from the middle of their box."""
    x, y = (points - (points.min(axis=0) + points.max(axis=0)) / 2).T
    return np.arctan2(y, x), np.hypot(x, y)
