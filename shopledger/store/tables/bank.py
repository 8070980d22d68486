"""What the bank says, as facts that are never changed, and which entries of the books its lines are."""

from __future__ import annotations

from sqlalchemy import Index, UniqueConstraint

from shopledger.ledger.books.statements import StatementForm
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


def _read_codes(stored: str) -> tuple[str, ...]:
    return tuple(stored.split())


class BankAccountColumns(Recorded):
    """An account at a bank by the owner's name for it; of its number the last four digits at most."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(unique=True)
    ending = kept.words(kept.Rule("{}_short", "length({}) IN (0, 4)"))


bank_account = table("bank_account", BankAccountColumns)


class BankLayoutColumns(Recorded):
    """Which columns of an account's CSV files say what; the newest of an account counts."""

    number = kept.key()
    account_number = kept.number(kept.to("bank_account.number"), index=True)
    body = kept.words(kept.FILLED)


bank_layout = table("bank_layout", BankLayoutColumns)


class BankStatementColumns(Recorded):
    """That a file was taken in, or a balance typed: its name and hash, the days and the balance that it says."""

    number = kept.key()
    account_number = kept.number(kept.to("bank_account.number"), index=True)
    day = kept.day()
    form = kept.one_of(StatementForm)
    file_name = kept.words()
    sha256 = kept.words()
    first = kept.optional(kept.day())
    last = kept.optional(kept.day())
    balance_day = kept.optional(kept.day(index=True))
    balance = kept.optional(kept.cents())
    accepted = kept.as_text(" ".join, _read_codes)


bank_statement = table(
    "bank_statement", BankStatementColumns, balance_has_day="(balance IS NULL) = (balance_day IS NULL)"
)


class BankLineColumns(Recorded):
    """A line of a statement; one that the bank put right stays, and the new one stands in its place."""

    number = kept.key()
    account_number = kept.number(kept.to("bank_account.number"))
    statement_number = kept.number(kept.to("bank_statement.number"), index=True)
    day = kept.day(index=True)
    amount = kept.cents()
    text = kept.words()
    check_number = kept.words()
    source_id = kept.words()
    kind = kept.words()
    key = kept.words(kept.FILLED)
    replaces = kept.optional(kept.number(kept.to("bank_line.number"), unique=True))


bank_line = table("bank_line", BankLineColumns, UniqueConstraint("account_number", "key"))


class BankMatchColumns(Recorded):
    """That a line is an entry of the books, or another line, from the later of their days; or is not after all."""

    number = kept.key()
    day = kept.day(index=True)
    line_number = kept.number(kept.to("bank_line.number"))
    entry_number = kept.optional(kept.number(kept.to("journal_entry.number"), index=True))
    other_line = kept.optional(kept.number(kept.to("bank_line.number"), index=True))
    takes_back = kept.optional(kept.number(kept.to("bank_match.number"), unique=True))


bank_match = table(
    "bank_match",
    BankMatchColumns,
    Index(None, "line_number"),
    one_of_both="(entry_number IS NULL) <> (other_line IS NULL)",
)
