"""The first page of the shop itself, and what a new shop does first."""

from __future__ import annotations

from typing import Final, NamedTuple

from flask import current_app, render_template

from shopledger.counter.desks import desk
from shopledger.counter.pages.shop.part import pages
from shopledger.desk.context import ledger_place
from shopledger.desk.first_steps import first_steps
from shopledger.desk.shop import shop_and_settings


class Way(NamedTuple):
    """A page of the shop, as its first page names it."""

    endpoint: str
    words: str
    more: str


WAYS: Final[tuple[tuple[str, tuple[Way, ...]], ...]] = (
    (
        "The shop",
        (
            Way("shop.profile", "Name, address and numbers", "As they stand on every paper."),
            Way("shop.settings", "Settings", "Shipping, claims, paper size, how months and years are shown."),
            Way("shop.wording", "Words of the papers", "Look at each paper, and say it in your own words."),
            Way("shop.operators", "Operators", "Who works here, and from which computers."),
        ),
    ),
    (
        "What is sold, and how it is taxed",
        (
            Way("shop.catalogue", "Catalogue from files", "Frames, lenses, extras and accessories at once."),
            Way("shop.offers", "Offers", "What is included, what costs less, and when."),
            Way("shop.rates", "Sales tax rates", "For states and places in them. None is assumed."),
        ),
    ),
    (
        "The records",
        (
            Way("shop.backups", "Copies", "Make one, say where they go, put one back."),
            Way("shop.proof", "Proof", "That nobody changed the ledger from outside."),
            Way("shop.audit", "Who looked and who changed", "The newest first."),
            Way("shop.keeping", "For how long records are kept", "And who was erased."),
            Way("shop.version", "This program", "Its version, and what is new in it."),
        ),
    ),
)


@pages.get("")
def overview() -> str:
    """Show everything that is the shop's own."""
    found, _ = shop_and_settings(desk())
    ways = [(heading, [way for way in each if way.endpoint in current_app.view_functions]) for heading, each in WAYS]
    place = ledger_place(desk().ledger.url).shown
    return render_template("shop/overview.html", shop=found, ways=ways, steps=first_steps(desk()), place=place)


@pages.get("/first-things")
def first_things() -> str:
    """Show what a new shop does first, each step with a tick once it is done."""
    found, _ = shop_and_settings(desk())
    return render_template("shop/first_things.html", shop=found, steps=first_steps(desk()))
