"""A second opinion on the sheets: pandas reads a year's files back, groups their rows again, and finds the figures.

The ledger adds up in its database and by its own tables (`exports/year_tables.py`); here the twelve months' CSV files
and the year's workbook are added up from what is written in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Final, TypeAlias

import pandas as pd
import pytest

from shopledger.desk.books.reports import export_plain, export_year, tax_due, year_figures
from shopledger.desk.context import Desk
from shopledger.exports.year_tables import accounts_beside, accounts_by_month, card_money_by_month
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.reports import MoneyEvent, YearFigures
from shopledger.ledger.orders import Method
from shopledger.store.opening import open_ledger
from tests.bench.large_ledger import FIRST_DAY, make_ledger
from tests.desk.busy_year import busy_year
from tests.desk.family import Copies

pytestmark = pytest.mark.slow

ORDERS: Final = 300
Table: TypeAlias = pd.DataFrame


@dataclass(frozen=True)
class Written:
    """A year's files, and what the ledger says of it."""

    folder: Path
    year: Period
    figures: YearFigures
    next_figures: YearFigures
    months: tuple[PeriodTotals, ...]
    by_state: Mapping[str, tuple[int, int]]
    """Net sales and their tax."""

    def listed(self, sheet: str) -> Table:
        """Read one sheet of all months, as text, with the number of each row's month."""
        tables = [_read(self.folder / f"{sheet}-{month}.csv").assign(month=month.number) for month in self.year.months]
        return pd.concat(tables, ignore_index=True)

    def of_year(self, sheet: str) -> Table:
        """Read one sheet of the year's workbook."""
        (file,) = self.folder.glob("year-*.xlsx")
        return pd.read_excel(file, sheet_name=sheet, dtype=str, keep_default_na=False)


@pytest.fixture(scope="module")
def busy(copies_sqlite: Copies, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Written]:
    """Write the files of the year in which everything happens."""
    folder = tmp_path_factory.mktemp("busy")
    with copies_sqlite(busy_year, folder) as address:
        yield _written(address, Period.of_year(2026), folder)


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Written:
    """Write the files of a year with many orders, into several states."""
    folder = tmp_path_factory.mktemp("large")
    address = make_ledger(folder / "ledger.db", ORDERS, orders_a_year=ORDERS)
    return _written(address, Period.of_year(FIRST_DAY.year), folder)


@pytest.fixture(params=["busy", "large"])
def written(request: pytest.FixtureRequest) -> Written:
    """Give the files of either year."""
    found: Written = request.getfixturevalue(request.param)
    return found


def test_sales_lines_grouped_by_month_are_the_figures_of_the_month(written: Written) -> None:
    """What was sold less what was given up is each month's net sales and their sales tax, to the cent."""
    net, tax = (_kept(written, "month", column) for column in ("Net", "Tax"))
    for month, totals in zip(written.year.months, written.months, strict=True):
        assert (net.get(month.number, 0), tax.get(month.number, 0)) == (totals.net_kept, totals.tax_kept), month


def test_sales_lines_grouped_by_state_are_what_its_return_asks_for(written: Written) -> None:
    """Net sales and their tax are those of each state's return, and of its rows in the year's workbook."""
    net, tax = (_kept(written, "State", column) for column in ("Net", "Tax"))
    assert {state: (net[state], tax[state]) for state in net} == written.by_state
    states = written.of_year("States")
    states = states[states["Tax category"] != ""]  # the last row holds the totals
    assert _grouped(states, "State", "Net sales") == net
    assert _grouped(states, "State", "Tax") == tax


def test_the_journal_grouped_again_is_what_each_account_changed_by_in_each_month(written: Written) -> None:
    """Debits less credits, by account and month, and month by month in the year's workbook."""
    journal = written.listed("journal")
    journal["amount"] = journal["Debit"].map(_cents) - journal["Credit"].map(_cents)
    turned = journal.pivot_table(index="Account", columns="month", values="amount", aggfunc="sum", fill_value=0)
    turned = turned.reindex(columns=range(1, 13), fill_value=0)
    months = dict(zip(turned.index, turned.to_numpy().tolist(), strict=True))
    ours = accounts_by_month(written.figures)
    assert ours == {account: months.pop(account.title, [0] * 12) for account in Account}
    assert not months
    shown = _amounts(written.of_year("Months"), "Returns and allowances")
    assert shown == [-amount for amount in ours[Account.RETURNS]]


