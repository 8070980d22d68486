"""Whose data: what is held on somebody, erasing it, a legal hold, and for how many years records are kept."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    changes,
    dry_run,
    made,
    needed,
    option,
    options,
    replace_files,
    together,
)
from shopledger.cli.options import reason as reason_option
from shopledger.cli.output import show
from shopledger.cli.prompts import DRY_RUN, accepted, tell

if TYPE_CHECKING:
    from shopledger.desk.erasing import ErasureRequest, Held

WHO = click.argument("who", metavar="CUSTOMER")
WHICH = click.argument("which", metavar="WEARER")
OF_CUSTOMER = click.option("--customer", "who", metavar="CUSTOMER", required=True, help="Who pays: number or name.")
INTO = together(
    click.option(
        "--into",
        "folder",
        type=click.Path(file_okay=False, path_type=Path),
        help="Folder to write all of it into, for the person: as JSON, and to be read.",
    ),
    replace_files,
)
ASKED_BY = ("person", "customer", "guardian", "owner", "authority")


class ErasureOptions(OptionSet):
    """Who asked for an erasure, and why."""

    reason: str | None = reason_option("Why; it is kept for good, so without a name.", "Why, without a name")
    asked_by: str = option("--asked-by", type=click.Choice(ASKED_BY), default="person", help="Who asked for it.")


class HoldOptions(OptionSet):
    """A legal hold."""

    reason: str | None = reason_option("Why; it goes when the person is erased.", "Why")
    lift: bool = option("--lift", is_flag=True, help="Let the records go again.")


class KeepingOptions(OptionSet):
    """For how many years records are kept."""

    lens_years: int | None = option(
        "--lens-years", type=int, help="Years after shipping; 21 CFR 801.410(e) asks for 3 at least."
    )
    tax_years: int | None = option(
        "--tax-years", type=int, help="Years after the return was due; 3 to 7 are usual, 7 is safe."
    )
    state_years: int | None = option(
        "--state-years",
        type=int,
        help="Years after shipping that your state's rule for dispensers asks for; 0 for none.",
    )
    audit_years: int | None = option(
        "--audit-years", type=int, help="Years for which it is known who looked at what; 6 is usual."
    )


def for_customers(group: click.Group) -> None:
    """Put the commands on a customer's data into the group of customers."""

    @group.command("held")
    @WHO
    @INTO
    @as_json
    @pass_run
    def held(run: Run, who: str, folder: Path | None, as_json: bool) -> None:
        """Show all that is held on a customer, and until when.

        Example:
        shopledger customer held 7 --into letters
        """
        _held(run, who, None, folder, as_json)

    @group.command("erase")
    @WHO
    @options(ErasureOptions)
    @accept
    @dry_run
    @as_json
    @pass_run
    def erase(run: Run, who: str, given: ErasureOptions, accept: tuple[str, ...], dry_run: bool, as_json: bool) -> None:
        """Erase a customer, once nothing keeps the records.

        Of all wearers too, names, addresses, prescriptions, measurements and what papers say are blanked for good;
        numbers, days, money and stock stay, and the books still prove it. Where a rule keeps the records, it is said
        until when.

        Example:
        shopledger customer erase 7 --reason 'asked by letter'
        """
        _erase(run, (who, None), given, accept, dry_run, as_json)

    @group.command("hold")
    @WHO
    @options(HoldOptions)
    @as_json
    @pass_run
    def hold(run: Run, who: str, given: HoldOptions, as_json: bool) -> None:
        """Keep a customer's records whatever the rules say.

        Example:
        shopledger customer hold 7 --reason 'a lawsuit'
        """
        _hold(run, who, None, given, as_json)


def for_wearers(group: click.Group) -> None:
    """Put the commands on a wearer's data into the group of wearers."""

    @group.command("held")
    @WHICH
    @OF_CUSTOMER
    @INTO
    @as_json
    @pass_run
    def held(run: Run, which: str, who: str, folder: Path | None, as_json: bool) -> None:
        """Show all that is held on a wearer, and until when.

        Example:
        shopledger wearer held Wren --customer Fernhollow --into letters
        """
        _held(run, who, which, folder, as_json)

    @group.command("erase")
    @WHICH
    @OF_CUSTOMER
    @options(ErasureOptions)
    @accept
    @dry_run
    @as_json
    @pass_run
    def erase(
        run: Run,
        which: str,
        who: str,
        given: ErasureOptions,
        accept: tuple[str, ...],
        dry_run: bool,
        as_json: bool,
    ) -> None:
        """Erase one wearer, once nothing keeps the records.

        The customer stays.

        Example:
        shopledger wearer erase Wren --customer Fernhollow --reason 'asked by letter'
        """
        _erase(run, (who, which), given, accept, dry_run, as_json)

    @group.command("hold")
    @WHICH
    @OF_CUSTOMER
    @options(HoldOptions)
    @as_json
    @pass_run
    def hold(run: Run, which: str, who: str, given: HoldOptions, as_json: bool) -> None:
        """Keep a wearer's records whatever the rules say.

        Example:
        shopledger wearer hold Wren --customer Fernhollow --reason 'a lawsuit'
        """
        _hold(run, who, which, given, as_json)


