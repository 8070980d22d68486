"""Sales tax: the figures of a return for each state, written out, and what is owed to hand on."""

from __future__ import annotations

from flask import render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import leave
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.counter.pages.money.part import pages
from shopledger.desk.books.reports import export_returns, tax_due
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.tax_returns import beside_lines, return_lines


@pages.get("/sales-tax")
def sales_tax() -> str:
    """Show what each state is owed for some days."""
    typed = request.args.get("period") or _last_month()
    found = [(due, tuple(return_lines(due)), tuple(beside_lines(due))) for due in tax_due(desk(), Period.read(typed))]
    return render_template("money/sales_tax.html", found=found, period=typed)


@pages.post("/sales-tax/<period>/<state>/workbook")
def sales_tax_workbook(period: str, state: str) -> Response:
    """Write the return of a state as a workbook."""
    written = export_returns(desk(), Period.read(period), papers_folder(), state)
    if not written:
        return leave(f"/money/sales-tax?period={period}", f"Nothing happened in {state} in these days.")
    return given_out(written[0][1][0], f"The return of {state} for {period} was written.")


def _last_month() -> str:
    """Give the month before this one, which is the next to be handed in as a rule."""
    today = desk().today
    return str(Month(today.year - 1, 12) if today.month == 1 else Month(today.year, today.month - 1))
