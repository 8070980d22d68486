"""What leaves of an order: parcels with their content, what comes back, where the rest goes; and its papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from flask import redirect

from shopledger.counter.addresses import order_page, paper_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, leave
from shopledger.counter.forms.fields import Choice, Field, Form, form, line, ticks, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.printed import papers_folder
from shopledger.counter.pages.orders.card import pages
from shopledger.counter.pages.orders.deeds import BOTH, DAY, REASON, about_order
from shopledger.counter.pages.people import CITY, SECOND, STATE, STREET, ZIP
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order
from shopledger.desk.papers import print_of_order
from shopledger.desk.parcels import parcel_back, parcel_card, parcels, send_again, send_order_to
from shopledger.errors import RefusedError
from shopledger.ledger.forms import Typed
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.parties import Address
from shopledger.ledger.shipping import PackRequest, goods_beside, pairs_here

CARRIER: Final = line("carrier", "Who carries it", longest=60, width="middle")
TRACKING: Final = line(
    "tracking", "Tracking number", needed=False, longest=60, numbers=True, width="middle", about=("tracking number",)
)
UNINSPECTED: Final = line(
    "uninspected",
    "Why a job leaves that has not passed its inspection",
    needed=False,
    longest=400,
    hint="Left empty: each has passed.",
    about=("job", "inspection", "reason", "without inspection"),
)
_WHY: Final = line("why", "Why", needed=False, longest=400)
PAPERS: Final[Mapping[str, str]] = {"packing": "packing slip", "confirmation": "confirmation"}
"""The papers that any order has."""


@pages.route("/orders/<int:number>/send", methods=BOTH)
def send_parcel(number: int) -> Answer:
    """Send a parcel: all that is here of an order, or a part of it."""
    account = order_account(desk(), number)
    fields = tuple(_content(account))

    def store(values: Values) -> Done:
        content = _packed(account, values)
        after = ship_order(
            desk(),
            number,
            values.of(CARRIER),
            values.text(TRACKING),
            values.of(DAY),
            only=content,
            without_inspection=values.text(UNINSPECTED),
            accept=values.accept,
        )
        parcel = after.parcels[-1]
        rest = " Something of the order is still here." if _anything(after) else ""
        return Done(order_page(number), f"Parcel {parcel.number} left by {parcel.carrier}.{rest}")

    asked = Form((("", (CARRIER, TRACKING)), ("What lies in it", fields), ("", (UNINSPECTED, DAY))))
    lead = f"To {', '.join(account.ship_to.lines)}."
    if not fields:
        lead = "Nothing of this order is here to be sent."
    return about_order(
        number,
        asked,
        store,
        f"Parcel of order {number}",
        "It leaves",
        start=_all_of_it(account),
        lead=lead,
        focus="tracking",
    )


@pages.route("/orders/<int:number>/parcels/<int:parcel>/returned", methods=BOTH)
def came_back(number: int, parcel: int) -> Answer:
    """Record that a parcel came back."""

    def store(values: Values) -> Done:
        card = parcel_back(desk(), parcel, values.of(REASON), values.of(DAY))
        return Done(order_page(card.parcel.order_number), f"Parcel {parcel} came back; what lay in it is here again.")

    return about_order(
        number, form(REASON, DAY), store, f"Parcel {parcel} came back", "Record that it did", about=f"{number}-{parcel}"
    )


@pages.route("/orders/<int:number>/parcels/<int:parcel>/again", methods=BOTH)
def once_more(number: int, parcel: int) -> Answer:
    """Send a parcel once more that came back."""
    before = parcel_card(desk(), parcel).parcel

    def store(values: Values) -> Done:
        card = send_again(
            desk(),
            parcel,
            values.of(CARRIER),
            values.text(TRACKING),
            values.of(DAY),
            without_inspection=values.text(UNINSPECTED),
            accept=values.accept,
        )
        return Done(order_page(card.parcel.order_number), f"It left again as parcel {card.parcel.number}.")

    return about_order(
        number,
        form(CARRIER, TRACKING, UNINSPECTED, DAY),
        store,
        f"Parcel {parcel} once more",
        "It leaves again",
        about=f"{number}-{parcel}",
        start={"carrier": [before.carrier]},
    )


@pages.route("/orders/<int:number>/address", methods=BOTH)
def address(number: int) -> Answer:
    """Correct where an order goes, as far as it has not left."""
    account = order_account(desk(), number)
    where = account.ship_to

    def store(values: Values) -> Done:
        new = replace(
            where,
            street=values.of(STREET),
            second_line=values.text(SECOND),
            city=values.of(CITY),
            state=values.of(STATE),
            postcode=values.of(ZIP),
        )
        after = send_order_to(desk(), number, new, values.text(_WHY), values.of(DAY), accept=values.accept)
        return Done(order_page(number), f"What is left of it goes to {', '.join(after.ship_to.lines)}.")

    return about_order(
        number,
        form(STREET, SECOND, CITY, STATE, ZIP, _WHY, DAY),
        store,
        f"Where order {number} goes",
        "Send it there",
        start=_address_as_typed(where),
        lead="Parcels that left keep their address; the customer's own is changed on the customer's page.",
    )


@pages.post("/orders/<int:number>/print/<key>")
def print_paper(number: int, key: str) -> Answer:
    """Print one of the papers that an order has."""
    if key not in PAPERS:
        return redirect(order_page(number), 303)
    file = print_of_order(desk(), key, number, papers_folder())
    return leave(paper_page(file.name), f"The {PAPERS[key]} of order {number} was printed.")


@pages.post("/orders/<int:number>/parcels/<int:parcel>/slip")
def print_slip(number: int, parcel: int) -> Answer:
    """Print the packing slip of one parcel."""
    file = print_of_order(desk(), "packing", number, papers_folder(), parcel=parcel)
    return leave(paper_page(file.name), f"The packing slip of parcel {parcel} was printed.")


def _content(account: OrderAccount) -> Iterator[Field[Any]]:
    """Ask what lies in the parcel, of all that is here."""
    jobs = [
        Choice(str(pair.job_number), f"Job {pair.job_number}", f"{pair.frame_code}, {pair.lens_code}")
        for pair in pairs_here(account)
    ]
    if jobs:
        yield ticks("jobs", "Glasses, each with its frame", jobs)
    for here in goods_beside(account):
        yield whole(
            f"line_{here.position}", here.line.description, needed=False, hint=f"How many of {here.count}.",
            about=(f"line {here.position}", f"count of line {here.position}"),
        )  # fmt: skip


def _all_of_it(account: OrderAccount) -> Typed:
    """Give what stands in the form at first: everything that is here, by the carrier of the last parcel."""
    last = next(iter(parcels(desk(), None, 1)), None)
    goods = {f"line_{here.position}": [str(here.count)] for here in goods_beside(account)}
    jobs = [str(pair.job_number) for pair in pairs_here(account)]
    return {"carrier": [last.carrier if last else ""], "jobs": jobs, **goods}


def _packed(account: OrderAccount, values: Values) -> PackRequest:
    jobs = tuple(int(job) for job in values.read.get("jobs", ()))
    counted = ((here.position, values.read.get(f"line_{here.position}")) for here in goods_beside(account))
    goods = tuple((position, count) for position, count in counted if count)
    if not jobs and not goods:
        raise RefusedError("parcel", "empty", "nothing lies in it", "Tick what leaves, or type how many.")
    return PackRequest(jobs, goods)


def _anything(account: OrderAccount) -> bool:
    return bool(pairs_here(account) or goods_beside(account))


def _address_as_typed(where: Address) -> Typed:
    return {
        "street": [where.street],
        "second_line": [where.second_line],
        "city": [where.city],
        "state": [where.state],
        "postcode": [where.postcode],
    }
