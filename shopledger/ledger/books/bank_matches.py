"""What moves the bank account in the books, and which line of the bank's each of it is.

A line is one entry only where a number says so, or where their cents are the same and nothing else could be meant. A
set of payments is never taken for one line because its sum fits: among a shop's round prices some set nearly always
does. What is left the owner picks.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError, nearest
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.statements import BankLine
from shopledger.money.amount import Cents, write_amount

STALE_DAYS: Final = 180
"""Days after which a bank need not pay a check (UCC 4-404; value from memory)."""
_BEFORE, _SOON, _MAILED = -1, 5, 10
"""From how many days before its entry a line may stand, and up to how many after: for cards and transfers, and for
what is brought to the bank. (common practice, no source)"""
_CHECK: Final = re.compile(r"(?:\bcheck\b|\bck\b|\bchk\b|#|\bno\.?)?\s*#?\s*0*([0-9]{1,8})", re.IGNORECASE)
_NAMED: Final = re.compile(r"([a-z ]+) ([1-9][0-9]{0,8}) ")
_OTHER: Final = re.compile(r"line[ -]([1-9][0-9]{0,8})", re.IGNORECASE)
_FEWEST: Final = 4
"""Letters that a reference needs so that finding it in a text means something. (common practice, no source)"""
_MAILED_IN: Final = frozenset({DocumentKind.PAYMENT, DocumentKind.DEPOSIT})


class MatchedBy(Enum):
    """Why a line is taken for an entry."""

    CHECK = "check number"
    REFERENCE = "reference"
    AMOUNT = "amount and day"
    OWNER = "picked by the owner"


class LineMeaning(Enum):
    """What a line can become an entry as."""

    FEE = "fee"
    INTEREST = "interest"
    DRAW = "draw"
    CONTRIBUTION = "contribution"
    EXPENSE = "expense"

    @property
    def comes_in(self) -> bool:
        """Whether such a line is money that comes in."""
        return self in {LineMeaning.INTEREST, LineMeaning.CONTRIBUTION}


@dataclass(frozen=True, slots=True)
class BookEntry:
    """An entry that moves the bank account: what comes in is above zero."""

    number: int
    day: date
    amount: Cents
    document: Document
    memo: str
    reference: str = ""
    reverses: int | None = None
    is_opening: bool = False
    """Whether it says what lay there when the books began: no line of the bank's."""


@dataclass(frozen=True, slots=True)
class BankMatch:
    """That a line is an entry from a day on, the later of both; with `takes_back`, that an earlier match was wrong.

    Two lines may be one another instead: a transfer between the shop's own accounts, or an error of the bank's and its
    correction.
    """

    day: date
    line_number: int
    entry_number: int | None
    other_line: int | None = None
    takes_back: int | None = None
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Proposed:
    """A line and the entry that it is, and why."""

    line: BankLine
    entry: BookEntry
    by: MatchedBy

    @property
    def match(self) -> BankMatch:
        """The match as it is kept."""
        return matched(self.line, self.entry)


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A line that is no entry yet, and those that it could be: same cents, and a day that fits."""

    line: BankLine
    candidates: tuple[BookEntry, ...] = ()


def check_pair(line: BankLine, other: BankLine) -> None:
    """Refuse two lines that do not come to nothing."""
    if line.number == other.number or line.amount + other.amount:
        raise RefusedError(
            f"line {line.number}",
            write_amount(line.amount),
            f"line {other.number} is {write_amount(other.amount)}; two lines are matched where they come to nothing",
            "It is for a transfer between your own accounts, or for an error of the bank's and its correction.",
        )


def paired(line: BankLine, other: BankLine) -> BankMatch:
    """Give the match of two lines that come to nothing, from the later of their days on."""
    return BankMatch(max(line.day, other.day), line.number or 0, None, other.number)


def matched(line: BankLine, entry: BookEntry) -> BankMatch:
    """Give the match of a line and an entry, from the later of their days on."""
    return BankMatch(max(line.day, entry.day), line.number or 0, entry.number)


def open_entries(entries: Sequence[BookEntry], matches: Iterable[BankMatch]) -> tuple[BookEntry, ...]:
    """Give the entries that are no line yet; one that was reversed goes with the entry that reverses it."""
    met = {match.entry_number for match in matches}
    by_number = {entry.number: entry for entry in entries}
    gone = {
        number
        for entry in entries
        if entry.reverses in by_number and not met & {entry.number, entry.reverses}
        for number in (entry.number, entry.reverses)
    }
    return tuple(entry for entry in entries if entry.number not in met | gone and not entry.is_opening)


def open_lines(
    lines: Sequence[BankLine], matches: Iterable[BankMatch], begun: date | None = None
) -> tuple[BankLine, ...]:
    """Give the lines that are no entry yet, without what the bank put right and what was before the books began."""
    met = {number for match in matches for number in (match.line_number, match.other_line)}
    overtaken = {line.replaces for line in lines}
    return tuple(
        line
        for line in lines
        if line.number not in met | overtaken and line.amount and (begun is None or line.day >= begun)
    )


def propose(lines: Sequence[BankLine], entries: Sequence[BookEntry]) -> tuple[Proposed, ...]:
    """Give each line that can only be one entry, where that can only be the line, by the surest sign first."""
    found: list[Proposed] = []
    left, waiting = list(lines), list(entries)
    for by, fits, may in (
        (MatchedBy.CHECK, _by_check, lambda entry: check_number(entry.reference) != ""),
        (MatchedBy.REFERENCE, _by_reference, lambda entry: len(entry.reference) >= _FEWEST),
        (MatchedBy.AMOUNT, _by_day, lambda _: True),
    ):
        sure = [Proposed(*pair, by) for pair in _only(left, filter(may, waiting), fits)]
        met = {each.line.number for each in sure}, {each.entry.number for each in sure}
        left = [line for line in left if line.number not in met[0]]
        waiting = [entry for entry in waiting if entry.number not in met[1]]
        found += sure
    return tuple(sorted(found, key=lambda each: (each.line.day, each.line.number)))


def still_open(lines: Sequence[BankLine], entries: Sequence[BookEntry]) -> tuple[OpenLine, ...]:
    """Give lines with what each could be, for the owner to pick."""
    fitting = _ByAmount(entries)
    return tuple(
        OpenLine(line, tuple(entry for entry in fitting.near(line) if _in_window(line, entry))) for line in lines
    )


def check_pick(line: BankLine, entries: Sequence[BookEntry]) -> None:
    """Refuse entries that do not come to the line's amount to the cent."""
    total = sum(entry.amount for entry in entries)
    if total != line.amount:
        named = ", ".join(str(entry.document) for entry in entries)
        raise RefusedError(
            f"line {line.number}",
            write_amount(line.amount),
            f"{named} {'moves' if len(entries) == 1 else 'move'} the bank account by {write_amount(total)}",
            "Name what makes it up to the cent, or put the books right first: 'shopledger fix' says how.",
        )


