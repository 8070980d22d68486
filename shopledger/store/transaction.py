"""One transaction on the ledger: rows in and out by name, numbers from counters, and whose hand it is.

Tables are named, not mapped: `transaction.rows("wearer", {"customer_number": 3})`. So a look-up imports neither the
models nor the mapper, and starts as quickly as the database itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from sqlalchemy import (
    ColumnClause,
    ColumnElement,
    Connection,
    CursorResult,
    Insert,
    Row,
    Select,
    TextClause,
    bindparam,
    column,
    delete,
    insert,
    literal_column,
    select,
    table,
    text,
    update,
)
from sqlalchemy.sql.dml import ReturningUpdate

from shopledger.store.refusals import ReadOnlyError

ROWS_AT_ONCE = 500
"""How many rows of a stream are held at a time."""


@dataclass(frozen=True, slots=True)
class Transaction:
    """An open transaction; `operator` and `recorded_at` go on every entry, and are empty where nothing is written."""

    connection: Connection
    operator: str = ""
    recorded_at: str = ""
    streams: list[CursorResult[Any]] = field(default_factory=list, repr=False, compare=False)

    @property
    def stamp(self) -> dict[str, str]:
        """Who writes, and when."""
        if not self.operator:
            raise ReadOnlyError
        return {"operator": self.operator, "recorded_at": self.recorded_at}

    def rows(
        self,
        name: str,
        where: Mapping[str, object] | None = None,
        *,
        order: Sequence[str] = (),
        newest: bool = False,
        limit: int | None = None,
    ) -> Sequence[Row[Any]]:
        """Give the rows of a table whose columns have these values, in order; `newest` turns the order round."""
        keys: list[ColumnElement[Any]] = [column(key) for key in order]
        turned = [key.desc() for key in keys] if newest else keys
        return self.chosen(_all_of(name, where or {}).order_by(*turned).limit(limit))

    def row(self, name: str, **equal: object) -> Row[Any] | None:
        """Give the one row with these values, or None."""
        return self.connection.execute(_all_of(name, equal)).one_or_none()

    def chosen(self, statement: Select[Any]) -> Sequence[Row[Any]]:
        """Give the rows of a statement."""
        return self.connection.execute(statement).all()

    def asked(self, sql: str, **values: object) -> Sequence[Row[Any]]:
        """Give the rows of a question in SQL that both databases understand."""
        return self.connection.execute(_question(sql), values).all()

    def stream(self, sql: str, **values: object) -> Iterator[Row[Any]]:
        """Give the rows of a question one by one, however many there are, until the transaction ends."""
        result = self.connection.execute(_question(sql), values, execution_options={"yield_per": ROWS_AT_ONCE})
        self.streams.append(result)
        return iter(result)

    def close_streams(self) -> None:
        """Let go of the streams that nobody read to their end."""
        for result in self.streams:
            result.close()

    def add(self, name: str, *records: Mapping[str, object]) -> None:
        """Insert rows, all with the same columns."""
        if records:
            self.connection.execute(_insertion(name, tuple(records[0])), [dict(record) for record in records])

    def change(self, name: str, values: Mapping[str, object], **equal: object) -> int:
        """Write new values into the rows with these values; gives how many there were."""
        columns: list[ColumnClause[Any]] = [column(key) for key in {**values, **equal}]
        statement = update(table(name, *columns)).where(*_conditions(equal)).values(dict(values))
        return self.connection.execute(statement).rowcount

    def remove(self, name: str, **equal: object) -> None:
        """Delete the rows with these values; what is posted cannot be deleted."""
        self.connection.execute(delete(table(name)).where(*_conditions(equal)))

    def next_number(self, kind: str) -> int:
        """Take the next number of a kind; it is given back if the transaction fails, so none is ever missing."""
        return int(self.connection.execute(_counting(), {"kind": kind}).scalar_one())


# The same few statements are made over and over; a statement that is kept is also found again at once when it is run.
@lru_cache(maxsize=128)
def _insertion(name: str, keys: tuple[str, ...]) -> Insert:
    columns: list[ColumnClause[Any]] = [column(key) for key in keys]
    return insert(table(name, *columns))


@lru_cache(maxsize=1)
def _counting() -> ReturningUpdate[Any]:
    counter = table("counter", column("name"), column("last"))
    mine = update(counter).where(counter.c.name == bindparam("kind"))
    return mine.values(last=counter.c.last + 1).returning(counter.c.last)


@lru_cache(maxsize=64)
def _question(sql: str) -> TextClause:
    """Find the places for values in a question; the long ones are asked again and again."""
    return text(sql)


def _all_of(name: str, equal: Mapping[str, object]) -> Select[Any]:
    return select(literal_column("*")).select_from(table(name)).where(*_conditions(equal))


def _conditions(equal: Mapping[str, object]) -> list[ColumnElement[bool]]:
    return [column(key) == value for key, value in equal.items()]
