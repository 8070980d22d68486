"""Catalogue sheets: the same rows as in a catalogue file, and every slip told with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.errors import ShopledgerError
from shopledger.exchange.catalogue_csv import SHEETS, columns_of, read_catalogue_sheet
from shopledger.exchange.catalogue_file import read_catalogue

FRAMES = """Code,Maker,Model,Colour,Eye size,Bridge,Temple,Price,Cost,Count
WREN-52,Harrow Row,Wren,moss,52,18,140,149.00,41.50,3
"""
AS_FILE = """
[[frame]]
code = "WREN-52"
maker = "Harrow Row"
model = "Wren"
colour = "moss"
eye_size = 52
bridge = 18
temple = 140
price = "149.00"
cost = "41.50"
count = 3
"""


def sheet(folder: Path, text: str) -> Path:
    """Write a sheet."""
    file = folder / "sheet.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_sheet_reads_as_the_file_does(tmp_path: Path) -> None:
    """Headings in any case, with blanks or underscores."""
    assert read_catalogue_sheet(sheet(tmp_path, FRAMES), "frame") == read_catalogue(AS_FILE)
    other = FRAMES.replace("Eye size", "eye_size").replace(",", ";")
    assert read_catalogue_sheet(sheet(tmp_path, other), "frame") == read_catalogue(AS_FILE)


def test_every_slip_is_told_with_its_line(tmp_path: Path) -> None:
    """Of every row, and none is read."""
    rows = FRAMES + "LARK-50,Harrow Row,Lark,oak,wide,18,140,12.345,1,1\nGULL,Harrow Row,,oak,50,18,140,99.00,1,1\n"
    with pytest.raises(ShopledgerError) as refused:
        read_catalogue_sheet(sheet(tmp_path, rows), "frame")
    said = str(refused.value)
    assert "line 3" in said
    assert "'wide'" in said
    assert "12.345" in said
    assert "line 4" in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "holds no row"),
        (FRAMES.replace("Bridge", "Bridges"), "bridge"),
        (FRAMES + "A,B,C,D,52,18,140,1,1,1,1\n", "line 3"),
        (FRAMES.replace("Code,", ""), "line 2"),
    ],
)
def test_a_sheet_that_cannot_be_read_says_why(tmp_path: Path, text: str, said: str) -> None:
    """No row of it is read."""
    with pytest.raises(ShopledgerError, match=said):
        read_catalogue_sheet(sheet(tmp_path, text), "frame")


@pytest.mark.parametrize("kind", SHEETS)
def test_each_kind_says_its_columns(kind: str) -> None:
    """Those that must be there and those that may."""
    needed = [key for key, must in columns_of(kind) if must]
    assert needed
    assert len(needed) < len(columns_of(kind))


def test_lists_and_yes_and_no_stand_in_cells(tmp_path: Path) -> None:
    """Several diameters with blanks between them; a tick as yes, x or true."""
    text = "state,category,rate,valid_from,as_goods\nOH,shipping,0,2026-01-01,yes\n"
    (rate,) = read_catalogue_sheet(sheet(tmp_path, text), "tax").taxes
    assert rate.as_goods
