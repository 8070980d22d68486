"""Who wants new lenses, and for which pair: found by a part of the name, picked by its picture."""

from __future__ import annotations

from typing import Final

from flask import render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.addresses import new_lenses_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, leave
from shopledger.counter.pages.reorder.room import Whose, pages, whose
from shopledger.counter.pictures.shelf import picture_of
from shopledger.desk.goods import FRAMES
from shopledger.desk.known_people import customer_and_wearers, find_customers
from shopledger.desk.reordering import wearer_pairs
from shopledger.ledger.parties import Customer, Wearer

MOST: Final = 12


@pages.get("")
def begin() -> str | Response:
    """Find who wants new lenses; where only one wearer is meant, go on at once."""
    typed = request.args.get("q", "").strip()[:120]
    found = [_with_wearers(each) for each in find_customers(desk(), typed, MOST)] if typed else []
    if len(found) == 1 and len(found[0][1]) == 1:
        customer, (wearer,) = found[0]
        return leave(new_lenses_page(customer.number, wearer.number))
    return render_template("reorder/begin.html", typed=typed, found=found)


@pages.get("/<int:customer>")
def choose_wearer(customer: int) -> str:
    """Choose whose glasses they are."""
    found = _with_wearers(customer_and_wearers(desk(), str(customer))[0])
    return render_template("reorder/begin.html", typed=found[0].name, found=[found])


def choose_pair(of: Whose) -> Answer:
    """Show a wearer's pairs to pick from; one whose shape is not stored says so."""
    return render_template(
        "reorder/pairs.html",
        customer=of.customer,
        wearer=of.wearer,
        cards=wearer_pairs(desk(), of.payer, of.wearer.name),
        frames=FRAMES.all(desk()),
        picture_of=picture_of,
    )


def _with_wearers(customer: Customer) -> tuple[Customer, tuple[Wearer, ...]]:
    _, wearers = customer_and_wearers(desk(), str(customer.number))
    return customer, tuple(each for each in wearers if each.erased_on is None)


__all__ = ["begin", "choose_pair", "choose_wearer", "whose"]
