"""Deposits: money of customers that waits for an order."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import SIGNED, accept, as_json, day_option, dry_run
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import Question, fill, tell
from shopledger.ledger.orders import Method
from shopledger.money.amount import Cents, write_amount

METHOD = Word(Method)
QUESTIONS = (
    Question("method", "--method", "Paid by (card, cash, check, transfer)", lambda typed: METHOD.read(typed, "method")),
    Question(
        "reference",
        "--reference",
        "A check's number, or a card's last four digits",
        text("reference", 40),
        optional=True,
    ),
)


@click.group()
def deposit() -> None:
    """Take money before there is an order, and hand it back."""


@deposit.command(context_settings=SIGNED)
@click.argument("customer")
@click.argument("amount", type=AMOUNT)
@click.option("--method", type=METHOD, help="How it was paid.")
@click.option("--reference", metavar="TEXT", help="A check's number, or a card's last four digits; never more.")
@click.option("--note", metavar="TEXT", default="", help="What it is for.")
@day_option("The day it was paid.")
@as_json
@pass_run
def take(run: Run, as_json: bool, **given: Any) -> None:
    r"""Take a customer's money before there is an order.

    It is owed to the customer until an order uses it.

    \b
    shopledger deposit take Fernhollow 50 --method cash
    shopledger payment take 12 --deposit 1
    """
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data
    from shopledger.desk.books.deposits import DepositRequest, take_deposit

    fill(run, given, QUESTIONS)
    card = take_deposit(run.desk(), DepositRequest(**{**given, "reference": given["reference"] or ""}))
    number = card.account.deposit.number
    show(as_json, deposit_data(card), *deposit_blocks(card))
    tell(f"Deposit {number} was taken. Use it with 'shopledger payment take ORDER --deposit {number}'.")


@deposit.command("list")
@click.option("--customer", metavar="CUSTOMER", help="Of one customer, number or name. Otherwise of all.")
@click.option("--all", "used_up", is_flag=True, help="Also those of which nothing is left.")
@as_json
@pass_run
def list_deposits(run: Run, customer: str | None, used_up: bool, as_json: bool) -> None:
    """List deposits of which something is left."""
    from shopledger.cli.views.deposits import deposit_data, deposit_table
    from shopledger.desk.books.deposits import deposits

    found = deposits(run.desk(), customer, used_up=used_up)
    show(as_json, {"deposits": [deposit_data(each) for each in found]}, deposit_table(found))


@deposit.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_deposit(run: Run, number: int, as_json: bool) -> None:
    """Show one deposit with what became of it."""
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data
    from shopledger.desk.books.deposits import deposit_card

    card = deposit_card(run.desk(), number)
    show(as_json, deposit_data(card), *deposit_blocks(card))


@deposit.command("give-back", context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT, required=False)
@click.option("--method", type=METHOD, help="How it is given back. Otherwise the way it was paid.")
@click.option("--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits.")
@click.option("--note", metavar="TEXT", default="", help="Why.")
@day_option("The day it was given back.")
@accept
@dry_run
@as_json
@pass_run
def give_back(
    run: Run,
    number: int,
    amount: Cents | None,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
    **given: Any,
) -> None:
    """Hand a deposit back, or a part of it.

    Without an amount it is all that is left.
    """
    from dataclasses import replace

    from shopledger.cli.findings import accepted
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data, handed_data, handed_fields
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.books.deposits import GiveBackRequest, plan_give_back
    from shopledger.desk.books.deposits import give_back as hand_back

    request = GiveBackRequest(amount, accept=frozenset(accept), **given)
    plan = plan_give_back(run.desk(), number, request)
    if dry_run:
        blocks = (finding_table(plan.findings),) if plan.findings else ()
        data = {**handed_data(plan.handed), "findings": finding_data(plan.findings)}
        show(as_json, data, handed_fields(plan.handed), *blocks)
        tell("Nothing was stored: this was a dry run.")
        return
    said_yes = accepted(run, plan.findings, request.accept)
    card = hand_back(run.desk(), number, replace(request, accept=said_yes))
    show(as_json, deposit_data(card), *deposit_blocks(card))
    tell(f"{write_amount(plan.handed.amount)} is given back by {plan.handed.method.value}.")
