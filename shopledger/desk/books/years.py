"""A year's own figures on the lines of Schedule C, and the whole year as it is handed over."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopledger.ledger.books.schedule_c import ScheduleC, schedule_c
from shopledger.ledger.books.year import Year, YearBook, YearFigures, YearState
from shopledger.ledger.settings import Accounting, InventoryView

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import Work


@dataclass(frozen=True, slots=True)
class YearShown:
    """A year's figures in both accounting views, the owner's choices, and whether they may still change."""

    figures: YearFigures
    state: YearState
    accounting: Accounting
    inventory_view: InventoryView

    @property
    def year(self) -> Year:
        """The year shown."""
        return self.figures.year

    def schedule(self, accounting: Accounting) -> ScheduleC:
        """Give the worksheet in one accounting view, with the goods as the owner chose."""
        return schedule_c(self.figures, accounting, self.inventory_view)


def year_figures(desk: Desk, year: Year) -> YearShown:
    """Give a year's figures."""
    with desk.reading() as work:
        settings = work.shop.settings()
        return YearShown(
            work.years.figures(year), year_state(work, desk, year), settings.accounting, settings.inventory_view
        )


def year_state(work: Work, desk: Desk, year: Year) -> YearState:
    """Tell whether a year is over and every month of it with entries is closed."""
    return YearState(work.years.open_months(year), over=desk.today > year.last)


@contextmanager
def year_book(desk: Desk, year: Year) -> Iterator[YearBook]:
    """Open a year as it is handed over; its rows stream from the ledger until the block ends."""
    with desk.reading() as work:
        settings, years = work.shop.settings(), work.years
        yield YearBook(
            year=year,
            shop_name=work.shop.profile().name,
            made_on=desk.today,
            ledger_head=str(work.journal.head()),
            state=year_state(work, desk, year),
            accounting=settings.accounting,
            inventory_view=settings.inventory_view,
            view_before=years.view_handed_over(year.before),
            figures=years.figures(year),
            lots=years.lots(year),
            states=years.states(year),
            customers=years.customers(year),
            payees=years.payees(year),
        )
