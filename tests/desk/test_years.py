"""A year's figures and its workbook: what months and accounts say, draft until all is closed, on both databases."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, TypeAlias, cast

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook

from shopledger.desk.books.reports import YearDisagreesError, export_year, year_figures, year_report
from shopledger.desk.context import Desk
from shopledger.exports.reports import YEAR_ORDER, ReportCheck, write_year
from shopledger.exports.sheets import Formula, Grid, Kind, as_number
from shopledger.ledger.books.closing import PeriodDeed, PeriodEvent
from shopledger.ledger.books.customer_rows import CustomerRow
from shopledger.ledger.books.figures import ViewLine
from shopledger.ledger.books.journal import EMPTY_HEAD, Account
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.reports import ReportState
from shopledger.ledger.books.tax_forms import schedule_c
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.store.books.reports import QUERIES
from shopledger.store.opening import open_ledger
from tests.desk.books import notes, on_both
from tests.desk.busy_year import LAWYER, NASTY, SUPPLIER, busy_year
from tests.desk.family import Copies, Past, later, set_shop
from tests.exports.spreadsheet import assert_worked_out, kept_values, needs_office, worked_out
from tests.shelf import SHOP

pytestmark = pytest.mark.slow

FIRST, SECOND = Period.of_year(2026), Period.of_year(2027)


WorkedYears: TypeAlias = Mapping[Period, tuple[ReportCheck, Workbook, Path]]


@pytest.fixture(scope="module")
def past() -> Past:
    """Trade for a busy year."""
    return busy_year


@pytest.fixture
def trading(desk: Desk) -> Desk:
    """Give the desk after the busy year, in February of the next."""
    return later(desk, date(2027, 2, 10))


@pytest.fixture(scope="module")
def worked_years(copies_sqlite: Copies, tmp_path_factory: pytest.TempPathFactory) -> WorkedYears:
    """Let a spreadsheet work both years out once; gives each with what was written."""
    folder = tmp_path_factory.mktemp("years")
    files, checks = [], []
    with copies_sqlite(busy_year, folder) as address, closing(open_ledger(address)) as opened:
        desk = Desk(opened, "tester", datetime(2027, 2, 10, 10, 30, tzinfo=UTC), date(2027, 2, 10))
        for year in (FIRST, SECOND):
            files.append(folder / f"year-{year}.xlsx")
            with year_report(desk, year) as book:
                checks.append(write_year(book, files[-1]))
    books = worked_out(files, folder / "worked")
    return dict(zip((FIRST, SECOND), zip(checks, books, files, strict=True), strict=True))


def close(desk: Desk, *months: Month) -> None:
    """Mark months as closed, whatever a careful closing would say."""
    with desk.writing() as work:
        for month in months:
            work.periods.add(PeriodEvent(month, PeriodDeed.CLOSED, "", (), EMPTY_HEAD))


@on_both
@pytest.mark.parametrize("year", [FIRST, SECOND])
def test_every_check_of_the_workbook_holds(trading: Desk, year: Period, tmp_path: Path) -> None:
    """Stock, states, customers, payees, card payments and both views agree, whatever happened in the year."""
    with year_report(trading, year) as book:
        check = write_year(book, tmp_path / "year.xlsx")
    assert check.differences == ()
    assert check.rows["Customers"] == (2 if year is FIRST else 1)
    assert load_workbook(tmp_path / "year.xlsx").sheetnames == list(YEAR_ORDER)
    # Beside a year without a figure, the share by which it was passed is an empty text; so is what nobody typed.
    empty = {place for place, value in kept_values(tmp_path / "year.xlsx").items() if value is None}
    assert {(title, address[0]) for title, address in empty} <= {("Prior year", "F"), ("1099-K", "D"), ("1099-K", "E")}
    shown = load_workbook(tmp_path / "year.xlsx", data_only=True)
    assert [found for grid in check.grids for found in wrong(grid, shown)] == []


@on_both
@pytest.mark.parametrize("year", [FIRST, SECOND])
def test_a_year_is_the_sum_of_its_months(trading: Desk, year: Period) -> None:
    """On accrual the results add up; on cash what customers paid does, though both were worked out apart."""
    shown = year_figures(trading, year)
    with trading.reading() as work:
        months = [work.reports.figures(month.days) for month in year.months]
    accrual, cash = (shown.schedule(each) for each in (Accounting.ACCRUAL, Accounting.CASH))
    customers = (ViewLine.CUSTOMERS, ViewLine.DEPOSITS, ViewLine.SELLERS_TAX_IN)
    assert accrual["29"] == sum(month.accrual_result for month in months)
    assert [month.accrual_result + sum(month.between.values()) for month in months] == [
        month.cash_result for month in months
    ]
    assert cash["3"] == sum(month.cash.get(line, 0) for month in months for line in customers)
    assert cash["6"] == sum(month.cash[ViewLine.OTHER_INCOME] for month in months)


def test_the_boxes_of_the_card_form_stand_beside_the_books(trading: Desk, tmp_path: Path) -> None:
    """April's box is 50.00 paid and 200.00 of deposit, by the day of the transaction; months come to the whole."""
    with year_report(trading, FIRST) as book:
        write_year(book, tmp_path / "year.xlsx")
    sheet = load_workbook(tmp_path / "year.xlsx", data_only=True)["1099-K"]
    boxes = {row[0]: row[2:5] for row in sheet.iter_rows(min_row=2, max_col=5, values_only=True) if row[0]}
    assert list(boxes) == ["1a", "1b", "3", *(f"5{letter}" for letter in "abcdefghijkl")]
    assert boxes["5d"] == (250, None, None)
    months = [cast("float", boxes[f"5{letter}"][0]) for letter in "abcdefghijkl"]
    assert sum(months) == pytest.approx(cast("float", boxes["1a"][0]))


