"""Files kept as proof beside the ledger: each under the hash of its bytes, so that a changed one is noticed.

The bytes lie in a folder beside the ledger's file (of a ledger on a server: in the user's data folder of this
computer); the ledger itself holds the name, size and hash.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from shopledger.files.writing import written_whole
from shopledger.store.records import Record
from shopledger.store.refusals import FileChangedError, FileNotKeptError, FileUnreadableError
from shopledger.store.tables.spending import kept_file
from shopledger.store.transaction import Transaction

LARGEST = 50_000_000
"""The most bytes a kept file may have: a scan is smaller, and a film is no proof."""


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that is kept: its name as it came, its size in bytes, and the hash of its bytes."""

    sha256: str
    name: str
    size: int


KEPT_FILE: Final = Record(KeptFile, kept_file)


@dataclass(frozen=True, slots=True)
class KeptFiles:
    """The files kept beside the ledger; none is ever overwritten."""

    transaction: Transaction
    folder: Path

    def keep(self, source: Path) -> KeptFile:
        """Copy a file into the folder and note it; the same bytes are kept once."""
        body = _read(source)
        kept = _described(source, body)
        place = self._place(kept.sha256)
        if not place.is_file():
            place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with written_whole(place) as draft:
                draft.write_bytes(body)
        if not self.transaction.has(kept_file, {kept_file.c.sha256: kept.sha256}):
            self.transaction.put(KEPT_FILE, kept)
        return kept

    def look(self, source: Path) -> KeptFile:
        """Read a file that is to be kept, and keep nothing yet."""
        return _described(source, _read(source))

    def get(self, sha256: str) -> KeptFile:
        """Give what is known of a kept file."""
        found = self.transaction.one(KEPT_FILE, {kept_file.c.sha256: sha256})
        if found is None:
            raise FileNotKeptError(sha256)
        return found

    def body(self, sha256: str) -> bytes:
        """Give a kept file's bytes; refuses what is missing or no longer what was kept."""
        kept, place = self.get(sha256), self._place(sha256)
        try:
            body = place.read_bytes()
        except OSError:
            raise FileChangedError(kept.name, str(place), "it is missing") from None
        if hashlib.sha256(body).hexdigest() != sha256:
            raise FileChangedError(kept.name, str(place), "it is not what was kept")
        return body

    def all(self) -> tuple[KeptFile, ...]:
        """Give every kept file, by name."""
        return self.transaction.all(KEPT_FILE, order=(kept_file.c.name, kept_file.c.sha256))

    def _place(self, sha256: str) -> Path:
        return self.folder / sha256[:2] / sha256


def _described(source: Path, body: bytes) -> KeptFile:
    return KeptFile(hashlib.sha256(body).hexdigest(), source.name, len(body))


def _read(source: Path) -> bytes:
    try:
        if source.is_dir():
            raise FileUnreadableError(str(source), "it is a folder")
        if source.stat().st_size > LARGEST:
            raise FileUnreadableError(str(source), f"it is larger than {LARGEST // 1_000_000} MB")
        return source.read_bytes()
    except OSError as error:
        raise FileUnreadableError(str(source), (error.strerror or str(error)).lower()) from error
