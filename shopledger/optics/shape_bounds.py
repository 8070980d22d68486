"""Cheap figures of shapes that tell how far apart two of them must at least lie, however one is laid on the other.

How far apart is what `alignment.align` finds: the least worst radial difference d of all turns and both mirrors, over
`count` equal directions seen from the middle of each area. Turning and mirroring only change the order of a row of
radii, so whatever does not depend on their order bounds d from below:

- the root mean square: the mean square of a difference is at most the square of the worst one, and the triangle
  inequality does the rest; for the mean of fourth powers likewise;
- the longest and the shortest radius, each of which moves by d at most;
- the whole row in order of size: of all ways to pair two rows, that by size has the least worst difference;
- the size of each part of the row's spectrum: a turn changes phases alone, a mirror their signs, and a row and its
  spectrum have the same mean square.

The first two hold for the outline too, whose area and polar moment give its mean square and mean fourth power without
any ray being cut. What the rays of a row may differ from the outline by is bounded by how much the outline goes up and
down between them, so each figure is given from and to, and never promises too much.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shopledger.optics.alignment import Seen
from shopledger.optics.trace import Floats, directions

_ROUNDING = 1e-9
"""More than sums of a thousand floats can be off by. [mm]"""


@dataclass(frozen=True, slots=True)
class Gauges:
    """For many shapes, from and to: root mean square, root mean fourth power, longest and shortest radius [mm].

    Rows are shapes. One whose outline cannot be seen from the middle of its area has no figures: from and to are
    infinite.
    """

    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True)
class Ranked:
    """A shape's radii in order of size, and the sizes of its spectrum, weighed so that they add up as radii do [mm]."""

    radii: Floats
    spectrum: Floats


def gauges(radii: Floats | Sequence[Sequence[float]], count: int = 1000) -> Gauges:
    r"""Gauge many shapes of one count of radii at once, without cutting a ray.

    Parameters
    ----------
    radii : (m, n) array of float
        Rows are shapes: radii at equal angles from each trace's own origin. [mm]
    count : int
        Directions in which shapes are compared later. [-]

    Returns
    -------
    Gauges
        Four figures a shape, from and to. [mm]

    Notes
    -----
    With :math:`\rho` the outline about the middle of its area :math:`A` and :math:`J` its polar moment there,
    :math:`\overline{\rho^2} = A / \pi` and :math:`\overline{\rho^4} = 2 J / \pi`. Rays in `count` directions give a
    mean that differs by at most the total variation over twice the count. The longest ray misses the longest radius by
    at most half a step times the steepest slope.

    References
    ----------
    [definition]_
    """
    x, y = directions(len(radii[0]))[:, None, :] * np.asarray(radii, dtype=float)
    x, y = _about_the_middle(x, y)
    next_x, next_y = _following(x), _following(y)
    wedges = x * next_y - next_x * y
    squares = x * x + y * y
    after = _following(squares)
    smaller, larger = np.minimum(squares, after), np.maximum(squares, after)
    steps = (next_x - x) ** 2 + (next_y - y) ** 2
    swing = larger - smaller + 2 * steps
    second = _power_mean(wedges.sum(axis=1) / (2 * np.pi), swing.sum(axis=1), count, 2)
    moment = (wedges * (squares + after + x * next_x + y * next_y)).sum(axis=1) / 12
    fourth = _power_mean(2 * moment / np.pi, (swing * (smaller + larger)).sum(axis=1), count, 4)
    miss = _steepest(wedges, larger, steps) * (np.pi / count)
    longest, shortest = np.sqrt(squares.max(axis=1)), np.sqrt(squares.min(axis=1))
    dip = np.sqrt(np.maximum((smaller - steps).min(axis=1), 0))
    low = np.column_stack((second[0], fourth[0], longest - miss, dip)) - _ROUNDING
    high = np.column_stack((second[1], fourth[1], longest, shortest + miss)) + _ROUNDING
    unseen = wedges.min(axis=1) < -_ROUNDING
    low[unseen], high[unseen] = np.inf, np.inf
    return Gauges(low, high)


def gauge_gaps(still: Gauges, laid: Gauges) -> Floats:
    """Give how far apart shapes must at least lie by their gauges alone.

    Parameters
    ----------
    still : Gauges
        One shape. [mm]
    laid : Gauges
        Many shapes, for the same count of directions. [mm]

    Returns
    -------
    (m,) ndarray of float
        Never more than what `align` finds; infinite for a shape that cannot be laid on another. [mm]

    References
    ----------
    [definition]_
    """
    gaps = np.maximum(laid.low - still.high, np.where(np.isinf(laid.high), 0, still.low - laid.high))
    bounds: Floats = np.maximum(gaps.max(axis=1), 0)
    return bounds


def ranked(still: Seen) -> Ranked:
    """Give what does not depend on where a row of radii begins, nor on its direction.

    Parameters
    ----------
    still : Seen
        The shape, seen from the middle of its area. [mm]

    Returns
    -------
    Ranked
        Radii by size, and the spectrum's sizes. [mm]

    References
    ----------
    [definition]_
    """
    count = len(still.radii)
    sizes = np.abs(np.fft.rfft(still.radii)) / count
    sizes[1 : (count + 1) // 2] *= np.sqrt(2)
    return Ranked(np.sort(still.radii), sizes)


def ranked_gap(still: Ranked, laid: Ranked) -> float:
    """Give how far apart two shapes must at least lie by their radii in order of size and by their spectra.

    Parameters
    ----------
    still : Ranked
        One shape. [mm]
    laid : Ranked
        Another one, with as many radii. [mm]

    Returns
    -------
    float
        Never more than what `align` finds. [mm]

    References
    ----------
    [definition]_
    """
    by_size = float(np.abs(still.radii - laid.radii).max())
    by_spectrum = float(np.linalg.norm(still.spectrum - laid.spectrum))
    return max(by_size, by_spectrum) - _ROUNDING


def _about_the_middle(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Move each outline so that the middle of its area is zero."""
    next_x, next_y = _following(x), _following(y)
    wedges = x * next_y - next_x * y
    thrice = 3 * wedges.sum(axis=1, keepdims=True)
    middle_x = ((x + next_x) * wedges).sum(axis=1, keepdims=True) / thrice
    middle_y = ((y + next_y) * wedges).sum(axis=1, keepdims=True) / thrice
    return x - middle_x, y - middle_y


def _following(values: Floats) -> Floats:
    """Give each corner's next one."""
    return np.concatenate((values[:, 1:], values[:, :1]), axis=1)


def _power_mean(mean: Floats, variation: Floats, count: int, power: int) -> tuple[Floats, Floats]:
    """Give from and to for the root of a mean of powers over rays, from that of the outline."""
    off = variation / (2 * count)
    return np.maximum(mean - off, 0) ** (1 / power), (mean + off) ** (1 / power)


def _steepest(wedges: Floats, larger: Floats, steps: Floats) -> Floats:
    """Give the steepest slope of each outline: how fast the radius changes with its angle [mm per radian]."""
    # From its foot at the distance p, an edge's radius r changes by r sqrt(r^2 - p^2) / p, most at its farther end.
    foot = np.maximum(wedges, 1e-12) ** 2 / np.maximum(steps, 1e-24)
    slope: Floats = np.sqrt(larger * np.maximum(larger - foot, 0) / foot).max(axis=1)
    return slope
