"""The bank's balance and the books' brought together to the cent, at a day's end and over a month in four columns.

What the bank says, with what the shop deposited and the bank has not credited yet, less what the shop paid and the bank
has not paid out yet, is what the books say, with what the bank knows and the books do not yet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import Final

from shopledger.ledger.books.bank_matches import (
    STALE_DAYS,
    BankMatch,
    BookEntry,
    open_entries,
    open_lines,
)
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.statements import BankAccount, BankLine, BankStatement
from shopledger.money.amount import Cents

_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class OpenItem:
    """Something that one side knows and the other does not yet; what comes into the account is above zero."""

    amount: Cents
    words: str = ""
    day: date | None = None
    document: str = ""
    """The document of an entry, or the number of a line of the bank's."""
    puts_right: bool = False
    """Whether it puts right something that went the other way: it belongs in that one's column."""

    @property
    def is_receipt(self) -> bool:
        """Whether it counts among what came in."""
        return (self.amount > 0) != self.puts_right


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """Both balances at the end of a day, and what stands between them."""

    day: date
    statement: Cents
    books: Cents
    in_transit: tuple[OpenItem, ...] = ()
    """Deposited by the books, and not credited by the bank yet."""
    outstanding: tuple[OpenItem, ...] = ()
    """Paid by the books, and not paid out by the bank yet."""
    bank_errors: tuple[OpenItem, ...] = ()
    """What the bank has to put right."""
    unbooked: tuple[OpenItem, ...] = ()
    """What the bank knows and the books do not yet."""

    @property
    def bank_side(self) -> Cents:
        """The bank's balance once it knows what the books know."""
        return self.statement + _sum((*self.in_transit, *self.outstanding, *self.bank_errors))

    @property
    def book_side(self) -> Cents:
        """The books' balance once they know what the bank knows."""
        return self.books + _sum(self.unbooked)

    @property
    def difference(self) -> Cents:
        """What nothing explains."""
        return self.bank_side - self.book_side

    @property
    def agrees(self) -> bool:
        """Whether the bank agrees with the books as they are, to the cent."""
        return not self.difference and not self.unbooked

    @property
    def lines_said(self) -> str:
        """Say how many lines of the bank's the books do not know."""
        many = len(self.unbooked)
        return "1 line of the bank's is" if many == 1 else f"{many} lines of the bank's are"

    @property
    def stale(self) -> tuple[OpenItem, ...]:
        """What was paid so long ago that a bank need not pay it out any more."""
        return tuple(each for each in self.outstanding if each.day and (self.day - each.day).days > STALE_DAYS)


class ProofLine(Enum):
    """What a row of the proof of cash is."""

    BANK = "per bank"
    TRANSIT_FIRST = "deposits in transit at the beginning"
    TRANSIT_LAST = "deposits in transit at the end"
    OUTSTANDING_FIRST = "outstanding at the beginning"
    OUTSTANDING_LAST = "outstanding at the end"
    ERRORS_FIRST = "the bank's errors at the beginning"
    ERRORS_LAST = "the bank's errors at the end"
    BANK_CORRECTED = "bank, corrected"
    BOOKS = "per books"
    UNBOOKED_FIRST = "not in the books at the beginning"
    UNBOOKED_LAST = "not in the books at the end"
    BOOKS_CORRECTED = "books, corrected"

    @property
    def is_corrected(self) -> bool:
        """Whether it is what a side comes to."""
        return self in {ProofLine.BANK_CORRECTED, ProofLine.BOOKS_CORRECTED}


@dataclass(frozen=True, slots=True)
class ProofRow:
    """A row of the proof of cash: at the beginning, what came in, what went out, at the end."""

    line: ProofLine
    opening: Cents = 0
    receipts: Cents = 0
    disbursements: Cents = 0
    closing: Cents = 0

    @property
    def adds_across(self) -> bool:
        """Whether the row is right in itself."""
        return self.opening + self.receipts - self.disbursements == self.closing


