"""Customers and wearers: the card with everything about them, adding and changing in place."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.addresses import customer_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import day, form, line, tick, whole, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.pictures.shelf import picture_of
from shopledger.desk.books.deposits import deposits
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.known_people import CustomerCard, customer_and_wearers, customer_card
from shopledger.desk.order_lookups import newest_orders
from shopledger.desk.people import add_customer, add_wearer, change_customer, change_wearer
from shopledger.desk.reordering import wearer_pairs
from shopledger.ledger.forms import Typed
from shopledger.ledger.parties import Address, Customer, Relationship, Wearer
from shopledger.typed.days import Wanted

pages: Final = Blueprint("people", __name__, url_prefix="/customers")
BOTH: Final = ("GET", "POST")
PAPERS_KEEP: Final = "Papers already made keep what they said."

NAME: Final = line("name", "Name", purpose="name", about=("customer name", "wearer name"), width="middle")
STREET: Final = line("street", "Street", purpose="address-line1")
SECOND: Final = line(
    "second_line", "Second address line", needed=False, purpose="address-line2", about=("second address line",)
)
CITY: Final = line("city", "City", purpose="address-level2", width="middle")
STATE: Final = line("state", "State", purpose="address-level1", width="narrow", hint="Two letters, such as OH.")
ZIP: Final = line("postcode", "ZIP code", purpose="postal-code", width="narrow", about=("zip", "zip code"))
PHONE: Final = line("phone", "Phone", needed=False, numbers=True, longest=40, purpose="tel", width="middle")
MAIL: Final = line("email", "Mail address", needed=False, purpose="email", width="middle")
PRINTED: Final = line(
    "printed_name",
    "Name as papers print it",
    needed=False,
    hint="Only where papers cannot set the name's own letters.",
    width="middle",
)
WEARS: Final = tick("wears", "Wears glasses from the shop too")
BORN: Final = day(
    "birth_date", "Birth date", wanted=Wanted.BIRTH, hint="Many plans ask for it on a receipt.", about=("born",)
)
RELATION: Final = word("relationship", "What the wearer is to the customer", Relationship)
MEMBER: Final = line(
    "member_id", "The plan's number for the member", needed=False, longest=40, numbers=True, width="middle"
)
WITHIN: Final = whole(
    "claim_within_days", "The plan's filing limit", needed=False, unit="days from shipping", about=("filing limit",)
)
SINCE: Final = day("since", "A new name holds from", hint="Left empty: today.")

WHERE: Final = (STREET, SECOND, CITY, STATE, ZIP)
REACHED: Final = (PHONE, MAIL)
NEW_CUSTOMER: Final = form(NAME, *WHERE, *REACHED, PRINTED, WEARS)
CHANGED_CUSTOMER: Final = form(NAME, *WHERE, *REACHED, PRINTED, SINCE)
NEW_WEARER: Final = form(NAME, RELATION, BORN, MEMBER, WITHIN, PRINTED)
CHANGED_WEARER: Final = form(NAME, RELATION, BORN, MEMBER, WITHIN, PRINTED, SINCE)


@pages.route("/new", methods=BOTH)
def new_customer() -> Answer:
    """Add a customer."""

    def add(values: Values) -> Done:
        added = add_customer(
            desk(),
            values.of(NAME),
            address_of(values),
            values.text(PHONE),
            values.text(MAIL),
            wears=values.of(WEARS),
            printed_name=values.text(PRINTED),
            accept=values.accept,
        )
        return Done(
            onward(customer_page(added.number), added=added.number), f"{added.name} is customer {added.number}."
        )

    return fill(
        NEW_CUSTOMER,
        add,
        "form.html",
        start={"wears": ["yes"]},
        keep=("new customer", ""),
        heading="New customer",
        button="Add the customer",
    )


@pages.get("/<int:number>")
def card(number: int) -> str:
    """Show everything about a customer."""
    found = customer_card(desk(), str(number))
    who = str(found.customer.number)
    here = found.customer.erased_on is None
    return render_template(
        "customer.html",
        card=found,
        customer=found.customer,
        pairs=_pairs(found),
        orders=newest_orders(desk(), who) if here else (),
        deposits=deposits(desk(), who) if here else (),
        begun=[each for each in kept_forms(desk()) if each.about.split("-")[0] == who],
        picture_of=picture_of,
    )


@pages.route("/<int:number>/change", methods=BOTH)
def change(number: int) -> Answer:
    """Change a customer's name, address or how to reach them."""
    customer, _ = customer_and_wearers(desk(), str(number))

    def store(values: Values) -> Done:
        changed = change_customer(
            desk(),
            str(number),
            lambda found: replace(
                found,
                name=values.of(NAME),
                address=address_of(values),
                phone=values.text(PHONE),
                email=values.text(MAIL),
                printed_name=values.text(PRINTED),
            ),
            values.of(SINCE),
        )
        return Done(customer_page(changed.number), f"{changed.name} was changed. {PAPERS_KEEP}")

    return fill(
        CHANGED_CUSTOMER,
        store,
        "form.html",
        start=_as_typed(customer),
        keep=("change of customer", str(number)),
        heading=f"Change {customer.name}",
        button="Store the change",
        back=(customer_page(customer.number), customer.name),
    )


