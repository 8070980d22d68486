"""The month's workbook: what stands in it, how it lies on paper, and that a spreadsheet gets the ledger's figures."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.month_book import FigureDiffers, MonthBookCheck, write_month_book
from shopledger.exports.refusals import NotSavedError
from shopledger.files import NotWrittenError
from shopledger.ledger.journal import Account
from shopledger.ledger.month import MonthBook, MonthPosted, SalesRow
from tests.exports.sample_month import (
    LINES,
    MONEY_BACK,
    NASTY,
    PAYMENTS,
    POSTED,
    REFUNDS,
    SALES,
    STOCK,
    STOCK_VALUE,
    TAX,
    empty_book,
    month_book,
    nasty_book,
)
from tests.exports.spreadsheet import needs_office, worked_out

SHEETS = ["Summary", "Sales lines", "Refunds", "Payments", "Money back", "Tax by state", "Stock", "Notes"]
TABLES = {
    "Sales lines": "SalesLines",
    "Refunds": "RefundLines",
    "Payments": "PaymentsIn",
    "Money back": "MoneyBack",
    "Tax by state": "TaxByState",
    "Stock": "StockCounts",
}


def written(book: MonthBook, folder: Path) -> Workbook:
    """Write a book and read it back with its formulas."""
    target = folder / "month.xlsx"
    write_month_book(book, target)
    return openpyxl.load_workbook(target)


def rows_of(sheet: Worksheet) -> list[dict[str, object]]:
    """Give a sheet's rows by their headings, without the totals."""
    headings, *rows = ([cell.value for cell in row] for row in sheet.iter_rows())
    return [dict(zip(map(str, headings), row, strict=True)) for row in rows[:-1]]


def test_the_sheets_stand_in_the_order_in_which_they_are_read(tmp_path: Path) -> None:
    """The summary comes first and the notes last."""
    assert written(month_book(), tmp_path).sheetnames == SHEETS