@dataclass(frozen=True, slots=True)
class ProofOfCash:
    """A month in four columns: what the bank says and what the books say, each corrected by what it lacks."""

    bank: tuple[ProofRow, ...]
    books: tuple[ProofRow, ...]

    @property
    def corrected_bank(self) -> ProofRow:
        """The bank's row once it knows what the books know."""
        return _total(ProofLine.BANK_CORRECTED, self.bank)

    @property
    def corrected_books(self) -> ProofRow:
        """The books' row once they know what the bank knows."""
        return _total(ProofLine.BOOKS_CORRECTED, self.books)

    @property
    def missing_lines(self) -> Cents:
        """What lacks among the bank's lines of the month, by its own balances at both ends."""
        said = self.bank[0]
        return said.closing - said.opening - said.receipts + said.disbursements

    @property
    def holds(self) -> bool:
        """Whether each row adds across, and both come to the same in every column."""
        across = all(row.adds_across for row in (*self.bank, *self.books))
        return across and _figures(self.corrected_bank) == _figures(self.corrected_books)


@dataclass(frozen=True, slots=True)
class Turnover:
    """What came in and what went out over a month, both above zero."""

    receipts: Cents
    disbursements: Cents


@dataclass(frozen=True, slots=True)
class MonthAtBank:
    """A month's reconciliation: at its end, each account's balance, and the month in four columns."""

    month: Month
    accounts: tuple[tuple[BankAccount, Cents], ...]
    end: Reconciliation
    proof: ProofOfCash | None = None
    """Nothing where the bank does not say what lay there at the beginning."""


@dataclass(frozen=True, slots=True)
class BankBooks:
    """All that bank and books say of the accounts at the bank."""

    statements: tuple[BankStatement, ...]
    lines: tuple[BankLine, ...]
    entries: tuple[BookEntry, ...]
    matches: tuple[BankMatch, ...]
    before: Cents = 0
    """What entries moved that were settled before and are not among these."""

    @property
    def begun(self) -> date | None:
        """The day on which the books say what lay there when they began; None where they do not."""
        reversed_ = {entry.reverses for entry in self.entries}
        days = [entry.day for entry in self.entries if entry.is_opening and entry.number not in reversed_]
        return min(days, default=None)

    def until(self, day: date) -> BankBooks:
        """Give what was so at the end of a day; what lay there when the books began counts from before."""
        return BankBooks(
            self.statements,
            tuple(line for line in self.lines if line.day <= day),
            tuple(entry for entry in self.entries if entry.day <= day or entry.is_opening),
            tuple(match for match in self.matches if match.day <= day),
            self.before,
        )

    @property
    def open_entries(self) -> tuple[BookEntry, ...]:
        """Give the entries that are no line of the bank's."""
        return open_entries(self.entries, self.matches)

    @property
    def open_lines(self) -> tuple[BankLine, ...]:
        """Give the lines that are no entry."""
        return open_lines(self.lines, self.matches, self.begun)

    @property
    def standing(self) -> tuple[BankLine, ...]:
        """Give the lines that count: not those in whose place others stand."""
        overtaken = {line.replaces for line in self.lines}
        return tuple(line for line in self.lines if line.number not in overtaken)


def balance_on(day: date, statements: Iterable[BankStatement], moved: Callable[[date, date], Cents]) -> Cents | None:
    """Give what the bank says lay in one account at a day's end: as stated, or from the nearest stated day.

    Lines lead from one day to another only where statements tell of every day between; `moved` gives what they come to
    from a first day to a last. None where nothing tells.
    """
    known = tuple(statements)
    said = [
        (abs((each.balance_day - day).days), -(each.number or 0), each.balance_day, each.balance)
        for each in known
        if each.balance_day is not None and each.balance is not None
    ]
    for _, _, stated, balance in sorted(said):
        first, last = min(stated, day) + _DAY, max(stated, day)
        if _told(first, last, known):
            between = moved(first, last) if first <= last else 0
            return balance + between if stated < day else balance - between
    return None


