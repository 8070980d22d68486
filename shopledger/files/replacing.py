"""What may be written over: a file of the same kind and name that this program wrote before, and nothing else unasked.

A ledger, what SQLite keeps beside it, and the folder of its kept files are never written over, whatever was allowed.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from shopledger.errors import ShopledgerError
from shopledger.files.databases import FIRST_BYTES, LOGS
from shopledger.files.refusals import LedgerInTheWayError, NotWrittenError, TakenError, not_written

_KEPT: Final = " files"
"""How the folder of a ledger's kept files ends, after the ledger's own name."""
_LOOKED_AT: Final = 64 * 1024
_FACING: Final = b"<desc>As seen when facing the wearer; one unit is "
_RECORD: Final = re.compile(rb"[A-Za-z_][A-Za-z0-9_]*=")
_BOOK_CREATOR: Final = re.compile(rb"<dc:creator[^>]*>shopledger</dc:creator>")
_CREATOR: Final = re.compile(rb"/Creator\s*\(shopledger\)")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file that is written: what it is called, and how an earlier one of it is known."""

    noun: str
    made_here: Callable[[Path, bytes], bool]
    """Asked of a file and its first bytes."""


def _paper(path: Path, head: bytes) -> bool:
    return head.startswith(b"%PDF-") and _CREATOR.search(path.read_bytes()) is not None


def _workbook(path: Path, head: bytes) -> bool:
    if not head.startswith(b"PK"):
        return False
    import zipfile  # noqa: PLC0415 - only where a workbook is in the way

    try:
        with zipfile.ZipFile(path) as parts, parts.open("docProps/core.xml") as said:
            return _BOOK_CREATOR.search(said.read(_LOOKED_AT)) is not None
    except (zipfile.BadZipFile, KeyError, NotImplementedError):
        return False


PAPER: Final = Kind("paper", _paper)
WORKBOOK: Final = Kind("workbook", _workbook)
LENS_ORDER: Final = Kind("lens order file", lambda _path, head: b'"form": "lens order ' in head[:100])
DRAWING: Final = Kind("drawing", lambda _path, head: b"<svg" in head[:200] and _FACING in head)
COPY: Final = Kind("copy of this file", lambda _path, _head: False)


def records_of(noun: str, body: bytes) -> Kind:
    """Give the kind of file whose lines are records, and which is of the same job by its first line."""
    first = body.split(b"\r\n", 1)[0]

    def made_here(_path: Path, head: bytes) -> bool:
        lines = head.split(b"\r\n")
        return lines[0] == first and len(lines) > 1 and all(_RECORD.match(line) for line in lines[:-1])

    return Kind(noun, made_here)


def headed(noun: str, first_line: str) -> Kind:
    """Give the kind of text that is known by its first line."""
    mark, wanted = b"\xef\xbb\xbf", first_line.encode("utf-8")
    return Kind(noun, lambda _path, head: head.removeprefix(mark).splitlines()[:1] == [wanted])


def begun(noun: str, start: str) -> Kind:
    """Give the kind of text that is known by how it begins."""
    wanted = start.encode("utf-8")
    return Kind(noun, lambda _path, head: head.startswith(wanted))


_allowed: ContextVar[frozenset[Path] | None] = ContextVar("allowed", default=frozenset())
"""What may be replaced though this program did not write it; None stands for every file."""


@contextmanager
def replacing(*targets: Path, every: bool = False) -> Iterator[None]:
    """Let these files be replaced while the block runs, or every file."""
    before = _allowed.get()
    token = _allowed.set(None if every or before is None else before | set(targets))
    try:
        yield
    finally:
        _allowed.reset(token)


def refuse_taken(target: Path, kind: Kind | None, body: bytes | None = None) -> None:
    """Refuse to write where something stands that may not be written over; `body` is what would be written.

    Without a kind only what is no plain file is refused, and a ledger with its log.
    """
    try:
        refuse_odd(target)
        _refuse_ledger(target)
        if kind is None:
            return
        _refuse_kept_files(target)
        if not os.path.lexists(target):
            return
        allowed = _allowed.get()
        if allowed is None or target in allowed or _is_own(target, kind, body):
            return
    except (OSError, ValueError) as error:
        raise _unwritable(target, error) from error
    raise TakenError(target, kind.noun)


def refuse_odd(target: Path) -> None:
    """Refuse a name that no file can have, and what is no plain file: a folder, a device, a pipe, a link."""
    if "\0" in str(target):
        raise NotWrittenError(
            Path(str(target).replace("\0", "␀")), "its name holds a letter that no file name may hold", "Leave it out."
        )
    if not os.path.lexists(target):
        return
    kind = target.lstat().st_mode
    odd = {stat.S_ISDIR: "a folder", stat.S_ISLNK: "a link to another place", stat.S_ISFIFO: "a pipe"}
    said = next((words for asked, words in odd.items() if asked(kind)), "" if stat.S_ISREG(kind) else "a device")
    if said:
        raise NotWrittenError(target, f"it is {said}", "Give the name of a plain file.")


def _is_own(target: Path, kind: Kind, body: bytes | None) -> bool:
    with target.open("rb") as file:
        head = file.read(_LOOKED_AT)
    if body is not None and target.stat().st_size == len(body) and target.read_bytes() == body:
        return True
    return kind.made_here(target, head)


def _refuse_ledger(target: Path) -> None:
    if _is_database(target):
        raise LedgerInTheWayError(target, "is a ledger or another database")
    for ending in LOGS:
        if target.name.endswith(ending) and _is_database(target.with_name(target.name.removesuffix(ending))):
            raise LedgerInTheWayError(target, "belongs to a ledger")


def _refuse_kept_files(target: Path) -> None:
    for folder in target.absolute().parents:
        if folder.name.endswith(_KEPT) and _keeps_files(folder):
            raise LedgerInTheWayError(target, "would lie among a ledger's kept files")


def _keeps_files(folder: Path) -> bool:
    """Tell whether a ledger of the folder's name stands beside it."""
    stem = folder.name.removesuffix(_KEPT)
    beside = (each for each in folder.parent.iterdir() if each.stem == stem) if folder.parent.is_dir() else ()
    return any(_is_database(each) for each in beside)


def _is_database(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(FIRST_BYTES)) == FIRST_BYTES


def _unwritable(target: Path, error: OSError | ValueError) -> ShopledgerError:
    if isinstance(error, OSError):
        return not_written(target, error)
    return NotWrittenError(target, str(error), "Give another name.")
