"""A year's figures, added up by the database, and the rows of its lists."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.month_rows import TaxRow
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.year import (
    CustomerRow,
    LotRow,
    MoneyEvent,
    MoneyRow,
    PayeeRow,
    Year,
    YearBills,
    YearFigures,
)
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.settings import InventoryView
from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.money.amount import Cents
from shopledger.store.books import year_questions as questions
from shopledger.store.books.month_questions import TAX
from shopledger.store.books.months import tax_row
from shopledger.store.catalogue import FRAME
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

HANDED_OVER: Final = "handed a year over"
"""The deed under which a year's export is noted: with the year, and how its goods are shown."""

_ACCOUNTS: Final = {account.title: account for account in Account}


@dataclass(frozen=True, slots=True)
class Years:
    """The years of the ledger."""

    transaction: Transaction

    def figures(self, year: Year) -> YearFigures:
        """Give all that a year's worksheet is worked out from."""
        two = {"first": day_text(year.before.first), "last": day_text(year.last)}
        changes: defaultdict[Month, dict[Account, Cents]] = defaultdict(dict)
        for row in self.transaction.asked(questions.CHANGES, **two):
            changes[Month.read(row.month)][_ACCOUNTS[row.account]] = int(row.amount)
        opening = self.transaction.asked(questions.OPENING, first=two["first"])
        charged = self.transaction.asked(questions.TAX_CHARGED, **_days(year))
        return YearFigures(
            year=year,
            changes=dict(changes),
            opening={_ACCOUNTS[row.account]: int(row.amount) for row in opening},
            goods=self._goods(year),
            money=tuple(map(_money, self.transaction.asked(questions.MONEY, **_days(year)))),
            bills=YearBills(self._by_category(questions.BILLED, year), self._by_category(questions.PAID, year)),
            tax_charged={Month.read(row.month): int(row.tax) for row in charged},
        )

    def open_months(self, year: Year) -> tuple[Month, ...]:
        """Give the months of the year that have entries and are not closed."""
        return tuple(Month.read(row.month) for row in self.transaction.asked(questions.OPEN_MONTHS, **_days(year)))

    def lots(self, year: Year) -> Iterator[LotRow]:
        """Give what was left of each lot on the year's last day."""
        for row in self.transaction.stream(questions.LOTS, last=day_text(year.last)):
            yield LotRow(
                lot=int(row.lot_number),
                received=read_day(row.lot_day),
                item_code=row.item_code,
                description=_description(row),
                quantity=int(row.on_hand),
                cost=int(row.whole_cost),
            )

    def states(self, year: Year) -> Iterator[TaxRow]:
        """Give what each state's categories came to, by rate and by reason: the month's question, over a year."""
        return map(tax_row, self.transaction.stream(TAX, **_days(year)))

    def customers(self, year: Year) -> Iterator[CustomerRow]:
        """Give what each customer bought, the best first."""
        for row in self.transaction.stream(questions.CUSTOMERS, **_days(year)):
            yield CustomerRow(
                number=int(row.number),
                name=row.name,
                state=row.state,
                orders=int(row.orders),
                sales=int(row.sales),
                refunds=int(row.refunds),
                cancellations=int(row.cancellations),
            )

    def payees(self, year: Year) -> tuple[PayeeRow, ...]:
        """Give what was spent on each payee under each heading."""
        rows = self.transaction.asked(questions.PAYEES, **_days(year))
        return tuple(
            PayeeRow(row.category, row.payee, int(row.many), int(row.amount), int(row.not_card)) for row in rows
        )

    def view_handed_over(self, year: Year) -> InventoryView | None:
        """Give how the goods of a year were shown when it was last handed over, or None where it never was."""
        rows = self.transaction.asked(questions.VIEWS, deed=HANDED_OVER, year=str(year))
        return InventoryView(rows[0].subject.partition(": ")[2]) if rows else None

    def _goods(self, year: Year) -> dict[StockReason, Cents]:
        rows = self.transaction.asked(questions.GOODS, **_days(year))
        return {StockReason(row.reason): int(row.cost) for row in rows}

    def _by_category(self, question: str, year: Year) -> Mapping[Account, Cents]:
        rows = self.transaction.asked(question, **_days(year))
        return {ExpenseCategory(row.category).account: int(row.amount or 0) for row in rows}


def handed_over(year: Year, view: InventoryView) -> tuple[str, str]:
    """Give the deed and the subject under which handing a year over is noted."""
    return HANDED_OVER, f"{year}: {view.value}"


def _days(year: Year) -> dict[str, object]:
    return {"first": day_text(year.first), "last": day_text(year.last)}


def _money(row: Row[Any]) -> MoneyRow:
    return MoneyRow(
        month=Month.read(row.month),
        event=MoneyEvent(row.event),
        method=row.method,
        count=int(row.many),
        amount=int(row.amount),
        fee=int(row.fee),
        tax=int(row.tax),
        shipping=int(row.shipping),
    )


def _description(row: Row[Any]) -> str:
    if StockedKind(row.lot_kind) is StockedKind.ACCESSORY:
        return row.goods or ""
    frame: Frame | None = FRAME.named(row) if row.code is not None else None
    return frame.description if frame else ""
