"""Rows as the database holds them, by their table's name: for tests that look or write past the program."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Row, Select, column, insert, literal_column, select, table

from shopledger.store.tables.schema import METADATA
from shopledger.store.work import UnitOfWork

TO_COME = 1_000_000
"""The number of a seal that no test reaches: a row is only taken under one that is not set yet."""


def rows(
    work: UnitOfWork, name: str, where: Mapping[str, object] | None = None, *, order: Sequence[str] = ()
) -> Sequence[Row[*tuple[Any, ...]]]:
    """Give the rows of a table whose columns hold these values, in order."""
    equal = [column(key) == value for key, value in (where or {}).items()]
    chosen: Select[*tuple[Any, ...]] = select(literal_column("*")).select_from(table(name))
    return work.transaction.connection.execute(chosen.where(*equal).order_by(*map(column, order))).all()


def put_row(work: UnitOfWork, name: str, values: Mapping[str, object]) -> None:
    """Write a row as it is; where nothing is said of its seal and salt, under a seal to come and without."""
    usual = {key: value for key, value in (("seal", TO_COME), ("salt", "")) if key in METADATA.tables[name].c}
    filled = {**usual, **values}
    work.transaction.connection.execute(insert(table(name, *map(column, filled))), filled)
