"""A card processor's payout report as a table of plain text, by the layout that the owner keeps for the processor.

All of it or nothing. Each row's net is held to its gross less its fee, and each payout to the sum of its rows, so that
a file that was cut, or of which a sign is turned, is refused. Days are taken as they are printed.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.errors import unseen
from shopledger.exchange.csv_cells import LOOKED_AT, CsvRow, csv_rows, printed_cents, printed_day
from shopledger.exchange.records import shown
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.statement_text import statement_bytes
from shopledger.ledger.books.processor_layout import ReportLayout
from shopledger.ledger.books.processor_reports import LONGEST_ID, ReportKind, ReportRow
from shopledger.ledger.private_numbers import private_number
from shopledger.money.amount import Cents, write_amount

_SHOW: Final = "Look at the columns with 'shopledger processor columns'."
_AGAIN: Final = "Rows are missing, or a sign is turned: download the report again."


@dataclass(frozen=True, slots=True)
class ReportFile:
    """A report as it lies there: its name, the hash of its bytes, and the bytes."""

    name: str
    sha256: str
    body: bytes

    def rows(self, layout: ReportLayout) -> tuple[ReportRow, ...]:
        """Give its rows, once they are proven."""
        return read_report(self.body, self.name, layout)


@dataclass(frozen=True, slots=True)
class _Read:
    """A row as it was read, with what the whole payout comes to beside it if there is such a column."""

    line: int
    row: ReportRow
    total: Cents | None


class _Table:
    """The rows of a file below its headings."""

    def __init__(self, file: str, rows: Sequence[CsvRow], layout: ReportLayout) -> None:
        self.file, self.layout = file, layout
        wanted = {name.casefold() for name in layout.named}
        for place, row in enumerate(rows[:LOOKED_AT]):
            head = [cell.casefold() for cell in row.cells]
            if wanted <= set(head):
                self.width, self.rows = len(head), rows[place + 1 :]
                self.places = {name: head.index(name.casefold()) for name in layout.named}
                return
        said = ", ".join(layout.named)
        raise self.refused(None, f"no row has the headings {said}", f"The processor may have changed them. {_SHOW}")

    def cell(self, row: CsvRow, name: str) -> str:
        """Give what stands in a column of a row; nothing where the report has no such column."""
        return row.cells[self.places[name]] if name else ""

    def refused(self, line: int | None, reason: str, hint: str) -> FileRefusedError:
        """Give the refusal of the whole file."""
        return FileRefusedError(self.file, line, reason, hint)


def report_file(source: Path) -> ReportFile:
    """Read a report's bytes."""
    body = statement_bytes(source)
    return ReportFile(source.name, hashlib.sha256(body).hexdigest(), body)


def read_report(body: bytes, file: str, layout: ReportLayout) -> tuple[ReportRow, ...]:
    """Read a report, and prove each row and each payout."""
    table = _Table(file, csv_rows(body, file), layout)
    found = [_read(table, row) for row in table.rows]
    if not found:
        raise table.refused(None, "it holds no row of a report", _SHOW)
    by_payout: defaultdict[str, list[_Read]] = defaultdict(list)
    for each in found:
        by_payout[each.row.payout].append(each)
    for payout, rows in by_payout.items():
        if payout:
            _prove(table, payout, rows)
    return tuple(each.row for each in found)


