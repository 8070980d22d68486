"""The month's workbook: what stands in it, how it lies on paper, and that a spreadsheet gets the ledger's figures."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any, cast

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from shopledger.exports.checks import FigureDiffers
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.reports import ReportCheck, write_report
from shopledger.files.refusals import NotWrittenError
from shopledger.files.replacing import replacing
from shopledger.ledger.books.customer_rows import MoneyBackRow, PaymentRow, RefundRow, SalesRow
from shopledger.ledger.books.figures import PeriodPosted
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.posted_rows import JournalRow
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.books.spending_rows import ExpenseRow
from shopledger.ledger.settings import Accounting
from tests.exports.sample_month import (
    ACCRUAL_RESULT,
    CASH_RESULT,
    EXPENSES,
    JOURNAL,
    LINES,
    MONEY_BACK,
    NASTY,
    PAYMENTS,
    POSTED,
    REFUNDS,
    SALES,
    STOCK_VALUE,
    TAX,
    empty_report,
    month_report,
    nasty_report,
)
from tests.exports.spreadsheet import assert_worked_out, kept_values, needs_office, worked_out

pytestmark = pytest.mark.slow

TABLES = {
    "Sales lines": "SalesLines",
    "Payments": "PaymentsIn",
    "Refunds": "RefundLines",
    "Money back": "MoneyBack",
    "Tax by state": "TaxByState",
    "Deposits": "DepositEvents",
    "Stock movements": "StockMoves",
    "Stock value": "StockValue",
    "Cost of goods": "GoodsCost",
    "Expenses": "ExpenseLines",
    "Bills": "BillEvents",
    "Money moves": "MoneyMoves",
    "Journal": "JournalLines",
    "Trial balance": "TrialBalance",
    "Open items": "OpenItems",
}
ONE_MISSING = [row for row in LINES if row.item_code != "SUN-PLANO"]
"""Without the sunglasses, 45.00 with 3.15 of tax."""
SHEETS = ["Summary", *TABLES, "Accrual and cash", "Cut-off", "Charts", "Checks", "Notes"]


def written(book: PeriodReport, folder: Path) -> Workbook:
    """Write a book and read it back with its formulas."""
    target = folder / "month.xlsx"
    write_report(book, target)
    return openpyxl.load_workbook(target)


def rows_of(sheet: Worksheet) -> list[dict[str, object]]:
    """Give a sheet's rows by their headings, without the totals."""
    headings, *rows = ([cell.value for cell in row] for row in sheet.iter_rows())
    return [dict(zip(map(str, headings), row, strict=True)) for row in rows[:-1]]


def test_the_sheets_stand_in_the_order_in_which_they_are_read(tmp_path: Path) -> None:
    """The summary comes first and the notes last."""
    assert written(month_report(), tmp_path).sheetnames == SHEETS


def test_a_sales_line_stands_in_the_book_as_in_the_ledger(tmp_path: Path) -> None:
    """Days are days, money is a number with cents, orders are numbers, and every value is in its column."""
    rows = rows_of(written(month_report(), tmp_path)["Sales lines"])
    assert len(rows) == len(LINES)
    assert rows[-2] == {
        "Date": datetime(2026, 3, 25),  # noqa: DTZ001 - a cell's day has no zone
        "Order": 12,
        "Event": "sold",
        "Customer": "Ansgar Tollivane",
        "State": "VT",
        "Kind": "frame",
        "Item": "HALLOCK-55",
        "Description": "Tamsk and Ovey Hallock, tea, 55-16-140",
        "Count": 1,
        "List price": 239.5,
        "Reduction": 47.9,
        "Net": 191.6,
        "Tax category": "prescription eyewear",
        "Tax": 0,
    }


def test_a_cancelled_line_stands_below_zero_on_the_day_of_its_cancellation(tmp_path: Path) -> None:
    """It is marked, and takes back count, prices and tax, so that the sheet's totals are those of what stands."""
    row = rows_of(written(month_report(), tmp_path)["Sales lines"])[2]
    assert row["Date"] == datetime(2026, 3, 10)  # noqa: DTZ001 - a cell's day has no zone
    assert [row[name] for name in ("Event", "Count", "List price", "Reduction", "Net", "Tax")] == [
        "cancelled", -1, -8.5, 0, -8.5, -0.51,
    ]  # fmt: skip


