"""Trace files: a frame's shape in the trade's Data Communication Standard, as text, both ways.

Only what is plain text is read and written: format 1 (absolute radii in hundredths of a millimetre, written as whole
numbers), equal angles, one data set per eye, type F for a frame. Formats 2 to 4 are binary and refused by name.

The standard's body (ISO 16284; ANSI Z80.24) could not be read for this. The labels, the meaning of the five fields of
TRCFMT beyond a published sample, the start at 3 o'clock and the direction counter-clockwise for who faces the wearer,
and that FED and CIRC are the effective diameter and the circumference, are from memory; only the start and the
direction were seen in print. So what a file states of its shape is kept beside the shape and compared, never trusted.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NoReturn, TypeVar

from shopledger.errors import OpticsError, RefusedError
from shopledger.exchange.records import Record, label_of, open_records, records_of, shown, word_for_word
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.shapes import ReadTrace, mirrored_to_both, stated_crosswise, traced_twice
from shopledger.exchange.trace_csv import read_trace_csv
from shopledger.ledger.private_numbers import private_number
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.sides import Side
from shopledger.optics.trace import LONGEST_RADIUS, SHORTEST_RADIUS, FrameTrace, Trace
from shopledger.optics.trace_breaks import breaks

_T = TypeVar("_T")

_OTHER_FORMATS: Final = {
    "0": "says that it holds no trace (format 0)",
    "2": "is in format 2, binary absolute",
    "3": "is in format 3, binary differential",
    "4": "is in format 4, packed binary",
}
_OTHER_TYPES: Final = {"P": "a pattern", "L": "a lens", "D": "a demo lens"}
"""What else was traced, as far as the letters are known (L and D from memory, not certain)."""
_SIDES: Final = {"R": Side.RIGHT, "L": Side.LEFT}
_FIGURES: Final = {"HBOX": 150.0, "VBOX": 150.0, "FED": 150.0, "CIRC": 450.0}
"""What a file may state of each shape, with a size that no lens reaches. [mm]"""
_KEPT_LABELS: Final = """
    FTYP FMAT ETYP FCRV ZTILT PANTO CSIZ FRNT TEMPLE CTEMP ZFMT Z A BEVP BEVM BEVC GDEPTH GWIDTH DRILL DRILLE DRILLFMT
    PINB FPINB MPINB DEV VEN MODEL SN SWVER TRCMODE
"""
_OF_SHAPE: Final = frozenset(_KEPT_LABELS.split())
"""Labels of a frame, its edge and holes, its depths, and the device that measured them (from memory). Nothing else is
kept or sent on: other records may hold somebody's name and birthday, a lens, a job, or, where a maker made them up,
anything."""

_WHOLE: Final = re.compile(r"[0-9]{1,6}")
_NUMBER: Final = re.compile(r"[0-9]{1,5}(\.[0-9]*)?")
_PER_LINE: Final = 10
_AGAIN: Final = "Export the trace again from the tracer."


@dataclass(slots=True)
class _DataSet:
    """One eye's radii while they are gathered, each with the line in which it stands."""

    side: Side
    count: int
    started: Record
    ended: int
    hundredths: list[int]
    lines: list[int]


def read_shapes(file: Path) -> ReadTrace:
    """Read both eyes' shapes from any file: a name that ends in .csv is a table, any other a file of the standard."""
    return read_trace_csv(file) if file.suffix.casefold() == ".csv" else read_trace_file(file)


def read_trace_file(source: Path | str) -> ReadTrace:
    """Read a trace file, given by its path or as its text.

    Anything that is cut short, no number or no lens shape is refused with its line and what to do.
    """
    opened = open_records(source)
    records = _readable(opened.file, records_of(opened))
    sets = _data_sets(opened.file, records)
    shapes = {data.side: _shape(opened.file, data) for data in sets}
    if not shapes:
        raise FileRefusedError(opened.file, None, "it holds no trace (no TRCFMT record)", "Choose the tracer's file.")
    right, left = mirrored_to_both(opened.file, shapes)
    stated = _stated(opened.file, records)
    if len(shapes) > 1:
        _hold_apart(opened.file, records, sets[-1].started, (right, left), stated)
    others = tuple(_of_shape(word_for_word(record.raw) for record in records))
    return ReadTrace(right, left, stated.dbl, stated, others, opened.sha256, mirrored=len(shapes) == 1)


