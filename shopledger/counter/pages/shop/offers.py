"""Offers: what each needs, what it reduces, until when it runs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from flask import render_template

from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, amount, day, form, line, tick, ticks, whole, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.fields import percent
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk import goods
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.typed.offers import read_matches
from shopledger.typed.words import typed_word

OFFERS: Final = ("/shop/offers", "Offers")


def lines() -> Sequence[Choice]:
    """Give the lines of an order that an offer may mean, with what the catalogue holds."""
    lenses = [(f"lenses:{typed_word(each)}", Matches(LineKind.LENSES, each).words) for each in Design]
    extras = [(f"extra:{each.code}", each.name) for each in goods.EXTRAS.all(desk())]
    others = [(f"accessory:{each.code}", each.name) for each, _ in goods.ACCESSORIES.all(desk())]
    any_of = (("frame", "any frame"), ("lenses", "any lenses"), ("extra", "any extra"), ("accessory", "any accessory"))
    return [Choice(*each) for each in (*any_of, ("shipping", "shipping"), *lenses, *extras, *others)]


def matches(name: str, label: str, hint: str) -> Field[tuple[Matches, ...]]:
    """Ask which lines of an order are meant."""
    asked = ticks(name, label, lines, hint=hint)
    return Field(name, label, read_matches, asked.kind, needed=False, hint=hint, choices=lines, several=True)


CODE: Final = line("code", "A short code of your own", longest=40, width="narrow", hint="Such as SV-FREE.")
NAME: Final = line("name", "What papers call it", about=("offer name",), width="middle")
KIND: Final = word(
    "kind",
    "What it does",
    OfferKind,
    choices=(
        Choice("included", "something is included", "it costs nothing beside what the pair must have"),
        Choice("percent", "something costs less", "so many per cent are taken off"),
        Choice("package", "all costs one price together"),
    ),
)
PERCENT: Final = percent(
    "percent", "Taken off", needed=False, about=("offer percent",), hint="Where something costs less."
)
PRICE: Final = amount(
    "price", "All together costs", needed=False, about=("offer price",), hint="Where there is one price."
)
NEEDS: Final = matches("needs", "The pair must have", "Without a tick: any pair will do.")
REDUCES: Final = matches("reduces", "What costs less", "At least one.")
SHARING: Final = word(
    "sharing",
    "Papers show the reduction on",
    Sharing,
    choices=(Choice("reduced-lines", "what costs less"), Choice("all-lines", "all that belongs to the offer")),
)
NAMED: Final = tick("when_named", "Only where an order names it")
FROM_PAIR: Final = whole(
    "from_pair", "From which pair of an order on", about=("offer from pair",), hint="2: a second pair."
)
STARTS: Final = day("starts", "First day", hint="Left empty: at once.")
ENDS: Final = day("ends", "Last day", hint="Left empty: none is known.", about=("offer end",))
NEW_OFFER: Final = Form(
    (
        ("The offer", (NAME, CODE, KIND, PERCENT, PRICE)),
        ("What it is about", (REDUCES, NEEDS, SHARING)),
        ("When it holds", (FROM_PAIR, NAMED, STARTS, ENDS)),
    )
)
LAST_DAY: Final = day("on", "Its last day", hint="Left empty: today.")


@pages.get("/offers")
def offers() -> str:
    """Show the offers."""
    return render_template("shop/offers.html", offers=goods.OFFERS.all(desk()), today=station().today())


@pages.route("/offers/new", methods=BOTH)
def new_offer() -> Answer:
    """Add an offer."""

    def store(values: Values) -> Done:
        added = goods.OFFERS.add(desk(), _offer(values))
        return Done("/shop/offers", f"{added.name}: {added.words}.")

    return fill(
        NEW_OFFER,
        store,
        "form.html",
        start={"kind": ["included"], "sharing": ["reduced-lines"], "from_pair": ["1"], "needs": ["frame"]},
        keep=("new offer", ""),
        heading="A new offer",
        lead="It is tried on each pair of a new order. Orders of before keep their prices.",
        button="Add the offer",
        back=OFFERS,
    )


@pages.route("/offers/<code>/end", methods=BOTH)
def end_offer(code: str) -> Answer:
    """Let an offer run out."""
    found = goods.OFFERS.called(desk(), code)

    def store(values: Values) -> Done:
        ended = goods.end_offer(desk(), found.code, values.of(LAST_DAY) or station().today())
        return Done("/shop/offers", f"{ended.name} ends. Orders of before keep their reduction.")

    return fill(
        form(LAST_DAY),
        store,
        "form.html",
        heading=f"End {found.name}",
        lead=f"{found.words[:1].upper()}{found.words[1:]}.",
        button="End the offer",
        back=OFFERS,
    )


def _offer(values: Values) -> Offer:
    kind = values.of(KIND)
    return Offer(
        values.of(CODE),
        values.of(NAME),
        kind,
        values.of(REDUCES),
        values.of(NEEDS),
        (values.of(PERCENT) or 0) if kind is OfferKind.PERCENT else 0,
        (values.of(PRICE) or 0) if kind is OfferKind.PACKAGE else 0,
        values.of(SHARING),
        not values.of(NAMED),
        values.of(FROM_PAIR),
        values.of(STARTS),
        values.of(ENDS),
    )
