"""Equipment: the list of what was bought to last, and what became of it."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import SIGNED, OptionSet, as_json, asked, day, dry_run, needed, option, options, reference
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, DAY, Word
from shopledger.cli.prompts import DRY_RUN, tell
from shopledger.ledger.books.disposals import DECIDES, DisposalKind
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.money.amount import Cents, write_amount


class DisposalOptions(OptionSet):
    """What became of a piece, what was written off of it, and what it brought."""

    how: DisposalKind | None = option(
        "--how",
        type=Word(DisposalKind),
        help="What became of it.",
        ask="What became of it (sold, traded in, scrapped, stolen or lost, taken home)",
    )
    depreciation: Cents | None = option(
        "--depreciation",
        type=AMOUNT,
        help="What the books have written off of it so far; 0 for nothing.",
        ask="Written off of it so far",
    )
    proceeds: Cents = option("--proceeds", type=AMOUNT, default="0", help="What it brought. Otherwise nothing.")
    till: CashAccount = option(
        "--till", type=Word(CashAccount), default=CashAccount.BANK.value, help="Where that came in. Otherwise the bank."
    )
    cost: Cents | None = option(
        "--cost", type=AMOUNT, help="The cost of the part that is gone. Otherwise all that is there."
    )
    reference: str | None = reference("Number of the check or transfer")
    note: str = option("--note", metavar="TEXT", default="", help="To whom it went, or why.")
    day: date | None = day("The day it went.")


@click.group()
def equipment() -> None:
    """List equipment, and record what became of it."""


@equipment.command("list")
@click.option("--on", type=DAY, help="At the end of this day. Otherwise today.")
@as_json
@pass_run
def list_equipment(run: Run, on: date | None, as_json: bool) -> None:
    """List equipment: when it came, what it cost, what became of it.

    It comes with expenses, bills and adjusting entries of equipment.

    Example:
    shopledger equipment list --on 2026-12-31
    """
    from shopledger.cli.views.equipment import list_data, list_table
    from shopledger.desk.books.disposing import equipment_list

    found = equipment_list(run.desk(), on)
    show(as_json, list_data(found), list_table(found))
    tell(DECIDES)


@equipment.command("dispose", context_settings=SIGNED)
@click.argument("piece")
@options(DisposalOptions)
@dry_run
@as_json
@pass_run
def dispose_of(run: Run, piece: str, given: DisposalOptions, dry_run: bool, as_json: bool) -> None:
    """Record that a piece of equipment is gone.

    PIECE is what it came with, as the list shows it. Nothing is edited: cost and what was written off leave by an
    entry of its own, what it brought comes in, and the gain or loss stands apart from the trade.

    Example:
    shopledger equipment dispose "bill 3 line 2" --how sold
        --depreciation 900 --proceeds 250 --till bank --note "to a colleague"
    """
    from shopledger.cli.views.equipment import OUT, disposal_fields
    from shopledger.desk.books.disposing import DisposalRequest, dispose, plan_disposal

    given = asked(run, given, "how", "depreciation")
    request = DisposalRequest(
        piece,
        needed(given.how),
        needed(given.depreciation),
        given.proceeds,
        given.till,
        given.cost,
        given.reference or "",
        given.note,
        given.day,
    )
    if dry_run:
        plan = plan_disposal(run.desk(), request)
        show(as_json, OUT.of(plan), disposal_fields(plan))
        tell(DRY_RUN)
        return
    done = dispose(run.desk(), request)
    show(as_json, OUT.of(done), disposal_fields(done))
    word = "gain" if done.gain >= 0 else "loss"
    tell(f"Disposal {done.number} was recorded, with a {word} of {write_amount(abs(done.gain))}. {DECIDES}")
