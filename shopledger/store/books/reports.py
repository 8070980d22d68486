"""The figures and rows of any period, added up by the database and handed on row by row; and what only a year has."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from enum import Enum
from types import NoneType
from typing import Any, Final, TypeVar, cast, get_args, get_type_hints

from sqlalchemy.exc import DBAPIError

from shopledger.ledger.audit import Deed
from shopledger.ledger.books.customer_rows import (
    CardDayRow,
    CustomerRow,
    DepositRow,
    MoneyBackRow,
    PaymentRow,
    RefundRow,
    SalesRow,
    TaxRow,
)
from shopledger.ledger.books.figures import PeriodFigures, PeriodMoney, PeriodPosted, PeriodTotals
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.open_rows import OpenRow
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.posted_rows import (
    AccountSums,
    GoodsCostRow,
    JournalRow,
    LotRow,
    MovementRow,
    StockRow,
    TrialRow,
    trial_balance,
)
from shopledger.ledger.books.reports import MoneyRow, YearBills, YearFigures
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.spending_rows import BillEventRow, ExpenseRow, MoneyMoveRow, PayeeRow
from shopledger.ledger.nexus import NexusRow
from shopledger.ledger.settings import Advances, InventoryView
from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.money.amount import Cents
from shopledger.store.books import (
    open_queries,
    payment_queries,
    posted_queries,
    sales_queries,
    spending_queries,
    year_queries,
)
from shopledger.store.catalogue import CatalogueShelf
from shopledger.store.names import Names
from shopledger.store.scales import day_text
from shopledger.store.transaction import Area

R = TypeVar("R")

HANDED_OVER: Final = "handed a year over"
"""The deed under which a year's export is noted: with the year, and how its goods are shown."""

QUERIES: Final[Mapping[type[Any], str]] = {
    SalesRow: sales_queries.SALES,
    PaymentRow: payment_queries.PAYMENTS,
    RefundRow: sales_queries.REFUNDS,
    MoneyBackRow: payment_queries.MONEY_BACK,
    TaxRow: sales_queries.TAX,
    DepositRow: payment_queries.DEPOSITS,
    CardDayRow: payment_queries.CARD_DAYS,
    CustomerRow: year_queries.CUSTOMERS,
    MovementRow: posted_queries.MOVEMENTS,
    StockRow: posted_queries.STOCK,
    GoodsCostRow: posted_queries.GOODS_COST,
    LotRow: posted_queries.LOTS,
    JournalRow: posted_queries.JOURNAL,
    AccountSums: posted_queries.TRIAL,
    ExpenseRow: spending_queries.EXPENSES,
    BillEventRow: spending_queries.BILLS,
    MoneyMoveRow: spending_queries.MONEY_MOVES,
    PayeeRow: spending_queries.PAYEES,
    OpenRow: open_queries.OPEN,
    NexusRow: year_queries.NEXUS,
    MoneyRow: year_queries.MONEY,
    PeriodTotals: sales_queries.TOTALS,
    PeriodMoney: spending_queries.MONEY,
}
"""The query of each record; its columns stand in the order of the record's fields."""

_ADDED_UP: Final = frozenset({TaxRow, CardDayRow, NexusRow, AccountSums, MoneyRow, PayeeRow, PeriodTotals, PeriodMoney})
"""The records of which there are few, however much happened."""
_ACCOUNTS: Final = {account.title: account for account in Account}


