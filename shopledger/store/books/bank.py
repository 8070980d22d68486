"""What the bank says, and what moves the bank account in the books, as the ledger keeps both."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Final, TypeVar

from shopledger.errors import UnknownNameError, nearest
from shopledger.ledger.books.bank_matches import BankMatch, BookEntry
from shopledger.ledger.books.bank_reconciliation import BankBooks
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.statement_import import NewLine
from shopledger.ledger.books.statements import BankAccount, BankLine, BankStatement
from shopledger.money.amount import Cents
from shopledger.store.folding import folded
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.bank import bank_account, bank_layout, bank_line, bank_match, bank_statement
from shopledger.store.transaction import Area
from shopledger.store.words import word

V = TypeVar("V", int, str)

_OPENED: Final = f"""(
    (entry.document_kind = {word(DocumentKind.MONEY)} AND entry.document_number IN (
        SELECT move.number FROM money_move move WHERE move.kind = {word(MoveKind.OPENING)}))
    OR (entry.document_kind = {word(DocumentKind.ADJUSTMENT)} AND entry.document_number IN (
        SELECT begun.number FROM adjustment begun WHERE begun.opening = 1))
)"""  # noqa: S608 - the words of the ledger
"""Whether an entry says what lay there when the books began."""
_STANDS: Final = """COALESCE(met.takes_back, 0) = 0 AND met.seal <= :seal
    AND NOT EXISTS (SELECT 1 FROM bank_match later WHERE later.takes_back = met.number AND later.seal <= :seal)"""
"""Whether a match was not taken back, as far as the chain had grown; not asked so that its index would be used, since
nearly all matches take nothing back."""
_POSTED: Final = f"""
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE posting.account = {word(Account.BANK)}
"""
_ENTRIES: Final = f"""
SELECT entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.reverses,
       SUM(posting.amount) AS amount, CASE WHEN {_OPENED} THEN 1 ELSE 0 END AS opening
{_POSTED} AND {{which}}
GROUP BY entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.reverses
HAVING SUM(posting.amount) <> 0
ORDER BY entry.day, entry.number
"""
_OPEN_OR_IN: Final = f"""(
    {_OPENED} OR (entry.day <= :last AND (entry.day >= :first OR NOT EXISTS (
        SELECT 1 FROM bank_match met WHERE met.entry_number = entry.number AND met.day < :first AND {_STANDS})))
)"""  # noqa: S608 - as above
_SUM: Final = f"""
SELECT COALESCE(SUM(posting.amount), 0) AS amount {_POSTED} AND (entry.day <= :last OR {_OPENED})
"""
_LINES: Final = f"""
SELECT line.* FROM bank_line line
WHERE line.seal <= :seal AND line.day <= :last AND (
    (line.day >= :first AND NOT EXISTS (
        SELECT 1 FROM bank_line next WHERE next.replaces = line.number AND next.day <= :last AND next.seal <= :seal))
    OR (line.day < :first AND line.amount <> 0 AND line.day >= :begun
        AND NOT EXISTS (
            SELECT 1 FROM bank_line next WHERE next.replaces = line.number AND next.day < :first AND next.seal <= :seal)
        AND NOT EXISTS (
            SELECT 1 FROM bank_match met WHERE met.line_number = line.number AND met.day < :first AND {_STANDS})
        AND NOT EXISTS (
            SELECT 1 FROM bank_match met WHERE met.other_line = line.number AND met.day < :first AND {_STANDS}))
)
ORDER BY line.day, line.number
"""  # noqa: S608 - as above
_MOVED: Final = """
SELECT COALESCE(SUM(line.amount), 0) AS amount FROM bank_line line
WHERE line.account_number = :account AND line.day BETWEEN :first AND :last AND line.seal <= :seal
  AND NOT EXISTS (SELECT 1 FROM bank_line next WHERE next.replaces = line.number AND next.seal <= :seal)
"""
_OVERTAKEN: Final = "SELECT next.number, next.replaces FROM bank_line next WHERE next.replaces IN :lines"
_WITH_PAYOUT: Final = """(
    SELECT move.number AS number, CASE WHEN move.reference = '' THEN own.payout ELSE move.reference END AS reference
    FROM money_move move LEFT JOIN payout_move own ON own.move_number = move.number
) known"""
"""Moves of money; one that records a payout is known by the processor's number for it, however long that is."""
_REFERENCES: Final[Mapping[DocumentKind, str]] = {
    kind: f"SELECT number, reference FROM {table} WHERE reference <> '' AND number IN :numbers"  # noqa: S608 - names below
    for kind, table in {
        DocumentKind.PAYMENT: "payment",
        DocumentKind.REFUND: "refund",
        DocumentKind.EXPENSE: "expense",
        DocumentKind.BILL_PAYMENT: "bill_payment",
        DocumentKind.MONEY: _WITH_PAYOUT,
        DocumentKind.DEPOSIT: "deposit",
        DocumentKind.DISPOSAL: "disposal",
    }.items()
}
_MATCHES: Final = f"""
SELECT met.* FROM bank_match met
WHERE met.day BETWEEN :first AND :last AND {_STANDS} ORDER BY met.number
"""  # noqa: S608 - as above
_OF_LINES: Final = f"""
SELECT met.* FROM bank_match met
WHERE (met.line_number IN :lines OR met.other_line IN :lines) AND {_STANDS} ORDER BY met.number
"""  # noqa: S608 - as above
_AT_FIRST, _AT_LAST = "0000-00-00", "9999-99-99"
NOW: Final = 2_000_000_000
"""More seals than a chain has: all that is known by now."""
_AT_ONCE: Final = 10_000
"""Numbers in one question; SQLite takes 32,766 at most."""

