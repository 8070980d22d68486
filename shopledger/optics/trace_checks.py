"""What can be wrong with a traced shape: spikes, jumps, absurd sizes, unlike sides, or another frame's shape."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from shopledger.optics.boxing import Boxed, box
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.trace import Floats, FrameTrace, Trace

Marks: TypeAlias = NDArray[np.bool_]

_COMMON = "common_practice"
_STATED_WITHIN = 0.1
_STATED_LENGTH_WITHIN = 0.5
_PAIR_WITHIN = 0.2
_MIRROR_WITHIN = 0.3
_CATALOGUE_WITHIN = 1.5
_USUAL_A = (30.0, 70.0)
_USUAL_B = (18.0, 65.0)
_USUAL_DBL = (10.0, 30.0)


@dataclass(frozen=True, slots=True)
class StatedFigures:
    """What a trace file or a card says of one shape in mm; what is not stated is None."""

    a: float | None = None
    b: float | None = None
    ed: float | None = None
    circumference: float | None = None


def check_trace(trace: Trace, stated: StatedFigures | None = None) -> tuple[Finding, ...]:
    """Look at one shape for spikes, jumps, absurd sizes, and figures that its radii do not bear out.

    Parameters
    ----------
    trace : Trace
        The shape. [mm]
    stated : StatedFigures, optional
        What came with it. [mm]

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first; nothing for a clean shape. [-]

    Raises
    ------
    Nothing
        Every valid trace can be looked at.

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
    boxed = box(trace)
    found = [*_spikes_and_jumps(trace), *_sizes(trace.side.value, boxed)]
    return gravest_first([*found, *_against_stated(trace.side.value, boxed, stated or StatedFigures())])


def check_frame_trace(
    frame_trace: FrameTrace,
    stated_right: StatedFigures | None = None,
    stated_left: StatedFigures | None = None,
    eye_size: float | None = None,
    bridge: float | None = None,
) -> tuple[Finding, ...]:
    """Look at both shapes of a frame, at one against the other, and at both against the catalogue.

    Parameters
    ----------
    frame_trace : FrameTrace
        Both shapes. [mm]
    stated_right : StatedFigures, optional
        What came with the right one. [mm]
    stated_left : StatedFigures, optional
        What came with the left one. [mm]
    eye_size : float, optional
        As marked on the frame. [mm]
    bridge : float, optional
        As marked on the frame. [mm]

    Returns
    -------
    (n,) tuple of Finding
        What was found, gravest first. [-]

    Raises
    ------
    Nothing
        Every valid frame trace can be looked at.

    References
    ----------
    [iso_8624]_ scope: fronts are meant to be symmetrical; [common_practice]_ for the limits
    """
    found = [*check_trace(frame_trace.right, stated_right), *check_trace(frame_trace.left, stated_left)]
    found += _one_against_other(frame_trace)
    found += _outside("trace.dbl", "DBL-UNUSUAL", "the distance between lenses", frame_trace.dbl, _USUAL_DBL)
    for side in (frame_trace.right, frame_trace.left):
        found += _against_marked(f"{side.side.value}.trace.a", "eye size", box(side).a, eye_size)
    found += _against_marked("trace.dbl", "bridge", frame_trace.dbl, bridge)
    return gravest_first(found)


def _spikes_and_jumps(trace: Trace) -> Iterator[Finding]:
    """Find radii that stand out, and places where the shape goes on at another size."""
    radii, step = trace.radii, 2 * np.pi / trace.count
    bend = min(210 * step**2, 20 * step)
    allowed, allowed_jump = 0.25 + bend, 0.25 + 1.5 * bend
    before, after = np.roll(radii, 1), np.roll(radii, -1)
    one_way = np.sign(radii - before) == np.sign(radii - after)
    stands_out = np.minimum(np.abs(radii - before), np.abs(radii - after)) * one_way
    for at in np.flatnonzero(stands_out > allowed):
        yield _broken(trace, int(at), "TRACE-SPIKE", f"one radius stands out by {stands_out[at]:.2f} mm", allowed)
    near_spike = _spread(stands_out > allowed)
    jump = np.abs((after - radii) - (np.roll(after, -1) - after + radii - before) / 2)
    worst_of_three = jump >= np.maximum(np.roll(jump, 1), np.roll(jump, -1))
    for at in np.flatnonzero((jump > allowed_jump) & worst_of_three & ~near_spike):
        open_end = int(at) == trace.count - 1
        words = "the outline is open" if open_end else "the outline jumps"
        code = "TRACE-OPEN" if open_end else "TRACE-JUMP"
        yield _broken(trace, int(at), code, f"{words} by {jump[at]:.2f} mm", allowed_jump)