def test_a_refund_stands_in_the_book_as_in_the_ledger(tmp_path: Path) -> None:
    """Whose, of what, how much with its tax, why, and whether goods came back; and the money apart from payments."""
    book = written(month_report(), tmp_path)
    refunds, back = rows_of(book["Refunds"]), rows_of(book["Money back"])
    assert list(refunds[0].values())[1:] == [
        11, "Odalys Fernhollow", "OH", "accessory", "Sunglasses without power", "non-prescription", 20, 1.4, 21.4,
        "card", 0, "scratched, kept at a lower price", "refund",
    ]  # fmt: skip
    assert [row["Goods"] for row in refunds] == [0, 1, 0]
    assert [(row["Order"], row["Cause"], row["Method"], row["Reference"], row["Amount"]) for row in back] == [
        (9, "cancellation", "card", "5151", 100),
        (9, "cancellation", "check", "1003", 89.01),
        (11, "refund", "card", "4242", 21.4),
        (8, "refund", "cash", None, 56.5),
    ]


def test_the_other_sheets_of_customers_hold_their_rows(tmp_path: Path) -> None:
    """Payments with the tax in them, tax by state and deposits are there to the last row."""
    book = written(month_report(), tmp_path)
    payments, tax, deposits = (rows_of(book[title]) for title in ("Payments", "Tax by state", "Deposits"))
    shown = ("Method", "Reference", "Amount", "From deposit", "Tax in it")
    assert [tuple(row[name] for name in shown) for row in payments] == [
        ("card", "4242", 200, 0, 1.73), ("check", "1007", 164.6, 0, 1.42), ("transfer", None, 545.37, 0, 0.93),
        ("check", "988", 50, 50, 0.09),
    ]  # fmt: skip
    assert list(tax[0].values()) == [
        "OH", "non-prescription", 0.07, "buyer", None, 45, 20, 0, 25, 0, 25, 3.15, 1.4, 1.75,
    ]  # fmt: skip
    assert list(tax[3].values())[5:] == [0, 0, 8.5, -8.5, 0, -8.5, 0, 0.51, -0.51]
    assert list(tax[4].values())[5:] == [577.35, 0, 180, 397.35, 397.35, 0, 0, 0, 0]
    assert len(tax) == len(TAX)
    assert [(row["Date"] is None, row["Before"], row["Taken"], row["Used"], row["Left"]) for row in deposits] == [
        (True, 50, 0, 0, 50), (False, 0, 30, 0, 30), (False, 0, 0, 50, -50),
    ]  # fmt: skip


def test_the_sheets_of_goods_hold_their_rows(tmp_path: Path) -> None:
    """Movements with their sign, each item from opening to closing, and each issue with the lot it came from."""
    book = written(month_report(), tmp_path)
    moves, stock, cost = (rows_of(book[title]) for title in ("Stock movements", "Stock value", "Cost of goods"))
    assert list(moves[1].values())[1:] == [32, "PELLOW-52", "sold", -1, -60, 11, 20, None, None]
    assert list(stock[1].values())[2:] == [4, 240, 2, 124, 1, 60, -1, -60, 4, 244]
    lot = datetime(2026, 1, 9)  # noqa: DTZ001 - a cell's day has no zone
    assert list(cost[0].values())[1:] == ["cost of goods sold", "shipped", 11, 20, "PELLOW-52", 4, lot, 1, 60]
    assert list(cost[1].values())[1:] == [
        "lenses and lab work", "parcel 5", 11, None, None, None, None, None, 25,
    ]  # fmt: skip


def test_the_sheets_of_spending_hold_their_rows(tmp_path: Path) -> None:
    """An expense names its Schedule C line and its proof, one taken back is below zero; bills say what is owed."""
    book = written(month_report(), tmp_path)
    spent, bills, moves = (rows_of(book[title]) for title in ("Expenses", "Bills", "Money moves"))
    assert list(spent[0].values())[1:] == [
        "expense 1", "paid at once", "20b", "rent of premises", "Alder Row Estates", "rent for March", "bank", "M-17",
        "abababababab", 850,
    ]  # fmt: skip
    assert [row["Amount"] for row in spent] == [850, 15, 19.99, -19.99, 29, 5.9]
    assert [row["Owed"] for row in bills] == [40, 124, 25, 90, 15, -40, -50]
    assert [(row["Kind"], row["Cash"], row["Card clearing"], row["Bank"]) for row in moves] == [
        ("payout", 0, -200, 194.1), ("contribution", 0, 0, 100), ("tax paid", 0, 0, -3.96),
    ]  # fmt: skip


