"""Looking at the whole ledger from outside, to see what a deed left in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from pypdf import PdfReader
from sqlalchemy import inspect

from shopledger.desk.context import Desk
from tests.ledgers import BOTH

on_both: Final = pytest.mark.parametrize("desk", BOTH, indirect=True)
"""Runs a test before a furnished ledger on SQLite, then before one on PostgreSQL."""

_POSTINGS = """
SELECT entry.document, posting.account, posting.amount
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE entry.memo NOT LIKE 'opening: %'
ORDER BY entry.number, posting.position
"""


def everything(desk: Desk) -> dict[str, list[tuple[Any, ...]]]:
    """Give every row of every table, in an order of its own."""
    with desk.reading() as work:
        transaction = work._transaction
        names = inspect(transaction.connection).get_table_names()
        return {name: sorted((tuple(row) for row in transaction.rows(name)), key=repr) for name in names}


def postings(desk: Desk) -> list[tuple[str, str, int]]:
    """Give what was posted since the opening stock, as document, account and amount in cents, oldest first."""
    with desk.reading() as work:
        return [(row.document, row.account, row.amount) for row in work._transaction.asked(_POSTINGS)]


def notes(desk: Desk) -> list[tuple[str, str, str]]:
    """Give who did or looked at what, oldest first."""
    with desk.reading() as work:
        found = work._transaction.rows("audit_note", order=("number",))
        return [(row.operator, row.deed, row.subject) for row in found]


def words_in(file: Path) -> str:
    """Give the text of a PDF, white space joined."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(file).pages).split())
