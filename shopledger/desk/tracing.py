"""Keeping a frame's traced shape: read from the tracer's file, checked, compared with the catalogue, stored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.acceptance import settled
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.exchange.trace_file import ReadTrace, read_trace_file, write_trace_file
from shopledger.files import written_whole
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.optics import trace_checks
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.findings import Finding, Severity
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
    """Read and check a trace file against the frame, without storing it."""
    with desk.reading() as work:
        frame = work.catalogue.frame(frame_code)
    return _measured(frame, read_trace_file(file), file, device, desk.day(traced_on, "day of tracing"))


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
    settled(plan.findings, accept)
    with desk.writing() as work:
        stored = work.traces.add(plan.stored)
    return TraceKept(stored, plan.right, plan.left, plan.findings)


def stored_trace(desk: Desk, frame_code: str) -> TraceKept:
    """Give a frame's newest trace, measured again from its radii."""
    with desk.reading() as work:
        frame = work.catalogue.frame(frame_code)
        trace = work.traces.newest(frame.code)
    if trace is None:
        raise RefusedError(
            "trace",
            f"missing for {frame.code}",
            "this frame has not been traced",
            f"Add the tracer's file with 'shopledger trace add {frame.code} FILE'.",
        )
    return _figures(frame, trace)


def write_trace(desk: Desk, frame_code: str, target: Path, job: str = "") -> Path:
    """Write a frame's newest trace as a file that an edger or a lab can read."""
    kept = stored_trace(desk, frame_code)
    text = write_trace_file(
        kept.stored.shape, figures_of(kept), job=job or frame_code, other_records=kept.stored.other_records
    )
    with written_whole(target) as beside:
        beside.write_bytes(text.encode("utf-8"))
    return target


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


def _measured(frame: Frame, read: ReadTrace, file: Path, device: str, traced_on: date) -> TraceKept:
    shape = FrameTrace(read.right, read.left, frame.bridge if read.dbl is None else read.dbl)
    origin = TraceOrigin(file.name, read.sha256, traced_on, device)
    kept = _figures(frame, StoredTrace(frame.code, shape, origin, read.stated, read.other_records))
    return replace(kept, findings=(*kept.findings, *_filled_in(frame, read)))


def _filled_in(frame: Frame, read: ReadTrace) -> Iterator[Finding]:
    """Tell what the file does not hold and where it was taken from."""
    if read.mirrored:
        sentence = "Only one eye is in the file; the other shape is its mirror image. Compare it with the frame."
        yield Finding(Severity.NOTE, "TRACE-ONE-EYE", "trace", "one eye", "both eyes", _COMMON, sentence)
    if read.dbl is None:
        sentence = f"The file does not say the distance between lenses; the catalogue's {frame.bridge:g} mm is taken."
        yield Finding(Severity.NOTE, "DBL-FROM-CATALOGUE", "dbl", f"{frame.bridge:g}", "", _COMMON, sentence)


def _figures(frame: Frame, trace: StoredTrace) -> TraceKept:
    right, left = (_stated(trace.stated, place) for place in (0, 1))
    findings = trace_checks.check_frame_trace(trace.shape, right, left, frame.eye_size, frame.bridge)
    return TraceKept(trace, box(trace.shape.right), box(trace.shape.left), findings)


def _stated(stated: StatedFigures, place: int) -> trace_checks.StatedFigures:
    return trace_checks.StatedFigures(
        a=stated.a[place], b=stated.b[place], ed=stated.ed[place], circumference=stated.circumference[place]
    )
