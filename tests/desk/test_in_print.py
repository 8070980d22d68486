"""A month's and a year's workbook as others see them: days and numbers as such, legible in print, the same again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime
from math import hypot
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter
from pypdf import PageObject, PdfReader

from shopledger.desk.books.reports import export_period, export_year
from shopledger.desk.context import Desk
from shopledger.exports.where_it_stands import LISTED, PLACES, Place
from shopledger.ledger.books.period import Month, Period
from shopledger.store.opening import open_ledger
from tests.desk.busy_year import busy_year
from tests.desk.family import Copies
from tests.exports.spreadsheet import needs_office, printed

pytestmark = pytest.mark.slow

YEAR = Period.of_year(2026)
LOOKS_LIKE_A_FIGURE = re.compile(
    r"[-+]?[0-9][0-9,]*(\.[0-9]+)?|[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}"
)
NAMES_OF_LINES = {"Line", "No", "Box", "Schedule C"}
"""Columns of a form's lines, some of which have letters too."""
OF_OTHERS = {"Reference", "Invoice", "Number ends in"}
"""Columns of others' numbers, whose leading zeros count."""


@contextmanager
def traded(copies: Copies, folder: Path, clock: datetime) -> Iterator[Desk]:
    """Give the desk after a busy year, at some moment."""
    with copies(busy_year, folder) as address, closing(open_ledger(address)) as opened:
        yield Desk(opened, "tester", clock, date(2027, 2, 10))


@pytest.fixture(scope="module")
def books(copies_sqlite: Copies, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Write two months and a year."""
    folder = tmp_path_factory.mktemp("books")
    with traded(copies_sqlite, folder, datetime(2027, 2, 10, 10, 30, tzinfo=UTC)) as desk:
        months = [export_period(desk, Month(2026, number).days, folder) for number in (4, 12)]
        return [*months, export_year(desk, YEAR, folder).files[0]]


def test_days_are_days_and_numbers_are_numbers_on_every_sheet(books: list[Path]) -> None:
    """No cell holds a text that is a figure or a day, but for lines of forms and what others number."""
    for file in books:
        for sheet in load_workbook(file):
            (head,) = sheet.iter_rows(max_row=1)
            told = {cell.column: str(cell.value) for cell in head}
            for row in sheet.iter_rows(min_row=2):
                for cell in row:
                    if isinstance(cell.value, str) and LOOKS_LIKE_A_FIGURE.fullmatch(cell.value):
                        where = f"{file.name} {sheet.title} {cell.coordinate} {cell.value}"
                        own = told.get(cell.column, "")
                        assert own in NAMES_OF_LINES | OF_OTHERS or sheet.title in {"Notes", "1099-K"}, where


@needs_office
def test_a_printed_page_holds_no_type_below_eight_points(books: list[Path], tmp_path: Path) -> None:
    """A spreadsheet program prints each page so on Letter."""
    for file in printed(books, tmp_path):
        for number, page in enumerate(PdfReader(file).pages, start=1):
            assert sorted((float(page.mediabox.width), float(page.mediabox.height))) == [612, 792]
            assert min(sizes_of(page), default=8.0) >= 8, f"{file.name} page {number}"


def sizes_of(page: PageObject) -> set[float]:
    """Give the sizes of the type on a page, in points."""
    found: set[float] = set()

    def look(text: str, outer: list[float], inner: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.add(size * hypot(inner[2], inner[3]) * hypot(outer[2], outer[3]))

    page.extract_text(visitor_text=look)
    return found


def test_the_same_month_gives_the_same_bytes(copies_sqlite: Copies, tmp_path: Path) -> None:
    """An open one too: written again the same day, with nothing recorded since, file and parts are the same."""
    written = []
    for hour in (9, 17):
        folder = tmp_path / str(hour)
        folder.mkdir()
        with traded(copies_sqlite, folder, datetime(2027, 2, 10, hour, 1, tzinfo=UTC)) as desk:
            for again in ("once", "again"):
                into = folder / again
                into.mkdir()
                files = export_period(desk, Month(2026, 4).days, into), *export_year(desk, YEAR, into).files
                written.append([file.read_bytes() for file in files])
    assert all(each == written[0] for each in written)


@pytest.mark.parametrize("place", PLACES, ids=lambda place: f"{place.form}, {place.figure}")
def test_each_figure_stands_where_it_is_said_to(books: list[Path], place: Place) -> None:
    """The sheet has the row and the headings, and they cross at the cells that the table names."""
    sheet = load_workbook(books[-1])[place.sheet]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    if place.row == LISTED:
        headings = rows[0]
        assert rows[-1][0] == LISTED
        assert ", ".join(get_column_letter(headings.index(each) + 1) for each in place.columns) == place.cells
        return
    (head,) = [number for number, row in enumerate(rows, start=1) if place.columns[0] in row]
    row = next(number for number, row in enumerate(rows, start=1) if place.row in row[:2])
    letters = [get_column_letter(rows[head - 1].index(each) + 1) for each in place.columns]
    assert ":".join(dict.fromkeys(f"{letter}{row}" for letter in (letters[0], letters[-1]))) == place.cells
    assert all(rows[row - 1][rows[head - 1].index(each)] is not None for each in place.columns)


def test_the_worksheet_has_every_line_of_the_form_in_its_words(books: list[Path]) -> None:
    """Lines 1 to 48 in order, as the form of 2024 numbers them, in American spelling (values from memory)."""
    sheet = load_workbook(books[-1])["Schedule C"]
    rows = [(row[0].value, str(row[1].value)) for row in sheet.iter_rows(min_row=2)]
    behind = rows.index((None, "What the lines above are made of"))
    lines = [str(number) for number, words in rows[:behind] if number and not words.startswith("Equipment")]
    assert lines == [
        *map(str, range(1, 16)), "16a", "16b", "17", "18", "19", "20a", "20b", "21", "22", "23", "24a", "24b", "25",
        "26", "27a", "27b", *map(str, range(28, 49)),
    ]  # fmt: skip
    said = " ".join(words for _, words in rows)
    for words in ("Contract labor", "Taxes and licenses", "Training and licenses", "Cost of labor", "Deductible meals"):
        assert words in said
    assert not re.search(r"labour|licence", " ".join(said.split()), re.IGNORECASE)
