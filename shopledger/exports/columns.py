"""A sheet is declared: its columns, what each shows, how wide it is, and whether it is added up."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import Final, Generic, TypeAlias, TypeVar

from shopledger.exports.refusals import SheetError
from shopledger.money.amount import to_decimal

R = TypeVar("R")
Shown: TypeAlias = str | int | date | None
"""What a column takes from a row: text, a day, a count, cents, or millionths of one."""

_PLAIN_HEADER: Final = re.compile(r"[A-Z][A-Za-z -]*")
_PLAIN_NAME: Final = re.compile(r"[A-Z][A-Za-z]{3,}")


class Kind(Enum):
    """What a column holds; the value is its number format, a part for numbers below zero included."""

    TEXT = "@"
    DAY = "yyyy-mm-dd"
    COUNT = "#,##0;[Red]-#,##0"
    MONEY = "#,##0.00;[Red]-#,##0.00"
    RATE = "0.000%"


@dataclass(frozen=True, slots=True)
class Column(Generic[R]):
    """One column: heading, what it takes from a row, what it means, width in characters, and whether it is added up."""

    header: str
    get: Callable[[R], Shown]
    means: str
    width: float
    kind: Kind = Kind.TEXT
    total: bool = False
    whole_cents: bool = False
    """Whether the sum is rounded to cents: one that comes to nought could show a trace of floating point else."""

    def __post_init__(self) -> None:
        """Refuse a heading that a formula could not name as it stands."""
        if not _PLAIN_HEADER.fullmatch(self.header):
            raise SheetError(f"'{self.header}' is no heading that formulas can name; use letters, spaces and hyphens")


@dataclass(frozen=True, slots=True)
class Sheet(Generic[R]):
    """One sheet: its title, the name of its table in formulas, its columns, and how it lies on paper."""

    title: str
    table: str
    columns: tuple[Column[R], ...]
    landscape: bool = False

    def __post_init__(self) -> None:
        """Refuse a name that formulas cannot use, and two columns under one heading."""
        headers = [column.header for column in self.columns]
        if not _PLAIN_NAME.fullmatch(self.table) or len(set(headers)) != len(headers):
            raise SheetError(
                f"the sheet {self.title} needs a table name of letters, and a heading of its own for each column"
            )

    def part(self, header: str) -> str:
        """Give what a formula calls one column of this sheet's table."""
        return f"{self.table}[{header}]"


def as_number(kind: Kind, value: int) -> int | Decimal:
    """Give cents as dollars and millionths as a share, exactly; a count stays as it is."""
    if kind is Kind.MONEY:
        return to_decimal(value)
    return Decimal(value).scaleb(-6) if kind is Kind.RATE else value


def number_text(number: int | None) -> str:
    """Give a number that is a name, such as an order's, as text; none is empty."""
    return "" if number is None else str(number)
