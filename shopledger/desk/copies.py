"""The copies that lie about: listed by the places themselves, and looked into; no ledger is needed for either."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from shopledger.errors import ShopledgerError
from shopledger.ledger.backups import BackupPlace, LedgerCopy
from shopledger.store.backups.checking import is_sealed, look_into
from shopledger.store.backups.heads import write_head
from shopledger.store.backups.lists import has_list, list_file, listed
from shopledger.store.backups.sealing import hash_of, unsealed
from shopledger.store.places import copies_of, ledger_path, ledger_url
from shopledger.store.refusals import CopyChangedError, CopyUnreadableError
from shopledger.store.usual_place import default_ledger_path


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


def check_copy(file: Path, secret: str = "", room: Path | None = None) -> CheckedCopy:
    """Look into one copy: its bytes against the list beside it, its pages, references and whole chain.

    An encrypted one is opened into a draft in `room`, else in the system's own folder for such files: never beside the
    copy, since a stick keeps what was on it.
    """
    try:
        return _checked(file, _in_list(file), secret, room or Path(tempfile.gettempdir()))
    except ShopledgerError as error:
        return CheckedCopy(file, wrong=str(error))
    except OSError as error:
        return CheckedCopy(file, wrong=str(CopyUnreadableError(str(file), (error.strerror or str(error)).lower())))


def check_places(folders: Sequence[Path], secret: str = "", room: Path | None = None) -> tuple[CheckedCopy, ...]:
    """Look into every copy that these places list. Raises NoPlaceError for a folder without a list."""
    copies = [Path(copy.folder) / copy.file for folder in folders for copy in listed(folder)]
    return tuple(check_copy(file, secret, room) for file in copies)


def copies_in(folders: Sequence[Path]) -> tuple[LedgerCopy, ...]:
    """Give the copies that places list, oldest first in each. Raises NoPlaceError for a folder without a list."""
    return tuple(copy for folder in folders for copy in listed(folder))


def before_upgrades(given: str | None) -> tuple[Path, ...]:
    """Give the folder for copies of the ledger from before upgrades, if there is any."""
    folder = copies_of(ledger_url(given))
    return (folder,) if has_list(folder) else ()


def room_beside(given: str | None) -> Path | None:
    """Give the folder of the ledger that was named, where its owner alone may look; None where there is none."""
    folder = (ledger_path(ledger_url(given)) or default_ledger_path()).parent
    return folder if folder.is_dir() else None


def is_locked(file: Path) -> bool:
    """Tell whether a copy is encrypted."""
    return file.is_file() and is_sealed(file)


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


def _checked(file: Path, known: LedgerCopy | None, secret: str, room: Path) -> CheckedCopy:
    sealed, size = is_sealed(file), file.stat().st_size
    if known is not None and hash_of(file) != known.sha256:
        raise CopyChangedError(str(file), "its bytes are not those that were written down when it was made")
    if sealed and not secret:
        named = (known.head, known.revision) if known else ("", "")
        return CheckedCopy(file, size, sealed, listed=known is not None, head=named[0], revision=named[1])
    with readable(file, secret, room / "copy.db") as opened:
        looked = look_into(opened, chain=True)
    head = write_head(looked.head) if looked.head else ""
    if known is not None and head and head != known.head:
        raise CopyChangedError(str(file), "it does not end with the entry that was written down when it was made")
    return CheckedCopy(file, size, sealed, opened=True, listed=known is not None, head=head, revision=looked.revision)


@dataclass(frozen=True, slots=True)
class PlaceState:
    """A place for copies as it is found now."""

    place: BackupPlace
    there: bool
    """Whether it can be reached."""
    copies: tuple[LedgerCopy, ...] = ()
    """Those that it lists, the newest first."""


def states_of(places: Sequence[BackupPlace]) -> tuple[PlaceState, ...]:
    """Look at places for copies, each by its own list."""
    return tuple(_state_of(place) for place in places)


def _state_of(place: BackupPlace) -> PlaceState:
    folder = Path(place.folder)
    if not has_list(folder):
        return PlaceState(place, there=False)
    return PlaceState(place, there=True, copies=tuple(reversed(listed(folder))))
