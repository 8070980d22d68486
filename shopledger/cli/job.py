"""Jobs at the bench: the board, one job, its sheet, its lenses from a lab, what it brought."""

from __future__ import annotations

from copy import copy
from datetime import date
from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.job_inspection import COMMANDS, FORMER
from shopledger.cli.options import (
    FOLDER,
    INTO_HELP,
    OptionSet,
    as_json,
    day,
    day_option,
    dry_run,
    into_paper_folder,
    made,
    open_files,
    option,
    options,
    papers_folder,
    print_papers,
    replace_files,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import COMING_DAY, NUMBER, Word
from shopledger.cli.prompts import tell
from shopledger.cli.putting_right import JOB_COMMANDS
from shopledger.cli.sale import LEFT_OUT
from shopledger.optics.sides import Side

FORM = click.Choice(["records", "json"])
FORM_HELP = "The file for the lab: the trade's records, or plain JSON."

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
    """List the jobs that are open, longest waiting first.

    Example:
    shopledger job list
    """
    from shopledger.cli.views.board import board_data, board_table
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

    Example:
    shopledger job show 5
    """
    from shopledger.cli.views.jobs import card_blocks, card_data
    from shopledger.desk.bench_jobs import job_card

    card = job_card(run.desk(), number, overdue_after)
    show(as_json, card_data(card), *card_blocks(card))


@job.command()
@click.argument("number", type=int)
@into_paper_folder
@as_json
@pass_run
def sheet(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Print a job's sheet for the bench.

    One page; without a trace it says so and has no layout.

    Example:
    shopledger job sheet 5 --into papers
    """
    from shopledger.desk.job_sheets import print_job_sheet

    file = print_job_sheet(run.desk(), number, made(folder))
    show(as_json, {"job": number, "file": str(file)}, Drawing((str(file),)))
    tell("Wear eye protection, and mind the dust of dry cutting.")


class LensOrderOptions(OptionSet):
    """What a lab is to make of a job's lenses."""

    supplier: str = option("--from", metavar="SUPPLIER", required=True, help="The lab: number, name or part of it.")
    folder: Path = option("--into", type=FOLDER, callback=papers_folder, help=INTO_HELP)
    edged: bool = option(
        "--edged/--uncut", default=False, show_default="uncut", help="Whether the lab cuts them to the shape."
    )
    expected: date | None = option("--expected", type=COMING_DAY, help="The day on which they should come.")
    base_curve: float | None = option("--base-curve", type=NUMBER, help="Front curve, where one is wanted, in D.")
    only: Side | None = option("--only", type=Word(Side), help="One lens alone.")
    again: str = option(
        "--again", metavar="REASON", default="", help="Order lenses once more that were ordered already."
    )
    note: str = option("--note", metavar="TEXT", default="", help="Remarks for the lab.")
    form: str = option("--form", type=FORM, default="records", show_default=True, help=FORM_HELP)
    day: date | None = day("The day of the order.")


@job.command()
@click.argument("number", metavar="JOB", type=int)
@options(LensOrderOptions)
@open_files
@print_papers
@replace_files
@dry_run
@as_json
@pass_run
def order_lenses(run: Run, number: int, given: LensOrderOptions, dry_run: bool, as_json: bool) -> None:
    """Order a job's lenses from a lab: a file and a sheet.

    Of the wearer they hold initials alone. What is ordered is frozen, and can be written again years later. After a
    remake the lenses that were thrown away are ordered anew.

    Example:
    shopledger job order-lenses 5 --from Brightwater --into papers
    """
    from shopledger.cli.views.lens_orders import sent_blocks, sent_data
    from shopledger.desk.lens_ordering import FileForm, LensOrderRequest, place_lens_order, plan_lens_order
    from shopledger.ledger.lens_orders import Edging

    request = LensOrderRequest(
        job_number=number,
        supplier=given.supplier,
        edging=Edging.EDGED if given.edged else Edging.UNCUT,
        expected_on=given.expected,
        base_curve=given.base_curve,
        note=given.note,
        again=given.again,
        only=given.only,
        day=given.day,
    )
    desk = run.desk()
    if dry_run:
        sent, said = plan_lens_order(desk, request), "Nothing was stored or written: this was a dry run."
    else:
        sent = place_lens_order(desk, request, made(given.folder), FileForm(given.form))
        said = f"Send both files to the lab. Next: 'shopledger job lenses-arrived {number}' once they are here."
    show(as_json, sent_data(sent), *sent_blocks(sent))
    tell(said)


@job.command()
@click.argument("number", metavar="NUMBER", type=int)
@into_paper_folder
@click.option("--form", type=FORM, default="records", show_default=True, help=FORM_HELP)
@as_json
@pass_run
def print_lens_order(run: Run, number: int, folder: Path, form: str, as_json: bool) -> None:
    """Write the files of a lens order again.

    The same bytes as the first time, whatever has changed since.

    Example:
    shopledger job print-lens-order 2 --into papers
    """
    from shopledger.cli.views.lens_orders import sent_blocks, sent_data
    from shopledger.desk.lens_ordering import FileForm, print_lens_order

    sent = print_lens_order(run.desk(), number, made(folder), FileForm(form))
    show(as_json, sent_data(sent), *sent_blocks(sent))


@job.command()
@click.argument("number", metavar="JOB", type=int)
@click.option("--order", type=int, metavar="NUMBER", help="Which of its lens orders; otherwise the newest.")
@day_option("The day they came.")
@click.option("--note", metavar="TEXT", default="", help="A note kept with it.")
@as_json
@pass_run
def lenses_arrived(run: Run, number: int, order: int | None, day: date | None, note: str, as_json: bool) -> None:
    """Keep that a job's lenses came in.

    Example:
    shopledger job lenses-arrived 5
    """
    from shopledger.cli.views.lens_orders import arrived_data, arrived_fields
    from shopledger.desk.lens_ordering import record_arrival

    arrived = record_arrival(run.desk(), number, day, note, order)
    show(as_json, arrived_data(arrived), arrived_fields(arrived))
    tell(f"Next: 'shopledger job sheet {number}', then cut.")


@job.command("margin")
@click.argument("number", type=int, required=False, metavar="[JOB]")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def job_margin(run: Run, number: int | None, limit: int, as_json: bool) -> None:
    """Show what a job brought, or the newest jobs.

    The net charge of its lines after refunds, less its frame and the bills for its lenses; what was scrapped is among
    them.

    Example:
    shopledger job margin 5
    """
    from shopledger.cli.views.margins import job_margin_data, margin_fields, margins_table
    from shopledger.desk.books.job_costs import margin_of_job, newest_margins

    if number is not None:
        found = margin_of_job(run.desk(), number)
        show(as_json, job_margin_data(found), margin_fields(found))
    else:
        jobs = newest_margins(run.desk(), limit)
        show(as_json, {"jobs": [job_margin_data(each) for each in jobs]}, margins_table(jobs))
    tell(LEFT_OUT)


for command in (*COMMANDS, *JOB_COMMANDS):
    job.add_command(command)
for former, command in FORMER.items():
    hidden = copy(command)
    hidden.hidden = True
    job.add_command(hidden, former)
