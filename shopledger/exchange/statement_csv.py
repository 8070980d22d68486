"""Statements as tables of plain text, by the layout that the owner keeps for the account.

Nothing about the columns is guessed. The running balance proves the reading where the file has one: each is the one
before with the line's amount, downward or upward, which settles sign, order and missing rows at once. Where there is
none, what lay there before and after has to be said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from shopledger.exchange.csv_cells import LOOKED_AT, CsvRow, csv_rows, printed_cents, printed_day
from shopledger.exchange.records import shown
from shopledger.exchange.refusals import FileRefusedError
from shopledger.ledger.books.statement_layout import CsvLayout
from shopledger.ledger.books.statements import StatedAccount, StatedBalance, StatedLine, StatementForm, without_account
from shopledger.money.amount import Cents, write_amount

_SHOW: Final = "Look at the columns with 'shopledger bank columns'."


@dataclass(frozen=True, slots=True)
class CsvTold:
    """What the owner says of a file that does not say it itself."""

    opening: Cents | None = None
    closing: Cents | None = None
    first: date | None = None
    last: date | None = None


NOTHING_TOLD: Final = CsvTold()


@dataclass(frozen=True, slots=True)
class _Read:
    """A row as it was read, with the balance beside it if there is one."""

    line: int
    stated: StatedLine
    balance: Cents | None


class _Table:
    """The rows of a file under the layout of its account."""

    def __init__(self, file: str, rows: Sequence[CsvRow], layout: CsvLayout) -> None:
        self.file, self.layout = file, layout
        below = rows[layout.skip :]
        head, first = ([], 0) if layout.by_number else self._headings(below)
        self.places = {name: self._place(name, head) for name in layout.named}
        body = below[first:]
        self.rows = body[: len(body) - layout.skip_last]

    def _headings(self, rows: Sequence[CsvRow]) -> tuple[list[str], int]:
        """Give the headings, which are the first row that has them all, and the place of the row below."""
        wanted = {name.casefold() for name in self.layout.named}
        for place, row in enumerate(rows[:LOOKED_AT]):
            cells = [cell.casefold() for cell in row.cells]
            if wanted <= set(cells):
                return cells, place + 1
        said = ", ".join(self.layout.named)
        raise self.refused(None, f"no row has the headings {said}", f"The bank may have changed them. {_SHOW}")

    def _place(self, name: str, head: Sequence[str]) -> int:
        return int(name) - 1 if self.layout.by_number else head.index(name.casefold())

    def cell(self, row: CsvRow, name: str) -> str:
        """Give what stands in a column of a row."""
        place = self.places[name]
        if not 0 <= place < len(row.cells):
            raise self.refused(row.line, f"it has {len(row.cells)} columns, and column {place + 1} is wanted", _SHOW)
        return row.cells[place]

    def refused(self, line: int | None, reason: str, hint: str) -> FileRefusedError:
        """Give the refusal of the whole file."""
        return FileRefusedError(self.file, line, reason, hint)


def read_statement_csv(body: bytes, file: str, layout: CsvLayout, told: CsvTold = NOTHING_TOLD) -> StatedAccount:
    """Read a statement, and prove it by its running balance, or by what lay there before and after."""
    table = _Table(file, csv_rows(body, file), layout)
    found = [_read(table, row) for row in table.rows if not _is_left_out(table, row)]
    if not found:
        raise table.refused(None, "it holds no line of a statement", _SHOW)
    if layout.balance:
        found = _proven(table, found)
        before = (found[0].balance or 0) - found[0].stated.amount
        after = found[-1].balance or 0
    else:
        found.sort(key=lambda each: each.stated.day)
        before, after = _added_up(table, found, told)
    lines = tuple(each.stated for each in found)
    begin, end = _span(table, lines, told)
    opening, closing = StatedBalance(begin - timedelta(days=1), before), StatedBalance(end, after)
    return without_account(StatedAccount(StatementForm.CSV, lines, "", begin, end, opening, closing), "")


def _span(table: _Table, lines: Sequence[StatedLine], told: CsvTold) -> tuple[date, date]:
    """Give the days that the file tells of: as said, or those of its lines."""
    days = [line.day for line in lines]
    begin, end = told.first or min(days), told.last or max(days)
    if begin > min(days) or end < max(days):
        said = f"its lines are from {min(days).isoformat()} to {max(days).isoformat()}"
        raise table.refused(
            None, f"{said}, which is more than was said", "Type its days with --from and --to, or neither."
        )
    return begin, end


def first_rows(body: bytes, file: str, most: int = 5) -> tuple[tuple[str, ...], ...]:
    """Give a file's first rows as they are read, so that its columns can be named."""
    return tuple(row.cells for row in csv_rows(body, file)[:most])


