"""A month of the shop: its figures, and the workbook for the tax preparer."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.month_closing import COMMANDS, standing
from shopledger.cli.options import as_json, into_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MONTH
from shopledger.cli.prompts import tell
from shopledger.ledger.books.month import Month


@click.group()
def month() -> None:
    """See a month's figures, write its workbook, and close it."""


@month.command("show")
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@as_json
@pass_run
def show_month(run: Run, which: Month, as_json: bool) -> None:
    """Show a month's sales and money, and its result on both views."""
    from shopledger.cli.views.months import month_blocks, month_data
    from shopledger.desk.books.months import whole_month

    figures, accounting = whole_month(run.desk(), which)
    show(as_json, month_data(which, figures, accounting), *month_blocks(which, figures, accounting))
    tell(standing(run.desk(), which))


@month.command()
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@into_folder
@click.option("--csv", "as_csv", is_flag=True, help="Write plain CSV files, one for each sheet of rows, and a list.")
@as_json
@pass_run
def export(run: Run, which: Month, folder: Path, as_csv: bool, as_json: bool) -> None:
    """Write a month's workbook for the tax preparer, or its rows as CSV."""
    from shopledger.desk.books.handover import export_month, export_plain

    if as_csv:
        files = [str(file) for file in export_plain(run.desk(), which, made(folder))]
        show(as_json, {"month": str(which), "files": files}, Drawing(files))
        return
    written = export_month(run.desk(), which, made(folder))
    show(as_json, {"month": str(which), "file": str(written)}, Drawing((str(written),)))
    tell("The totals are formulas: open it in a spreadsheet to see them worked out.")


for command in COMMANDS:
    month.add_command(command)
