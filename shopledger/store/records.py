"""Records as rows and back: a frozen dataclass of the ledger is kept by its fields, each in the column of its name.

`Record(Payment, payment)` is all that most need. Where a field is kept otherwise, the third argument says how: in
another column, in several columns (a `Fields` of its own, such as an address), or in an expression that is only read.
Parts that lie in rows of their own are named in `parts`, and given when the record is read. What the area adds to a
row itself, such as whose part it is, is named in `also`. A field without a column, and a column that is always filled
and that nothing fills, are refused as the area is imported; a record that is `only_read` leaves columns out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from operator import attrgetter
from typing import Any, Final, Generic, TypeVar

from sqlalchemy import Column, ColumnElement, FromClause, Row, Table

from shopledger.errors import LedgerError
from shopledger.ledger.text import as_kept
from shopledger.store.columns import Kept
from shopledger.store.tables.base import SALT, SEAL

T = TypeVar("T")

STAMP: Final = ("operator", "recorded_at")
"""The columns that the transaction fills."""


class Fields(Generic[T]):
    """A value that is kept in some columns of a row."""

    def __init__(
        self,
        kind: type[T],
        table: Table[Any],
        otherwise: Mapping[str, ColumnElement[Any] | Fields[Any]] | None = None,
        *,
        parts: Sequence[str] = (),
        prefix: str = "",
    ) -> None:
        self.kind = kind
        self.table = table
        self._names: list[str] = []
        self._inner: list[tuple[int, Fields[Any]]] = []
        columns: list[ColumnElement[Any]] = []
        self.written: dict[str, str] = {}
        """Where to find what each column of the table is given: the path of a field."""
        for name in (field.name for field in fields(kind) if field.name not in parts):  # type: ignore[arg-type]  # frozen dataclasses only
            held = (otherwise or {}).get(name)
            if held is None:
                held = self._column(f"{prefix}{name}", name)
            self._names.append(name)
            if isinstance(held, Fields):
                self._inner.append((len(columns), held))
                columns += held.columns
                self.written |= {column: f"{name}.{path}" for column, path in held.written.items()}
            else:
                columns.append(held)
                if isinstance(held, Column) and held.table is table and not held.computed and held.key not in STAMP:
                    self.written[held.key] = name
        self.columns: tuple[ColumnElement[Any], ...] = tuple(columns)
        self.width = len(columns)
        leading = [field.name for field in fields(kind)][: len(self._names)]  # type: ignore[arg-type]  # as above
        self._leading = not self._inner and self._names == leading

    def read(self, values: Sequence[Any], **parts: object) -> T:
        """Make the value from those of its columns, in their order, and from its parts."""
        try:
            return self._made(values, parts)
        except LedgerError:
            # What an earlier version let in is there, and must go on being read.
            with as_kept():
                return self._made(values, parts)

    def _made(self, values: Sequence[Any], parts: Mapping[str, object]) -> T:
        if self._leading:
            return self.kind(*values, **parts)
        given = list(values)
        for place, inner in reversed(self._inner):
            given[place : place + inner.width] = [inner.read(given[place : place + inner.width])]
        return self.kind(**dict(zip(self._names, given, strict=True)), **parts)

    def named(self, row: Row[*tuple[Any, ...]], **parts: object) -> T:
        """Make the value from a row of plain SQL: its columns are found by name and hold what the database holds."""
        stored = row._mapping  # noqa: SLF001 - SQLAlchemy's public name for a row by its columns
        values = ((stored[column.key], column.type) for column in self.columns if isinstance(column, Column))
        return self.read([kind.read(value) if isinstance(kind, Kept) else value for value, kind in values], **parts)

    def _column(self, name: str, field: str) -> Column[Any]:
        found: Column[Any] | None = self.table.c.get(name)
        if found is None:
            message = f"{self.kind.__name__}.{field} has no column in {self.table.name}: say where it is kept"
            raise TypeError(message)
        return found


class Record(Fields[T]):
    """A value that is kept as a row of a table, perhaps with what other tables know of it."""

    def __init__(
        self,
        kind: type[T],
        table: Table[Any],
        otherwise: Mapping[str, ColumnElement[Any] | Fields[Any]] | None = None,
        *,
        parts: Sequence[str] = (),
        also: Sequence[str] = (),
        source: FromClause | None = None,
        counter: str = "",
        only_read: bool = False,
    ) -> None:
        super().__init__(kind, table, otherwise, parts=parts)
        self.counter = counter or table.name
        """What numbers of this kind are counted under."""
        self.source: FromClause = table if source is None else source
        self._places = "position" in table.c and "position" not in self.written
        self._taken = attrgetter(*self.written.values(), self._names[0])
        if only_read:
            return
        filled = {*self.written, *also, *STAMP, SEAL, SALT, *(("position",) if self._places else ())}
        for column in table.c:
            if not (column.nullable or column.computed or column.key in filled):
                message = f"{table.name}.{column.key} is never filled: no field of {kind.__name__} is kept there"
                raise TypeError(message)

    def row(self, value: T, **more: object) -> dict[str, object]:
        """Give the columns of a value, and what the area adds."""
        return {**dict(zip(self.written, self._taken(value), strict=False)), **more}

    def rows(self, values: Iterable[T], **more: object) -> Iterator[dict[str, object]]:
        """Give the columns of values that are parts of something, each with its position where the table has one."""
        for place, value in enumerate(values, start=1):
            yield self.row(value, **more, position=place) if self._places else self.row(value, **more)
