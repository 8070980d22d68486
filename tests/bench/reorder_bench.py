"""A reorder's checks for a traced frame in eight materials against bare numpy in the same run: prints the ratios.

Both do the same work on a shape of 1,000 radii: both traces looked over, boxed and laid mirrored on each other; where
the optical centres stand, which blank that takes and how deep the lens is below them; and for each of the eight
materials and either eye the centre thickness, the edge all round and the weight. The bare side writes no sentences and
makes no values; it must come to the same numbers.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Final

import numpy as np

from shopledger.ledger.blank_advice import blank_findings
from shopledger.ledger.catalogue import Design, Lens
from shopledger.ledger.layout import PairLayout, lay_out_each
from shopledger.ledger.settings import Settings
from shopledger.optics.base_curve import pair_base_curve
from shopledger.optics.checks import check_measurements, check_prescription
from shopledger.optics.findings import Finding
from shopledger.optics.materials import MATERIALS
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.pair_checks import check_bodies, check_pair
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, FrameTrace, Trace, trace_from_radii
from shopledger.optics.trace_checks import check_frame_trace

COUNT: Final = 1000
ROUNDS: Final = 41
GOAL: Final = 2.0
DAY: Final = date(2026, 3, 2)
ALLOWANCE: Final = 2.0
MIN_EDGE: Final = 1.0
ANGLES = np.arange(COUNT) * (2 * np.pi / COUNT)
COSINES, SINES = np.cos(ANGLES), np.sin(ANGLES)
NODES, WEIGHTS = np.polynomial.legendre.leggauss(6)
NODES, WEIGHTS = (NODES + 1) / 2, WEIGHTS / 2
MEASURED: Final = Measurements(EyeMeasurements(31.5, None, 20.0), EyeMeasurements(31.0, None, 19.5))
LENSES: Final = tuple(
    Lens(
        f"SV-{place}", each.name, Design.SINGLE_VISION, each.name, each.material_class, each.index, each.abbe,
        each.density, price=8000, cost=2000, blank_diameters=(65, 70, 75), min_centre=each.min_centre,
    )
    for place, each in enumerate(MATERIALS)
)  # fmt: skip


def frame(width: float) -> FrameTrace:
    """A rounded shape that is no mirror of itself, and its mirror image for the left eye."""
    radii = (np.abs(COSINES * 2 / width) ** 3 + np.abs(SINES * 2 / 40) ** 3) ** (-1 / 3)
    radii *= 1 + 0.04 * SINES + 0.02 * np.sin(2 * ANGLES + 0.6)
    right = trace_from_radii(Side.RIGHT, radii)
    return FrameTrace(right, right.mirrored(), 18)


def powers(sphere: float) -> Prescription:
    """Two powers that differ a little, with cylinders."""
    right, left = SphereCylinder(sphere, -1.0, 30), SphereCylinder(sphere + 0.5, -0.75, 150)
    return Prescription(EyePrescription(right), EyePrescription(left))


def checked(made: Prescription, shape: FrameTrace) -> tuple[tuple[PairLayout, ...], list[Finding]]:
    """Everything that a reorder asks of a prescription, a shape and eight lenses."""
    found = [
        *check_prescription(made, written_on=DAY, expires_on=None, today=DAY),
        *check_measurements(MEASURED),
        *check_frame_trace(shape, eye_size=54, bridge=18),
        *check_pair(made, MEASURED, shape, LensUse.DISTANCE, blanks=(75, 75), allowance=ALLOWANCE),
    ]
    layouts = lay_out_each(LENSES, made, shape, MEASURED, LensUse.DISTANCE, Settings(blank_allowance=ALLOWANCE))
    first = layouts[0]
    found += blank_findings(first, layouts[1:], shape, ALLOWANCE)
    if first.right.body is not None and first.left.body is not None:
        found += check_bodies(first.right.body, first.left.body)
    return layouts, found


@dataclass(slots=True)
class Bare:
    """One eye as the bare side keeps it: points from the optical centre, and the shape's own figures."""

    x: Floats
    y: Floats
    inner_x: Floats
    inner_y: Floats
    radii: Floats
    needed: float


def bare_shape(trace: Trace, measured: EyeMeasurements) -> Bare:
    """Look a shape over, box it, place the optical centre, and give blank and depth, by numpy alone."""
    radii = trace.radii
    before, after = np.roll(radii, 1), np.roll(radii, -1)
    out = np.minimum(np.abs(radii - before), np.abs(radii - after)) * (
        np.sign(radii - before) == np.sign(radii - after)
    )
    jump = np.abs((after - radii) - (np.roll(after, -1) - after + radii - before) / 2)
    x, y = radii * COSINES, radii * SINES
    left, right, low, high = x.min(), x.max(), y.min(), y.max()
    middle_x, middle_y = (left + right) / 2, (low + high) / 2
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    figures = (np.hypot(next_x - x, next_y - y).sum(), (x * next_y - next_x * y).sum() / 2)
    far = ((x - middle_x) ** 2 + (y - middle_y) ** 2).max()
    inward = trace.side.inward * ((right - left + 18) / 2 - measured.mono_pd)
    upward = (measured.fitting_height or 0) - (high - low) / 2
    x, y = x - middle_x - inward, y - middle_y - upward
    needed = 2 * np.sqrt((x * x + y * y).max()) + ALLOWANCE
    inner_x = (-middle_x - inward) + (radii * COSINES)[:, None] * NODES
    inner_y = (-middle_y - upward) + (radii * SINES)[:, None] * NODES
    if out.max() > 9 or jump.max() > 9 or far < 1 or figures[0] < 1:
        raise AssertionError
    return Bare(x, y, inner_x, inner_y, radii, float(needed))


