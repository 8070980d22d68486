"""A shape's outline: seen from another origin, at another count, as a smooth path in mm, and as a small picture."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shopledger.optics.boxing import from_point
from shopledger.optics.refusals import TraceError, within
from shopledger.optics.trace import FEWEST_RADII, MOST_RADII, Floats, Trace, directions, trace_from_radii


def centroid(trace: Trace) -> tuple[float, float]:
    """Give the middle of a shape's area, which turns with the shape.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]

    Returns
    -------
    (2,) tuple of float
        From the trace's origin: to the right of who faces the wearer, up. [mm]

    References
    ----------
    [definition]_
    """
    x, y = directions(trace.count) * trace.radii
    next_x, next_y = np.concatenate((x[1:], x[:1])), np.concatenate((y[1:], y[:1]))
    wedges = x * next_y - next_x * y
    thrice = 3 * float(wedges.sum())
    return float((x + next_x) @ wedges) / thrice, float((y + next_y) @ wedges) / thrice


def radii_about(trace: Trace, x: float, y: float, count: int) -> Floats:
    """Give a shape's radii at equal angles from another origin, where rays meet the polygon through its points.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    x : float
        New origin, to the right of who faces the wearer. [mm]
    y : float
        New origin, up. [mm]
    count : int
        How many radii. [-]

    Returns
    -------
    (count,) ndarray of float
        Radii from 3 o'clock counter-clockwise. [mm]

    Raises
    ------
    TraceError
        If the whole outline cannot be seen from the new origin.
    OutOfRangeError
        If the count is not from 36 to 20,000.

    References
    ----------
    [definition]_
    """
    within("count", count, FEWEST_RADII, MOST_RADII, "")
    return ray_lengths((directions(trace.count) * trace.radii) - np.array([[x], [y]]), count)


def ray_lengths(corners: Floats, count: int) -> Floats:
    """Give how far rays at equal angles from the origin reach until they meet a closed outline.

    Parameters
    ----------
    corners : (2, n) ndarray of float
        Rows x and y of the outline's corners, counter-clockwise, once round; the last is joined to the first. [mm]
    count : int
        How many rays. [-]

    Returns
    -------
    (count,) ndarray of float
        Lengths from 3 o'clock counter-clockwise, exact for the straight edges between corners. [mm]

    Raises
    ------
    TraceError
        If the whole outline cannot be seen from the origin.

    References
    ----------
    [definition]_
    """
    corner_x, corner_y = corners
    next_x, next_y = np.concatenate((corner_x[1:], corner_x[:1])), np.concatenate((corner_y[1:], corner_y[:1]))
    wedges = corner_x * next_y - next_x * corner_y
    if wedges.min() <= 0:
        raise TraceError("its whole outline cannot be seen from the new origin", "Choose an origin nearer its middle.")
    angles = np.arctan2(corner_y, corner_x)
    first = int(angles.argmin())
    at = directions(count)
    wanted = np.arctan2(at[1], at[0])
    edge = (np.searchsorted(np.roll(angles, -first), wanted, side="right") - 1 + first) % len(corner_x)
    along_x, along_y = (next_x - corner_x)[edge], (next_y - corner_y)[edge]
    lengths: Floats = wedges[edge] / (at[0] * along_y - at[1] * along_x)
    return lengths


def resampled(trace: Trace, count: int) -> Trace:
    """Give the same shape with another count of radii from the same origin.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    count : int
        How many radii. [-]

    Returns
    -------
    Trace
        Radii in hundredths on the polygon through the old points. [mm]

    Raises
    ------
    OutOfRangeError
        If the count is not from 36 to 20,000.

    References
    ----------
    [definition]_
    """
    return trace_from_radii(trace.side, radii_about(trace, 0, 0, count))


def smooth_path(trace: Trace, within_mm: float = 0.02) -> Floats:
    """Give a closed smooth path round a shape as cubic curves, for drawing at any size.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    within_mm : float
        How far the path may leave the traced points. [mm]

    Returns
    -------
    (n, 4, 2) ndarray of float
        n curves, each of start, two handles and end; x to the right of who faces the wearer, y up, from the boxed
        centre; each ends where the next one starts. [mm]

    Raises
    ------
    OutOfRangeError
        If the distance is not from 0.001 to 1 mm.

    Notes
    -----
    Curves run through every k-th point with the slope of its neighbours, k as large as the distance allows.

    References
    ----------
    [definition]_
    """
    allowed = within("distance from the points", within_mm, 0.001, 1, "mm")
    points = from_point(trace, 0, 0).T
    for every in (16, 12, 10, 8, 6, 5, 4, 3, 2):
        if trace.count % every == 0 and trace.count // every >= FEWEST_RADII:
            curves = _curves(points[::every])
            if _farthest(curves, points, every) <= allowed:
                return curves
    return _curves(points)


def svg_path(trace: Trace, within_mm: float = 0.02) -> str:
    """Give the smooth path in the words of the web's vector format, y down, in mm from the boxed centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    within_mm : float
        How far the path may leave the traced points. [mm]

    Returns
    -------
    str
        What stands in a path's `d`.

    Raises
    ------
    OutOfRangeError
        If the distance is not from 0.001 to 1 mm.

    References
    ----------
    [svg]_ path data
    """
    # Rounded first, so that neither a minus before zero nor the last place hangs on the last bits.
    curves = np.round(smooth_path(trace, within_mm) * [1, -1], 9) + 0.0
    start = f"M{curves[0, 0, 0]:.3f} {curves[0, 0, 1]:.3f}"
    parts = (" ".join(f"{x:.3f} {y:.3f}" for x, y in curve[1:]) for curve in curves)
    return f"{start} {' '.join(f'C{part}' for part in parts)} Z"


def small_picture(trace: Trace, columns: int = 44) -> tuple[str, ...]:
    """Draw a shape in letters: its outline in stars, a plus at the boxed centre.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    columns : int
        Width of the picture; a line counts as two columns high. [-]

    Returns
    -------
    (n,) tuple of str
        Lines from top to bottom.

    Raises
    ------
    OutOfRangeError
        If the width is not from 11 to 200 columns.

    References
    ----------
    [definition]_
    """
    width = int(within("columns", columns, 11, 200, "columns")) - 1
    # Points closer than a letter leave no gaps in the outline.
    x, y = from_point(resampled(trace, 1440), 0, 0)
    per_mm = width / (x.max() - x.min())
    across, down = _letters((x - x.min()) * per_mm), _letters((y.max() - y) * per_mm / 2)
    grid = [[" "] * (width + 1) for _ in range(int(down.max()) + 1)]
    middle = _letters(np.array([y.max() / 2, -x.min()]) * per_mm)
    grid[middle[0]][middle[1]] = "+"
    for row, column in zip(down.tolist(), across.tolist(), strict=True):
        grid[row][column] = "*"
    return tuple("".join(row).rstrip() for row in grid)


def _letters(lengths: Floats) -> NDArray[np.int_]:
    """Give the nearest whole letters; what lies in the middle between two does not hang on the last bits."""
    return np.rint(np.round(lengths, 6)).astype(np.int_)


def _curves(points: Floats) -> Floats:
    """Give cubic curves through points, each with the slope of its neighbours."""
    after, before = np.roll(points, -1, axis=0), np.roll(points, 1, axis=0)
    slopes = (after - before) / 6
    return np.stack([points, points + slopes, after - np.roll(slopes, -1, axis=0), after], axis=1)


def _farthest(curves: Floats, points: Floats, every: int) -> float:
    """Give the longest way from a traced point to the curves, at a bound that ignores sliding along them."""
    steps = np.arange(every) / every
    weights = np.array([(1 - steps) ** 3, 3 * steps * (1 - steps) ** 2, 3 * steps**2 * (1 - steps), steps**3])
    on_curves = np.einsum("kt,nkd->ntd", weights, curves).reshape(-1, 2)
    ways = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    off = on_curves - points
    # Sliding along the outline does not leave it; only the part across it does.
    return float(np.abs(off[:, 0] * ways[:, 1] - off[:, 1] * ways[:, 0]).max())
