"""What can be wrong with a traced shape: spikes, jumps, absurd sizes, unlike sides, or another frame's shape."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopledger.optics.boxing import Boxed, box
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.likeness import mirror_difference
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.optics.trace_breaks import Break, breaks

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
        What was found, gravest first; nothing for a clean shape.

    References
    ----------
    [common_practice]_ for the limits
    """
    boxed = box(trace)
    found = [*(_broken(trace, each) for each in breaks(trace)), *_sizes(trace.side.value, boxed)]
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
        What was found, gravest first.

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


def _broken(trace: Trace, broken: Break) -> Finding:
    """Say where a shape is broken."""
    angle = broken.at * 360 / trace.count
    sentence = (
        f"In the {trace.side.value} trace {broken.words} at {angle:.1f} degrees. "
        f"Clean the tracer's stylus and trace again."
    )
    value, limit = f"{trace.radii[broken.at]:.2f}", f"{broken.allowed:.2f} mm"
    return Finding(Severity.ERROR, broken.code, f"{trace.side.value}.trace", value, limit, _COMMON, sentence)


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
    worst = mirror_difference(frame_trace)
    if worst > _MIRROR_WITHIN:
        sentence = (
            f"The left shape differs from the mirrored right one by up to {worst:.2f} mm. "
            f"Check that one side was not traced twice or swapped."
        )
        limit = f"{_MIRROR_WITHIN:g} mm"
        yield Finding(Severity.WARNING, "TRACE-MIRROR", "trace", f"{worst:.2f}", limit, _COMMON, sentence)


def _against_marked(field: str, name: str, value: float, marked: float | None) -> Iterator[Finding]:
    """Compare a measured size with what is marked on the frame."""
    if marked is not None and abs(value - marked) > _CATALOGUE_WITHIN:
        sentence = (
            f"The catalogue says {name} {marked:g} mm, but the trace has {value:.1f} mm. "
            f"Check that this trace belongs to this frame."
        )
        limit = f"{_CATALOGUE_WITHIN:g} mm"
        yield Finding(Severity.WARNING, "TRACE-CATALOGUE", field, f"{value:.2f}", limit, _COMMON, sentence)
