"""A year on the lines of Schedule C by both methods, its balance sheet, and its workbook."""

from __future__ import annotations

from flask import render_template
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.counter.pages.months.listing import METHODS
from shopledger.counter.pages.months.part import pages
from shopledger.desk.books.banking import balance_sheet_of
from shopledger.desk.books.reports import export_year, year_figures
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.tax_forms import LABELS


@pages.get("/years/<which>")
def year(which: str) -> str:
    """Show a year's lines, and what the shop has and owes at its end."""
    period = Period.read_year(which)
    shown = year_figures(desk(), period)
    first = [shown.accounting, *(each for each in METHODS if each is not shown.accounting)]
    views = [shown.schedule(each) for each in first]
    return render_template(
        "months/year.html",
        shown=shown,
        year=which,
        methods=[METHODS[each] for each in first],
        lines=[(name, words, [view[name] for view in views]) for name, words in LABELS.items()],
        sheet=balance_sheet_of(desk(), min(period.last, desk().today)),
    )


@pages.post("/years/<which>/workbook")
def year_workbook(which: str) -> Response:
    """Write a year's workbook for the tax preparer."""
    written = export_year(desk(), Period.read_year(which), papers_folder())
    said = f" {written.state.sentence}" if written.state.draft else ""
    return given_out(written.files[0], f"The workbook of {which} was written.{said}")
