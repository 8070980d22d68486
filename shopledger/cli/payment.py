"""Payments on orders."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, day_option
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.money.amount import write_amount


@click.group()
def payment() -> None:
    """Take payments on orders."""


@payment.command()
@click.argument("order", type=int)
@click.option("--amount", type=AMOUNT, required=True, help="How much was paid.")
@click.option("--method", type=Word(Method), required=True, help="How it was paid.")
@click.option(
    "--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits; never more."
)
@day_option("The day it was paid.")
@as_json
@pass_run
def take(run: Run, order: int, amount: int, method: Method, reference: str, day: date | None, as_json: bool) -> None:
    """Take a payment; more than is owed is refused."""
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.payments import take_payment

    account = take_payment(run.desk(), order, PaymentRequest(amount, method, reference, day))
    show(as_json, account_data(account), account_fields(account))
    if account.balance:
        tell(f"Order {order} still owes {write_amount(account.balance)}.")
    else:
        tell(f"Order {order} is paid in full. Next: 'shopledger receipt issue {order} --wearer NAME --into FOLDER'.")