def bare_mirror(right: Trace, left: Trace) -> float:
    """Lay the left shape on the mirrored right one, both ways, from the boxed centres."""
    polar = []
    for trace, sign in ((right, -1.0), (left, 1.0)):
        x, y = sign * trace.radii * COSINES, trace.radii * SINES
        x, y = x - (x.min() + x.max()) / 2, y - (y.min() + y.max()) / 2
        polar.append((np.arctan2(y, x), np.hypot(x, y)))
    worst = 0.0
    for (at, length), (angles, radii) in (polar, polar[::-1]):
        order = np.argsort(angles)
        worst = max(worst, np.abs(np.interp(at, angles[order], radii[order], period=2 * np.pi) - length).max())
    return float(worst)


def depth(curvature: float | Floats, squared: Floats) -> Floats:
    """Exact depth of a surface at squared distances."""
    deep: Floats = curvature * squared / (1 + np.sqrt(1 - curvature * curvature * squared))
    return deep


def bare_gap(x: Floats, y: Floats, front: float, along: float, across: float, axis_rad: float) -> Floats:
    """Front's depth less that of a toric back, by numpy alone."""
    squared = x * x + y * y
    u = (x * np.cos(axis_rad) + y * np.sin(axis_rad)) ** 2
    v = squared - u
    flat, flat_squared, steep, steep_squared = (
        (along, u, across, v) if abs(along) < abs(across) else (across, v, along, u)
    )
    rolled = depth(steep, steep_squared)
    gap: Floats = depth(front, squared) - rolled - depth(flat / (1 - flat * rolled), flat_squared)
    return gap


def bare_lens(eye: Bare, power: SphereCylinder, curve: float, lens: Lens) -> tuple[float, float, float]:
    """Centre thickness, thickest edge and weight of one lens by numpy alone."""
    per = (lens.index - 1) * 1000
    front = curve * (lens.index - 1) / 0.53
    axis_rad = np.radians(power.axis or 180)

    def backs(thick: float) -> tuple[float, float]:
        through = front / (1 - thick / 1000 / lens.index * front)
        return (through - power.sphere) / per, (through - power.sphere - power.cylinder) / per

    thick = lens.min_centre
    gap = bare_gap(eye.x, eye.y, front / per, *backs(thick), axis_rad)
    while abs(max(lens.min_centre, MIN_EDGE + float(gap.max())) - thick) > 1e-9:
        at = slice(worst := int(gap.argmax()), worst + 1)
        before = 0.0
        while abs(thick - before) > 1e-10:
            before = thick
            one = bare_gap(eye.x[at], eye.y[at], front / per, *backs(thick), axis_rad)
            thick = max(lens.min_centre, MIN_EDGE + float(one[0]))
        gap = bare_gap(eye.x, eye.y, front / per, *backs(thick), axis_rad)
    edge = thick - gap
    inner = thick - bare_gap(eye.inner_x, eye.inner_y, front / per, *backs(thick), axis_rad)
    volume = float(eye.radii**2 @ (inner @ (NODES * WEIGHTS))) * 2 * np.pi / COUNT
    return thick, float(edge.max()), volume * lens.density / 1000


def bare_work(made: Prescription, shape: FrameTrace) -> list[tuple[float, float, float]]:
    """The same numbers for both eyes in all materials, and nothing else."""
    bare_mirror(shape.right, shape.left)
    curve = pair_base_curve(made.right.power, made.left.power)
    eyes = [(bare_shape(shape.eye(side), MEASURED.eye(side)), made.eye(side).power) for side in Side]
    return [bare_lens(eye, power, curve, lens) for lens in LENSES for eye, power in eyes]


def agree(layouts: tuple[PairLayout, ...], bare: list[tuple[float, float, float]]) -> bool:
    """Whether both came to the same thicknesses and weights."""
    bodies = [eye.body for layout in layouts for eye in layout.eyes]
    mine = [(body.centre_thickness, body.thickest, body.weight_g) for body in bodies if body is not None]
    return len(mine) == len(bare) and bool(np.allclose(mine, bare, rtol=1e-6))


def ratio(
    work: Callable[[FrameTrace], object], floor: Callable[[FrameTrace], object], shapes: Sequence[FrameTrace]
) -> tuple[float, float]:
    """Time both turn about, on another shape each time, and give the median of the work and its share of the floor."""
    times: tuple[list[float], list[float]] = ([], [])
    for place in range(ROUNDS):
        for run, kept in zip((work, floor), times, strict=True):
            began = time.perf_counter()
            run(shapes[place % len(shapes)])
            kept.append(time.perf_counter() - began)
    mine, bare = map(statistics.median, times)
    return mine, mine / bare


def main() -> None:
    """Prove the same answer, then print one line for each power."""
    # Another frame in each round, so that nothing kept from the round before helps.
    shapes = [frame(width) for width in (52, 52.5, 53, 53.5, 54, 54.5, 55)]
    print(f"{'a reorder, 1,000 radii, 8 materials':38} {'time':>9} {'x floor':>8} {'goal':>6}")
    for name, made in (("minus lenses", powers(-4.0)), ("plus lenses", powers(4.0))):
        if not all(agree(checked(made, shape)[0], bare_work(made, shape)) for shape in shapes):
            print(f"{name}: the reorder and the bare work differ")
            raise SystemExit(1)
        taken, share = ratio(partial(checked, made), partial(bare_work, made), shapes)
        print(f"{name:38} {taken * 1e6:6.0f} us {share:8.2f} {GOAL:6.2f}")


if __name__ == "__main__":
    main()
