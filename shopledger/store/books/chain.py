"""The chain of the journal worked out again, a stretch of entries at a time.

The database joins the words of each stretch; here they become the very bytes of `Entry.canonical` again and are hashed,
while the next stretch is being read. A stretch that does not fit says only that: which entry it is, and why, is found
by looking at its entries one by one.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from json.encoder import encode_basestring
from typing import Final

from shopledger.ledger.books.journal import Head
from shopledger.store.transaction import Transaction

ENTRIES_AT_ONCE: Final = 20_000
_TURN: Final = 0.0002
"""For how long one thread may keep the other waiting. [s]"""

_GAP: Final = "\x1f"
"""Stands between the words of one entry and the next; where it stands in words itself, the stretch does not fit."""
_NEXT: Final = f"CASE position WHEN 1 THEN '{_GAP}' ELSE '],[\"' END"
_ENTRIES: Final = {
    "sqlite": f"""
SELECT COUNT(*) AS many, COUNT(reverses) AS reversing, group_concat(day, '{_GAP}') AS days,
    group_concat(document, '{_GAP}') AS documents, group_concat(memo, '{_GAP}') AS memos,
    group_concat(hash, '') AS hashes
FROM journal_entry WHERE number BETWEEN :first AND :last
""",  # noqa: S608 - the words above
    "postgresql": f"""
SELECT COUNT(*) AS many, COUNT(reverses) AS reversing, string_agg(day, '{_GAP}' ORDER BY number) AS days,
    string_agg(document, '{_GAP}' ORDER BY number) AS documents, string_agg(memo, '{_GAP}' ORDER BY number) AS memos,
    string_agg(hash, '' ORDER BY number) AS hashes
FROM journal_entry WHERE number BETWEEN :first AND :last
""",  # noqa: S608 - as above
}
_POSTINGS: Final = {
    "sqlite": f"""
SELECT group_concat(account || '",' || amount, {_NEXT}) AS postings
FROM journal_posting WHERE entry_number BETWEEN :first AND :last
""",  # noqa: S608 - as above
    "postgresql": f"""
SELECT string_agg(account || '",' || CAST(amount AS TEXT), {_NEXT} ORDER BY entry_number, position) AS postings
FROM journal_posting WHERE entry_number BETWEEN :first AND :last
""",  # noqa: S608 - as above
}
_REVERSING: Final = """
SELECT number, reverses FROM journal_entry WHERE number BETWEEN :first AND :last AND reverses IS NOT NULL
"""
_ENDS: Final = "SELECT MIN(number) AS lowest, MAX(number) AS highest FROM journal_entry"
_TO_ESCAPE: Final = re.compile(r'["\\\x00-\x1e]')
"""What JSON writes otherwise than it stands; the gap cannot be looked for, and no words with one fit."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Entries one after another, each kind of their words joined; `reverses` by number, where an entry has one."""

    first: int
    last: int
    count: int
    days: str
    documents: str
    memos: str
    hashes: str
    postings: str
    reverses: tuple[tuple[int, int], ...]

    def head_after(self, head: Head) -> Head | None:
        """Give the head after these entries if they follow on a head, or None where anything does not fit."""
        bodies = self._bodies()
        if bodies is None or self.first != head.count + 1:
            return None
        digests, last = [], bytes.fromhex(head.hash)
        for body in bodies:
            last = sha256(last + body).digest()
            digests.append(last)
        return Head(self.last, last.hex()) if b"".join(digests).hex() == self.hashes else None

    def _bodies(self) -> list[bytes] | None:
        """Give each entry's canonical bytes, or None where the words are not those of so many entries."""
        parts = (self.days, _escaped(self.documents), _escaped(self.memos), self.postings)
        columns = [part.split(_GAP) for part in parts]
        wanted = self.last - self.first + 1
        if self.count != wanted or not self.postings or any(len(column) != wanted for column in columns):
            return None
        bodies = [
            f'{{"day":"{day}","document":"{document}","memo":"{memo}","postings":[["{postings}]]}}'.encode()
            for day, document, memo, postings in zip(*columns, strict=True)
        ]
        for number, reversed_number in self.reverses:
            place = number - self.first
            bodies[place] = bodies[place][:-1] + f',"reverses":{reversed_number}}}'.encode()
        return bodies


def stretches(transaction: Transaction) -> Iterator[Stretch]:
    """Give the whole journal in stretches, the next one read while one is looked at."""
    reading = _read(transaction)
    with quick_turns(), ThreadPoolExecutor(1) as reader:
        ahead = reader.submit(next, reading, None)
        while (stretch := ahead.result()) is not None:
            ahead = reader.submit(next, reading, None)
            yield stretch


@contextmanager
def quick_turns() -> Iterator[None]:
    """Let the threads take turns quickly: as Python has it, the reader would wait 5 ms each time it is done."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(_TURN)
    try:
        yield
    finally:
        sys.setswitchinterval(usual)


def _read(transaction: Transaction) -> Iterator[Stretch]:
    ends = transaction.asked(_ENDS)[0]
    highest = int(ends.highest or 0)
    kind = transaction.connection.dialect.name
    for first in range(min(int(ends.lowest or 1), 1), highest + 1, ENTRIES_AT_ONCE):
        last = min(first + ENTRIES_AT_ONCE - 1, highest)
        words = transaction.asked(_ENTRIES[kind], first=first, last=last)[0]
        posted = transaction.asked(_POSTINGS[kind], first=first, last=last)[0]
        turned = transaction.asked(_REVERSING, first=first, last=last) if words.reversing else ()
        yield Stretch(
            first=first,
            last=last,
            count=words.many,
            days=words.days or "",
            documents=words.documents or "",
            memos=words.memos or "",
            hashes=words.hashes or "",
            postings=posted.postings or "",
            reverses=tuple((row.number, row.reverses) for row in turned),
        )


def _escaped(words: str) -> str:
    """Write words as JSON does between its quotes; most need nothing, which one look at all of them shows."""
    if not _TO_ESCAPE.search(words):
        return words
    return _GAP.join(encode_basestring(each)[1:-1] for each in words.split(_GAP))
