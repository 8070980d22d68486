"""Claim receipts: issued once, printed as often as wanted, replaced; handed in, or still open."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.lists import Row, listing
from shopledger.cli.options import (
    OptionSet,
    archive,
    as_json,
    asked,
    day_option,
    into_paper_folder,
    made,
    needed,
    option,
    options,
    reason,
)
from shopledger.cli.output import Json, show
from shopledger.cli.params import DAY
from shopledger.cli.prompts import ask, lacking, tell
from shopledger.errors import listed


class IssueOptions(OptionSet):
    """Whose receipt is issued."""

    wearer: str = option(
        "--wearer",
        metavar="NAME",
        default="",
        help="For whom; 'nobody' for what is the customer's. Otherwise the order's only wearer, or the customer.",
    )


class ReplaceOptions(OptionSet):
    """Why a receipt is replaced."""

    reason: str | None = reason("Why: a refund, a remake, a correction.", "Why it is replaced")


@click.group()
def receipt() -> None:
    """Issue claim receipts, and print them again."""


@receipt.command()
@click.argument("order", type=int, required=False)
@options(IssueOptions)
@click.option("--all-open", is_flag=True, help="Issue one for all that is paid and unclaimed.")
@into_paper_folder
@click.option("--not-paid-in-full", is_flag=True, help="Print it although something is owed, marked as what it is.")
@archive
@as_json
@pass_run
def issue(
    run: Run,
    order: int | None,
    given: IssueOptions,
    all_open: bool,
    folder: Path,
    not_paid_in_full: bool,
    archive: bool,
    as_json: bool,
) -> None:
    """Issue and print a receipt.

    Its number is taken and its content frozen; it can only be printed again, never changed.

    Example:
    shopledger receipt issue 12 --wearer Odalys --into papers
    """
    if all_open:
        if order is not None or given.wearer or not_paid_in_full:
            raise click.UsageError("--all-open takes no order, no --wearer and no --not-paid-in-full. Leave them out.")
        _issue_all(run, made(folder), as_json, archive=archive)
        return
    if order is None:
        lacking("order", "The order is missing. Give its number, or --all-open for all that are paid.")
    from shopledger.cli.views.receipts import printed_blocks, printed_data
    from shopledger.desk.receipts import issue_receipt

    printed = issue_receipt(
        run.desk(),
        order,
        given.wearer or _ask_receiver(run, order),
        made(folder),
        not_paid_in_full=not_paid_in_full,
        archive=archive,
    )
    show(as_json, printed_data(printed), *printed_blocks(printed))
    tell(f"Receipt {printed.receipt.number} was issued. What a plan makes of it, the plan decides.")


@receipt.command("print")
@click.argument("number", type=int)
@into_paper_folder
@archive
@as_json
@pass_run
def print_again(run: Run, number: int, folder: Path, archive: bool, as_json: bool) -> None:
    """Print an issued receipt again, marked as a copy.

    Example:
    shopledger receipt print 5 --into papers
    """
    from shopledger.cli.views.receipts import printed_blocks, printed_data
    from shopledger.desk.receipts import print_receipt

    printed = print_receipt(run.desk(), number, made(folder), archive=archive)
    show(as_json, printed_data(printed), *printed_blocks(printed))
    if printed.overtaken:
        _tell_overtaken(number)


@receipt.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_receipt(run: Run, number: int, as_json: bool) -> None:
    """Show an issued receipt as it was frozen.

    Example:
    shopledger receipt show 5
    """
    import json

    from shopledger.cli.views.receipts import content_blocks, receipt_data
    from shopledger.desk.receipt_lookups import overtaken_of, receipt_numbered

    desk = run.desk()
    found = receipt_numbered(desk, number)
    past = overtaken_of(desk, [found])
    content: Json = json.loads(found.canonical)
    show(as_json, {**receipt_data(found, past), "content": content}, *content_blocks(found))
    if past:
        _tell_overtaken(number)


@receipt.command("list")
@click.option("--order", type=int, help="Only those of this order.")
@as_json
@pass_run
def list_receipts(run: Run, order: int | None, as_json: bool) -> None:
    """List issued receipts, newest first.

    Example:
    shopledger receipt list
    """
    from shopledger.cli.views.receipts import receipt_data, receipt_table
    from shopledger.desk.receipt_lookups import overtaken_of, receipts

    desk = run.desk()
    found = receipts(desk, order)
    past = overtaken_of(desk, found)
    show(as_json, {"receipts": [receipt_data(each, past) for each in found]}, receipt_table(found, past))


@receipt.command()
@click.argument("number", type=int)
@options(ReplaceOptions)
@into_paper_folder
@click.option("--not-paid-in-full", is_flag=True, help="Print it although something is owed, marked as what it is.")
@archive
@as_json
@pass_run
def replace(
    run: Run,
    number: int,
    given: ReplaceOptions,
    folder: Path,
    not_paid_in_full: bool,
    archive: bool,
    as_json: bool,
) -> None:
    """Issue a new receipt in the place of an old one.

    The new one has a number of its own and says all that happened since; the old one, printed again, says what took
    its place.

    Example:
    shopledger receipt replace 5 --reason 'a correction' --into papers
    """
    from shopledger.cli.views.receipts import printed_blocks, printed_data
    from shopledger.desk.receipts import replace_receipt

    given = asked(run, given)
    printed = replace_receipt(
        run.desk(),
        number,
        needed(given.reason),
        made(folder),
        not_paid_in_full=not_paid_in_full,
        archive=archive,
    )
    show(as_json, printed_data(printed, replaces=number), *printed_blocks(printed))
    tell(f"Receipt {printed.receipt.number} takes the place of {number}.")


@receipt.command()
@click.argument("number", type=int)
@day_option("The day it was handed in.")
@as_json
@pass_run
def claimed(run: Run, number: int, day: date | None, as_json: bool) -> None:
    """Note that the customer handed a receipt in.

    Example:
    shopledger receipt claimed 5 --day yesterday
    """
    from shopledger.cli.views.receipts import receipt_data, receipt_table
    from shopledger.desk.claims import mark_claimed

    receipt = mark_claimed(run.desk(), number, day)
    show(as_json, receipt_data(receipt), receipt_table((receipt,)))
    tell(f"Receipt {number} is noted as handed in.")


@receipt.command()
@click.option(
    "--since",
    type=DAY,
    help="Look at orders from this day on. Otherwise a year back, further where a plan gives longer.",
)
@as_json
@pass_run
def unclaimed(run: Run, since: date | None, as_json: bool) -> None:
    """List what is paid and not handed in, most urgent first.

    Example:
    shopledger receipt unclaimed
    """
    from shopledger.cli.views.receipts import claim_data, claim_table
    from shopledger.desk.claims import unclaimed as open_claims

    found = open_claims(run.desk(), since)
    show(as_json, {"unclaimed": [claim_data(each, run.today) for each in found]}, claim_table(found, run.today))
    if any(each.receipt is None for each in found):
        tell("Issue the missing receipts with 'shopledger receipt issue --all-open'.")


def _ask_receiver(run: Run, order: int) -> str:
    """Ask for whom a receipt is, where the order leaves a choice and somebody can answer."""
    if not run.asks:
        return ""
    from shopledger.cli.questions import read_wearer
    from shopledger.desk.receipts import receivers
    from shopledger.ledger.orders import NOBODY

    names = list(receivers(run.desk(), order))
    if len(names) < 2:
        return ""
    wearers = [name for name in names if name != NOBODY]
    usual = wearers[0] if len(wearers) == 1 else None
    of = listing("wearer", (Row(name) for name in names))
    return ask(f"For whom ({listed(names)})", partial(read_wearer, names), default=usual, of=of)


def _tell_overtaken(number: int) -> None:
    words = f"shopledger receipt replace {number} --reason 'why'"
    tell(
        f"Receipt {number} was overtaken: the order has changed since, and nothing took its place yet. Next: '{words}'."
    )


def _issue_all(run: Run, folder: Path, as_json: bool, *, archive: bool) -> None:
    """Issue every open receipt, with progress beside the data."""
    from shopledger.cli.views.receipts import receipt_data, receipt_table
    from shopledger.desk.issuing import issue_all_open

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
