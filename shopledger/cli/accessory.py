"""Goods beside the glasses: cases, cords, cleaning kits."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import Question, fill
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.money.amount import read_amount

VALUES = ("name", "price", "cost", "tax_category", "reimbursement", "claim_code")

accessory_options = together(
    click.option("--name", metavar="TEXT", help="What it is called on papers."),
    click.option("--price", type=AMOUNT, help="What a customer pays."),
    click.option("--cost", type=AMOUNT, help="What the shop pays."),
    click.option("--tax-category", type=Word(TaxCategory), help="What it is for the sales tax."),
    click.option("--reimbursement", type=Word(Reimbursement), help="What a plan is likely to make of it."),
    click.option("--claim-code", metavar="CODE", help="Claim code, if it has one."),
)

QUESTIONS = (
    Question("name", "--name", "Name of the accessory", text("accessory name")),
    Question("price", "--price", "Price", lambda typed: read_amount(typed, "price")),
    Question("cost", "--cost", "Cost", lambda typed: read_amount(typed, "cost")),
)


@click.group()
def accessory() -> None:
    """Keep goods beside the glasses."""


@accessory.command()
@click.argument("code")
@accessory_options
@click.option("--count", type=click.IntRange(0), default=0, show_default=True, help="How many are on hand.")
@as_json
@pass_run
def add(run: Run, code: str, count: int, as_json: bool, **given: Any) -> None:
    """Add an accessory under a short code of your own, such as CASE."""
    from shopledger.cli.views.goods import accessory_data, accessory_table
    from shopledger.desk.goods import add_accessory
    from shopledger.ledger.catalogue import Accessory

    fill(run, given, QUESTIONS)
    added, on_hand = add_accessory(run.desk(), Accessory(code, **chosen(given, VALUES)), count)
    show(as_json, accessory_data(added, on_hand), accessory_table(((added, on_hand),)))


@accessory.command()
@click.argument("code")
@accessory_options
@as_json
@pass_run
def change(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Orders already recorded keep their prices.
    """
    from shopledger.cli.views.goods import accessory_data, accessory_table
    from shopledger.desk.goods import change_accessory

    changed, on_hand = change_accessory(run.desk(), code, chosen(given, VALUES))
    show(as_json, accessory_data(changed, on_hand), accessory_table(((changed, on_hand),)))


@accessory.command("list")
@as_json
@pass_run
def list_accessories(run: Run, as_json: bool) -> None:
    """List all accessories with what is on hand."""
    from shopledger.cli.views.goods import accessory_data, accessory_table
    from shopledger.desk.goods import accessories

    found = accessories(run.desk())
    show(as_json, {"accessories": [accessory_data(each, count) for each, count in found]}, accessory_table(found))


@accessory.command("show")
@click.argument("code")
@as_json
@pass_run
def show_accessory(run: Run, code: str, as_json: bool) -> None:
    """Show one accessory."""
    from shopledger.cli.views.goods import accessory_data, accessory_table
    from shopledger.desk.goods import accessory_on_hand

    found, on_hand = accessory_on_hand(run.desk(), code)
    show(as_json, accessory_data(found, on_hand), accessory_table(((found, on_hand),)))