@on_both
def test_both_views_of_the_goods_come_to_the_same_cost(trading: Desk) -> None:
    """As inventories or as materials, line 42 is what the cost accounts say; gifts and own use are in neither."""
    for year in (FIRST, SECOND):
        figures = year_figures(trading, year).figures
        both = [schedule_c(figures, Accounting.ACCRUAL, view) for view in InventoryView]
        assert both[0]["42"] == both[1]["42"]
        assert (both[1]["35"], both[1]["41"]) == (0, 0)
    assert (
        both[0]["35"]
        == schedule_c(year_figures(trading, FIRST).figures, Accounting.CASH, InventoryView.INVENTORY)["41"]
    )


@on_both
def test_a_bill_paid_in_part_counts_in_part_on_cash(trading: Desk) -> None:
    """Each payment counts for labour in its proportion of the whole bill; on accrual all that was billed counts."""
    # The bill comes to 3,549.30: goods 135.00, jobs 63.20, labour 3,333.33 and freight 17.77. In 2026 1,000.01 and
    # 1,500.00 were paid on it; in 2027 the first came back and 500.00 were paid.
    lines = [[year_figures(trading, year).schedule(each)["11"] for each in Accounting] for year in (FIRST, SECOND)]
    share = 333_333 / 354_930
    assert lines[0] == [333_333, round(250_001 * share)]
    assert lines[1] == [0, round(200_000 * share) - round(250_001 * share)]


@on_both
def test_a_year_is_a_draft_until_every_month_with_entries_is_closed(trading: Desk, tmp_path: Path) -> None:
    """The file's name, the figures and the head of each sheet say so, and which months are open."""
    written = export_year(trading, FIRST, tmp_path)
    assert [file.name for file in written.files] == ["year-2026-DRAFT.xlsx"]
    heads = heads_and_feet(written.files[0])
    assert len(heads) == len(YEAR_ORDER)
    assert all("2026-03 to 2026-09" in head and foot.startswith("DRAFT") for head, foot in heads)
    assert "handed a year over" not in {deed for _, deed, _ in notes(trading)}
    with trading.reading() as work:
        close_these = work.reports.open_months(FIRST)
    close(trading, *close_these)
    written = export_year(trading, FIRST, tmp_path)
    assert written.files[0].name == "year-2026.xlsx"
    assert {head for head, _ in heads_and_feet(written.files[0])} == {""}
    assert ("tester", "handed a year over", "period 2026: inventory") in notes(trading)


