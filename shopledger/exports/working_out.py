"""Works out the formulas of a workbook as a spreadsheet would, so that each is written with what it comes to.

Previews, protected views and programs that do not calculate show that figure. It is worked out from the rows and cells
that were written, not from what the ledger says they should come to: where a sheet is not whole, both say so. Only what
the formulas of the workbooks use is known here; anything else is refused. Amounts are exact decimals throughout.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, TypeAlias

from openpyxl.utils import column_index_from_string

from shopledger.exports.refusals import SheetError
from shopledger.exports.sheets import Formula, Grid, Kind, Number, as_number
from shopledger.exports.tallies import NOT_EMPTY, Tally

Value: TypeAlias = Decimal | str | date | bool | None
Node: TypeAlias = Callable[[], Value]
"""What part of a formula comes to, once it is asked for: a condition may leave it out."""

_TOKEN: Final = re.compile(
    r"""\s*(?:(?P<number>\d+(?:\.\d+)?)|"(?P<words>(?:[^"]|"")*)"|(?P<table>[A-Za-z]+)\[(?P<header>[^\]]+)\]
    |(?P<name>[A-Z]+)\(|(?:'(?P<sheet>[^']+)'!)?(?P<column>[A-Z]+)(?P<row>\d+)|(?P<sign>[<>]=|<>|[-+*/(),=<>&:]))""",
    re.VERBOSE,
)
_COMPARED: Final = ("=", "<>", "<", ">", "<=", ">=")


FormulaText: TypeAlias = Callable[[Mapping[str, Grid], Grid, int, int, Formula], str]
"""Gives the text of the formula in a cell, with addresses in place of names."""


class WorkedOut:
    """The cells of a workbook's grids with what their formulas come to, over what the tables' rows added up to."""

    def __init__(self, grids: Mapping[str, Grid], tallies: Mapping[str, Tally], texts: FormulaText) -> None:
        self.grids, self.tallies = grids, tallies
        self._texts = texts
        self._known: dict[tuple[str, int, int], Value] = {}
        self._begun: set[tuple[str, int, int]] = set()

    def cell(self, title: str, row: int, column: int) -> Value:
        """Give what stands in a cell; rows and columns count from one, as in the sheet."""
        place = (title, row, column)
        if place in self._begun:
            raise SheetError(f"a formula on the sheet {title}, row {row}, asks for itself")
        if place not in self._known:
            self._begun.add(place)
            self._known[place] = self._cell(self.grids[title], row, column)
            self._begun.discard(place)
        return self._known[place]

    def fill(self, grid: Grid) -> None:
        """Give each formula of a grid for which the ledger gave no value what it comes to: plain files show that."""
        for place, row in enumerate(grid.rows):
            cells = tuple(
                replace(cell, value=self._kept(grid, grid.first_row + place, column, cell))
                if isinstance(cell, Formula) and cell.value is None
                else cell
                for column, cell in enumerate(row.cells, start=1)
            )
            grid.rows[place] = replace(row, cells=cells)

    def _kept(self, grid: Grid, row: int, column: int, formula: Formula) -> int | str | None:
        value = self.cell(grid.title, row, column)
        if not isinstance(value, Decimal):
            return value if isinstance(value, str) else None
        kind = formula.kind or grid.headings[column - 1].kind
        return int(value.scaleb({Kind.MONEY: 2, Kind.RATE: 6}.get(kind, 0)))

    def _cell(self, grid: Grid, row: int, column: int) -> Value:
        cells = grid.rows[row - grid.first_row].cells if grid.first_row <= row <= grid.last_row else ()
        shown = cells[column - 1] if column <= len(cells) else None
        if isinstance(shown, Formula):
            return _Reader(self, grid.title, self._texts(self.grids, grid, row, column, shown)).value()
        if isinstance(shown, Number):
            return Decimal(as_number(shown.kind, shown.value))
        return Decimal(as_number(grid.headings[column - 1].kind, shown)) if isinstance(shown, int) else shown


