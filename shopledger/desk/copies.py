"""The copies that lie about: listed by the places themselves, and looked into; no ledger is needed for either."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from shopledger.errors import ShopledgerError
from shopledger.ledger.backups import LedgerCopy
from shopledger.store.backups.checking import is_sealed, look_into
from shopledger.store.backups.heads import write_head
from shopledger.store.backups.lists import list_file, listed
from shopledger.store.backups.sealing import hash_of, unsealed
from shopledger.store.refusals import CopyChangedError, CopyUnreadableError


@dataclass(frozen=True, slots=True)
class CheckedCopy:
    """What looking into a copy came to: how far it was looked into, and what is wrong where anything is."""

    file: Path
    size: int = 0
    sealed: bool = False
    opened: bool = False
    """Whether its rows were looked at; one that is encrypted needs the secret key for that."""
    listed: bool = False
    """Whether its place lists it, with this very hash."""
    head: str = ""
    revision: str = ""
    wrong: str = ""

    @property
    def holds(self) -> bool:
        """Whether nothing is wrong with it."""
        return not self.wrong


def check_copy(file: Path, secret: str = "") -> CheckedCopy:
    """Look into one copy: its bytes against the list beside it, its pages, references and whole chain."""
    try:
        return _checked(file, _in_list(file), secret)
    except ShopledgerError as error:
        return CheckedCopy(file, wrong=str(error))
    except OSError as error:
        return CheckedCopy(file, wrong=str(CopyUnreadableError(str(file), (error.strerror or str(error)).lower())))


def check_places(folders: Sequence[Path], secret: str = "") -> tuple[CheckedCopy, ...]:
    """Look into every copy that these places list. Raises NoPlaceError for a folder without a list."""
    copies = [Path(copy.folder) / copy.file for folder in folders for copy in listed(folder)]
    return tuple(check_copy(file, secret) for file in copies)


def copies_in(folders: Sequence[Path]) -> tuple[LedgerCopy, ...]:
    """Give the copies that places list, oldest first in each. Raises NoPlaceError for a folder without a list."""
    return tuple(copy for folder in folders for copy in listed(folder))


@contextmanager
def readable(file: Path, secret: str, beside: Path) -> Iterator[Path]:
    """Give a copy that can be read: itself, or what it opens to, in a draft that goes when the block ends."""
    if not is_sealed(file):
        yield file
        return
    with unsealed(file, secret, beside) as opened:
        yield opened


def _in_list(file: Path) -> LedgerCopy | None:
    folder = file.absolute().parent
    if not list_file(folder).is_file():
        return None
    return next((copy for copy in listed(folder) if copy.file == file.name), None)


def _checked(file: Path, known: LedgerCopy | None, secret: str) -> CheckedCopy:
    sealed, size = is_sealed(file), file.stat().st_size
    if known is not None and hash_of(file) != known.sha256:
        raise CopyChangedError(str(file), "its bytes are not those that were written down when it was made")
    if sealed and not secret:
        named = (known.head, known.revision) if known else ("", "")
        return CheckedCopy(file, size, sealed, listed=known is not None, head=named[0], revision=named[1])
    with readable(file, secret, file.absolute()) as opened:
        looked = look_into(opened, chain=True)
    head = write_head(looked.head) if looked.head else ""
    if known is not None and head and head != known.head:
        raise CopyChangedError(str(file), "it does not end with the entry that was written down when it was made")
    return CheckedCopy(file, size, sealed, opened=True, listed=known is not None, head=head, revision=looked.revision)