def test_the_sheets_of_the_books_hold_their_rows(tmp_path: Path) -> None:
    """Each posting with its entry, a reversal with the entry it takes back; each account from opening to closing."""
    book = written(month_report(), tmp_path)
    journal, trial = rows_of(book["Journal"]), rows_of(book["Trial balance"])
    assert len(journal) == len(JOURNAL)
    assert {(row["Entry"], row["Reverses"]) for row in journal if row["Reverses"]} == {(107, 106)}
    assert [list(row.values())[5:8] for row in journal[:2]] == [
        ["card clearing", 200, None], ["customer prepayments", None, 200],
    ]  # fmt: skip
    inventory = next(row for row in trial if row["Account"] == "inventory")
    assert list(inventory.values())[1:] == ["asset", "41", 363.4, 124, 211.15, 276.25]
    assert "earlier years' result" in {row["Account"] for row in trial}


def test_the_cut_off_says_what_each_list_comes_to(tmp_path: Path) -> None:
    """How many, what they come to and what is open, what counts later of it, and the accounts beside it."""
    target = tmp_path / "month.xlsx"
    write_report(month_report(), target)
    sheet = openpyxl.load_workbook(target, data_only=True)["Cut-off"]
    rows = {row[0]: row[1:] for row in sheet.iter_rows(min_row=5, max_col=9, values_only=True) if row[0]}
    assert rows["Ordered, not shipped, not paid"][:8] == (1, 180, 0, 180, 0, 0, 180, 0)
    assert rows["Paid, not shipped"][:8] == (1, 595.37, 595.37, 0, 0, 18.02, 17, 1.02)
    assert rows["Shipped, not paid"][:8] == (1, 90, 40, 50, 50, 0, 0, 0)
    assert rows["Shipped, paid too much"][:8] == (0, 0, 0, 0, 0, 0, 0, 0)
    assert rows["Bill open"][:8] == (1, 204, 0, 204, 0, 0, 0, 0)
    assert rows["Draft unfinished"][:8] == (1, 0, 0, 0, 0, 0, 0, 0)
    against = ("Owed by customers, less what they paid ahead", "Owed to suppliers", "Held for customers")
    assert [rows[each][2:5] for each in against] == [(31.98, 31.98, "OK"), (204, 204, "OK"), (30, 30, "OK")]


def test_number_formats_reach_the_totals(tmp_path: Path) -> None:
    """Money shows two decimals in every row and below; days and rates have formats of their own."""
    book = written(month_report(), tmp_path)
    sales = book["Sales lines"]
    last = sales.max_row
    assert {sales.cell(row, 12).number_format for row in range(2, last + 1)} == {"#,##0.00;[Red]-#,##0.00"}
    assert sales["A2"].number_format == "yyyy-mm-dd"
    assert (sales["B2"].number_format, sales["D2"].number_format) == ("0", "@")
    assert book["Tax by state"]["C2"].number_format == "0.000%"


def test_each_sheet_is_a_real_table_with_its_totals_as_formulas(tmp_path: Path) -> None:
    """Excel knows the rows by name, can filter them, and adds up what is in view."""
    book = written(month_report(), tmp_path)
    for title, name in TABLES.items():
        sheet = book[title]
        table = sheet.tables[name]
        assert table.ref == sheet.dimensions
        assert table.totalsRowCount == 1
        headings = [cell.value for cell in sheet[1]]
        assert [column.name for column in table.tableColumns] == headings
        for heading, cell in zip(headings, sheet[sheet.max_row], strict=True):
            column = next(column for column in table.tableColumns if column.name == heading)
            if column.totalsRowFunction == "sum":
                assert cell.value == f"=SUBTOTAL(109,{name}[{heading}])"
                assert cell.font.bold
            elif column.totalsRowFunction == "custom":
                assert cell.value == f"=ROUND(SUBTOTAL(109,{name}[{heading}]),2)"
                assert column.totalsRowFormula.attr_text == str(cell.value).removeprefix("=")
            else:
                assert cell.value in {None, "Total"}
        filtered = f"A1:{sheet.cell(sheet.max_row - 1, sheet.max_column).coordinate}"
        assert table.autoFilter.ref == filtered


