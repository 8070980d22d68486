"""Receipts after they were issued: replaced, handed in, still open."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import archive, as_json, day_option, into_folder, made
from shopledger.cli.output import Column, Fields, Json, Table, show
from shopledger.cli.params import DAY
from shopledger.cli.prompts import Question, fill, tell
from shopledger.cli.views.figures import day, money
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from datetime import date

    from shopledger.desk.claims import OpenClaim

REASON = (Question("reason", "--reason", "Why it is replaced", text("reason", 2000)),)


@click.command()
@click.argument("number", type=int)
@click.option("--reason", metavar="TEXT", help="Why: a refund, a remake, a correction.")
@into_folder
@click.option("--not-paid-in-full", is_flag=True, help="Print it although something is owed, marked as what it is.")
@archive
@as_json
@pass_run
def replace(
    run: Run, number: int, folder: Path, not_paid_in_full: bool, archive: bool, as_json: bool, **given: Any
) -> None:
    """Issue a new receipt in the place of an old one.

    The new one has a number of its own and says all that happened since; the old one, printed again, says what took
    its place.
    """
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.receipts import replace_receipt

    fill(run, given, REASON)
    how = {"not_paid_in_full": not_paid_in_full, "archive": archive}
    printed = replace_receipt(run.desk(), number, given["reason"], made(folder), **how)
    data = {**receipt_data(printed.receipt), "replaces": number, "file": str(printed.file)}
    show(as_json, data, receipt_table((printed.receipt,)), Fields("", (("file", printed.file),)))
    tell(f"Receipt {printed.receipt.number} takes the place of {number}.")


@click.command()
@click.argument("number", type=int)
@day_option("The day it was handed in.")
@as_json
@pass_run
def claimed(run: Run, number: int, as_json: bool, **given: Any) -> None:
    """Note that the customer handed a receipt in."""
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.claims import mark_claimed

    receipt = mark_claimed(run.desk(), number, given["day"])
    show(as_json, receipt_data(receipt), receipt_table((receipt,)))
    tell(f"Receipt {number} is noted as handed in.")


@click.command()
@click.option(
    "--since",
    type=DAY,
    help="Look at orders from this day on. Otherwise a year back, further where a plan gives longer.",
)
@as_json
@pass_run
def unclaimed(run: Run, since: date | None, as_json: bool) -> None:
    """List what is paid and not handed in, most urgent first."""
    from shopledger.desk.claims import unclaimed as open_claims

    found = open_claims(run.desk(), since)
    show(as_json, {"unclaimed": [_claim_data(run, each) for each in found]}, _claim_table(run, found))
    if any(each.receipt is None for each in found):
        tell("Issue the missing receipts with 'shopledger receipt issue --all-open --into FOLDER'.")


def issue_all(run: Run, folder: Path, as_json: bool, *, archive: bool) -> None:
    """Issue every open receipt, with progress beside the data."""
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.claims import issue_all_open

    done = issue_all_open(run.desk(), folder, lambda at, of: tell(f"{at} of {of}"), archive=archive)
    printed: list[Json] = [{**receipt_data(each.receipt), "file": str(each.file)} for each in done.printed]
    refused: list[Json] = [
        {"order": claim.order_number, "wearer": claim.wearer, "reason": str(error)} for claim, error in done.refused
    ]
    table = receipt_table([each.receipt for each in done.printed])
    show(as_json, {"receipts": printed, "refused": refused}, table)
    for claim, error in done.refused:
        tell(f"Order {claim.order_number}, {claim.wearer}: {error}")
    if done.refused:
        click.get_current_context().exit(done.refused[0][1].exit_code)


def _claim_data(run: Run, claim: OpenClaim) -> dict[str, Json]:
    return {
        "order": claim.order_number,
        "customer": claim.customer,
        "wearer": claim.wearer,
        "amount": money(claim.amount),
        "receipt": claim.receipt,
        "overtaken": claim.overtaken,
        "shipped_on": day(claim.served_on) or None,
        "last_day": day(claim.last_day) or None,
        "days_left": claim.runs_out(run.today),
    }


def _claim_table(run: Run, claims: tuple[OpenClaim, ...]) -> Table:
    columns = (
        Column("order", right=True),
        Column("wearer"),
        Column("amount", right=True),
        Column("receipt"),
        Column("last day", whole=True),
        Column("days left", right=True),
    )
    rows = []
    for claim in claims:
        left = claim.runs_out(run.today)
        receipt = "none" if claim.receipt is None else f"{claim.receipt}{', to replace' if claim.overtaken else ''}"
        until = day(claim.last_day) or ("not known" if claim.served_on else "not shipped")
        cells = (str(claim.order_number), claim.wearer, write_amount(claim.amount), receipt, until)
        rows.append((*cells, "" if left is None else "over" if left < 0 else str(left)))
    return Table("Not handed in", columns, rows, "nothing: all that is paid was handed in.")
