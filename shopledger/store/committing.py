"""Ending a transaction so that its outcome is known: whoever interrupts it is told truly whether it was stored."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from types import FrameType
from typing import Final

from sqlalchemy import Connection, Engine, RootTransaction, text
from sqlalchemy.exc import DBAPIError

from shopledger.store.refusals import OutcomeUnknownError

_MINE: Final = text("SELECT CAST(pg_current_xact_id_if_assigned() AS text)")
_BECAME: Final = text("SELECT pg_xact_status(CAST(:mine AS xid8))")
_UNSAID: Final = frozenset({"audit", "entry", "movement", "period"})
"""Numbers that nobody asks for: they come with others."""
_COUNTERS: Final = text("SELECT name, last FROM counter")


def counters(connection: Connection) -> Mapping[str, int]:
    """Give the last number of each kind, to see which were taken in a transaction."""
    return {row.name: row.last for row in connection.execute(_COUNTERS)}


def taken(before: Mapping[str, int], after: Mapping[str, int]) -> tuple[str, ...]:
    """Say which numbers were taken in between, as in `receipt 2` or `lot 3 to 5`."""
    rose = (
        (name, before.get(name, 0) + 1, last)
        for name, last in sorted(after.items())
        if last > before.get(name, 0) and name not in _UNSAID
    )
    return tuple(f"{name} {low}" if low == high else f"{name} {low} to {high}" for name, low, high in rose)


def commit(engine: Engine, connection: Connection, transaction: RootTransaction) -> None:
    """Commit; where the connection breaks at that very moment, the server is asked what became of it."""
    if connection.dialect.name == "sqlite":
        transaction.commit()
        return
    mine = connection.execute(_MINE).scalar_one()
    try:
        transaction.commit()
    except DBAPIError as error:
        if not error.connection_invalidated or mine is None:
            raise
        if not _was_committed(engine, mine):
            raise


def _was_committed(engine: Engine, mine: str) -> bool:
    """Ask over a new connection; while the server still ends the old one, it cannot tell."""
    try:
        with engine.connect() as connection:
            became = connection.execute(_BECAME, {"mine": mine}).scalar_one()
    except DBAPIError as error:
        raise OutcomeUnknownError from error
    if became not in {"committed", "aborted"}:
        raise OutcomeUnknownError
    return bool(became == "committed")


@contextmanager
def unbroken() -> Iterator[None]:
    """Let Ctrl-C wait until the block has ended, so that nobody is in doubt about it; a second one breaks it off."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []

    def noted(number: int, _frame: FrameType | None) -> None:
        if came:
            raise KeyboardInterrupt
        came.append(number)

    before = signal.signal(signal.SIGINT, noted)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if came:
        raise KeyboardInterrupt
