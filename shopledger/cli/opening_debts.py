"""Taking over what customers owed when the books began."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, day_option
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT
from shopledger.cli.prompts import tell

if TYPE_CHECKING:
    from datetime import date

    from shopledger.money.amount import Cents


@click.command("owed-before")
@click.argument("customer")
@click.argument("amount", type=AMOUNT)
@click.option("--about", metavar="TEXT", required=True, help="What it is for, such as the number of an old invoice.")
@day_option("The day on which the books begin.")
@as_json
@pass_run
def owed_before(run: Run, customer: str, amount: Cents, about: str, day: date | None, as_json: bool) -> None:
    """Take over what a customer owed when the books began.

    It is paid, written off and cancelled like an order, and is no sale of these books: it comes out of the opening
    balances. On cash it counts when it is paid.

    Example:
    shopledger sale owed-before 3 120 --about "invoice 88" --day 2027-01-01
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.books.opening_debts import take_over_debt

    account = take_over_debt(run.desk(), customer, amount, about, day)
    show(as_json, account_data(account), account_fields(account))
    tell(f"It is paid with 'shopledger payment take {account.order.number}'.")
