"""Tables of plain text as banks and card processors write them: the rows, the days and the amounts in their cells."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.statement_text import AGAIN, MOST_LINES, stated_cents, stated_day, statement_text
from shopledger.ledger.books.statement_layout import DateOrder
from shopledger.money.amount import Cents

LOOKED_AT: Final = 200
"""Rows by which the sign between columns, and the headings, are found."""
_DELIMITERS: Final = (",", ";", "\t", "|")
_NUMBERS: Final = re.compile(r"([0-9]{1,4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,4})(?![0-9])")
_EUROPEAN: Final = re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]{2}")
_ORDERS: Final = {
    DateOrder.MONTH_FIRST: (2, 0, 1),
    DateOrder.DAY_FIRST: (2, 1, 0),
    DateOrder.YEAR_FIRST: (0, 1, 2),
}
"""Where year, month and day stand."""
_CENTURY: Final = 2000


@dataclass(frozen=True, slots=True)
class CsvRow:
    """A row, and the line of the file on which it ends."""

    line: int
    cells: tuple[str, ...]


def csv_rows(body: bytes, file: str) -> list[CsvRow]:
    """Give the rows of a file that hold anything, or refuse what is no table."""
    text = statement_text(body, file)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text, file), strict=True)
    rows = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append(CsvRow(reader.line_num, tuple(" ".join(cell.split()) for cell in cells)))
            if len(rows) > MOST_LINES:
                reason = f"it has more than {MOST_LINES:,} rows"
                raise FileRefusedError(file, None, reason, "Download fewer months at a time.")
    except csv.Error as error:
        reason = f"its quotation marks do not fit together ({error})"
        raise FileRefusedError(file, reader.line_num, reason, AGAIN) from error
    return rows


def printed_day(typed: str, order: DateOrder) -> date | None:
    """Read the day at the beginning of a cell as it is printed; None where there is none."""
    found = _NUMBERS.match(typed.strip())
    if found is None:
        return None
    year, month, day = (found.groups()[place] for place in _ORDERS[order])
    whole = str(_CENTURY + int(year)) if len(year) == len("27") else year
    return stated_day(whole, month, day) if len(whole) == len("2027") else None


def printed_cents(typed: str) -> Cents | None:
    """Read an amount as it is printed: with a dollar sign, brackets or a minus behind it, DR or CR."""
    bare = typed.replace("$", "").replace("\N{MINUS SIGN}", "-").strip()
    minus, bare = _signed(bare)
    if _EUROPEAN.fullmatch(bare.lstrip("+-")):
        bare = bare.replace(".", "")
    cents = stated_cents(bare)
    if cents is None or (minus and cents < 0):
        return None
    return -cents if minus else cents


def _delimiter(text: str, file: str) -> str:
    """Give the sign between columns: the one that gives most rows the same number of columns."""
    lines = [line for line in text.splitlines() if line.strip()][:LOOKED_AT]
    best = max(_DELIMITERS, key=lambda sign: _rows_alike(lines, sign))
    if not _rows_alike(lines, best):
        raise FileRefusedError(file, None, "it is no table of columns", "Download it as OFX or CSV.")
    return best


def _rows_alike(lines: Sequence[str], sign: str) -> int:
    try:
        widths = Counter(len(cells) for cells in csv.reader(lines, delimiter=sign))
    except csv.Error:
        return 0
    return max((many for width, many in widths.items() if width > 1), default=0)


def _signed(bare: str) -> tuple[bool, str]:
    """Part a minus that stands otherwise than in front from an amount."""
    if bare.startswith("(") and bare.endswith(")"):
        return True, bare[1:-1]
    word = bare[-2:].upper()
    if word in {"DR", "CR"}:
        return word == "DR", bare[:-2].rstrip()
    return (True, bare[:-1]) if bare.endswith("-") else (False, bare)
