"""Looking at the whole ledger from outside, to see what a deed left in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from pypdf import PdfReader
from sqlalchemy import inspect

from shopledger.desk.context import Desk
from shopledger.ledger.books.customer_rows import DepositRow
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.posted_rows import GoodsCostRow, MovementRow, StockRow, TrialRow
from shopledger.ledger.books.spending_rows import BillEventRow, ExpenseRow, ExpenseSource
from tests.ledgers import BOTH
from tests.rows import rows

on_both: Final = pytest.mark.parametrize("desk", BOTH, indirect=True)
"""Runs a test before a furnished ledger on SQLite, then before one on PostgreSQL."""

_POSTINGS = """
SELECT entry.document, posting.account, posting.amount
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE entry.memo NOT LIKE 'opening: %'
ORDER BY entry.number, posting.position
"""


def everything(desk: Desk) -> dict[str, list[tuple[Any, ...]]]:
    """Give every row of every table, in an order of its own; that something was refused is noted, and left out."""
    with desk.reading() as work:
        names = inspect(work.transaction.connection).get_table_names()
        found = {name: sorted((tuple(row) for row in rows(work, name)), key=repr) for name in names}
        done = [tuple(row)[:12] for row in rows(work, "audit_note", {"outcome": "done"}, order=("number",))]
    counters = [row for row in found["counter"] if row[0] != "audit"]
    # Each row says under which seal it stands, so a seal of such a note alone tells nothing more.
    del found["seal"]
    return {**found, "audit_note": done, "counter": counters}


def postings(desk: Desk) -> list[tuple[str, str, int]]:
    """Give what was posted since the opening stock, as document, account and amount in cents, oldest first."""
    with desk.reading() as work:
        return [(row.document, row.account, row.amount) for row in work.transaction.asked(_POSTINGS)]


def notes(desk: Desk) -> list[tuple[str, str, str]]:
    """Give who did or looked at what, oldest first."""
    with desk.reading() as work:
        found = rows(work, "audit_note", order=("number",))
        return [
            (
                row.operator,
                row.deed,
                " ".join(str(each) for each in (row.subject_kind, row.subject_number, row.detail) if each),
            )
            for row in found
        ]


def words_in(file: Path) -> str:
    """Give the text of a PDF, white space joined."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(file).pages).split())


def assert_sheets_meet_accounts(desk: Desk, period: Period) -> None:
    """Cost of goods, expenses, bills, deposits, stock and movements of a period each come to what was posted.

    Income stands among the expenses only where an adjusting entry moves it in time.
    """
    with desk.reading() as work:
        reports = work.reports
        posted = reports.posted(period)
        costs = {account: 0 for account in Account if account.kind is AccountKind.COST}
        for row in reports.rows(GoodsCostRow, period):
            costs[next(account for account in costs if account.title == row.account)] += row.cost
        spent = dict.fromkeys((*(each for each in Account if each.kind is AccountKind.EXPENSE), Account.EQUIPMENT), 0)
        timed = 0
        for each in reports.rows(ExpenseRow, period):
            if each.account is Account.OTHER_INCOME:
                assert each.source is ExpenseSource.TIMED
                timed -= each.amount
            else:
                spent[each.account] += each.amount
        money = reports.figures(period).money
        bills, deposits, stock = (
            list(reports.rows(BillEventRow, period)),
            list(reports.rows(DepositRow, period)),
            list(reports.rows(StockRow, period)),
        )
        moved = sum(row.cost for row in reports.rows(MovementRow, period))
        trial = {row.title: row.closing for row in reports.rows(TrialRow, period)}
    assert costs == {account: posted.change(account) for account in costs}
    assert timed == money.income_timed
    assert spent == {account: posted.change(account) for account in spent}
    assert sum(row.owed for row in bills) == -trial.get(Account.ACCOUNTS_PAYABLE.title, 0)
    assert sum(row.owed - row.before for row in bills) == -posted.change(Account.ACCOUNTS_PAYABLE)
    assert sum(row.left for row in deposits) == -trial.get(Account.CUSTOMER_DEPOSITS.title, 0)
    assert sum(row.value for row in stock) == trial[Account.INVENTORY.title]
    assert moved == posted.change(Account.INVENTORY)
    assert sum(trial.values()) == 0
