"""Payees that may need an information return: what their W-9s say, a year's list, and whom a limit asks for."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    dry_run,
    inner,
    into_named_folder,
    made,
    needed,
    option,
    options,
    reason,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import AMOUNT, Word, text
from shopledger.cli.people import AddressOptions
from shopledger.cli.prompts import DRY_RUN, accepted, lacking, only_asked, tell
from shopledger.cli.year import YEAR
from shopledger.ledger.books.payee_forms import CAUTION, W9, ReportLimit, TaxpayerKind, read_tax_number
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.ledger.books.period import Period

_LONGEST = 64
"""Bytes that are read of a file with a number."""
_MOST_TRIES = 3


class W9Options(OptionSet):
    """What a W-9 says besides its number."""

    name: str | None = option(
        "--name", metavar="TEXT", help="The name on the W-9.", ask="Name on the W-9", read=text("name on the W-9")
    )
    address: AddressOptions = inner(AddressOptions)
    kind: TaxpayerKind | None = option(
        "--kind",
        type=Word(TaxpayerKind),
        help="What the payee is; an individual may be a sole proprietor.",
        ask="Kind (individual, corporation, partnership, other)",
    )
    number_from: Path | None = option(
        "--number-from",
        type=click.Path(path_type=Path, allow_dash=True),
        help="A file that holds the tax number alone, or - for what is piped in. Otherwise it is asked for unseen.",
    )
    backup_withholding: bool = option(
        "--backup-withholding", is_flag=True, help="Tax is held back of what the payee gets."
    )
    received: date | None = day("The day the W-9 came.", "--received")


class ErasingOptions(OptionSet):
    """Why a W-9 is erased."""

    reason: str | None = reason("Why, without the name; it is kept for good.", "Why it is erased")


@click.group()
def payee() -> None:
    """Keep the W-9s of payees, list who may need a 1099."""


@payee.command("w9")
@click.argument("payee_name", metavar="PAYEE")
@options(W9Options)
@accept
@dry_run
@as_json
@pass_run
def record_w9(
    run: Run, payee_name: str, given: W9Options, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Keep what a payee's W-9 says.

    PAYEE is the name that expenses and bills give. The tax number is typed unseen, or read from a file; it is kept
    in the ledger and never shown whole again. A new W-9 takes the place of an earlier one.

    Example:
    shopledger payee w9 "Imke Sandlark" --name "Imke Sandlark"
        --street "4 Quarry Road" --city Barre --state VT --zip 05641
        --kind individual --received 2026-01-12
    """
    from shopledger.cli.views.payees import OUT, w9_fields
    from shopledger.desk.books.payee_forms import plan_w9
    from shopledger.desk.books.payee_forms import record_w9 as keep

    given = asked(run, given)
    form = W9(
        payee_name,
        needed(given.name),
        given.address.whole,
        needed(given.kind),
        _number(run, given.number_from),
        given.received or run.today,
        given.backup_withholding,
    )
    plan = plan_w9(run.desk(), form)
    only_asked(plan.findings, accept)
    if dry_run:
        from shopledger.cli.views.lenses import finding_data, finding_table

        blocks = (finding_table(plan.findings),) if plan.findings else ()
        show(as_json, {**OUT.of(plan.form), "findings": finding_data(plan.findings)}, w9_fields(plan.form), *blocks)
        tell(DRY_RUN)
        return
    kept = keep(run.desk(), form, accepted(run, plan.findings, accept))
    show(as_json, OUT.of(kept), w9_fields(kept))
    tell(f"The W-9 of {kept.payee} is kept; its number ends in {kept.ending}.")


@payee.command("show")
@click.argument("payee_name", metavar="PAYEE")
@as_json
@pass_run
def show_payee(run: Run, payee_name: str, as_json: bool) -> None:
    """Show the W-9 of a payee, its number by the last four digits alone.

    Example:
    shopledger payee show 'Imke Sandlark'
    """
    from shopledger.cli.views.payees import OUT, w9_fields
    from shopledger.desk.books.payee_forms import w9_of

    found = w9_of(run.desk(), payee_name)
    show(as_json, OUT.of(found), w9_fields(found))


