"""A month of the shop: its figures, and the workbook for the tax preparer."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, into_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MONTH
from shopledger.cli.prompts import tell
from shopledger.ledger.month import Month


@click.group()
def month() -> None:
    """See a month's figures, and write its workbook."""


@month.command("show")
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@as_json
@pass_run
def show_month(run: Run, which: Month, as_json: bool) -> None:
    """Show a month's own figures."""
    from shopledger.cli.views.months import month_blocks, month_data
    from shopledger.desk.months import month_figures

    totals = month_figures(run.desk(), which)
    show(as_json, month_data(which, totals), *month_blocks(which, totals))


@month.command()
@click.argument("which", metavar="YYYY-MM", type=MONTH)
@into_folder
@as_json
@pass_run
def export(run: Run, which: Month, folder: Path, as_json: bool) -> None:
    """Write a month's workbook for the tax preparer."""
    from shopledger.desk.handover import export_month

    written = export_month(run.desk(), which, made(folder))
    show(as_json, {"month": str(which), "file": str(written)}, Drawing((str(written),)))
    tell("The totals are formulas: open it in a spreadsheet to see them worked out.")