def write_trace_file(shape: FrameTrace, stated: StatedFigures, job: str = "", other_records: Sequence[str] = ()) -> str:
    """Write both shapes as a trace file, with lines ended as the standard asks (CR LF).

    `stated` are the figures measured from the radii; of other records only those of the frame and its device go out.
    """
    kept = _of_shape(other_records)
    lines = [f"JOB={_job(job)}"] if job else []
    lines += [*_radii_lines("R", shape.right), *_radii_lines("L", shape.left)]
    for label, both in (("HBOX", stated.a), ("VBOX", stated.b), ("FED", stated.ed), ("CIRC", stated.circumference)):
        if both != (None, None):
            lines.append(f"{label}={';'.join(_written(value) for value in both)}")
    lines.append(f"DBL={_written(shape.dbl)}")
    return "".join(f"{line}\r\n" for line in [*lines, *kept])


def _of_shape(records: Iterable[str]) -> Iterator[str]:
    """Give the records that describe the frame and its device, and hold nothing that is kept nowhere."""
    for record in records:
        if label_of(record) in _OF_SHAPE and record.isprintable() and not private_number(record.partition("=")[2]):
            yield record


# ---------------------------------------------------------------- reading


def _readable(file: str, found: Iterable[Record]) -> list[Record]:
    """List the records; a format that is not text is refused before its radii are looked at."""
    records: list[Record] = []
    for record in found:
        if record.label == "TRCFMT" and record.fields[0] in _OTHER_FORMATS:
            hint = "Set the tracer to export text: format 1, ASCII absolute, equal angles."
            raise FileRefusedError(file, record.line, f"the trace {_OTHER_FORMATS[record.fields[0]]}", hint)
        records.append(record)
    return records


def _data_sets(file: str, records: Iterable[Record]) -> list[_DataSet]:
    """Gather each eye's radii from the records that follow its TRCFMT."""
    sets: list[_DataSet] = []
    for record in records:
        if record.label == "TRCFMT":
            sets.append(_started(file, record, sets))
        elif record.label == "R":
            if not sets:
                raise FileRefusedError(file, record.line, "radii come before any TRCFMT record", _AGAIN)
            radii = _radii(file, record)
            sets[-1].hundredths += radii
            sets[-1].lines += [record.line] * len(radii)
            sets[-1].ended = record.line
    return sets


def _started(file: str, record: Record, sets: Iterable[_DataSet]) -> _DataSet:
    """Read the five fields that announce an eye's radii."""

    def refuse(reason: str, hint: str = _AGAIN) -> NoReturn:
        raise FileRefusedError(file, record.line, reason, hint)

    fields = [*record.fields, "", "", "", ""][:5]
    form, count, mode, side, kind = fields[0], fields[1], *(field.upper() for field in fields[2:])
    if form != "1":
        refuse(f"'{shown(form)}' is no trace format", "Format 1, ASCII absolute, is read.")
    if not _WHOLE.fullmatch(count):
        refuse(f"'{shown(count)}' is no count of radii", "The second field of TRCFMT says how many radii follow.")
    if mode != "E":
        what = "the angles are uneven (mode U)" if mode == "U" else f"'{shown(mode)}' is no mode of angles"
        refuse(what, "Set the tracer to equal angles (mode E).")
    if side not in _SIDES:
        refuse(f"'{shown(side)}' is no side", "A data set is for R or L; export both eyes.")
    if kind != "F":
        named = f", {_OTHER_TYPES[kind]}" if kind in _OTHER_TYPES else ""
        refuse(f"the type is '{shown(kind)}'{named}; only a traced frame (F) is read", "Trace the frame itself.")
    if any(data.side is _SIDES[side] for data in sets):
        refuse(f"the {_SIDES[side].value} eye stands in the file twice", "Keep one data set for each eye.")
    return _DataSet(_SIDES[side], int(count), record, record.line, [], [])


def _radii(file: str, record: Record) -> list[int]:
    """Read one line of radii; a semicolon at its end is allowed."""
    fields = record.fields[:-1] if record.fields[-1] == "" else record.fields
    for field in fields:
        if not _WHOLE.fullmatch(field):
            reason = f"'{shown(field)}' is no radius"
            raise FileRefusedError(file, record.line, reason, "Radii are whole hundredths of a millimetre, as in 2397.")
    return [int(field) for field in fields]


def _shape(file: str, data: _DataSet) -> Trace:
    """Make an eye's trace, once all its radii are there."""
    got = len(data.hundredths)
    if got != data.count:
        what = "is cut short" if got < data.count else "has too many radii"
        reason = f"the {data.side.value} shape {what}: {got} radii, and line {data.started.line} announces {data.count}"
        raise FileRefusedError(file, data.ended, reason, "Copy the whole file again from the tracer, or trace again.")
    _possible(file, data)
    try:
        shape = Trace(data.side, tuple(data.hundredths))
    except OpticsError as error:
        reason = getattr(error, "reason", str(error))
        refusal = f"the {data.side.value} shape is no lens shape: {reason}"
        raise FileRefusedError(file, data.started.line, refusal, getattr(error, "hint", _AGAIN)) from error
    for broken in breaks(shape):
        angle = broken.at * 360 / data.count
        reason = f"in the {data.side.value} shape {broken.words} at {angle:.1f} degrees"
        raise FileRefusedError(file, data.lines[broken.at], reason, "Clean the tracer's stylus and trace again.")
    return shape


