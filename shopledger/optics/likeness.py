"""Whether two frames have the same shapes, and whether a frame's left one mirrors its right one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopledger.optics.alignment import Alignment, Seen, align_seen, as_laid, seen_from_middle
from shopledger.optics.trace import Floats, FrameTrace

SAME_WITHIN = 0.3
"""What two tracings of one frame may differ by (common practice, no source). [mm]"""


@dataclass(frozen=True, slots=True)
class Likeness:
    """How two frames' shapes lie on each other at best, eye by eye, and as they are, unturned; in mm.

    `straight` is the worst difference of right from right and left from left, `crosswise` that of each from the other.
    """

    right: Alignment
    left: Alignment
    straight: float
    crosswise: float

    @property
    def worst(self) -> float:
        """The worst difference of either eye."""
        return max(self.right.worst, self.left.worst)

    @property
    def mean(self) -> float:
        """The mean difference of both eyes."""
        return (self.right.mean + self.left.mean) / 2

    def same(self, within_mm: float = SAME_WITHIN) -> bool:
        """Tell whether both eyes' shapes are the same within a distance."""
        return self.worst <= within_mm

    def swapped(self, within_mm: float = SAME_WITHIN) -> bool:
        """Tell whether right and left look swapped: crosswise they are the same as they lie, straight they are not."""
        return self.crosswise <= within_mm < self.straight


def likeness(one: FrameTrace, other: FrameTrace, count: int = 1000) -> Likeness:
    """Lay a frame's shapes on those of another frame, each as well as can be.

    Parameters
    ----------
    one : FrameTrace
        The frame that lies still. [mm]
    other : FrameTrace
        The frame that is laid on it. [mm]
    count : int
        Directions that are compared and turns that are tried; even. [-]

    Returns
    -------
    Likeness
        How they lie, and what still differs. [mm]

    Raises
    ------
    TraceError
        If an outline cannot be seen from the middle of its area, or the count is odd.
    OutOfRangeError
        If the count is not from 36 to 20,000.

    References
    ----------
    [definition]_; [common_practice]_ for what one frame may differ by from tracing to tracing
    """
    still = [seen_from_middle(eye, count) for eye in (one.right, one.left)]
    laid = [seen_from_middle(eye, count) for eye in (other.right, other.left)]
    right, left = (align_seen(*both) for both in zip(still, laid, strict=True))
    return Likeness(right, left, _as_they_are(still, laid), _as_they_are(still, laid[::-1]))


def overlaid(one: FrameTrace, other: FrameTrace, count: int = 1000) -> tuple[tuple[Floats, Floats], ...]:
    """Give for each eye the radii of one frame's shape, and of the other's as it lies on it at best.

    Parameters
    ----------
    one : FrameTrace
        The frame that lies still. [mm]
    other : FrameTrace
        The frame that is laid on it. [mm]
    count : int
        Directions that are compared and turns that are tried; even. [-]

    Returns
    -------
    (2,) tuple of (2,) tuple of (count,) ndarray of float
        Right eye, then left one: radii of both shapes from the middle of the area. [mm]

    Raises
    ------
    TraceError
        If an outline cannot be seen from the middle of its area, or the count is odd.
    OutOfRangeError
        If the count is not from 36 to 20,000.

    References
    ----------
    [definition]_
    """
    eyes = ((one.right, other.right), (one.left, other.left))
    seen = [(seen_from_middle(still, count), seen_from_middle(laid, count)) for still, laid in eyes]
    return tuple((still.radii, as_laid(laid, align_seen(still, laid))) for still, laid in seen)


def _as_they_are(still: list[Seen], laid: list[Seen]) -> float:
    """Give the worst difference of two pairs of shapes, neither turned nor mirrored."""
    return max(float(np.abs(one.radii - other.radii).max()) for one, other in zip(still, laid, strict=True))


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
