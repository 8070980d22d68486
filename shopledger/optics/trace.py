"""A frame's traced shape: radii at equal angles, seen from the front, in hundredths of a millimetre."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from shopledger.optics.refusals import TraceError, within
from shopledger.optics.sides import Side

Floats: TypeAlias = NDArray[np.float64]

FEWEST_RADII = 36
MOST_RADII = 20_000
SHORTEST_RADIUS = 5.0
"""The shortest radius of a lens shape [mm]."""
LONGEST_RADIUS = 60.0
"""The longest radius of a lens shape [mm]."""
TIE = 1e-6
"""Lengths that differ by less are equal: a nanometre lies far below what a tracer sees, and far above what the last
bits of a sum come to, which depend on the processor [mm]."""


@lru_cache(maxsize=32)
def directions(count: int) -> Floats:
    """Give unit vectors at equal angles, from 3 o'clock counter-clockwise.

    Parameters
    ----------
    count : int
        How many. [-]

    Returns
    -------
    (2, count) ndarray of float
        Cosines, then sines; read-only and shared. [-]

    Raises
    ------
    OutOfRangeError
        If the count is below one.

    References
    ----------
    [definition]_
    """
    within("count", count, 1, 10**7, "")
    angles_rad = np.arange(count) * (2 * np.pi / count)
    units = np.array([np.cos(angles_rad), np.sin(angles_rad)])
    units.flags.writeable = False
    return units


def first_longest(lengths: Floats) -> int:
    """Give the place of the greatest length, the first of those that tie, as both ends of an ellipse do.

    Parameters
    ----------
    lengths : (n,) ndarray of float
        Lengths in the order of their directions. [mm]

    Returns
    -------
    int
        The place in the row. [-]

    References
    ----------
    [definition]_
    """
    return int((lengths >= lengths.max() - TIE).argmax())


@dataclass(frozen=True, slots=True)
class Trace:
    """One eye's shape as seen by who faces the wearer: radii from 3 o'clock counter-clockwise, in hundredths of a mm.

    It has at least 36 radii, each a whole number of hundredths from 5 to 60 mm.
    """

    side: Side
    hundredths: tuple[int, ...]
    radii: Floats = field(init=False, repr=False, compare=False, hash=False)

    def __post_init__(self) -> None:
        """Refuse what is no closed lens shape."""
        object.__setattr__(self, "hundredths", tuple(self.hundredths))
        object.__setattr__(self, "radii", _checked(self.hundredths))

    @property
    def count(self) -> int:
        """How many radii there are."""
        return len(self.hundredths)

    @property
    def points(self) -> Floats:
        """The corners as (n, 2): x to the right of who faces the wearer, y up, from the trace's own origin [mm]."""
        return (directions(self.count) * self.radii).T

    def mirrored(self) -> Trace:
        """Give the shape of the other eye of a symmetrical frame; needs an even count of radii."""
        half, odd = divmod(self.count, 2)
        if odd:
            reason = f"it has {self.count} radii, and only an even count can be mirrored radius by radius"
            raise TraceError(reason, "Trace it again with an even count, or resample it first.")
        turned = tuple(self.hundredths[(half - i) % self.count] for i in range(self.count))
        return Trace(self.side.other, turned)


@dataclass(frozen=True, slots=True)
class FrameTrace:
    """Both shapes of a frame and the distance between the lenses, which is 5 to 40 mm."""

    right: Trace
    left: Trace
    dbl: float

    def __post_init__(self) -> None:
        """Refuse swapped sides and an absurd bridge."""
        if self.right.side is not Side.RIGHT or self.left.side is not Side.LEFT:
            reason = f"the right shape is marked {self.right.side.value}, the left one {self.left.side.value}"
            raise TraceError(reason, "Give the right eye's shape first, then the left one's.")
        object.__setattr__(self, "dbl", within("distance between lenses", self.dbl, 5, 40, "mm"))

    def eye(self, side: Side) -> Trace:
        """Give the shape of one eye."""
        return self.right if side is Side.RIGHT else self.left


def trace_from_radii(side: Side, radii: Floats) -> Trace:
    """Make a trace from radii in millimetres, rounded to hundredths.

    Parameters
    ----------
    side : Side
        The eye.
    radii : (n,) array of float
        Radii at equal angles from 3 o'clock counter-clockwise. [mm]

    Returns
    -------
    Trace
        The shape. [mm]

    Raises
    ------
    TraceError
        If the radii are no lens shape.

    References
    ----------
    [dcs]_ radii in hundredths (from memory)
    """
    values = np.asarray(radii, dtype=float)
    if values.ndim != 1 or not np.isfinite(values).all():
        raise TraceError("the radii are not one row of finite numbers", "Read the file again or trace again.")
    return Trace(side, tuple(int(value) for value in np.rint(np.round(values * 100, 6))))


def _checked(hundredths: tuple[int, ...]) -> Floats:
    """Give the radii in mm, or say why they are no shape."""
    count = len(hundredths)
    if not FEWEST_RADII <= count <= MOST_RADII:
        reason = f"it has {count} radii; allowed is {FEWEST_RADII} to {MOST_RADII}"
        raise TraceError(reason, "Trace the frame again; 400 to 1000 radii are usual.")
    if not {type(each) for each in hundredths} <= {int}:
        raise TraceError("its radii are not whole hundredths of a mm", "Give each radius as a whole number.")
    low, high = min(hundredths), max(hundredths)
    if low < SHORTEST_RADIUS * 100 or high > LONGEST_RADIUS * 100:
        at = hundredths.index(low if low < SHORTEST_RADIUS * 100 else high)
        reason = f"the radius at {at * 360 / count:.1f} degrees is {hundredths[at] / 100:.2f} mm; allowed is 5 to 60 mm"
        raise TraceError(reason, "Check the file's unit (hundredths of a mm), or trace again.")
    radii = np.array(hundredths, dtype=float) / 100
    radii.flags.writeable = False
    return radii