@click.group()
def erasure() -> None:
    """See who was erased, and erase again after a restore."""


@erasure.command("list")
@as_json
@pass_run
def list_erasures(run: Run, as_json: bool) -> None:
    """List all erasures with what was blanked.

    Example:
    shopledger erasure list
    """
    from shopledger.cli.views.erasing import erasure_data, erasure_table
    from shopledger.desk.erasing import erasures

    found = erasures(run.desk())
    show(as_json, {"erasures": [erasure_data(*each) for each in found]}, erasure_table(found))


@erasure.command("again")
@as_json
@pass_run
def again(run: Run, as_json: bool) -> None:
    """Erase again whom an older copy of the ledger still knows.

    The list of erasures is kept on this computer beside the ledger. Doing it twice does no harm.

    Example:
    shopledger erasure again
    """
    from shopledger.cli.views.erasing import erasure_data, erasure_table
    from shopledger.desk.erasing import erase_again

    done = erase_again(run.desk())
    show(as_json, {"erasures": [erasure_data(each, ()) for each in done]}, erasure_table([(each, ()) for each in done]))
    tell(f"{len(done)} erased again." if done else "Nobody had to be erased again.")


@click.command("keeping")
@options(KeepingOptions)
@as_json
@pass_run
def keeping(run: Run, given: KeepingOptions, as_json: bool) -> None:
    """Show or set for how many years records are kept.

    Example:
    shopledger shop keeping --state-years 5
    """
    from shopledger.cli.views.erasing import OUT, keeping_fields
    from shopledger.desk.erasing import change_keeping
    from shopledger.desk.erasing import keeping as kept

    years: dict[str, Any] = changes(given)
    found = change_keeping(run.desk(), years) if years else kept(run.desk())
    show(as_json, OUT.of(found), keeping_fields(found))


def _held(run: Run, who: str, which: str | None, folder: Path | None, as_json: bool) -> None:
    from shopledger.cli.views.erasing import held_blocks, held_data
    from shopledger.desk.erasing import export_held, held_on

    if folder is None:
        held = held_on(run.desk(), who, which)
        show(as_json, held_data(held), *held_blocks(held))
    else:
        held, files = export_held(run.desk(), who, made(folder), which)
        show(as_json, {**held_data(held), "files": [str(file) for file in files]}, *held_blocks(held, files))
    _tell_until(run, held)


def _tell_until(run: Run, held: Held) -> None:
    against = held.retention.against(run.today)
    for reason in against:
        tell(f"{reason.sentence}.")
    day = held.retention.erasable_from
    if not against:
        tell("Nothing keeps these records: they may be erased today.")
    elif day is None:
        tell("They may be erased once that is settled.")
    else:
        tell(f"They may be erased from {day.isoformat()} on.")


def _erase(
    run: Run,
    whom: tuple[str, str | None],
    given: ErasureOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    from dataclasses import replace

    from shopledger.cli.views.erasing import done_blocks, done_data, held_blocks, held_data
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.erasing import erase, plan_erasure

    request = _request(whom, asked(run, given))
    plan = plan_erasure(run.desk(), request)
    if dry_run:
        data = {**held_data(plan.held), "findings": finding_data(plan.findings)}
        show(as_json, data, *held_blocks(plan.held), finding_table(plan.findings))
        tell(DRY_RUN)
        return
    done = erase(run.desk(), replace(request, accept=accepted(run, plan.findings, accept)))
    show(as_json, done_data(done), *done_blocks(done))
    tell("Make a new backup now, and destroy the older ones when their time comes: they still hold the person.")
    if done.papers:
        tell(f"Outside the ledger, for you to see to: printed or sent files of {', '.join(done.papers)}.")
    if not done.packed:
        tell("The file could not be packed, since another command uses it; it will be at the next 'erasure again'.")
    if not done.remembered:
        tell("The list of erasures on this computer could not be written; keep 'shopledger erasure list --json'.")


def _request(whom: tuple[str, str | None], given: ErasureOptions) -> ErasureRequest:
    from shopledger.desk.erasing import ErasureRequest
    from shopledger.ledger.erasing import AskedBy

    customer, wearer = whom
    return ErasureRequest(customer, needed(given.reason), AskedBy(given.asked_by), wearer)


def _hold(run: Run, who: str, which: str | None, given: HoldOptions, as_json: bool) -> None:
    from shopledger.cli.views.erasing import OUT, hold_fields
    from shopledger.desk.erasing import place_hold

    given = asked(run, given)
    done = place_hold(run.desk(), who, needed(given.reason), which, lift=given.lift)
    show(as_json, OUT.of(done), hold_fields(done))
    tell("The hold was lifted." if given.lift else "Nothing of it is erased until the hold is lifted.")
