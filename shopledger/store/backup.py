"""A complete, checked copy of a SQLite ledger, made through SQLite's own online backup.

Copying the file with the operating system would miss what still stands in the write-ahead log.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from shopledger.files.writing import written_whole
from shopledger.store.refusals import BackupFailedError
from shopledger.store.revision import REVISION_TABLE


def copy_beside(ledger: Path, revision: str) -> Path:
    """Copy the ledger into its own folder, named for its state; gives the copy's path once it passed its check."""
    target = _free_name(ledger, revision)
    with written_whole(target) as draft:
        copy_to(ledger, draft)
    return target


def copy_to(ledger: Path, target: Path) -> None:
    """Copy the ledger into a file and check the copy: its pages, its references and its revision."""
    try:
        with closing(sqlite3.connect(ledger)) as source, closing(sqlite3.connect(target)) as copy:
            source.backup(copy)
            # One file, so that nothing can be left behind when it is carried elsewhere.
            copy.execute("PRAGMA journal_mode = DELETE")
            _check(source, copy)
    except sqlite3.Error as error:
        raise BackupFailedError(str(ledger), str(error)) from error
    except _UnequalError as error:
        raise BackupFailedError(str(ledger), str(error)) from error


class _UnequalError(Exception):
    """The copy is not what it was copied from."""


def _check(source: sqlite3.Connection, copy: sqlite3.Connection) -> None:
    (verdict,) = copy.execute("PRAGMA integrity_check(1)").fetchone()
    if verdict != "ok":
        raise _UnequalError(verdict)
    if copy.execute("PRAGMA foreign_key_check").fetchone() is not None:
        message = "some of its rows point at nothing"
        raise _UnequalError(message)
    asked = f"SELECT version_num FROM {REVISION_TABLE}"  # noqa: S608 - a table's name
    if copy.execute(asked).fetchall() != source.execute(asked).fetchall():
        message = "it is at another revision"
        raise _UnequalError(message)


def _free_name(ledger: Path, revision: str) -> Path:
    """Give a name that no file has yet: an earlier copy is never overwritten."""
    stem = f"{ledger.stem}-at-{revision}"
    target = ledger.with_name(f"{stem}{ledger.suffix}")
    again = 2
    while target.exists():
        target = ledger.with_name(f"{stem}-{again}{ledger.suffix}")
        again += 1
    return target