def test_a_sales_line_stands_in_the_book_as_in_the_ledger(tmp_path: Path) -> None:
    """Days are days, money is a number with cents, ids are text, and every value is in its column."""
    rows = rows_of(written(month_book(), tmp_path)["Sales lines"])
    assert len(rows) == len(LINES)
    assert rows[8] == {
        "Date": datetime(2026, 3, 17),  # noqa: DTZ001 - a cell's day has no zone
        "Order": "12",
        "Event": "sold",
        "Orders": 1,
        "Customer": "Ansgar Tollivane",
        "State": "VT",
        "Wearer": "Ansgar Tollivane",
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
    assert [row["Orders"] for row in rows] == [1, None, None, None, None, -1, None, None, 1, None, None]


def test_a_cancelled_line_stands_below_nought_on_the_day_of_its_cancellation(tmp_path: Path) -> None:
    """It is marked, and takes back count, prices and tax, so that the sheet's totals are those of what stands."""
    row = rows_of(written(month_book(), tmp_path)["Sales lines"])[7]
    assert row["Date"] == datetime(2026, 3, 10)  # noqa: DTZ001 - a cell's day has no zone
    assert [row[name] for name in ("Event", "Count", "List price", "Reduction", "Net", "Tax")] == [
        "cancelled", -1, -8.5, 0, -8.5, -0.51,
    ]  # fmt: skip


def test_a_refund_stands_in_the_book_as_in_the_ledger(tmp_path: Path) -> None:
    """Whose, of what, how much with its tax, why, and whether goods came back; and the money apart from payments."""
    book = written(month_book(), tmp_path)
    refunds, back = rows_of(book["Refunds"]), rows_of(book["Money back"])
    assert list(refunds[0].values())[1:] == [
        "11", "Odalys Fernhollow", "OH", "accessory", "Sunglasses without power", "non-prescription", 20, 1.4, 21.4,
        "card", 0, "scratched, kept at a lower price",
    ]  # fmt: skip
    assert [row["Goods"] for row in refunds] == [0, 1, 0]
    assert [(row["Order"], row["Cause"], row["Method"], row["Reference"], row["Amount"]) for row in back] == [
        ("9", "cancellation", "card", "5151", 100),
        ("9", "cancellation", "check", "1003", 89.01),
        ("11", "refund", "card", "4242", 21.4),
        ("8", "refund", "cash", None, 56.5),
    ]


def test_the_other_sheets_hold_their_rows(tmp_path: Path) -> None:
    """Payments, tax and stock are there to the last row."""
    book = written(month_book(), tmp_path)
    payments, tax, stock = (rows_of(book[title]) for title in ("Payments", "Tax by state", "Stock"))
    assert [(row["Method"], row["Reference"], row["Amount"]) for row in payments] == [
        ("card", "4242", 200), ("check", "1007", 164.6), ("transfer", None, 595.37),
    ]  # fmt: skip
    assert list(tax[0].values()) == ["OH", "non-prescription", 0.07, 45, 20, 0, 25, 25, 3.15, 1.4, 1.75]
    assert list(tax[4].values()) == ["VT", "prescription eyewear", 0, 577.35, 0, 180, 397.35, 0, 0, 0, 0]
    assert len(tax) == len(TAX)
    assert list(stock[1].values())[2:] == [4, 2, 1, -1, 4, 248]


def test_number_formats_reach_the_totals(tmp_path: Path) -> None:
    """Money shows two decimals in every row and below; days and rates have formats of their own."""
    book = written(month_book(), tmp_path)
    sales = book["Sales lines"]
    last = sales.max_row
    assert {sales.cell(row, 14).number_format for row in range(2, last + 1)} == {"#,##0.00;[Red]-#,##0.00"}
    assert sales["A2"].number_format == "yyyy-mm-dd"
    assert sales["B2"].number_format == "@"
    assert book["Tax by state"]["C2"].number_format == "0.000%"


def test_each_sheet_is_a_real_table_with_its_totals_as_formulas(tmp_path: Path) -> None:
    """Excel knows the rows by name, can filter them, and adds up what is in view."""
    book = written(month_book(), tmp_path)
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
            else:
                assert cell.value in {None, "Total"}
        filtered = f"A1:{sheet.cell(sheet.max_row - 1, sheet.max_column).coordinate}"
        assert table.autoFilter.ref == filtered


def test_every_sheet_is_ready_to_print(tmp_path: Path) -> None:
    """Letter paper, one page wide (the summary one page long), headings on each, page n of m, no merged cells."""
    for sheet in written(month_book(), tmp_path).worksheets:
        assert sheet.page_setup.paperSize == 1
        high = 1 if sheet.title == "Summary" else 0
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, high)
        assert sheet.sheet_properties.pageSetUpPr is not None
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.oddFooter is not None
        assert sheet.oddFooter.right.text == "Page &P of &N"
        assert sheet.oddFooter.left.text == "Quillfeather Optical, 2026-03"
        assert not sheet.merged_cells.ranges
        if sheet.title != "Summary":
            assert sheet.freeze_panes == "A2"
            assert sheet.print_title_rows == "$1:$1"
        for column in range(1, sheet.max_column + 1):
            letter = get_column_letter(column)
            assert sheet.column_dimensions[letter].width >= 7, f"{sheet.title} {letter}"


def test_an_ampersand_in_the_shop_s_name_is_no_footer_code(tmp_path: Path) -> None:
    """A name such as A&D would otherwise print the date."""
    target = tmp_path / "month.xlsx"
    write_month_book(month_book(shop_name="A&D Frames"), target)
    with zipfile.ZipFile(target) as parts:
        assert b"A&amp;&amp;D Frames" in parts.read("xl/worksheets/sheet1.xml")


def test_the_notes_say_how_the_book_was_made_and_what_each_column_means(tmp_path: Path) -> None:
    """Ledger head, day of making, cautions, and one line for every column of every table."""
    book = written(month_book(), tmp_path)
    said = [tuple(cell.value for cell in row) for row in book["Notes"].iter_rows(min_row=2)]
    everything = " ".join(str(word) for row in said for word in row)
    for words in (
        "14 entries, 9f3c2a",
        "2026-04-01",
        "tax preparer",
        "rates that the owner had set",
        "no physical count",
    ):
        assert words in everything
    abouts = {row[0] for row in said}
    assert {f"{title}: {cell.value}" for title in TABLES for cell in book[title][1]} <= abouts


