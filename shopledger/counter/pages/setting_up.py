"""The first page of all: where there is no shop yet, every other page leads here, and the shop is set up."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from flask import Blueprint

from shopledger.counter.desks import station
from shopledger.counter.first_day import FIRST_THINGS
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import file, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import session
from shopledger.counter.pages.shop.fields import (
    FIRST_DAY,
    PAPER,
    SHIPPING,
    settings_as_typed,
    shop_of,
)
from shopledger.counter.putting_back import KEY, NUMBERS, put_back
from shopledger.desk.context import ledger_place
from shopledger.desk.shop import set_up_shop
from shopledger.exchange.shop_file import ShopFile, read_shop_file
from shopledger.ledger.settings import Settings

pages: Final = Blueprint("setting_up", __name__, url_prefix="/set-up")
BOTH: Final = ("GET", "POST")

COPY: Final = line(
    "copy",
    "The file with the copy",
    longest=400,
    numbers=True,
    hint="With its folder, as the file manager shows it.",
)
SHOP_FILE: Final = file("shop_file", "The shop's file", needed=True, hint="A text file with the ending .toml.")


@pages.route("/", methods=BOTH)
def new_shop() -> Answer:
    """Ask who the shop is, and make its ledger."""

    def make(values: Values) -> Done:
        usual = Settings(shipping_charge=values.of(SHIPPING), paper=values.of(PAPER))
        return _made(ShopFile(shop_of(values, receipt_wording=""), usual))

    usual = settings_as_typed(Settings())
    start = {name: usual[name] for name in (SHIPPING.name, PAPER.name)}
    place = ledger_place(station().ledger).shown
    return fill(FIRST_DAY, make, "shop/set_up.html", start=start, noted=False, place=place)


@pages.route("/file", methods=BOTH)
def from_file() -> Answer:
    """Take the shop from its own file."""

    def make(values: Values) -> Done:
        source = values.of(SHOP_FILE)
        return _made(read_shop_file(source or ""))

    return fill(
        form(SHOP_FILE),
        make,
        "form.html",
        noted=False,
        heading="Set the shop up from its file",
        lead="Its name, address and numbers, and whatever you set in it, are taken from there.",
        button="Set the shop up",
        back=("/set-up/", "Type it instead"),
    )


@pages.route("/copy", methods=BOTH)
def from_copy() -> Answer:
    """Begin with a copy of a ledger, as on a new computer."""
    return fill(
        form(COPY, KEY, *NUMBERS),
        lambda values: put_back(Path(values.of(COPY)).expanduser(), values, "/"),
        "form.html",
        noted=False,
        heading="Go on with a copy",
        lead="The copy is looked into, and becomes the ledger of this computer. The copy itself stays as it is.",
        button="Take the copy",
        back=("/set-up/", "Set up a new shop instead"),
    )


def _made(new: ShopFile) -> Done:
    set_up_shop(station().ledger, new.shop, new.settings, session().operator, station().clock())
    return Done(FIRST_THINGS, f"{new.shop.name} is set up.")