class Reports(Area):
    """What the ledger says of any period."""

    def rows(self, record: type[R], period: Period) -> Iterator[R]:
        """Give the rows of a record, as they come from the database."""
        if record is TrialRow:
            return cast("Iterator[R]", trial_balance(self.rows(AccountSums, period)))
        rows: Iterable[Sequence[Any]] = self._found(record, period)
        if record in {StockRow, LotRow}:
            rows = self._described(record, rows, period.last)
        return read_rows(record, rows)

    def figures(self, period: Period) -> PeriodFigures:
        """Give all of the ledger's own figures for a period."""
        return PeriodFigures(self.totals(period), self.posted(period), self._one(PeriodMoney, period))

    def totals(self, period: Period) -> PeriodTotals:
        """Give what the orders and payments come to, and what was taken back."""
        return self._one(PeriodTotals, period)

    def posted(self, period: Period) -> PeriodPosted:
        """Give what the journal says of the period: the change of each account."""
        return PeriodPosted(self._by_account(posted_queries.POSTED, period))

    def open_months(self, period: Period) -> tuple[Month, ...]:
        """Give the months that have entries in the period and are not closed."""
        return tuple(Month.read(month) for (month,) in self._sums(year_queries.OPEN_MONTHS, period))

    def paid_ahead(self, day: date) -> Cents:
        """Give what was paid ahead of goods up to a day, without its sales tax."""
        return int(self.transaction.asked(open_queries.ADVANCES, last=day_text(day))[0].amount)

    def year_figures(self, year: Period, advances: Advances = Advances.WITH_GOODS) -> YearFigures:
        """Give all that a year's worksheet is worked out from."""
        two = Period(year.year_before.first, year.last)
        changes: defaultdict[Month, dict[Account, Cents]] = defaultdict(dict)
        for month, account, amount in self._sums(posted_queries.POSTED_BY_MONTH, two):
            changes[Month.read(month)][_ACCOUNTS[account]] = amount
        return YearFigures(
            year=year,
            changes=dict(changes),
            opening=self._by_account(posted_queries.POSTED_BEFORE, two),
            goods={StockReason(reason): cost for reason, cost in self._sums(posted_queries.MOVED, year)},
            money=tuple(self.rows(MoneyRow, year)),
            bills=YearBills(*(self._by_category(each, year) for each in _BILLS)),
            timed=self._by_account(spending_queries.TIMED, year),
            tax_charged={Month.read(month): tax for month, tax in self._sums(year_queries.TAX_BY_MONTH, year)},
            advances=self._more_ahead(year) if advances is Advances.RECEIVED else 0,
            taken_over=int(self._sums(year_queries.TAKEN_OVER, year)[0][0]),
        )

    def _more_ahead(self, year: Period) -> Cents:
        return self.paid_ahead(year.last) - self.paid_ahead(year.year_before.last)

    def view_handed_over(self, year: Period) -> InventoryView | None:
        """Give how the goods of a year were shown when it was last handed over, or None where it never was."""
        rows = self.transaction.asked(year_queries.VIEWS, deed=Deed.HANDED_YEAR_OVER.value, year=str(year))
        return InventoryView(rows[0].detail.partition(": ")[2]) if rows else None

    def _one(self, record: type[R], period: Period) -> R:
        (one,) = read_rows(record, self._found(record, period))
        return one

    def _found(self, record: type[Any], period: Period) -> Iterable[Sequence[Any]]:
        """Give the rows of a record's query: all at once what the database added up, else one by one."""
        query = QUERIES[record]
        return self._sums(query, period) if record in _ADDED_UP else self.transaction.stream(query, **_days(period))

    def _sums(self, query: str, period: Period) -> Sequence[Sequence[Any]]:
        """Give the few rows of a query that the database adds up.

        SQLite's driver is asked itself: it works most of them out sooner than SQLAlchemy takes to hand them on.
        """
        connection = self.transaction.connection
        if connection.dialect.name != "sqlite":
            return self.transaction.asked(query, **_days(period))
        try:
            rows: list[tuple[Any, ...]] = connection.connection.cursor().execute(query, _days(period)).fetchall()
        except sqlite3.Error as error:
            raise DBAPIError.instance(query, None, error, sqlite3.Error, dialect=connection.dialect) from error
        return rows

    def _by_account(self, query: str, period: Period) -> dict[Account, Cents]:
        return {_ACCOUNTS[title]: amount for title, amount in self._sums(query, period)}

    def _by_category(self, query: str, period: Period) -> dict[Account, Cents]:
        return {ExpenseCategory(category).account: amount for category, amount in self._sums(query, period)}

    def _described(self, record: type[Any], rows: Iterable[Sequence[Any]], day: date) -> Iterator[tuple[Any, ...]]:
        """Put what goods were called on a day in the place of their kind, which stands after their code."""
        shelf = CatalogueShelf(self.transaction)
        frames = {(StockedKind.FRAME.value, each.code): each.description for each in shelf.frames()}
        names = {**frames, **{(StockedKind.ACCESSORY.value, each.code): each.name for each in shelf.accessories()}}
        names |= Names(self.transaction).goods_on(day)
        place = [field.name for field in fields(record)].index("description")
        for row in rows:
            *before, code, kind = row[: place + 1]
            yield (*before, code, names.get((kind, code), ""), *row[place + 1 :])


_BILLS: Final = (spending_queries.BILLED, spending_queries.PAID)


def handed_over(year: Period, view: InventoryView) -> str:
    """Give in which words handing a year over is noted, and how its goods were shown."""
    return f"{year}: {view.value}"


@dataclass(frozen=True, slots=True)
class _Shape:
    """How many columns a record takes, and what turns those that are days, months or words."""

    width: int
    turned: tuple[tuple[int, Callable[[Any], Any]], ...]

    @classmethod
    def of(cls, record: type[Any]) -> _Shape:
        """Look at a record's fields."""
        hints = get_type_hints(record)
        readers = [(place, _reader(hints[field.name])) for place, field in enumerate(fields(record))]
        return cls(len(readers), tuple((place, read) for place, read in readers if read is not None))


_SHAPES: Final[dict[type[Any], _Shape]] = {}
"""The records that were read so far."""


def read_rows(record: type[R], rows: Iterable[Sequence[Any]]) -> Iterator[R]:
    """Turn rows into records by the order of their fields; only what the database keeps otherwise is turned."""
    shape = _SHAPES.get(record) or _SHAPES.setdefault(record, _Shape.of(record))
    for row in rows:
        values = list(row[: shape.width])
        for place, read in shape.turned:
            if values[place] is not None:
                values[place] = read(values[place])
        yield record(*values)


def _reader(hint: object) -> Callable[[Any], Any] | None:
    """Give what makes a value of a field's type of what the database keeps; nothing where that is the same."""
    (kind,) = [each for each in get_args(hint) if each is not NoneType] or [hint]
    if kind is Account:
        return _ACCOUNTS.__getitem__
    if kind is Month:
        return Month.read
    if kind is date:
        return date.fromisoformat
    return kind if isinstance(kind, type) and issubclass(kind, Enum) else None


def _days(period: Period) -> dict[str, object]:
    return {
        "first": day_text(period.first),
        "last": day_text(period.last),
        "year": day_text(date(period.first.year, 1, 1)),
    }