def test_accounts_grouped_over_the_year_stand_beside_the_next(written: Written) -> None:
    """A first year's journal is how far it lies from nothing; income, debts and capital count by their credits."""
    journal = written.listed("journal")
    debits, credited = _grouped(journal, "Account", "Debit"), _grouped(journal, "Account", "Credit")
    on_the_left = {AccountKind.ASSET, AccountKind.COST, AccountKind.EXPENSE}
    for first, second in zip(accounts_beside(written.figures), accounts_beside(written.next_figures), strict=True):
        account = first.account
        grown = debits.get(account.title, 0) - credited.get(account.title, 0)
        assert first.difference == (grown if account.kind in on_the_left else -grown), account
        assert second.then == first.now == first.then + first.difference
        assert account.kind.lasts or not first.then


def test_payments_grouped_again_are_the_card_money_of_each_month(written: Written) -> None:
    """What was paid by card on orders, without what lay there as a deposit and what was a mistake."""
    payments = written.listed("payments")
    paid = payments[payments["Event"].isin(["paid", "paid, put right", "recorded by mistake"])]
    for method in Method:
        mine = paid[paid["Method"] == method.value]
        amounts, from_deposits = (_grouped(mine, "month", column) for column in ("Amount", "From deposit"))
        months = [amounts.get(number, 0) - from_deposits.get(number, 0) for number in range(1, 13)]
        assert card_money_by_month(written.figures, method.value)[MoneyEvent.PAYMENT, "amount"] == months, method
    by_card = card_money_by_month(written.figures, Method.CARD.value)[MoneyEvent.PAYMENT, "amount"]
    assert _amounts(written.of_year("Card payments"), "Card payments on orders") == by_card


def _written(address: str, year: Period, folder: Path) -> Written:
    """Write a year's workbook and its months' CSV files, and ask the ledger for its figures."""
    with closing(open_ledger(address)) as opened:
        desk = Desk(opened, "tester", datetime(year.last.year + 1, 2, 10, tzinfo=UTC), date(year.last.year + 1, 2, 10))
        export_year(desk, year, folder)
        for month in year.months:
            export_plain(desk, month.days, folder)
        with desk.reading() as work:
            totals = tuple(work.reports.figures(month.days).totals for month in year.months)
        by_state = {each.state: (each.gross - each.taken_back, each.net_tax) for each in tax_due(desk, year)}
        figures, after = (
            year_figures(desk, Period.of_year(each)).figures for each in (year.first.year, year.first.year + 1)
        )
        return Written(folder, year, figures, after, totals, by_state)


def _read(file: Path) -> Table:
    return pd.read_csv(file, dtype=str, keep_default_na=False, encoding="utf-8-sig")


def _cents(text: str) -> int:
    """Give an amount in whole cents; empty is nothing."""
    cents = Decimal(text or "0") * 100
    assert cents == int(cents), text
    return int(cents)


def _amounts(grid: Table, line: str) -> list[int]:
    """Give what stands in a line of a year's sheet for each month, in cents, without the year's sum."""
    (row,) = grid[grid["Line"] == line].drop(columns=["Line", "Year"]).to_numpy().tolist()
    return [_cents(text) for text in row]


def _grouped(table: Table, key: str, column: str) -> dict[object, int]:
    """Add up a column of amounts, in cents, by a column of words."""
    sums = table.assign(cents=table[column].map(_cents)).groupby(key)["cents"].sum()
    return {name: int(cents) for name, cents in sums.items()}


def _kept(written: Written, key: str, column: str) -> dict[object, int]:
    """Add up what was sold less what of it was given up."""
    sold = _grouped(written.listed("sales-lines"), key, column)
    given_up = _grouped(written.listed("refunds"), key, column)
    return {name: sold.get(name, 0) - given_up.get(name, 0) for name in sorted({*sold, *given_up}, key=str)}
