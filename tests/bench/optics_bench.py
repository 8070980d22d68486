"""Optics against bare numpy in the same run: prints how many times the floor each work takes, and the goal."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from shopledger.optics.alignment import best_turn
from shopledger.optics.body import edge_thickness, lens_body
from shopledger.optics.boxing import box
from shopledger.optics.power import SphereCylinder
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, Trace, trace_from_radii

COUNT = 1000
ROUNDS = 41


def shape(a: float, b: float, exponent: float, lift: float) -> Trace:
    """A superellipse that is no mirror of itself."""
    at = np.arange(COUNT) * 2 * np.pi / COUNT
    radii = (np.abs(np.cos(at) * 2 / a) ** exponent + np.abs(np.sin(at) * 2 / b) ** exponent) ** (-1 / exponent)
    return trace_from_radii(Side.RIGHT, radii * (1 + lift * np.sin(at) + lift / 2 * np.sin(2 * at + 0.6)))


ONE, OTHER = shape(54, 40, 3.0, 0.04), shape(52, 42, 2.6, 0.02)
STEEPNESS = np.arange(513) * 1j
ANGLES = np.arange(COUNT) * (2 * np.pi / COUNT)
COSINES, SINES = np.cos(ANGLES), np.sin(ANGLES)


def bare_geometry(radii: Floats) -> tuple[float, ...]:
    """Box, effective diameter, circumference of the smooth curve and area by numpy alone, trigonometry made once."""
    x, y = radii * COSINES, radii * SINES
    left, right, low, high = x.min(), x.max(), y.min(), y.max()
    ed = 2 * np.hypot(x - (left + right) / 2, y - (low + high) / 2).max()
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    waves = np.zeros((2, 513), dtype=complex)
    waves[0, :129] = np.fft.rfft(radii)[:129]
    waves[1] = waves[0] * STEEPNESS
    r, slope = np.fft.irfft(waves, 1024) / COUNT * 1024
    length = np.sqrt(r * r + slope * slope).mean() * 2 * np.pi
    return right - left, high - low, ed, length, 0.5 * (x * next_y - next_x * y).sum()


def bare_alignment(still: Floats, laid: Floats) -> tuple[int, float]:
    """Every turn one after another by numpy alone."""
    doubled, best, steps = np.concatenate((laid, laid)), np.inf, 0
    for turn in range(COUNT):
        worst = np.abs(still - doubled[COUNT - turn : 2 * COUNT - turn]).max()
        if worst < best:
            best, steps = worst, turn
    return steps, float(best)


def bare_edge(radii: Floats, front: float, along: float, across: float, axis_rad: float, centre: float) -> Floats:
    """Edge thickness of a toric back by numpy alone, curvatures known, with its trigonometry made once."""
    x, y = radii * COSINES, radii * SINES
    x, y = x - (x.min() + x.max()) / 2 - 3, y - (y.min() + y.max()) / 2 - 1
    squared = x**2 + y**2
    u = (x * np.cos(axis_rad) + y * np.sin(axis_rad)) ** 2
    v = squared - u
    front_depth = front * squared / (1 + np.sqrt(1 - front**2 * squared))
    rolled = across * v / (1 + np.sqrt(1 - across**2 * v))
    flat = along / (1 - along * rolled)
    edge: Floats = centre - front_depth + rolled + flat * u / (1 + np.sqrt(1 - flat**2 * u))
    return edge


def ratio(work: Callable[[], object], floor: Callable[[], object]) -> tuple[float, float]:
    """Time both turn about, and give the median of the work and its share of the floor."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(ROUNDS):
        for run, kept in zip((work, floor), times, strict=True):
            began = time.perf_counter()
            run()
            kept.append(time.perf_counter() - began)
    mine, bare = map(statistics.median, times)
    return mine, mine / bare


def main() -> None:
    """Print one line for each work."""
    minus, plus, centre = SphereCylinder(-4, -1, 30), SphereCylinder(4, -1, 30), (3.0, 1.0)
    body = lens_body(minus, ONE, centre, 1.6, 4, 2, 1, 1.3)
    along, across = body.surfaces.back_curvatures
    known = (body.surfaces.front_curvature, along, across, np.radians(30), 2.0)
    found, expected = best_turn(ONE.radii, OTHER.radii), bare_alignment(ONE.radii, OTHER.radii)
    if (found.steps, found.worst) != expected:
        print(f"the alignment found {found} and the plain search {expected}")
        raise SystemExit(1)
    rows: tuple[tuple[str, Callable[[], object], Callable[[], object], float | None], ...] = (
        ("geometry of a trace", lambda: box(ONE), lambda: bare_geometry(ONE.radii), 1.5),
        (
            "best alignment, exact",
            lambda: best_turn(ONE.radii, OTHER.radii),
            lambda: bare_alignment(ONE.radii, OTHER.radii),
            0.25,
        ),
        (
            "edge thickness",
            lambda: edge_thickness(minus, ONE, centre, 1.6, 4, 2.0),
            lambda: bare_edge(ONE.radii, *known),
            1.5,
        ),
        (
            "whole body, minus",
            lambda: lens_body(minus, ONE, centre, 1.6, 4, 2, 1, 1.3),
            lambda: bare_edge(ONE.radii, *known),
            None,
        ),
        (
            "whole body, plus",
            lambda: lens_body(plus, ONE, centre, 1.6, 7, 2, 1, 1.3),
            lambda: bare_edge(ONE.radii, *known),
            None,
        ),
    )
    print(f"{'optics, 1,000 radii':26} {'time':>9} {'x floor':>8} {'goal':>6}")
    for name, work, floor, goal in rows:
        taken, share = ratio(work, floor)
        print(f"{name:26} {taken * 1e6:6.0f} us {share:8.2f} {'-' if goal is None else f'{goal:.2f}':>6}")


if __name__ == "__main__":
    main()
