"""What proving the books comes to: check by check, what was looked at and what differs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from shopledger.errors import RefusedError, StoreError
from shopledger.ledger.books.journal import Head
from shopledger.money.amount import Cents, write_amount

MOST_NAMED: Final = 20
"""How many differences of one check are named; all are counted."""

_HEAD: Final = re.compile(r"([0-9]{1,10})-([0-9a-f]{16}|[0-9a-f]{64})")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is not as it should be: where, what it should be, and what was found."""

    where: str
    wanted: str
    found: str

    def __str__(self) -> str:
        """Say it in one line."""
        return f"{self.where}: {self.found}, where it should be {self.wanted}"


def money_differs(where: str, wanted: Cents, found: Cents) -> Difference:
    """Say that an amount differs."""
    return Difference(where, write_amount(wanted), write_amount(found))


@dataclass(frozen=True, slots=True)
class Proof:
    """One check: its code, what it proves, how many things it looked at, and what differs."""

    code: str
    words: str
    checked: int
    differences: tuple[Difference, ...] = ()
    """The first of them."""
    differing: int = 0
    """How many there are."""

    @property
    def holds(self) -> bool:
        """Whether nothing differs."""
        return not self.differing


def proof(code: str, words: str, checked: int, differences: Iterable[Difference]) -> Proof:
    """Put a check together; of many differences the first are named."""
    found = tuple(differences)
    return Proof(code, words, checked, found[:MOST_NAMED], len(found))


@dataclass(frozen=True, slots=True)
class Verdict:
    """All checks together, and the head of the books they were made on."""

    head: Head
    proofs: tuple[Proof, ...]

    @property
    def holds(self) -> bool:
        """Whether every check holds."""
        return all(each.holds for each in self.proofs)

    @property
    def entries(self) -> int:
        """How many entries of the journal were looked at."""
        return next((each.checked for each in self.proofs if each.code == "CHAIN"), 0)

    @property
    def failed(self) -> tuple[Proof, ...]:
        """The checks that do not hold."""
        return tuple(each for each in self.proofs if not each.holds)


class BooksDifferError(StoreError):
    """The books are not whole: some check does not hold."""

    failed: tuple[Proof, ...]
    sentence = (
        "the books differ ({codes}): the ledger was changed from outside, or the program has a fault. Keep the "
        "file as it is, and compare it with your last backup."
    )

    @property
    def codes(self) -> str:
        """The checks that do not hold."""
        return ", ".join(each.code for each in self.failed)


@dataclass(frozen=True, slots=True)
class KeptHead:
    """A head of the chain as it was printed or kept earlier: how many seals there were, and the hash of the last."""

    count: int
    start: str
    """The hash, or its first sixteen digits."""
    where: str = ""
    """What it was printed on."""

    @classmethod
    def read(cls, text: str, where: str = "") -> KeptHead:
        """Read `123-0123456789abcdef`."""
        typed = _HEAD.fullmatch(text.strip().casefold())
        if typed is None:
            raise RefusedError(
                "head",
                f"'{text}'",
                "it is a count and sixteen digits, as in 123-0123456789abcdef",
                "Type it as it stands on the receipt or workbook.",
            )
        return cls(int(typed[1]), typed[2], where)

    def __str__(self) -> str:
        """Write it as printed."""
        return f"{self.count}-{self.start[:16]}"

    def fits(self, hashed: str) -> bool:
        """Tell whether what has that count carries this hash; the head of nothing is zero."""
        return (hashed or ("0" * 64 if not self.count else "")).startswith(self.start)


def head_proof(claimed: KeptHead, hashed: str, holding: Iterable[KeptHead], head: Head) -> Proof:
    """Prove that an earlier head is still contained, or say where the ledger parts from it.

    `hashed` is what the seal of that count carries now; `holding` are other kept heads that are still contained.
    """
    words = f"the head {claimed} is contained"
    if claimed.fits(hashed):
        return Proof("HEAD", words, claimed.count)
    if claimed.count > head.count:
        found = f"the chain has {head.count} seals"
    else:
        last = max((kept for kept in holding if kept.count < claimed.count), key=lambda kept: kept.count, default=None)
        since = f"after {last.count}, which {last.where} still proves," if last else "somewhere"
        found = f"{claimed.count} carries {hashed[:16]}; the ledger parts from it {since} up to {claimed.count}"
    return proof("HEAD", words, claimed.count, [Difference(f"head {claimed}", claimed.start[:16], found)])
