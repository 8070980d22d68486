"""Parcels that left: listed, looked at, taken in when they come back, sent again."""

from __future__ import annotations

from typing import Final

from flask import render_template, url_for

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.bench.room import BOTH, pages
from shopledger.desk import parcels as deeds
from shopledger.desk.parcels import parcel_back, parcel_card, send_again

SHOWN: Final = 100

WHY: Final = line("reason", "Why it came back", longest=400)
BACK_ON: Final = day("day", "Day it came back", about=("day of coming back",))
BACK: Final = form(WHY, BACK_ON)

CARRIER: Final = line("carrier", "Carrier", longest=60, width="middle")
TRACKING: Final = line(
    "tracking", "Tracking number", needed=False, longest=60, numbers=True, width="middle", about=("tracking number",)
)
SENT_ON: Final = day("day", "Day it leaves", about=("shipping day",))
UNINSPECTED: Final = line(
    "without_inspection",
    "Why it leaves without an inspection",
    needed=False,
    longest=400,
    hint="Only where a job in it has not passed one.",
    about=("inspection",),
)
AGAIN: Final = form(CARRIER, TRACKING, UNINSPECTED, SENT_ON)


@pages.get("/parcels")
def parcels() -> str:
    """List the newest parcels."""
    return render_template("bench/parcels.html", parcels=deeds.parcels(desk(), limit=SHOWN), shown=SHOWN)


@pages.get("/parcels/<int:number>")
def parcel(number: int) -> str:
    """Show a parcel with what lies in it."""
    return render_template("bench/parcel.html", card=parcel_card(desk(), number))


@pages.route("/parcels/<int:number>/came-back", methods=BOTH)
def came_back(number: int) -> Answer:
    """Take a parcel in that came back."""
    card = parcel_card(desk(), number)

    def store(values: Values) -> Done:
        parcel_back(desk(), number, values.of(WHY), values.of(BACK_ON))
        words = f"Parcel {number} came back. Its goods lie here for their order again."
        return Done(_page(number), f"{words} Where the address was wrong, change it on the order; then send it again.")

    return fill(
        BACK,
        store,
        "form.html",
        keep=("parcel back", f"parcel {number}"),
        focus="reason",
        heading=f"Parcel {number} came back",
        lead=f"{card.customer}: {', '.join(card.contents)}. What a customer gives back is a refund instead.",
        button="It is here",
        back=(_page(number), f"Parcel {number}"),
    )


@pages.route("/parcels/<int:number>/again", methods=BOTH)
def again(number: int) -> Answer:
    """Send what came back once more."""
    card = parcel_card(desk(), number)

    def store(values: Values) -> Done:
        sent = send_again(
            desk(),
            number,
            values.of(CARRIER),
            values.text(TRACKING),
            values.of(SENT_ON),
            without_inspection=values.text(UNINSPECTED),
            accept=values.accept,
        )
        return Done(_page(sent.parcel.number), f"Parcel {sent.parcel.number} left.")

    return fill(
        AGAIN,
        store,
        "form.html",
        start={"carrier": [card.parcel.carrier]},
        keep=("parcel again", f"parcel {number}"),
        focus="tracking",
        heading=f"Send parcel {number} again",
        lead=f"{card.customer}: {', '.join(card.contents)}. It goes to where the order goes now.",
        button="Send it",
        back=(_page(number), f"Parcel {number}"),
    )


def _page(number: int | None) -> str:
    return url_for("bench.parcel", number=number)
