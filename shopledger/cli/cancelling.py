"""Taking back a whole order that has not been shipped."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import as_json, day_option
from shopledger.cli.output import show
from shopledger.cli.prompts import Question, fill, tell
from shopledger.money.amount import write_amount

QUESTIONS = (Question("reason", "--reason", "Why it is cancelled", text("reason", 2000)),)


@click.command()
@click.argument("number", type=int)
@click.option("--reason", metavar="TEXT", help="Why; it is kept with the order.")
@day_option("The day it was cancelled.")
@as_json
@pass_run
def cancel(run: Run, number: int, as_json: bool, **given: Any) -> None:
    """Cancel an order that was not shipped.

    Every entry is reversed by a new one, the goods are on the shelf again, and what was paid is to be paid back.
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.refunding import cancel_order

    fill(run, given, QUESTIONS)
    done = cancel_order(run.desk(), number, given["reason"], given["day"])
    data = {**account_data(done.account), "touched_receipts": list(done.touched_receipts)}
    show(as_json, data, account_fields(done.account))
    tell(f"Order {number} was cancelled.")
    for payment in done.repaid:
        tell(f"Pay back {write_amount(payment.amount)} by {payment.method.value} {payment.reference}".rstrip() + ".")
    for payment in done.put_back:
        tell(f"{write_amount(payment.amount)} is in deposit {payment.deposit_number} again.")
    for receipt in done.touched_receipts:
        tell(f"Receipt {receipt} holds no longer: ask for it back, and tell the plan if it was handed in.")
