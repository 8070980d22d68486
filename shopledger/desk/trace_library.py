"""All traces together: listed, compared, searched for the nearest shapes, taken over for another colour, checked."""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Final

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.desk.tracing import TraceKept, measured_again, stored_trace
from shopledger.errors import RefusedError
from shopledger.exchange.svg_file import Overlay, write_overlay
from shopledger.exchange.trace_file import read_shapes
from shopledger.files.replacing import DRAWING
from shopledger.files.writing import write_whole
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.alignment import Alignment
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.likeness import SAME_WITHIN, Likeness, likeness, overlaid
from shopledger.optics.nearest_shapes import NearestShapes
from shopledger.optics.trace import FrameTrace

if TYPE_CHECKING:
    from shopledger.store.traces import Traces
    from shopledger.store.work import UnitOfWork

_COMMON: Final = "common practice, no source"
_GAUGED_AT_ONCE: Final = 32
"""So many shapes fit into a processor's own memory while they are gauged."""
_LAID_AT_ONCE: Final = 8
"""How many shapes are fetched whole at a time."""
_ADOPTED: Final = re.compile(r"trace \d+ of [A-Z0-9-]+: ")
_FACTORS: Final = (50.0, 20.0, 10.0, 5.0, 2.0)
_MOST_DRAWN: Final = 8.0
"""How far a drawn difference may leave the outline. [mm]"""
_ANY_BRIDGE: Final = 18.0
"""Stands for a bridge that a file does not say, where only shapes are compared. [mm]"""


@dataclass(frozen=True, slots=True)
class ListedTrace:
    """A stored trace with its provenance and the figures of its right eye."""

    number: int
    frame_code: str
    origin: TraceOrigin
    dbl: float
    count: int
    right: Boxed
    operator: str
    recorded_at: str
    newest: bool


@dataclass(frozen=True, slots=True)
class NamedShape:
    """A shape with the name by which it was asked for; the bridge is None where nothing says it."""

    name: str
    shape: FrameTrace
    dbl: float | None
    frame_code: str = ""
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """How two frames' shapes lie on each other, and within which distance they count as the same."""

    one: NamedShape
    other: NamedShape
    likeness: Likeness
    within: float

    @property
    def same(self) -> bool:
        """Whether it is the same frame, by its shapes."""
        return self.likeness.same(self.within)

    @property
    def swapped(self) -> bool:
        """Whether right and left look swapped."""
        return self.likeness.swapped(self.within)

    @property
    def dbl_difference(self) -> float | None:
        """How much wider the other one's bridge is in mm, where both are known."""
        return None if self.one.dbl is None or self.other.dbl is None else self.other.dbl - self.one.dbl


@dataclass(frozen=True, slots=True)
class NearTrace:
    """A stored trace near the wanted shape, its frame in words, and how its right eye lies on the wanted one."""

    number: int
    frame_code: str
    description: str
    alignment: Alignment


@dataclass(frozen=True, slots=True)
class TraceCheck:
    """The frames whose newest trace disagrees with the catalogue, and how many were looked at."""

    disagreeing: tuple[TraceKept, ...]
    checked: int
    untraced: int


@dataclass(frozen=True, slots=True)
class UntracedFrame:
    """A frame without a shape, and the same one in another colour that has one, where there is one."""

    frame: Frame
    kin: Frame | None


def list_traces(desk: Desk, frame_code: str = "") -> tuple[ListedTrace, ...]:
    """List all traces, or those of one frame, oldest first."""
    with desk.reading() as work:
        code = work.catalogue.frame(frame_code).code if frame_code else ""
        newest: dict[str, int] = {}
        listed: list[ListedTrace] = []
        for kept in work.traces.kept(code):
            trace = kept.trace
            number, right = trace.number or 0, trace.shape.right
            newest[trace.frame_code] = number
            listed.append(
                ListedTrace(
                    number,
                    trace.frame_code,
                    trace.origin,
                    trace.shape.dbl,
                    right.count,
                    box(right),
                    kept.operator,
                    kept.recorded_at,
                    newest=False,
                )
            )
    return tuple(replace(each, newest=each.number == newest[each.frame_code]) for each in listed)


