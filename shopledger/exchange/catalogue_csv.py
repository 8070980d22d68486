"""The catalogue from sheets: one kind of goods in each, a row for each, under headings that are the keys of the files.

A sheet is read by the same declaration of keys as a catalogue file, so both take the same values.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from shopledger.exchange.catalogue_file import (
    ACCESSORY,
    EXTRA,
    FRAME,
    LENS,
    TAX,
    CatalogueFile,
    rows_of_files,
)
from shopledger.exchange.csv_cells import CsvRow, csv_rows
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.rows import LARGEST_FILE, REQUIRED, Field, TomlFile
from shopledger.exchange.values import as_count, as_flag, as_number, as_numbers, as_texts
from shopledger.files.reading import NotReadError, read_outside

SHEETS: Final[Mapping[str, Sequence[Field]]] = {
    "frame": FRAME,
    "lens": LENS,
    "extra": EXTRA,
    "accessory": ACCESSORY,
    "tax": TAX,
}
"""What a sheet may hold, and the keys of its rows."""
ROWS: Final = "Save the sheet as CSV: headings in the first row, and a row for each below."
YES: Final = {"yes": True, "true": True, "x": True, "1": True, "no": False, "false": False, "0": False}


def columns_of(kind: str) -> tuple[tuple[str, bool], ...]:
    """Give the headings that a sheet of a kind may have, each with whether it must be there."""
    return tuple((field.key, field.default is REQUIRED) for field in SHEETS[kind])


def read_catalogue_sheet(source: Path, kind: str) -> CatalogueFile:
    """Read a sheet of one kind of goods; where anything is wrong, all of it is told with its line."""
    try:
        body = read_outside(source, LARGEST_FILE)
    except NotReadError as error:
        raise FileRefusedError(source.name, None, error.reason, error.hint) from error
    if not body.strip():
        raise FileRefusedError(source.name, None, "it holds no row", ROWS)
    try:
        rows = csv_rows(body, source.name)
    except FileRefusedError as error:
        raise FileRefusedError(error.file, error.line, error.reason, ROWS) from error
    heading, *others = rows
    keys = [_key(cell) for cell in heading.cells]
    values: list[dict[str, object]] = [_values(SHEETS[kind], keys, row, source.name) for row in others]
    return rows_of_files([TomlFile(source.name, _lines(kind, others), {kind: values})], [])


def _lines(kind: str, rows: Sequence[CsvRow]) -> str:
    """Give a text in which the heading of each row stands on the line of the sheet: by it a problem is found there."""
    written = [""] * max((row.line for row in rows), default=0)
    for row in rows:
        written[row.line - 1] = f"[[{kind}]]"
    return "\n".join(written)


def _values(fields: Sequence[Field], keys: Sequence[str], row: CsvRow, file: str) -> dict[str, object]:
    if len(row.cells) > len(keys):
        reason = f"the row has {len(row.cells)} cells, and there are {len(keys)} headings"
        raise FileRefusedError(file, row.line, reason, "Look for a comma in a text that is not in quotation marks.")
    known = {field.key: field for field in fields}
    cells = zip(keys, row.cells, strict=False)
    return {key: _value(known.get(key), cell) for key, cell in cells if cell}


def _value(field: Field | None, cell: str) -> object:
    """Give a cell as its key's reader takes it; what cannot be turned is left for the reader to refuse."""
    read = field.read if field else None
    if read in {as_numbers, as_texts}:
        parts = cell.replace(";", " ").split()
        return [_number(part) for part in parts] if read is as_numbers else parts
    if read is as_flag:
        return YES.get(cell.casefold(), cell)
    return _number(cell) if read in {as_number, as_count} else cell


def _number(cell: str) -> object:
    try:
        return int(cell)
    except ValueError:
        pass
    try:
        return float(cell)
    except ValueError:
        return cell


def _key(heading: str) -> str:
    return "_".join(heading.casefold().replace("-", " ").replace("_", " ").split())
