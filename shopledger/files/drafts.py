"""Drafts: files in the making, hidden beside their place, that a later run knows for its own and sweeps up.

A draft is called `.NAME.PROCESS-LETTERS.draft`. One whose process has ended and that nobody has touched for a while is
what a killed run left, and may hold names; it is removed with whatever SQLite put beside it.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from shopledger.files.databases import LOGS
from shopledger.files.refusals import NotWrittenError, not_written

ENDING: Final = ".draft"
LEFT_SECONDS: Final = 600
"""How long a draft of an ended process lies untouched before it is swept: its process may run on another computer."""
SURELY_LEFT_SECONDS: Final = 2 * 86_400
"""How long a draft lies untouched before it is swept whatever its process: numbers of processes come again."""
_LONGEST_NAME: Final = 40
_BESIDE: Final = ("", *LOGS)
"""What may lie beside a draft that is a database."""
_NAME: Final = re.compile(r"\..+\.(?P<process>\d+)-[a-z0-9_]{8}\.draft(?:-wal|-shm|-journal)?", re.DOTALL)


def draft_beside(target: Path) -> Path:
    """Make an empty file beside `target` that nobody but its owner may read."""
    try:
        if target.is_dir():
            raise NotWrittenError(target, "it is a folder", "Give the name of a file in it.")
        handle, name = tempfile.mkstemp(
            prefix=f".{target.name[:_LONGEST_NAME]}.{os.getpid()}-", suffix=ENDING, dir=target.parent
        )
    except FileNotFoundError:
        raise NotWrittenError(target, f"the folder {target.parent} does not exist", "Make the folder first.") from None
    except OSError as error:
        raise not_written(target, error) from error
    os.close(handle)
    return Path(name)


@contextlib.contextmanager
def draft_folder(name: str) -> Iterator[Path]:
    """Give an empty folder among the computer's temporary files, and remove it with all that is in it at the end."""
    place = Path(tempfile.gettempdir())
    sweep(place)
    try:
        folder = Path(tempfile.mkdtemp(prefix=f".{name}.{os.getpid()}-", suffix=ENDING, dir=place))
    except OSError as error:
        raise not_written(place, error) from error
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def drop_draft(draft: Path) -> None:
    """Remove a draft and what a database put beside it, once what it was made for is done or was given up.

    One that the system keeps stops nothing that is done by then: it is swept by a later run.
    """
    for ending in _BESIDE:
        with contextlib.suppress(OSError):
            draft.with_name(draft.name + ending).unlink(missing_ok=True)


def sweep(folder: Path, now: float | None = None) -> tuple[Path, ...]:
    """Remove what killed runs left in a folder; gives what was removed. A folder that cannot be read is passed over."""
    return tuple(_swept(folder, time.time() if now is None else now))


def _swept(folder: Path, now: float) -> Iterator[Path]:
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if _is_left(entry, now):
                with contextlib.suppress(OSError):
                    _remove(Path(entry.path))
                    yield Path(entry.path)


def _remove(left: Path) -> None:
    if left.is_dir() and not left.is_symlink():
        shutil.rmtree(left)
    else:
        left.unlink()


def _is_left(entry: os.DirEntry[str], now: float) -> bool:
    named = _NAME.fullmatch(entry.name)
    if named is None or entry.is_symlink():
        return False
    untouched = now - entry.stat(follow_symlinks=False).st_mtime
    if untouched > SURELY_LEFT_SECONDS:
        return True
    return untouched > LEFT_SECONDS and not _runs(int(named["process"]))


def _runs(process: int) -> bool:
    """Tell whether a process runs on this computer; where that cannot be told, it does."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
