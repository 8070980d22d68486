"""Files kept as proof in the ledger: each under the hash of its bytes, so that a changed one is noticed.

They lie in the ledger itself, so that a copy of it holds them, and a second computer at the same ledger sees them.
Ledgers of before kept the bytes in a folder beside them; an upgrade takes those in, and leaves the folder as it is.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, inspect, select, text

from shopledger.files.reading import LARGEST, NotReadError, read_outside
from shopledger.ledger.erasing import ErasedError
from shopledger.ledger.text import is_mark, refuse_private, refuse_unseen
from shopledger.store.records import Record
from shopledger.store.refusals import FileChangedError, FileErasedError, FileNotKeptError, FileUnreadableError
from shopledger.store.tables.spending import kept_body, kept_file
from shopledger.store.transaction import Area


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that is kept: its name as it came, its size in bytes, and the hash of its bytes."""

    sha256: str
    name: str
    size: int


KEPT_FILE: Final = Record(KeptFile, kept_file)


class KeptFiles(Area):
    """The files kept in the ledger; none is ever overwritten."""

    def keep(self, source: Path) -> KeptFile:
        """Take a file into the ledger; the same bytes are kept once."""
        body = _read(source)
        kept = self._described(source, body)
        if not self.transaction.has(kept_file, {kept_file.c.sha256: kept.sha256}):
            self.transaction.put(KEPT_FILE, kept)
        if not self.transaction.has(kept_body, {kept_body.c.sha256: kept.sha256}):
            self.transaction.add(kept_body, {"sha256": kept.sha256, "body": body})
        return kept

    def look(self, source: Path) -> KeptFile:
        """Read a file that is to be kept, and keep nothing yet."""
        return self._described(source, _read(source))

    def get(self, sha256: str) -> KeptFile:
        """Give what is known of a kept file."""
        found = self.transaction.one(KEPT_FILE, {kept_file.c.sha256: sha256})
        if found is None:
            raise FileNotKeptError(sha256)
        return found

    def body(self, sha256: str) -> bytes:
        """Give a kept file's bytes; refuses what is missing or no longer what was kept."""
        kept = self.get(sha256)
        if is_mark(kept.name):
            raise ErasedError(f"the kept file {sha256[:16]}", kept.name.rpartition(" ")[2])
        found = self.transaction.chosen(select(kept_body.c.body).where(kept_body.c.sha256 == sha256))
        if not found:
            raise FileChangedError(kept.name, "it is missing")
        body = bytes(found[0].body)
        if hashlib.sha256(body).hexdigest() != sha256:
            raise FileChangedError(kept.name, "it is not what was kept")
        return body

    def all(self) -> tuple[KeptFile, ...]:
        """Give every kept file, by name."""
        return self.transaction.all(KEPT_FILE, order=(kept_file.c.name, kept_file.c.sha256))

    def _described(self, source: Path, body: bytes) -> KeptFile:
        """Say what would be kept; bytes that were erased once would be taken for kept, and are refused."""
        refuse_unseen("file name", source.name)
        refuse_private("file name", source.name)
        kept = KeptFile(hashlib.sha256(body).hexdigest(), source.name, len(body))
        past = self.transaction.one(KEPT_FILE, {kept_file.c.sha256: kept.sha256})
        if past is not None and is_mark(past.name):
            raise FileErasedError(source.name, past.name.rpartition(" ")[2])
        return kept


def take_in(connection: Connection, folder: Path) -> None:
    """Take the bytes of kept files into a ledger that kept them in a folder; what is missing there stays missing."""
    if not inspect(connection).has_table(kept_body.name):
        return
    lacking = text("SELECT sha256 FROM kept_file WHERE sha256 NOT IN (SELECT sha256 FROM kept_body)")
    for sha256 in connection.execute(lacking).scalars().all():
        with suppress(OSError):
            body = (folder / sha256[:2] / sha256).read_bytes()
            if hashlib.sha256(body).hexdigest() == sha256:
                taking = text("INSERT INTO kept_body (sha256, body, seal) VALUES (:sha256, :body, 1)")
                connection.execute(taking, {"sha256": sha256, "body": body})


def _read(source: Path) -> bytes:
    try:
        return read_outside(source, LARGEST)
    except NotReadError as error:
        raise FileUnreadableError(str(source), error.reason) from error
