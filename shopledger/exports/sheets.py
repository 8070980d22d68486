"""What a sheet is, declared: rows of one record as columns, or a grid of figures in which formulas name rows.

A grid's formula names a cell as `{row}` (that row, the formula's own column), `{row.C}` (that row, column C) or
`{Sheet title!row.C}`; `{#}` is the number of its own row. Each formula carries the value that the ledger gives for it,
where it gives one: a plain CSV file can be written of the same grid, and a test can hold the two against each other.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import Final, Generic, TypeAlias, TypeVar

from shopledger.exports.refusals import SheetError
from shopledger.money.amount import to_decimal

R = TypeVar("R")
Shown: TypeAlias = str | int | date | None
"""What a column takes from a row: text, a day, a count, cents, or millionths of one."""
AGREES: Final = "OK"
DIFFERS: Final = "DIFFERS"

_PLAIN_HEADER: Final = re.compile(r"[A-Z][A-Za-z -]*")
_PLAIN_NAME: Final = re.compile(r"[A-Z][A-Za-z]{3,}")


class Kind(Enum):
    """What a column holds; the value is its number format, a part for numbers below zero included."""

    TEXT = "@"
    DAY = "yyyy-mm-dd"
    COUNT = "#,##0;[Red]-#,##0"
    NUMBER = "0"
    """The number of a document, which is sorted and looked up but never added up."""
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
    """Whether the sum is rounded to cents: one that comes to zero could show a trace of floating point else."""

    def __post_init__(self) -> None:
        """Refuse a heading that a formula could not name as it stands."""
        if not _PLAIN_HEADER.fullmatch(self.header):
            raise SheetError(f"'{self.header}' is no heading that formulas can name; use letters, spaces and hyphens")


@dataclass(frozen=True, slots=True)
class Sheet(Generic[R]):
    """One sheet of rows: the record it shows, its title, the name of its table in formulas, its columns."""

    record: type[R]
    title: str
    table: str
    columns: tuple[Column[R], ...]
    landscape: bool = False
    keys: tuple[str, ...] = ()
    """The columns whose words formulas ask for when they add up a part of the rows."""

    def __post_init__(self) -> None:
        """Refuse a name that formulas cannot use, and two columns under one heading."""
        headers = [column.header for column in self.columns]
        if not _PLAIN_NAME.fullmatch(self.table) or len(set(headers)) != len(headers):
            raise SheetError(
                f"the sheet {self.title} needs a table name of letters, and a heading of its own for each column"
            )

    @property
    def key_places(self) -> tuple[int, ...]:
        """Where its key columns stand, from zero."""
        headers = [column.header for column in self.columns]
        return tuple(headers.index(key) for key in self.keys)

    def part(self, header: str) -> str:
        """Give what a formula calls one column of this sheet's table."""
        return f"{self.table}[{header}]"


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula, without its equals sign, and the value that the ledger gives for it; None where it gives none."""

    text: str
    value: int | str | None = None
    kind: Kind | None = None
    """What it gives, where that is not what its column holds."""
    plain: bool = False
    """Whether it is never set in bold."""

    @property
    def amount(self) -> int:
        """The ledger's value as a number."""
        return self.value if isinstance(self.value, int) else 0


@dataclass(frozen=True, slots=True)
class Number:
    """A number that is not what its column holds."""

    value: int
    kind: Kind


Cell: TypeAlias = "Shown | Formula | Number"


class RowLook(Enum):
    """How a grid's row stands out."""

    PLAIN = "plain"
    BOLD = "bold"
    TOTAL = "bold below a line"
    HEADINGS = "as the headings do"


class TextFit(Enum):
    """How a text lies in its column."""

    ONE_LINE = "on one line"
    WRAPPED = "as high as it needs"
    PROSE = "from the top, as high as it needs"


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's heading, its width, and what it holds; a marked one is set off from its neighbours."""

    words: str
    """None at all where they are empty."""
    width: float
    kind: Kind = Kind.MONEY
    marked: bool = False
    notes: bool = False
    """Whether it only says something about the row; it is never set in bold."""
    text: TextFit = TextFit.WRAPPED
    bold: bool = False


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row of a grid: its cells from the left, the name that formulas call it by, and how it looks."""

    cells: tuple[Cell, ...]
    name: str = ""
    look: RowLook = RowLook.PLAIN


@dataclass(frozen=True, slots=True)
class Chart:
    """Columns drawn from the last two columns of a table within a grid, refunds beside what is left, below its rows."""

    title: str
    heading: int
    """The row of its table's headings, and the last row of the table."""
    last: int


@dataclass(frozen=True, slots=True)
class RowsChart:
    """Columns drawn of named rows of another sheet, from column to column, below the rows of this one."""

    title: str
    sheet: str
    rows: tuple[str, ...]
    columns: tuple[str, str]
    below: str
    """The column in which it begins."""
    width: int
    """In centimetres."""


@dataclass(slots=True)
class Grid:
    """A sheet of figures in the making: rows are added in their order, and placed below the lines of its head."""

    title: str
    headings: tuple[Heading, ...]
    table: str = ""
    """What a real table of all rows is called; empty where there is none."""
    landscape: bool = False
    head: tuple[str | None, ...] = ()
    one_page: bool = False
    frozen: str | None = None
    """The first cell that moves; unless it is said, the first figure in the second column. Empty: all move."""
    repeated: bool = True
    """Whether the headings are printed on each page."""
    verdicts: str = ""
    """The column that says whether figures agree, in which what differs stands out."""
    rows: list[GridRow] = field(default_factory=list)
    charts: list[Chart] = field(default_factory=list)
    row_charts: list[RowsChart] = field(default_factory=list)
    _places: dict[str, int] = field(default_factory=dict)

    def add(self, *cells: Cell, name: str = "", look: RowLook = RowLook.PLAIN) -> None:
        """Add a row."""
        if name:
            if name in self._places:
                raise SheetError(f"the sheet {self.title} has a row '{name}' already")
            self._places[name] = self.last_row + 1
        self.rows.append(GridRow(cells, name, look))

    def title_row(self, words: str, column: int = 0, *, name: str = "") -> None:
        """Add a row that only says what follows."""
        self.add(*([None] * column), words, name=name, look=RowLook.BOLD)

    @property
    def header_row(self) -> int:
        """The row of the headings."""
        return len(self.head) + 1

    @property
    def first_row(self) -> int:
        """The row of the first figures."""
        return self.header_row + 1

    @property
    def last_row(self) -> int:
        """The row of the last figures."""
        return self.header_row + len(self.rows)

    def place(self, name: str) -> int:
        """Give the number of a named row."""
        return self._places[name]

    def value(self, name: str, column: int) -> Shown:
        """Give what stands in a named row, in the column of that place from zero."""
        return shown_value(self.rows[self.place(name) - self.first_row].cells[column])


def shown_value(cell: Cell) -> Shown:
    """Give what a cell of a grid shows: of a formula, what the ledger gives for it."""
    return cell.value if isinstance(cell, Formula | Number) else cell


def agreement(holds: str, *, agrees: bool = True, kind: Kind | None = None) -> Formula:
    """Give the formula that says in a word whether a condition holds."""
    return Formula(f'IF({holds},"{AGREES}","{DIFFERS}")', AGREES if agrees else DIFFERS, kind)


def as_number(kind: Kind, value: int) -> int | Decimal:
    """Give cents as dollars and millionths as a share, exactly; a count stays as it is."""
    if kind is Kind.MONEY:
        return to_decimal(value)
    return Decimal(value).scaleb(-6) if kind is Kind.RATE else value