@payee.command("list")
@click.argument("which", metavar="YYYY", type=YEAR)
@as_json
@pass_run
def list_payees(run: Run, which: Period, as_json: bool) -> None:
    """List the payees of a year that may need a 1099.

    What was paid for services and rent by cash, check or transfer; payments by card are reported by the card
    companies and left out.

    Example:
    shopledger payee list 2026
    """
    from shopledger.cli.views.payees import list_data, list_table
    from shopledger.desk.books.payee_forms import payee_list

    found = payee_list(run.desk(), which)
    show(as_json, list_data(found), list_table(found))
    tell(f"From {write_amount(found.limit.amount)} on a payee is reported ({found.limit.source}).")
    for each in found.payees:
        if each.lacks:
            tell(f"The W-9 of {each.payee} is missing. Keep it with 'shopledger payee w9'.")
    tell(CAUTION)


@payee.command("limit")
@click.argument("which", metavar="YYYY", type=YEAR)
@click.argument("amount", type=AMOUNT)
@as_json
@pass_run
def set_limit(run: Run, which: Period, amount: Cents, as_json: bool) -> None:
    """Set from which sum of a year's payments a payee is reported.

    Example:
    shopledger payee limit 2027 2100
    """
    from shopledger.cli.views.payees import OUT, limit_fields
    from shopledger.desk.books.payee_forms import set_limit as keep

    kept = keep(run.desk(), ReportLimit(which.first.year, amount))
    show(as_json, OUT.of(kept), limit_fields(kept))
    tell(f"The limit of {kept.year} was set.")


@payee.command("hand-out")
@click.argument("payee_name", metavar="PAYEE")
@into_named_folder
@accept
@as_json
@pass_run
def hand_out(run: Run, payee_name: str, folder: Path, accept: tuple[str, ...], as_json: bool) -> None:
    """Write a W-9 with its whole number for the tax preparer.

    It asks first, and the audit keeps that it was done.

    Example:
    shopledger payee hand-out 'Imke Sandlark' --into papers
    """
    from shopledger.desk.books.payee_forms import hand_out as write
    from shopledger.desk.books.payee_forms import handing_out, w9_of

    form = w9_of(run.desk(), payee_name)
    findings = handing_out(form)
    said_yes = accepted(run, findings, accept)
    file = write(run.desk(), payee_name, made(folder), said_yes)
    show(as_json, {"payee": form.payee, "file": str(file)}, Drawing((str(file),)))
    tell("It holds a whole tax number: hand it over, then delete it.")


@payee.command("erase-w9")
@click.argument("payee_name", metavar="PAYEE")
@options(ErasingOptions)
@accept
@as_json
@pass_run
def erase_w9(run: Run, payee_name: str, given: ErasingOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Erase what a payee's W-9 says, once no tax record needs it.

    Name, address and tax number are blanked for good; what was paid stays.

    Example:
    shopledger payee erase-w9 'Imke Sandlark' --reason 'no longer needed'
    """
    from shopledger.cli.views.payees import OUT, erased_table
    from shopledger.desk.books.payee_forms import erase_w9 as erase
    from shopledger.desk.books.payee_forms import erasing, w9_of

    given = asked(run, given)
    form = w9_of(run.desk(), payee_name)
    done = erase(run.desk(), payee_name, needed(given.reason), accepted(run, erasing(form), accept))
    show(as_json, {"erasures": OUT.all(done)}, erased_table(done))
    tell("Backups made before still hold it: keep none longer than you need.")


def _number(run: Run, source: Path | None) -> str:
    """Read the tax number from a file, from what is piped in, or typed unseen."""
    if source is not None:
        return read_tax_number(_text_of(source))
    if not run.asks:
        lacking("--number-from")
    return _typed()


def _typed() -> str:
    from shopledger.errors import ShopledgerError

    for _ in range(_MOST_TRIES):
        typed: str = click.prompt("Tax number (not shown)", hide_input=True, err=True)
        try:
            return read_tax_number(typed)
        except ShopledgerError as error:
            tell(str(error))
    raise click.Abort


def _text_of(source: Path) -> str:
    if str(source) == "-":
        return sys.stdin.read(_LONGEST)
    from shopledger.files.reading import read_outside

    return read_outside(source, _LONGEST).decode("utf-8", "replace")