def test_every_sheet_is_ready_to_print(tmp_path: Path) -> None:
    """Letter paper, one page wide (some one long), headings on each, page n of m, no merged cells."""
    for sheet in written(month_report(), tmp_path).worksheets:
        assert sheet.page_setup.paperSize == 1
        high = 1 if sheet.title in {"Summary", "Cut-off", "Charts"} else 0
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, high)
        assert sheet.sheet_properties.pageSetUpPr is not None
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.oddFooter is not None
        assert sheet.oddFooter.right.text == "Page &P of &N"
        assert sheet.oddFooter.left.text == "Quillfeather Optical, 2026-03"
        assert not sheet.merged_cells.ranges
        if sheet.title in {*TABLES, "Notes"}:
            assert sheet.freeze_panes == "A2"
            assert sheet.print_title_rows == "$1:$1"
        for column in range(1, sheet.max_column + 1):
            letter = get_column_letter(column)
            assert sheet.column_dimensions[letter].width >= 7, f"{sheet.title} {letter}"


def test_nothing_is_printed_too_small_to_read(tmp_path: Path) -> None:
    """Fitted to one page wide, no type of 10 points comes below 8, though a program takes 7.5/96 inch for a digit."""
    for sheet in written(month_report(), tmp_path).worksheets:
        letters = map(get_column_letter, range(1, sheet.max_column + 1))
        inches = sum(sheet.column_dimensions[letter].width for letter in letters) * 7.5 / 96
        wide = 11 if sheet.page_setup.orientation == "landscape" else 8.5
        margins = sheet.page_margins
        assert round(10 * (wide - margins.left - margins.right) / inches, 6) >= 8, sheet.title
        assert {cell.font.sz for row in sheet.iter_rows() for cell in row} <= {10, 14}, sheet.title


def test_an_ampersand_in_the_shop_s_name_is_no_footer_code(tmp_path: Path) -> None:
    """A name such as A&D would otherwise print the date."""
    target = tmp_path / "month.xlsx"
    write_report(month_report(shop_name="A&D Frames"), target)
    with zipfile.ZipFile(target) as parts:
        assert b"A&amp;&amp;D Frames" in parts.read("xl/worksheets/sheet1.xml")


def test_the_notes_say_how_the_book_was_made_and_what_each_column_means(tmp_path: Path) -> None:
    """Ledger head, EIN, day of the state, cautions, and one line for every column of every table."""
    book = written(month_report(), tmp_path)
    said = [tuple(cell.value for cell in row) for row in book["Notes"].iter_rows(min_row=2)]
    everything = " ".join(str(word) for row in said for word in row)
    for words in (
        "14 entries, 9f3c2a",
        "12-3456789",
        "2026-04-01",
        "tax preparer",
        "rates that the owner had set",
        "no physical count",
        "The month is open",
        "The shop has chosen accrual",
        "164.00. Billed counts on accrual at once",
    ):
        assert words in everything
    abouts = {row[0] for row in said}
    assert {f"{title}: {cell.value}" for title in TABLES for cell in book[title][1]} <= abouts


def test_long_text_gets_a_row_high_enough(tmp_path: Path) -> None:
    """A description of several lines is not cut off; a short one leaves the row as it is."""
    long = replace(SALES[0], description="Vessamund Pellow in moss green with a very long description " * 3)
    sheet = written(month_report({SalesRow: (long, SALES[1])}), tmp_path)["Sales lines"]
    assert sheet.row_dimensions[2].height >= 15 + 4 * 12.75
    assert (sheet.row_dimensions[3].height or 15) <= 15 + 12.75


def test_the_check_is_clean_when_the_rows_meet_the_ledger(tmp_path: Path) -> None:
    """The writer counts what passes by and finds the ledger's own figures."""
    check = write_report(month_report(), tmp_path / "month.xlsx")
    assert check.agrees
    assert list(check.rows.values()) == [10, 4, 3, 4, 5, 3, 4, 3, 5, 6, 7, 3, 65, 27, 6]


def test_the_check_names_each_figure_that_differs(tmp_path: Path) -> None:
    """A line that went missing on the way shows in every figure it belongs to, the journal's too."""
    check = write_report(month_report({SalesRow: ONE_MISSING, PaymentRow: PAYMENTS[1:]}), tmp_path / "month.xlsx")
    assert not check.agrees
    assert check.differences == (
        FigureDiffers("List prices", 75_320, 79_820),
        FigureDiffers("Net sales less cancellations", 70_530, 75_030),
        FigureDiffers("Sales tax less cancellations", -51, 264),
        FigureDiffers("Payments received", 75_997, 95_997),
        FigureDiffers("Sales tax in payments", 53, 226),
        FigureDiffers("Net sales, as posted", 62_880, 67_380),
        FigureDiffers("Sales tax, as posted", -191, 124),
    )