def reconciled(day: date, statement: Cents, books: BankBooks) -> Reconciliation:
    """Bring both balances together at the end of a day."""
    then = books.until(day)
    waiting = [
        OpenItem(each.amount, each.memo, each.day, str(each.document), _puts_right(each, then.entries, then.matches))
        for each in then.open_entries
    ]
    unbooked = tuple(OpenItem(each.amount, each.text, each.day, f"line {each.number}") for each in then.open_lines)
    return Reconciliation(
        day,
        statement,
        then.before + sum(entry.amount for entry in then.entries),
        tuple(each for each in waiting if each.is_receipt),
        tuple(each for each in waiting if not each.is_receipt),
        (),
        unbooked,
    )


def proof_of_cash(before: Reconciliation, after: Reconciliation, bank: Turnover, books: Turnover) -> ProofOfCash:
    """Set a month out in four columns, from what stood between the balances at its beginning and at its end."""
    said = ProofRow(ProofLine.BANK, before.statement, bank.receipts, bank.disbursements, after.statement)
    kept = ProofRow(ProofLine.BOOKS, before.books, books.receipts, books.disbursements, after.books)
    bank_rows = (
        said,
        *_carried((ProofLine.TRANSIT_FIRST, ProofLine.TRANSIT_LAST), before.in_transit, after.in_transit),
        *_carried((ProofLine.OUTSTANDING_FIRST, ProofLine.OUTSTANDING_LAST), before.outstanding, after.outstanding),
        *_carried((ProofLine.ERRORS_FIRST, ProofLine.ERRORS_LAST), before.bank_errors, after.bank_errors),
    )
    return ProofOfCash(
        bank_rows,
        (kept, *_carried((ProofLine.UNBOOKED_FIRST, ProofLine.UNBOOKED_LAST), before.unbooked, after.unbooked)),
    )


def turnovers(first: date, last: date, books: BankBooks) -> tuple[Turnover, Turnover]:
    """Give what came in and went out between two days, by the bank and by the books."""
    then = books.until(last)
    lines = [OpenItem(line.amount) for line in then.standing if first <= line.day <= last]
    entries = [
        OpenItem(entry.amount, puts_right=_puts_right(entry, then.entries, then.matches))
        for entry in then.entries
        if first <= entry.day <= last and not entry.is_opening
    ]
    return _turnover(lines), _turnover(entries)


def _turnover(items: Iterable[OpenItem]) -> Turnover:
    each = tuple(items)
    came = sum(item.amount for item in each if item.is_receipt)
    return Turnover(came, came - _sum(each))


def _puts_right(entry: BookEntry, entries: Iterable[BookEntry], matches: Iterable[BankMatch]) -> bool:
    """Tell whether an entry takes back another of which the bank never knew, so that it belongs in its column."""
    met = {match.entry_number for match in matches}
    known = {each.number for each in entries}
    return entry.reverses in known and not met & {entry.number, entry.reverses}


def _carried(
    lines: tuple[ProofLine, ProofLine], before: Sequence[OpenItem], after: Sequence[OpenItem]
) -> tuple[ProofRow, ...]:
    """Give the rows that take what was open at the beginning out of the month, and what is open at its end in."""
    came, went = _turnover(before), _turnover(after)
    rows = (
        ProofRow(lines[0], _sum(before), -came.receipts, -came.disbursements, 0),
        ProofRow(lines[1], 0, went.receipts, went.disbursements, _sum(after)),
    )
    return tuple(row for row, items in zip(rows, (before, after), strict=True) if items)


def _total(corrected: ProofLine, rows: Sequence[ProofRow]) -> ProofRow:
    return ProofRow(corrected, *(sum(column) for column in zip(*map(_figures, rows), strict=True)))


def _figures(row: ProofRow) -> tuple[Cents, Cents, Cents, Cents]:
    return row.opening, row.receipts, row.disbursements, row.closing


def _sum(items: Iterable[OpenItem]) -> Cents:
    return sum(item.amount for item in items)


def _told(first: date, last: date, statements: Sequence[BankStatement]) -> bool:
    """Tell whether statements tell of every day from the first to the last."""
    spans = sorted((each.first, each.last) for each in statements if each.first and each.last)
    day = first
    for begins, ends in spans:
        if day > last or begins > day:
            break
        day = max(day, ends + _DAY)
    return day > last
