"""The digests of rows, from what a transaction writes and from what the database holds: the same on both databases.

Which columns count is read off a table: all but those that the database makes itself, and the bytes of kept files,
which are held by their own hash. What a row is written as is said in `ledger/seals.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from sqlalchemy import Connection, Integer, LargeBinary, Table, Text, inspect
from sqlalchemy.types import TypeEngine

from shopledger.ledger.seals import digests_of, row_digest
from shopledger.store.columns import Kept
from shopledger.store.tables.base import SEAL

SEALS_AT_ONCE: Final = 10_000

LEAST, GREATEST = -(2**31), 2**31 - 1
"""Numbers of seals that a column can hold."""

Stored = Mapping[str, Any]
"""A row as the database holds it: whole numbers, texts, nothing."""


@dataclass(frozen=True, slots=True)
class RowForm:
    """How the rows of a table are digested: its columns by name, and which of them hold whole numbers."""

    table: str
    columns: tuple[str, ...]
    whole: frozenset[str]

    def digest(self, stored: Stored) -> str:
        """Give the digest of a row; a column that is not given holds nothing."""
        return row_digest(self.table, [stored.get(name) for name in self.columns])

    def digests(self, connection: Connection, first: int, last: int) -> set[str]:
        """Give the digests of the rows as they stand now that were written under some seals."""
        return digests_of(self.rows(connection, first, last))

    def rows(self, connection: Connection, first: int, last: int) -> list[bytes]:
        """Give the JSON of the rows as they stand now that were written under some seals."""
        values = f"FROM {self.table} WHERE {SEAL} BETWEEN {first} AND {last}"
        if connection.dialect.name == "sqlite":
            # One text for all, since Python waits for the database as often as it is given a row. A line's end never
            # stands in JSON.
            asked = f"SELECT CAST(group_concat({self.on_sqlite}, char(10)) AS BLOB) {values}"
            joined = connection.exec_driver_sql(asked).scalar_one()
            return joined.split(b"\n") if joined else []
        rows = connection.exec_driver_sql(f"SELECT {self._on_postgres()} {values}").scalars()
        return [row.encode() for row in rows]

    @property
    def on_sqlite(self) -> str:
        """SQL for the JSON of a row, on SQLite."""
        return f"json_array('{self.table}', {', '.join(self.columns)})"

    def _on_postgres(self) -> str:
        values = (f"COALESCE(CAST({self._json(name)} AS TEXT), 'null')" for name in self.columns)
        return f"""'["{self.table}",' || {" || ',' || ".join(values)} || ']'"""

    def _json(self, name: str) -> str:
        return name if name in self.whole else f"to_json({name})"


@lru_cache(maxsize=128)
def form_of(table: Table[Any]) -> RowForm:
    """Give how the rows of a table are digested."""
    return _form(table.name, ((column.name, column.type) for column in table.c if column.computed is None))


def forms_found(connection: Connection) -> tuple[RowForm, ...]:
    """Give how the rows are digested of each table that is sealed in the database as it is now."""
    tables = inspect(connection)
    found = {name: tables.get_columns(name) for name in sorted(tables.get_table_names())}
    return tuple(
        _form(name, ((column["name"], column["type"]) for column in columns if not column.get("computed")))
        for name, columns in found.items()
        if any(column["name"] == SEAL for column in columns)
    )


def as_stored(table: Table[Any], row: Mapping[str, Any]) -> dict[str, Any]:
    """Give values of a row as they are stored."""
    return {name: write(row[name]) if write else row[name] for name, write in _writers(table) if name in row}


@lru_cache(maxsize=128)
def plain_types(table: Table[Any]) -> tuple[tuple[str, TypeEngine[Any]], ...]:
    """Give the type in which the database holds each column that counts."""
    whole = form_of(table).whole
    return tuple((name, Integer() if name in whole else Text()) for name in form_of(table).columns)


@lru_cache(maxsize=128)
def _writers(table: Table[Any]) -> tuple[tuple[str, Callable[[Any], object] | None], ...]:
    """Give what turns the value of each column that counts into what is stored; None where it is stored as it is."""
    kinds = {name: table.c[name].type for name in form_of(table).columns}
    return tuple((name, kind.write if isinstance(kind, Kept) else None) for name, kind in kinds.items())


def _form(table: str, columns: Iterable[tuple[str, TypeEngine[Any]]]) -> RowForm:
    counted = {name: kind for name, kind in columns if not isinstance(kind, LargeBinary)}
    whole = frozenset(name for name, kind in counted.items() if _is_whole(kind))
    return RowForm(table, tuple(sorted(counted)), whole)


def _is_whole(kind: TypeEngine[Any]) -> bool:
    return isinstance(kind.impl if isinstance(kind, Kept) else kind, Integer)


def in_stretches(last: int, first: int = 1) -> Iterator[tuple[int, int]]:
    """Part the numbers of seals into stretches to look at together; the last has whatever claims a later seal."""
    for start in range(first, max(last, first) + 1, SEALS_AT_ONCE):
        end = start + SEALS_AT_ONCE - 1
        yield (start if start > 1 else LEAST), (end if end < last else GREATEST)
