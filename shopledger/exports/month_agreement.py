"""Whether the rows that went into a month's workbook add up to the ledger's own figures and to the journal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.month_views import MonthFigures

Sums: TypeAlias = dict[str, dict[str, int]]
"""What each sheet's columns came to, by title and heading, counted while the rows passed by."""


@dataclass(frozen=True, slots=True)
class FigureDiffers:
    """A figure of the month that the rows do not add up to; counts as they are, money in cents."""

    figure: str
    from_rows: int
    in_ledger: int


def differences(figures: MonthFigures, sums: Sums) -> tuple[FigureDiffers, ...]:
    """Give each figure that the rows do not add up to."""
    pairs = (*_against_ledger(figures, sums), *_against_journal(figures, sums), *_books(sums))
    return tuple(FigureDiffers(*pair) for pair in pairs if pair[1] != pair[2])


def _against_ledger(figures: MonthFigures, sums: Sums) -> Iterator[tuple[str, int, int]]:
    totals, money = figures.totals, figures.money
    lines, refunds, back = sums["Sales lines"], sums["Refunds"], sums["Money back"]
    yield "Orders less cancellations", lines["Orders"], totals.orders - totals.cancellations
    yield "List prices", lines["List price"], totals.list_total - totals.cancelled_list
    yield "Reductions by offers", lines["Reduction"], totals.reduction_total - totals.cancelled_reduction
    yield "Net sales less cancellations", lines["Net"], totals.net_total - totals.cancelled_net
    yield "Sales tax less cancellations", lines["Tax"], totals.tax_total - totals.cancelled_tax
    yield "Refunded net", refunds["Net"], totals.refunded_net
    yield "Refunded tax", refunds["Tax"], totals.refunded_tax
    yield "Payments received", sums["Payments"]["Amount"], totals.payments_total
    yield "Money given back", back["Amount"] + back["To deposit"], totals.money_back
    yield "Net sales, from Tax by state", sums["Tax by state"]["Net sales"], totals.net_kept
    yield "Sales tax, from Tax by state", sums["Tax by state"]["Tax"], totals.tax_kept
    yield "Sales tax in payments", sums["Payments"]["Tax in it"] - back["Tax in it"], money.tax - money.sellers_tax
    yield "Bills paid", sums["Bills"]["Paid"], money.bills_paid


def _against_journal(figures: MonthFigures, sums: Sums) -> Iterator[tuple[str, int, int]]:
    posted, lines, refunds = figures.posted, sums["Sales lines"], sums["Refunds"]
    yield "Net sales, as posted", lines["Net"] - refunds["Net"], posted.net_sales
    yield "Sales tax, as posted", lines["Tax"] - refunds["Tax"], posted.tax_owed + figures.money.tax_paid
    yield "Cost of goods, as posted", sums["Cost of goods"]["Cost"], posted.of_kind(AccountKind.COST)
    spent = posted.of_kind(AccountKind.EXPENSE) + posted.change(Account.EQUIPMENT)
    yield "Expenses, as posted", sums["Expenses"]["Amount"], spent
    bills, deposits = sums["Bills"], sums["Deposits"]
    yield "Bills, as posted", bills["Owed"] - bills["Before"], -posted.change(Account.PAYABLE)
    yield "Deposits, as posted", deposits["Left"] - deposits["Before"], -posted.change(Account.CUSTOMER_DEPOSITS)
    # Whatever money came or went without its posting, or was posted without a row, lies between the two results.
    way = figures.accrual_result + sum(figures.between.values())
    yield "Money, as posted", figures.cash_result, way


def _books(sums: Sums) -> Iterator[tuple[str, int, int]]:
    journal, trial = sums["Journal"], sums["Trial balance"]
    yield "Debits and credits", journal["Debit"], journal["Credit"]
    yield "Debits of the trial balance", trial["Debits"], journal["Debit"]
    yield "Trial balance at the beginning", trial["Opening"], 0
    yield "Trial balance at the end", trial["Closing"], 0
