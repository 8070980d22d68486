"""Making, opening and closing a ledger: what is found is proved to be one, and brought up to date if it is older."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, Select, column, select, table
from sqlalchemy.exc import DBAPIError, OperationalError, ProgrammingError

from shopledger.errors import RefusedError, StoreError
from shopledger.store.engine import ledger_engine, reading_options, take_write_lock
from shopledger.store.places import default_ledger_path, kept_folder, ledger_path, ledger_url, place_of
from shopledger.store.refusals import (
    DamagedError,
    DatabaseError,
    LedgerExistsError,
    LedgerMissingError,
    NotALedgerError,
    SchemaAheadError,
)
from shopledger.store.revision import HEAD_REVISION, REVISION_TABLE
from shopledger.store.transaction import Transaction
from shopledger.store.translation import translated, translation
from shopledger.store.work import UnitOfWork

__all__ = ["Ledger", "create_ledger", "default_ledger_path", "ledger_url", "open_ledger"]


class Ledger:
    """An open ledger. Everything happens inside `reading()` or `writing()`, one of them at a time."""

    def __init__(self, url: str) -> None:
        self.url = url
        self._kept = kept_folder(url)
        self._engine = ledger_engine(url)
        self._readers = self._engine.execution_options(**reading_options(self._engine))
        self._writers = self._engine.execution_options(writing=True)
        self._busy = False

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[UnitOfWork]:
        """See one state of the ledger throughout; writing is refused."""
        with self._alone(), self._transaction(self._readers) as transaction:
            yield UnitOfWork(transaction, self._kept)

    @contextmanager
    def writing(self, operator: str, now: datetime) -> Iterator[UnitOfWork]:
        """Write as somebody: stored together when the block ends well, not at all when anything is raised in it."""
        if not operator.strip():
            raise RefusedError("operator", "empty", "every entry carries a name", "Say who is at the desk.")
        stamp = now.astimezone(UTC).isoformat(timespec="seconds")
        with self._alone(), self._transaction(self._writers, operator.strip(), stamp) as transaction:
            yield UnitOfWork(transaction, self._kept)

    def revision(self) -> str:
        """Give the state of the ledger's tables, or refuse what is no ledger."""
        found: Select[Any] = select(column("version_num")).select_from(table(REVISION_TABLE))
        place = place_of(self.url)
        try:
            with (
                self._engine.connect().execution_options(**reading_options(self._engine)) as connection,
                connection.begin(),
            ):
                return str(connection.execute(found).scalar_one())
        except DBAPIError as error:
            said = translation(error)
            if isinstance(said, DamagedError) and "not a database" in said.reason:
                raise NotALedgerError(place, "it is no database file") from error
            if (
                isinstance(said, DatabaseError)
                and isinstance(error, OperationalError | ProgrammingError)
                and error.statement is not None
            ):
                raise NotALedgerError(place, "it holds other tables, or none") from error
            raise said from error

    @contextmanager
    def _transaction(self, engine: Engine, operator: str = "", recorded_at: str = "") -> Iterator[Transaction]:
        with translated(), engine.begin() as connection:
            if operator:
                take_write_lock(connection)
            transaction = Transaction(connection, operator, recorded_at)
            try:
                yield transaction
            finally:
                transaction.close_streams()

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Refuse one transaction inside another: neither would be all or nothing."""
        if self._busy:
            message = "a transaction is open already; end it before another begins"
            raise RuntimeError(message)
        self._busy = True
        try:
            yield
        finally:
            self._busy = False


def create_ledger(url: str) -> Ledger:
    """Make a new, empty ledger; where anything is already, it is refused and left alone."""
    path = ledger_path(url)
    if path is None:
        _refuse_taken(url)
        _make_tables(url)
    else:
        _make_file(path)
        try:
            _make_tables(url)
        except BaseException:
            _remove(path)
            raise
    return Ledger(url)


def open_ledger(url: str) -> Ledger:
    """Open a ledger; an older one is copied, the copy checked, and then brought up to date."""
    path = ledger_path(url)
    if path is not None and not path.is_file():
        raise LedgerMissingError(str(path))
    ledger = Ledger(url)
    try:
        found = ledger.revision()
    except StoreError:
        ledger.close()
        raise
    if found != HEAD_REVISION:
        ledger.close()
        _bring_up_to_date(url, found)
    return ledger


def _bring_up_to_date(url: str, found: str) -> None:
    # Imported here, since a ledger that is up to date needs no alembic.
    from shopledger.store.backup import copy_beside  # noqa: PLC0415
    from shopledger.store.migrate import bring_to, known_revisions  # noqa: PLC0415

    if found not in known_revisions():
        raise SchemaAheadError(place_of(url), found)
    path = ledger_path(url)
    if path is not None:
        copy_beside(path, found)
    bring_to(url, place_of(url))


def _make_tables(url: str) -> None:
    from shopledger.store.migrate import bring_to  # noqa: PLC0415 - as above

    bring_to(url, place_of(url))


def _make_file(path: Path) -> None:
    """Make the empty file, for its owner alone; the log files beside it take over its rights."""
    if not path.parent.exists():
        path.parent.mkdir(parents=True, mode=0o700)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError:
        raise LedgerExistsError(str(path)) from None


def _remove(path: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)


def _refuse_taken(url: str) -> None:
    ledger = Ledger(url)
    try:
        ledger.revision()
    except NotALedgerError:
        return
    finally:
        ledger.close()
    raise LedgerExistsError(place_of(url))