@pages.route("/<int:number>/wearers/new", methods=BOTH)
def new_wearer(number: int) -> Answer:
    """Add somebody whose glasses the customer pays for."""
    customer, _ = customer_and_wearers(desk(), str(number))

    def store(values: Values) -> Done:
        added = add_wearer(
            desk(),
            str(number),
            values.of(NAME),
            values.of(RELATION),
            values.of(BORN),
            values.text(MEMBER),
            printed_name=values.text(PRINTED),
            claim_within_days=values.of(WITHIN),
        )
        return Done(onward(customer_page(customer.number)), f"{added.name} was added.")

    return fill(
        NEW_WEARER,
        store,
        "form.html",
        keep=("new wearer", str(number)),
        heading=f"Somebody whose glasses {customer.name} pays for",
        button="Add the wearer",
        back=(customer_page(customer.number), customer.name),
    )


@pages.route("/<int:number>/wearers/<int:wearer>", methods=BOTH)
def change_of_wearer(number: int, wearer: int) -> Answer:
    """Change what is known of a wearer."""
    customer, wearers = customer_and_wearers(desk(), str(number))
    found = next((each for each in wearers if each.number == wearer), None)
    if found is None:
        return render_template(
            "wrong.html", heading="That is not there", words="This customer has no such wearer.", inside=True
        ), 404

    def store(values: Values) -> Done:
        changed = change_wearer(
            desk(),
            str(number),
            found.name,
            lambda before: replace(
                before,
                name=values.of(NAME),
                relationship=values.of(RELATION),
                birth_date=values.of(BORN),
                member_id=values.text(MEMBER),
                printed_name=values.text(PRINTED),
                claim_within_days=values.of(WITHIN),
            ),
            values.of(SINCE),
        )
        return Done(customer_page(customer.number), f"{changed.name} was changed. {PAPERS_KEEP}")

    return fill(
        CHANGED_WEARER,
        store,
        "form.html",
        start=_wearer_as_typed(found),
        keep=("change of wearer", f"{number}-{wearer}"),
        heading=f"Change {found.name}",
        button="Store the change",
        back=(customer_page(customer.number), customer.name),
    )


def address_of(values: Values) -> Address:
    """Read an address from its fields."""
    return Address(values.of(STREET), values.of(CITY), values.of(STATE), values.of(ZIP), values.text(SECOND))


def address_typed(customer: Customer) -> Typed:
    """Give where a customer lives and how they are reached, as it is typed."""
    where = customer.address
    return {
        "street": [where.street],
        "second_line": [where.second_line],
        "city": [where.city],
        "state": [where.state],
        "postcode": [where.postcode],
        "phone": [customer.phone],
        "email": [customer.email],
    }


def _as_typed(customer: Customer) -> Typed:
    return {**address_typed(customer), "name": [customer.name], "printed_name": [customer.printed_name]}


def _wearer_as_typed(wearer: Wearer) -> Typed:
    return {
        "name": [wearer.name],
        "relationship": [wearer.relationship.value],
        "birth_date": [wearer.birth_date.isoformat() if wearer.birth_date else ""],
        "member_id": [wearer.member_id],
        "claim_within_days": [str(wearer.claim_within_days or "")],
        "printed_name": [wearer.printed_name],
    }


def _pairs(card: CustomerCard) -> dict[int, tuple[object, ...]]:
    """Give each wearer's pairs, newest first."""
    customer = str(card.customer.number)
    return {
        wearer.number or 0: () if wearer.erased_on else wearer_pairs(desk(), customer, wearer.name)
        for wearer, _ in card.wearers
    }
