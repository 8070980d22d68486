"""Wearers: whose eyes the glasses are for."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.params import DAY, DAYS_OR_OFF, Word, read_day
from shopledger.cli.prompts import Question, fill, tell
from shopledger.ledger.parties import Relationship

RELATIONSHIP = Word(Relationship)
QUESTIONS = (
    Question("customer", "--customer", "Who pays, number or name", text("customer")),
    Question("name", "--name", "Name of the wearer", text("wearer name")),
    Question(
        "relationship",
        "--relationship",
        "What the wearer is to the customer (self, spouse, child, other)",
        lambda typed: RELATIONSHIP.read(typed, "relationship"),
    ),
    Question("born", "--born", "Birth date", read_day, optional=True),
    Question("member_id", "--member-id", "The plan's number for the member", text("member id", 40), optional=True),
)


extra_options = together(
    click.option("--printed-name", metavar="TEXT", help="Spelling for papers that cannot set the name's own letters."),
    click.option(
        "--claim-within",
        "claim_within_days",
        type=DAYS_OR_OFF,
        help="The plan's filing limit as the customer told it, counted from shipping.",
    ),
)


@click.group()
def wearer() -> None:
    """Add wearers, whose eyes the glasses are for."""


@wearer.command()
@click.option("--customer", metavar="CUSTOMER", help="Who pays: number or name.")
@click.option("--name", metavar="TEXT", help="Name of the wearer.")
@click.option("--relationship", type=RELATIONSHIP, help="What the wearer is to the customer.")
@click.option("--born", type=DAY, help="Birth date, which many plans ask for on a receipt.")
@click.option("--member-id", metavar="TEXT", help="The plan's number for the member.")
@extra_options
@as_json
@pass_run
def add(run: Run, as_json: bool, **given: Any) -> None:
    """Add somebody whose glasses a customer pays for."""
    from shopledger.cli.views.people import OUT, wearer_fields
    from shopledger.desk.people import add_wearer

    fill(run, given, QUESTIONS)
    who = (given["customer"], given["name"], given["relationship"])
    added = add_wearer(
        run.desk(),
        *who,
        given["born"],
        given["member_id"] or "",
        printed_name=given["printed_name"] or "",
        claim_within_days=chosen(given, ("claim_within_days",)).get("claim_within_days"),
    )
    show(as_json, OUT.of(added), wearer_fields(added))
    tell(f"{added.name} was added. Next: 'shopledger prescription add'.")


@wearer.command()
@click.argument("who", metavar="WEARER")
@click.option("--customer", metavar="CUSTOMER", required=True, help="Who pays: number or name.")
@click.option("--name", metavar="TEXT", help="Name of the wearer.")
@click.option("--relationship", type=RELATIONSHIP, help="What the wearer is to the customer.")
@click.option("--born", "birth_date", type=DAY, help="Birth date.")
@click.option("--member-id", metavar="TEXT", help="The plan's number for the member.")
@extra_options
@as_json
@pass_run
def change(run: Run, who: str, customer: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Papers already issued keep what they said.
    """
    from dataclasses import replace

    from shopledger.cli.views.people import OUT, wearer_fields
    from shopledger.desk.people import change_wearer

    new = chosen(given, ("name", "relationship", "birth_date", "member_id", "printed_name", "claim_within_days"))
    if not new:
        raise click.UsageError("Nothing to change is given. Name it with an option, as in --claim-within 365.")
    changed = change_wearer(run.desk(), customer, who, lambda found: replace(found, **new))
    show(as_json, OUT.of(changed), wearer_fields(changed))
    tell(f"{changed.name} was changed.")
