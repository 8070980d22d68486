"""Whose data it is: what is held on somebody, given out, erased or kept; customers joined, parted and grown up."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.addresses import customer_page, paper_page
from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, form, line, pick, tick, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.people import BOTH, MAIL, PHONE, WHERE, address_of, address_typed
from shopledger.desk.erasing import ErasureRequest, erase, export_held, held_on, place_hold
from shopledger.desk.known_people import customer_and_wearers, find_customers
from shopledger.desk.people import NewCustomerRequest, become_customer, join_customers, part_customers
from shopledger.ledger.erasing import AskedBy
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.text import clean_text
from shopledger.store.refusals import NumberUnknownError

pages: Final = Blueprint("personal_data", __name__, url_prefix="/customers")

WHY: Final = line("reason", "Why", longest=2000, hint="It is kept for good, so without a name.")
WHY_HELD: Final = line("reason", "Why", longest=2000)
ASKED_BY: Final = word("asked_by", "Who asked for it", AskedBy)
LIFT: Final = tick("lift", "Lift a hold that stands: let the records go again")


@pages.get("/<int:number>/held", defaults={"wearer": None})
@pages.get("/<int:number>/wearers/<int:wearer>/held")
def held(number: int, wearer: int | None) -> str:
    """Show all that is held on somebody, and until when."""
    customer, one = _whom(number, wearer)
    found = held_on(desk(), str(number), one.name if one else None)
    return render_template(
        "held.html",
        customer=customer,
        held=found,
        against=found.retention.against(desk().today),
        erasable_from=found.retention.erasable_from,
        here=_page(number, wearer),
    )


@pages.route("/<int:number>/held/give-out", methods=BOTH, defaults={"wearer": None})
@pages.route("/<int:number>/wearers/<int:wearer>/held/give-out", methods=BOTH)
def give_out(number: int, wearer: int | None) -> Answer:
    """Write all that is held on somebody for that person."""
    customer, one = _whom(number, wearer)

    def store(_values: Values) -> Done:
        _, (_, to_read) = export_held(desk(), str(number), station().papers, one.name if one else None)
        return Done(paper_page(to_read.name), "All that is held was written into two files, this one to be read.")

    return fill(
        form(),
        store,
        "form.html",
        heading=f"Give out what is held on {(one or customer).name}",
        lead="Two files go into the folder of papers, one to be read and one for programs. It is noted.",
        button="Write the files",
        back=(f"{_page(number, wearer)}/held", "What is held"),
    )


@pages.route("/<int:number>/erase", methods=BOTH, defaults={"wearer": None})
@pages.route("/<int:number>/wearers/<int:wearer>/erase", methods=BOTH)
def erase_person(number: int, wearer: int | None) -> Answer:
    """Erase somebody for good, once nothing keeps the records."""
    customer, one = _whom(number, wearer)

    def store(values: Values) -> Done:
        asked = ErasureRequest(
            str(number), values.of(WHY), values.of(ASKED_BY), one.name if one else None, values.accept
        )
        done = erase(desk(), asked)
        papers = f" Outside the ledger, for you to see to: {', '.join(done.papers)}." if done.papers else ""
        words = f"Erased. Make a new copy of the ledger now: older ones still hold the person.{papers}"
        return Done(customer_page(number), words)

    return fill(
        form(WHY, ASKED_BY),
        store,
        "form.html",
        start={"asked_by": [AskedBy.PERSON.value]},
        heading=f"Erase {(one or customer).name}",
        lead="Names, addresses, prescriptions and measurements are blanked for good; numbers, days and money stay.",
        button="Erase for good",
        back=(f"{_page(number, wearer)}/held", "What is held"),
    )


@pages.route("/<int:number>/hold", methods=BOTH, defaults={"wearer": None})
@pages.route("/<int:number>/wearers/<int:wearer>/hold", methods=BOTH)
def hold(number: int, wearer: int | None) -> Answer:
    """Keep somebody's records whatever the rules say, or let them go again."""
    customer, one = _whom(number, wearer)

    def store(values: Values) -> Done:
        lift = values.of(LIFT)
        place_hold(desk(), str(number), values.of(WHY_HELD), one.name if one else None, lift=lift)
        words = "The hold was lifted." if lift else "Nothing of it is erased until the hold is lifted."
        return Done(customer_page(number), words)

    return fill(
        form(WHY_HELD, LIFT),
        store,
        "form.html",
        heading=f"Keep all records of {(one or customer).name}",
        button="Store it",
        back=(f"{_page(number, wearer)}/held", "What is held"),
    )


@pages.route("/<int:number>/join", methods=BOTH)
def join(number: int) -> Answer:
    """Join a customer who was recorded twice to the other."""
    customer, _ = _whom(number, None)
    others = [each for each in find_customers(desk(), customer.name.split()[-1], 50) if each.number != number]
    listed = [Choice(str(each.number), each.name, each.address.city) for each in others]
    into = pick("into", "Who leads from then on, by number or name", _read_name, listed, width="middle")

    def store(values: Values) -> Done:
        card = join_customers(desk(), str(number), values.of(into), values.of(WHY_HELD), values.accept)
        return Done(customer_page(card.customer.number), f"{card.customer.name} leads now. Both numbers stay.")

    return fill(
        form(into, WHY_HELD),
        store,
        "form.html",
        heading=f"{customer.name} was recorded twice",
        lead="Nothing is moved: both numbers stay, and each finds the orders, wearers and deposits of both.",
        button="Join them",
        back=(customer_page(number), customer.name),
    )


@pages.route("/<int:number>/part", methods=BOTH)
def part(number: int) -> Answer:
    """Part a customer again who was joined by mistake."""

    def store(values: Values) -> Done:
        parted = part_customers(desk(), str(number), values.of(WHY_HELD))
        return Done(customer_page(number), f"{parted.name} stands alone again.")

    return fill(
        form(WHY_HELD),
        store,
        "form.html",
        heading=f"Part customer {number} from the other again",
        button="Part them",
        back=(customer_page(number), f"Customer {number}"),
    )


@pages.route("/<int:number>/wearers/<int:wearer>/own", methods=BOTH)
def grown_up(number: int, wearer: int) -> Answer:
    """Make a wearer a customer, such as a child who has grown up."""
    customer, one = _whom(number, wearer)
    who = one or customer

    def store(values: Values) -> Done:
        asked = NewCustomerRequest(
            str(number), who.name, lambda _: address_of(values), values.text(PHONE), values.text(MAIL)
        )
        card, _ = become_customer(desk(), asked, values.accept)
        return Done(customer_page(card.customer.number), f"{card.customer.name} is a customer now.")

    return fill(
        form(*WHERE, PHONE, MAIL),
        store,
        "form.html",
        start=address_typed(replace(customer, phone="", email="")),
        heading=f"{who.name} becomes a customer",
        lead="Prescriptions and frames of their own go along. What was ordered before stays with who paid.",
        button="Make a customer",
        back=(customer_page(number), customer.name),
    )


def _read_name(typed: str, field: str) -> str:
    return clean_text(field, typed, numbers=True)


def _whom(number: int, wearer: int | None) -> tuple[Customer, Wearer | None]:
    customer, wearers = customer_and_wearers(desk(), str(number))
    one = next((each for each in wearers if each.number == wearer), None)
    if wearer is not None and one is None:
        raise NumberUnknownError("wearer", wearer)
    return customer, one


def _page(number: int, wearer: int | None) -> str:
    return f"{customer_page(number)}/wearers/{wearer}" if wearer else customer_page(number)