@pytest.mark.parametrize(
    ("book", "figures"),
    [
        (month_report({RefundRow: REFUNDS[1:]}), {"Refunded and given up net", "Refunded and given up tax",
                                                  "Net sales, as posted", "Sales tax, as posted"}),
        (month_report({MoneyBackRow: MONEY_BACK[:-1]}), {"Money given back"}),
        (month_report({ExpenseRow: EXPENSES[1:]}), {"Expenses, as posted"}),
        (month_report({JournalRow: JOURNAL[1:]}), {"Debits and credits", "Debits of the trial balance"}),
    ],
    ids=["refund", "money back", "expense", "posting"],
)  # fmt: skip
def test_the_check_misses_no_row(book: PeriodReport, figures: set[str], tmp_path: Path) -> None:
    """Whatever sheet lost a row, the figures it belongs to are named."""
    check = write_report(book, tmp_path / "month.xlsx")
    assert figures_of(check) == figures


def test_the_check_finds_a_journal_that_says_otherwise(tmp_path: Path) -> None:
    """Sheets and ledger may agree; a sale or an expense that was never posted shows all the same."""
    unposted = PeriodPosted({**POSTED.changes, Account.SALES: -1, Account.BANK: POSTED.changes[Account.BANK] - 79_169})
    check = write_report(month_report(posted=unposted), tmp_path / "month.xlsx")
    assert figures_of(check) == {"Net sales, as posted", "Money, as posted"}


