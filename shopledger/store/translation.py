"""Turning what SQLAlchemy and the drivers raise into the store's own errors, in one place."""

from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError, SQLAlchemyError

from shopledger.errors import ShopledgerError, StoreError
from shopledger.store.refusals import (
    ConnectionLostError,
    DamagedError,
    DatabaseError,
    DiskFailedError,
    DiskFullError,
    LedgerBusyError,
    MonthClosedError,
    NotOpenedError,
    ReadOnlyError,
    RuleRefusedError,
    UnreachableError,
)

_READERS: Final = (
    "sqlalchemy.",
    "sqlite3",
    "shopledger.store.columns",
    "shopledger.store.records",
    "shopledger.store.tables",
)
"""Where a stored value is turned into one of the program's; an error that arises there is the value's."""
CLOSED_MONTH: Final = "a closed month takes no new row"
"""What a guard says of a row in a closed month."""
_BY_WORDS: Final[tuple[tuple[re.Pattern[str], Callable[[str], StoreError]], ...]] = (
    (
        re.compile(r"locked|busy|lock timeout|deadlock|could not serialize|statement timeout|idle-in-transaction"),
        lambda _said: LedgerBusyError(),
    ),
    (re.compile(r"disk is full|No space left|could not extend file"), lambda _said: DiskFullError()),
    (re.compile(r"readonly database|read-only transaction"), lambda _said: ReadOnlyError()),
    (re.compile(CLOSED_MONTH), lambda _said: MonthClosedError()),
    (re.compile(r"malformed|not a database|Could not decode"), DamagedError),
    (re.compile(r"disk I/O error"), lambda _said: DiskFailedError()),
    (
        re.compile(r"server closed the connection|connection (?:is|was) (?:lost|closed)|terminating connection"),
        ConnectionLostError,
    ),
    (re.compile(r"unable to open database file"), lambda _said: NotOpenedError()),
)
"""What each database says, and what is made of it."""


@contextmanager
def translated() -> Iterator[None]:
    """Let no error of SQLAlchemy out: each leaves as a StoreError with a plain sentence."""
    try:
        yield
    except DBAPIError as error:
        raise translation(error) from error
    except SQLAlchemyError as error:
        raise DatabaseError(first_line(error)) from error
    except ShopledgerError:
        raise
    except (ValueError, LookupError, TypeError, ArithmeticError) as error:
        where = _being_read(error)
        if where is None:
            raise
        raise DamagedError(where) from error


def _being_read(error: BaseException) -> str | None:
    """Tell of which table a value could not be read; None where the error came from anywhere else."""
    reading, table = False, None
    for frame, _ in traceback.walk_tb(error.__traceback__):
        reading = frame.f_globals.get("__name__", "").startswith(_READERS)
        source = frame.f_locals.get("record", frame.f_locals.get("source"))
        table = getattr(source, "table", source) if hasattr(source, "columns") else table
    if not reading:
        return None
    return "it holds what cannot be read" if table is None else f"table {table} holds what cannot be read"


def translation(error: DBAPIError) -> StoreError:
    """Give the store's own error for one of the database's."""
    said = first_line(error.orig if error.orig is not None else error)
    for words, made in _BY_WORDS:
        if words.search(said):
            return made(said)
    if isinstance(error, IntegrityError):
        return RuleRefusedError(said)
    if isinstance(error, OperationalError) and error.statement is None:
        return UnreachableError(said)
    return DatabaseError(said)


def first_line(error: BaseException) -> str:
    """Give what an error says in one line, without the statement and its values."""
    lines = str(error).strip().splitlines()
    return lines[0].rstrip(".") if lines else type(error).__name__
