"""Writing a file whole or not at all: beside its place first, then renamed into it."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopledger.errors import ShopledgerError


class NotWrittenError(ShopledgerError):
    """A file cannot be written where it was asked for."""

    target: Path
    reason: str
    hint: str
    sentence = "{target} cannot be written: {reason}. {hint}"


@contextmanager
def written_whole(target: Path) -> Iterator[Path]:
    """Give a new empty file beside `target` to write to; when the block ends well it becomes `target` in one step.

    Only its owner may read it. When the block fails, `target` stays as it was and nothing is left behind.
    """
    draft = _draft_beside(target)
    try:
        yield draft
        _settle(draft)
        _take_the_place(draft, target)
    finally:
        draft.unlink(missing_ok=True)


def write_whole(body: bytes, target: Path) -> Path:
    """Write bytes, whole or not at all; gives back where they lie."""
    with written_whole(target) as draft:
        draft.write_bytes(body)
    return target


def _draft_beside(target: Path) -> Path:
    """Make the empty file; `mkstemp` lets nobody but the owner read it."""
    if target.is_dir():
        raise NotWrittenError(target, "it is a folder", "Give the name of a file in it.")
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".draft", dir=target.parent)
    except FileNotFoundError:
        raise NotWrittenError(target, f"the folder {target.parent} does not exist", "Make the folder first.") from None
    except OSError as error:
        raise NotWrittenError(target, _reason(error), "Choose a folder that you may write to.") from error
    os.close(handle)
    return Path(name)


def _take_the_place(draft: Path, target: Path) -> None:
    """Rename; where another program holds the old file open, some systems refuse."""
    try:
        draft.replace(target)
    except OSError as error:
        raise NotWrittenError(target, _reason(error), "Close it in other programs and try again.") from error
    if os.name == "posix":
        _settle(target.parent)


def _settle(path: Path) -> None:
    """Wait until the disk holds it, so that a power cut cannot leave an empty file under the right name."""
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
