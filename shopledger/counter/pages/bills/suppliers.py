"""Suppliers: listed, added on the way of a bill, changed."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from flask import render_template

from shopledger.counter.addresses import supplier_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.forms.records import as_typed, taken
from shopledger.counter.pages.bills.part import BOTH, pages
from shopledger.desk.people import add_supplier, change_supplier, supplier_card, suppliers
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.text import LONGEST_NOTE

NAME: Final = line("name", "Name", width="middle", about=("supplier",), purpose="organization")
ACCOUNT: Final = line(
    "account", "The shop's number there", needed=False, longest=40, numbers=True, width="middle",
    about=("account number",),
)  # fmt: skip
PHONE: Final = line("phone", "Phone", needed=False, longest=40, numbers=True, width="middle")
MAIL: Final = line("email", "Mail address", needed=False, width="middle")
NOTE: Final = line("note", "Note", needed=False, longest=LONGEST_NOTE)
SINCE: Final = day("since", "A new name holds from")
NEW: Final = form(NAME, ACCOUNT, PHONE, MAIL, NOTE)
CHANGED: Final = form(NAME, ACCOUNT, PHONE, MAIL, NOTE, SINCE)


@pages.get("/suppliers")
def supplier_list() -> str:
    """Show all suppliers."""
    return render_template("bills/suppliers.html", suppliers=suppliers(desk()))


@pages.route("/suppliers/new", methods=BOTH)
def new_supplier() -> Answer:
    """Add a supplier."""

    def add(values: Values) -> Done:
        added = add_supplier(desk(), Supplier(**taken(NEW, values)))
        return Done(onward(supplier_page(added.number)), f"{added.name} is supplier {added.number}.")

    return fill(
        NEW,
        add,
        "form.html",
        keep=("new supplier", ""),
        heading="New supplier",
        lead="Who sends frames, lenses, lab work or bills of any kind: a landlord is one too.",
        button="Add the supplier",
    )


@pages.get("/suppliers/<int:number>")
def supplier(number: int) -> str:
    """Show a supplier with the bills that are open."""
    return render_template("bills/supplier.html", card=supplier_card(desk(), str(number)), today=desk().today)


@pages.route("/suppliers/<int:number>/change", methods=BOTH)
def change_of_supplier(number: int) -> Answer:
    """Change what is known of a supplier."""
    found = supplier_card(desk(), str(number)).supplier

    def store(values: Values) -> Done:
        new = taken(NEW, values)
        changed = change_supplier(desk(), str(number), lambda before: replace(before, **new), values.of(SINCE))
        return Done(supplier_page(changed.number), f"{changed.name} was changed.")

    return fill(
        CHANGED,
        store,
        "form.html",
        start=as_typed(CHANGED, found),
        keep=("change of supplier", str(number)),
        heading=f"Change {found.name}",
        button="Store the change",
        back=(supplier_page(number), found.name),
    )
