"""The addresses of a sale: whose it is, its form, the look over it, a quote, a draft that is recorded."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import Final

from flask import Blueprint, redirect, render_template, request

from shopledger.counter.addresses import customer_page, new_prescription_page, sale_page
from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import UNREADABLE, Answer, typed_now
from shopledger.counter.forms.onward import on_the_way
from shopledger.counter.guard import ACCEPT
from shopledger.counter.pages.selling.looking import KIND, Sale, sale_of
from shopledger.counter.pages.selling.sheet import Rows, first_typed, pair_typed
from shopledger.counter.pages.selling.shelf import Shelf, shelf_now
from shopledger.desk.kept_forms import keep_form, kept_form, kept_forms
from shopledger.desk.known_people import customer_and_wearers, find_customers
from shopledger.desk.order_lookups import newest_orders
from shopledger.desk.selling import SaleCard, WearerCard, sale_card
from shopledger.errors import ShopledgerError
from shopledger.ledger.forms import Typed
from shopledger.ledger.parties import Customer
from shopledger.store.refusals import NumberUnknownError

pages: Final = Blueprint("sale", __name__)
ACCEPTED: Final = "accepted"
"""Under which the yes to warnings is kept with the form."""
DO: Final = "do"
AT: Final = "at"
"""Names the field at which one goes on."""
LATELY: Final = 8
"""How many customers of late are shown to choose from."""


@pages.get("/sale")
def begin() -> Answer:
    """Ask whose the sale is."""
    typed = request.args.get("q", "").strip()[:120]
    found = find_customers(desk(), typed) if typed else ()
    if len(found) == 1:
        return redirect(sale_page(found[0].number))
    return render_template("sale_whose.html", q=typed, customers=found, lately=_lately(), begun=list(_begun()))


@pages.get("/sale/<int:customer>")
def sale(customer: int) -> Answer:
    """Show a sale as it was left, or begin one."""
    kept, card, shelf = kept_form(desk(), KIND, str(customer)), sale_card(desk(), str(customer)), shelf_now()
    typed = kept.typed if kept else _first(card, shelf)
    shown = sale_of(customer, typed, frozenset(typed.get(ACCEPTED, ())), card, shelf)
    # What is only begun is not wrong yet.
    shown.filled.errors.clear()
    shown.filled.asked.clear()
    shown.filled.first = request.args.get(AT, f"p{shown.rows.pairs[-1]}_frame" if shown.rows.pairs else "")
    return _page(shown)


@pages.post("/sale/<int:customer>")
def change(customer: int) -> Answer:
    """Keep what is typed, and do what the button says: another row, something on the way, the look over it."""
    typed, wanted = _typed(), request.form.get(DO, "")
    with station().writing:
        if wanted and wanted != "look":
            return _row(customer, typed, wanted)
        keep_form(desk(), KIND, str(customer), typed)
    shown = sale_of(customer, typed, frozenset(typed[ACCEPTED]))
    if shown.filled.wrong:
        return _page(shown), UNREADABLE
    if wanted == "look":
        return _page(shown)
    return redirect(f"{sale_page(customer)}/review", 303)


@pages.post("/sale/<int:customer>/live")
def live(customer: int) -> str:
    """Work out what is typed so far, for the side of the page."""
    typed = _typed()
    card = sale_card(desk(), str(customer), noted=False)
    return render_template("parts/sale_live.html", sale=sale_of(customer, typed, frozenset(typed[ACCEPTED]), card))


def _page(shown: Sale) -> str:
    return render_template("sale.html", sale=shown, filled=shown.filled, card=shown.card)


def _typed() -> dict[str, list[str]]:
    """Give what was sent, with the yes to warnings."""
    typed = {name: list(values) for name, values in typed_now().items() if name not in {DO, ACCEPTED}}
    return {**typed, ACCEPTED: request.form.getlist(ACCEPT)}


def _row(customer: int, typed: dict[str, list[str]], wanted: str) -> Answer:
    """Add a row or take one away, or go somewhere on the way; what is typed stays."""
    rows, (what, _, which) = Rows.typed(typed), wanted.partition("-")
    place = ""
    if what == "pair":
        rows, place = rows.more("pairs")
        typed.update(pair_typed(_whose(sale_card(desk(), str(customer), noted=False), which), place))
        place = f"?{AT}=p{place}_frame"
    elif what == "drop":
        rows = rows.without_pair(which)
        typed = {name: values for name, values in typed.items() if not name.startswith(f"p{which}_")}
    elif what in {"frames", "goods"}:
        rows, place = rows.more(what)
        place = f"?{AT}=f{place}_frame" if what == "frames" else f"?{AT}=a{place}_code"
    keep_form(desk(), KIND, str(customer), {**typed, **rows.as_typed()})
    here = sale_page(customer)
    if what == "prescription" and which.isdigit():
        return redirect(on_the_way(new_prescription_page(customer, int(which)), here), 303)
    if what == "wearer":
        return redirect(on_the_way(f"{customer_page(customer)}/wearers/new", here), 303)
    return redirect(f"{here}{place}", 303)


def _first(card: SaleCard, shelf: Shelf) -> Typed:
    asked = request.args.get("wearer", "")
    only = card.wearers[0] if len(card.wearers) == 1 else None
    return first_typed(shelf, _whose(card, asked) if asked else only)


def _whose(card: SaleCard, number: str) -> WearerCard:
    found = next((each for each in card.wearers if str(each.wearer.number) == number), None)
    if found is None:
        raise NumberUnknownError("wearer of this customer", int(number) if number.isdigit() else 0)
    return found


def _lately() -> list[tuple[int, str]]:
    """Give the customers of the newest orders, each once."""
    found = {account.order.customer_number: name for account, name in newest_orders(desk(), None, 4 * LATELY)}
    return list(found.items())[:LATELY]


def _begun() -> Iterator[Customer]:
    """Give whose sales were begun and not recorded; of a customer who was erased meanwhile nothing is said."""
    for each in kept_forms(desk()):
        if each.kind == KIND:
            with suppress(ShopledgerError):
                yield customer_and_wearers(desk(), each.about)[0]
