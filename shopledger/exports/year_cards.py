"""What the card processor reports (Form 1099-K) against the books: month by month, and from gross to net sales.

The processor reports what it processed, with the sales tax, before refunds and fees, and knows nothing of other money
(IRS Publication 334, chapter 5). So each difference has a line, and the lines add up exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from shopledger.exports.columns import Kind
from shopledger.exports.year_grid import Formula, Grid, Heading
from shopledger.exports.year_months import TITLE as MONTHS
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.year import MoneyEvent, MoneyRow, YearFigures
from shopledger.ledger.orders import Method
from shopledger.money.amount import Cents

TITLE: Final = "Card payments"
BRIDGE: Final = "1099-K"
CARD: Final = Method.CARD.value

_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_GROSS: Final = (MoneyEvent.PAYMENT, MoneyEvent.DEPOSIT)
_BACK: Final = (MoneyEvent.REFUND, MoneyEvent.CANCELLED, MoneyEvent.DEPOSIT_BACK)


def cards_grid(figures: YearFigures) -> Grid:
    """Give the sheet of what went over the card processor, month by month."""
    headings = (Heading("Line", 40, Kind.TEXT), *(Heading(name, 12.5) for name in _NAMES), Heading("Year", 14.5))
    sheet = _Months(Grid(TITLE, "CardPayments", headings, landscape=True, one_page=True), figures)
    sheet.row("Card payments on orders", "payments", _amount(MoneyEvent.PAYMENT))
    sheet.row("Deposits taken by card", "deposits", _amount(MoneyEvent.DEPOSIT))
    sheet.sum("Gross processed, as a 1099-K counts it", "gross", "{payments}+{deposits}", _amount(*_GROSS))
    sheet.row("Sales tax in the payments, by proportion", "tax", _of(MoneyEvent.PAYMENT, lambda row: row.tax))
    sheet.row("Shipping in the payments, by proportion", "shipping", _of(MoneyEvent.PAYMENT, lambda row: row.shipping))
    sheet.row("Refunds by card", "refunds", _amount(MoneyEvent.REFUND))
    sheet.row("Paid back for cancelled orders", "cancelled", _amount(MoneyEvent.CANCELLED))
    sheet.row("Deposits given back by card", "deposits back", _amount(MoneyEvent.DEPOSIT_BACK))
    sheet.row("Paid out by the processor, with its fees", "payouts", _amount(MoneyEvent.PAYOUT))
    sheet.row("Fees that it kept", "fees", _of(MoneyEvent.PAYOUT, lambda row: row.fee))
    sheet.sum("Came to the bank", "bank", "{payouts}-{fees}", _of(MoneyEvent.PAYOUT, lambda row: row.amount - row.fee))
    change = "ROUND({gross}-{refunds}-{cancelled}-{deposits back}-{payouts},2)"
    sheet.sum("Change of what the processor owes", "change", change, _change)
    _balance(sheet.grid, figures)
    count = sum(row.count for row in figures.of(_GROSS, CARD))
    sheet.grid.add(f"Transactions of the year: {count:,}", strong=True)
    return sheet.grid


def bridge_grid(figures: YearFigures) -> Grid:
    """Give the sheet that leads from what was processed by card to net sales."""
    headings = (Heading("Line", 62, Kind.TEXT), Heading("Amount", 17), Heading("Note", 58, Kind.TEXT, notes=True))
    grid = Grid(BRIDGE, "GrossToNet", headings, landscape=True)
    gross = figures.moved(*_GROSS, method=CARD)
    grid.add("Gross processed by card", Formula(f"{{{TITLE}!gross.N}}", gross),
             "Compare with box 1a of the forms received.", name="gross", strong=True)  # fmt: skip
    steps = _steps(figures)
    for name, words, amount, note in steps:
        grid.add(words, amount, note, name=name)
    net = gross + sum(step[2] for step in steps)
    grid.add("Net sales", Formula(f"SUM({{gross.B}}:{{{steps[-1][0]}.B}})", net), "", name="net", strong=True)
    posted = -figures.change(
        Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.SELLERS_TAX_CHARGED, Account.RETURNS
    )
    grid.add("Net sales in the books", Formula(f"{{{MONTHS}!net sales.N}}", posted),
             "Line 3 of Schedule C, on accrual.", name="posted", strong=True)  # fmt: skip
    grid.add("Difference", Formula("ROUND({net.B}-{posted.B},2)", net - posted), "Must be nought.", name="difference",
             strong=True)  # fmt: skip
    return grid


def _steps(figures: YearFigures) -> tuple[tuple[str, str, Cents, str], ...]:
    moved = figures.moved
    not_card = [row for row in figures.of(_GROSS) if row.method != CARD]
    other_back = [row for row in figures.of(_BACK) if row.method != CARD]
    charged = sum(figures.tax_charged.get(month, 0) for month in figures.year.months)
    return (
        ("other money", "Money received by cash, check or transfer", sum(row.amount for row in not_card),
         "No 1099-K shows it."),
        ("refunds", "Refunds by card", -moved(MoneyEvent.REFUND, method=CARD), "The form counts before refunds."),
        ("cancelled", "Card payments of cancelled orders, paid back", -moved(MoneyEvent.CANCELLED, method=CARD), ""),
        ("deposits back", "Deposits given back by card", -moved(MoneyEvent.DEPOSIT_BACK, method=CARD), ""),
        ("other back", "Money given back otherwise", -sum(row.amount for row in other_back), ""),
        ("deposits", "Deposits used on orders, less new ones that wait", figures.change(Account.CUSTOMER_DEPOSITS),
         "What waits was received, but is not sold yet."),
        ("owed", "Customers owe more than a year ago", figures.change(Account.RECEIVABLE),
         "Sold, but not received yet."),
        ("tax", "Sales tax charged for the states, less that on refunds", -charged,
         "Collected and handed on: no income (Pub. 334, ch. 5)."),
    )  # fmt: skip


class _Months:
    """Adds rows of twelve months and their sum."""

    def __init__(self, grid: Grid, figures: YearFigures) -> None:
        self.grid, self._figures = grid, figures

    def row(self, words: str, name: str, of: Callable[[YearFigures, Month], Cents]) -> None:
        """Add a row of plain figures; a month without any stays empty."""
        amounts = [of(self._figures, month) for month in self._figures.year.months]
        self.grid.add(words, *(amount or None for amount in amounts), Formula("SUM(B{#}:M{#})", sum(amounts)),
                      name=name)  # fmt: skip

    def sum(self, words: str, name: str, formula: str, of: Callable[[YearFigures, Month], Cents]) -> None:
        """Add a row that is worked out from others."""
        amounts = [of(self._figures, month) for month in self._figures.year.months]
        cells = [Formula(formula, amount) for amount in (*amounts, sum(amounts))]
        self.grid.add(words, *cells, name=name, strong=True)


def _amount(*events: MoneyEvent) -> Callable[[YearFigures, Month], Cents]:
    def of(figures: YearFigures, month: Month) -> Cents:
        return sum(row.amount for row in figures.of(events, CARD) if row.month == month)

    return of


def _of(event: MoneyEvent, get: Callable[[MoneyRow], Cents]) -> Callable[[YearFigures, Month], Cents]:
    def of(figures: YearFigures, month: Month) -> Cents:
        return sum(get(row) for row in figures.of([event], CARD) if row.month == month)

    return of


def _change(figures: YearFigures, month: Month) -> Cents:
    return _amount(*_GROSS)(figures, month) - _amount(*_BACK, MoneyEvent.PAYOUT)(figures, month)


def _balance(grid: Grid, figures: YearFigures) -> None:
    """Add what the processor owes at each month's end; the first month starts from last year's balance."""
    at = figures.opened_at(Account.CARD_CLEARING)
    cells: list[int | Formula] = []
    for place, month in enumerate(figures.year.months):
        at += _change(figures, month)
        before = chr(ord("A") + place)
        formula = f"ROUND({'{opening.B}' if not place else before + '{#}'}+{{change}},2)"
        cells.append(Formula(formula, at))
    grid.add("The processor owed at last year's end", figures.opened_at(Account.CARD_CLEARING), name="opening")
    grid.add("The processor owes at the month's end", *cells, Formula("M{#}", at), name="balance", strong=True)
