"""Refunds: money given back on the lines of an order, with or without the goods."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import as_json, day_option, dry_run
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Typed, Word
from shopledger.cli.prompts import Question, fill, tell
from shopledger.errors import RefusedError
from shopledger.ledger.orders import Method
from shopledger.money.amount import Cents, write_amount

METHOD = Word(Method)
QUESTIONS = (
    Question("reason", "--reason", "Why it is given back", text("reason", 2000)),
    Question(
        "method", "--method", "Given back by (card, cash, check, transfer)", lambda typed: METHOD.read(typed, "method")
    ),
)


def read_line(typed: str, field: str) -> tuple[int, Cents | None]:
    """Read `3` for all that is left of a line, or `3=50.00` for some of it."""
    number, marked, amount = typed.partition("=")
    return _number(number, field, "as in 3 or 3=50.00"), AMOUNT.read(amount, field) if marked else None


def read_returned(typed: str, field: str) -> tuple[int, int]:
    """Read `3` for one that came back on a line, or `3=2` for two."""
    number, marked, count = typed.partition("=")
    form = "as in 3 or 3=2"
    return _number(number, field, form), _number(count, field, form) if marked else 1


def _number(typed: str, field: str, form: str) -> int:
    plain = typed.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 7):
        raise RefusedError(field, f"'{plain}'", f"it begins with the number of a line, {form}", "Type it so.")
    return int(plain)


@click.group()
def refund() -> None:
    """Give money back on orders."""


@refund.command()
@click.argument("order", type=int)
@click.option(
    "--line",
    "lines",
    type=Typed("line[=amount]", read_line),
    multiple=True,
    help="A line as 'sale show' counts it, whole or some of its net charge; may be given again.",
)
@click.option(
    "--returned",
    type=Typed("line[=count]", read_returned),
    multiple=True,
    help="Goods of a line that came back; without --line the line is given back whole.",
)
@click.option("--method", type=METHOD, help="How it is given back.")
@click.option("--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits.")
@click.option("--reason", metavar="TEXT", help="Why; it stands on the next receipt.")
@day_option("The day it was given back.")
@dry_run
@as_json
@pass_run
def give(run: Run, order: int, dry_run: bool, as_json: bool, **given: Any) -> None:
    r"""Give money back; without lines all that is left.

    Tax goes back in proportion. Goods that came back go on the shelf at the cost they left at.

    \b
    shopledger refund give 12 --line 3=50.00 --method card --reason "scratched"
    shopledger refund give 12 --returned 1 --method check --reason "too small"
    """
    from shopledger.cli.views.orders import OUT, account_fields, refund_table
    from shopledger.desk.refunding import give_refund, planned_refund
    from shopledger.desk.sales import order_account
    from shopledger.ledger.refunds import RefundRequest

    fill(run, given, QUESTIONS)
    request = RefundRequest(given["method"], given["reason"], _lines(given), given["reference"], given["day"])
    desk = run.desk()
    if dry_run:
        planned = planned_refund(desk, order, request)
        show(as_json, OUT.of(planned), refund_table(planned, order_account(desk, order).order))
        tell("Nothing was stored: this was a dry run.")
        return
    done = give_refund(desk, order, request)
    data = {**OUT.of(done.refund), "touched_receipts": list(done.touched_receipts)}
    show(as_json, data, refund_table(done.refund, done.account.order), account_fields(done.account))
    tell(f"{write_amount(done.refund.amount)} is given back by {done.refund.method.value}.")
    for receipt in done.touched_receipts:
        words = f"shopledger receipt replace {receipt} --reason 'a refund' --into FOLDER"
        tell(f"Receipt {receipt} does not say so. Next: '{words}'.")


def _lines(given: dict[str, Any]) -> tuple[Any, ...]:
    from shopledger.ledger.refunds import RefundedLine

    came_back = dict(given["returned"])
    if len(came_back) < len(given["returned"]):
        raise click.UsageError("--returned names a line twice. Add the two counts up.")
    named = [RefundedLine(line, net, came_back.pop(line, 0)) for line, net in given["lines"]]
    return (*named, *(RefundedLine(line, None, count) for line, count in came_back.items()))