def test_nothing_of_a_year_is_printed_too_small_to_read(trading: Desk, tmp_path: Path) -> None:
    """Fitted to one page wide, and to one long where it is, no type is below 8 points of its 10."""
    with year_report(trading, FIRST) as book:
        write_year(book, tmp_path / "year.xlsx")
    for sheet in load_workbook(tmp_path / "year.xlsx").worksheets:
        across = sheet.page_setup.orientation == "landscape"
        wide, long = (11.0, 8.5) if across else (8.5, 11.0)
        letters = map(get_column_letter, range(1, sheet.max_column + 1))
        inches = sum(sheet.column_dimensions[letter].width for letter in letters) * 7.5 / 96
        margins = sheet.page_margins
        assert round(10 * (wide - margins.left - margins.right) / inches, 6) >= 8, sheet.title
        if sheet.page_setup.fitToHeight == 1:
            high = sum(sheet.row_dimensions[row].height or 15 for row in range(1, sheet.max_row + 1)) / 72
            assert 10 * (long - margins.top - margins.bottom) / high >= 8, sheet.title


def heads_and_feet(file: Path) -> list[tuple[str, str]]:
    """Give what each sheet prints at the top and at the foot of its pages."""
    sheets = load_workbook(file).worksheets
    parts = [(sheet.oddHeader, sheet.oddFooter) for sheet in sheets]
    return [(str((head and head.center.text) or ""), str((foot and foot.left.text) or "")) for head, foot in parts]


def test_a_year_that_is_not_over_is_a_draft(trading: Desk) -> None:
    """Even with all months closed so far, more may happen in it."""
    close(trading, Month(2027, 1))
    state = year_figures(trading, SECOND).state
    assert state == ReportState((), over=False)
    assert state.sentence == "DRAFT, figures may still change: the year is not over."


def test_next_year_asks_how_the_goods_were_shown(trading: Desk, tmp_path: Path) -> None:
    """Line 34 says no where the owner kept the view, yes where he changed it, and that it is not known else."""
    assert line_34(trading, tmp_path) == "not known"
    with trading.reading() as work:
        months = work.reports.open_months(FIRST)
    close(trading, *months)
    export_year(trading, FIRST, tmp_path)
    assert line_34(trading, tmp_path) == "no"
    set_shop(trading, SHOP, Settings(inventory_view=InventoryView.MATERIALS))
    assert line_34(trading, tmp_path) == "yes"


def line_34(desk: Desk, folder: Path) -> object:
    """Give what the next year's worksheet says of a change."""
    with year_report(desk, SECOND) as book:
        grids = write_year(book, folder / "next.xlsx").grids
    return next(grid for grid in grids if grid.title == "Schedule C").value("34", 2)


def test_a_year_without_anything_has_a_workbook_too(desk: Desk, tmp_path: Path) -> None:
    """It is no draft, every figure is zero, and the checks hold."""
    written = export_year(desk, Period.of_year(2019), tmp_path)
    assert written.files[0].name == "year-2019.xlsx"
    assert not written.state.draft


def test_payees_of_services_over_the_sum_are_marked(trading: Desk, tmp_path: Path) -> None:
    """2,000 and more since 2026, cards left out: the labour that was paid and the rent, not the lawyer paid by card."""
    marked = rows_of(load_workbook(export_year(trading, FIRST, tmp_path).files[0]), "Expenses")
    assert {row["Payee"]: row["To report"] for row in marked if row["To report"]} == {
        SUPPLIER: "1099-NEC",
        "Mill Rooms": "1099-MISC",
    }
    assert {row["Payee"] for row in marked} >= {LAWYER, "(kept by the card processor)", "(goods given away, at cost)"}


def test_the_csv_files_say_what_the_workbook_does(trading: Desk, tmp_path: Path) -> None:
    """One file a sheet, figures for formulas, and a name that looks like a formula begins with a quote mark."""
    written = export_year(trading, FIRST, tmp_path, as_csv=True)
    names = {file.name for file in written.files[1:]}
    assert names == {
        f"year-{title.lower().replace(' ', '-')}-2026-DRAFT.csv" for title in YEAR_ORDER if title != "Notes"
    }
    with (tmp_path / "year-schedule-c-2026-DRAFT.csv").open(encoding="utf-8-sig", newline="") as file:
        lines = {row["No"]: row["Accrual, inventories"] for row in csv.DictReader(file) if row["No"] != "48"}
    amount = year_figures(trading, FIRST).schedule(Accounting.ACCRUAL)["29"]
    assert lines["29"] == f"{as_number(Kind.MONEY, amount):f}"
    with (tmp_path / "year-cut-off-2026-DRAFT.csv").open(encoding="utf-8-sig", newline="") as file:
        lists = {row["List"]: row for row in csv.DictReader(file)}
    assert [lists["Draft unfinished"][each] for each in ("How many", "Open")] == ["0", "0.00"]
    assert [lists["Deposit held"][each] for each in ("How many", "Open")] == ["2", "190.00"]
    # Of two cases and sunglasses, 69.00 with 3.26 of tax, 60.00 were paid in December; all of it left in January.
    ahead = lists["Ordered, not shipped, not paid"]
    shown = [ahead[each] for each in ("How many", "Open", "Paid ahead", "Counts later", "Tax later")]
    assert shown == ["1", "12.26", "60.00", "69.00", "3.26"]
    with (tmp_path / "year-customers-2026-DRAFT.csv").open(encoding="utf-8-sig", newline="") as file:
        assert f"'{NASTY}" in {row["Customer"] for row in csv.DictReader(file)}


