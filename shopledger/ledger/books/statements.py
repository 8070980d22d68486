"""Bank statements: accounts by the owner's name, what a file says of one, and the lines as facts that are kept.

Amounts are the shop's: what comes into the account is above zero, what leaves it below. Of an account's number only
the last four digits are kept.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError, unseen
from shopledger.ledger.private_numbers import private_number
from shopledger.ledger.text import LONGEST_NAME, clean_text
from shopledger.money.amount import Cents

ENDING: Final = 4
"""How many digits of an account's number are kept."""
LONGEST_TEXT: Final = 300
_ENDING: Final = re.compile(r"[0-9]{4}")
_DIGITS: Final = re.compile(r"[0-9][0-9 .\-]{5,}[0-9]")
_SHORTEST_NUMBER: Final = 6
"""Fewer digits in a text than this are not taken for an account's number. (common practice, no source)"""


class StatementForm(Enum):
    """How a bank's statement came."""

    OFX = "ofx"
    CSV = "csv"
    CAMT = "camt.053"
    TYPED = "typed"
    """No file: the owner typed the balance from paper."""


@dataclass(frozen=True, slots=True)
class BankAccount:
    """An account at a bank, under the name that the owner gives it."""

    name: str
    ending: str = ""
    """The last four digits of its number."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the name to its rules, and refuse more of the number than is kept."""
        object.__setattr__(self, "name", clean_text("account name", self.name))
        if self.ending and not _ENDING.fullmatch(self.ending):
            rule = "of an account's number only the last four digits are kept"
            raise RefusedError("ending", f"{len(self.ending)} characters", rule, "Type four digits, as in 5678.")


@dataclass(frozen=True, slots=True)
class StatedBalance:
    """What a statement says lay in the account at the end of a day."""

    day: date
    amount: Cents


@dataclass(frozen=True, slots=True)
class StatedLine:
    """One line as a bank's file says it."""

    day: date
    amount: Cents
    text: str = ""
    source_id: str = ""
    """What the bank calls the line; some banks change it, and some give it twice."""
    check_number: str = ""
    kind: str = ""
    """The bank's word for what it is; what counts is the sign of the amount."""
    corrects: str = ""
    """The id of an earlier line that this one puts right."""


@dataclass(frozen=True, slots=True)
class StatedAccount:
    """What one file says of one account."""

    form: StatementForm
    lines: tuple[StatedLine, ...]
    ending: str = ""
    first: date | None = None
    last: date | None = None
    opening: StatedBalance | None = None
    closing: StatedBalance | None = None
    notes: tuple[str, ...] = ()
    """What was odd about the file and did no harm."""
    is_card: bool = False
    """Whether it is a credit card's, which is no account at the bank."""

    @property
    def span(self) -> tuple[date, date] | None:
        """The days that it tells of: as it says itself, but not beyond its balance, and at least those of its lines."""
        days = [line.day for line in self.lines]
        ends = [self.last, self.closing.day if self.closing else None] if self.last else []
        told = min((day for day in ends if day is not None), default=None)
        first = min((day for day in (self.first, *days) if day is not None), default=None)
        last = max((day for day in (told, *days) if day is not None), default=None)
        return None if first is None or last is None else (first, max(first, last))

    @property
    def total(self) -> Cents:
        """What its lines come to."""
        return sum(line.amount for line in self.lines)


@dataclass(frozen=True, slots=True)
class BankStatement:
    """That a statement was taken in: by its file's name and hash, and what it says besides its lines."""

    account_number: int
    day: date
    """The day it was taken in."""
    form: StatementForm
    file_name: str = ""
    sha256: str = ""
    first: date | None = None
    last: date | None = None
    balance_day: date | None = None
    balance: Cents | None = None
    accepted: tuple[str, ...] = ()
    """Codes of what was pointed out and accepted."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the file's name to its rules."""
        object.__setattr__(self, "file_name", clean_text("file name", self.file_name, required=False))


@dataclass(frozen=True, slots=True)
class BankLine:
    """A line of a statement as it is kept: a fact, which is never changed."""

    account_number: int
    statement_number: int
    day: date
    amount: Cents
    text: str
    check_number: str
    source_id: str
    kind: str
    key: str
    """What tells the line apart in its account."""
    replaces: int | None = None
    """The line in whose place it stands, since the bank put it right."""
    number: int | None = None

    @property
    def words(self) -> str:
        """The line in words, as a refusal names it."""
        return f"line {self.number}" + (f" ({self.text})" if self.text else "")


def ending_of(account_id: str) -> str:
    """Give the last four digits of an account's number; nothing where it has fewer."""
    digits = "".join(letter for letter in account_id if letter.isascii() and letter.isdigit())
    return digits[-ENDING:] if len(digits) >= ENDING else ""


def kept_words(text: str, account_id: str = "", longest: int = LONGEST_TEXT) -> str:
    """Give a bank's text on one line, without what cannot be seen, with no account's or card's whole number in it."""
    seen = " ".join("".join(" " if unseen(letter) else letter for letter in text).split())
    own = account_id.strip()
    if len(own) >= _SHORTEST_NUMBER:
        seen = seen.replace(own, f"…{own[-ENDING:]}")
    if private_number(seen):
        seen = _DIGITS.sub(lambda found: f"…{ending_of(found[0])}", seen)
    return seen[:longest].rstrip()


def without_account(account: StatedAccount, account_id: str) -> StatedAccount:
    """Give what a file says without the account's whole number, wherever that stands in its lines."""
    lines = tuple(
        replace(
            line,
            text=kept_words(line.text, account_id),
            source_id=kept_words(line.source_id, account_id),
            corrects=kept_words(line.corrects, account_id),
            check_number=kept_words(line.check_number, account_id, LONGEST_NAME),
            kind=kept_words(line.kind, account_id, LONGEST_NAME),
        )
        for line in account.lines
    )
    return replace(account, lines=lines, ending=ending_of(account_id))
