"""One transaction on the ledger: records in and out, numbers from counters, and whose hand it is.

What is looked for is given as columns and their values: `transaction.one(FRAME, {frame.c.code: "WREN"})`. A list of
values finds the rows with any of them, so that whoever needs many records asks once for each table; None finds those
where nothing stands.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar, TypeVarTuple

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    CursorResult,
    FromClause,
    Insert,
    Row,
    Select,
    Table,
    TextClause,
    bindparam,
    delete,
    insert,
    select,
    text,
    type_coerce,
    update,
)
from sqlalchemy.sql.dml import ReturningUpdate

from shopledger.store.columns import Exact
from shopledger.store.records import STAMP, Record
from shopledger.store.refusals import NumberUnknownError, ReadOnlyError
from shopledger.store.tables.base import SEAL, WHOSE

if TYPE_CHECKING:
    from shopledger.ledger.books.journal import Head
    from shopledger.store.sealing import Sealing

T = TypeVar("T")
Ts = TypeVarTuple("Ts")

Where: TypeAlias = Mapping[Column[Any], object]
"""Columns, and the value or the list of values that stands there."""

ROWS_AT_ONCE = 500
"""How many rows of a stream are held at a time."""
VALUES_AT_ONCE = 10_000
"""How many values are looked for by one statement; SQLite takes about 32,000."""


@dataclass(frozen=True, slots=True)
class Transaction:
    """An open transaction; `operator` and `recorded_at` go on every entry, and are empty where nothing is written."""

    connection: Connection
    operator: str = ""
    recorded_at: str = ""
    streams: list[CursorResult[*tuple[Any, ...]]] = field(default_factory=list, repr=False, compare=False)
    sealing: Sealing | None = field(default=None, repr=False, compare=False)
    """What is written, for the chain; None where nothing is."""
    sealed: list[Head] = field(default_factory=list, repr=False, compare=False)
    """The head after it, once it has its seal."""

    @property
    def stamp(self) -> dict[str, str]:
        """Who writes, and when."""
        if not self.operator:
            raise ReadOnlyError
        return dict(zip(STAMP, (self.operator, self.recorded_at), strict=True))

    def one(self, record: Record[T], where: Where) -> T | None:
        """Give the one record with these values, or None."""
        found = self.all(record, where)
        if len(found) > 1:
            message = f"{record.table.name} has {len(found)} rows where one was looked for"
            raise ValueError(message)
        return found[0] if found else None

    def has(self, table: Table[Any], where: Where) -> bool:
        """Tell whether there is a row with these values."""
        return next(self._rows(tuple(where)[:1], table, where, (), limit=1), None) is not None

    def get(self, record: Record[T], number: int, called: str = "") -> T:
        """Give the record with that number, or say that there is none."""
        found = self.one(record, {record.table.c.number: number})
        if found is None:
            raise NumberUnknownError(called or record.counter, number)
        return found

    def all(
        self,
        record: Record[T],
        where: Where | None = None,
        order: Sequence[Column[Any]] = (),
        *,
        newest: bool = False,
        limit: int | None = None,
    ) -> tuple[T, ...]:
        """Give the records with these values, in order; `newest` turns the order round."""
        rows = self._rows(record.columns, record.source, where or {}, order, newest=newest, limit=limit)
        return tuple(map(record.read, rows))

    def many(self, record: Record[T], numbers: Iterable[int]) -> Mapping[int, T]:
        """Give those of the records with these numbers that there are, each under its number."""
        number = record.table.c.number
        found = self.unfinished(record, (number,), {number: list(numbers)})
        return {own: made() for (own,), made in found}

    def matching(
        self,
        record: Record[T],
        *conditions: ColumnElement[bool],
        order: Sequence[Column[Any]] = (),
        limit: int | None = None,
    ) -> tuple[T, ...]:
        """Give the records that meet conditions other than having values, in order."""
        every = _selection(record.columns, record.source, (), tuple(order), newest=False, limit=limit)
        return tuple(map(record.read, self.connection.execute(every.where(*conditions)).all()))

    def each(self, record: Record[T], where: Where | None = None, order: Sequence[Column[Any]] = ()) -> Iterator[T]:
        """Give records one by one, however many there are, until the transaction ends."""
        return map(record.read, self._rows(record.columns, record.source, where or {}, order, stream=True))

    def groups(
        self, record: Record[T], by: Column[Any], where: Where, order: Sequence[Column[Any]] = ()
    ) -> Mapping[Any, tuple[T, ...]]:
        """Give records together that have the same value in a column; nothing is there for other values."""
        width, read = record.width, record.read
        rows = self._rows((*record.columns, by), record.source, where, order)
        return _grouped((row[width], read(row[:width])) for row in rows)

    def lists(
        self, column: Column[T], by: Column[Any], where: Where | None = None, order: Sequence[Column[Any]] = ()
    ) -> Mapping[Any, tuple[T, ...]]:
        """Give what stands in a column, together where another has the same value; nothing for other values."""
        return _grouped(self._rows((by, column), column.table, where or {}, order))

    def unfinished(
        self,
        record: Record[T],
        by: Sequence[ColumnElement[Any]],
        where: Where,
        order: Sequence[Column[Any]] = (),
        *,
        newest: bool = False,
        limit: int | None = None,
        stream: bool = False,
    ) -> Iterator[tuple[tuple[Any, ...], Callable[..., T]]]:
        """Give what tells each record apart, and what makes it once its parts are there."""
        width = record.width
        columns = (*record.columns, *by)
        for row in self._rows(columns, record.source, where, order, newest=newest, limit=limit, stream=stream):
            values = tuple(row)
            yield values[width:], partial(record.read, values[:width])

    def chosen(self, statement: Select[*Ts]) -> Sequence[Row[*Ts]]:
        """Give the rows of a query."""
        return self.connection.execute(statement).all()

    def asked(self, sql: str, **values: object) -> Sequence[Row[*tuple[Any, ...]]]:
        """Give the rows of a query in SQL that both databases understand, holding what the database holds.

        Where a value is a list, the query says `IN :name`.
        """
        return self.connection.execute(_query(sql, _lists_in(values)), values).all()

    def stream(self, sql: str, **values: object) -> Iterator[Row[*tuple[Any, ...]]]:
        """Give the rows of a query in SQL one by one, however many there are, until the transaction ends."""
        return self._streamed(_query(sql, _lists_in(values)), values)

    def close_streams(self) -> None:
        """Let go of the streams that nobody read to their end."""
        for result in self.streams:
            result.close()

    def post(self, record: Record[T], value: T, **more: object) -> T:
        """Store a record under the next number of its kind; gives it back with it."""
        numbered: T = replace(value, number=self.next_number(record.counter))  # type: ignore[type-var]  # frozen dataclasses only
        self.put(record, numbered, **more)
        return numbered

    def put(self, record: Record[T], *values: T, **more: object) -> None:
        """Store records as they are, with what the area adds to their rows; parts get their positions."""
        self.add(record.table, *record.rows(values, **more))

    def add(self, table: Table[Any], *rows: Mapping[str, object]) -> None:
        """Insert rows, all with the same columns; who recorded them, and when, is added."""
        if not rows:
            return
        stamped = [self._stamped(table, row) for row in rows]
        if SEAL in table.c:
            stamped = [self._written.marked(table, row) for row in stamped]
            self._written.added(table, stamped)
        self.connection.execute(_insertion(table), stamped)

    def rewrite(self, record: Record[T], value: T, where: Where, **more: object) -> bool:
        """Write a record anew over the one with these values, which keeps its number; tells whether it was there."""
        kept = {"number", *(column.key for column in where)}
        values = {name: each for name, each in record.row(value, **more).items() if name not in kept}
        return self.change(record.table, values, where) > 0

    def change(self, table: Table[Any], values: Mapping[str, object], where: Where, *, stamped: bool = True) -> int:
        """Write new values into the rows with these values; gives how many there were.

        Not `stamped`, they keep whose hand they are by: what is blanked is not written anew.
        """
        statement = update(table).where(*(column == value for column, value in where.items()))
        new = self._stamped(table, values) if stamped else dict(values)
        if SEAL in table.c:
            before = self._as_stored(table, where)
            new[SEAL] = self._written.number
            self._written.changed(table, before, new)
        return self.connection.execute(statement.values(new)).rowcount

    def remove(self, table: Table[Any], where: Where) -> None:
        """Delete the rows with these values; what is posted cannot be deleted."""
        if SEAL in table.c:
            self._written.removed(table, self._as_stored(table, where))
        self.connection.execute(delete(table).where(*(column == value for column, value in where.items())))

    def next_number(self, kind: str) -> int:
        """Take the next number of a kind; it is given back if the transaction fails, so none is ever missing."""
        return int(self.connection.execute(_counting(), {"kind": kind}).scalar_one())

    @property
    def _written(self) -> Sealing:
        if self.sealing is None:
            raise ReadOnlyError
        return self.sealing

    def _as_stored(self, table: Table[Any], where: Where) -> list[dict[str, Any]]:
        """Give the rows with these values as the database holds them."""
        from shopledger.store.digests import plain_types  # noqa: PLC0415 - most transactions change nothing

        columns = [type_coerce(table.c[name], kind).label(name) for name, kind in plain_types(table)]
        chosen = select(*columns).where(*(column == value for column, value in where.items()))
        return [dict(row) for row in self.connection.execute(chosen).mappings()]

    def _stamped(self, table: Table[Any], row: Mapping[str, Any]) -> dict[str, object]:
        for name, kind in _exact(table):
            if name in row:
                said = (*(_said(row[each]) for each in table.info[WHOSE]), kind.said or name.replace("_", " "))
                kind.refuse_finer(" ".join(said), row[name])
        return {**row, **self.stamp} if STAMP[0] in table.c else dict(row)

    def _rows(
        self,
        columns: tuple[ColumnElement[Any], ...],
        source: FromClause,
        where: Where,
        order: Sequence[Column[Any]],
        *,
        newest: bool = False,
        limit: int | None = None,
        stream: bool = False,
    ) -> Iterator[Row[*tuple[Any, ...]]]:
        shapes = tuple((column, _shape(value)) for column, value in where.items())
        statement = _selection(columns, source, shapes, tuple(order), newest=newest, limit=limit)
        values = {f"value_{place}": value for place, value in enumerate(where.values()) if value is not None}
        long = next((name for name, value in values.items() if _shape(value) is list), None)
        if long is not None:
            return self._in_turns(statement, values, long)
        return self._streamed(statement, values) if stream else iter(self.connection.execute(statement, values).all())

    def _in_turns(
        self, statement: Select[*tuple[Any, ...]], values: Mapping[str, Any], long: str
    ) -> Iterator[Row[*tuple[Any, ...]]]:
        wanted = list(dict.fromkeys(values[long]))
        for start in range(0, len(wanted), VALUES_AT_ONCE):
            some = {**values, long: wanted[start : start + VALUES_AT_ONCE]}
            yield from self.connection.execute(statement, some).all()

    def _streamed(
        self, statement: Select[*tuple[Any, ...]] | TextClause, values: Mapping[str, object]
    ) -> Iterator[Row[*tuple[Any, ...]]]:
        result = self.connection.execute(statement, values, execution_options={"yield_per": ROWS_AT_ONCE})
        self.streams.append(result)
        return iter(result)


class Area:
    """One subject of the ledger, as a transaction sees it."""

    __slots__ = ("transaction",)

    def __init__(self, transaction: Transaction) -> None:
        self.transaction = transaction


def _grouped(pairs: Iterable[Sequence[Any]]) -> Mapping[Any, tuple[Any, ...]]:
    found: defaultdict[Any, list[Any]] = defaultdict(list)
    for key, value in pairs:
        found[key].append(value)
    return defaultdict(tuple, ((key, tuple(values)) for key, values in found.items()))


def _lists_in(values: Mapping[str, object]) -> tuple[str, ...]:
    return tuple(name for name, value in values.items() if isinstance(value, list))


def _said(value: object) -> str:
    return str(value.value) if isinstance(value, Enum) else str(value)


def _shape(value: object) -> type | None:
    """Tell how a column is compared: with nothing, with one value, or with any of a list."""
    if value is None:
        return None
    return list if isinstance(value, list) else object


# The same few statements are made over and over; a statement that is kept is also found again at once when it is run.
@lru_cache(maxsize=256)
def _selection(
    columns: tuple[ColumnElement[Any], ...],
    source: FromClause,
    shapes: tuple[tuple[Column[Any], type | None], ...],
    order: tuple[Column[Any], ...],
    *,
    newest: bool,
    limit: int | None,
) -> Select[*tuple[Any, ...]]:
    conditions = (_condition(column, shape, f"value_{place}") for place, (column, shape) in enumerate(shapes))
    turned = [column.desc() for column in order] if newest else order
    return select(*columns).select_from(source).where(*conditions).order_by(*turned).limit(limit)


def _condition(column: Column[Any], shape: type | None, name: str) -> ColumnElement[bool]:
    if shape is None:
        return column.is_(None)
    if shape is list:
        return column.in_(bindparam(name, type_=column.type, expanding=True))
    return column == bindparam(name, type_=column.type)


@lru_cache(maxsize=128)
def _insertion(table: Table[Any]) -> Insert:
    return insert(table)


@lru_cache(maxsize=128)
def _exact(table: Table[Any]) -> tuple[tuple[str, Exact], ...]:
    """Give the columns whose figures may not be finer than they are kept."""
    return tuple((column.key, column.type) for column in table.c if isinstance(column.type, Exact))


@lru_cache(maxsize=1)
def _counting() -> ReturningUpdate[int]:
    from shopledger.store.tables.counters import counter  # noqa: PLC0415 - whoever only reads takes no number

    mine = update(counter).where(counter.c.name == bindparam("kind"))
    return mine.values(last=counter.c.last + 1).returning(counter.c.last)


@lru_cache(maxsize=64)
def _query(sql: str, lists: tuple[str, ...]) -> TextClause:
    """Find the places for values in a query; the long ones are asked again and again."""
    return text(sql).bindparams(*(bindparam(name, expanding=True) for name in lists))
