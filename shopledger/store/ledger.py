"""An open ledger: one transaction at a time, reading one state or writing as somebody, all or nothing."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import ColumnElement, Connection, Engine, Select, column, func, select, table
from sqlalchemy.exc import DBAPIError, OperationalError, ProgrammingError

from shopledger.errors import RefusedError
from shopledger.files.drafts import sweep
from shopledger.store.committing import commit, counters, taken, unbroken
from shopledger.store.engine import ledger_engine, packed, reading_options, take_write_lock
from shopledger.store.places import copies_of, ledger_path, place_of
from shopledger.store.refusals import (
    DamagedError,
    DatabaseError,
    NotALedgerError,
    SchemaAheadError,
    TablesMovedError,
)
from shopledger.store.revision import HEAD_REVISION, REVISION_TABLE, writer_in
from shopledger.store.transaction import Transaction
from shopledger.store.translation import translated, translation
from shopledger.store.usual_place import default_ledger_path
from shopledger.store.work import UnitOfWork

if TYPE_CHECKING:
    from shopledger.ledger.books.journal import Head

_REVISION: Final[Select[Any]] = select(column("version_num")).select_from(table(REVISION_TABLE))


class Ledger:
    """An open ledger. Everything happens inside `reading()` or `writing()`, one of them at a time."""

    def __init__(self, url: str) -> None:
        self.url = url
        self._engine = ledger_engine(url)
        self._readers = self._engine.execution_options(**reading_options(self._engine))
        self._writers = self._engine.execution_options(writing=True)
        self._busy = False
        self.written: Head | None = None
        """The head after what was written last; None while nothing was."""
        self._swept = False
        self.stored: list[tuple[str, ...]] = []
        """What this run stored, transaction by transaction: the numbers taken in each, as in `receipt 2`."""

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[UnitOfWork]:
        """See one state of the ledger throughout; writing is refused."""
        with self._alone(), self._transaction(self._readers) as transaction:
            yield UnitOfWork(transaction)

    @contextmanager
    def writing(self, operator: str, now: datetime) -> Iterator[UnitOfWork]:
        """Write as somebody: stored together when the block ends well, not at all when anything is raised in it."""
        self._sweep()
        with self._alone(), self._transaction(self._writers, *stamp(operator, now)) as transaction:
            yield UnitOfWork(transaction)
        self.written = transaction.sealed[-1] if transaction.sealed else self.written

    def seals_at(self, number: int) -> tuple[int, str]:
        """Give how many seals there are, and the hash that the one of a number carries; empty where there is none."""
        seal = table("seal")
        counted: ColumnElement[int] = column("number")
        hashed: ColumnElement[str] = column("hash")
        last: Select[Any] = select(func.max(counted)).select_from(seal)
        carried: Select[Any] = select(hashed).select_from(seal).where(counted == number)
        with translated(), self._readers.begin() as connection:
            return connection.execute(last).scalar() or 0, connection.execute(carried).scalar() or ""

    def revision(self) -> str:
        """Give the state of the ledger's tables, or refuse what is no ledger."""
        place = place_of(self.url)
        try:
            with (
                self._engine.connect().execution_options(**reading_options(self._engine)) as connection,
                connection.begin(),
            ):
                revisions = connection.execute(_REVISION).scalars().all()
        except (UnicodeError, ValueError) as error:
            raise DamagedError("its tables have names that cannot be read") from error
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
        if len(revisions) != 1:
            raise DamagedError(f"the state of its tables is written {len(revisions)} times, not once")
        return str(revisions[0])

    def refuse_newer(self, found: str, place: str = "") -> None:
        """Refuse a state of the tables from which this program knows no way to its own. Raises SchemaAheadError."""
        if not is_known(found):
            raise SchemaAheadError(place or place_of(self.url), found, self.written_by())

    def written_by(self) -> str:
        """Give the version of the program that wrote last, whatever the state of the tables; empty where none is named.

        Only what every version keeps is asked for.
        """
        newest: ColumnElement[int] = column("number")
        last: Select[Any] = select(column("note")).select_from(table("seal")).order_by(newest.desc()).limit(1)
        try:
            with self._readers.connect() as connection, connection.begin():
                return writer_in(str(connection.execute(last).scalar() or ""))
        except DBAPIError:
            return ""

    def pack(self) -> bool:
        """Write the database anew without what was erased in it; tells whether it could be done just now.

        On SQLite the write-ahead log is emptied too. A server's own logs and copies are its keeper's to see to.
        """
        with self._alone(), self._engine.connect() as connection:
            try:
                return packed(connection)
            except DBAPIError:
                return False

    @contextmanager
    def _transaction(self, engine: Engine, operator: str = "", recorded_at: str = "") -> Iterator[Transaction]:
        with translated(), engine.connect() as connection, connection.begin() as begun:
            if not operator:
                self._refuse_other_tables(connection)
                with _streaming(Transaction(connection)) as transaction:
                    yield transaction
                return
            take_write_lock(connection)
            # Asked within the transaction: another program may have brought the ledger up to date since it was opened.
            self._refuse_other_tables(connection)
            before = counters(connection)
            with writing_as(connection, operator, recorded_at) as transaction:
                yield transaction
            numbers = taken(before, counters(connection))
            with unbroken():
                commit(self._engine, connection, begun)
                self.stored.append(numbers)

    def _refuse_other_tables(self, connection: Connection) -> None:
        found = connection.execute(_REVISION).scalars().all()
        if found != [HEAD_REVISION]:
            raise TablesMovedError(place_of(self.url), ", ".join(map(str, found)), self.written_by())

    def _sweep(self) -> None:
        """Remove, once a run, what killed runs left beside the ledger."""
        path = ledger_path(self.url)
        if not self._swept:
            sweep(Path(tempfile.gettempdir()))
            sweep((path or default_ledger_path()).parent)
            sweep(copies_of(self.url))
        self._swept = True

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


def is_known(revision: str) -> bool:
    """Tell whether this program has a way from a state of the tables to its own."""
    from shopledger.store.migrate import known_revisions  # noqa: PLC0415 - a ledger that is up to date needs no alembic

    return revision == HEAD_REVISION or revision in known_revisions()


@contextmanager
def writing_as(connection: Connection, operator: str, recorded_at: str) -> Iterator[Transaction]:
    """Write as somebody; when the block ends well, what was written gets its seal."""
    from shopledger.store.sealing import Sealing  # noqa: PLC0415 - a look-up does not wait for it

    sealing = Sealing(connection)
    with _streaming(Transaction(connection, operator, recorded_at, sealing=sealing)) as transaction:
        yield transaction
        head = sealing.seal(operator, recorded_at)
        transaction.sealed.extend([head] if head else [])


@contextmanager
def _streaming(transaction: Transaction) -> Iterator[Transaction]:
    """Let go, in the end, of what was read one by one and not to its end."""
    try:
        yield transaction
    finally:
        transaction.close_streams()


def stamp(operator: str, now: datetime) -> tuple[str, str]:
    """Give who writes, and when, as it goes on every entry."""
    if not operator.strip():
        raise RefusedError("operator", "empty", "every entry carries a name", "Say who is at the desk.")
    return operator.strip(), now.astimezone(UTC).isoformat(timespec="seconds")
