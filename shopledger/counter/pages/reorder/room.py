"""What the pages of new lenses share: their blueprint, and whose glasses they are."""

from __future__ import annotations

from typing import Final, NamedTuple

from flask import Blueprint, abort

from shopledger.counter.desks import desk
from shopledger.desk.known_people import customer_and_wearers
from shopledger.ledger.parties import Customer, Wearer

pages: Final = Blueprint("reorder", __name__, url_prefix="/new-lenses")


class Whose(NamedTuple):
    """Who pays, and whose glasses they are."""

    customer: Customer
    wearer: Wearer

    @property
    def payer(self) -> str:
        """The customer as a deed takes one."""
        return str(self.customer.number)


def whose(customer: int, wearer: int) -> Whose:
    """Look both up by their numbers."""
    payer, wearers = customer_and_wearers(desk(), str(customer))
    found = next((each for each in wearers if each.number == wearer), None)
    if found is None:
        abort(404)
    return Whose(payer, found)
