"""The shop and its ledger: set up, shown and changed; where the ledger lies, and the proof that nobody changed it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.erasing import keeping
from shopledger.cli.options import (
    OptionSet,
    as_json,
    asked,
    changes,
    existing_file,
    inner,
    option,
    options,
    some_changes,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import (
    AMOUNT,
    AMOUNT_OR_OFF,
    EIN,
    MM,
    MONTHS_OR_OFF,
    NPI,
    PROGRESSIVE_BASE,
    RATE,
    Off,
    Typed,
    Word,
    email_typed,
    phone_typed,
    text,
)
from shopledger.cli.people import AddressOptions
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import Design
from shopledger.ledger.parties import Shop
from shopledger.ledger.settings import Accounting, Advances, InventoryView, Settings
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate
from shopledger.money.tax import TaxRounding

if TYPE_CHECKING:
    from shopledger.ledger.books.proofs import KeptHead


class ProfileOptions(OptionSet):
    """Who the shop is."""

    name: str | None = option(
        "--name",
        metavar="TEXT",
        help="The shop's name, as it stands on every paper.",
        ask="Name of the shop",
        read=text("shop name"),
    )
    address: AddressOptions = inner(AddressOptions)
    phone: str | None = option("--phone", metavar="TEXT", help="Phone number.", ask="Phone", read=phone_typed)
    email: str | None = option(
        "--email", metavar="TEXT", help="Mail address.", ask="Mail address", read=email_typed, optional=True
    )
    ein: str | None = option(
        "--ein",
        type=EIN,
        help="Employer identification number; never a social security number.",
        ask="EIN, as in 12-3456789",
    )
    npi: str | None = option(
        "--npi", type=NPI, help="National provider identifier, if there is one.", ask="NPI", optional=True
    )
    receipt_wording: str | None = option(
        "--receipt-wording",
        metavar="TEXT",
        help="A sentence of your own at the foot of each receipt.",
        ask="A sentence of your own for receipts",
        read=text("receipt wording", 400),
        optional=True,
    )


class SettingsOptions(OptionSet):
    """How the shop works."""

    tax_rounding: TaxRounding | None = option(
        "--tax-rounding", type=Word(TaxRounding), help="Round sales tax on each line or once an order."
    )
    shipping_charge: Cents | None = option(
        "--shipping-charge", type=AMOUNT, help="What an order is usually charged for shipping."
    )
    blank_allowance: float | None = option("--blank-allowance", type=MM, help="What is added to the smallest blank.")
    progressive_share: Rate | None = option(
        "--progressive-share", type=RATE, help="Share of a progressive lens's price that is its design."
    )
    screen_share: Rate | None = option(
        "--screen-share", type=RATE, help="Share of the add that a screen pair is made with."
    )
    standard_bifocal: Cents | Off | None = option(
        "--standard-bifocal", type=AMOUNT_OR_OFF, help="Price of standard multifocals; above it is the design."
    )
    progressive_base: Design | None = option(
        "--progressive-base", type=PROGRESSIVE_BASE, help="Whose base codes a progressive takes on a claim."
    )
    standard_frame: Cents | Off | None = option(
        "--standard-frame", type=AMOUNT_OR_OFF, help="Split a dearer frame into frame and deluxe frame."
    )
    accounting: Accounting | None = option(
        "--accounting",
        type=Word(Accounting),
        help="Which view of months and years stands first; the other is beside it.",
    )
    inventory_view: InventoryView | None = option(
        "--inventory-view",
        type=Word(InventoryView),
        help="How the year's worksheet shows goods; keep it from year to year.",
    )
    advances: Advances | None = option(
        "--advances",
        type=Word(Advances),
        help="When the year's worksheet counts what was paid ahead, on accrual; keep it from year to year.",
    )
    prescription_months: int | Off | None = option(
        "--prescription-months",
        type=MONTHS_OR_OFF,
        help="Ask about older prescriptions without an expiry as written; your own choice, local rules decide.",
    )
    paper: str | None = option("--paper", type=click.Choice(("letter", "a4")), help="Paper size of everything printed.")


@click.command()
@options(ProfileOptions, "profile")
@options(SettingsOptions, "settings")
@click.option("--from", "file", type=existing_file, help="Take everything from this file (TOML).")
@as_json
@pass_run
def setup(run: Run, profile: ProfileOptions, settings: SettingsOptions, file: Path | None, as_json: bool) -> None:
    """Make a new ledger with the shop's name and numbers.

    What is not given is asked for. An existing ledger is never touched.

    Example:
    shopledger setup --name 'Larkspur Optical' --ein 12-3456789
    """
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.context import ledger_place
    from shopledger.desk.shop import is_set_up, refuse_existing, set_up_shop

    place = ledger_place(run.ledger)
    refuse_existing(run.ledger)
    new = _from_file(file, profile, settings) if file else _from_answers(run, profile, settings)
    try:
        set_up_shop(place.url, *new, run.operator, run.now)
    except KeyboardInterrupt:
        run.stored = [(f"the ledger {place.shown}",)] if is_set_up(place.url) else []
        raise
    show(as_json, {**shop_data(*new), "ledger": place.shown}, *shop_fields(*new))
    tell(f"{new[0].name} is set up in {place.shown}.")
    _tell_odd_zip(new[0])
    tell("Next: load your catalogue with 'shopledger catalogue load FOLDER', or add items with 'shopledger frame add'.")


@click.group()
def shop() -> None:
    """Show and change the shop's name, numbers and settings."""


