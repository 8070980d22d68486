"""Keeping a frame's traced shape: read from a file, checked against catalogue and earlier traces, stored, drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.exchange.shapes import ReadTrace
from shopledger.exchange.svg_file import LensMarks, write_svg
from shopledger.exchange.trace_file import read_shapes, write_trace_file
from shopledger.files.replacing import DRAWING, records_of
from shopledger.files.writing import write_whole
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.optics import trace_checks
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.centring import decentration, vertical_offset
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.fitting import minimum_blank
from shopledger.optics.likeness import SAME_WITHIN, likeness
from shopledger.optics.measurements import Measurements
from shopledger.optics.refusals import TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace

_COMMON: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class TraceKept:
    """A trace with its measured figures and what was found on it."""

    stored: StoredTrace
    right: Boxed
    left: Boxed
    findings: tuple[Finding, ...]


def plan_trace(desk: Desk, frame_code: str, file: Path, device: str = "", traced_on: date | None = None) -> TraceKept:
    """Read and check a file against the frame and its newest trace, without storing it."""
    with desk.reading() as work:
        frame = work.catalogue.frame(frame_code)
        earlier = work.traces.newest(frame.code)
    plan = _measured(frame, read_shapes(file), file, device, desk.day(traced_on, "day of tracing"))
    return replace(plan, findings=(*plan.findings, *_against(earlier, plan.stored)))


def keep_trace(
    desk: Desk,
    frame_code: str,
    file: Path,
    device: str = "",
    accept: frozenset[str] = frozenset(),
    traced_on: date | None = None,
) -> TraceKept:
    """Store a frame's trace; errors and unaccepted warnings stop it. Earlier traces of the frame are kept too."""
    plan = plan_trace(desk, frame_code, file, device, traced_on)
    accepted_warnings(plan.findings, accept)
    with desk.writing() as work:
        stored = work.traces.add(plan.stored)
    return TraceKept(stored, plan.right, plan.left, plan.findings)


def stored_trace(desk: Desk, frame_code: str, number: int | None = None) -> TraceKept:
    """Give a frame's newest trace, or the one with that number, measured again from its radii."""
    with desk.reading() as work:
        frame = work.catalogue.frame(frame_code)
        trace = work.traces.newest(frame.code) if number is None else work.traces.get(number)
    if trace is not None and trace.frame_code != frame.code:
        hint = f"See its own with 'shopledger trace list {frame.code}'."
        raise RefusedError("trace", number, f"it is a trace of {trace.frame_code}, not of {frame.code}", hint)
    if trace is None:
        raise RefusedError(
            "trace",
            f"missing for {frame.code}",
            "this frame has not been traced",
            f"Add the tracer's file with 'shopledger trace add {frame.code} FILE'.",
        )
    return measured_again(frame, trace)


def newest_shapes(desk: Desk, frame_codes: Iterable[str]) -> dict[str, FrameTrace]:
    """Give the newest shape of each of these frames that was traced, by the frame's code."""
    with desk.reading() as work:
        found = ((code, work.traces.newest(code)) for code in sorted(work.traces.traced(frame_codes)))
        return {code: trace.shape for code, trace in found if trace is not None}


def write_trace(desk: Desk, frame_code: str, target: Path, job: str = "", number: int | None = None) -> Path:
    """Write a frame's newest trace, or the one with that number, as a file that an edger or a lab can read."""
    kept = stored_trace(desk, frame_code, number)
    text = write_trace_file(
        kept.stored.shape, figures_of(kept), job=job or frame_code, other_records=kept.stored.other_records
    )
    body = text.encode("utf-8")
    return write_whole(body, target, records_of("trace file", body))


def draw_trace(
    desk: Desk,
    frame_code: str,
    target: Path,
    measurements: Measurements | None = None,
    blank: float | None = None,
    number: int | None = None,
) -> Path:
    """Draw a frame at full size as SVG; where measurements are given, with optical centres and blanks about them.

    The smallest blank that would do is drawn with the shop's own allowance.
    """
    kept = stored_trace(desk, frame_code, number)
    with desk.reading() as work:
        allowance = work.shop.settings().blank_allowance
    if measurements is None and blank is not None:
        raise RefusedError(
            "blank", f"{blank:g} mm", "it stands about the optical centre, which needs a PD", "Give a PD."
        )
    right, left = (_marks(kept, side, measurements, blank, allowance) for side in Side)
    title = f"{kept.stored.frame_code}, trace {kept.stored.number}"
    return write_whole(write_svg(kept.stored.shape, title, right, left).encode("utf-8"), target, DRAWING)


