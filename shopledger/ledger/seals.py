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
from collections.abc import Iterable, Mapping, Sequence
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


def digests_of(texts: Iterable[bytes]) -> set[str]:
    """Give the digests of many rows."""
    sha256 = hashlib.sha256
    return {sha256(text).hexdigest()[:DIGEST_DIGITS] for text in texts}


def digests_in(joined: str) -> set[str]:
    """Part joined digests again."""
    return {joined[start : start + DIGEST_DIGITS] for start in range(0, len(joined), DIGEST_DIGITS)}


def digests_listed(joined: str) -> list[str]:
    """Part joined digests again, in their order and each as often as it stands there."""
    return [joined[start : start + DIGEST_DIGITS] for start in range(0, len(joined), DIGEST_DIGITS)]


@dataclass(frozen=True, slots=True)
class Sealed:
    """What one seal says of one table: the digests of rows that were added to it and removed from it, joined."""

    added: str
    removed: str = ""

    @classmethod
    def of(cls, added: Iterable[str], removed: Iterable[str] = ()) -> Sealed:
        """Put the digests of a table together, sorted, so that it does not matter which row was written first."""
        return cls("".join(sorted(added)), "".join(sorted(removed)))


def seal_body(tables: Mapping[str, Sealed]) -> str:
    """Write what a seal says of each table that it names: a JSON object of tables, each with its added and removed."""
    said = {name: [part.added, part.removed] if part.removed else [part.added] for name, part in tables.items()}
    return _encoded(said)


def read_bodies(bodies: Sequence[str]) -> list[dict[str, list[str]]]:
    """Read what seals say of each table, all at once: added, and removed if any. Raises ValueError where one cannot."""
    said: list[dict[str, list[str]]] = json.loads(f"[{','.join(bodies)}]")
    whole = len(said) == len(bodies) and all(isinstance(each, dict) for each in said)
    if not whole or not all(isinstance(part, list) for each in said for part in each.values()):
        message = "what a seal says of tables cannot be read"
        raise ValueError(message)
    return said


@dataclass(frozen=True, slots=True)
class Seal:
    """One link of the chain: who wrote, when, and what was written."""

    number: int
    operator: str
    recorded_at: str
    note: str
    """Which program set it, and why where it was no day's work: to which state the tables were brought."""
    body: str
    hash: str = ""

    @property
    def heading(self) -> str:
        """Who, when and why, as JSON."""
        said = {"note": self.note, "number": self.number, "operator": self.operator, "recorded_at": self.recorded_at}
        return _encoded(said)

    @property
    def head(self) -> Head:
        """The head of the chain that ends with it."""
        return Head(self.number, self.hash)


def chain_hash(last_hash: str, heading: str, body: str) -> str:
    """Work the hash of a seal out: SHA-256 over the hash before, then its heading, then its body."""
    return hashlib.sha256(bytes.fromhex(last_hash) + (heading + body).encode()).hexdigest()


def next_seal(head: Head, operator: str, recorded_at: str, note: str, tables: Mapping[str, Sealed]) -> Seal:
    """Make the seal that follows on a head."""
    seal = Seal(head.count + 1, operator, recorded_at, note, seal_body(tables))
    return replace(seal, hash=chain_hash(head.hash, seal.heading, seal.body))
