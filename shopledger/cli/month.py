"""A month of the shop: its figures, the workbook for the tax preparer, and closing it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, dry_run, into_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import DAY, MONTH
from shopledger.cli.prompts import DRY_RUN, tell

if TYPE_CHECKING:
    from datetime import date

    from shopledger.desk.context import Desk
    from shopledger.ledger.books.period import Month

WHICH = click.argument("which", metavar="YYYY-MM", type=MONTH)


@click.group()
def month() -> None:
    """See a month's figures, write its workbook, and close it."""


@month.command("show")
@WHICH
@as_json
@pass_run
def show_month(run: Run, which: Month, as_json: bool) -> None:
    """Show a month's sales and money, and its result on both views.

    Example:
    shopledger month show 2026-03
    """
    from shopledger.cli.views.reports import month_blocks, month_data
    from shopledger.desk.books.reports import period_figures

    figures, accounting = period_figures(run.desk(), which.days)
    show(as_json, month_data(which, figures, accounting), *month_blocks(which, figures, accounting))
    tell(_standing(run.desk(), which))


@month.command()
@WHICH
@into_folder
@click.option("--csv", "as_csv", is_flag=True, help="Write plain CSV files, one for each sheet of rows, and a list.")
@as_json
@pass_run
def export(run: Run, which: Month, folder: Path, as_csv: bool, as_json: bool) -> None:
    """Write a month's workbook for the tax preparer, or its rows as CSV.

    Example:
    shopledger month export 2026-03 --into books
    """
    from shopledger.desk.books.reports import export_period, export_plain

    if as_csv:
        files = [str(file) for file in export_plain(run.desk(), which.days, made(folder))]
        show(as_json, {"month": str(which), "files": files}, Drawing(files))
        return
    written = export_period(run.desk(), which.days, made(folder))
    show(as_json, {"month": str(which), "file": str(written)}, Drawing((str(written),)))
    tell("The totals are formulas, written with what they come to.")


@month.command("close")
@WHICH
@accept
@dry_run
@as_json
@pass_run
def close(run: Run, which: Month, accept: tuple[str, ...], dry_run: bool, as_json: bool) -> None:
    """Close a month: from then on it takes nothing more.

    What stands against it is listed first, with what mends it. Errors stop it; warnings need a yes, which is kept.

    Example:
    shopledger month close 2026-03
    """
    from shopledger.cli.prompts import accepted, only_asked
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.cli.views.reports import event_data, event_fields
    from shopledger.desk.books.closing import close_month, plan_closing

    desk, given = run.desk(), frozenset(accept)
    plan = plan_closing(desk, which)
    only_asked(plan.findings, given)
    findings = finding_table(plan.findings)
    if dry_run:
        data = {"month": str(which), "head": str(plan.head), "findings": finding_data(plan.findings)}
        show(as_json, data, findings)
        tell("Nothing was stored: this was a dry run.")
        return
    event = close_month(desk, which, accepted(run, plan.findings, given))
    show(as_json, {**event_data(event), "findings": finding_data(plan.findings)}, findings, event_fields(event))
    tell(f"{which} is closed. A late bill or correction goes into an open month, or 'shopledger month reopen {which}'.")


@month.command("reopen")
@WHICH
@click.option("--reason", metavar="TEXT", required=True, help="Why; it is kept with the month.")
@as_json
@pass_run
def reopen(run: Run, which: Month, reason: str, as_json: bool) -> None:
    """Open the newest closed month again.

    Example:
    shopledger month reopen 2026-03 --reason 'a late bill'
    """
    from shopledger.cli.views.reports import event_data, event_fields
    from shopledger.desk.books.closing import reopen_month

    event = reopen_month(run.desk(), which, reason)
    show(as_json, event_data(event), event_fields(event))
    tell(f"{which} is open. Workbooks written of it before are out of date once anything is added.")


@month.command("put-off")
@click.option("--day", type=DAY, help="From which day on. Otherwise today.")
@dry_run
@as_json
@pass_run
def put_off(run: Run, day: date | None, dry_run: bool, as_json: bool) -> None:
    """Let orders of before count as sold when their goods leave.

    Once an order counted on the day it was recorded. Each that still waits gets one entry that takes out of sales and
    sales tax what did not leave; it counts again with its goods. Closed months stay as they were handed over.

    Example:
    shopledger month put-off
    """
    from shopledger.cli.views.earnings import put_off_data, put_off_table
    from shopledger.desk.books.order_postings import orders_to_put_off, put_orders_off

    found = orders_to_put_off(run.desk()) if dry_run else put_orders_off(run.desk(), day)
    show(as_json, put_off_data(found), put_off_table(found))
    if dry_run:
        tell(DRY_RUN)


@month.command("list")
@as_json
@pass_run
def months(run: Run, as_json: bool) -> None:
    """List the months, open and closed, with their net sales.

    Example:
    shopledger month list
    """
    from shopledger.cli.views.reports import state_data, state_table
    from shopledger.desk.books.closing import month_states

    found = month_states(run.desk())
    show(as_json, {"months": [state_data(each) for each in found]}, state_table(found))


def _standing(desk: Desk, month: Month) -> str:
    """Say whether a month is closed, on which head and by whom."""
    from shopledger.desk.books.closing import month_history
    from shopledger.ledger.books.closing import PeriodDeed

    history = month_history(desk, month)
    if not history or history[-1].deed is not PeriodDeed.CLOSED:
        return f"{month} is open: its figures may still change."
    return f"{month} was closed by {history[-1].operator} on the ledger head {history[-1].head}."
