"""What sheets are made of: text made harmless, declared columns, and rows high enough for their words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import ExportError
from shopledger.exports.cell_text import LONGEST, begins_like_a_formula, lines_of, writable
from shopledger.exports.reports import SHEETS, YEAR_SHEETS
from shopledger.exports.sheets import Column, Kind, Sheet, as_number
from tests.strategies import ANY_AMOUNTS


@given(st.text(st.characters()))
def test_writable_text_can_stand_in_any_file(text: str) -> None:
    """What is left can be written as XML, stays on one line, and is left alone a second time."""
    safe = writable(text)
    element = ET.Element("t")
    element.text = safe
    assert ET.fromstring(ET.tostring(element)).text in {safe, None}  # noqa: S314 - written in the line itself
    assert len(safe.splitlines()) <= 1
    assert writable(safe) == safe


def test_writable_text_keeps_what_people_write() -> None:
    """Letters of every script, signs and pictures stay; only what cannot be shown goes."""
    assert writable("Zoë Ærvik-O’Dell, 14 € 👓") == "Zoë Ærvik-O’Dell, 14 € 👓"
    assert writable("two\r\nlines\tand a bell\x07") == "two  lines and a bell"
    assert len(writable("x" * 40_000)) == LONGEST


@pytest.mark.parametrize(
    ("text", "expected"),
    [("=1", True), (" -5", True), ("@a", True), ("+1", True), ("\N{FULLWIDTH PLUS SIGN}1", True), ("a=1", False),
     ("", False), ("   ", False), ("1-2", False)],
)  # fmt: skip
def test_what_begins_like_a_formula_is_known(text: str, expected: bool) -> None:
    """The four signs and their wide forms are known, also behind spaces; nothing else is."""
    assert begins_like_a_formula(text) is expected


@given(ANY_AMOUNTS)
def test_cents_become_dollars_without_losing_one(cents: int) -> None:
    """A cell's number is the amount exactly, to two decimals."""
    number = as_number(Kind.MONEY, cents)
    assert number * 100 == cents
    assert str(number).split(".")[1].isdigit()


def test_rates_and_counts_become_numbers() -> None:
    """Millionths become a share of one; a count stays as it is."""
    assert as_number(Kind.RATE, 72_500) == Decimal("0.0725")
    assert as_number(Kind.COUNT, -3) == -3


@pytest.mark.parametrize("header", ["", "net", "Net]", "Net#", "Tax '26", "A[b]"])
def test_a_heading_that_formulas_cannot_name_is_refused(header: str) -> None:
    """A heading is what formulas call a column, so it holds letters, spaces and hyphens alone."""
    with pytest.raises(ExportError, match="heading"):
        Column(header, str, "", 10)


@pytest.mark.parametrize("table", ["A1", "tax", "Tax lines", "B"])
def test_a_table_name_that_could_be_a_cell_is_refused(table: str) -> None:
    """A table's name may not look like a cell or hold a space."""
    with pytest.raises(ExportError, match="table name"):
        Sheet(str, "Tax", table, (Column("Net", str, "", 10),))


def test_two_columns_under_one_heading_are_refused() -> None:
    """A formula could not tell them apart."""
    with pytest.raises(ExportError, match="heading of its own"):
        Sheet(str, "Tax", "TaxLines", (Column("Net", str, "", 10), Column("Net", str, "", 10)))


def test_words_take_as_many_lines_as_they_need() -> None:
    """Short text takes one line; long, broad and unbroken text take more."""
    assert lines_of("", 10) == 1
    assert lines_of("prescription eyewear", 20) == 1
    assert lines_of("a long line of words that goes on", 20) == 2
    assert lines_of("ODALYS FERNHOLLOW AND", 20) == 2
    assert lines_of("x" * 100, 12) >= 9
    assert lines_of("\N{CJK UNIFIED IDEOGRAPH-5E97}" * 10, 12) == 2


@pytest.mark.parametrize("sheet", [*SHEETS, *YEAR_SHEETS], ids=lambda sheet: sheet.title)
def test_no_word_of_a_heading_is_cut_in_print(sheet: Sheet[Any]) -> None:
    """A width counts figures; bold letters, and the space beside them, want that of two more."""
    words = {column: max(map(len, column.header.split())) for column in sheet.columns}
    assert [column.header for column, letters in words.items() if column.width < letters + 2] == []
