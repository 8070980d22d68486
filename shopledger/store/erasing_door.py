"""The one change that a posted row lets through: that personal columns are blanked, for whom an erasure was recorded.

Every other column must stay as it is, save the two by which the chain of all records knows the row: its salt goes, and
it gets a new seal.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import Column
from sqlalchemy.dialects import sqlite

from shopledger.store import columns as kept
from shopledger.store.subjects import CUSTOMER, W9_TABLE, WEARER, reached_by
from shopledger.store.tables.base import SALT, SEAL
from shopledger.store.tables.schema import METADATA

_WHOSE: Final = {
    CUSTOMER: ("gone.customer_number = {person} AND gone.wearer_number IS NULL", "erasure gone"),
    WEARER: ("gone.wearer_number = {person}", "erasure gone"),
    W9_TABLE: ("gone.w9_number = {person}", "w9_erasure gone"),
}
"""How an erasure names whom it is of, and the table that it stands in."""


def erasing_door(table: str, same: str) -> str:
    """Give the condition under which an update of a row is an erasure; `same` compares two values that may be NULL."""
    blanked = " AND ".join(_conditions(table, same))
    ways = (
        way
        for root, (condition, erasures) in _WHOSE.items()
        for way in reached_by(table, root, "OLD", f"{condition} AND {blanked}", erasures)
    )
    return " OR ".join(ways)


def _conditions(table: str, same: str) -> Iterator[str]:
    for column in METADATA.tables[table].columns:
        name = column.name
        unchanged = f"NEW.{name} {same} OLD.{name}"
        if kept.is_personal(column):
            yield f"({unchanged} OR {_is_blank(column)})"
        elif name == SALT:
            yield f"({unchanged} OR NEW.{name} = '')"
        elif name != SEAL and column.computed is None:
            yield unchanged


def _is_blank(column: Column[Any]) -> str:
    new, blank = f"NEW.{column.name}", column.info[kept.PERSONAL]
    if isinstance(blank, kept.Blank):
        return {
            kept.Blank.MARK: f"{new} = 'erased ' || gone.day",
            kept.Blank.AREA: f"{new} = substr(OLD.{column.name}, 1, 3) || '00'",
            kept.Blank.TOMBSTONE: f"{new} LIKE '%\"erasure\":' || CAST(gone.number AS TEXT) || ',%'",
            kept.Blank.HASH: f"length({new}) = 64",
        }[blank]
    if isinstance(blank, bytes):
        return f"length({new}) = 0"
    write = column.type.bind_processor(sqlite.dialect())
    stored = write(blank) if write and blank is not None else blank
    return f"{new} IS NULL" if stored is None else f"{new} = {_literal(stored)}"


def _literal(value: object) -> str:
    return "'" + value.replace("'", "''") + "'" if isinstance(value, str) else str(value)