@pytest.fixture(scope="module")
def nasty(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    """Write the month of nasty names once."""
    return written(nasty_report(), tmp_path_factory.mktemp("nasty"))


@pytest.mark.parametrize("text", NASTY)
def test_text_stays_text_whatever_it_begins_with(text: str, nasty: Workbook) -> None:
    """No name becomes a formula, an error, a number or a day, and no control character reaches the file."""
    row = NASTY.index(text) + 2
    for title, column in (
        ("Sales lines", "D"),
        ("Sales lines", "H"),
        ("Expenses", "F"),
        ("Bills", "D"),
        ("Journal", "D"),
    ):
        cell = nasty[title][f"{column}{row}"]
        assert cell.data_type in {"s", "inlineStr"}
        assert isinstance(cell.value, str)
        assert cell.quotePrefix is (cell.value.strip()[0] in "=+-@\N{FULLWIDTH EQUALS SIGN}")


@given(names=st.lists(st.text(min_size=1, max_size=40), min_size=5, max_size=60))
@settings(max_examples=8, deadline=None)
def test_any_name_can_be_written(names: list[str], tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever letters names hold, the book can be written and read, and they are text."""
    rows = [replace(SALES[0], customer=name) for name in names]
    sheet = written(month_report({SalesRow: rows}), tmp_path_factory.mktemp("names"))["Sales lines"]
    assert all(isinstance(sheet.cell(row, 4).value, str | None) for row in range(2, len(names) + 2))


def test_a_month_without_anything_is_a_whole_book(tmp_path: Path) -> None:
    """Empty tables keep one empty row, so that their formulas and the file stay right."""
    target = tmp_path / "month.xlsx"
    assert write_report(empty_report(), target).agrees
    book = openpyxl.load_workbook(target)
    assert [book[title].max_row for title in TABLES] == [3] * len(TABLES)
    assert book["Payments"].tables["PaymentsIn"].ref == "A1:J3"


def test_rows_are_read_once_and_not_kept(tmp_path: Path) -> None:
    """Each row is written before the next one is asked for."""
    alive = []

    def rows() -> Iterator[SalesRow]:
        for number in range(50):
            alive.append(number)
            yield replace(SALES[0], order_number=number)

    book = month_report({SalesRow: rows()})
    check = write_report(book, tmp_path / "month.xlsx")
    assert (check.rows["Sales lines"], len(alive)) == (50, 50)
    assert next(book.rows(SalesRow), None) is None


def test_a_book_that_fails_half_way_leaves_the_old_one(tmp_path: Path) -> None:
    """When the ledger stops answering, last month's file is as it was and nothing else is left behind."""
    target = tmp_path / "month.xlsx"
    target.write_bytes(b"the old one")

    def rows() -> Iterator[SalesRow]:
        yield SALES[0]
        raise ConnectionError

    with pytest.raises(ConnectionError), replacing(target):
        write_report(month_report({SalesRow: rows()}), target)
    assert target.read_bytes() == b"the old one"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A wrong place is said in one sentence."""
    with pytest.raises(NotWrittenError, match="does not exist"):
        write_report(month_report(), tmp_path / "gone" / "month.xlsx")


def test_a_full_disk_is_said_in_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When there is no room, the old file stays and the owner reads why."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(ExcelWriter, "write_data", full)
    with pytest.raises(NotSavedError, match=r"cannot be saved: the disk is full\. Make room"):
        write_report(month_report(), tmp_path / "month.xlsx")
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- worked out by a spreadsheet


MONTHS = ("cash", "differs", "nasty", "empty")
"""A shop's that looks at it on cash, one that differs, nasty, and empty."""


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Write four months."""
    folder = tmp_path_factory.mktemp("worked")
    reports = (
        month_report(accounting=Accounting.CASH), month_report({SalesRow: ONE_MISSING}), nasty_report(), empty_report(),
    )  # fmt: skip
    found = {name: folder / f"{name}.xlsx" for name in MONTHS}
    for report, target in zip(reports, found.values(), strict=True):
        write_report(report, target)
    return found


@pytest.fixture(scope="module")
def books(files: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Workbook]:
    """Let a spreadsheet work them out."""
    found = worked_out(list(files.values()), tmp_path_factory.mktemp("out"))
    return dict(zip(files, found, strict=True))


@pytest.mark.parametrize("month", MONTHS)
def test_every_formula_is_written_with_what_it_comes_to(files: dict[str, Path], month: str) -> None:
    """A preview that does not calculate shows every total, view and check; nothing is left empty."""
    kept = kept_values(files[month])
    assert len(kept) > 300
    assert [place for place, value in kept.items() if not isinstance(value, int | float | str)] == []
    assert ("DIFFERS" in kept.values()) == (month in {"differs", "nasty"})


def test_what_stands_beside_formulas_is_the_ledger_s_own_figure(tmp_path: Path) -> None:
    """Totals below tables, the summary and both views come to what was counted by hand, without a spreadsheet."""
    target = tmp_path / "month.xlsx"
    write_report(month_report(), target)
    book = openpyxl.load_workbook(target, data_only=True)
    summary, views = lines_of(book["Summary"]), lines_of(book["Accrual and cash"])
    assert summary["Net sales"] == (938.8, 938.8, "OK")
    assert summary["frame"] == (371.6, 180, 50)
    assert summary["Stock at the month's end, at what it cost"][0] == STOCK_VALUE / 100
    assert summary["Result"][:2] == (ACCRUAL_RESULT / 100, CASH_RESULT / 100)
    assert views["Result on accrual"][:3] == (ACCRUAL_RESULT / 100, ACCRUAL_RESULT / 100, "OK")
    assert total_of(book["Sales lines"], "Net") == 750.3
    assert total_of(book["Bills"], "Owed") == 204


@needs_office
@pytest.mark.parametrize("month", MONTHS)
def test_a_spreadsheet_works_out_what_was_written(
    files: dict[str, Path], books: dict[str, Workbook], month: str
) -> None:
    """Every formula, worked out anew without what stood beside it, comes to the same; also where a sheet differs."""
    assert_worked_out(files[month], books[month])


def test_the_same_month_is_the_same_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Written again at another hour it has the same bytes: no part of it holds a time of its own."""
    first, again = tmp_path / "first.xlsx", tmp_path / "again.xlsx"
    write_report(month_report(), first)
    monkeypatch.setattr("time.localtime", lambda *_: (2031, 5, 6, 7, 8, 9, 1, 126, 0))
    write_report(month_report(), again)
    assert first.read_bytes() == again.read_bytes()
    with zipfile.ZipFile(first) as parts:
        assert {part.date_time for part in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert parts.read("docProps/core.xml").count(b"2026-04-01T00:00:00Z") == 2


@pytest.fixture
def worked(books: dict[str, Workbook]) -> Workbook:
    """Give the month that a spreadsheet worked out."""
    return books["cash"]


@needs_office
def test_a_spreadsheet_works_out_the_ledger_s_own_figures(worked: Workbook) -> None:
    """Every formula gives the figure counted by hand, every check is OK, and no cell is an error."""
    summary = lines_of(worked["Summary"])
    expected = {
        "List prices": 1066.7,
        "Reductions by offers": 127.9,
        "Net sales": 938.8,
        "Sales tax charged": 3.15,
        "Net sales and sales tax": 941.95,
        "Net sales cancelled": 188.5,
        "Sales tax cancelled": 0.51,
        "Net sales refunded": 76.5,
        "Sales tax refunded": 1.4,
        "Net sales less cancellations and refunds": 673.8,
        "Sales tax less cancellations and refunds": 1.24,
        "Orders paid": 959.97,
        "Of it from deposits": 50,
        "Money given back": 266.91,
        "Money received less money given back": 643.06,
    }
    for label, figure in expected.items():
        assert summary[label] == (pytest.approx(figure), pytest.approx(figure), "OK"), label
    assert [summary[label][2] for label in ("All figures above", "All checks on sheet Checks", "All checks")] == [
        "OK"
    ] * 3
    assert summary["Sold to customers, less refunds, without sales tax"][:2] == pytest.approx((640.8, 673.8))
    assert summary["Result"][:2] == pytest.approx((CASH_RESULT / 100, ACCRUAL_RESULT / 100))
    assert [summary[kind] for kind in ("frame", "lenses", "extra", "accessory", "shipping")] == [
        pytest.approx(amounts)
        for amounts in ((371.6, 180, 50), (385.75, 0, 0), (129.95, 0, 0), (45, 8.5, 20), (6.5, 0, 6.5))
    ]
    assert [summary[method][:2] for method in ("card", "cash", "check", "transfer")] == [
        pytest.approx(amounts) for amounts in ((200, 121.4), (0, 56.5), (164.6, 89.01), (545.37, 0))
    ]
    assert summary["Stock at the month's end, at what it cost"][0] == pytest.approx(STOCK_VALUE / 100)
    assert_no_errors(worked)


@needs_office
def test_a_spreadsheet_works_out_totals_views_and_checks(worked: Workbook) -> None:
    """Totals below tables, both views and the way between them, and every check, equal what was counted by hand."""
    for title, heading, figure in (
        ("Sales lines", "Net", 750.3),
        ("Refunds", "Given back", 77.9),
        ("Money back", "Amount", 266.91),
        ("Payments", "Tax in it", 4.17),
        ("Tax by state", "Taxable base", 16.5),
        ("Tax by state", "Tax", 1.24),
        ("Deposits", "Left", 30),
        ("Stock movements", "Cost", -87.15),
        ("Stock value", "Closing", 19),
        ("Stock value", "Closing value", STOCK_VALUE / 100),
        ("Cost of goods", "Cost", 326.15),
        ("Expenses", "Amount", 899.9),
        ("Bills", "Owed", 204),
        ("Money moves", "Bank", 290.14),
        ("Trial balance", "Closing", 0),
    ):
        assert total_of(worked[title], heading) == pytest.approx(figure, abs=1e-9), f"{title} {heading}"
    views = list(worked["Accrual and cash"].iter_rows(min_row=5, max_col=4, values_only=True))
    assert [row[0] for row in views][:1] == ["On cash"]
    assert {row[3] for row in views if row[1] is not None} == {"OK"}
    way = [row[1] for row in views[-11:]]
    assert way == pytest.approx([-552.21, 0, 18.02, -1.02, -20, 87.15, 0, 0, 164, 0, -304.06], abs=1e-9)
    checks = lines_of(worked["Checks"])
    assert {row[2] for row in checks.values() if row[2]} == {"OK"}
    assert checks["Rent of premises"][:2] == (850, 850)
    assert checks["Bills to pay at the month's end"][:2] == pytest.approx((204, 204))
    assert checks["Billed for jobs: in work, shipped or scrapped"][:2] == pytest.approx((115, 115))


@needs_office
def test_the_charts_are_drawn_from_the_sheets(worked: Workbook, tmp_path: Path) -> None:
    """Weeks are cut at the month's ends, and weeks and kinds both come to the net sales that are left."""
    drawn: Any = written(month_report(), tmp_path)["Charts"]
    assert len(drawn._charts) == 2
    rows = [
        row
        for row in worked["Charts"].iter_rows(min_row=5, max_col=6, values_only=True)
        if isinstance(row[5], int | float)
    ]
    weeks, kinds = [row for row in rows if row[1]], [row for row in rows if not row[1]]
    assert [row[0] for row in weeks] == ["Mar 1 to 1", "Mar 2 to 8", "Mar 9 to 15", "Mar 16 to 22", "Mar 23 to 29",
                                         "Mar 30 to 31"]  # fmt: skip
    assert [row[5] for row in weeks] == pytest.approx([0, 0, 172.95, -20, 520.85, 0])
    assert sum(cast("float", row[5]) for row in kinds) == pytest.approx(673.8)


@needs_office
def test_a_spreadsheet_shows_what_differs(books: dict[str, Workbook]) -> None:
    """A missing line makes its checks and the verdict say so, and the rest stay OK."""
    book = books["differs"]
    shown = {label: row[2] for label, row in lines_of(book["Summary"]).items()}
    assert shown["Net sales"] == shown["Sales tax charged"] == shown["All checks"] == "DIFFERS"
    assert shown["Orders paid"] == shown["Net sales cancelled"] == "OK"
    checks = {label: row[2] for label, row in lines_of(book["Checks"]).items()}
    assert (
        checks["Sales less offers and discounts"] == checks["Owed by customers, less what they paid ahead"] == "DIFFERS"
    )
    assert checks["All checks below"] == "DIFFERS"
    assert checks["Cash"] == checks["Inventory"] == "OK"


@needs_office
def test_a_spreadsheet_shows_nasty_names_as_text(books: dict[str, Workbook]) -> None:
    """No formula runs, no error shows, and leading zeros stay, on every sheet of rows."""
    book = books["nasty"]
    expected = [
        '=HYPERLINK("http://example.com","look")', "=1+1", "+1 555 0142", "-cmd|' /C calc'!A0", "@SUM(A1:A9)",
        " =2+2", " =3+3", "#N/A", "TRUE", "0012", "2026-03-02", "bell  and [31mred", "\N{FULLWIDTH EQUALS SIGN}1+1",
    ]  # fmt: skip
    columns = (
        ("Sales lines", "Customer"), ("Payments", "Reference"), ("Refunds", "Reason"), ("Money back", "Customer"),
        ("Deposits", "Customer"), ("Stock movements", "Note"), ("Stock value", "Description"),
        ("Cost of goods", "Item"),
        ("Expenses", "Payee"), ("Expenses", "Description"), ("Bills", "Supplier"), ("Bills", "What"),
        ("Money moves", "Note"), ("Journal", "Memo"), ("Open items", "Who"),
    )  # fmt: skip
    for title, heading in columns:
        sheet = book[title]
        place = [cell.value for cell in sheet[1]].index(heading) + 1
        cells = [sheet.cell(row, place) for row in range(2, len(NASTY) + 2)]
        assert [cell.value for cell in cells] == expected, f"{title} {heading}"
        assert {cell.data_type for cell in cells} == {"s"}, f"{title} {heading}"
    assert book["Summary"]["A1"].value == "=1+1 & Sons: 2026-03"
    assert_no_errors(book)


@needs_office
def test_a_spreadsheet_opens_a_month_without_anything(books: dict[str, Workbook]) -> None:
    """All figures are zero, all checks hold, nothing is an error."""
    book = books["empty"]
    for title in ("Summary", "Accrual and cash", "Checks"):
        checks = {row[2] for row in lines_of(book[title]).values() if row[2] in {"OK", "DIFFERS"}}
        assert checks == {"OK"}, title
    assert_no_errors(book)


def figures_of(check: ReportCheck) -> set[str]:
    """Give the names of the figures that differ."""
    return {str(getattr(each, "figure", each)) for each in check.differences}


def lines_of(sheet: Worksheet) -> dict[object, tuple[object, ...]]:
    """Give the rows of figures below the headings, by label."""
    rows = sheet.iter_rows(min_row=5, max_col=4, values_only=True)
    return {row[0]: row[1:] for row in rows if row[0]}


def total_of(sheet: Worksheet, heading: str) -> object:
    """Give what stands below a column."""
    headings = [cell.value for cell in sheet[1]]
    return sheet.cell(sheet.max_row, headings.index(heading) + 1).value


def assert_no_errors(book: Workbook) -> None:
    """No cell of the book is an error."""
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "e", f"{sheet.title} {cell.coordinate} {cell.value}"
