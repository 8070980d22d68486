"""Where a traced shape is broken: radii that stand out, and places where it goes on at another size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from shopledger.optics.trace import Trace

Marks: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Break:
    """One broken place: the radius by its place in the row, a stable code, what is wrong, and the limit in mm."""

    at: int
    code: str
    words: str
    allowed: float


def breaks(trace: Trace) -> tuple[Break, ...]:
    """Find radii that stand out, and places where the shape goes on at another size.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]

    Returns
    -------
    (n,) tuple of Break
        The broken places, spikes first, each kind in the order of the radii; none for a clean shape.

    Notes
    -----
    A corner of 2 mm radius bends a usual shape within one step by no more than 210 times the step squared, or by 20
    times the step where steps are long (step in radians, result in mm), and its slope by half as much again; what goes
    0.25 mm beyond is a spike where one radius stands out, and a jump where the shape goes on at another size. An open
    shape jumps at the last radius.

    References
    ----------
    [common_practice]_ for the limits
    """
    return tuple(_found(trace))


def _found(trace: Trace) -> Iterator[Break]:
    radii, step = trace.radii, 2 * np.pi / trace.count
    bend = min(210 * step**2, 20 * step)
    allowed, allowed_jump = 0.25 + bend, 0.25 + 1.5 * bend
    before, after = np.roll(radii, 1), np.roll(radii, -1)
    one_way = np.sign(radii - before) == np.sign(radii - after)
    stands_out = np.minimum(np.abs(radii - before), np.abs(radii - after)) * one_way
    for at in np.flatnonzero(stands_out > allowed).tolist():
        yield Break(at, "TRACE-SPIKE", f"one radius stands out by {stands_out[at]:.2f} mm", allowed)
    near_spike = _spread(stands_out > allowed)
    jump = np.abs((after - radii) - (np.roll(after, -1) - after + radii - before) / 2)
    worst_of_three = jump >= np.maximum(np.roll(jump, 1), np.roll(jump, -1))
    for at in np.flatnonzero((jump > allowed_jump) & worst_of_three & ~near_spike).tolist():
        open_end = at == trace.count - 1
        words = "the outline is open" if open_end else "the outline jumps"
        code = "TRACE-OPEN" if open_end else "TRACE-JUMP"
        yield Break(at, code, f"{words} by {jump[at]:.2f} mm", allowed_jump)


def _spread(marked: Marks) -> Marks:
    """Mark two places on either side as well."""
    spread = marked
    for by in (-2, -1, 1, 2):
        spread = spread | np.roll(marked, by)
    return spread
