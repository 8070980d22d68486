"""Prescribers: who writes prescriptions."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.params import NPI
from shopledger.cli.prompts import Question, fill, tell
from shopledger.ledger.identifiers import read_npi

QUESTIONS = (
    Question("name", "--name", "Name of the prescriber, with the title", text("prescriber name")),
    Question("phone", "--phone", "Phone", text("phone", 40), optional=True),
    Question("npi", "--npi", "NPI", read_npi, optional=True),
)


@click.group()
def prescriber() -> None:
    """Add and list prescribers."""


@prescriber.command()
@click.option("--name", metavar="TEXT", help="Name of the prescriber, with the title.")
@click.option("--phone", metavar="TEXT", help="Phone number.")
@click.option("--npi", type=NPI, help="National provider identifier.")
@as_json
@pass_run
def add(run: Run, as_json: bool, **given: Any) -> None:
    """Add a prescriber."""
    from shopledger.cli.views.people import OUT, prescriber_table
    from shopledger.desk.people import add_prescriber

    fill(run, given, QUESTIONS)
    added = add_prescriber(run.desk(), given["name"], given["phone"] or "", given["npi"] or "")
    show(as_json, OUT.of(added), prescriber_table((added,)))
    tell(f"Prescriber {added.number} was added.")


@prescriber.command("list")
@as_json
@pass_run
def list_prescribers(run: Run, as_json: bool) -> None:
    """List all prescribers."""
    from shopledger.cli.views.people import OUT, prescriber_table
    from shopledger.desk.people import prescribers

    found = prescribers(run.desk())
    show(as_json, {"prescribers": [OUT.of(each) for each in found]}, prescriber_table(found))
