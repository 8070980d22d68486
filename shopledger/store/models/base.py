"""The base of all tables: names for every constraint, STRICT on SQLite, and who recorded a row when."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import MetaData
from sqlalchemy.orm import DeclarativeBase, Mapped

from shopledger.store.columns import Words

STRICT: dict[str, Any] = {"sqlite_strict": True}
"""Options of every table; the last entry of each `__table_args__`."""


class Base(DeclarativeBase):
    """A table of the ledger."""

    metadata: ClassVar[MetaData] = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class Recorded:
    """Who made the row, and when, in UTC."""

    operator: Mapped[Words]
    recorded_at: Mapped[Words]
