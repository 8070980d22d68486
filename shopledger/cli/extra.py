"""Upgrades and coatings on lenses."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import Question, fill
from shopledger.ledger.catalogue import ExtraKind
from shopledger.money.amount import read_amount

KIND = Word(ExtraKind)
KINDS = ", ".join(kind.value for kind in ExtraKind)
VALUES = ("name", "kind", "price", "cost")

extra_options = together(
    click.option("--name", metavar="TEXT", help="What it is called on papers."),
    click.option("--kind", type=KIND, help=f"What it does to the lens, which decides the claim code: {KINDS}."),
    click.option("--price", type=AMOUNT, help="What a customer pays for a pair of lenses."),
    click.option("--cost", type=AMOUNT, help="What the shop pays."),
)

QUESTIONS = (
    Question("name", "--name", "Name of the extra", text("extra name")),
    Question(
        "kind",
        "--kind",
        f"Kind ({KINDS})",
        lambda typed: KIND.read(typed, "kind"),
    ),
    Question("price", "--price", "Price for a pair", lambda typed: read_amount(typed, "price")),
    Question("cost", "--cost", "Cost", lambda typed: read_amount(typed, "cost"), optional=True),
)


@click.group()
def extra() -> None:
    """Keep upgrades and coatings on lenses."""


@extra.command()
@click.argument("code")
@extra_options
@as_json
@pass_run
def add(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Add an upgrade or coating under a short code of your own."""
    from shopledger.cli.views.goods import OUT, extra_table
    from shopledger.desk.goods import add_extra
    from shopledger.ledger.catalogue import Extra

    fill(run, given, QUESTIONS)
    added = add_extra(run.desk(), Extra(code, **chosen(given, VALUES)))
    show(as_json, OUT.of(added), extra_table((added,)))


@extra.command()
@click.argument("code")
@extra_options
@as_json
@pass_run
def change(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Orders already recorded keep their prices.
    """
    from shopledger.cli.views.goods import OUT, extra_table
    from shopledger.desk.goods import change_extra

    changed = change_extra(run.desk(), code, chosen(given, VALUES))
    show(as_json, OUT.of(changed), extra_table((changed,)))


@extra.command("list")
@as_json
@pass_run
def list_extras(run: Run, as_json: bool) -> None:
    """List all upgrades and coatings."""
    from shopledger.cli.views.goods import OUT, extra_table
    from shopledger.desk.goods import extras

    found = extras(run.desk())
    show(as_json, {"extras": [OUT.of(each) for each in found]}, extra_table(found))


@extra.command("show")
@click.argument("code")
@as_json
@pass_run
def show_extra(run: Run, code: str, as_json: bool) -> None:
    """Show one upgrade or coating."""
    from shopledger.cli.views.goods import OUT, extra_table
    from shopledger.desk.goods import extra_called

    found = extra_called(run.desk(), code)
    show(as_json, OUT.of(found), extra_table((found,)))
