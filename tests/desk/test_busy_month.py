"""A month in which everything happens: its rows meet the journal, its workbook works out to the ledger's figures."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from openpyxl import load_workbook

from shopledger.desk.books.reports import export_period, export_plain, period_figures
from shopledger.desk.context import Desk
from shopledger.ledger.books.customer_rows import PaymentRow
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.posted_rows import GoodsCostRow
from shopledger.ledger.books.spending_rows import BillEventRow
from shopledger.ledger.settings import Accounting, Settings
from tests.desk.books import assert_sheets_meet_accounts, on_both
from tests.desk.busy_month import APRIL, MARCH, MAY, live_through
from tests.desk.family import Past, later, set_shop
from tests.exports.spreadsheet import needs_office, worked_out
from tests.exports.test_month_book import assert_no_errors, lines_of, total_of
from tests.shelf import SHOP

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def past() -> Past:
    """Live through March and April."""
    return live_through


@pytest.fixture
def lived(desk: Desk) -> Desk:
    """Give the desk on the first of May."""
    return later(desk, MAY.first)


@on_both
@pytest.mark.parametrize("month", [MARCH, APRIL, MAY], ids=str)
def test_every_sheet_of_a_busy_month_meets_its_account(lived: Desk, month: Month) -> None:
    """Cost of goods, expenses, bills, deposits, stock and payments each come to what was posted."""
    assert_sheets_meet_accounts(lived, month.days)


@on_both
def test_lenses_are_told_job_by_job_as_their_order_is_shipped(lived: Desk) -> None:
    """Each job's bills with their share of 5.00 of freight, less what a remake scrapped; the late bill by itself."""
    with lived.reading() as work:
        rows = [row for row in work.reports.rows(GoodsCostRow, APRIL.days) if row.account == Account.LENSES.title]
    assert [(row.event, row.order_number, row.job_number, row.cost) for row in rows] == [
        ("shipped", 1, 1, 3081),
        ("shipped", 1, 2, 4622),
        ("shipped", 1, 3, 9243 - 4000),
        ("shipped", 1, 4, 2054),
        ("bill 3", None, None, 1500),
    ]


@on_both
def test_both_views_of_a_busy_month_lie_as_far_apart_as_their_lines_say(lived: Desk) -> None:
    """Accrual and what lies between come to cash, and the main figures are those of pencil and paper."""
    figures, accounting = period_figures(lived, APRIL.days)
    assert accounting is Accounting.ACCRUAL
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    change = figures.posted.change
    # Two frames at 62.00 and 41.00 each, two cases at 4.00, sunglasses at 15.00; a frame of 41.00 came back.
    assert change(Account.COST_OF_GOODS) == 12_400 + 8_200 + 800 + 1_500 - 4_100
    # 185.00 with 5.00 of freight and 15.00 later, of which 40.00 were scrapped.
    assert (change(Account.LENSES), change(Account.SCRAP)) == (16_500, 4_000)
    # Two cases missing, and a frame of 66.49 sent back for 60.00.
    assert change(Account.STOCK_DIFFERENCES) == 800 + 649
    # 357.00 less 100.00, 50.00 and 60.00; 202.50 less 100.00; 99.00.
    with lived.reading() as work:
        assert sum(row.owed for row in work.reports.rows(BillEventRow, APRIL.days)) == 14_700 + 10_250 + 9_900
    # Half of the order's 13.05 of tax on the seller came in with 96.53 of 193.05, and 0.73 was given back.
    money = figures.money
    assert (money.received_sellers_tax, money.given_back_sellers_tax) == (653, 73)
    assert (money.from_deposits, money.to_deposits) == (21_000, 3_000)
    # 300.00 were left, 70.00 taken, 180.00 used, 40.00 given back; 99.00 were typed twice.
    assert (money.deposits_taken, money.deposits_given_back) == (7_000, 4_000)


@on_both
def test_all_payments_of_an_order_carry_exactly_its_tax(lived: Desk) -> None:
    """Paid in three parts over two months, the family's order carries its 3.26 of tax to the cent."""
    with lived.reading() as work:
        shares = [
            row.tax
            for month in (MARCH, APRIL)
            for row in work.reports.rows(PaymentRow, month.days)
            if row.order_number == 1
        ]
    assert len(shares) == 3
    assert sum(shares) == 326


@on_both
def test_a_busy_month_is_handed_over(lived: Desk, tmp_path: Path) -> None:
    """The workbook agrees with ledger and journal, also in the months before and after."""
    for month in (MARCH, APRIL, MAY):
        assert export_period(lived, month.days, tmp_path).is_file()