def test_a_year_that_does_not_add_up_is_refused(trading: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a list lost a row the owner is told which checks fail, and nothing is noted as handed over."""
    monkeypatch.setitem(cast("dict[type[Any], str]", QUERIES), CustomerRow, _WITHOUT_ONE)
    with pytest.raises(YearDisagreesError, match="Net sales: by customer, and in the months"):
        export_year(trading, FIRST, tmp_path)


_WITHOUT_ONE = """
SELECT number, name, state, 0 AS orders, 0 AS sales, 0 AS refunds, 0 AS cancellations FROM customer
WHERE :first < :last LIMIT 1
"""


@needs_office
@pytest.mark.parametrize("year", [FIRST, SECOND])
def test_a_spreadsheet_gets_the_ledger_s_figures_from_every_formula(worked_years: WorkedYears, year: Period) -> None:
    """Each formula of each sheet gives what the ledger says, all checks say OK, and nothing is an error."""
    check, worked, file = worked_years[year]
    assert_worked_out(file, worked)
    assert [found for grid in check.grids for found in wrong(grid, worked)] == []
    texts = [str(cell.value) for sheet in worked.worksheets for row in sheet.iter_rows() for cell in row if cell.value]
    assert not [text for text in texts if text.startswith(("#", "Err:")) or text == "DIFFERS"]
    assert worked["Checks"].cell(worked["Checks"].max_row, 5).value == "OK"


@needs_office
def test_names_that_look_like_formulas_stay_text(worked_years: WorkedYears) -> None:
    """A customer, a payee and a category are shown as they were typed, with the quote mark left to the program."""
    _, worked, _ = worked_years[FIRST]
    assert NASTY in {cell.value for cell in worked["Customers"]["B"]}
    assert LAWYER in {cell.value for cell in worked["Expenses"]["C"]}


def wrong(grid: Grid, worked: Workbook) -> list[str]:
    """Give every formula of a grid that the spreadsheet works out to something else, with both values."""
    sheet, found = worked[grid.title], []
    for number, row in enumerate(grid.rows, start=grid.first_row):
        for place, (shown, heading) in enumerate(zip(row.cells, grid.headings, strict=False), start=1):
            if not isinstance(shown, Formula) or shown.value is None:
                continue
            value, wanted = sheet.cell(number, place).value, shown.value
            if isinstance(wanted, str):
                same = (value or "") == wanted
            else:
                same = f"{value or 0:.6f}" == f"{as_number(heading.kind, wanted):.6f}"
            if not same:
                found.append(f"{grid.title} {get_column_letter(place)}{number}: {value} for {wanted}")
    return found


def rows_of(book: Workbook, title: str) -> list[dict[str, object]]:
    """Give a list's rows by their headings, without the totals."""
    headings, *rows = book[title].iter_rows(values_only=True)
    return [dict(zip(map(str, headings), row, strict=True)) for row in rows[:-1]]


def test_accounts_stand_beside_the_year_before(trading: Desk, tmp_path: Path) -> None:
    """Income and debts are shown above zero, and what stood at last year's end beside what stands now."""
    with year_report(replace(trading, today=date(2027, 12, 31)), SECOND) as book:
        grids = write_year(book, tmp_path / "year.xlsx").grids
    prior = next(grid for grid in grids if grid.title == "Prior year")
    figures = year_figures(later(trading, date(2027, 12, 31)), FIRST).figures
    assert prior.value(Account.SALES.title, 3) == -figures.change(Account.SALES)
    assert prior.value(Account.ACCOUNTS_PAYABLE.title, 3) == -figures.closed_at(Account.ACCOUNTS_PAYABLE)
    assert prior.value(Account.INVENTORY.title, 3) == figures.closed_at(Account.INVENTORY)
