"""Payments on orders."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import as_json, day_option
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import Question, fill, tell
from shopledger.ledger.orders import Method, OrderAccount, PaymentRequest
from shopledger.money.amount import read_amount, write_amount

METHOD = Word(Method)
QUESTIONS = (
    Question("amount", "--amount", "Amount", lambda typed: read_amount(typed, "amount")),
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
def payment() -> None:
    """Take payments on orders."""


@payment.command()
@click.argument("order", type=int)
@click.option("--amount", type=AMOUNT, help="How much was paid.")
@click.option("--method", type=METHOD, help="How it was paid.")
@click.option("--reference", metavar="TEXT", help="A check's number, or a card's last four digits; never more.")
@click.option("--deposit", type=int, help="Take it from this deposit; without --amount as much as is owed.")
@day_option("The day it was paid.")
@as_json
@pass_run
def take(run: Run, order: int, as_json: bool, deposit: int | None, **given: Any) -> None:
    r"""Take a payment; more than is owed is refused.

    \b
    shopledger payment take 12 --amount 129.95 --method card --reference 4242
    shopledger payment take 12 --deposit 3
    """
    from shopledger.cli.views.orders import account_data, account_fields

    account = _paid(run, order, given) if deposit is None else _used(run, order, deposit, given)
    show(as_json, account_data(account), account_fields(account))
    if account.balance:
        tell(f"Order {order} still owes {write_amount(account.balance)}.")
    else:
        tell(f"Order {order} is paid in full. Next: 'shopledger receipt issue {order} --wearer NAME --into FOLDER'.")


def _paid(run: Run, order: int, given: dict[str, Any]) -> OrderAccount:
    from shopledger.desk.payments import take_payment

    fill(run, given, QUESTIONS)
    request = PaymentRequest(given["amount"], given["method"], given["reference"] or "", given["day"])
    return take_payment(run.desk(), order, request)


def _used(run: Run, order: int, deposit: int, given: dict[str, Any]) -> OrderAccount:
    from shopledger.desk.books.deposits import pay_from_deposit

    if given["method"] is not None or given["reference"] is not None:
        raise click.UsageError("--deposit says how it was paid. Leave out --method and --reference.")
    return pay_from_deposit(run.desk(), order, deposit, given["amount"], given["day"])