@needs_office
def test_a_spreadsheet_finds_a_busy_month_in_order(lived: Desk, tmp_path: Path) -> None:
    """Every check on every sheet is OK, totals are the ledger's, no cell is an error, and names stay text."""
    books = worked_out([export_period(lived, month.days, tmp_path) for month in (MARCH, APRIL)], tmp_path / "out")
    for book in books:
        for title in ("Summary", "Accrual and cash", "Checks"):
            checks = {label: row[2] for label, row in lines_of(book[title]).items()}
            assert "DIFFERS" not in checks.values(), [label for label, said in checks.items() if said == "DIFFERS"]
        assert lines_of(book["Summary"])["All checks"][2] == "OK"
        assert_no_errors(book)
    book = books[-1]
    figures, _ = period_figures(lived, APRIL.days)
    assert total_of(book["Cost of goods"], "Cost") == pytest.approx(figures.posted.of_kind(AccountKind.COST) / 100)
    assert lines_of(book["Summary"])["Result"][:2] == pytest.approx(
        (figures.accrual_result / 100, figures.cash_result / 100)
    )
    payees = [cell for cell in book["Expenses"]["F"] if cell.value == "=1+1"]
    assert {cell.data_type for cell in payees} == {"s"}


def test_the_view_that_the_shop_chose_stands_first(lived: Desk, tmp_path: Path) -> None:
    """The other stands beside it."""
    set_shop(lived, SHOP, Settings(accounting=Accounting.CASH))
    book = load_workbook(export_period(lived, APRIL.days, tmp_path))
    heads = [row for row in book["Summary"].iter_rows(values_only=True) if row[0] == "The month's result"]
    assert heads[0][:3] == ("The month's result", "Cash", "Accrual")
    assert book["Accrual and cash"]["A5"].value == "On cash"


def test_a_month_is_written_as_plain_files_with_the_same_rows(lived: Desk, tmp_path: Path) -> None:
    """One CSV file for each sheet of rows, as many rows in each, formulas made harmless, and a list with the head."""
    files = export_plain(lived, APRIL.days, tmp_path)
    book = load_workbook(export_period(lived, APRIL.days, tmp_path))
    for file in files[:-1]:
        with file.open(encoding="utf-8-sig", newline="") as opened:
            rows = list(csv.reader(opened))
        title = next(name for name in book.sheetnames if file.name.startswith(name.lower().replace(" ", "-") + "-2"))
        assert rows[0] == [cell.value for cell in book[title][1]]
        assert len(rows) == book[title].max_row - 1, title
    expenses = next(file for file in files if file.name.startswith("expenses")).read_text(encoding="utf-8")
    assert "'=1+1" in expenses
    head = re.search(r"([0-9]+)-([0-9a-f]{16})", files[-1].read_text(encoding="utf-8"))
    assert head is not None
    with lived.reading() as work:
        assert work.seals.hash_of(int(head[1])).startswith(head[2])


SPANS = ("2026-Q2", "2026-03-11..2026-04-17", "2026-04-18..2026-05-01", "2026")
"""A quarter, two spans that cut through months, and a whole year."""


@on_both
@pytest.mark.parametrize("span", SPANS)
def test_any_span_of_days_is_handed_over(lived: Desk, span: str, tmp_path: Path) -> None:
    """Every sheet meets its account, all checks agree, and files are called by the span."""
    period = Period.read(span)
    assert_sheets_meet_accounts(lived, period)
    assert export_period(lived, period, tmp_path).name == f"{period.noun}-{period}.xlsx"
    *files, listed = export_plain(lived, period, tmp_path)
    assert listed.name == f"{period.noun}-{period}.txt"
    assert {file.name.endswith(f"-{period}.csv") for file in files} == {True}


def test_spans_side_by_side_come_to_the_whole(lived: Desk) -> None:
    """What happened from the first day to a day and from the next to the last is all that happened."""
    spans = ("2026-03-01..2026-04-09", "2026-04-10..2026-04-30", "2026-03-01..2026-04-30")
    before, after, whole = (period_figures(lived, Period.read(span))[0] for span in spans)
    assert before.accrual_result + after.accrual_result == whole.accrual_result
    assert before.cash_result + after.cash_result == whole.cash_result
    for account in Account:
        assert before.posted.change(account) + after.posted.change(account) == whole.posted.change(account)


@needs_office
def test_a_spreadsheet_finds_a_span_in_order(lived: Desk, tmp_path: Path) -> None:
    """All its checks are OK, nothing is an error, and its words speak of the span and not of a month."""
    periods = [Period.read(span) for span in SPANS[:2]]
    books = worked_out([export_period(lived, period, tmp_path) for period in periods], tmp_path / "worked")
    for period, book in zip(periods, books, strict=True):
        assert_no_errors(book)
        checks = {row[2] for row in lines_of(book["Checks"]).values() if row[2]}
        assert checks == {"OK"}
        labels = [str(row[0]) for row in lines_of(book["Checks"]).items()]
        assert any(period.noun in label for label in labels)
        assert not any("month" in label for label in labels)