def compare_traces(desk: Desk, one: str, other: str, within: float = SAME_WITHIN) -> Comparison:
    """Lay one shape on another; each is named by a frame's code, a trace's number or a file."""
    if not 0 < within <= 10:
        raise RefusedError("within", f"{within:g} mm", "it is above 0 and at most 10 mm", "Usual is 0.3.")
    with desk.reading() as work:
        first, second = _named(work, one), _named(work, other)
    return Comparison(first, second, likeness(first.shape, second.shape), within)


def draw_comparison(found: Comparison, target: Path, times: float | None = None) -> Path:
    """Draw both frames' shapes on each other as SVG, with their difference made larger by a factor.

    Where no factor is given, it is the largest usual one that leaves the difference smaller than a lens.
    """
    factor = _usual_factor(found.likeness.worst) if times is None else times
    if not 1 <= factor <= 100:
        hint = "Leave it out for a factor that suits the shapes."
        raise RefusedError("times", f"{factor:g}", "the difference is drawn 1 to 100 times as large", hint)
    right, left = (
        Overlay(still.tolist(), laid.tolist()) for still, laid in overlaid(found.one.shape, found.other.shape)
    )
    title = f"{found.other.name} on {found.one.name}"
    worst, mean = found.likeness.worst, found.likeness.mean
    words = (
        f"{found.one.name} (full line), {found.other.name} (dashed)",
        f"difference drawn {factor:g} times (dotted); worst {worst:.2f} mm, mean {mean:.2f} mm",
    )
    return write_whole(write_overlay(right, left, title, factor, words).encode("utf-8"), target, DRAWING)


def nearest_traces(desk: Desk, wanted: str, limit: int = 5) -> tuple[NearTrace, ...]:
    """Give the stored traces of other frames whose right eye lies nearest to the wanted one's; exact, nearest first.

    The library is read once as a stream, a few dozen shapes at a time, and only the shapes that may still be among the
    nearest are fetched again.
    """
    if limit < 1:
        raise RefusedError("limit", limit, "at least one shape is looked for", "Give 1 or more.")
    with desk.reading() as work:
        named = _named(work, wanted)
        search = NearestShapes(named.shape.right, limit)
        _offer_in_turn(work.traces, search, _in_turn(work.traces, search, named.frame_code))
        found = work.traces.some([near.key for near in search.found])
        frames = work.catalogue.some_frames(trace.frame_code for trace in found.values())
    return tuple(
        NearTrace(near.key, frame.code, frame.description, near.alignment)
        for near in search.found
        for frame in [frames[found[near.key].frame_code]]
    )


def plan_adoption(desk: Desk, source: str, target: str, number: int | None = None) -> TraceKept:
    """Take a frame's trace over for another frame, without storing it: checked, and asked about where they differ."""
    given = stored_trace(desk, source, number).stored
    with desk.reading() as work:
        here, there = work.catalogue.frame(source), work.catalogue.frame(target)
    if here.code == there.code:
        raise RefusedError("frame", there.code, "it has this trace already", "Name another colour of the model.")
    file_name = f"trace {given.number} of {here.code}: {_ADOPTED.sub('', given.origin.file_name)}"
    origin = replace(given.origin, file_name=file_name[:120].rstrip())
    plan = measured_again(there, replace(given, frame_code=there.code, origin=origin, number=None))
    return replace(plan, findings=(*_unlike(here, there), *plan.findings))


def adopt_trace(
    desk: Desk, source: str, target: str, accept: frozenset[str] = frozenset(), number: int | None = None
) -> TraceKept:
    """Store a frame's trace for another colour of the same model; its origin names where it was taken from."""
    plan = plan_adoption(desk, source, target, number)
    accepted_warnings(plan.findings, accept)
    with desk.writing() as work:
        stored = work.traces.add(plan.stored)
    return replace(plan, stored=stored)


def trace_numbered(desk: Desk, number: int) -> TraceKept:
    """Give a trace by its number, measured again from its radii."""
    with desk.reading() as work:
        trace = work.traces.get(number)
        return measured_again(work.catalogue.frame(trace.frame_code), trace)


def untraced_frames(desk: Desk) -> tuple[UntracedFrame, ...]:
    """Give the frames without a shape, each with the same frame in another colour that has one."""
    with desk.reading() as work:
        frames = work.catalogue.frames()
        traced = work.traces.traced(frame.code for frame in frames)
        shaped = {_but_colour(frame): frame for frame in frames if frame.code in traced}
        return tuple(
            UntracedFrame(frame, shaped.get(_but_colour(frame))) for frame in frames if frame.code not in traced
        )


