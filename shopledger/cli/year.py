"""A year of the shop: its figures on the lines of Schedule C, and the workbook for the tax preparer."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, into_folder, made
from shopledger.cli.output import Drawing, Json, show
from shopledger.cli.params import DAY, Typed
from shopledger.cli.prompts import tell

if TYPE_CHECKING:
    from shopledger.ledger.books.period import Period


def _year(text: str, _field: str) -> Period:
    from shopledger.ledger.books.period import Period

    return Period.read_year(text)


YEAR = Typed("yyyy", _year)
"""A calendar year."""


@click.group()
def year() -> None:
    """See a year on Schedule C and its balance sheet, write its workbook."""


@year.command("show")
@click.argument("which", metavar="YYYY", type=YEAR)
@as_json
@pass_run
def show_year(run: Run, which: Period, as_json: bool) -> None:
    """Show a year on the lines of Schedule C, on accrual and on cash.

    Example:
    shopledger year show 2026
    """
    from shopledger.cli.views.reports import year_blocks, year_data
    from shopledger.desk.books.reports import year_figures

    shown = year_figures(run.desk(), which)
    show(as_json, year_data(shown), *year_blocks(shown))
    if shown.state.draft:
        tell(shown.state.sentence)


@year.command()
@click.option("--on", type=DAY, help="At the end of this day. Otherwise today.")
@as_json
@pass_run
def balance(run: Run, on: date | None, as_json: bool) -> None:
    """Show the balance sheet of a day.

    It says what the owner's capital came from since the year began.

    Example:
    shopledger year balance --on 2026-12-31
    """
    from shopledger.cli.views.balance_sheets import HOW, sheet_data, sheet_table
    from shopledger.desk.books.banking import balance_sheet_of

    sheet = balance_sheet_of(run.desk(), on)
    show(as_json, sheet_data(sheet), sheet_table(sheet))
    tell(HOW)


@year.command()
@click.argument("which", metavar="YYYY", type=YEAR)
@into_folder
@click.option("--csv", "as_csv", is_flag=True, help="Write each sheet as a CSV file too.")
@as_json
@pass_run
def export(run: Run, which: Period, folder: Path, as_csv: bool, as_json: bool) -> None:
    """Write a year's workbook for the tax preparer.

    It is a draft, and marked so, until the year is over and every month with entries is closed.

    Example:
    shopledger year export 2026 --into books
    """
    from shopledger.desk.books.reports import export_year

    written = export_year(run.desk(), which, made(folder), as_csv=as_csv)
    files = [str(file) for file in written.files]
    data: dict[str, Json] = {
        "year": str(which),
        "draft": written.state.draft,
        "state": written.state.sentence,
        "files": files,
    }
    show(as_json, data, Drawing(files))
    tell("The totals are formulas, written with what they come to.")
    if written.state.draft:
        tell(written.state.sentence)
