"""Each kind of event that the books know is posted, proven, and adds up in its month and its year."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import Final

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import export_period, export_plain, export_year
from shopledger.desk.context import Desk
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoveKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockReason
from shopledger.ledger.taxes import ImposedOn
from tests.desk.books import assert_sheets_meet_accounts, on_both
from tests.desk.every_kind import APRIL, MARCH, everything_happens
from tests.rows import rows

pytestmark = pytest.mark.slow

KEPT: Final[tuple[tuple[str, str, type[Enum]], ...]] = (
    ("journal_entry", "document_kind", DocumentKind),
    ("stock_movement", "reason", StockReason),
    ("money_move", "kind", MoveKind),
    ("money_move", "till", CashAccount),
    ("expense", "category", ExpenseCategory),
    ("expense", "method", SpendMethod),
    ("bill_line", "kind", BillLineKind),
    ("bill_line", "category", ExpenseCategory),
    ("bill_payment", "method", SpendMethod),
    ("bill_credit", "kind", CreditKind),
    ("payment", "method", Method),
    ("refund", "method", Method),
    ("deposit", "method", Method),
    ("disposal", "how", DisposalKind),
    ("disposal", "till", CashAccount),
    ("order_line", "tax_imposed_on", ImposedOn),
)
"""Each column that says why or how an amount moved: its table, its name and its words."""


@pytest.fixture
def lived(desk: Desk) -> Desk:
    """Let everything happen."""
    return everything_happens(desk)


@on_both
def test_every_kind_is_posted_and_proven_and_adds_up(lived: Desk, tmp_path: Path) -> None:
    """All proofs hold, and each month's and the year's rows come to the ledger's own figures and to the journal."""
    missed = _missed(lived)
    assert not missed, f"posted by nothing in tests/desk/every_kind.py: {', '.join(missed)}"
    verdict = prove_books(lived)
    assert [str(each) for failed in verdict.failed for each in failed.differences] == []
    for month in (MARCH, APRIL):
        assert_sheets_meet_accounts(lived, month.days)
        export_period(lived, month.days, tmp_path)
        export_plain(lived, month.days, tmp_path)
    export_year(lived, Period.of_year(2026), tmp_path, as_csv=True)


@on_both
def test_the_books_name_no_customer_wearer_or_prescriber(lived: Desk) -> None:
    """Memos and documents of every kind hold numbers alone, so that what is hashed with an entry names nobody."""
    with lived.reading() as work:
        known = {"customer": ("name", "printed_name", "phone", "email", "street", "second_line"), "wearer": ("name",)}
        known["prescriber"] = ("name", "phone", "npi")
        people = {
            str(row._mapping[column]).casefold()
            for table, columns in known.items()
            for row in rows(work, table)
            for column in columns
            if row._mapping[column]
        }
        words = {part for name in people for part in name.split() if len(part) > 4 and part.isalpha()}
        parts = people | words - {"customer"}
        said = [f"{row.memo} {row.document}".casefold() for row in rows(work, "journal_entry")]
        said += [f"{row.document_kind} {row.document_number}" for row in rows(work, "taken_back")]
    assert len(said) > 100
    assert len(people) > 5
    assert {(part, each) for part in parts for each in said if part in each} == set()


def _missed(desk: Desk) -> list[str]:
    """Name the words that nothing was posted with."""
    with desk.reading() as work:
        found = {(table, column): {row._mapping[column] for row in rows(work, table)} for table, column, _ in KEPT}
    return [
        f"{table}.{column} '{member.value}'"
        for table, column, kind in KEPT
        for member in kind
        if member.value not in found[table, column]
    ]
