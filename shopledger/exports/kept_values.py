"""Sheets whose formula cells are written with what they come to, which openpyxl leaves out, and books of fixed times.

The parts of a workbook are written to the same bytes for the same content: no clock is read, and no file's own time.
"""

# ruff: noqa: ANN401 - openpyxl gives these parts no types

from __future__ import annotations

import shutil
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.cell._writer import write_cell
from openpyxl.worksheet._write_only import WriteOnlyWorksheet
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.writer.excel import ExcelWriter
from openpyxl.xml.functions import Element, SubElement

if TYPE_CHECKING:
    from collections.abc import Iterable

_ZIP_BEGINS: Final = (1980, 1, 1, 0, 0, 0)
"""The first time that an archive can name."""
_READABLE: Final = 0o600 << 16


class FormulaCell(Cell):
    """A formula with what it comes to."""

    __slots__ = ("known",)

    def __init__(self, sheet: Any, formula: str, known: Decimal | str | None) -> None:
        super().__init__(sheet, row=1, column=1, value=formula)
        self.known = known


class CalculatedSheet(WriteOnlyWorksheet):
    """A sheet of rows that pass through once, whose formulas are written with what they come to."""

    _writer: Any

    def _get_writer(self) -> None:
        if self._writer is None:
            self._writer = _Writer(self)
            self._writer.write_top()


class _Writer(WorksheetWriter):
    """Writes rows as openpyxl does, but for formulas whose outcome is known."""

    ws: Any

    def write_row(self, xf: Any, row: Iterable[Any], row_idx: int) -> None:
        attributes = {"r": f"{row_idx}"}
        attributes.update(self.ws.row_dimensions.get(row_idx, {}))
        with xf.element("row", attributes):
            for cell in row:
                if isinstance(cell, FormulaCell) and cell.known is not None:
                    xf.write(_formula(cell))
                else:
                    write_cell(xf, self.ws, cell, cell.has_style)


def _formula(cell: FormulaCell) -> Any:
    """Give a formula's element: its text, and what it comes to as a number or as a text."""
    attributes = {"r": cell.coordinate, "s": f"{cell.style_id}"}
    if isinstance(cell.known, str):
        attributes["t"] = "str"
    element = Element("c", attributes)
    SubElement(element, "f").text = str(cell.value)[1:]
    SubElement(element, "v").text = cell.known if isinstance(cell.known, str) else f"{cell.known:f}"
    return element


def add_sheet(book: Workbook, title: str) -> Any:
    """Add such a sheet to a workbook."""
    sheet = CalculatedSheet(book, title)
    book._add_sheet(sheet)  # type: ignore[attr-defined]  # noqa: SLF001 - as create_sheet does
    return sheet


class _Archive(ZipFile):
    """An archive in which every part has the same time."""

    def write(self, filename: Any, arcname: Any = None, *_: Any) -> None:
        with Path(filename).open("rb") as part, self.open(_part(str(arcname)), "w", force_zip64=True) as into:
            shutil.copyfileobj(part, into)

    def writestr(self, zinfo_or_arcname: Any, data: Any, *_: Any) -> None:
        super().writestr(_part(str(zinfo_or_arcname)), data)


def _part(name: str) -> ZipInfo:
    part = ZipInfo(name, _ZIP_BEGINS)
    part.compress_type, part.external_attr, part.create_system = ZIP_DEFLATED, _READABLE, 3
    return part


def save_book(book: Workbook, target: Path, at: datetime) -> None:
    """Save a workbook as made and last changed at a time: the same content gives the same bytes."""
    book.properties.created = book.properties.modified = at
    with _Archive(target, "w", ZIP_DEFLATED, allowZip64=True) as archive:
        ExcelWriter(book, archive).write_data()
