"""What the card processor reports: its payouts row by row, as facts, and what it owes by them on a day.

A row's net is its gross less its fee, and a payout is the sum of its rows; both are held to. Amounts are the shop's: a
charge is above zero, what is given back, taken back or held back below. Days are those that the report prints.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.ledger.text import clean_text
from shopledger.money.amount import Cents

LONGEST_ID: Final = 80


class ReportKind(Enum):
    """What a row of a report is."""

    CHARGE = "charge"
    REFUND = "refund"
    DISPUTE = "dispute"
    """A payment that the customer's bank took back, with the fee for it."""
    REVERSAL = "dispute reversal"
    """A dispute that was won: the payment again, and the fee if that comes back."""
    FEE = "fee"
    """A fee that belongs to no payment, such as a monthly one."""
    ADJUSTMENT = "adjustment"
    RESERVE = "reserve"
    """Held back where it is below zero, released where it is above."""
    CARRIED = "carried balance"
    """What one payout lacked and the next one bears; it is in both, and in neither of them money."""
    PAYOUT = "payout"
    """The payout itself, which proves that all its rows are there."""


OF_PAYMENTS: Final = (ReportKind.CHARGE, ReportKind.REFUND, ReportKind.DISPUTE, ReportKind.REVERSAL)
"""The kinds of rows that the books know from the sale, and that are compared with it."""
_NOT_OWED: Final = frozenset({ReportKind.PAYOUT, ReportKind.CARRIED})


@dataclass(frozen=True, slots=True)
class Processor:
    """A card processor, under the name that the owner gives it."""

    name: str
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the name to its rules."""
        object.__setattr__(self, "name", clean_text("processor", self.name))


@dataclass(frozen=True, slots=True)
class ReportRow:
    """One row as a report says it; `payout` is empty where it is not paid out yet."""

    payout: str
    payout_day: date | None
    day: date
    kind: ReportKind
    gross: Cents
    fee: Cents = 0
    transaction_id: str = ""
    arrives_on: date | None = None

    @property
    def net(self) -> Cents:
        """What the row adds to what the processor owes."""
        return self.gross - self.fee

    @property
    def content(self) -> tuple[object, ...]:
        """What tells a row apart, on whatever payout it is."""
        return self.transaction_id, self.day, self.kind, self.gross, self.fee


@dataclass(frozen=True, slots=True)
class ProcessorReport:
    """That a report was taken in."""

    processor_number: int
    day: date
    file_name: str
    sha256: str
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the file's name to its rules."""
        object.__setattr__(self, "file_name", clean_text("file name", self.file_name, required=False))


@dataclass(frozen=True, slots=True)
class ProcessorLine:
    """A row of a report as it is kept: a fact, which is never changed."""

    processor_number: int
    report_number: int
    payout: str
    payout_day: date | None
    arrives_on: date | None
    transaction_id: str
    day: date
    kind: ReportKind
    gross: Cents
    fee: Cents
    net: Cents
    key: str
    """What tells the row apart among its processor's."""
    replaces: int | None = None
    """The row in whose place it stands, which was not paid out yet."""
    number: int | None = None

    @property
    def row(self) -> ReportRow:
        """The row as the report said it."""
        return ReportRow(
            self.payout,
            self.payout_day,
            self.day,
            self.kind,
            self.gross,
            self.fee,
            self.transaction_id,
            self.arrives_on,
        )


@dataclass(frozen=True, slots=True)
class Payout:
    """One payout with all its rows."""

    processor_number: int
    name: str
    day: date
    rows: tuple[ReportRow, ...]

    @property
    def amount(self) -> Cents:
        """What went to the bank; below zero what was taken from it."""
        return sum(row.net for row in self.rows if row.kind is not ReportKind.PAYOUT)

    @property
    def arrives_on(self) -> date | None:
        """The day on which it should be at the bank, if the report says it."""
        return next((row.arrives_on for row in self.rows if row.arrives_on), None)

    def of(self, *kinds: ReportKind) -> Cents:
        """Give the gross of rows of some kinds."""
        return sum(row.gross for row in self.rows if row.kind in kinds)

    @property
    def fees(self) -> Cents:
        """What the processor kept for itself, those of disputes with it."""
        own = sum(-row.net for row in self.rows if row.kind is ReportKind.FEE)
        return own + sum(row.fee for row in self.rows if row.kind in OF_PAYMENTS)


@dataclass(frozen=True, slots=True)
class ProcessorOwes:
    """What the processor owes at the end of a day by its own reports, and what it holds back beside that."""

    owed: Cents
    reserve: Cents


def payouts_of(lines: Iterable[ProcessorLine]) -> tuple[Payout, ...]:
    """Give the payouts that rows tell of, by day."""
    found: dict[tuple[int, str], list[ProcessorLine]] = {}
    for line in lines:
        if line.payout:
            found.setdefault((line.processor_number, line.payout), []).append(line)
    made = [
        Payout(number, name, each[0].payout_day or each[0].day, tuple(line.row for line in each))
        for (number, name), each in found.items()
    ]
    return tuple(sorted(made, key=lambda each: (each.day, each.name)))


def standing(lines: Sequence[ProcessorLine]) -> tuple[ProcessorLine, ...]:
    """Give the rows that count: not those in whose place others stand."""
    overtaken = {line.replaces for line in lines}
    return tuple(line for line in lines if line.number not in overtaken)


def owed_by_reports(day: date, lines: Sequence[ProcessorLine]) -> ProcessorOwes:
    """Add up the rows that were not paid out at the end of a day, whatever their reports said later."""
    rows = [line for line in standing(lines) if line.day <= day and line.kind not in _NOT_OWED]
    paid = sum(each.amount for each in payouts_of(standing(lines)) if each.day <= day)
    reserve = -sum(line.net for line in rows if line.kind is ReportKind.RESERVE)
    return ProcessorOwes(sum(line.net for line in rows) - paid, reserve)
