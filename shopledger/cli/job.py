"""Jobs at the bench: the board, one job, its sheet; and beside them what other modules add to the group."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.job_inspection import COMMANDS
from shopledger.cli.job_lenses import LENS_COMMANDS
from shopledger.cli.margin import job_margin
from shopledger.cli.options import as_json, into_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.prompts import tell

USUAL_DAYS = 14
"""The same as `shopledger.ledger.stages.OVERDUE_AFTER`, written here so that the help needs no import."""

overdue_after = click.option(
    "--overdue-after",
    metavar="DAYS",
    type=click.IntRange(0, 3650),
    default=USUAL_DAYS,
    show_default=True,
    help="Days after the order from which on an open job is overdue.",
)


@click.group()
def job() -> None:
    """See the open jobs, order their lenses, print and inspect."""


@job.command("list")
@overdue_after
@as_json
@pass_run
def list_jobs(run: Run, overdue_after: int, as_json: bool) -> None:
    """List the jobs that are open, longest waiting first."""
    from shopledger.cli.views.jobs import board_data, board_table
    from shopledger.desk.jobs import open_jobs

    rows = open_jobs(run.desk(), overdue_after)
    show(as_json, {"jobs": [board_data(row) for row in rows]}, board_table(rows))
    late = sum(row.days > overdue_after for row in rows)
    if late:
        tell(f"Overdue, more than {overdue_after} days after the order: {late}.")
    awaited = sum(row.lenses_late for row in rows)
    if awaited:
        tell(f"Overdue, lenses that should have come by now: {awaited}. Ask the lab.")


@job.command("show")
@click.argument("number", type=int)
@overdue_after
@as_json
@pass_run
def show_job(run: Run, number: int, overdue_after: int, as_json: bool) -> None:
    """Show one job: its stage, the next step, what to make.

    The look is noted.
    """
    from shopledger.cli.views.jobs import card_blocks, card_data
    from shopledger.desk.job_sheets import job_card

    card = job_card(run.desk(), number, overdue_after)
    show(as_json, card_data(card), *card_blocks(card))


@job.command()
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def sheet(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Print a job's sheet for the bench.

    One page; without a trace it says so and has no layout.
    """
    from shopledger.desk.job_sheets import print_job_sheet

    file = print_job_sheet(run.desk(), number, made(folder))
    show(as_json, {"job": number, "file": str(file)}, Drawing((str(file),)))
    tell("Wear eye protection, and mind the dust of dry cutting.")


for command in (*COMMANDS, *LENS_COMMANDS, job_margin):
    job.add_command(command)