def test_long_text_gets_a_row_high_enough(tmp_path: Path) -> None:
    """A description of several lines is not cut off; a short one leaves the row as it is."""
    long = replace(SALES[0], description="Vessamund Pellow in moss green with a very long description " * 3)
    sheet = written(month_book((long, SALES[1])), tmp_path)["Sales lines"]
    assert sheet.row_dimensions[2].height >= 16.5 + 4 * 14.5
    assert sheet.row_dimensions[3].height is None


def test_the_check_is_clean_when_the_rows_meet_the_ledger(tmp_path: Path) -> None:
    """The writer counts what passes by and finds the ledger's own figures."""
    check = write_month_book(month_book(), tmp_path / "month.xlsx")
    assert check == MonthBookCheck(11, 3, 3, 4, 5, 3, ())
    assert check.agrees


def test_the_check_names_each_figure_that_differs(tmp_path: Path) -> None:
    """A line that went missing on the way shows in every figure it belongs to, the journal's too."""
    check = write_month_book(month_book(LINES[:-1], PAYMENTS[1:]), tmp_path / "month.xlsx")
    assert not check.agrees
    assert check.differences == (
        FigureDiffers("List prices", 79_820, 81_520),
        FigureDiffers("Net sales less cancellations", 75_030, 76_730),
        FigureDiffers("Sales tax less cancellations", 264, 366),
        FigureDiffers("Payments received", 75_997, 95_997),
        FigureDiffers("Net sales, as posted", 67_380, 69_080),
        FigureDiffers("Sales tax, as posted", 124, 226),
        FigureDiffers("Money, as posted", 49_306, 69_306),
    )


def test_the_check_misses_no_refund_and_no_cancellation(tmp_path: Path) -> None:
    """What was taken back is compared like what was sold."""
    refunds = write_month_book(month_book(refunds=REFUNDS[1:]), tmp_path / "month.xlsx")
    assert {each.figure for each in refunds.differences} == {
        "Refunded net", "Refunded tax", "Net sales, as posted", "Sales tax, as posted",
    }  # fmt: skip
    cancelled = write_month_book(month_book(SALES), tmp_path / "month.xlsx")
    assert "Orders less cancellations" in {each.figure for each in cancelled.differences}
    back = write_month_book(month_book(money_back=MONEY_BACK[:-1]), tmp_path / "month.xlsx")
    assert [each.figure for each in back.differences] == ["Money given back", "Money, as posted"]


def test_the_check_finds_a_journal_that_says_otherwise(tmp_path: Path) -> None:
    """Sheets and ledger may agree; a sale that was never posted shows all the same."""
    unposted = MonthPosted({**POSTED.changes, Account.SALES: -1})
    check = write_month_book(month_book(posted=unposted), tmp_path / "month.xlsx")
    assert check.differences == (FigureDiffers("Net sales, as posted", 69_080, -6_999),)


@pytest.mark.parametrize("text", NASTY)
def test_text_stays_text_whatever_it_begins_with(text: str, tmp_path: Path) -> None:
    """No name becomes a formula, an error, a number or a day, and no control character reaches the file."""
    book = written(month_book([replace(SALES[0], customer=text, description=text)]), tmp_path)
    for column in ("E2", "J2"):
        cell = book["Sales lines"][column]
        assert cell.data_type in {"s", "inlineStr"}
        assert isinstance(cell.value, str)
        assert cell.quotePrefix is (cell.value.strip()[0] in "=+-@\N{FULLWIDTH EQUALS SIGN}")


