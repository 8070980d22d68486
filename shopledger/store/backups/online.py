"""A complete, checked copy of a SQLite ledger, made through SQLite's own online backup.

Copying the file with the operating system would miss what still stands in the write-ahead log. The pages are taken in
one go: taken in steps, the copy begins anew with each commit of somebody else, and may never end.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from time import monotonic
from typing import Final

from shopledger.files.writing import written_whole
from shopledger.store.engine import WAIT_MILLISECONDS
from shopledger.store.refusals import BackupFailedError, LedgerBusyError
from shopledger.store.revision import REVISION_TABLE

WAIT: Final = WAIT_MILLISECONDS / 1000
"""For how long either side may be locked by somebody else. [s]"""
_LOCKED: Final = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})


def copy_beside(ledger: Path, called: str) -> Path:
    """Copy the ledger into its own folder, named for its state; gives the copy's path once it passed its check."""
    target = _free_name(ledger, called)
    with written_whole(target) as draft:
        copy_to(ledger, draft)
    return target


def copy_to(ledger: Path, target: Path, wait: float = WAIT) -> None:
    """Copy the ledger into a file and check the copy: its pages, its references and its revision."""
    take_copy(ledger, target, wait)
    try:
        check_file(target)
        with closing(sqlite3.connect(ledger)) as source, closing(sqlite3.connect(target)) as copy:
            _check_revision(source, copy)
    except (sqlite3.Error, UnequalError) as error:
        raise BackupFailedError(str(ledger), str(error)) from error


def take_copy(ledger: Path, target: Path, wait: float = WAIT) -> None:
    """Copy the ledger into one file, which is not checked yet."""
    try:
        transfer(ledger, target, wait)
        with closing(sqlite3.connect(target)) as copy:
            # One file, so that nothing can be left behind when it is carried elsewhere.
            copy.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise BackupFailedError(str(ledger), str(error)) from error


def transfer(ledger: Path, target: Path, wait: float = WAIT) -> None:
    """Put all pages of one database into another, which may be open elsewhere and keeps what it had until the end.

    Raises LedgerBusyError where either side stays locked; by itself the driver would wait for ever.
    """
    with (
        closing(sqlite3.connect(ledger, timeout=wait)) as source,
        closing(sqlite3.connect(target, timeout=wait)) as copy,
    ):
        source.backup(copy, pages=-1, progress=_until(monotonic() + wait))


class UnequalError(Exception):
    """The copy is not what it was copied from, or not whole."""


def check_file(file: Path) -> None:
    """Refuse damaged pages, and rows that point at nothing. Raises UnequalError or one of the driver's errors.

    Opened as a file that nobody changes, it is looked through in a third of the time.
    """
    with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as copy:
        (verdict,) = copy.execute("PRAGMA integrity_check(1)").fetchone()
        if verdict != "ok":
            raise UnequalError(verdict)
        if copy.execute("PRAGMA foreign_key_check").fetchone() is not None:
            message = "some of its rows point at nothing"
            raise UnequalError(message)


def _check_revision(source: sqlite3.Connection, copy: sqlite3.Connection) -> None:
    asked = f"SELECT version_num FROM {REVISION_TABLE}"  # noqa: S608 - a table's name
    if copy.execute(asked).fetchall() != source.execute(asked).fetchall():
        message = "it is at another revision"
        raise UnequalError(message)


def _until(end: float) -> Callable[[int, int, int], None]:
    """Make what the driver calls at each try, the locked ones too."""

    def tried(status: int, _remaining: int, _total: int) -> None:
        if status in _LOCKED and monotonic() > end:
            raise LedgerBusyError

    return tried


def _free_name(ledger: Path, called: str) -> Path:
    """Give a name that no file has yet: an earlier copy is never overwritten."""
    stem = f"{ledger.stem}-at-{called}"
    target = ledger.with_name(f"{stem}{ledger.suffix}")
    again = 2
    while target.exists():
        target = ledger.with_name(f"{stem}-{again}{ledger.suffix}")
        again += 1
    return target
