"""A report on a period as it is handed over: its head, its figures, and where its rows come from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Protocol, TypeVar

from shopledger.ledger.books.figures import PeriodFigures
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.books.year import YearFigures
from shopledger.ledger.settings import Accounting, InventoryView

R = TypeVar("R")


class Rows(Protocol):
    """Gives the rows of one record, each once and in the order of their days."""

    def __call__(self, record: type[R], /) -> Iterator[R]:
        """Begin with the first row."""


@dataclass(frozen=True, slots=True)
class ReportState:
    """Whether a period may be handed over: it is over, and every month of it with entries is closed."""

    open_months: tuple[Month, ...] = ()
    over: bool = True
    noun: str = "year"
    """What such a period is called."""

    @property
    def draft(self) -> bool:
        """Whether figures may still change."""
        return bool(self.open_months) or not self.over

    @property
    def sentence(self) -> str:
        """Say why it is a draft, or that it is none."""
        if not self.draft:
            return "Every month with entries is closed."
        why = [] if self.over else [f"the {self.noun} is not over"]
        if self.open_months:
            why.append(f"not closed: {', '.join(_spans(self.open_months))}")
        return f"DRAFT, figures may still change: {'; '.join(why)}."


def _spans(months: tuple[Month, ...]) -> Iterator[str]:
    """Say months in order, those that follow one another from the first to the last."""
    for _, run in groupby(enumerate(months), key=lambda placed: placed[1].year * 12 + placed[1].number - placed[0]):
        first, *rest = (month for _, month in run)
        yield f"{first} to {rest[-1]}" if rest else str(first)


@dataclass(frozen=True, slots=True)
class Report:
    """Whose books over which days, and on which state of them."""

    period: Period
    shop_name: str
    made_on: date
    ledger_head: str
    accounting: Accounting
    """Which view stands first."""
    rows: Rows


@dataclass(frozen=True, slots=True)
class PeriodReport(Report):
    """Any span of days with all that happened in it."""

    state: str
    """Whether the period is open or closed, in a sentence."""
    figures: PeriodFigures


@dataclass(frozen=True, slots=True)
class YearReport(Report):
    """A calendar year on the lines of its tax forms."""

    state: ReportState
    inventory_view: InventoryView
    view_before: InventoryView | None
    """How the year before was handed over; None where that is not known."""
    figures: YearFigures
    payees: tuple[PayeeRow, ...]
