"""Which row of a processor's reports each card payment, refund and dispute of the books is.

A row is one only where the processor's number says so, or where kind and cents are the same, the days are near and
neither could be anything else. What is alike in number and amount on one day agrees, though nobody can tell which is
which. All else is shown; no set of payments is ever taken for a row or a payout because its sum fits.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.processor_reports import ProcessorLine, ReportKind
from shopledger.money.amount import Cents

NEAR_DAYS: Final = 3
"""By how many days a payment may stand beside its row: another zone, or typed later. (common practice, no source)"""


@dataclass(frozen=True, slots=True)
class CardEvent:
    """Something of the books that a processor's report should have a row for; what goes back is below zero."""

    kind: ReportKind
    day: date
    amount: Cents
    document: Document
    order_number: int | None = None
    reference: str = ""
    fee: Cents = 0
    """Of a dispute: what the processor took for it by the books."""

    @property
    def key(self) -> tuple[ReportKind, Document]:
        """What tells it apart: a payment of a cancelled order is a charge, and a refund later."""
        return self.kind, self.document


@dataclass(frozen=True, slots=True)
class RowMatch:
    """A row and what it is in the books."""

    line: ProcessorLine
    event: CardEvent

    @property
    def fee_apart(self) -> Cents:
        """Of a dispute: by how much its fee in the report passes the one in the books."""
        disputed = self.line.kind in {ReportKind.DISPUTE, ReportKind.REVERSAL}
        return self.line.fee - self.event.fee if disputed else 0


@dataclass(frozen=True, slots=True)
class AlikeRows:
    """As many rows as events of one kind, amount and day: they agree, whichever is which."""

    lines: tuple[ProcessorLine, ...]
    events: tuple[CardEvent, ...]


@dataclass(frozen=True, slots=True)
class OpenRow:
    """A row of a report without anything in the books, and what it could be."""

    line: ProcessorLine
    candidates: tuple[CardEvent, ...] = ()


@dataclass(frozen=True, slots=True)
class CardComparison:
    """How rows and books stand to each other."""

    found: tuple[RowMatch, ...]
    alike: tuple[AlikeRows, ...]
    rows_left: tuple[OpenRow, ...]
    events_left: tuple[CardEvent, ...]
    """Of the books, on no row of a report that reaches their day."""
    awaited: tuple[CardEvent, ...]
    """Of the books, after the last day that a report tells of."""

    @property
    def agrees(self) -> bool:
        """Whether nothing is left on either side, and every dispute has its fee."""
        return not self.rows_left and not self.events_left and not any(each.fee_apart for each in self.found)


def compared(
    lines: Sequence[ProcessorLine], events: Sequence[CardEvent], reaches: date | None, first: date, last: date
) -> CardComparison:
    """Compare rows and books; both may reach beyond the days that are asked about, by as much as their days differ."""
    found: list[RowMatch] = []
    alike: list[AlikeRows] = []
    rows, books = list(lines), list(events)
    for fits in (_by_number, _on_the_day):
        found += _paired(rows, books, fits)
    alike = _alike(rows, books)
    found += _paired(rows, books, _near)
    left = [OpenRow(row, tuple(each for each in books if _near(row, each))) for row in rows]

    def asked(day: date) -> bool:
        return first <= day <= last

    unmet = [each for each in books if asked(each.day)]
    return CardComparison(
        tuple(each for each in found if asked(each.line.day) or asked(each.event.day)),
        tuple(each for each in alike if asked(each.lines[0].day)),
        tuple(each for each in left if asked(each.line.day)),
        tuple(each for each in unmet if reaches is not None and each.day <= reaches),
        tuple(each for each in unmet if reaches is None or each.day > reaches),
    )


def _paired(
    rows: list[ProcessorLine], books: list[CardEvent], fits: Callable[[ProcessorLine, CardEvent], bool]
) -> list[RowMatch]:
    """Take out the pairs of which neither could be paired otherwise."""
    same = defaultdict(list)
    for event in books:
        same[event.kind, event.amount].append(event)
    pairs = [(row, event) for row in rows for event in same[row.kind, row.gross] if fits(row, event)]
    by_row, by_event = defaultdict(list), defaultdict(list)
    for row, event in pairs:
        by_row[row.number].append(event)
        by_event[event.key].append(row)
    sure = [RowMatch(*pair) for pair in pairs if len(by_row[pair[0].number]) == 1 == len(by_event[pair[1].key])]
    _leave(rows, books, (each.line for each in sure), (each.event for each in sure))
    return sure


def _alike(rows: list[ProcessorLine], books: list[CardEvent]) -> list[AlikeRows]:
    """Take out what is as often in the report as in the books, of one kind, amount and day."""
    lines, events = defaultdict(list), defaultdict(list)
    for row in rows:
        lines[row.kind, row.gross, row.day].append(row)
    for event in books:
        events[event.kind, event.amount, event.day].append(event)
    found = [AlikeRows(tuple(some), tuple(events[key])) for key, some in lines.items() if len(some) == len(events[key])]
    _leave(
        rows,
        books,
        (line for each in found for line in each.lines),
        (event for each in found for event in each.events),
    )
    return found


def _leave(
    rows: list[ProcessorLine], books: list[CardEvent], lines: Iterable[ProcessorLine], events: Iterable[CardEvent]
) -> None:
    """Take out what was met."""
    met, known = {line.number for line in lines}, {event.key for event in events}
    rows[:] = [row for row in rows if row.number not in met]
    books[:] = [event for event in books if event.key not in known]


def _by_number(row: ProcessorLine, event: CardEvent) -> bool:
    return row.transaction_id != "" and row.transaction_id.casefold() == event.reference.casefold()


def _on_the_day(row: ProcessorLine, event: CardEvent) -> bool:
    return row.day == event.day


def _near(row: ProcessorLine, event: CardEvent) -> bool:
    return abs((row.day - event.day).days) <= NEAR_DAYS