def _but_colour(frame: Frame) -> str:
    return replace(frame, colour="any").description.casefold()


def check_traces(desk: Desk) -> TraceCheck:
    """Measure every frame's newest trace again, and give those that disagree with the catalogue."""
    disagreeing: list[TraceKept] = []
    checked = 0
    with desk.reading() as work:
        frames = {frame.code: frame for frame in work.catalogue.frames()}
        for trace in work.traces.newest_of_all():
            checked += 1
            kept = measured_again(frames[trace.frame_code], trace)
            if any(finding.code == "TRACE-CATALOGUE" for finding in kept.findings):
                disagreeing.append(kept)
    return TraceCheck(tuple(disagreeing), checked, len(frames) - checked)


# ---------------------------------------------------------------- what a name means


def _named(work: UnitOfWork, text: str) -> NamedShape:
    """Find a shape: a name with a dot or a slash is a file, a number is a trace's, anything else is a frame's code."""
    if "." in text or "/" in text or "\\" in text:
        read = read_shapes(Path(text))
        shape = FrameTrace(read.right, read.left, _ANY_BRIDGE if read.dbl is None else read.dbl)
        name = "".join(letter if letter.isprintable() else "?" for letter in Path(text).name)
        return NamedShape(name, shape, read.dbl)
    trace = work.traces.get(int(text)) if re.fullmatch("[0-9]{1,9}", text) else _newest(work, text)
    name = f"{trace.frame_code}, trace {trace.number}"
    return NamedShape(name, trace.shape, trace.shape.dbl, trace.frame_code, trace.number)


def _newest(work: UnitOfWork, frame_code: str) -> StoredTrace:
    frame = work.catalogue.frame(frame_code)
    trace = work.traces.newest(frame.code)
    if trace is None:
        hint = f"Add its file with 'shopledger trace add {frame.code} FILE'. A file is named with its ending."
        raise RefusedError("trace", f"missing for {frame.code}", "this frame has not been traced", hint)
    return trace


def _usual_factor(worst: float) -> float:
    return next((factor for factor in _FACTORS if factor * worst <= _MOST_DRAWN), 1.0)


# ---------------------------------------------------------------- the nearest


def _in_turn(traces: Traces, search: NearestShapes, without: str) -> list[tuple[float, int]]:
    """Gauge the whole library; gives bound and number of every other frame's traces, least bound first."""
    numbers, bounds = array("q"), array("d")
    eyes = (eye for eye in traces.right_eyes() if eye.frame_code != without)
    while together := list(islice(eyes, _GAUGED_AT_ONCE)):
        numbers.extend(eye.number for eye in together)
        bounds.extend(search.bounds([eye.radii for eye in together]))
    return sorted(zip(bounds, numbers, strict=True))


def _offer_in_turn(traces: Traces, search: NearestShapes, turn: list[tuple[float, int]]) -> None:
    """Hand over the shapes in the order of their bounds, until none can be near enough any more."""
    for start in range(0, len(turn), _LAID_AT_ONCE):
        together = [
            number for bound, number in turn[start : start + _LAID_AT_ONCE] if bound < inf and bound <= search.reach
        ]
        if not together:
            return
        for number, trace in traces.some(together).items():
            search.offer(number, trace.shape.right)


# ---------------------------------------------------------------- another colour


def _unlike(here: Frame, there: Frame) -> Iterator[Finding]:
    """Ask where the frame is no other colour of the same model and size."""
    if (here.maker.casefold(), here.model.casefold()) != (there.maker.casefold(), there.model.casefold()):
        one, other = f"{here.maker} {here.model}", f"{there.maker} {there.model}"
        sentence = f"{here.code} is {one}, and {there.code} is {other}. Check that their shape is the same."
        yield Finding(Severity.WARNING, "ADOPT-MODEL", "trace", other, one, _COMMON, sentence)
    if (here.eye_size, here.bridge) != (there.eye_size, there.bridge):
        one, other = f"{here.eye_size:g}-{here.bridge:g}", f"{there.eye_size:g}-{there.bridge:g}"
        sentence = f"{here.code} is marked {one}, and {there.code} {other}. A size of its own has a shape of its own."
        yield Finding(Severity.WARNING, "ADOPT-SIZE", "trace", other, one, _COMMON, sentence)
