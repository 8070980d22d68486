"""The month's rows as plain CSV, one file for each sheet of the workbook, for programs that read nothing else."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TypeVar

from shopledger.exports.columns import Kind, Sheet, Shown, as_number
from shopledger.exports.inert import begins_like_a_formula, inert
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS, STOCK, TAX, sales_sheet
from shopledger.exports.refusals import NotSavedError
from shopledger.files import written_whole
from shopledger.ledger.month import MonthBook

R = TypeVar("R")


def write_plain(book: MonthBook, folder: Path) -> tuple[Path, ...]:
    """Write the month's rows as CSV files into a folder; gives the files."""
    sales = sales_sheet()
    return (
        _written(sales, book.sales, folder / _file_name(sales, book)),
        _written(REFUNDS, book.refunds, folder / _file_name(REFUNDS, book)),
        _written(PAYMENTS, book.payments, folder / _file_name(PAYMENTS, book)),
        _written(MONEY_BACK, book.money_back, folder / _file_name(MONEY_BACK, book)),
        _written(TAX, book.tax, folder / _file_name(TAX, book)),
        _written(STOCK, book.stock, folder / _file_name(STOCK, book)),
    )


def _file_name(sheet: Sheet[R], book: MonthBook) -> str:
    return f"{sheet.title.lower().replace(' ', '-')}-{book.month}.csv"


def _written(sheet: Sheet[R], rows: Iterable[R], target: Path) -> Path:
    """Write one sheet's rows, whole or not at all."""
    with written_whole(target) as draft:
        try:
            # The mark at its start tells spreadsheets that the file is UTF-8.
            with draft.open("w", encoding="utf-8-sig", newline="") as file:
                out = csv.writer(file)
                out.writerow([column.header for column in sheet.columns])
                out.writerows([_plain(column.kind, column.get(row)) for column in sheet.columns] for row in rows)
        except OSError as error:
            raise NotSavedError(target, (error.strerror or str(error)).lower()) from error
    return target


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
