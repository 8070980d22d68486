"""Putting a checked copy in the place of a ledger: never by copying a file over it.

SQLite knows a log by its name alone: laid over a ledger, a copy would be played the log that an ended process left
beside it, and show the old rows again without a word. So a copy goes in through SQLite itself, or what lies there is
first put aside with its logs.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import count
from pathlib import Path

from shopledger.files.databases import LOGS
from shopledger.files.drafts import drop_draft
from shopledger.files.refusals import not_written
from shopledger.files.writing import new_draft, settle_folder
from shopledger.store.backups.checking import refuse_unsettled
from shopledger.store.backups.online import WAIT, transfer
from shopledger.store.opening import build_beside
from shopledger.store.places import ledger_url
from shopledger.store.refusals import RestoreFailedError, RestoreUnfinishedError
from shopledger.store.revision import HEAD_REVISION


@contextmanager
def working_copy(copy: Path, beside: Path) -> Iterator[Path]:
    """Give the same as a copy in a draft of our own, so that nothing can happen to the copy itself."""
    refuse_unsettled(copy)
    draft = new_draft(beside)
    try:
        try:
            shutil.copyfile(copy, draft)
        except OSError as error:
            raise not_written(draft, error) from error
        yield draft
    finally:
        drop_draft(draft)


def bring_up_to_date(draft: Path, revision: str) -> None:
    """Bring an older copy's tables to those of this program, in the draft."""
    if revision != HEAD_REVISION:
        from shopledger.store.backups.tables import take_over_tables  # noqa: PLC0415 - only an older copy needs it
        from shopledger.store.migrate import bring_to  # noqa: PLC0415 - it brings alembic

        url = ledger_url(str(draft))
        take_over_tables(url)
        bring_to(url, str(draft))
        _one_file(draft)


def make_a_files_own(draft: Path) -> None:
    """Put the rows of a copy that came from a server into tables and guards made for a file, in the draft."""
    from shopledger.store.backups.tables import move_into_file  # noqa: PLC0415 - only such a copy needs it

    new = new_draft(draft)
    try:
        move_into_file(ledger_url(str(draft)), new)
        _one_file(new)
        new.replace(draft)
    finally:
        drop_draft(new)


def put_into_file(draft: Path, ledger: Path, wait: float = WAIT) -> None:
    """Put a copy in the place of an open or closed ledger, which holds the whole of one or of the other throughout."""
    try:
        transfer(draft, ledger, wait)
    except sqlite3.Error as error:
        raise RestoreFailedError(str(ledger), str(error)) from error
    try:
        with closing(sqlite3.connect(ledger, timeout=wait)) as restored:
            restored.execute("PRAGMA journal_mode = WAL")
            # What the log held of before goes with it, unless somebody still looks at that; nobody is waited for.
            restored.execute("PRAGMA busy_timeout = 0")
            restored.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except sqlite3.Error as error:
        raise RestoreUnfinishedError(str(ledger), str(error)) from error


def put_where_none_is(draft: Path, ledger: Path) -> None:
    """Put a copy where no ledger is; logs that one left there are put aside first."""
    set_aside(ledger)
    with build_beside(ledger) as new:
        transfer(draft, new)
        with closing(sqlite3.connect(new)) as made:
            made.execute("PRAGMA journal_mode = WAL")


def set_aside(ledger: Path) -> Path | None:
    """Rename what lies at a ledger's place, with its logs, so that nobody takes it for the ledger; gives its new name.

    The ledger itself goes first: without its log it would look whole and be older.
    """
    there = [suffix for suffix in ("", *LOGS) if ledger.with_name(ledger.name + suffix).exists()]
    if not there:
        return None
    aside = free_beside(ledger, "set-aside")
    for suffix in there:
        ledger.with_name(ledger.name + suffix).rename(aside.with_name(aside.name + suffix))
    settle_folder(ledger.parent)
    return aside


def free_beside(ledger: Path, called: str) -> Path:
    """Name a file beside a ledger that is not there yet, nor a log of it."""
    names = (f"{ledger.stem}-{called}{'' if again == 1 else f'-{again}'}{ledger.suffix}" for again in count(1))
    free = (ledger.with_name(name) for name in names)
    return next(path for path in free if not any(path.with_name(path.name + suffix).exists() for suffix in ("", *LOGS)))


def _one_file(draft: Path) -> None:
    with closing(sqlite3.connect(draft)) as copy:
        copy.execute("PRAGMA journal_mode = DELETE")
