"""Traces as plain tables: radii of one or both eyes, or points of each eye's outline, in millimetres.

A table of radii has a column for each eye, at equal angles from 3 o'clock counter-clockwise for who faces the wearer.
Above the headings may stand the distance between lenses and how many rows follow; before the radii a column of angles:

```
dbl,18.00
count,400
angle,right,left
0.0,26.15,26.15
...
```

Where neither a count nor angles say how many rows there must be, only a multiple of four is taken, so that a lost row
is noticed. A table of points says the eye in each row, x to the right of who faces the wearer, y up, once round, either
way:

```
eye,x,y
right,26.15,0.00
...
```

Points are resampled: each radius is the exact length of a ray from the middle of the points' box to the straight line
between two points. Commas, semicolons or tabs part the columns; where they are no commas, a decimal comma is read too.
An empty line and a line that begins with # are passed over.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, NoReturn

from shopledger.errors import OpticsError
from shopledger.exchange.records import bytes_of, shown
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.shapes import ReadTrace, mirrored_to_both, traced_twice
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.sides import Side
from shopledger.optics.trace import FEWEST_RADII, LONGEST_RADIUS, MOST_RADII, SHORTEST_RADIUS, Trace
from shopledger.optics.trace_breaks import breaks
from shopledger.optics.traced_points import trace_from_points

_EYES: Final = {"right": Side.RIGHT, "r": Side.RIGHT, "left": Side.LEFT, "l": Side.LEFT}
_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,4}(\.[0-9]{0,12})?")
_FARTHEST: Final = 1000.0
"""Points lie no further from where their axes meet. [mm]"""
_ANGLE_WITHIN: Final = 0.06
"""What rounding to a tenth may do to an angle. [degrees]"""
_HEADINGS: Final = "The first row names the columns: 'right,left', 'right', 'left', or 'eye,x,y'."
_AGAIN: Final = "Clean the tracer's stylus and trace again."


@dataclass(frozen=True, slots=True)
class _Row:
    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Table:
    """The rows of a file under its headings, and what stood above them."""

    file: str
    headings: tuple[str, ...]
    rows: tuple[_Row, ...]
    comma: bool
    """Whether a comma in a number is a decimal comma."""
    dbl: float | None = None
    count: int | None = None

    def refuse(self, line: int | None, reason: str, hint: str) -> NoReturn:
        raise FileRefusedError(self.file, line, reason, hint)

    def number(self, row: _Row, cell: str) -> float:
        """Read one number in millimetres."""
        text = cell.replace(",", ".") if self.comma else cell
        if not _NUMBER.fullmatch(text):
            self.refuse(row.line, f"'{shown(cell)}' is no number", "Sizes are millimetres, as in 26.15.")
        return float(text)


def read_trace_csv(source: Path | str) -> ReadTrace:
    """Read a table of radii or of points, given by its path or as its text; what is wrong is refused with its line."""
    name, content = (source.name, bytes_of(source)) if isinstance(source, Path) else ("the table", source.encode())
    table = _table(name, content)
    read: Callable[[_Table], dict[Side, Trace]] = _points if table.headings == ("eye", "x", "y") else _radii
    shapes = read(table)
    right, left = mirrored_to_both(name, shapes)
    if len(shapes) > 1 and (reason := traced_twice(right, left)):
        table.refuse(None, reason, "Trace both sides, or export the one eye alone.")
    sha256 = hashlib.sha256(content).hexdigest()
    return ReadTrace(right, left, table.dbl, StatedFigures(dbl=table.dbl), (), sha256, mirrored=len(shapes) == 1)


# ---------------------------------------------------------------- the table


def _table(name: str, content: bytes) -> _Table:
    """Part a file into rows; its headings say what they hold."""
    try:
        text = content.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileRefusedError(name, None, "it is no text", "Save the table as CSV in UTF-8.") from error
    if "\x00" in text:
        raise FileRefusedError(name, None, "it is no text", "Save the table as CSV in UTF-8.")
    parting = next((sign for sign in "\t;" if sign in text), ",")
    rows = list(_rows(text, parting))
    table = _Table(name, (), (), parting != ",")
    while rows and (key := rows[0].cells[0].casefold()) in ("dbl", "count"):
        table = _with_dbl(table, rows.pop(0)) if key == "dbl" else _with_count(table, rows.pop(0))
    headings = tuple(cell.casefold() for cell in rows[0].cells) if rows else ()
    eyes = headings[1:] if headings[:1] == ("angle",) else headings
    known = len(set(headings)) == len(headings) and eyes and all(each in _EYES for each in eyes)
    if headings != ("eye", "x", "y") and not known:
        reason = f"'{shown(parting.join(headings))}' are no headings of a trace"
        table.refuse(rows[0].line if rows else None, reason, _HEADINGS)
    return replace(table, headings=headings, rows=tuple(rows[1:]))


def _rows(text: str, parting: str) -> Iterator[_Row]:
    for line, raw in enumerate(re.split(r"\r\n|\n|\r", text), start=1):
        if raw.strip() and not raw.lstrip().startswith("#"):
            yield _Row(line, tuple(cell.strip().strip('"').strip() for cell in raw.split(parting)))


def _with_dbl(table: _Table, row: _Row) -> _Table:
    """Read the distance between lenses."""
    if len(row.cells) != 2:
        table.refuse(row.line, "the distance between lenses is one number", "Write it as dbl,18.00.")
    dbl = table.number(row, row.cells[1])
    if not 5 <= dbl <= 40:
        table.refuse(row.line, f"dbl is {dbl:g} mm; possible is 5 to 40 mm", "Check the number.")
    return replace(table, dbl=dbl)


def _with_count(table: _Table, row: _Row) -> _Table:
    """Read how many rows there must be under the headings."""
    if len(row.cells) != 2 or not re.fullmatch("[0-9]{1,6}", row.cells[1]):
        table.refuse(row.line, "the count of rows is one whole number", "Write it as count,400.")
    return replace(table, count=int(row.cells[1]))


# ---------------------------------------------------------------- radii


def _radii(table: _Table) -> dict[Side, Trace]:
    """Read a column of radii for each eye."""
    first = 1 if table.headings[0] == "angle" else 0
    sides = [_EYES[heading] for heading in table.headings[first:]]
    if len(set(sides)) != len(sides):
        table.refuse(None, "one eye has two columns", _HEADINGS)
    for row in table.rows:
        if len(row.cells) != len(table.headings):
            reason = f"it has {len(row.cells)} columns, and the headings name {len(table.headings)}"
            table.refuse(row.line, reason, "Give each eye a radius in each row; both have the same count.")
    _hold_count(table, angles=bool(first))
    return {side: _column(table, side, place) for place, side in enumerate(sides, start=first)}


def _hold_count(table: _Table, *, angles: bool) -> None:
    """Refuse a table in which a row is missing or stands twice, as far as anything tells."""
    count, last = len(table.rows), table.rows[-1].line if table.rows else None
    if table.count not in (None, count):
        table.refuse(last, f"it has {count} radii, and {table.count} are announced", "Export the whole table again.")
    if not FEWEST_RADII <= count <= MOST_RADII:
        reason = f"it has {count} radii; {FEWEST_RADII} to {MOST_RADII} can be read"
        table.refuse(last, reason, "Trace it again; 400 to 1000 are usual.")
    if angles:
        _hold_angles(table)
    elif table.count is None and count % 4:
        hint = f"If no row was lost, write count,{count} above the headings."
        table.refuse(last, f"it has {count} radii, which is no multiple of four: a row may be missing", hint)


def _hold_angles(table: _Table) -> None:
    step = 360 / len(table.rows)
    for place, row in enumerate(table.rows):
        angle = table.number(row, row.cells[0])
        if abs(angle - place * step) > min(_ANGLE_WITHIN, step / 4):
            reason = f"the angle is {angle:g} degrees where {place * step:.2f} should stand"
            table.refuse(
                row.line, reason, "Angles begin with 0 and go on by equal steps; export the whole table again."
            )


def _column(table: _Table, side: Side, place: int) -> Trace:
    shape = Trace(side, tuple(_radius(table, row, row.cells[place]) for row in table.rows))
    _unbroken(table, shape, [row.line for row in table.rows])
    return shape


def _radius(table: _Table, row: _Row, cell: str) -> int:
    radius = table.number(row, cell)
    if not SHORTEST_RADIUS <= radius <= LONGEST_RADIUS:
        hint = "Check that radii are in millimetres, as in 26.15."
        table.refuse(row.line, f"the radius is {radius:g} mm; possible is 5 to 60 mm", hint)
    return round(radius * 100)


def _unbroken(table: _Table, shape: Trace, lines: Sequence[int] = ()) -> None:
    for broken in breaks(shape):
        angle = broken.at * 360 / shape.count
        reason = f"in the {shape.side.value} shape {broken.words} at {angle:.1f} degrees"
        table.refuse(lines[broken.at] if lines else None, reason, _AGAIN)


# ---------------------------------------------------------------- points


def _points(table: _Table) -> dict[Side, Trace]:
    """Read each eye's outline; the rows of one eye stand together or apart, in their order."""
    points: dict[Side, list[tuple[float, float]]] = {}
    lines: dict[Side, int] = {}
    for row in table.rows:
        if len(row.cells) != 3:
            table.refuse(row.line, f"it has {len(row.cells)} columns", "Each row is eye, x and y.")
        eye = _EYES.get(row.cells[0].casefold())
        if eye is None:
            table.refuse(row.line, f"'{shown(row.cells[0])}' is no eye", "Write right or left.")
        x, y = (table.number(row, cell) for cell in row.cells[1:])
        if max(abs(x), abs(y)) > _FARTHEST:
            table.refuse(row.line, f"the point {x:g}, {y:g} lies too far away", "Points are in millimetres.")
        points.setdefault(eye, []).append((x, y))
        lines.setdefault(eye, row.line)
    if not points:
        table.refuse(None, "it holds no points", _HEADINGS)
    if table.count not in (None, len(table.rows)):
        reason = f"it has {len(table.rows)} points, and {table.count} are announced"
        table.refuse(table.rows[-1].line, reason, "Export the whole table again.")
    return {side: _outline(table, side, lines[side], rows) for side, rows in points.items()}


def _outline(table: _Table, side: Side, line: int, rows: Sequence[tuple[float, float]]) -> Trace:
    try:
        shape = trace_from_points(side, rows)
    except OpticsError as error:
        hint = getattr(error, "hint", _AGAIN)
        table.refuse(line, f"the {side.value} outline, which begins here, is none: {_reason(error)}", hint)
    _unbroken(table, shape)
    return shape


def _reason(error: OpticsError) -> str:
    return str(getattr(error, "reason", error))
