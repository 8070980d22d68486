"""Making, opening and closing a ledger: what is found is proved to be one, and brought up to date if it is older."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from shopledger.errors import StoreError
from shopledger.files.databases import LOGS
from shopledger.files.drafts import drop_draft
from shopledger.files.refusals import NotWrittenError, reason_of
from shopledger.files.writing import new_draft, settle, settle_folder, take_a_free_place, take_the_place
from shopledger.store.ledger import Ledger, stamp, writing_as
from shopledger.store.places import ledger_path, ledger_url, place_of
from shopledger.store.refusals import (
    LedgerBusyError,
    LedgerExistsError,
    LedgerMissingError,
    LedgerNotMadeError,
    NotALedgerError,
    UpgradeFailedError,
)
from shopledger.store.revision import HEAD_REVISION
from shopledger.store.usual_place import default_ledger_path
from shopledger.store.work import UnitOfWork

if TYPE_CHECKING:
    from shopledger.store.revision import Upgrading

__all__ = ["Ledger", "build_beside", "create_ledger", "default_ledger_path", "ledger_url", "open_ledger"]


@dataclass(frozen=True, slots=True)
class FirstRows:
    """What a new ledger holds from its first moment on, and who writes it."""

    operator: str
    now: datetime
    write: Callable[[UnitOfWork], None]

    def into(self) -> Callable[[Connection], None]:
        """Give what writes them as soon as the tables are made, in the same transaction."""
        signed = stamp(self.operator, self.now)

        def write(connection: Connection) -> None:
            with writing_as(connection, *signed) as transaction:
                self.write(UnitOfWork(transaction))

        return write


def create_ledger(url: str, first: FirstRows | None = None) -> Ledger:
    """Make a new ledger with its first rows in it, whole or not at all; where anything is already, it is left alone."""
    path = ledger_path(url)
    filling = first.into() if first else None
    if path is None:
        _refuse_taken(url)
        _make_tables(url, place_of(url), filling)
    else:
        with build_beside(path) as draft:
            _make_tables(ledger_url(str(draft)), str(path), filling)
    return Ledger(url)


@contextmanager
def build_beside(path: Path, keeping: Path | None = None) -> Iterator[Path]:
    """Give an empty file beside `path` to build a ledger in; when the block ends well it is the ledger, in one step.

    Whatever is open on the draft must be closed by then. Anything that lies at `path` is refused, unless `keeping` says
    under which free name the present ledger is to lie from then on; nobody may be working with that one. When the block
    fails or is killed, `path` is as it was.
    """
    _make_folder(path)
    if keeping is None:
        _refuse_taken_file(path)
    try:
        draft = new_draft(path)
        try:
            yield draft
            _end_log(draft)
            settle(draft)
            if keeping is None:
                _take_free(draft, path)
            else:
                _exchange(draft, path, keeping)
        finally:
            drop_draft(draft)
    except NotWrittenError as error:
        raise LedgerNotMadeError(str(path), error.reason) from error
    except OSError as error:
        raise LedgerNotMadeError(str(path), reason_of(error)) from error


def open_ledger(url: str, upgrading: Upgrading | None = None) -> Ledger:
    """Open a ledger; an older one is copied, the copy checked, and then brought up to date.

    Whoever may meet an older one says when that is and who is told.
    """
    path = ledger_path(url)
    if path is not None and not path.is_file():
        raise LedgerMissingError(str(path))
    ledger = Ledger(url)
    try:
        found = ledger.revision()
        if found != HEAD_REVISION:
            ledger.refuse_newer(found)
    except StoreError:
        ledger.close()
        raise
    if found != HEAD_REVISION:
        ledger.close()
        if upgrading is None:
            message = f"the ledger {place_of(url)} is at {found}, and nobody is told that it is brought up to date"
            raise RuntimeError(message)
        # Imported here, since a ledger that is up to date needs no alembic.
        from shopledger.store.upgrading import bring_up_to_date  # noqa: PLC0415

        bring_up_to_date(url, found, upgrading)
    return ledger


def _make_tables(url: str, place: str, filling: Callable[[Connection], None] | None) -> None:
    from shopledger.store.migrate import bring_to  # noqa: PLC0415 - as above

    try:
        bring_to(url, place, filling=filling)
    except UpgradeFailedError as error:
        raise LedgerNotMadeError(place, error.reason) from error


def _make_folder(path: Path) -> None:
    """Make the ledger's folder if it is missing, for its owner alone."""
    try:
        if not path.parent.exists():
            path.parent.mkdir(parents=True, mode=0o700)
    except OSError as error:
        raise LedgerNotMadeError(str(path), reason_of(error)) from error


def _refuse_taken_file(path: Path) -> None:
    """Refuse a place where a file is, or the log of one: SQLite would play it into any ledger of that name."""
    for ending in ("", *LOGS):
        beside = path.with_name(path.name + ending)
        if os.path.lexists(beside):
            raise LedgerExistsError(str(beside))


def _take_free(draft: Path, path: Path) -> None:
    try:
        take_a_free_place(draft, path)
    except FileExistsError:
        raise LedgerExistsError(str(path)) from None


def _exchange(draft: Path, path: Path, keeping: Path) -> None:
    """Put a new ledger in the place of the present one, which keeps its rows under another name."""
    with closing(sqlite3.connect(path, isolation_level=None)) as present:
        try:
            # Refused while anybody else has it open; what was in its log is in the file afterwards.
            present.execute("PRAGMA journal_mode = DELETE")
            present.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            raise LedgerBusyError from error
        try:
            os.link(path, keeping, follow_symlinks=False)
        except FileExistsError:
            raise LedgerExistsError(str(keeping)) from None
        settle_folder(keeping.parent)
        take_the_place(draft, path)


def _end_log(draft: Path) -> None:
    """Bring what stands in a closed ledger's log into its file, so that the file alone is the ledger."""
    with closing(sqlite3.connect(draft, isolation_level=None)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _refuse_taken(url: str) -> None:
    ledger = Ledger(url)
    try:
        ledger.revision()
    except NotALedgerError:
        return
    finally:
        ledger.close()
    raise LedgerExistsError(place_of(url))
