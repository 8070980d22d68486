"""Traced shapes; a frame that is traced again gets another row, and the newest counts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, column, literal_column, select, table

from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import THOUSANDTHS, day_text, parted, read_day, rounded
from shopledger.store.transaction import Transaction

_BOTH_EYES = ("a", "b", "ed", "circumference")
_NUMBER: ColumnElement[int] = column("number")
_NEWEST: Final = """
SELECT trace.* FROM trace
JOIN (SELECT frame_code, MAX(number) AS number FROM trace GROUP BY frame_code) newest ON newest.number = trace.number
ORDER BY trace.frame_code
"""


@dataclass(frozen=True, slots=True)
class KeptTrace:
    """A stored trace with who kept it, and when."""

    trace: StoredTrace
    operator: str
    recorded_at: str


@dataclass(frozen=True, slots=True)
class RightEye:
    """The right eye of a stored trace as it is written: whole hundredths of a mm, parted by blanks."""

    number: int
    frame_code: str
    radii: str


@dataclass(frozen=True, slots=True)
class Traces:
    """The traces of the ledger's frames."""

    transaction: Transaction

    def add(self, trace: StoredTrace) -> StoredTrace:
        """Store a trace; gives it back with its number."""
        number = self.transaction.next_number("trace")
        self.transaction.add("trace", {"number": number, **_values(trace), **self.transaction.stamp})
        return replace(trace, number=number)

    def newest(self, frame_code: str) -> StoredTrace | None:
        """Give the frame's newest trace, or None before it was traced."""
        rows = self.transaction.rows("trace", {"frame_code": frame_code}, order=("number",), newest=True, limit=1)
        return _trace(rows[0]) if rows else None

    def get(self, number: int) -> StoredTrace:
        """Give the trace with that number."""
        row = self.transaction.row("trace", number=number)
        if row is None:
            raise NumberUnknownError("trace", number)
        return _trace(row)

    def kept(self, frame_code: str = "") -> Iterator[KeptTrace]:
        """Give all traces one by one, oldest first; only those of one frame where it is named."""
        asked = "SELECT * FROM trace WHERE :code = '' OR frame_code = :code ORDER BY number"
        for row in self.transaction.stream(asked, code=frame_code):
            yield KeptTrace(_trace(row), row.operator, row.recorded_at)

    def newest_of_all(self) -> Iterator[StoredTrace]:
        """Give the newest trace of each frame that has one, by code, one by one."""
        return map(_trace, self.transaction.stream(_NEWEST))

    def right_eyes(self) -> Iterator[RightEye]:
        """Give the right eye of every trace as it is written, one by one; nothing else of it is read."""
        rows = self.transaction.stream("SELECT number, frame_code, right_radii FROM trace ORDER BY number")
        return (RightEye(row.number, row.frame_code, row.right_radii) for row in rows)

    def some(self, numbers: Sequence[int]) -> dict[int, StoredTrace]:
        """Give a few traces by their numbers."""
        rows = self.transaction.chosen(
            select(literal_column("*")).select_from(table("trace")).where(_NUMBER.in_(numbers))
        )
        return {row.number: _trace(row) for row in rows}


def _values(trace: StoredTrace) -> dict[str, object]:
    return {
        "frame_code": trace.frame_code,
        "dbl": rounded(trace.shape.dbl, THOUSANDTHS),
        "file_name": trace.origin.file_name,
        "file_sha256": trace.origin.file_sha256,
        "traced_on": day_text(trace.origin.traced_on),
        "device": trace.origin.device,
        **_stated_values(trace.stated),
        "other_records": json.dumps(trace.other_records, ensure_ascii=False),
        "right_radii": " ".join(map(str, trace.shape.right.hundredths)),
        "left_radii": " ".join(map(str, trace.shape.left.hundredths)),
    }


def _stated_values(stated: StatedFigures) -> dict[str, int | None]:
    values = {"stated_dbl": rounded(stated.dbl, THOUSANDTHS)}
    for name in _BOTH_EYES:
        right, left = getattr(stated, name)
        values[f"stated_right_{name}"] = rounded(right, THOUSANDTHS)
        values[f"stated_left_{name}"] = rounded(left, THOUSANDTHS)
    return values


def _trace(row: Row[Any]) -> StoredTrace:
    right, left = (_eye(side, text) for side, text in ((Side.RIGHT, row.right_radii), (Side.LEFT, row.left_radii)))
    return StoredTrace(
        frame_code=row.frame_code,
        shape=FrameTrace(right, left, parted(row.dbl, THOUSANDTHS)),
        origin=TraceOrigin(row.file_name, row.file_sha256, read_day(row.traced_on), row.device),
        stated=StatedFigures(
            a=_both(row.stated_right_a, row.stated_left_a),
            b=_both(row.stated_right_b, row.stated_left_b),
            dbl=parted(row.stated_dbl, THOUSANDTHS),
            ed=_both(row.stated_right_ed, row.stated_left_ed),
            circumference=_both(row.stated_right_circumference, row.stated_left_circumference),
        ),
        other_records=tuple(json.loads(row.other_records)),
        number=row.number,
    )


def _both(right: int | None, left: int | None) -> tuple[float | None, float | None]:
    return parted(right, THOUSANDTHS), parted(left, THOUSANDTHS)


def _eye(side: Side, radii: str) -> Trace:
    return Trace(side, tuple(map(int, radii.split())))
