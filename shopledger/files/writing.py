"""Writing a file whole or not at all: beside its place first, then renamed into it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopledger.files.drafts import draft_beside, drop_draft
from shopledger.files.refusals import NotWrittenError, not_written, reason_of


@contextmanager
def written_whole(target: Path) -> Iterator[Path]:
    """Give a new empty file beside `target` to write to; when the block ends well it becomes `target` in one step.

    Only its owner may read it. When the block fails, `target` stays as it was and nothing is left behind.
    """
    draft = draft_beside(target)
    try:
        yield draft
        settle(draft)
        take_the_place(draft, target)
    except OSError as error:
        raise not_written(target, error) from error
    finally:
        drop_draft(draft)


def write_whole(body: bytes, target: Path) -> Path:
    """Write bytes, whole or not at all; gives back where they lie."""
    with written_whole(target) as draft:
        draft.write_bytes(body)
    return target


def take_the_place(draft: Path, target: Path) -> None:
    """Rename a draft over its target; where another program holds the old file open, some systems refuse."""
    try:
        draft.replace(target)
    except OSError as error:
        raise NotWrittenError(target, reason_of(error), "Close it in other programs and try again.") from error
    settle_folder(target.parent)


def take_a_free_place(draft: Path, target: Path) -> None:
    """Rename a draft to a name that no file has; raises FileExistsError where one has it by now."""
    try:
        # A second name for the same file never lands on another one, as renaming would.
        os.link(draft, target, follow_symlinks=False)
        draft.unlink()
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        # Not every disk knows second names; a stick does not.
        if os.path.lexists(target):
            raise FileExistsError(str(target)) from None
        take_the_place(draft, target)
        return
    settle_folder(target.parent)


def settle(path: Path) -> None:
    """Wait until the disk holds it, so that a power cut cannot leave an empty file under the right name."""
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def settle_folder(folder: Path) -> None:
    """Wait until the disk holds the names in a folder, where the system can say so."""
    if os.name == "posix":
        settle(folder)
