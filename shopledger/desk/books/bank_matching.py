"""Finding which entry of the books each line of the bank's is, and making entries of lines that are none yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.desk.books.banking import plan_move, post_move
from shopledger.desk.books.spending import plan_expense, post_expense
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.books.bank_matches import (
    BankMatch,
    BookEntry,
    LineMeaning,
    OpenLine,
    Proposed,
    check_pair,
    check_pick,
    matched,
    paired,
    propose,
    still_open,
)
from shopledger.ledger.books.bank_reconciliation import BankBooks
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statements import BankLine
from shopledger.ledger.numbers import number_of
from shopledger.money.amount import write_amount
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork

_MOVES: Final = {
    LineMeaning.INTEREST: MoveKind.OTHER_INCOME,
    LineMeaning.DRAW: MoveKind.DRAW,
    LineMeaning.CONTRIBUTION: MoveKind.CONTRIBUTION,
}


@dataclass(frozen=True, slots=True)
class MatchPlan:
    """The lines that are surely entries, and those that the owner has to pick for."""

    found: tuple[Proposed, ...]
    left: tuple[OpenLine, ...]
    closed: tuple[Month, ...] = ()
    """Months that are closed, without which more of them would be sure."""


@dataclass(frozen=True, slots=True)
class ShownLine:
    """A line of the bank's, and what it is in the books, or with which other line it comes to nothing."""

    line: BankLine
    account: str
    entries: tuple[BookEntry, ...] = ()
    other: int | None = None
    overtaken_by: int | None = None


@dataclass(frozen=True, slots=True)
class LineCard:
    """A line of the bank's with all that it can be said to be, while it is nothing yet."""

    shown: ShownLine
    candidates: tuple[BookEntry, ...] = ()
    """Entries of the same cents on a day that fits."""
    against: tuple[BankLine, ...] = ()
    """Open lines with which it comes to nothing."""
    entries: tuple[BookEntry, ...] = ()
    """All entries that are no line yet, those nearest to its day first: some of them together may be it."""


@dataclass(frozen=True, slots=True)
class MatchedLine:
    """What a line was said to be, or is not any more, and from which day on."""

    line: BankLine
    entries: tuple[BookEntry, ...]
    day: date
    other: int | None = None
    taken_back: bool = False


@dataclass(frozen=True, slots=True)
class LineRequest:
    """What a line of the bank's is to become."""

    line: int
    meaning: LineMeaning
    payee: str = ""
    category: ExpenseCategory | None = None
    description: str = ""


@dataclass(frozen=True, slots=True)
class LineEntry:
    """What a line becomes: the document, and what is odd about it."""

    line: BankLine
    document: Expense | MoneyMove
    findings: tuple[Finding, ...] = ()


def shown_lines(desk: Desk, month: Month | None = None, *, only_open: bool = False) -> tuple[ShownLine, ...]:
    """Give the lines of a month or all, by day, each with what it is in the books."""
    first, last = (month.first, month.last) if month else (date.min, date.max)
    with desk.reading() as work:
        bank = work.bank
        found = bank.open_books().open_lines if only_open else bank.lines_over(first, last)
        return _shown(work, [line for line in found if first <= line.day <= last])


def line_card(desk: Desk, number: int) -> LineCard:
    """Give one line with what it is in the books, or with all that it could be."""
    with desk.reading() as work:
        line = work.bank.line(number)
        (shown,) = _shown(work, [line])
        books = work.bank.open_books()
    if line.number not in {each.number for each in books.open_lines}:
        return LineCard(shown)
    (open_line,) = still_open([line], books.open_entries)
    near = sorted(books.open_entries, key=lambda entry: (abs((entry.day - line.day).days), entry.number))
    against = tuple(each for each in books.open_lines if each.amount == -line.amount)
    return LineCard(shown, open_line.candidates, against, tuple(near))


