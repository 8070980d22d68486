"""The chain over every record: each time something is written, a seal says what, and is hashed with the seal before.

A record's row is written as JSON (RFC 8259): an array of the table's name and then the row's values, in the order of
their columns' names. Of the SHA-256 of that text a seal keeps the first sixteen bytes, the row's digest: `added` for
each row as it was written, `removed` for each as it stood before it was changed or deleted. So at any time the rows of
a table are those whose digests were added and not removed. A row that holds personal data carries sixteen random bytes
among its values: once they are blanked with the rest, its digest says nothing to whoever would guess what was there.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shopledger.ledger.books.journal import Head

DIGEST_DIGITS: Final = 32
"""How much of a row's SHA-256 is kept, in hex: nobody finds another row for a digest of 128 bits."""

_encoded: Final = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode


def row_digest(table: str, values: Sequence[int | str | None]) -> str:
    """Give the digest of a row from its values as they are stored, in the order of their columns' names."""
    return digest_of(_encoded([table, *values]).encode())


def digest_of(text: bytes) -> str:
    """Give the digest of a row from its JSON."""
    return hashlib.sha256(text).hexdigest()[:DIGEST_DIGITS]


def digests_in(joined: str) -> Iterator[str]:
    """Part joined digests again."""
    return (joined[start : start + DIGEST_DIGITS] for start in range(0, len(joined), DIGEST_DIGITS))


@dataclass(frozen=True, slots=True)
class Sealed:
    """What one seal says of one table: the digests of rows that were added to it and removed from it, joined."""

    added: str
    removed: str = ""

    @classmethod
    def of(cls, added: Iterable[str], removed: Iterable[str] = ()) -> Sealed:
        """Put the digests of a table together, sorted, so that it does not matter which row was written first."""
        return cls("".join(sorted(added)), "".join(sorted(removed)))

    @property
    def growth(self) -> int:
        """By how many rows the table grew."""
        return (len(self.added) - len(self.removed)) // DIGEST_DIGITS


def seal_body(tables: Mapping[str, Sealed]) -> str:
    """Write what a seal says of each table that it names: a JSON object of tables, each with its added and removed."""
    said = {name: [part.added, part.removed] if part.removed else [part.added] for name, part in tables.items()}
    return _encoded(said)


def read_body(body: str) -> dict[str, Sealed]:
    """Read what a seal says of each table; raises ValueError, TypeError or AttributeError where it says nothing."""
    return {name: Sealed(*said) for name, said in json.loads(body).items()}


@dataclass(frozen=True, slots=True)
class Seal:
    """One link of the chain: who wrote, when, and what was written."""

    number: int
    operator: str
    recorded_at: str
    note: str
    """Why, where it was no day's work: which revision the tables were brought to."""
    body: str
    hash: str = ""

    def after(self, last_hash: str) -> str:
        """Work its hash out: SHA-256 over the hash before, then who, when and why as JSON, then the body."""
        said = {
            "note": self.note,
            "number": self.number,
            "operator": self.operator,
            "recorded_at": self.recorded_at,
        }
        return hashlib.sha256(bytes.fromhex(last_hash) + _encoded(said).encode() + self.body.encode()).hexdigest()

    @property
    def head(self) -> Head:
        """The head of the chain that ends with it."""
        return Head(self.number, self.hash)


def next_seal(head: Head, operator: str, recorded_at: str, note: str, tables: Mapping[str, Sealed]) -> Seal:
    """Make the seal that follows on a head."""
    seal = Seal(head.count + 1, operator, recorded_at, note, seal_body(tables))
    return replace(seal, hash=seal.after(head.hash))
