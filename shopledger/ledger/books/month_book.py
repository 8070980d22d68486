"""A whole month as it is handed over: its figures, and the rows of every sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from shopledger.ledger.books.month import Month
from shopledger.ledger.books.month_goods import GoodsCostRow, MovementRow, StockRow
from shopledger.ledger.books.month_journal import JournalRow, TrialRow
from shopledger.ledger.books.month_rows import DepositRow, MoneyBackRow, PaymentRow, RefundRow, SalesRow, TaxRow
from shopledger.ledger.books.month_spending import BillEventRow, ExpenseRow, MoneyMoveRow
from shopledger.ledger.books.month_views import MonthFigures
from shopledger.ledger.settings import Accounting


@dataclass(frozen=True, slots=True)
class MonthBook:
    """Everything the month's workbook says; the row iterators may be read once."""

    month: Month
    shop_name: str
    made_on: date
    ledger_head: str
    state: str
    """Whether the month is open or closed, in a sentence."""
    accounting: Accounting
    """Which view stands first."""
    figures: MonthFigures
    sales: Iterator[SalesRow]
    payments: Iterator[PaymentRow]
    refunds: Iterator[RefundRow]
    money_back: Iterator[MoneyBackRow]
    tax: Iterator[TaxRow]
    deposits: Iterator[DepositRow]
    movements: Iterator[MovementRow]
    stock: Iterator[StockRow]
    goods_cost: Iterator[GoodsCostRow]
    expenses: Iterator[ExpenseRow]
    bills: Iterator[BillEventRow]
    money_moves: Iterator[MoneyMoveRow]
    journal: Iterator[JournalRow]
    trial: Iterator[TrialRow]
