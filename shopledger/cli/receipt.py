"""Claim receipts: issued once, printed as often as wanted."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.claims import claimed, issue_all, replace, unclaimed
from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import archive, as_json, into_folder, made
from shopledger.cli.output import Fields, Json, show
from shopledger.cli.prompts import Question, fill, tell


@click.group()
def receipt() -> None:
    """Issue claim receipts, and print them again."""


@receipt.command()
@click.argument("order", type=int, required=False)
@click.option("--wearer", metavar="NAME", help="For whom: a receipt is for one wearer.")
@click.option("--all-open", is_flag=True, help="Issue one for all that is paid and unclaimed.")
@into_folder
@click.option("--not-paid-in-full", is_flag=True, help="Print it although something is owed, marked as what it is.")
@archive
@as_json
@pass_run
def issue(
    run: Run,
    order: int | None,
    wearer: str | None,
    all_open: bool,
    folder: Path,
    not_paid_in_full: bool,
    archive: bool,
    as_json: bool,
) -> None:
    """Issue and print a receipt.

    Its number is taken and its content frozen; it can only be printed again, never changed.
    """
    if all_open:
        if order is not None or wearer is not None or not_paid_in_full:
            raise click.UsageError("--all-open takes no order, no --wearer and no --not-paid-in-full. Leave them out.")
        issue_all(run, made(folder), as_json, archive=archive)
        return
    if order is None:
        raise click.UsageError("The order is missing. Give its number, or --all-open for all that are paid.")
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.receipts import issue_receipt

    given = {"wearer": wearer}
    fill(run, given, (Question("wearer", "--wearer", "Wearer", text("wearer")),))
    how = {"not_paid_in_full": not_paid_in_full, "archive": archive}
    printed = issue_receipt(run.desk(), order, str(given["wearer"]), made(folder), **how)
    data = {**receipt_data(printed.receipt), "file": str(printed.file)}
    show(as_json, data, receipt_table((printed.receipt,)), Fields("", (("file", printed.file),)))
    tell(f"Receipt {printed.receipt.number} was issued. What a plan makes of it, the plan decides.")


@receipt.command("print")
@click.argument("number", type=int)
@into_folder
@archive
@as_json
@pass_run
def print_again(run: Run, number: int, folder: Path, archive: bool, as_json: bool) -> None:
    """Print an issued receipt again, marked as a copy."""
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.receipts import print_receipt

    printed = print_receipt(run.desk(), number, made(folder), archive=archive)
    data = {**receipt_data(printed.receipt), "file": str(printed.file)}
    show(as_json, data, receipt_table((printed.receipt,)), Fields("", (("file", printed.file),)))


@receipt.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_receipt(run: Run, number: int, as_json: bool) -> None:
    """Show an issued receipt as it was frozen."""
    import json

    from shopledger.cli.views.orders import content_blocks, receipt_data
    from shopledger.desk.receipts import receipt_numbered

    found = receipt_numbered(run.desk(), number)
    content: Json = json.loads(found.canonical)
    show(as_json, {**receipt_data(found), "content": content}, *content_blocks(found))


@receipt.command("list")
@click.option("--order", type=int, help="Only those of this order.")
@as_json
@pass_run
def list_receipts(run: Run, order: int | None, as_json: bool) -> None:
    """List issued receipts, newest first."""
    from shopledger.cli.views.orders import receipt_data, receipt_table
    from shopledger.desk.receipts import receipts

    found = receipts(run.desk(), order)
    show(as_json, {"receipts": [receipt_data(each) for each in found]}, receipt_table(found))


for command in (replace, claimed, unclaimed):
    receipt.add_command(command)
