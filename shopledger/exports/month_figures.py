"""The month's figures as formulas over the sheets, each beside the ledger's own figure or a formula for it."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.exports.columns import Kind
from shopledger.exports.formulas import event, kept, summed, where
from shopledger.exports.month_goods_sheets import STOCK
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS, TAX
from shopledger.ledger.books.month import MonthTotals
from shopledger.ledger.books.month_book import MonthBook
from shopledger.ledger.books.month_rows import MoneyBackCause, SaleEvent
from shopledger.ledger.books.month_views import MonthMoney
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: what it is, the formula over the sheets, and the ledger's own figure or a formula for it."""

    label: str
    formula: str
    ledger: int | str
    kind: Kind = Kind.MONEY


@dataclass(frozen=True, slots=True)
class Section:
    """Figures under a heading of their own."""

    heading: str
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a breakdown: a word that the sheets are searched for, and what it adds up to in each column."""

    word: str
    formulas: tuple[str, ...]


def sections(book: MonthBook) -> tuple[Section, ...]:
    """Give the figures of the month that its summary shows, by heading."""
    totals = book.figures.totals
    return (
        Section("Sold in the month", _sold(totals)),
        Section("Cancelled and refunded in the month", _taken_back(totals)),
        Section("Money of customers", _money(totals, book.figures.money)),
    )


def across(totals: MonthTotals) -> tuple[Figure, ...]:
    """Give what two sheets must agree on."""
    refunded = where(MONEY_BACK, "Amount", Cause=MoneyBackCause.REFUND)
    came = "+".join(summed(STOCK, each) for each in ("Opening", "In", "Adjusted"))
    return (
        Figure("Net sales less what was taken back, from Tax by state", summed(TAX, "Net sales"), totals.net_kept),
        Figure("Sales tax less what was taken back, from Tax by state", summed(TAX, "Tax"), totals.tax_kept),
        Figure("Exempt and taxable sales are all sales", f"{summed(TAX, 'Exempt')}+{summed(TAX, 'Taxable base')}",
               kept("Net")),
        Figure("Refunds, from Money back", refunded, f"{summed(REFUNDS, 'Net')}+{summed(REFUNDS, 'Tax')}"),
        Figure("Items on hand: opening, in and adjusted, less out", f"{came}-{summed(STOCK, 'Out')}",
               summed(STOCK, "Closing"), Kind.COUNT),
    )  # fmt: skip


def by_kind() -> tuple[Part, ...]:
    """Give what was sold, cancelled and refunded of each kind."""
    return tuple(
        Part(
            kind.value,
            (
                event(SaleEvent.SOLD, "Net", kind),
                f"-{event(SaleEvent.CANCELLED, 'Net', kind)}",
                where(REFUNDS, "Net", Kind=kind),
            ),
        )
        for kind in LineKind
    )


def by_method() -> tuple[Part, ...]:
    """Give what came in and went back by each method."""
    return tuple(
        Part(
            each.value,
            (
                f"{where(PAYMENTS, 'Amount', Method=each)}-{where(PAYMENTS, 'From deposit', Method=each)}",
                where(MONEY_BACK, "Amount", Method=each),
            ),
        )
        for each in Method
    )


def _sold(totals: MonthTotals) -> tuple[Figure, ...]:
    sold = SaleEvent.SOLD
    owed = totals.net_total + totals.tax_total
    return (
        Figure("Orders", event(sold, "Orders"), totals.orders, Kind.COUNT),
        Figure("List prices", event(sold, "List price"), totals.list_total),
        Figure("Reductions by offers", event(sold, "Reduction"), totals.reduction_total),
        Figure("Net sales", event(sold, "Net"), totals.net_total),
        Figure("Sales tax charged", event(sold, "Tax"), totals.tax_total),
        Figure("Net sales and sales tax", f"{event(sold, 'Net')}+{event(sold, 'Tax')}", owed),
    )


def _taken_back(totals: MonthTotals) -> tuple[Figure, ...]:
    cancelled = SaleEvent.CANCELLED
    return (
        Figure("Orders cancelled", f"-{event(cancelled, 'Orders')}", totals.cancellations, Kind.COUNT),
        Figure("Net sales cancelled", f"-{event(cancelled, 'Net')}", totals.cancelled_net),
        Figure("Sales tax cancelled", f"-{event(cancelled, 'Tax')}", totals.cancelled_tax),
        Figure("Net sales refunded", summed(REFUNDS, "Net"), totals.refunded_net),
        Figure("Sales tax refunded", summed(REFUNDS, "Tax"), totals.refunded_tax),
        Figure("Net sales less cancellations and refunds", kept("Net"), totals.net_kept),
        Figure("Sales tax less cancellations and refunds", kept("Tax"), totals.tax_kept),
    )


def _money(totals: MonthTotals, money: MonthMoney) -> tuple[Figure, ...]:
    paid, used = summed(PAYMENTS, "Amount"), summed(PAYMENTS, "From deposit")
    back = summed(MONEY_BACK, "Amount")
    return (
        Figure("Orders paid", paid, totals.payments_total),
        Figure("Of it from deposits", used, money.from_deposits),
        Figure("Money given back", back, money.given_back),
        Figure("Money received less money given back", f"{paid}-{used}-{back}", money.received - money.given_back),
    )
