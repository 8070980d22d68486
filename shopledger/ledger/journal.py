"""The books: balanced double entries, each chained to the one before by a hash.

Accounts are few and tied to the Schedule C line where one fits (IRS Publication 334, chapter 9). A
posting's amount is positive for a debit and negative for a credit, so an entry balances when its postings sum to zero.
The chain proves that nothing between two printed heads was changed; `HEAD` at any time is (count, hash).
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import LedgerError
from shopledger.money.amount import Cents, write_amount


class Account(Enum):
    """The chart of accounts: name in the books, and Schedule C line or empty."""

    RECEIVABLE = ("receivable", "")
    CASH = ("cash", "")
    CARD_CLEARING = ("card clearing", "")
    BANK = ("bank", "")
    SALES = ("sales", "1")
    SHIPPING_INCOME = ("shipping income", "1")
    SALES_TAX_PAYABLE = ("sales tax payable", "")
    RETURNS = ("returns and allowances", "2")

    def __init__(self, title: str, schedule_c: str) -> None:
        self.title = title
        self.schedule_c = schedule_c


class UnbalancedError(LedgerError):
    """An entry whose debits and credits differ."""

    def __init__(self, memo: str, difference: Cents) -> None:
        super().__init__(memo, difference)
        self.memo = memo
        self.difference = difference

    def __str__(self) -> str:
        """Say by how much."""
        return (
            f"the entry '{self.memo}' is out of balance by {write_amount(self.difference)}; debits must equal credits."
        )


@dataclass(frozen=True, slots=True)
class Posting:
    """One account touched: debit positive, credit negative."""

    account: Account
    amount: Cents


@dataclass(frozen=True, slots=True)
class Entry:
    """One event in the books; zero postings are left out, the rest must balance."""

    day: date
    memo: str
    document: str
    """What it stands on: `order 12`, `payment 30`."""
    postings: tuple[Posting, ...]
    reverses: int | None = None
    """Number of the entry that this one takes back."""

    def __post_init__(self) -> None:
        """Drop empty postings and refuse an entry out of balance."""
        kept = tuple(posting for posting in self.postings if posting.amount)
        object.__setattr__(self, "postings", kept)
        difference = sum(posting.amount for posting in kept)
        if difference:
            raise UnbalancedError(self.memo, difference)

    def canonical(self) -> bytes:
        """Give the entry as bytes that never change: keys in a fixed order, no spare space, UTF-8."""
        body: dict[str, object] = {
            "day": self.day.isoformat(),
            "document": self.document,
            "memo": self.memo,
            "postings": [[posting.account.title, posting.amount] for posting in self.postings],
        }
        if self.reverses is not None:
            body["reverses"] = self.reverses
        return json.dumps(body, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()


@dataclass(frozen=True, slots=True)
class Head:
    """How many entries the journal holds and the hash of the last: proof of all before it."""

    count: int
    hash: str

    def __str__(self) -> str:
        """Write the head as printed on papers: count and the first sixteen hex digits."""
        return f"{self.count}-{self.hash[:16]}"


EMPTY_HEAD: Final = Head(0, "0" * 64)


def chained(head: Head, entry: Entry) -> Head:
    """Give the head after this entry: SHA-256 over the hash before and the entry's canonical form."""
    digest = hashlib.sha256(bytes.fromhex(head.hash) + entry.canonical()).hexdigest()
    return Head(head.count + 1, digest)
