"""A month's figures, added up by the database and handed on row by row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.catalogue import Frame
from shopledger.ledger.journal import Account
from shopledger.ledger.month import (
    MoneyBackCause,
    MoneyBackRow,
    Month,
    MonthPosted,
    MonthTotals,
    PaymentRow,
    RefundRow,
    SaleEvent,
    SalesRow,
    StockRow,
    TaxRow,
)
from shopledger.ledger.stock import StockedKind
from shopledger.store import month_questions as questions
from shopledger.store.catalogue_rows import frame_of
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_ACCOUNTS: Final = {account.title: account for account in Account}


@dataclass(frozen=True, slots=True)
class Months:
    """The months of the ledger."""

    transaction: Transaction

    def totals(self, month: Month) -> MonthTotals:
        """Give what the month's orders and payments come to, and what was taken back in it."""
        sums = {row.what: row for row in self.transaction.asked(questions.TOTALS, **_days(month))}
        sold, cancelled, refunded = sums["sold"], sums["cancelled"], sums["refunded"]
        return MonthTotals(
            orders=int(sold.many),
            list_total=int(sold.list_price or 0),
            reduction_total=int(sold.reduction or 0),
            net_total=int(sold.net or 0),
            tax_total=int(sold.tax or 0),
            payments_total=int(sums["paid"].net or 0),
            cancellations=int(cancelled.many),
            cancelled_list=int(cancelled.list_price or 0),
            cancelled_reduction=int(cancelled.reduction or 0),
            cancelled_net=int(cancelled.net or 0),
            cancelled_tax=int(cancelled.tax or 0),
            repaid=int(sums["repaid"].net or 0),
            refunds=int(refunded.many),
            refunded_net=int(refunded.net or 0),
            refunded_tax=int(refunded.tax or 0),
        )

    def posted(self, month: Month) -> MonthPosted:
        """Give what the journal says of the month: the change of each account."""
        rows = self.transaction.asked(questions.POSTED, **_days(month))
        return MonthPosted({_ACCOUNTS[row.account]: int(row.amount) for row in rows})

    def sales(self, month: Month) -> Iterator[SalesRow]:
        """Give the lines sold, and those taken back by a cancellation, by day and order."""
        for row in self.transaction.stream(questions.SALES, **_days(month)):
            rest = (*_columns(row, 1, 14), SaleEvent(row.event))
            yield SalesRow(read_day(row[0]), *rest)

    def refunds(self, month: Month) -> Iterator[RefundRow]:
        """Give what each line gave back, by day."""
        for row in self.transaction.stream(questions.REFUNDS, **_days(month)):
            yield RefundRow(read_day(row[0]), *_columns(row, 1))

    def payments(self, month: Month) -> Iterator[PaymentRow]:
        """Give the payments received, by day."""
        for row in self.transaction.stream(questions.PAYMENTS, **_days(month)):
            yield PaymentRow(read_day(row[0]), *_columns(row, 1))

    def money_back(self, month: Month) -> Iterator[MoneyBackRow]:
        """Give the money that went back to customers, by day: refunds, and the payments of cancelled orders."""
        for row in self.transaction.stream(questions.MONEY_BACK, **_days(month)):
            yield MoneyBackRow(
                day=read_day(row.day),
                order_number=row.order_number,
                customer=row.customer,
                cause=MoneyBackCause(row.cause),
                method=row.method,
                reference=row.reference,
                amount=int(row.amount),
            )

    def tax(self, month: Month) -> Iterator[TaxRow]:
        """Give what each state's categories came to at each rate."""
        for row in self.transaction.stream(questions.TAX, **_days(month)):
            yield TaxRow(row.state, row.tax_category, *map(int, _columns(row, 2)))

    def stock(self, month: Month) -> Iterator[StockRow]:
        """Give each stocked item's counts over the month, and what is left cost at the month's end."""
        for row in self.transaction.stream(questions.STOCK, **_days(month)):
            yield StockRow(
                item_code=row.item_code,
                description=_description(row),
                opening=int(row.opening),
                received=int(row.received),
                sold=int(row.sold),
                adjusted=int(row.adjusted),
                closing=int(row.closing),
                value=int(row.value),
            )


def _days(month: Month) -> dict[str, object]:
    return {"first": day_text(month.first), "last": day_text(month.last)}


def _columns(row: Row[Any], first: int, end: int | None = None) -> tuple[Any, ...]:
    """Give some columns as they stand; the questions list them as the rows of the month do."""
    return tuple(row)[first:end]


def _description(row: Row[Any]) -> str:
    if StockedKind(row.kind) is StockedKind.ACCESSORY:
        return row.name or ""
    frame: Frame | None = frame_of(row) if row.code is not None else None
    return frame.description if frame else ""
