"""The month's rows as plain CSV, one file for each sheet of the workbook, for programs that read nothing else."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TypeVar

from shopledger.exports.columns import Kind, Sheet, Shown, as_number
from shopledger.exports.inert import begins_like_a_formula, inert
from shopledger.exports.month_contents import contents
from shopledger.exports.refusals import NotSavedError
from shopledger.files import written_whole
from shopledger.ledger.books.month_book import MonthBook

R = TypeVar("R")


def write_plain(book: MonthBook, folder: Path) -> tuple[Path, ...]:
    """Write each sheet's rows as a CSV file into a folder, and a list of the files; gives the files, the list last."""
    written = [_written(part.sheet, part.rows, folder / _file_name(part.sheet, book)) for part in contents(book)]
    return (*(target for target, _ in written), _listed(book, written, folder / f"month-{book.month}.txt"))


def _file_name(sheet: Sheet[R], book: MonthBook) -> str:
    return f"{sheet.title.lower().replace(' ', '-')}-{book.month}.csv"


def _listed(book: MonthBook, written: Sequence[tuple[Path, int]], target: Path) -> Path:
    """Write what the files are, on which state of the books they stand, and the hash of each."""
    lines = [
        f"{book.shop_name}: {book.month}",
        f"written on {book.made_on} from the shop's ledger",
        book.state,
        f"ledger head {book.ledger_head}",
        "",
        *(f"{_hash(file)}  {file.name}  {count} rows" for file, count in written),
    ]
    with written_whole(target) as draft:
        draft.write_text("".join(f"{inert(line)}\n" for line in lines), encoding="utf-8")
    return target


def _hash(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _written(sheet: Sheet[R], rows: Iterable[R], target: Path) -> tuple[Path, int]:
    """Write one sheet's rows, whole or not at all; gives the file and how many rows it has."""
    count = 0
    with written_whole(target) as draft:
        try:
            # The mark at its start tells spreadsheets that the file is UTF-8.
            with draft.open("w", encoding="utf-8-sig", newline="") as file:
                out = csv.writer(file)
                out.writerow([column.header for column in sheet.columns])
                for row in rows:
                    count += 1
                    out.writerow([_plain(column.kind, column.get(row)) for column in sheet.columns])
        except OSError as error:
            raise NotSavedError(target, (error.strerror or str(error)).lower()) from error
    return target, count


def _plain(kind: Kind, shown: Shown) -> str:
    """Write a value as text; only texts are guarded, never a number below zero."""
    if shown is None:
        return ""
    if isinstance(shown, str):
        text = inert(shown)
        return f"'{text}" if begins_like_a_formula(text) else text
    if isinstance(shown, date):
        return shown.isoformat()
    return f"{as_number(kind, shown):f}" if kind is not Kind.COUNT else str(shown)