def _spread(marked: Marks) -> Marks:
    """Mark two places on either side as well."""
    spread = marked
    for by in (-2, -1, 1, 2):
        spread = spread | np.roll(marked, by)
    return spread


def _broken(trace: Trace, at: int, code: str, words: str, allowed: float) -> Finding:
    """Say where a shape is broken."""
    angle = at * 360 / trace.count
    sentence = (
        f"In the {trace.side.value} trace {words} at {angle:.1f} degrees. Clean the tracer's stylus and trace again."
    )
    field = f"{trace.side.value}.trace"
    limit = f"{allowed:.2f} mm"
    return Finding(Severity.ERROR, code, field, f"{trace.radii[at]:.2f}", limit, _COMMON, sentence)


def _sizes(side: str, boxed: Boxed) -> Iterator[Finding]:
    """Ask about a width or a height that frames seldom have."""
    yield from _outside(f"{side}.trace.a", "A-UNUSUAL", f"the {side} boxed width", boxed.a, _USUAL_A)
    yield from _outside(f"{side}.trace.b", "B-UNUSUAL", f"the {side} boxed height", boxed.b, _USUAL_B)


def _outside(field: str, code: str, name: str, value: float, usual: tuple[float, float]) -> Iterator[Finding]:
    """Ask about a size outside what is usual."""
    low, high = usual
    if not low <= value <= high:
        limit = f"{low:g} to {high:g} mm"
        sentence = f"{name[0].upper()}{name[1:]} is {value:.1f} mm; usual is {limit}. Check that this is the frame."
        yield Finding(Severity.WARNING, code, field, f"{value:.2f}", limit, _COMMON, sentence)


def _against_stated(side: str, boxed: Boxed, stated: StatedFigures) -> Iterator[Finding]:
    """Compare what the radii give with what came with them."""
    rows = (
        ("a", "boxed width", boxed.a, stated.a, _STATED_WITHIN),
        ("b", "boxed height", boxed.b, stated.b, _STATED_WITHIN),
        ("ed", "effective diameter", boxed.ed, stated.ed, 2 * _STATED_WITHIN),
        ("circumference", "circumference", boxed.circumference, stated.circumference, _STATED_LENGTH_WITHIN),
    )
    for field, name, value, said, allowed in rows:
        if said is not None and abs(value - said) > allowed:
            sentence = (
                f"The {side} {name} is stated as {said:.2f} mm, but the radii give {value:.2f} mm. "
                f"Trace again, or correct what is stated."
            )
            place, limit = f"{side}.trace.{field}", f"{allowed:g} mm"
            yield Finding(Severity.WARNING, "TRACE-STATED", place, f"{value:.2f}", limit, _COMMON, sentence)


def _one_against_other(frame_trace: FrameTrace) -> Iterator[Finding]:
    """Compare the left shape with the mirrored right one."""
    right, left = box(frame_trace.right), box(frame_trace.left)
    for field in ("a", "b", "circumference"):
        one, other = getattr(right, field), getattr(left, field)
        if abs(one - other) > _PAIR_WITHIN:
            sentence = (
                f"The right shape's {field} is {one:.2f} mm and the left one's {other:.2f} mm. "
                f"Check that the frame is not bent, or trace again."
            )
            value, limit = f"{one - other:+.2f}", f"{_PAIR_WITHIN:g} mm"
            yield Finding(Severity.WARNING, "TRACE-PAIR", f"trace.{field}", value, limit, _COMMON, sentence)
    worst = _mirror_difference(frame_trace)
    if worst > _MIRROR_WITHIN:
        sentence = (
            f"The left shape differs from the mirrored right one by up to {worst:.2f} mm. "
            f"Check that one side was not traced twice or swapped."
        )
        limit = f"{_MIRROR_WITHIN:g} mm"
        yield Finding(Severity.WARNING, "TRACE-MIRROR", "trace", f"{worst:.2f}", limit, _COMMON, sentence)


def _mirror_difference(frame_trace: FrameTrace) -> float:
    """Give the worst radial difference of the left shape and the mirrored right one, boxed centre on boxed centre."""
    points = frame_trace.right.points * np.array([-1.0, 1.0])
    return max(_worst_radial(points, frame_trace.left.points), _worst_radial(frame_trace.left.points, points))


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


def _against_marked(field: str, name: str, value: float, marked: float | None) -> Iterator[Finding]:
    """Compare a measured size with what is marked on the frame."""
    if marked is not None and abs(value - marked) > _CATALOGUE_WITHIN:
        sentence = (
            f"The catalogue says {name} {marked:g} mm, but the trace has {value:.1f} mm. "
            f"Check that this trace belongs to this frame."
        )
        limit = f"{_CATALOGUE_WITHIN:g} mm"
        yield Finding(Severity.WARNING, "TRACE-CATALOGUE", field, f"{value:.2f}", limit, _COMMON, sentence)
