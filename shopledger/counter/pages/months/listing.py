"""The months with their sales and whether they are closed, and what one month came to."""

from __future__ import annotations

from typing import Final

from flask import render_template
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.counter.pages.months.part import pages
from shopledger.counter.pictures.bars import bars
from shopledger.desk.books.closing import month_history, month_states
from shopledger.desk.books.reports import export_period, period_figures
from shopledger.ledger.books.figures import PeriodFigures, ViewLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents

DRAWN: Final = 13
"""How many months the picture shows."""
WORDS: Final = {
    ViewLine.CUSTOMERS: "Sold to customers, less refunds",
    ViewLine.DEPOSITS: "Deposits taken, less given back",
    ViewLine.SELLERS_TAX_IN: "Sales tax laid on the seller, in",
    ViewLine.OTHER_INCOME: "Other income",
    ViewLine.GOODS: "Cost of goods, lenses and lab work",
    ViewLine.EXPENSES: "Expenses",
    ViewLine.SELLERS_TAX_OUT: "Sales tax laid on the seller, out",
    ViewLine.EQUIPMENT: "Equipment paid at once",
    ViewLine.BILLS: "Suppliers' bills paid",
}
METHODS: Final = {
    Accounting.ACCRUAL: ("By what was sold and used up", "accrual"),
    Accounting.CASH: ("By what was received and paid", "cash"),
}
"""What the two ways to count are called by whoever keeps no books."""


@pages.get("")
def overview() -> str:
    """Show every month with entries, the newest first."""
    states = month_states(desk())
    drawn = [(f"{state.month.first:%b} {state.month.year % 100:02d}", state.net_sales) for state in states[-DRAWN:]]
    to_close = next((each for each in states if not each.closed and each.month.last < desk().today), None)
    return render_template(
        "months/list.html",
        states=tuple(reversed(states)),
        picture=bars(drawn, f"Net sales of the last {len(drawn)} months; the table below says the same")
        if drawn
        else "",
        years=sorted({each.month.year for each in states}, reverse=True),
        to_close=to_close,
    )


@pages.get("/<which>")
def month(which: str) -> str:
    """Show what a month came to."""
    found = Month.read(which)
    figures, accounting = period_figures(desk(), found.days)
    history = month_history(desk(), found)
    first = [accounting, *(each for each in METHODS if each is not accounting)]
    views = {Accounting.ACCRUAL: figures.accrual, Accounting.CASH: figures.cash}
    return render_template(
        "months/month.html",
        month=found,
        totals=figures.totals,
        figures=figures,
        money_lines=_money(figures),
        methods=[METHODS[each] for each in first],
        lines=[
            (words, [views[each].get(line) for each in first])
            for line, words in WORDS.items()
            if any(views[each].get(line) for each in first)
        ],
        results=[sum(views[each].values()) for each in first],
        between=[(line.value, amount) for line, amount in figures.between.items() if amount],
        history=history,
        closed=bool(history) and history[-1].deed.value == "closed",
        over=found.last < desk().today,
    )


@pages.post("/<which>/workbook")
def workbook(which: str) -> Response:
    """Write a month's workbook for the tax preparer."""
    found = Month.read(which)
    written = export_period(desk(), found.days, papers_folder())
    return given_out(written, f"The workbook of {found} was written. Its totals are formulas.")


def _money(figures: PeriodFigures) -> list[tuple[str, Cents]]:
    """Give where money came from and went to, and what each account of money changed by."""
    moved = figures.money
    lines = (
        ("From customers for orders", moved.received),
        ("Back to customers", -moved.given_back),
        ("Deposits taken", moved.deposits_taken),
        ("Deposits given back", -moved.deposits_given_back),
        ("Expenses paid", -moved.expenses),
        ("Equipment paid", -moved.equipment),
        ("Suppliers' bills paid", -moved.bills_paid),
        ("Kept by the card processor or the bank", -moved.fees),
        ("Other income", moved.other_income),
        ("Sales tax handed on", moved.tax_kept - moved.tax_paid),
    )
    accounts = (Account.CASH, Account.CARD_CLEARING, Account.CARD_RESERVE, Account.BANK, Account.CREDIT_CARD)
    changed = ((f"{each.title.capitalize()}, change", figures.posted.change(each)) for each in accounts)
    return [(words, amount) for words, amount in (*lines, *changed) if amount]
