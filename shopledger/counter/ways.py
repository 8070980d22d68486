"""Which page shows what a line of a list is about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from shopledger.counter.addresses import (
    bill_page,
    customer_page,
    draft_page,
    frame_page,
    job_page,
    order_page,
    receipt_page,
)
from shopledger.ledger.things import About, Thing

_PAGES: Final[Mapping[Thing, Callable[[str], str]]] = {
    Thing.JOB: lambda name: job_page(int(name)),
    Thing.ORDER: lambda name: order_page(int(name)),
    Thing.RECEIPT: lambda name: receipt_page(int(name)),
    Thing.CUSTOMER: lambda name: customer_page(int(name)),
    Thing.PARCEL: lambda name: f"/parcels/{name}",
    Thing.FRAME: frame_page,
    Thing.DRAFT: lambda name: draft_page(int(name)),
    Thing.BILL: lambda name: bill_page(int(name)),
    Thing.BANK_LINE: lambda _: "/money/bank",
    Thing.MONTH: lambda name: f"/months/{name}",
    Thing.PAPER: lambda _: "/papers",
    Thing.LEDGER: lambda _: "/shop/backups",
}


def page_of(about: About, of: About | None = None) -> str:
    """Give the page of a thing; a wearer stands on the page of the customer whose wearer it is."""
    if about.thing is Thing.WEARER:
        return page_of(of) if of is not None else "/"
    return _PAGES[about.thing](about.name)
