"""Whether two traces are the same shape: the exact best of all turns and both mirrors, and what then still differs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from shopledger.optics.outline import centroid, radii_about
from shopledger.optics.refusals import TraceError
from shopledger.optics.trace import TIE, Floats, Trace

_PROBES = 24


@dataclass(frozen=True, slots=True)
class Alignment:
    """How one shape lies best on another: mirrored or not, turned counter-clockwise in degrees, then moved in mm.

    It is turned about the middle of its own area; a mirrored one is first mirrored about its trace's upright axis.

    `worst` and `mean` are the radial differences that remain, in mm, from the middle of the area.
    """

    turned: float
    moved_x: float
    moved_y: float
    mirrored: bool
    worst: float
    mean: float


@dataclass(frozen=True, slots=True)
class Turn:
    """The best of all turns: the second row is rolled on by `steps`; the worst and the mean difference are in mm."""

    steps: int
    worst: float
    mean: float


@dataclass(frozen=True, slots=True)
class Seen:
    """A shape as seen from the middle of its area, which stands at x and y from the trace's origin; all in mm."""

    x: float
    y: float
    radii: Floats


def align(one: Trace, other: Trace, count: int = 1000) -> Alignment:
    """Lay one shape on another as well as can be, by turning, moving and mirroring, and tell what still differs.

    Parameters
    ----------
    one : Trace
        The shape that lies still. [mm]
    other : Trace
        The shape that is laid on it. [mm]
    count : int
        Directions that are compared and turns that are tried; even. [-]

    Returns
    -------
    Alignment
        The way that makes the worst radial difference least, of all turns and both mirrors. [mm]

    Raises
    ------
    TraceError
        If an outline cannot be seen from the middle of its area, or the count is odd.
    OutOfRangeError
        If the count is not from 36 to 20,000.

    Notes
    -----
    Both shapes are seen from the middle of their area, which turns with them, so that moving is settled before turning.
    Where ways tie to within `TIE`, the least motion counts: the unmirrored one, then the smallest turn either way.

    References
    ----------
    [definition]_
    """
    return align_seen(seen_from_middle(one, count), seen_from_middle(other, count))


def seen_from_middle(trace: Trace, count: int = 1000) -> Seen:
    """Give a shape as seen from the middle of its area, ready to be laid on others.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    count : int
        Directions that are compared; even. [-]

    Returns
    -------
    Seen
        The middle from the trace's origin, and the radii about it. [mm]

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
    if count % 2:
        raise TraceError(f"{count} directions cannot be mirrored one by one", "Ask for an even count.")
    x, y = centroid(trace)
    return Seen(x, y, radii_about(trace, x, y, count))


def align_seen(still: Seen, laid: Seen) -> Alignment:
    """Lay one shape on another as `align` does, where both are seen from their middles already.

    Parameters
    ----------
    still : Seen
        The shape that lies still. [mm]
    laid : Seen
        The shape that is laid on it, with as many radii. [mm]

    Returns
    -------
    Alignment
        The way that makes the worst radial difference least, of all turns and both mirrors. [mm]

    Raises
    ------
    TraceError
        If the rows of radii are not equally long.

    References
    ----------
    [definition]_
    """
    count = len(laid.radii)
    plain, flipped = best_turn(still.radii, laid.radii), best_turn(still.radii, mirrored_radii(laid.radii))
    mirrored = flipped.worst < plain.worst - TIE
    best, x = (flipped, -laid.x) if mirrored else (plain, laid.x)
    return Alignment(
        best.steps * 360 / count, _moved(still.x - x), _moved(still.y - laid.y), mirrored, best.worst, best.mean
    )


def as_laid(laid: Seen, alignment: Alignment) -> Floats:
    """Give a shape's radii as it lies on the other one, direction by direction.

    Parameters
    ----------
    laid : Seen
        The shape that was laid on another. [mm]
    alignment : Alignment
        How it lies best, found for as many directions. [mm]

    Returns
    -------
    (n,) ndarray of float
        Its radii from the middle of the area, mirrored and turned as it lies. [mm]

    References
    ----------
    [definition]_
    """
    radii = mirrored_radii(laid.radii) if alignment.mirrored else laid.radii
    return np.roll(radii, round(alignment.turned * len(radii) / 360))


def mirrored_radii(radii: Floats) -> Floats:
    """Give a row of radii as mirrored about the upright axis.

    Parameters
    ----------
    radii : (n,) ndarray of float
        Radii at equal angles; an even count. [mm]

    Returns
    -------
    (n,) ndarray of float
        Radii of the mirror image at the same angles. [mm]

    References
    ----------
    [definition]_
    """
    count = len(radii)
    mirror: Floats = radii[(count // 2 - np.arange(count)) % count]
    return mirror


def best_turn(still: Floats, laid: Floats) -> Turn:
    """Find the turn of one row of radii that makes the worst difference from another least; exact over all turns.

    Parameters
    ----------
    still : (n,) ndarray of float
        Radii at equal angles. [mm]
    laid : (n,) ndarray of float
        Radii at the same angles, to be rolled on. [mm]

    Returns
    -------
    Turn
        Steps to roll on, worst and mean difference; the smallest turn either way where turns tie. [mm]

    Raises
    ------
    TraceError
        If the rows are not equally long.

    Notes
    -----
    A few directions give a bound below the worst difference of every turn. Turns are then looked at in full in the
    order of their bounds, until the next bound is no better than what was found. The last bits of a sum may tell turns
    of a symmetrical shape apart, so those within `TIE` of the best count as equal, and the smallest of them is given.

    References
    ----------
    [definition]_
    """
    count = len(still)
    if still.shape != laid.shape or still.ndim != 1 or not count:
        raise TraceError("the two rows of radii are not equally long", "Resample them to one count.")
    # Window k of the doubled row begins at k, so it is the row rolled on by count - k.
    windows = sliding_window_view(np.concatenate((laid, laid)), count)[:count]
    bounds = _bounds(still, laid, windows)
    least = np.inf
    for steps in np.argsort(bounds).tolist():
        if bounds[steps] >= least:
            break
        least = min(least, float(np.abs(windows[-steps % count] - still).max()))
    tied = np.flatnonzero(bounds <= least + TIE).tolist()
    for steps in sorted(tied, key=lambda steps: (min(steps, count - steps), steps)):
        apart = np.abs(windows[-steps % count] - still)
        if apart.max() <= least + TIE:
            break
    return Turn(steps, float(apart.max()), float(apart.mean()))


def _moved(distance: float) -> float:
    """Give a distance without what the last bits of a sum add to it; zero is plus zero."""
    return round(distance, 9) + 0.0


def _bounds(still: Floats, laid: Floats, windows: Floats) -> Floats:
    """Give a bound below the worst difference of each turn, from spread directions and from both rows' extremes."""
    spread = np.linspace(0, len(still), _PROBES, endpoint=False).astype(int)
    probes = np.concatenate((spread, [still.argmin(), still.argmax()]))
    bounds: Floats = np.abs(windows[:, probes] - still[probes]).max(axis=1)[-np.arange(len(still))]
    for at in (laid.argmin(), laid.argmax()):
        np.maximum(bounds, np.abs(np.roll(still, -at) - laid[at]), out=bounds)
    return bounds
