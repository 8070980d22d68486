"""A state's sales tax return as a workbook or as plain CSV: line by line, by place and rate, and what was exempt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from shopledger.exports.cells import PageMargins
from shopledger.exports.notes import notes_grid
from shopledger.exports.plain import write_plain_grids
from shopledger.exports.sheets import Formula, Grid, Heading, Kind, Number, RowLook
from shopledger.exports.writer import written_book
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.tax_returns import CAUTION, ReturnLine, TaxReturn, beside_lines, return_lines
from shopledger.money.amount import Cents

_NOTE_WIDTHS = 24.0, 92.0


@dataclass(frozen=True, slots=True)
class ReturnReport:
    """A return with what stands at its head."""

    due: TaxReturn
    shop_name: str
    as_of: date
    ledger_head: str

    @property
    def name(self) -> str:
        """What its files are called, without an ending."""
        return f"tax-return-{self.due.state}-{Period(self.due.first, self.due.last)}"


def write_return(report: ReturnReport, folder: Path) -> Path:
    """Write a return's workbook, whole or not at all."""
    due, target = report.due, folder / f"{report.name}.xlsx"
    title = f"Sales tax {due.state} {Period(due.first, due.last)}"
    with written_book(target, title, report.as_of, PageMargins(f"{report.shop_name}, {title}")) as writer:
        writer.add_grids((*return_grids(due), notes_grid(_notes(report), *_NOTE_WIDTHS)))
    return target


def write_return_plain(report: ReturnReport, folder: Path) -> tuple[Path, ...]:
    """Write a return's sheets as CSV files; gives the files."""
    return write_plain_grids(return_grids(report.due), report.name, folder)


def return_grids(due: TaxReturn) -> tuple[Grid, ...]:
    """Give the sheets of figures."""
    return _return_grid(due), _rates_grid(due), _exempt_grid(due)


def _return_grid(due: TaxReturn) -> Grid:
    grid = Grid("Return", (Heading("What", 60.0, Kind.TEXT), Heading("Amount", 16.0)))
    for row in _summed(return_lines(due)):
        grid.add(*row.cells, name=row.name, look=row.look)
    grid.title_row("Beside the return", name="beside")
    for line in beside_lines(due):
        grid.add(line.words, line.amount)
    grid.add("orders", Number(due.orders, Kind.COUNT))
    return grid


@dataclass(frozen=True, slots=True)
class _Row:
    cells: tuple[str, Formula | Cents]
    name: str
    look: RowLook


def _summed(lines: Iterable[ReturnLine]) -> Iterator[_Row]:
    """Give the rows of a return; each total is a formula over those that it adds up."""
    added: list[str] = []
    for place, line in enumerate(lines, start=1):
        name = f"line {place}"
        if line.total:
            yield _Row(
                (line.words, Formula("+".join(f"{{{each}}}" for each in added), line.amount)), name, RowLook.TOTAL
            )
            continue
        added = [name] if line.anew else [*added, name]
        yield _Row((line.words, line.amount), name, RowLook.PLAIN)


def _rates_grid(due: TaxReturn) -> Grid:
    money = ("Taxable", "Tax by rate", "Difference", "Tax charged", "Taken back", "Tax given back")
    headings = (
        Heading("Place", 28.0, Kind.TEXT),
        Heading("Rate", 11.0, Kind.RATE),
        *(Heading(words, 14.0) for words in money),
    )
    grid = Grid("Places and rates", headings, landscape=True)
    for place in due.places:
        for each in place.rates:
            grid.add(
                _called(place.place, due.state),
                each.rate,
                *(each.taxable, each.by_rate, each.difference, each.charged, each.taken_back, each.tax_taken_back),
            )
    sums = (due.taxable, due.by_rates, due.difference, due.charged, due.taxable_taken_back, due.tax_taken_back)
    rows = grid.first_row, max(grid.last_row, grid.first_row)
    totals = (
        Formula(f"SUM({letter}{rows[0]}:{letter}{rows[1]})", amount) if grid.rows else amount
        for letter, amount in zip("CDEFGH", sums, strict=True)
    )
    grid.add("Total", None, *totals, look=RowLook.TOTAL)
    return grid


def _exempt_grid(due: TaxReturn) -> Grid:
    headings = (
        Heading("Place", 28.0, Kind.TEXT),
        Heading("Not taxed because", 50.0, Kind.TEXT),
        Heading("Sales", 14.0),
    )
    grid = Grid("Not taxed", headings)
    for place in due.places:
        for reason, amount in place.exempt:
            grid.add(_called(place.place, due.state), reason, amount)
    grid.add("Total", None, due.exempt_total, look=RowLook.TOTAL)
    return grid


def _called(place: str, state: str) -> str:
    return place or f"rest of {state}"


def _notes(report: ReturnReport) -> Iterator[tuple[str, str]]:
    due = report.due
    yield "This workbook", f"Sales tax of {report.shop_name} in {due.state}, {due.first} to {due.last}."
    yield "How it was made", f"Written from the shop's ledger as of {report.as_of}; nothing was typed in by hand."
    yield "Ledger head", report.ledger_head
    yield (
        "Days",
        (
            "A sale counts on the day its goods leave; what came back, was refunded, cancelled or changed, on its own "
            "day. An order counts once in these days; one that leaves in two months counts in each of them."
        ),
    )
    yield (
        "Places",
        (
            "A line stands under the place whose rate it was priced with; that is frozen on it. The rest of the state "
            "is what no place's own rate was set for."
        ),
    )
    yield (
        "Difference",
        (
            "Tax is rounded on each line or each order, a rate here once on all of its sales: what lies between is in "
            "the difference, a cent here and there. Where it is more, look at the orders."
        ),
    )
    yield (
        "Shipping",
        (
            "Where shipping is taxed as the goods are, what of it goes with untaxed goods is not taxed. Where goods of "
            "one order have several rates, its shipping has a rate of its own, what they come to together."
        ),
    )
    if due.use_sentence:
        yield "Use tax", due.use_sentence
    yield "No advice", CAUTION