@shop.command("show")
@as_json
@pass_run
def show_shop(run: Run, as_json: bool) -> None:
    """Show the shop's name, numbers and settings.

    Example:
    shopledger shop show --json
    """
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.shop import shop_and_settings

    found = shop_and_settings(run.desk())
    show(as_json, shop_data(*found), *shop_fields(*found))


@shop.command("change")
@options(ProfileOptions, "profile")
@options(SettingsOptions, "settings")
@as_json
@pass_run
def change(run: Run, profile: ProfileOptions, settings: SettingsOptions, as_json: bool) -> None:
    """Change what the options name.

    Papers already issued keep what they said.

    Example:
    shopledger shop change --phone 555-0199 --shipping-charge 7.00
    """
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.shop import change_shop

    some_changes("--phone 555-0100", profile, profile.address, settings)
    new = change_shop(run.desk(), lambda shop, kept: _changed(shop, kept, profile, settings))
    show(as_json, shop_data(*new), *shop_fields(*new))
    tell("The shop was changed.")
    if changes(profile.address):
        _tell_odd_zip(new[0])


def _tell_odd_zip(shop: Shop) -> None:
    """Say of a ZIP code that it lies in another state; the shop's address can be changed any time."""
    from shopledger.ledger.postcodes import zip_findings

    for finding in zip_findings(shop.address):
        tell(f"{finding.sentence} 'shopledger shop change' corrects it.")


shop.add_command(keeping)


@click.command()
@as_json
@pass_run
def where(run: Run, as_json: bool) -> None:
    """Say where the ledger is.

    Example:
    shopledger where
    """
    from shopledger.desk.context import ledger_place

    place = ledger_place(run.ledger)
    show(as_json, {"ledger": place.shown}, Drawing((place.shown,)))


@click.command()
@click.option(
    "--head",
    type=Typed("count-hash", lambda typed, _field: _head(typed)),
    help="A head printed on a receipt or workbook: prove that the books still contain it.",
)
@click.option("--quick", is_flag=True, help="Look only at what was written since all was proven on this computer.")
@click.option(
    "--as-it-is", is_flag=True, help="This computer saw a later head: take the ledger as it is, once it is proven."
)
@as_json
@pass_run
def verify(run: Run, head: KeptHead | None, quick: bool, as_it_is: bool, as_json: bool) -> None:
    """Prove that the ledger was not changed from outside.

    Each time something is written, the records are hashed together with all before them, and the books agree with all
    that was recorded; the head is printed on each receipt and workbook. Ends with an exit code other than 0 where
    anything differs.

    Example:
    shopledger verify --quick
    """
    from shopledger.cli.views.proofs import proved_blocks, proved_data
    from shopledger.desk.books.closing import prove_books, prove_newest, take_as_it_is
    from shopledger.ledger.books.proofs import BooksDifferError

    if quick and (head or as_it_is):
        message = "--quick looks at the newest alone; leave it out to prove a head or the whole ledger."
        raise click.UsageError(message)
    desk = run.desk()
    verdict = prove_newest(desk) if quick else prove_books(desk, head)
    show(as_json, proved_data(verdict), *proved_blocks(verdict))
    if not verdict.holds:
        raise BooksDifferError(verdict.failed)
    if as_it_is:
        take_as_it_is(desk, verdict)
        tell(f"This computer takes head {verdict.head} for the last from now on.")


def _from_file(file: Path, profile: ProfileOptions, settings: SettingsOptions) -> tuple[Shop, Settings]:
    """Read the file; an option given beside it wins."""
    from shopledger.exchange.shop_file import read_shop_file

    read = read_shop_file(file)
    return _changed(read.shop, read.settings, profile, settings)


def _from_answers(run: Run, profile: ProfileOptions, settings: SettingsOptions) -> tuple[Shop, Settings]:
    chosen = Settings(**changes(settings))
    whole = asked(run, profile)
    return Shop(**{"phone": "", "ein": "", **changes(whole), "address": whole.address.whole}), chosen


def _changed(shop: Shop, settings: Settings, profile: ProfileOptions, new: SettingsOptions) -> tuple[Shop, Settings]:
    """Give the shop and settings with whatever was given in place of the old."""
    address = replace(shop.address, **changes(profile.address))
    return replace(shop, address=address, **changes(profile)), replace(settings, **changes(new))


def _head(typed: str) -> KeptHead:
    from shopledger.ledger.books.proofs import KeptHead

    return KeptHead.read(typed)
