"""The month's figures as formulas over the sheets, each beside the ledger's own figure or the journal's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shopledger.exports.columns import Kind, Sheet
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS, STOCK, TAX, sales_sheet
from shopledger.ledger.journal import Account
from shopledger.ledger.month import MoneyBackCause, MonthBook, MonthPosted, MonthTotals, SaleEvent
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method
from shopledger.ledger.postings import MONEY_ACCOUNTS


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
    """Give all figures of the month, by heading."""
    return (
        Section("Sold in the month", _sold(book.totals)),
        Section("Cancelled and refunded in the month", _taken_back(book.totals)),
        Section("Money", _money(book.totals)),
        Section("The sheets against one another", _across(book.totals)),
        Section("Against the journal, as posted in the month", _posted(book.posted)),
    )


def by_kind() -> tuple[Part, ...]:
    """Give what was sold, cancelled and refunded of each kind."""
    return tuple(
        Part(
            kind.value,
            (
                _event(SaleEvent.SOLD, "Net", kind),
                f"-{_event(SaleEvent.CANCELLED, 'Net', kind)}",
                _matching(REFUNDS, "Kind", kind.value, "Net"),
            ),
        )
        for kind in LineKind
    )


def by_method() -> tuple[Part, ...]:
    """Give what came in and went back by each method."""
    return tuple(
        Part(each.value, tuple(_matching(sheet, "Method", each.value, "Amount") for sheet in (PAYMENTS, MONEY_BACK)))
        for each in Method
    )


def stock_value() -> str:
    """Give the formula for what the stock is worth."""
    return _sum(STOCK, "Value")


def _sold(totals: MonthTotals) -> tuple[Figure, ...]:
    owed = totals.net_total + totals.tax_total
    return (
        Figure("Orders", _event(SaleEvent.SOLD, "Orders"), totals.orders, Kind.COUNT),
        Figure("List prices", _event(SaleEvent.SOLD, "List price"), totals.list_total),
        Figure("Reductions by offers", _event(SaleEvent.SOLD, "Reduction"), totals.reduction_total),
        Figure("Net sales", _event(SaleEvent.SOLD, "Net"), totals.net_total),
        Figure("Sales tax charged", _event(SaleEvent.SOLD, "Tax"), totals.tax_total),
        Figure("Net sales and sales tax", f"{_event(SaleEvent.SOLD, 'Net')}+{_event(SaleEvent.SOLD, 'Tax')}", owed),
    )


def _taken_back(totals: MonthTotals) -> tuple[Figure, ...]:
    return (
        Figure("Orders cancelled", f"-{_event(SaleEvent.CANCELLED, 'Orders')}", totals.cancellations, Kind.COUNT),
        Figure("Net sales cancelled", f"-{_event(SaleEvent.CANCELLED, 'Net')}", totals.cancelled_net),
        Figure("Sales tax cancelled", f"-{_event(SaleEvent.CANCELLED, 'Tax')}", totals.cancelled_tax),
        Figure("Net sales refunded", _sum(REFUNDS, "Net"), totals.refunded_net),
        Figure("Sales tax refunded", _sum(REFUNDS, "Tax"), totals.refunded_tax),
        Figure("Net sales less cancellations and refunds", _kept("Net"), totals.net_kept),
        Figure("Sales tax less cancellations and refunds", _kept("Tax"), totals.tax_kept),
    )


def _money(totals: MonthTotals) -> tuple[Figure, ...]:
    received, back = _sum(PAYMENTS, "Amount"), _sum(MONEY_BACK, "Amount")
    return (
        Figure("Payments received", received, totals.payments_total),
        Figure("Money given back", back, totals.money_back),
        Figure("Payments received less money given back", f"{received}-{back}", totals.money_kept),
    )


def _across(totals: MonthTotals) -> tuple[Figure, ...]:
    refunded = _matching(MONEY_BACK, "Cause", MoneyBackCause.REFUND.value, "Amount")
    came = "+".join(_sum(STOCK, each) for each in ("Opening", "Received", "Adjusted"))
    expected = f"{came}-{_sum(STOCK, 'Sold')}"
    return (
        Figure("Net sales less what was taken back, from Tax by state", _sum(TAX, "Net sales"), totals.net_kept),
        Figure("Sales tax less what was taken back, from Tax by state", _sum(TAX, "Tax"), totals.tax_kept),
        Figure("Refunds, from Money back", refunded, f"{_sum(REFUNDS, 'Net')}+{_sum(REFUNDS, 'Tax')}"),
        Figure("Items on hand: opening + received − sold + adjusted", expected, _sum(STOCK, "Closing"), Kind.COUNT),
    )


def _posted(posted: MonthPosted) -> tuple[Figure, ...]:
    """Give what the sheets say each account must have changed by, beside what it did change by."""
    cancelled = _matching(MONEY_BACK, "Cause", MoneyBackCause.CANCELLATION.value, "Amount")
    charged = f"{_sum(sales_sheet(), 'Net')}+{_sum(sales_sheet(), 'Tax')}"
    return (
        Figure("Sales less returns, as posted", _kept("Net"), posted.net_sales),
        Figure("Sales tax owed, change as posted", _kept("Tax"), posted.tax_owed),
        Figure(
            "Owed by customers, change as posted",
            f"{charged}-{_sum(PAYMENTS, 'Amount')}+{cancelled}",
            posted.change(Account.RECEIVABLE),
        ),
        *(
            Figure(f"{account.title.capitalize()}, change as posted", _through(account), posted.change(account))
            for account in dict.fromkeys(MONEY_ACCOUNTS.values())
        ),
    )


def _sum(sheet: Sheet[Any], header: str) -> str:
    return f"SUM({sheet.part(header)})"


def _matching(sheet: Sheet[Any], words: str, word: str, amounts: str) -> str:
    """Add up the amounts of the rows in which a column says that word."""
    return f'SUMIF({sheet.part(words)},"{word}",{sheet.part(amounts)})'


def _event(event: SaleEvent, amounts: str, kind: LineKind | None = None) -> str:
    """Add up what was sold, or what was cancelled, of all kinds or of one."""
    sales = sales_sheet()
    if kind is None:
        return _matching(sales, "Event", event.value, amounts)
    asked = f'{sales.part("Event")},"{event.value}",{sales.part("Kind")},"{kind.value}"'
    return f"SUMIFS({sales.part(amounts)},{asked})"


def _kept(amounts: str) -> str:
    """Take what was refunded from what was sold and not cancelled."""
    return f"{_sum(sales_sheet(), amounts)}-{_sum(REFUNDS, amounts)}"


def _through(account: Account) -> str:
    """Take the money that went out of an account from what came into it, by the methods that go through it."""
    methods = [method.value for method, into in MONEY_ACCOUNTS.items() if into is account]
    received = "+".join(_matching(PAYMENTS, "Method", method, "Amount") for method in methods)
    back = "".join(f"-{_matching(MONEY_BACK, 'Method', method, 'Amount')}" for method in methods)
    return received + back
