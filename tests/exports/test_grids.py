"""A sheet of figures with formulas by name: where they point, how the sheet lies, and what is refused."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from shopledger.errors import ExportError
from shopledger.exports.cells import PageMargins
from shopledger.exports.sheets import Formula, Grid, Heading, Kind, RowLook
from shopledger.exports.writer import written_book

COLUMNS = (Heading("Line", 20, Kind.TEXT), Heading("This", 12), Heading("That", 12))


def two_grids() -> tuple[Grid, Grid]:
    """Give two sheets, the first of which speaks of the second."""
    front = Grid("Front", COLUMNS, "FrontPage", head=("A shop", "A year"))
    front.add("First", 100, 250, name="first")
    front.add("=1+1", 5, None, name="second")
    front.add("Sum", Formula("{first}+{second}", 105), Formula("{first}+{Back page!whole.B}", 350), name="sum",
              look=RowLook.TOTAL)  # fmt: skip
    front.add("Own row", Formula("C{#}*0+{first.C}", 250))
    back = Grid("Back page", COLUMNS, "BackPage")
    back.add("Whole", 100, name="whole")
    return front, back


def written(tmp_path: Path, draft: str = "") -> Workbook:
    """Write both and read them back with their formulas."""
    target = tmp_path / "grids.xlsx"
    margins = PageMargins("Ames & Daughters, 2026", draft)
    with written_book(target, "Two grids", date(2026, 3, 1), margins) as writer:
        writer.add_grids(two_grids())
    return load_workbook(target)


def test_names_in_formulas_become_addresses(tmp_path: Path) -> None:
    """A bare name is the formula's own column, with a column it is that one, with a title it is on another sheet."""
    front = written(tmp_path)["Front"]
    assert [front[place].value for place in ("B6", "C6", "B7")] == ["=B4+B5", "=C4+'Back page'!B2", "=C7*0+C4"]


def test_rows_stand_below_the_head_as_a_real_table(tmp_path: Path) -> None:
    """The headings stay in view, and are printed again on each page; the table reaches to the last row."""
    front = written(tmp_path)["Front"]
    assert (front.freeze_panes, front.print_title_rows) == ("B4", "$3:$3")
    assert front.tables["FrontPage"].ref == "A3:C7"
    assert [cell.value for cell in front[3]] == ["Line", "This", "That"]
    assert not front.merged_cells.ranges


def test_text_that_looks_like_a_formula_is_text(tmp_path: Path) -> None:
    """Only what is declared as a formula becomes one."""
    cell = written(tmp_path)["Front"]["A5"]
    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=1+1", "s", True)


def test_a_draft_is_marked_on_every_page(tmp_path: Path) -> None:
    """The words stand at the top; an ampersand in the shop's name stays one at the foot."""
    for sheet in written(tmp_path, "DRAFT: March & April").worksheets:
        assert sheet.oddHeader is not None
        assert sheet.oddHeader.center.text == "DRAFT: March && April"
        assert sheet.oddFooter is not None
        assert sheet.oddFooter.left.text == "Ames && Daughters, 2026"
        assert sheet.page_setup.paperSize == 1


def test_values_can_be_looked_up_by_name() -> None:
    """A formula's value is the one that the ledger gives for it."""
    front, _ = two_grids()
    assert [front.value("sum", column) for column in (1, 2)] == [105, 350]
    assert (front.place("sum"), front.first_row, front.last_row) == (6, 4, 7)


def test_a_name_is_given_once() -> None:
    """Two rows of one name would make formulas that nobody can trust."""
    front, _ = two_grids()
    with pytest.raises(ExportError, match="has a row 'sum' already"):
        front.add("Another", 1, name="sum")
