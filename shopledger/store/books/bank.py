"""What the bank says, and what moves the bank account in the books, as the ledger keeps both."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

from shopledger.errors import UnknownNameError, nearest
from shopledger.ledger.books.bank_matches import BankMatch, BookEntry
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.statement_import import NewLine
from shopledger.ledger.books.statements import BankAccount, BankLine, BankStatement
from shopledger.store.lookups import folded
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.bank import bank_account, bank_layout, bank_line, bank_match, bank_statement
from shopledger.store.transaction import Area
from shopledger.store.words import word

_ENTRIES: Final = f"""
SELECT entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.reverses,
       SUM(posting.amount) AS amount
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE posting.account = {word(Account.BANK)} AND entry.day <= :last
GROUP BY entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.reverses
HAVING SUM(posting.amount) <> 0
ORDER BY entry.day, entry.number
"""  # noqa: S608 - the words of the ledger
_REFERENCES: Final = " UNION ALL ".join(
    f"SELECT {word(kind)} AS kind, number, reference FROM {table} WHERE reference <> ''"  # noqa: S608 - names below
    for kind, table in {
        DocumentKind.PAYMENT: "payment",
        DocumentKind.REFUND: "refund",
        DocumentKind.EXPENSE: "expense",
        DocumentKind.BILL_PAYMENT: "bill_payment",
        DocumentKind.MONEY: "money_move",
        DocumentKind.DEPOSIT: "deposit",
    }.items()
)
_OPENINGS: Final = f"SELECT number FROM money_move WHERE kind = {word(MoveKind.OPENING)}"  # noqa: S608 - as above
_MATCHES: Final = """
SELECT met.number FROM bank_match met
WHERE met.takes_back IS NULL
  AND NOT EXISTS (SELECT 1 FROM bank_match later WHERE later.takes_back = met.number)
"""
_AT_LAST: Final = "9999-99-99"

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

    def statements(self, account: int | None = None) -> tuple[BankStatement, ...]:
        """Give what was taken in, of one account or of all, oldest first."""
        where = {} if account is None else {bank_statement.c.account_number: account}
        return self.transaction.all(STATEMENT, where, (bank_statement.c.number,))

    def add_lines(self, statement: BankStatement, lines: Iterable[NewLine]) -> tuple[BankLine, ...]:
        """Keep the new lines of a statement; gives them back with their numbers."""
        return tuple(self.transaction.post(LINE, _kept(statement, each)) for each in lines)

    def lines(self, account: int | None = None) -> tuple[BankLine, ...]:
        """Give every line, of one account or of all, by day."""
        where = {} if account is None else {bank_line.c.account_number: account}
        return self.transaction.all(LINE, where, (bank_line.c.day, bank_line.c.number))

    def line(self, number: int) -> BankLine:
        """Give the line with that number."""
        return self.transaction.get(LINE, number, "bank line")

    def add_match(self, match: BankMatch) -> BankMatch:
        """Keep that a line is an entry, or that it is not after all."""
        return self.transaction.post(MATCH, match)

    def matches(self) -> tuple[BankMatch, ...]:
        """Give the matches that stand, oldest first."""
        numbers = [int(row.number) for row in self.transaction.asked(_MATCHES)]
        found = self.transaction.many(MATCH, numbers)
        return tuple(found[number] for number in sorted(found))

    def entries(self, until: date | None = None) -> tuple[BookEntry, ...]:
        """Give what moves the bank account in the books, up to a day or all of it, by day."""
        references = self._references()
        openings = {int(row.number) for row in self.transaction.asked(_OPENINGS)}
        rows = self.transaction.asked(_ENTRIES, last=day_text(until) if until else _AT_LAST)
        found = []
        for row in rows:
            document = Document(DocumentKind(row.document_kind), row.document_number)
            begins = document.kind is DocumentKind.MONEY and document.number in openings
            found.append(
                BookEntry(
                    row.number,
                    read_day(row.day),
                    int(row.amount),
                    document,
                    row.memo,
                    references.get(document, ""),
                    row.reverses,
                    begins,
                )
            )
        return tuple(found)

    def _references(self) -> Mapping[Document, str]:
        return {
            Document(DocumentKind(row.kind), row.number): row.reference for row in self.transaction.asked(_REFERENCES)
        }


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