def _shown(work: UnitOfWork, lines: Sequence[BankLine]) -> tuple[ShownLine, ...]:
    bank, numbers = work.bank, [line.number or 0 for line in lines]
    matches, overtaken = bank.matches_of(numbers), bank.overtaken(numbers)
    entries = bank.entries_of(match.entry_number for match in matches if match.entry_number)
    accounts = {each.number: each.name for each in bank.accounts()}
    by_line: defaultdict[int, list[BankMatch]] = defaultdict(list)
    for match in matches:
        for number in (match.line_number, match.other_line):
            by_line[number or 0].append(match)
    return tuple(
        ShownLine(
            line,
            accounts[line.account_number],
            tuple(entries[match.entry_number] for match in by_line[line.number or 0] if match.entry_number),
            _other(line.number, by_line[line.number or 0]),
            overtaken.get(line.number or 0),
        )
        for line in lines
    )


def plan_matches(desk: Desk) -> MatchPlan:
    """Look for lines that can only be one entry, and keep nothing."""
    with desk.reading() as work:
        return _planned(work)


def match_lines(desk: Desk) -> MatchPlan:
    """Keep which entry each line is that can only be one; the rest is left to the owner."""
    with desk.writing() as work:
        plan = _planned(work)
        for each in plan.found:
            work.bank.add_match(each.match)
        return plan


def pick_match(desk: Desk, number: int, documents: Sequence[Document]) -> MatchedLine:
    """Keep that a line is what the owner says: one document, or several that come to it to the cent."""
    with desk.writing() as work:
        books = work.bank.open_books()
        line = _open_line(work, books, number)
        entries = tuple(_open_entry(work, books, document) for document in dict.fromkeys(documents))
        check_pick(line, entries)
        kept = [_kept(work, line, entry) for entry in entries]
        return MatchedLine(line, entries, max(match.day for match in kept))


def pair_lines(desk: Desk, number: int, other: int) -> MatchedLine:
    """Keep that two lines come to nothing: a transfer between own accounts, or the bank's error and its correction."""
    with desk.writing() as work:
        books = work.bank.open_books()
        line, against = _open_line(work, books, number), _open_line(work, books, other)
        check_pair(line, against)
        match = paired(line, against)
        work.periods.refuse_closed(match.day)
        work.bank.add_match(match)
        return MatchedLine(line, (), match.day, against.number)


def unmatch(desk: Desk, number: int) -> MatchedLine:
    """Take back what a line was said to be."""
    with desk.writing() as work:
        line = work.bank.line(number)
        standing = work.bank.matches_of([number])
        if not standing:
            raise RefusedError("line", str(number), "it is matched to nothing", "Nothing is left to do.")
        for match in standing:
            work.periods.refuse_closed(match.day)
            work.bank.add_match(replace(match, takes_back=match.number, number=None))
        entries = tuple(work.bank.entries_of(match.entry_number for match in standing if match.entry_number).values())
        latest, other = max(match.day for match in standing), _other(line.number, standing)
        return MatchedLine(line, entries, latest, other, taken_back=True)


def plan_entry(desk: Desk, request: LineRequest) -> LineEntry:
    """Look at what a line would become, and store nothing."""
    with desk.reading() as work:
        line, document = _asked(work, request)
    plan = plan_expense(desk, document) if isinstance(document, Expense) else plan_move(desk, document)
    return LineEntry(line, document, plan.findings)


def record_line(desk: Desk, request: LineRequest, accept: frozenset[str] = frozenset()) -> LineEntry:
    """Make an entry of a line, which is that entry at once: both, or nothing."""
    with desk.writing() as work:
        line, document = _asked(work, request)
        if isinstance(document, Expense):
            done = post_expense(desk, work, document, None, accept)
            stored: Expense | MoneyMove = done.expense
            kind, found = DocumentKind.EXPENSE, done.findings
        else:
            moved = post_move(desk, work, document, accept)
            stored, kind, found = moved.move, DocumentKind.MONEY, moved.findings
        entry = _open_entry(work, work.bank.open_books(), Document(kind, number_of(stored)))
        _kept(work, line, entry)
        return LineEntry(line, stored, found)