@given(name=st.text(min_size=1, max_size=40))
@settings(max_examples=40)
def test_any_name_can_be_written(name: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever letters a name holds, the book can be written and read, and the name is text."""
    book = written(month_book([replace(SALES[0], customer=name)]), tmp_path_factory.mktemp("names"))
    assert isinstance(book["Sales lines"]["E2"].value, str | None)


def test_a_month_without_anything_is_a_whole_book(tmp_path: Path) -> None:
    """Empty tables keep one empty row, so that their formulas and the file stay right."""
    target = tmp_path / "month.xlsx"
    assert write_month_book(empty_book(), target).agrees
    book = openpyxl.load_workbook(target)
    assert [book[title].max_row for title in TABLES] == [3] * 6
    assert book["Payments"].tables["PaymentsIn"].ref == "A1:F3"


def test_rows_are_read_once_and_not_kept(tmp_path: Path) -> None:
    """Each row is written before the next one is asked for."""
    alive = []

    def rows() -> Iterator[SalesRow]:
        for number in range(50):
            alive.append(number)
            yield replace(SALES[0], order_number=number)

    book = month_book(rows())
    check = write_month_book(book, tmp_path / "month.xlsx")
    assert (check.sales_lines, len(alive)) == (50, 50)
    assert next(book.sales, None) is None


def test_a_book_that_fails_half_way_leaves_the_old_one(tmp_path: Path) -> None:
    """When the ledger stops answering, last month's file is as it was and nothing else is left behind."""
    target = tmp_path / "month.xlsx"
    target.write_bytes(b"the old one")

    def rows() -> Iterator[SalesRow]:
        yield SALES[0]
        raise ConnectionError

    with pytest.raises(ConnectionError):
        write_month_book(month_book(rows()), target)
    assert target.read_bytes() == b"the old one"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A wrong place is said in one sentence."""
    with pytest.raises(NotWrittenError, match="does not exist"):
        write_month_book(month_book(), tmp_path / "gone" / "month.xlsx")


def test_a_full_disk_is_said_in_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When there is no room, the old file stays and the owner reads why."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Workbook, "save", full)
    with pytest.raises(NotSavedError, match=r"cannot be saved: no space left on device\. Make room"):
        write_month_book(month_book(), tmp_path / "month.xlsx")
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- worked out by a spreadsheet


@needs_office
def test_a_spreadsheet_works_out_the_ledger_s_own_figures(tmp_path: Path) -> None:
    """Every formula gives the figure counted by hand, every check is OK, and no cell is an error."""
    write_month_book(month_book(), tmp_path / "month.xlsx")
    book = worked_out(tmp_path / "month.xlsx", tmp_path / "out")
    summary = summary_of(book)
    expected = {
        "Orders": 2,
        "List prices": 1083.7,
        "Reductions by offers": 127.9,
        "Net sales": 955.8,
        "Sales tax charged": 4.17,
        "Net sales and sales tax": 959.97,
        "Orders cancelled": 1,
        "Net sales cancelled": 188.5,
        "Sales tax cancelled": 0.51,
        "Net sales refunded": 76.5,
        "Sales tax refunded": 1.4,
        "Net sales less cancellations and refunds": 690.8,
        "Sales tax less cancellations and refunds": 2.26,
        "Payments received": 959.97,
        "Money given back": 266.91,
        "Payments received less money given back": 693.06,
        "Net sales less what was taken back, from Tax by state": 690.8,
        "Sales tax less what was taken back, from Tax by state": 2.26,
        "Refunds, from Money back": 77.9,
        "Items on hand: opening + received − sold + adjusted": 17,
        "Sales less returns, as posted": 690.8,
        "Sales tax owed, change as posted": 2.26,
        "Owed by customers, change as posted": 0,
        "Card clearing, change as posted": 78.6,
        "Cash, change as posted": -56.5,
        "Bank, change as posted": 670.96,
    }
    assert {label for label, row in summary.items() if row[2] in {"OK", "DIFFERS"}} == {*expected, "All checks"}
    for label, figure in expected.items():
        assert summary[label] == (pytest.approx(figure), pytest.approx(figure), "OK"), label
    assert summary["All checks"][2] == "OK"
    assert [summary[kind] for kind in ("frame", "lenses", "extra", "accessory", "shipping")] == [
        pytest.approx(amounts)
        for amounts in ((371.6, 180, 50), (385.75, 0, 0), (129.95, 0, 0), (62, 8.5, 20), (6.5, 0, 6.5))
    ]
    assert [summary[method][:2] for method in ("card", "cash", "check", "transfer")] == [
        pytest.approx(amounts) for amounts in ((200, 121.4), (0, 56.5), (164.6, 89.01), (595.37, 0))
    ]
    assert summary["Stock at the month's end, at the cost last paid"][0] == pytest.approx(STOCK_VALUE / 100)
    for title, heading, figure in (
        ("Sales lines", "Orders", 1),
        ("Sales lines", "Net", 767.3),
        ("Refunds", "Given back", 77.9),
        ("Refunds", "Goods", 1),
        ("Money back", "Amount", 266.91),
        ("Tax by state", "Taxable base", 33.5),
        ("Tax by state", "Tax", 2.26),
    ):
        assert total_of(book[title], heading) == pytest.approx(figure), f"{title} {heading}"
    totals = [cell.value for cell in book["Stock"][book["Stock"].max_row]]
    assert totals == ["Total", None, 20, 2, 4, -1, 17, pytest.approx(STOCK_VALUE / 100)]
    assert len(STOCK) == book["Stock"].max_row - 2
    assert_no_errors(book)


@needs_office
def test_a_spreadsheet_shows_what_differs(tmp_path: Path) -> None:
    """A missing line makes its checks and the verdict say so, and the rest stay OK."""
    write_month_book(month_book(LINES[:-1]), tmp_path / "month.xlsx")
    checks = {label: row[2] for label, row in summary_of(worked_out(tmp_path / "month.xlsx", tmp_path / "out")).items()}
    assert checks["Net sales"] == checks["Sales tax charged"] == checks["All checks"] == "DIFFERS"
    assert checks["Sales less returns, as posted"] == checks["Owed by customers, change as posted"] == "DIFFERS"
    assert checks["Orders"] == checks["Payments received"] == checks["Net sales cancelled"] == "OK"


@needs_office
def test_a_spreadsheet_shows_nasty_names_as_text(tmp_path: Path) -> None:
    """No formula runs, no error shows, and leading zeros stay."""
    write_month_book(nasty_book(), tmp_path / "month.xlsx")
    book = worked_out(tmp_path / "month.xlsx", tmp_path / "out")
    shown = [row[4] for row in book["Sales lines"].iter_rows(min_row=2, max_row=len(NASTY) + 1, values_only=True)]
    assert shown == [
        '=HYPERLINK("http://example.com","look")', "=1+1", "+1 555 0142", "-cmd|' /C calc'!A0", "@SUM(A1:A9)",
        " =2+2", " =3+3", "#N/A", "TRUE", "0012", "2026-03-02", "bell  and [31mred", "\N{FULLWIDTH EQUALS SIGN}1+1",
    ]  # fmt: skip
    assert book["Summary"]["A1"].value == "=1+1 & Sons: 2026-03"
    assert all(cell.data_type == "s" for cell in book["Sales lines"]["E"][:-1])
    assert [row[12] for row in book["Refunds"].iter_rows(min_row=2, max_row=len(NASTY) + 1, values_only=True)] == shown


@needs_office
def test_a_spreadsheet_opens_a_month_without_anything(tmp_path: Path) -> None:
    """All figures are nought, all checks hold, nothing is an error."""
    write_month_book(empty_book(), tmp_path / "month.xlsx")
    book = worked_out(tmp_path / "month.xlsx", tmp_path / "out")
    checks = [row[2] for row in summary_of(book).values() if isinstance(row[2], str) and row[2] != "Refunded"]
    assert checks == ["OK"] * 27
    assert_no_errors(book)


def summary_of(book: Workbook) -> dict[object, tuple[object, ...]]:
    """Give the summary's rows below its headings, by label."""
    rows = book["Summary"].iter_rows(min_row=5, values_only=True)
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
