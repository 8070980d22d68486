"""The first page: what waits today, most urgent first, each with the one button that goes on with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import PAGE
from shopledger.counter.ways import page_of
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.reminding import dangers_now
from shopledger.desk.today import today as what_waits
from shopledger.ledger.forms import KeptForm
from shopledger.ledger.today import Today, Urgency, Waiting, Waits

pages: Final = Blueprint("today", __name__)

SHOWN: Final = 6
"""How many of one kind stand open; the others are unfolded."""

HEADINGS: Final[Mapping[Urgency, tuple[str, str]]] = {
    Urgency.OVERDUE: ("Too late already", "now"),
    Urgency.WAITING: ("Somebody waits for it", "soon"),
    Urgency.IN_TIME: ("To be done in time", "later"),
}
BUTTONS: Final[Mapping[Waits, str]] = {
    Waits.LENSES_LATE: "Look at the job",
    Waits.MAKE_AGAIN: "Make it again",
    Waits.SEND_AGAIN: "Send it again",
    Waits.SEND: "Send it",
    Waits.CUT: "Open the job",
    Waits.TRACE: "Open the job",
    Waits.ORDER_LENSES: "Order lenses",
    Waits.PAPER: "Print it",
    Waits.RECEIPT: "Issue the receipt",
    Waits.UNPAID_SENT: "Take the payment",
    Waits.DRAFT: "Look at the draft",
    Waits.UNPAID: "Take the payment",
    Waits.BILL: "Pay the bill",
    Waits.BACKUP: "Copy the ledger",
    Waits.BANK_LINE: "Match it",
    Waits.MONTH: "Close the month",
    Waits.FRAME_UNTRACED: "Look at the frame",
}


@dataclass(frozen=True, slots=True)
class Part:
    """What waits of one kind and urgency: some of it open, the rest to be unfolded."""

    kind: Waits
    button: str
    rows: Sequence[Waiting]
    more: Sequence[Waiting]
    unseen: int
    """How many there are beside them that the desk did not list."""


@pages.get("/")
def today() -> str:
    """Show what waits."""
    waits = what_waits(desk())
    begun = [each for each in kept_forms(desk()) if each.typed.get(PAGE)]
    return render_template(
        "today.html",
        waits=waits,
        sections=[(*HEADINGS[each], parts) for each in Urgency if (parts := _parts(waits, each))],
        begun=[(each, each.typed[PAGE][0], _about(each)) for each in begun],
        elsewhere=[each for each in kept_forms(desk()) if not each.typed.get(PAGE)],
        dangers=dangers_now(desk()),
        warning=desk().warning,
        page_of=page_of,
        finding_first=True,
    )


def _parts(waits: Today, urgency: Urgency) -> tuple[Part, ...]:
    """Give what is so urgent, kind by kind in the order of their urgency."""
    found = []
    for each in waits.lists:
        rows = [row for row in each.rows if row.urgency(waits.day) is urgency]
        if rows:
            unseen = each.more if urgency is each.rows[-1].urgency(waits.day) else 0
            found.append(Part(each.kind, BUTTONS[each.kind], rows[:SHOWN], rows[SHOWN:], unseen))
    return tuple(found)


def _about(form: KeptForm) -> str:
    """Say what a begun form is about, by the first thing that was typed into it."""
    typed: Iterable[str] = (values[0] for name, values in form.typed.items() if name in {"name", "customer"} and values)
    return next(filter(None, typed), "")
