"""Lenses of a job from an outside lab: order them, write the order again, keep that they came."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, day_option, dry_run, into_folder, made
from shopledger.cli.output import show
from shopledger.cli.params import DAY, NUMBER, Word
from shopledger.cli.prompts import tell
from shopledger.optics.sides import Side

file_form = click.option(
    "--form",
    type=click.Choice(["records", "json"]),
    default="records",
    show_default=True,
    help="The file for the lab: the trade's records, or plain JSON.",
)


@click.command()
@click.argument("number", metavar="JOB", type=int)
@click.option("--from", "supplier", metavar="SUPPLIER", required=True, help="The lab: number, name or part of it.")
@into_folder
@click.option("--edged/--uncut", default=False, show_default="uncut", help="Whether the lab cuts them to the shape.")
@click.option("--expected", type=DAY, help="The day on which they should come.")
@click.option("--base-curve", type=NUMBER, help="Front curve, where one is wanted, in D.")
@click.option("--only", type=Word(Side), help="One lens alone.")
@click.option("--again", metavar="REASON", default="", help="Order lenses once more that were ordered already.")
@click.option("--note", metavar="TEXT", default="", help="Remarks for the lab.")
@file_form
@day_option("The day of the order.")
@dry_run
@as_json
@pass_run
def order_lenses(run: Run, number: int, folder: Path, form: str, dry_run: bool, as_json: bool, **given: Any) -> None:
    """Order a job's lenses from a lab: a file and a sheet.

    Of the wearer they hold initials alone. What is ordered is frozen, and can be written again years later. After a
    remake the lenses that were thrown away are ordered anew.
    """
    from shopledger.cli.views.lens_orders import sent_blocks, sent_data
    from shopledger.desk.lens_ordering import FileForm, LensOrderRequest, place_lens_order, plan_lens_order
    from shopledger.ledger.lens_orders import Edging

    request = LensOrderRequest(
        job_number=number,
        supplier=given["supplier"],
        edging=Edging.EDGED if given["edged"] else Edging.UNCUT,
        expected_on=given["expected"],
        base_curve=given["base_curve"],
        note=given["note"],
        again=given["again"],
        only=given["only"],
        day=given["day"],
    )
    desk = run.desk()
    if dry_run:
        sent, said = plan_lens_order(desk, request), "Nothing was stored or written: this was a dry run."
    else:
        sent = place_lens_order(desk, request, made(folder), FileForm(form))
        said = f"Send both files to the lab. Next: 'shopledger job lenses-arrived {number}' once they are here."
    show(as_json, sent_data(sent), *sent_blocks(sent))
    tell(said)


@click.command()
@click.argument("number", metavar="NUMBER", type=int)
@into_folder
@file_form
@as_json
@pass_run
def print_lens_order(run: Run, number: int, folder: Path, form: str, as_json: bool) -> None:
    """Write the files of a lens order again.

    The same bytes as the first time, whatever has changed since.
    """
    from shopledger.cli.views.lens_orders import sent_blocks, sent_data
    from shopledger.desk.lens_ordering import FileForm, print_lens_order

    sent = print_lens_order(run.desk(), number, made(folder), FileForm(form))
    show(as_json, sent_data(sent), *sent_blocks(sent))


@click.command()
@click.argument("number", metavar="JOB", type=int)
@click.option("--order", type=int, metavar="NUMBER", help="Which of its lens orders; otherwise the newest.")
@day_option("The day they came.")
@click.option("--note", metavar="TEXT", default="", help="A note kept with it.")
@as_json
@pass_run
def lenses_arrived(run: Run, number: int, order: int | None, as_json: bool, **given: Any) -> None:
    """Keep that a job's lenses came in."""
    from shopledger.cli.views.lens_orders import arrived_data, arrived_fields
    from shopledger.desk.lens_ordering import record_arrival

    arrived = record_arrival(run.desk(), number, given["day"], given["note"], order)
    show(as_json, arrived_data(arrived), arrived_fields(arrived))
    tell(f"Next: 'shopledger job sheet {number} --into FOLDER', then cut.")


LENS_COMMANDS = (order_lenses, print_lens_order, lenses_arrived)
"""What the group of job commands takes from here."""