def figures_of(kept: TraceKept) -> StatedFigures:
    """Give the measured figures in the form in which a file states them."""
    right, left = kept.right, kept.left
    return StatedFigures(
        a=(right.a, left.a),
        b=(right.b, left.b),
        dbl=kept.stored.shape.dbl,
        ed=(right.ed, left.ed),
        circumference=(right.circumference, left.circumference),
    )


def measured_again(frame: Frame, trace: StoredTrace) -> TraceKept:
    """Measure a trace from its radii, and check it against its frame and against what its file stated."""
    right, left = (_stated(trace.stated, place) for place in (0, 1))
    findings = trace_checks.check_frame_trace(trace.shape, right, left, frame.eye_size, frame.bridge)
    return TraceKept(trace, box(trace.shape.right), box(trace.shape.left), findings)


def _marks(
    kept: TraceKept, side: Side, measurements: Measurements | None, blank: float | None, allowance: float
) -> LensMarks | None:
    """Place the optical centre of one lens."""
    if measurements is None:
        return None
    boxed, eye = (kept.right if side is Side.RIGHT else kept.left), measurements.eye(side)
    up = 0.0 if eye.fitting_height is None else vertical_offset(eye.fitting_height, boxed.b)
    inward = decentration(boxed.a, kept.stored.shape.dbl, eye.mono_pd)
    return LensMarks(inward, up, blank, minimum_blank(kept.stored.shape.eye(side), inward, up, allowance))


def _measured(frame: Frame, read: ReadTrace, file: Path, device: str, traced_on: date) -> TraceKept:
    shape = FrameTrace(read.right, read.left, frame.bridge if read.dbl is None else read.dbl)
    origin = TraceOrigin(file.name, read.sha256, traced_on, device)
    kept = measured_again(frame, StoredTrace(frame.code, shape, origin, read.stated, read.other_records))
    return replace(kept, findings=(*kept.findings, *_filled_in(frame, read)))


def _filled_in(frame: Frame, read: ReadTrace) -> Iterator[Finding]:
    """Tell what the file does not hold and where it was taken from."""
    if read.mirrored:
        sentence = "Only one eye is in the file; the other shape is its mirror image. Compare it with the frame."
        yield Finding(Severity.NOTE, "TRACE-ONE-EYE", "trace", "one eye", "both eyes", _COMMON, sentence)
    if read.dbl is None:
        sentence = f"The file does not say the distance between lenses; the catalogue's {frame.bridge:g} mm is taken."
        yield Finding(Severity.NOTE, "DBL-FROM-CATALOGUE", "dbl", f"{frame.bridge:g}", "", _COMMON, sentence)


def _against(earlier: StoredTrace | None, now: StoredTrace) -> Iterator[Finding]:
    """Ask about a shape that is not the one that was traced before."""
    if earlier is None:
        return
    try:
        found = likeness(earlier.shape, now.shape)
    except TraceError:
        return
    value, limit, which = f"{found.worst:.2f}", f"{SAME_WITHIN:g} mm", f"trace {earlier.number}"
    if found.swapped():
        sentence = f"Right and left lie as left and right did in {which}. Check that the sides are not swapped."
        yield Finding(Severity.WARNING, "TRACE-SWAPPED", "trace", f"{found.straight:.2f}", limit, _COMMON, sentence)
    elif not found.same():
        sentence = (
            f"The shape differs from {which} of this frame by up to {found.worst:.2f} mm. "
            f"Check that it is the same frame."
        )
        yield Finding(Severity.WARNING, "TRACE-UNLIKE-EARLIER", "trace", value, limit, _COMMON, sentence)


def _stated(stated: StatedFigures, place: int) -> trace_checks.StatedFigures:
    return trace_checks.StatedFigures(
        a=stated.a[place], b=stated.b[place], ed=stated.ed[place], circumference=stated.circumference[place]
    )
