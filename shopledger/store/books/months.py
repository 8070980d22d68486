"""A month's figures, added up by the database and handed on row by row."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind, Till
from shopledger.ledger.books.month import Month, MonthPosted, MonthTotals
from shopledger.ledger.books.month_goods import GoodsCostRow, MovementRow, StockRow
from shopledger.ledger.books.month_journal import AccountSums, JournalRow, TrialRow, trial_balance
from shopledger.ledger.books.month_rows import (
    DepositEvent,
    DepositRow,
    MoneyBackCause,
    MoneyBackRow,
    PaymentRow,
    RefundRow,
    SaleEvent,
    SalesRow,
    TaxRow,
)
from shopledger.ledger.books.month_spending import BillEvent, BillEventRow, ExpenseRow, ExpenseSource, MoneyMoveRow
from shopledger.ledger.books.month_views import MonthFigures, MonthMoney
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.stock import StockedKind
from shopledger.store.books import month_goods_questions as goods
from shopledger.store.books import month_journal_questions as books
from shopledger.store.books import month_questions as questions
from shopledger.store.books import month_spending_questions as spending
from shopledger.store.catalogue import FRAME
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_ACCOUNTS: Final = {account.title: account for account in Account}
_NUMBERED: Final = re.compile(r"(?:shipment|cancellation) of order ([0-9]+)")


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

    def figures(self, month: Month) -> MonthFigures:
        """Give all of the ledger's own figures for a month."""
        return MonthFigures(self.totals(month), self.posted(month), self.money(month))

    def posted(self, month: Month) -> MonthPosted:
        """Give what the journal says of the month: the change of each account."""
        rows = self.transaction.asked(books.POSTED, **_days(month))
        return MonthPosted({_ACCOUNTS[row.account]: int(row.amount) for row in rows})

    def money(self, month: Month) -> MonthMoney:
        """Give what came in and was paid in the month, by what it was for."""
        found: dict[str, list[int]] = {
            row.what: [int(each or 0) for each in _columns(row, 1)] for row in self._asked(spending.MONEY, month)
        }
        received, back, moves = found["received"], found["given_back"], found["moves"]
        return MonthMoney(
            received=received[0],
            from_deposits=received[1],
            received_tax=received[2],
            received_sellers_tax=received[3],
            given_back=back[0],
            to_deposits=back[1],
            given_back_tax=back[2],
            given_back_sellers_tax=back[3],
            deposits_taken=found["deposits"][0],
            deposits_given_back=found["deposits"][1],
            expenses=found["expenses"][0],
            equipment=found["expenses"][1],
            bills_paid=found["bills_paid"][0],
            fees=moves[0],
            other_income=moves[1],
            tax_paid=moves[2],
            tax_kept=moves[3],
            opening_money=found["owner"][0],
            drawn=found["owner"][1],
        )

    def sales(self, month: Month) -> Iterator[SalesRow]:
        """Give the lines sold, and those taken back by a cancellation, by day and order."""
        for row in self._streamed(questions.SALES, month):
            rest = (*_columns(row, 1, 13), SaleEvent(row.event))
            yield SalesRow(read_day(row[0]), *rest)

    def refunds(self, month: Month) -> Iterator[RefundRow]:
        """Give what each line gave back, by day."""
        for row in self._streamed(questions.REFUNDS, month):
            yield RefundRow(read_day(row[0]), *_columns(row, 1))

    def payments(self, month: Month) -> Iterator[PaymentRow]:
        """Give the payments on orders, by day, each with the sales tax in it."""
        for row in self._streamed(questions.PAYMENTS, month):
            yield PaymentRow(read_day(row[0]), *_columns(row, 1))

    def money_back(self, month: Month) -> Iterator[MoneyBackRow]:
        """Give the money that went back to customers, by day: refunds, and the payments of cancelled orders."""
        for row in self._streamed(questions.MONEY_BACK, month):
            yield MoneyBackRow(
                day=read_day(row.day),
                order_number=row.order_number,
                customer=row.customer,
                cause=MoneyBackCause(row.cause),
                method=row.method,
                reference=row.reference,
                amount=int(row.amount),
                to_deposit=int(row.to_deposit),
                tax=int(row.tax),
                sellers_tax=int(row.sellers_tax),
            )

    def tax(self, month: Month) -> Iterator[TaxRow]:
        """Give what each state's categories came to at each rate, on whom it is laid, and why it was not charged."""
        return map(tax_row, self._asked(questions.TAX, month))

    def deposits(self, month: Month) -> Iterator[DepositRow]:
        """Give what was left of customers' deposits, and what became of them in the month."""
        for row in self._streamed(spending.DEPOSITS, month):
            amounts = map(int, (row.left_before, row.taken, row.given_back, row.used))
            yield DepositRow(
                read_day(row.day),
                row.deposit_number,
                row.customer,
                DepositEvent(row.event),
                row.order_number,
                row.method,
                row.reference,
                *amounts,
            )

    def movements(self, month: Month) -> Iterator[MovementRow]:
        """Give each movement of stock, by day."""
        for row in self._streamed(goods.MOVEMENTS, month):
            yield MovementRow(read_day(row[0]), *_columns(row, 1))

    def stock(self, month: Month) -> Iterator[StockRow]:
        """Give each stocked item's counts over the month, and what they cost."""
        for row in self._streamed(goods.STOCK, month):
            yield StockRow(row.item_code, _description(row), *map(int, _columns(row, -8)))

    def goods_cost(self, month: Month) -> Iterator[GoodsCostRow]:
        """Give what went into the cost of goods, by day: goods out of each lot and back, lenses, scrap, differences."""
        for row in self._streamed(goods.GOODS_COST, month):
            if not row.cost and row.lot is None:
                # A shipment's posting of which nothing is left once its jobs are told one by one.
                continue
            numbered = _NUMBERED.fullmatch(row.event)
            yield GoodsCostRow(
                day=read_day(row.day),
                account=row.account,
                event=row.event,
                order_number=int(numbered[1]) if numbered else row.order_number,
                job_number=row.job_number,
                item_code=row.item_code,
                lot=row.lot,
                lot_day=read_day(row.lot_day),
                quantity=row.quantity,
                cost=int(row.cost),
            )

    def expenses(self, month: Month) -> Iterator[ExpenseRow]:
        """Give the expenses, by day; one that was taken back stands below nought on that day."""
        for row in self._streamed(spending.EXPENSES, month):
            yield ExpenseRow(
                day=read_day(row.day),
                document=row.document,
                source=ExpenseSource(row.source),
                payee=row.payee,
                description=row.description,
                account=_ACCOUNTS[row.account],
                method=row.method,
                reference=row.reference,
                file_sha256=row.file_sha256,
                amount=int(row.amount),
            )

    def bills(self, month: Month) -> Iterator[BillEventRow]:
        """Give what was owed on bills before the month, and what was billed, paid and credited in it."""
        for row in self._streamed(spending.BILLS, month):
            amounts = map(int, (row.owed_before, row.billed, row.paid, row.credited))
            yield BillEventRow(
                read_day(row.day),
                row.bill_number,
                row.supplier,
                row.invoice,
                read_day(row.due_on),
                BillEvent(row.event),
                row.billed_for,
                row.about,
                row.method,
                *amounts,
            )

    def money_moves(self, month: Month) -> Iterator[MoneyMoveRow]:
        """Give the money that moved without a sale or a bill, by day."""
        for row in self._streamed(spending.MONEY_MOVES, month):
            yield MoneyMoveRow(read_day(row.on_day), row.number, MoveKind(row.kind), Till(row.till), *_columns(row, 4))

    def journal(self, month: Month) -> Iterator[JournalRow]:
        """Give each posting of the month, by day and entry."""
        for row in self._streamed(books.JOURNAL, month):
            yield JournalRow(row.entry_number, read_day(row.day), *_columns(row, 2))

    def trial(self, month: Month) -> Iterator[TrialRow]:
        """Give the trial balance over the month."""
        year = day_text(date(month.year, 1, 1))
        rows = self.transaction.asked(books.TRIAL, year=year, **_days(month))
        return trial_balance(AccountSums(_ACCOUNTS[row.account], *map(int, _columns(row, 1))) for row in rows)

    def _asked(self, sql: str, month: Month) -> Sequence[Row[Any]]:
        return self.transaction.asked(sql, **_days(month))

    def _streamed(self, sql: str, month: Month) -> Iterator[Row[Any]]:
        return self.transaction.stream(sql, **_days(month))


def tax_row(row: Row[Any]) -> TaxRow:
    """Give what one state's category came to at one rate, over a month or any other days."""
    return TaxRow(
        state=row.state,
        category=row.tax_category,
        rate_millionths=row.tax_rate,
        sales=int(row.sales),
        tax=int(row.tax),
        refunds=int(row.refunds),
        refunds_tax=int(row.refunds_tax),
        cancellations=int(row.cancellations),
        cancellations_tax=int(row.cancellations_tax),
        imposed_on=row.imposed_on,
        exempt_reason=row.reason,
    )


def _days(month: Month) -> dict[str, object]:
    return {"first": day_text(month.first), "last": day_text(month.last)}


def _columns(row: Row[Any], first: int, end: int | None = None) -> tuple[Any, ...]:
    """Give some columns as they stand; the questions list them as the rows of the month do."""
    return tuple(row)[first:end]


def _description(row: Row[Any]) -> str:
    if StockedKind(row.kind) is StockedKind.ACCESSORY:
        return row.name or ""
    frame: Frame | None = FRAME.named(row) if row.code is not None else None
    return frame.description if frame else ""
