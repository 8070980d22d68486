"""The shop's profile and settings as options and questions, for setting up and for changing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import click

from shopledger.cli.fields import ADDRESS, ADDRESS_QUESTIONS, address_from, chosen, text
from shopledger.cli.options import address_options, together
from shopledger.cli.params import AMOUNT, AMOUNT_OR_OFF, EIN, MM, NPI, PROGRESSIVE_BASE, RATE, Word
from shopledger.cli.prompts import Question
from shopledger.ledger.identifiers import read_ein, read_npi
from shopledger.ledger.parties import Shop
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.money.tax import TaxRounding

PAPERS = ("letter", "a4")

profile_options = together(
    click.option("--name", metavar="TEXT", help="The shop's name, as it stands on every paper."),
    address_options,
    click.option("--phone", metavar="TEXT", help="Phone number."),
    click.option("--email", metavar="TEXT", help="Mail address."),
    click.option("--ein", type=EIN, help="Employer identification number; never a social security number."),
    click.option("--npi", type=NPI, help="National provider identifier, if there is one."),
    click.option("--receipt-wording", metavar="TEXT", help="A sentence of your own at the foot of each receipt."),
    click.option("--tax-rounding", type=Word(TaxRounding), help="Round sales tax on each line or once an order."),
    click.option("--shipping-charge", type=AMOUNT, help="What an order is usually charged for shipping."),
    click.option("--blank-allowance", type=MM, help="What is added to the smallest blank."),
    click.option("--progressive-share", type=RATE, help="Share of a progressive lens's price that is its design."),
    click.option("--screen-share", type=RATE, help="Share of the add that a screen pair is made with."),
    click.option(
        "--standard-bifocal", type=AMOUNT_OR_OFF, help="Price of standard multifocals; above it is the design."
    ),
    click.option("--progressive-base", type=PROGRESSIVE_BASE, help="Whose base codes a progressive takes on a claim."),
    click.option("--standard-frame", type=AMOUNT_OR_OFF, help="Split a dearer frame into frame and deluxe frame."),
    click.option(
        "--accounting",
        type=Word(Accounting),
        help="Which view of months and years stands first; the other is beside it.",
    ),
    click.option(
        "--inventory-view",
        type=Word(InventoryView),
        help="How the year's worksheet shows goods; keep it from year to year.",
    ),
    click.option("--paper", type=click.Choice(PAPERS), help="Paper size of everything printed."),
)

PROFILE = ("name", "phone", "email", "ein", "npi", "receipt_wording")
SETTINGS = (
    *("tax_rounding", "shipping_charge", "blank_allowance", "progressive_share", "screen_share", "paper"),
    *("standard_bifocal", "progressive_base", "standard_frame", "accounting", "inventory_view"),
)


PROFILE_QUESTIONS = (
    Question("name", "--name", "Name of the shop", text("shop name")),
    *ADDRESS_QUESTIONS,
    Question("phone", "--phone", "Phone", text("phone", 40)),
    Question("email", "--email", "Mail address", text("email"), optional=True),
    Question("ein", "--ein", "EIN, as in 12-3456789", read_ein),
    Question("npi", "--npi", "NPI", read_npi, optional=True),
    Question(
        "receipt_wording",
        "--receipt-wording",
        "A sentence of your own for receipts",
        text("receipt wording", 400),
        optional=True,
    ),
)


def shop_from(given: dict[str, Any]) -> Shop:
    """Make the shop out of complete answers."""
    parts = {name: given[name] or "" for name in PROFILE}
    return Shop(address=address_from(given), **parts)


def changed(shop: Shop, settings: Settings, given: dict[str, Any]) -> tuple[Shop, Settings]:
    """Give the shop and settings with whatever was given in place of the old."""
    address = replace(shop.address, **chosen(given, ADDRESS))
    return replace(shop, address=address, **chosen(given, PROFILE)), replace(settings, **chosen(given, SETTINGS))
