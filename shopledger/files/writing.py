"""Writing files whole or not at all: beside their places first, then renamed into them."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from shopledger.files.drafts import draft_beside, drop_draft, sweep
from shopledger.files.refusals import NotWrittenError, not_written, reason_of
from shopledger.files.replacing import Kind, refuse_taken

_noticed: ContextVar[tuple[list[Path], ...]] = ContextVar("noticed", default=())
"""The lists of whoever wants to know what is written meanwhile."""
_swept: set[Path] = set()
"""The folders that this run has looked through for what killed runs left."""


@contextmanager
def noticing() -> Iterator[list[Path]]:
    """Give the files that take their places within the block, in that order."""
    found: list[Path] = []
    token = _noticed.set((*_noticed.get(), found))
    try:
        yield found
    finally:
        _noticed.reset(token)


@contextmanager
def written_whole(target: Path, kind: Kind | None = None) -> Iterator[Path]:
    """Give a new empty file beside `target` to write to; when the block ends well it becomes `target` in one step.

    Only its owner may read it. When the block fails, `target` stays as it was and nothing is left behind. With a kind,
    a file that this program did not write is not replaced.
    """
    refuse_taken(target, kind)
    draft = new_draft(target)
    try:
        yield draft
        settle(draft)
        take_the_place(draft, target)
    except ConnectionError:
        # What was to be written comes from elsewhere.
        raise
    except OSError as error:
        raise not_written(target, error) from error
    finally:
        drop_draft(draft)


def write_whole(body: bytes, target: Path, kind: Kind | None = None) -> Path:
    """Write bytes, whole or not at all; gives back where they lie."""
    refuse_taken(target, kind, body)
    with written_whole(target) as draft:
        draft.write_bytes(body)
    return target


def made_folder(folder: Path) -> Path:
    """Make a folder if it is missing, for its owner alone."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except FileExistsError:
        raise NotWrittenError(folder, "it is no folder", "Give the name of a folder.") from None
    except OSError as error:
        raise not_written(folder, error) from error
    except ValueError:
        shown = Path(str(folder).replace("\0", "␀"))
        raise NotWrittenError(shown, "its name holds a letter that no name may hold", "Leave it out.") from None
    return folder


class Sheaf:
    """Files that lie whole and synced beside their places, and take them together at the end.

    So a number may be stored between the two: what can fail of a file has been done by then, but for its name.
    """

    def __init__(self) -> None:
        self._drafts: list[tuple[Path, Path]] = []

    def add(self, body: bytes, target: Path, kind: Kind | None = None) -> Path:
        """Write a file beside its place; gives the place that it will take."""
        refuse_taken(target, kind, body)
        draft = new_draft(target)
        self._drafts.append((draft, target))
        try:
            draft.write_bytes(body)
            settle(draft)
        except OSError as error:
            raise not_written(target, error) from error
        return target

    def deliver(self) -> None:
        """Let every file take its place."""
        while self._drafts:
            take_the_place(*self._drafts[0])
            self._drafts.pop(0)

    def drop(self) -> None:
        """Remove what has not taken its place."""
        for draft, _ in self._drafts:
            drop_draft(draft)
        self._drafts.clear()


@contextmanager
def sheaf() -> Iterator[Sheaf]:
    """Give a sheaf to fill and to deliver; whatever was not delivered is removed at the end."""
    files = Sheaf()
    try:
        yield files
    finally:
        files.drop()


def new_draft(target: Path) -> Path:
    """Make a draft beside a place, and first sweep its folder, once a run, of what killed runs left in it."""
    folder = target.parent
    if folder not in _swept:
        _swept.add(folder)
        sweep(folder)
    return draft_beside(target)


def take_the_place(draft: Path, target: Path) -> None:
    """Rename a draft over its target; where another program holds the old file open, some systems refuse."""
    try:
        draft.replace(target)
    except PermissionError as error:
        raise NotWrittenError(target, reason_of(error), "Close it in other programs and try again.") from error
    except OSError as error:
        raise not_written(target, error) from error
    try:
        settle_folder(target.parent)
    except OSError as error:
        raise not_written(target, error) from error
    for found in _noticed.get():
        found.append(target)


def take_a_free_place(draft: Path, target: Path) -> None:
    """Rename a draft to a name that no file has; raises FileExistsError where one has it by now."""
    try:
        # A second name for the same file never lands on another one, as renaming would.
        os.link(draft, target, follow_symlinks=False)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        # Not every disk knows second names; a stick does not.
        if os.path.lexists(target):
            raise FileExistsError(str(target)) from None
        draft.replace(target)
    try:
        settle_folder(target.parent)
    except OSError:
        # Whoever is told that it was not made must not find it there.
        target.unlink()
        raise


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
