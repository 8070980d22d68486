"""Traced shapes; a frame that is traced again gets another row, and the newest counts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Column

from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.tables.traces import trace
from shopledger.store.transaction import Area, Where

_BOTH_EYES: Final = ("a", "b", "ed", "circumference")
_STATED: Final[Sequence[Column[Any]]] = [trace.c[f"stated_{side.value}_{name}"] for name in _BOTH_EYES for side in Side]
_PARTS: Final[Sequence[Column[Any]]] = (
    trace.c.right_radii,
    trace.c.left_radii,
    trace.c.dbl,
    trace.c.stated_dbl,
    *_STATED,
)
_NEWEST: Final = """
SELECT MAX(number) AS number FROM trace GROUP BY frame_code ORDER BY frame_code
"""

TRACE: Final = Record(
    StoredTrace,
    trace,
    {"origin": Fields(TraceOrigin, trace)},
    parts=("shape", "stated"),
    also=("right_radii", "left_radii", "dbl"),
)


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


class Traces(Area):
    """The traces of the ledger's frames."""

    def add(self, trace: StoredTrace) -> StoredTrace:
        """Store a trace; gives it back with its number."""
        shape, stated = trace.shape, trace.stated
        both = (figure for name in _BOTH_EYES for figure in getattr(stated, name))
        parts = (shape.right.hundredths, shape.left.hundredths, shape.dbl, stated.dbl, *both)
        more = {column.key: value for column, value in zip(_PARTS, parts, strict=True)}
        return self.transaction.post(TRACE, trace, **more)

    def newest(self, frame_code: str) -> StoredTrace | None:
        """Give the frame's newest trace, or None before it was traced."""
        where: Where = {trace.c.frame_code: frame_code}
        found = self.transaction.unfinished(TRACE, _PARTS, where, (trace.c.number,), newest=True, limit=1)
        return next((_whole(parts, made) for parts, made in found), None)

    def get(self, number: int) -> StoredTrace:
        """Give the trace with that number."""
        found = self.some([number])
        if not found:
            raise NumberUnknownError("trace", number)
        return found[number]

    def kept(self, frame_code: str = "") -> Iterator[KeptTrace]:
        """Give all traces one by one, oldest first; only those of one frame where it is named."""
        where: Where = {trace.c.frame_code: frame_code} if frame_code else {}
        told = (trace.c.operator, trace.c.recorded_at, *_PARTS)
        for (operator, at, *parts), made in self.transaction.unfinished(
            TRACE, told, where, (trace.c.number,), stream=True
        ):
            yield KeptTrace(_whole(parts, made), operator, at)

    def newest_of_all(self) -> Iterator[StoredTrace]:
        """Give the newest trace of each frame that has one, by code, one by one."""
        newest = [row.number for row in self.transaction.asked(_NEWEST)]
        where: Where = {trace.c.number: newest}
        found = self.transaction.unfinished(TRACE, _PARTS, where, (trace.c.frame_code,), stream=True)
        return (_whole(parts, made) for parts, made in found)

    def traced(self, frames: Iterable[str]) -> frozenset[str]:
        """Give those of the frames with these codes that were traced."""
        code = trace.c.frame_code
        return frozenset(self.transaction.lists(code, code, {code: list(frames)}))

    def right_eyes(self) -> Iterator[RightEye]:
        """Give the right eye of every trace as it is written, one by one; nothing else of it is read."""
        rows = self.transaction.stream("SELECT number, frame_code, right_radii FROM trace ORDER BY number")
        return (RightEye(row.number, row.frame_code, row.right_radii) for row in rows)

    def some(self, numbers: Sequence[int]) -> dict[int, StoredTrace]:
        """Give a few traces by their numbers."""
        where: Where = {trace.c.number: list(numbers)}
        found = self.transaction.unfinished(TRACE, (trace.c.number, *_PARTS), where)
        return {number: _whole(parts, made) for (number, *parts), made in found}


def _whole(parts: Sequence[Any], made: Callable[..., StoredTrace]) -> StoredTrace:
    right, left, dbl, stated_dbl, *stated = parts
    both = dict(zip(_BOTH_EYES, zip(stated[::2], stated[1::2], strict=True), strict=True))
    shape = FrameTrace(Trace(Side.RIGHT, right), Trace(Side.LEFT, left), dbl)
    return made(shape=shape, stated=StatedFigures(dbl=stated_dbl, **both))