def _read(table: _Table, row: CsvRow) -> _Read:
    layout = table.layout
    if len(row.cells) != table.width:
        reason = f"it has {len(row.cells)} columns, and the headings are {table.width}"
        raise table.refused(row.line, reason, "It may have been cut: download the report again.")
    _refuse_money(table, row)
    kind = layout.kind_of(table.cell(row, layout.kind))
    if kind is None:
        typed = shown(table.cell(row, layout.kind))
        hint = f"Say what it is with --word '{typed}=adjustment' or another kind: {_kinds()}."
        raise table.refused(row.line, f"'{typed}' is no kind of row that is known", hint)
    payout = _id(table.cell(row, layout.payout))
    if not payout and kind in {ReportKind.PAYOUT, ReportKind.CARRIED}:
        raise table.refused(row.line, f"a row of the kind {kind.value} names no payout", _SHOW)
    gross, fee, net = (_cents(table, row, name) for name in (layout.gross, layout.fee, layout.net))
    if net != gross - fee:
        said = f"its net is {write_amount(net)}, and {write_amount(gross)} less {write_amount(fee)} is not"
        hint = f"A fee stands above zero where the processor takes it. {_SHOW}"
        raise table.refused(row.line, said, hint)
    day = _day(table, row, layout.day)
    made = ReportRow(
        payout,
        _day(table, row, layout.payout_day) if payout else None,
        day,
        kind,
        gross,
        fee,
        _id(table.cell(row, layout.transaction_id)),
        _day(table, row, layout.arrives_on) if payout and table.cell(row, layout.arrives_on) else None,
    )
    total = _cents(table, row, layout.total) if layout.total and payout else None
    return _Read(row.line, made, total)


def _prove(table: _Table, payout: str, rows: Sequence[_Read]) -> None:
    """Refuse a payout that is not the sum of its rows, or of which nothing says what it is."""
    days = {each.row.payout_day for each in rows}
    totals = {each.total for each in rows}
    if len(days) > 1 or len(totals) > 1:
        what = "days" if len(days) > 1 else "amounts"
        raise table.refused(rows[-1].line, f"the payout {payout} has two {what}", _SHOW)
    total = next(iter(totals))
    lines = [each for each in rows if each.row.kind is ReportKind.PAYOUT]
    if total is None and len(lines) != 1:
        many = "no row says" if not lines else f"{len(lines)} rows say"
        hint = "Choose a report with one row for each payout, or with its amount in a column: see --total."
        raise table.refused(None, f"{many} what the payout {payout} comes to, so nothing proves its rows", hint)
    added = sum(each.row.net for each in rows if each.row.kind is not ReportKind.PAYOUT)
    said = [total] if total is not None else []
    said += [each.row.net for each in lines]
    for amount in said:
        # A payout leaves what the processor owes: some reports set it below zero.
        if amount not in {added, -added}:
            reason = f"the rows of the payout {payout} come to {write_amount(added)}, and it is {write_amount(amount)}"
            raise table.refused(rows[-1].line, reason, _AGAIN)
    late = next((each for each in rows if each.row.payout_day and each.row.day > each.row.payout_day), None)
    if late is not None:
        reason = f"its day is {late.row.day.isoformat()}, after that of its payout"
        raise table.refused(late.line, reason, f"Look at how the report writes its days. {_SHOW}")


def _refuse_money(table: _Table, row: CsvRow) -> None:
    currency = table.cell(row, table.layout.currency)
    if table.layout.currency and currency.upper() != "USD":
        reason = f"it is in '{shown(currency)}', and the books are in US dollars"
        raise table.refused(row.line, reason, "Choose the report of the account in US dollars.")


def _day(table: _Table, row: CsvRow, name: str) -> date:
    typed = table.cell(row, name)
    day = printed_day(typed, table.layout.date_order)
    if day is None:
        hint = f"Days are read {table.layout.date_order.value}. {_SHOW}"
        raise table.refused(row.line, f"'{shown(typed)}' in the column {name} is no day", hint)
    return day


def _cents(table: _Table, row: CsvRow, name: str) -> Cents:
    typed = table.cell(row, name)
    cents = printed_cents(typed) if typed else 0
    if cents is None:
        reason = f"'{shown(typed)}' in the column {name} is no amount of dollars and cents"
        raise table.refused(row.line, reason, _SHOW)
    return cents


def _id(typed: str) -> str:
    """Give the processor's number of something; what reads like a card's number is kept as its hash alone."""
    bare = "".join(letter for letter in typed if not unseen(letter)).strip()
    if private_number(bare) or len(bare) > LONGEST_ID:
        return f"id-{hashlib.sha256(bare.encode()).hexdigest()[:16]}"
    return bare


def _kinds(kinds: Iterable[ReportKind] = ReportKind) -> str:
    return ", ".join(kind.value for kind in kinds)