def _is_left_out(table: _Table, row: CsvRow) -> bool:
    column, word = table.layout.left_out
    return bool(column) and table.cell(row, column).casefold() == word.casefold()


def _read(table: _Table, row: CsvRow) -> _Read:
    layout = table.layout
    typed = table.cell(row, layout.day)
    day = printed_day(typed, layout.date_order)
    if day is None:
        hint = f"Days are read {layout.date_order.value}. {_SHOW}"
        raise table.refused(row.line, f"'{shown(typed)}' is no day", hint)
    words = " ".join(dict.fromkeys(filter(None, (table.cell(row, name) for name in layout.text))))
    line = StatedLine(
        day,
        _amount(table, row),
        words,
        table.cell(row, layout.source_id) if layout.source_id else "",
        table.cell(row, layout.check_number) if layout.check_number else "",
    )
    return _Read(row.line, line, _cents(table, row, layout.balance) if layout.balance else None)


def _amount(table: _Table, row: CsvRow) -> Cents:
    layout = table.layout
    if layout.amount:
        signed = _cents(table, row, layout.amount)
        return -signed if layout.turned else signed
    out, came = table.cell(row, layout.money_out), table.cell(row, layout.money_in)
    if bool(out) == bool(came):
        both = "both" if out else "none"
        raise table.refused(row.line, f"of money out and money in it has {both}", _SHOW)
    return -abs(_cents(table, row, layout.money_out)) if out else _cents(table, row, layout.money_in)


def _cents(table: _Table, row: CsvRow, name: str) -> Cents:
    typed = table.cell(row, name)
    cents = printed_cents(typed)
    if cents is None:
        raise table.refused(row.line, f"'{shown(typed)}' is no amount of dollars and cents", _SHOW)
    return cents


def _proven(table: _Table, found: list[_Read]) -> list[_Read]:
    """Give the lines oldest first, as the running balance proves them; refuse what it does not prove."""
    upward = found[::-1]
    for each in (found, upward):
        if not any(_breaks(each)):
            return each
    least = min((found, upward), key=lambda each: sum(1 for _ in _breaks(each)))
    before, after = next(_breaks(least))
    wanted = (before.balance or 0) + after.stated.amount
    raise table.refused(
        after.line,
        f"its balance is {write_amount(after.balance or 0)}, and the balance before it with "
        f"{write_amount(after.stated.amount)} is {write_amount(wanted)}",
        "Rows are missing, or a sign is turned: see '--turned' of 'shopledger bank columns'.",
    )


def _breaks(found: Sequence[_Read]) -> Iterator[tuple[_Read, _Read]]:
    for before, after in pairwise(found):
        if (before.balance or 0) + after.stated.amount != after.balance:
            yield before, after


def _added_up(table: _Table, found: Sequence[_Read], told: CsvTold) -> tuple[Cents, Cents]:
    opening, closing = told.opening, told.closing
    if opening is None or closing is None:
        reason = "it has no running balance, so nothing proves that all of it is there"
        raise table.refused(None, reason, "Type what lay there before and after it with --opening and --closing.")
    total, apart = sum(each.stated.amount for each in found), closing - opening
    if total != apart:
        reason = f"its lines come to {write_amount(total)}, and what lay there changed by {write_amount(apart)}"
        hint = "Rows are missing, or a sign is turned: see '--turned' of 'shopledger bank columns'."
        raise table.refused(None, reason, hint)
    return opening, closing
