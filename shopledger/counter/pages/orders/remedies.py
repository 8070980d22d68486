"""What can still be done about an order, a job, a payment, a parcel or a receipt: each as the page that does it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, NamedTuple

from flask import Blueprint, render_template

from shopledger.counter.addresses import order_page, prescription_page, receipt_page
from shopledger.counter.desks import desk
from shopledger.desk.fixing import order_of, what_can_be_done
from shopledger.ledger.remedies import Fixable, Remedy
from shopledger.store.refusals import NumberUnknownError

pages: Final = Blueprint("remedies", __name__, url_prefix="/put-right")

_DEED = re.compile(r"shopledger ([a-z-]+) ([a-z-]+)(?: ([0-9]+))?")

_ORDER, _PAYMENT, _PARCEL = (
    "/orders/{number}/",
    "/orders/{order}/payments/{number}/",
    "/orders/{order}/parcels/{number}/",
)
WAYS: Final[Mapping[str, Mapping[str, str]]] = {
    "sale": {
        **{each: _ORDER + each for each in ("add", "take-out", "exchange", "reduce", "price", "address", "cancel")},
        "show": "/orders/{number}",
    },
    "refund": {"give": _ORDER + "refund"},
    "draft": {"copy": _ORDER + "copy"},
    "payment": {
        "take": _ORDER + "pay",
        "write-off": _ORDER + "write-off",
        "revive": _ORDER + "revive",
        **{each: _PAYMENT + each for each in ("reverse", "correct", "move", "dispute-won", "dispute-lost")},
    },
    "parcel": {"returned": _PARCEL + "returned", "send-again": _PARCEL + "again"},
    "job": {
        "put-right": "/orders/{order}/jobs/{number}/put-right",
        "frame-broken": "/orders/{order}/jobs/{number}/frame-broken",
        "remake": "/jobs/{number}",
    },
    "receipt": {"replace": "/receipts/{number}/replace", "print": "/receipts/{number}"},
    "fix": {
        **{each.value: f"/put-right/{each.value}/{{number}}" for each in Fixable},
        "receipt": "/receipts/{number}",
    },
}
"""The page that does what a deed of a group does."""


class Way(NamedTuple):
    """One thing that may have to be put right, and the page that does it."""

    what: str
    why_not: str
    page: str
    """Empty where no page does it."""

    @property
    def possible(self) -> bool:
        """Whether it can still be put right as it is said."""
        return not self.why_not


@pages.get("/<what>/<int:number>")
def show(what: str, number: int) -> str:
    """Show where something stands, and all that can be done about it."""
    try:
        kind = Fixable(what)
    except ValueError:
        raise NumberUnknownError("thing of that kind", number) from None
    found = what_can_be_done(desk(), kind, number)
    order = order_of(desk(), kind, number)
    ways = [_way(each, order) for each in found.remedies]
    return render_template(
        "remedies.html",
        found=found,
        now=[each for each in ways if each.possible and each.page],
        instead=[each for each in ways if not each.possible],
        words=[each for each in ways if each.possible and not each.page],
        back=_back(kind, number, order),
    )


def _way(remedy: Remedy, order: int | None) -> Way:
    named = _DEED.search(remedy.command)
    way = WAYS.get(named[1], {}).get(named[2], "") if named else ""
    number = int(named[3]) if named and named[3] else order
    return Way(remedy.what, remedy.why_not, way.format(number=number, order=order))


def _back(kind: Fixable, number: int, order: int | None) -> tuple[str, str]:
    if order:
        return order_page(order), f"Order {order}"
    if kind is Fixable.RECEIPT:
        return receipt_page(number), f"Receipt {number}"
    if kind is Fixable.PRESCRIPTION:
        return prescription_page(number), f"Prescription {number}"
    return "/", "Today"