ACCOUNT: Final = Record(BankAccount, bank_account, also=("folded",), counter="bank account")
STATEMENT: Final = Record(BankStatement, bank_statement, counter="bank statement")
LINE: Final = Record(BankLine, bank_line, counter="bank line")
MATCH: Final = Record(BankMatch, bank_match, counter="bank match")


class Bank(Area):
    """The bank's facts; none is ever changed."""

    def add_account(self, account: BankAccount) -> BankAccount:
        """Keep an account under its name; gives it back with its number."""
        name = folded(account.name)
        if self.transaction.has(bank_account, {bank_account.c.folded: name}):
            raise DuplicateError("bank account", account.name)
        return self.transaction.post(ACCOUNT, account, folded=name)

    def accounts(self) -> tuple[BankAccount, ...]:
        """Give every account, by name."""
        return self.transaction.all(ACCOUNT, order=(bank_account.c.folded,))

    def account(self, name: str) -> BankAccount:
        """Give the account of that name or number, or name those that come near."""
        known = self.accounts()
        found = [each for each in known if folded(each.name) == folded(name) or str(each.number) == name.strip()]
        if not found:
            near = nearest(name, [each.name for each in known])
            hint = "" if near else "Keep it first: 'shopledger bank account NAME --ending 5678'."
            raise UnknownNameError("bank account", name, near, hint)
        return found[0]

    def keep_layout(self, account: int, body: str) -> None:
        """Keep which columns of the account's CSV files say what, from now on."""
        number = self.transaction.next_number("bank layout")
        self.transaction.add(bank_layout, {"number": number, "account_number": account, "body": body})

    def layout(self, account: int) -> str:
        """Give the newest layout of an account's CSV files; empty where none is kept."""
        kept = self.transaction.lists(
            bank_layout.c.body, bank_layout.c.account_number, {bank_layout.c.account_number: account},
            (bank_layout.c.number,),
        )  # fmt: skip
        return next(reversed(kept[account]), "")

    def add_statement(self, statement: BankStatement) -> BankStatement:
        """Keep that a statement was taken in; gives it back with its number."""
        return self.transaction.post(STATEMENT, statement)

    def statements(self, account: int | None = None, seal: int = NOW) -> tuple[BankStatement, ...]:
        """Give what was taken in, of one account or of all, oldest first; by a seal, what was known under it."""
        known = [bank_statement.c.seal <= seal]
        if account is not None:
            known.append(bank_statement.c.account_number == account)
        return self.transaction.matching(STATEMENT, *known, order=(bank_statement.c.number,))

    def add_lines(self, statement: BankStatement, lines: Iterable[NewLine]) -> tuple[BankLine, ...]:
        """Keep the new lines of a statement; gives them back with their numbers."""
        return tuple(self.transaction.post(LINE, _kept(statement, each)) for each in lines)

    def lines_beside(self, account: int, span: tuple[date, date], ids: Collection[str]) -> tuple[BankLine, ...]:
        """Give the lines of an account that those of a file could be: of its days, its numbers, or in their place."""
        own = bank_line.c.account_number == account
        found = list(self.transaction.matching(LINE, own, bank_line.c.day.between(*span)))
        for part in _parted(sorted(ids)):
            found += self.transaction.matching(LINE, own, bank_line.c.source_id.in_(part))
        for some in _parted([line.number or 0 for line in found]):
            found += self.transaction.matching(LINE, bank_line.c.replaces.in_(some))
        by_number = {line.number: line for line in found}
        return tuple(sorted(by_number.values(), key=lambda line: (line.day, line.number or 0)))

    def line(self, number: int) -> BankLine:
        """Give the line with that number."""
        return self.transaction.get(LINE, number, "bank line")

    def add_match(self, match: BankMatch) -> BankMatch:
        """Keep that a line is an entry, or that it is not after all."""
        return self.transaction.post(MATCH, match)

    def matches_of(self, lines: Iterable[int], seal: int = NOW) -> tuple[BankMatch, ...]:
        """Give the matches that stand of some lines, oldest first."""
        found: list[BankMatch] = []
        for some in _parted(list(lines)):
            found += map(MATCH.named, self.transaction.asked(_OF_LINES, lines=some, seal=seal))
        return tuple({match.number: match for match in found}.values())

    def open_books(self) -> BankBooks:
        """Give the lines that are no entry and the entries that are no line, whenever they were."""
        return self.books(None, None)

    def books(self, first: date | None, last: date | None, seal: int = NOW) -> BankBooks:
        """Give what bank and books say between two days, and what was open before; no more is read.

        Without days, what is open alone. By a seal, what was known of the bank when the chain had grown so far.
        """
        between = {"first": day_text(first) if first else _AT_LAST, "last": day_text(last) if last else _AT_LAST}
        asked = {**between, "seal": seal}
        entries = self._entries(_OPEN_OR_IN, **asked)
        begun = BankBooks((), (), entries, ()).begun
        lines = self.transaction.asked(_LINES, **asked, begun=day_text(begun) if begun else _AT_FIRST)
        matches = self.transaction.asked(_MATCHES, **asked) if first else ()
        before = self.transaction.asked(_SUM, last=between["last"])[0].amount if first else 0
        return BankBooks(
            self.statements(seal=seal) if first else (),
            tuple(map(LINE.named, lines)),
            entries,
            tuple(map(MATCH.named, matches)),
            int(before) - sum(entry.amount for entry in entries) if first else 0,
        )

    def moved(self, account: int, first: date, last: date, seal: int = NOW) -> Cents:
        """Give what the lines of an account that count come to between two days."""
        asked = {"account": account, "first": day_text(first), "last": day_text(last), "seal": seal}
        return int(self.transaction.asked(_MOVED, **asked)[0].amount)

    def has_lines(self, first: date, last: date, seal: int = NOW) -> bool:
        """Tell whether a statement that was taken in has lines between two days."""
        known = bank_line.c.seal <= seal, bank_line.c.day >= first, bank_line.c.day <= last
        return bool(self.transaction.matching(LINE, *known, limit=1))

    def lines_over(self, first: date, last: date) -> tuple[BankLine, ...]:
        """Give the lines of all accounts between two days, by day."""
        known = bank_line.c.day >= first, bank_line.c.day <= last
        return self.transaction.matching(LINE, *known, order=(bank_line.c.day, bank_line.c.number))

    def overtaken(self, lines: Sequence[int]) -> dict[int, int]:
        """Give the lines that stand in the place of others, by these others."""
        found: dict[int, int] = {}
        for some in _parted(lines):
            rows = self.transaction.asked(_OVERTAKEN, lines=some)
            found |= {row.replaces: row.number for row in rows}
        return found

    def entries_of(self, numbers: Iterable[int]) -> dict[int, BookEntry]:
        """Give some entries that move the bank account, by their numbers."""
        found: dict[int, BookEntry] = {}
        for some in _parted(sorted(set(numbers))):
            found |= {entry.number: entry for entry in self._entries("entry.number IN :numbers", numbers=some)}
        return found

    def entry_of(self, document: Document) -> BookEntry | None:
        """Give the entry of a document that moves the bank account, whatever became of it; None where it moves none."""
        which = "entry.document_kind = :kind AND entry.document_number = :number"
        return next(iter(self._entries(which, kind=document.kind.value, number=document.number)), None)

    def _entries(self, which: str, **asked: object) -> tuple[BookEntry, ...]:
        rows = self.transaction.asked(_ENTRIES.format(which=which), **asked)
        documents = [Document(DocumentKind(row.document_kind), row.document_number) for row in rows]
        references = self._references(documents)
        found = []
        for row, document in zip(rows, documents, strict=True):
            found.append(
                BookEntry(
                    row.number,
                    read_day(row.day),
                    int(row.amount),
                    document,
                    row.memo,
                    references.get(document, ""),
                    row.reverses,
                    bool(row.opening),
                )
            )
        return tuple(found)

    def _references(self, documents: Iterable[Document]) -> Mapping[Document, str]:
        by_kind: defaultdict[DocumentKind, list[int]] = defaultdict(list)
        for document in documents:
            by_kind[document.kind].append(document.number)
        found: dict[Document, str] = {}
        for kind in by_kind.keys() & _REFERENCES.keys():
            for some in _parted(by_kind[kind]):
                rows = self.transaction.asked(_REFERENCES[kind], numbers=some)
                found |= {Document(kind, row.number): row.reference for row in rows}
        return found


def _parted(numbers: Sequence[V]) -> Iterator[list[V]]:
    """Give what is asked for by the list in pieces that the database takes."""
    for start in range(0, len(numbers), _AT_ONCE):
        yield list(numbers[start : start + _AT_ONCE])


def _kept(statement: BankStatement, new: NewLine) -> BankLine:
    line = new.stated
    return BankLine(
        statement.account_number,
        statement.number or 0,
        line.day,
        line.amount,
        line.text,
        line.check_number,
        line.source_id,
        line.kind,
        new.key,
        new.replaces,
    )