def _planned(work: UnitOfWork) -> MatchPlan:
    books, shut = work.bank.open_books(), {state.month for state in work.periods.states() if state.closed}
    sure = [(each, _month(each)) for each in propose(books.open_lines, books.open_entries)]
    found = tuple(each for each, month in sure if month not in shut)
    closed = tuple(dict.fromkeys(month for _, month in sure if month in shut))
    met = {each.line.number for each in found}, {each.entry.number for each in found}
    lines = [line for line in books.open_lines if line.number not in met[0]]
    left = still_open(lines, [each for each in books.open_entries if each.number not in met[1]])
    return MatchPlan(found, left, closed)


def _month(proposed: Proposed) -> Month:
    """Give the month in which a match would count."""
    day = proposed.match.day
    return Month(day.year, day.month)


def _other(number: int | None, matches: Iterable[BankMatch]) -> int | None:
    """Give the line with which another comes to nothing."""
    both = [{match.line_number, match.other_line} for match in matches if match.other_line]
    return next((each for pair in both if number in pair for each in pair if each != number), None)


def _open_line(work: UnitOfWork, books: BankBooks, number: int) -> BankLine:
    line = work.bank.line(number)
    if work.bank.matches_of([number]):
        hint = f"If that was wrong, first 'shopledger bank unmatch {number}'."
        raise RefusedError("line", str(number), "it is matched already", hint)
    if line.number not in {each.number for each in books.open_lines}:
        rule = "the bank put it right with a later line, or it is from before the books began"
        raise RefusedError("line", str(number), rule, "See 'shopledger bank lines --open'.")
    return line


def _open_entry(work: UnitOfWork, books: BankBooks, document: Document) -> BookEntry:
    """Give the entry of a document that is no line yet, or say why there is none."""
    found = [entry for entry in books.open_entries if entry.document == document]
    if found:
        return found[0]
    if work.bank.entry_of(document) is not None:
        rule = "it is matched to a line already, was voided, or says what lay there when the books began"
        raise RefusedError("document", str(document), rule, "See 'shopledger bank lines'.")
    rule = "it moves no money in the bank account"
    raise RefusedError("document", str(document), rule, "See 'shopledger bank match' for what could be meant.")


def _kept(work: UnitOfWork, line: BankLine, entry: BookEntry) -> BankMatch:
    match = matched(line, entry)
    work.periods.refuse_closed(match.day)
    return work.bank.add_match(match)


def _asked(work: UnitOfWork, request: LineRequest) -> tuple[BankLine, Expense | MoneyMove]:
    line = _open_line(work, work.bank.open_books(), request.line)
    meaning = request.meaning
    if (line.amount > 0) != meaning.comes_in:
        way = "comes in" if line.amount > 0 else "goes out"
        fitting = " or ".join(each.value for each in LineMeaning if each.comes_in == (line.amount > 0))
        raise RefusedError(
            "meaning", meaning.value, f"line {line.number} {way}: {write_amount(line.amount)}", f"Type {fitting}."
        )
    if meaning in _MOVES:
        note = request.description or line.text or meaning.value
        move = MoneyMove(line.day, _MOVES[meaning], CashAccount.BANK, abs(line.amount), note=note)
        return line, move
    return line, _expense(work, line, request)


def _expense(work: UnitOfWork, line: BankLine, request: LineRequest) -> Expense:
    fee = request.meaning is LineMeaning.FEE
    accounts = {each.number: each.name for each in work.bank.accounts()}
    payee = request.payee or (accounts[line.account_number] if fee else line.text[:120])
    category = request.category or (ExpenseCategory.FEES if fee else None)
    if category is None:
        raise RefusedError("category", "missing", "an expense has one", "Name it with --category.")
    description = request.description or line.text or "bank fee"
    reference = f"bank line {line.number}"
    return Expense(line.day, payee, category, description, abs(line.amount), SpendMethod.BANK, reference)
