"""The invented ledger of the benchmarks is a real one: it holds every proof, and is the same each time."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import export_year
from shopledger.desk.context import Desk
from shopledger.ledger.books.period import Period
from shopledger.store.opening import open_ledger
from tests.bench.large_ledger import make_ledger

pytestmark = pytest.mark.slow

YEAR = Period.of_year(2025)


def desk_before(path: Path, orders: int) -> Desk:
    """Make a ledger with so many orders in its one year, and sit down before it in the next."""
    url = make_ledger(path, orders, orders_a_year=orders)
    return Desk(open_ledger(url), "tester", datetime(2026, 2, 1, tzinfo=UTC), date(2026, 2, 1))


def test_an_invented_ledger_holds_every_proof(tmp_path: Path) -> None:
    """Chain, balance, documents, counters, stock and lots are as the program itself would have left them."""
    desk = desk_before(tmp_path / "one.db", 400)
    with closing(desk.ledger):
        assert [proof for proof in prove_books(desk).proofs if proof.differences] == []


def test_the_same_numbers_give_the_same_ledger(tmp_path: Path) -> None:
    """Two ledgers of as many orders have the same head, so they hold the same entries; one with more has another."""
    heads = []
    for name, orders in (("one", 60), ("two", 60), ("three", 61)):
        desk = desk_before(tmp_path / f"{name}.db", orders)
        with closing(desk.ledger), desk.reading() as work:
            heads.append(work.journal.head())
    assert heads[0] == heads[1] != heads[2]


def test_an_invented_year_can_be_handed_over(tmp_path: Path) -> None:
    """Every check of its workbook holds; jobs on the bench at the year's end are among what is on hand."""
    desk = desk_before(tmp_path / "one.db", 800)
    with closing(desk.ledger):
        written = export_year(desk, YEAR, tmp_path)
        with desk.reading() as work:
            standing = work.balances.all(YEAR.last)
    assert written.files[0].name == "year-2025-DRAFT.xlsx"
    assert min(amount for account, amount in standing.items() if account.title == "jobs in work") > 0