class _Reader:
    """Reads one formula from its start: each method takes what it understands and gives how to work it out."""

    def __init__(self, book: WorkedOut, title: str, text: str) -> None:
        self._book, self._title, self._text = book, title, text
        self._tokens = list(self._read())
        # Behind the last token stands no sign, so that whoever looks for one need not look for the end first.
        self._signs = [*(token["sign"] for token in self._tokens), None]
        self._at = 0

    def value(self) -> Value:
        """Work the whole formula out."""
        node = self._comparison()
        if self._at < len(self._tokens):
            raise self._refused()
        return node()

    def _read(self) -> Iterator[re.Match[str]]:
        place = 0
        while place < len(self._text):
            found = _TOKEN.match(self._text, place)
            if found is None:
                raise self._refused()
            yield found
            place = found.end()

    def _refused(self) -> SheetError:
        return SheetError(f"the formula '{self._text}' on the sheet {self._title} cannot be worked out")

    def _sign(self, *signs: str) -> str:
        """Take the next sign if it is one of these."""
        sign = self._signs[self._at]
        if sign is None or sign not in signs:
            return ""
        self._at += 1
        return sign

    def _comparison(self) -> Node:
        left = self._joined()
        sign = self._sign(*_COMPARED)
        if not sign:
            return left
        right = self._joined()
        return lambda: _compared(sign, left(), right())

    def _joined(self) -> Node:
        parts = [self._sum()]
        while self._sign("&"):
            parts.append(self._sum())
        return parts[0] if len(parts) == 1 else lambda: "".join(_words(part()) for part in parts)

    def _sum(self) -> Node:
        return self._chain(self._product, "+", "-")

    def _product(self) -> Node:
        return self._chain(self._one, "*", "/")

    def _chain(self, part: Callable[[], Node], *signs: str) -> Node:
        """Read parts between signs of one rank, and work them out from the left."""
        first, others = part(), []
        while sign := self._sign(*signs):
            others.append((sign, part()))
        return first if not others else lambda: _reckoned(first, others)

    def _one(self) -> Node:
        if self._sign("-"):
            negated = self._one()
            return lambda: -_number(negated())
        if self._sign("("):
            inner = self._comparison()
            self._close()
            return inner
        if self._at == len(self._tokens):
            raise self._refused()
        token = self._tokens[self._at]
        self._at += 1
        if token["name"]:
            return self._function(token["name"])
        if token["column"]:
            row, column = int(token["row"]), column_index_from_string(token["column"])
            title = token["sheet"] or self._title
            return lambda: self._book.cell(title, row, column)
        if token["words"] is not None:
            words = token["words"].replace('""', '"')
            return lambda: words
        if token["number"]:
            number = Decimal(token["number"])
            return lambda: number
        raise self._refused()

    def _close(self) -> None:
        if not self._sign(")"):
            raise self._refused()

    def _function(self, name: str) -> Node:
        if name in {"SUM", "COUNTIF"}:
            read = self._added if name == "SUM" else self._cells_that_say
            return read()
        if name == "SUMIFS":
            return self._rows_that_say()
        if name not in _FUNCTIONS:
            raise self._refused()
        given = [self._comparison()]
        while self._sign(","):
            given.append(self._comparison())
        self._close()
        return lambda: _FUNCTIONS[name](given)

    def _added(self) -> Node:
        """Read what SUM adds up: a column of a table, or cells below or beside one another."""
        if self._tokens[self._at]["table"]:
            tally, header = self._table()
            self._close()
            return lambda: _amount(tally, header, ())
        cells = self._cells()
        self._close()
        return lambda: sum((_number(cell) for cell in cells() if isinstance(cell, Decimal)), Decimal())

    def _cells_that_say(self) -> Node:
        cells = self._cells()
        self._sign(",")
        wanted = self._comparison()
        self._close()
        return lambda: Decimal(sum(_says(cell, wanted()) for cell in cells()))

    def _rows_that_say(self) -> Node:
        tally, header = self._table()
        asked: list[tuple[str, Node]] = []
        while self._sign(","):
            _, name = self._table()
            self._sign(",")
            asked.append((name, self._comparison()))
        self._close()
        return lambda: _amount(tally, header, [(name, _words(wanted())) for name, wanted in asked])

    def _table(self) -> tuple[Tally, str]:
        token = self._tokens[self._at]
        self._at += 1
        if token["table"] not in self._book.tallies:
            raise self._refused()
        return self._book.tallies[token["table"]], token["header"]

    def _cells(self) -> Callable[[], list[Value]]:
        """Read cells from one corner to the other."""
        first = self._tokens[self._at]
        self._at += 1
        last = first
        if self._sign(":"):
            last = self._tokens[self._at]
            self._at += 1
        if not (first["column"] and last["column"]):
            raise self._refused()
        title = first["sheet"] or self._title
        rows = range(int(first["row"]), int(last["row"]) + 1)
        left, right = (column_index_from_string(each["column"]) for each in (first, last))
        return lambda: [self._book.cell(title, row, column) for row in rows for column in range(left, right + 1)]


def _says(cell: Value, wanted: Value) -> bool:
    """Tell whether a cell is what is counted: a word, or anything."""
    return cell not in {None, ""} if wanted == NOT_EMPTY else cell == wanted


def _amount(tally: Tally, header: str, asked: Sequence[tuple[str, str]]) -> Decimal:
    return Decimal(as_number(tally.kinds[header], tally.sum(header, asked)))


def _number(value: Value) -> Decimal:
    """Give a value as arithmetic takes it: nothing is zero."""
    if value is None:
        return Decimal()
    if isinstance(value, Decimal | bool):
        return Decimal(value)
    raise SheetError(f"a formula reckons with '{value}', which is no number")


def _words(value: Value) -> str:
    """Give a value as a text: of a day its date, which conditions compare as it is written."""
    return value.isoformat() if isinstance(value, date) else "" if value is None else str(value)


def _reckoned(first: Node, others: Sequence[tuple[str, Node]]) -> Decimal:
    value = _number(first())
    for sign, other in others:
        by = _number(other())
        if sign in "+-":
            value += by if sign == "+" else -by
        else:
            value = value * by if sign == "*" else value / by
    return value


def _compared(sign: str, left: Value, right: Value) -> bool:
    if isinstance(left, str) or isinstance(right, str):
        same = _words(left) == _words(right)
        return same if sign == "=" else not same
    one, other = _number(left), _number(right)
    return {
        "=": one == other, "<>": one != other, "<": one < other, ">": one > other, "<=": one <= other,
        ">=": one >= other,
    }[sign]  # fmt: skip


def _rounded(given: Sequence[Node]) -> Decimal:
    """Round as a spreadsheet does: half away from zero."""
    value, places = (_number(each()) for each in given)
    return value.quantize(Decimal(1).scaleb(-int(places)), ROUND_HALF_UP)


_FUNCTIONS: Final[Mapping[str, Callable[[Sequence[Node]], Value]]] = {
    "ROUND": _rounded,
    "IF": lambda given: given[1]() if given[0]() else given[2](),
    "AND": lambda given: all(bool(each()) for each in given),
    "MAX": lambda given: max(_number(each()) for each in given),
}