def check_number(reference: str) -> str:
    """Give the number of a check out of a reference such as `1042`, `check 1042` or `#1042`; nothing without one."""
    found = _CHECK.fullmatch(reference.strip())
    return found[1] if found else ""


def _only(
    lines: Sequence[BankLine], entries: Iterable[BookEntry], fits: Callable[[BankLine, BookEntry], bool]
) -> list[tuple[BankLine, BookEntry]]:
    """Give the pairs of which neither could be paired otherwise."""
    same = _ByAmount(entries)
    pairs = [(line, entry) for line in lines for entry in same.near(line) if fits(line, entry)]
    by_line, by_entry = defaultdict(list), defaultdict(list)
    for line, entry in pairs:
        by_line[line.number].append(entry)
        by_entry[entry.number].append(line)
    return [pair for pair in pairs if len(by_line[pair[0].number]) == 1 == len(by_entry[pair[1].number])]


class _ByAmount:
    """Entries by their cents and day, so that a line of round cents among thousands looks at a few."""

    def __init__(self, entries: Iterable[BookEntry]) -> None:
        self._entries: defaultdict[Cents, list[BookEntry]] = defaultdict(list)
        for entry in sorted(entries, key=lambda each: (each.day, each.number)):
            self._entries[entry.amount].append(entry)
        self._days = {amount: [entry.day for entry in found] for amount, found in self._entries.items()}

    def near(self, line: BankLine) -> Sequence[BookEntry]:
        """Give the entries of the line's cents that any sign could make it, by their days."""
        days = self._days.get(line.amount)
        if not days:
            return ()
        first, last = line.day - timedelta(STALE_DAYS), line.day - timedelta(_BEFORE)
        return self._entries[line.amount][bisect_left(days, first) : bisect_right(days, last)]


def _by_check(line: BankLine, entry: BookEntry) -> bool:
    if not line.check_number or line.amount >= 0:
        return False
    number = check_number(line.check_number)
    written = number != "" and check_number(entry.reference) == number
    return written and 0 <= (line.day - entry.day).days <= STALE_DAYS


def _by_reference(line: BankLine, entry: BookEntry) -> bool:
    wanted, text = entry.reference.casefold(), line.text.casefold()
    if len(wanted) < _FEWEST or wanted not in text:
        return False
    told = re.search(rf"(?<![0-9a-z]){re.escape(wanted)}(?![0-9a-z])", text)
    return told is not None and _BEFORE <= (line.day - entry.day).days <= STALE_DAYS


def _by_day(line: BankLine, entry: BookEntry) -> bool:
    """Tell whether day and amount fit; a line that names another check than the entry is not that check."""
    if not _in_window(line, entry):
        return False
    named, written = check_number(line.check_number), check_number(entry.reference)
    return not (named and written and named != written and line.amount < 0)


def _in_window(line: BankLine, entry: BookEntry) -> bool:
    after = (line.day - entry.day).days
    if line.amount < 0 and line.check_number:
        return 0 <= after <= STALE_DAYS
    return _BEFORE <= after <= (_MAILED if entry.document.kind in _MAILED_IN and entry.amount > 0 else _SOON)


def other_line(text: str) -> int | None:
    """Read the other of two lines, as in `line 17`; None for anything else."""
    typed = _OTHER.fullmatch(text.strip())
    return int(typed[1]) if typed else None


def read_documents(text: str) -> tuple[Document, ...]:
    """Read documents of any kind with their numbers, as in `expense 4 payment-12`."""
    typed = " ".join(re.sub(r"[-_,]", " ", text.casefold()).split())
    kinds = {kind.value: kind for kind in DocumentKind}
    found = [(kind.strip(), number) for kind, number in _NAMED.findall(f"{typed} ")]
    whole = " ".join(f"{kind} {number}" for kind, number in found)
    unknown = next((kind for kind, _ in found if kind not in kinds), None)
    if not found or whole != typed or unknown is not None:
        near = nearest(unknown or typed, kinds, most=1)
        hint = f"Did you mean '{near[0]} 4'?" if near else "Type it as in 'expense 4'."
        rule = "it is a kind of document with its number, as 'shopledger bank match' lists them"
        raise RefusedError("document", f"'{text.strip()}'", rule, hint)
    return tuple(Document(kinds[kind], int(number)) for kind, number in found)
