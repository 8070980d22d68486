"""What this computer knows of the chain beside the ledger: an older file in its place is told at the next command."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shopledger.store.outside import recall, remember
from shopledger.store.revision import HEAD_REVISION

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from shopledger.ledger.books.journal import Head
    from shopledger.store.ledger import Ledger

HEAD: Final = "head"
"""Under which subject the last head stands."""
PROOF: Final = "proof"
"""Under which subject the last proof of all stands."""


def other_past(ledger: Ledger) -> str:
    """Say that the ledger does not contain the last head that this computer saw; nothing where it does."""
    known = recall(ledger.url, HEAD)
    count, hashed = known.get("count"), known.get("hash")
    if not isinstance(count, int) or not isinstance(hashed, str):
        return ""
    now, carried = ledger.seals_at(count)
    if carried == hashed:
        return ""
    found = f"carries another one there ({carried[:16]})" if carried else f"ends at {now}"
    return (
        f"This computer last saw this ledger at head {count}-{hashed[:16]}; it now {found}. An older or another file "
        "lies in its place, or its newest entries are lost, as when the file with '-wal' behind its name is deleted. "
        "Look for the newest copy with 'shopledger backup list'. If it is meant to be so, prove it and say so with "
        "'shopledger verify --as-it-is'."
    )


def keep_head(ledger: Ledger, head: Head, now: datetime) -> None:
    """Remember the newest head; one that was seen already with more behind it stands."""
    known = recall(ledger.url, HEAD).get("count")
    if not isinstance(known, int) or known < head.count:
        as_it_is(ledger, head, now)


def as_it_is(ledger: Ledger, head: Head, now: datetime) -> None:
    """Take the head of the ledger as it is for the last, whatever was seen before."""
    remember(ledger.url, HEAD, {"count": head.count, "hash": head.hash, "at": now.isoformat(timespec="seconds")})


def keep_proof(ledger: Ledger, head: Head, counts: Mapping[str, int], now: datetime) -> None:
    """Remember on which head all of the ledger was proven, and how many rows each table had."""
    known = {"count": head.count, "hash": head.hash, "rows": dict(counts), "revision": HEAD_REVISION}
    remember(ledger.url, PROOF, {**known, "at": now.isoformat(timespec="seconds")})


def proven(ledger: Ledger) -> tuple[Head, Mapping[str, int]] | None:
    """Give the head on which all of the ledger was proven last, and the rows of then; None where it is not known."""
    from shopledger.ledger.books.journal import Head  # noqa: PLC0415 - as in the context

    known = recall(ledger.url, PROOF)
    try:
        head, rows = Head(int(known["count"]), str(known["hash"])), {str(k): int(v) for k, v in known["rows"].items()}
    except (KeyError, TypeError, ValueError, AttributeError):
        return None
    return (head, rows) if known.get("revision") == HEAD_REVISION else None