def _possible(file: str, data: _DataSet) -> None:
    """Refuse a radius that no lens has, by its own line."""
    for place, hundredths in enumerate(data.hundredths):
        if not SHORTEST_RADIUS <= hundredths / 100 <= LONGEST_RADIUS:
            reason = (
                f"the {data.side.value} radius at {place * 360 / data.count:.1f} degrees is {hundredths / 100:.2f} mm; "
                f"possible is {SHORTEST_RADIUS:g} to {LONGEST_RADIUS:g} mm"
            )
            hint = "Check the tracer's unit (hundredths of a millimetre), or trace again."
            raise FileRefusedError(file, data.lines[place], reason, hint)


def _hold_apart(
    file: str, records: Iterable[Record], second: Record, shapes: tuple[Trace, Trace], stated: StatedFigures
) -> None:
    """Refuse two eyes of which one is not what it says it is."""
    reason = traced_twice(*shapes)
    if reason:
        raise FileRefusedError(file, second.line, reason, "Trace both sides, or export the one eye alone.")
    reason = stated_crosswise(*shapes, stated)
    if reason:
        line = next((record.line for record in records if record.label in _FIGURES), None)
        raise FileRefusedError(file, line, reason, "Export again with the right eye as R and the left eye as L.")


def _stated(file: str, records: Sequence[Record]) -> StatedFigures:
    """Read what the file says of the shape."""
    both = {label: _two(file, records, label) for label in _FIGURES}
    return StatedFigures(both["HBOX"], both["VBOX"], _dbl(file, records), both["FED"], both["CIRC"])


def _two(file: str, records: Iterable[Record], label: str) -> tuple[float | None, float | None]:
    """Read a figure for right and left; one that stands twice must say the same."""
    found: tuple[float | None, float | None] = (None, None)
    for record in (record for record in records if record.label == label):
        right, left, *_ = (*record.given, None)
        read = (_figure(file, record, right, _FIGURES[label]), _figure(file, record, left, _FIGURES[label]))
        found = _once(file, record, found, read, (None, None))
    return found


def _dbl(file: str, records: Iterable[Record]) -> float | None:
    """Read the distance between lenses, which is one number for both eyes."""
    found: float | None = None
    for record in (record for record in records if record.label == "DBL"):
        read = _figure(file, record, record.given[0], 40.0, 5.0)
        found = _once(file, record, found, read, None)
    return found


def _once(file: str, record: Record, before: _T, now: _T, nothing: _T) -> _T:
    if before not in (nothing, now):
        reason = f"{record.label} stands in the file twice with different values"
        raise FileRefusedError(file, record.line, reason, "Keep the right one.")
    return now


def _figure(file: str, record: Record, field: str | None, most: float, least: float = 1.0) -> float | None:
    """Read one size in millimetres."""
    if field is None:
        return None
    if not _NUMBER.fullmatch(field):
        raise FileRefusedError(
            file,
            record.line,
            f"{record.label} is '{shown(field)}', which is no size",
            "Sizes are millimetres, as in 52.10.",
        )
    size = float(field)
    if not least <= size <= most:
        reason = f"{record.label} is {size:g} mm; possible is {least:g} to {most:g} mm"
        raise FileRefusedError(file, record.line, reason, "Check the tracer's unit, or trace again.")
    return size


# ---------------------------------------------------------------- writing


def _radii_lines(letter: str, shape: Trace) -> list[str]:
    """Write one eye: what follows, then the radii, a few to a line."""
    starts = range(0, shape.count, _PER_LINE)
    rows = [f"R={';'.join(map(str, shape.hundredths[start : start + _PER_LINE]))}" for start in starts]
    return [f"TRCFMT=1;{shape.count};E;{letter};F", *rows]


def _written(value: float | None) -> str:
    return "?" if value is None else f"{value:.2f}"


def _job(job: str) -> str:
    """Give the job's name when a record can hold it."""
    if not re.fullmatch(r"[ -:<>-~]{1,40}", job) or job != job.strip():
        allowed = "a trace file holds up to 40 plain letters, digits and signs, but no semicolon or equals sign"
        raise RefusedError("job", f"'{job}'", allowed, "Give the job's number.")
    return job
