"""Claim receipts: issued for whoever something on an order is for, shown as frozen, printed again, replaced."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.addresses import order_page, paper_page, receipt_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, day, form, line, tick
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.printed import papers_folder
from shopledger.counter.pages.orders.deeds import BOTH, REASON
from shopledger.counter.showing import money
from shopledger.desk.claims import mark_claimed
from shopledger.desk.order_lookups import order_account
from shopledger.desk.papers import print_statement, print_worksheet
from shopledger.desk.receipt_lookups import overtaken_of, receipt_numbered
from shopledger.desk.receipts import issue_receipt, print_receipt, receivers, replace_receipt
from shopledger.ledger.orders import NOBODY

pages: Final = Blueprint("receipts", __name__)

UNPAID: Final = tick("unpaid", "Print it although something is owed, marked as what it is")
DIAGNOSES: Final = line(
    "diagnoses",
    "Diagnosis codes that came after the receipt",
    needed=False,
    hint="ICD-10-CM, only as the prescriber's document gives them; with spaces between.",
    about=("diagnosis", "diagnosis code"),
)
HANDED_IN: Final = day("day", "Day it was handed in", about=("claim day",))


@pages.route("/orders/<int:number>/receipt", methods=BOTH)
def issue(number: int) -> Answer:
    """Issue and print a receipt."""
    account = order_account(desk(), number)
    names = receivers(desk(), number)
    choices = [Choice(each, "The customer, for what is nobody else's" if each == NOBODY else each) for each in names]
    whom: Field[str] = Field("wearer", "For whom", lambda typed, _: typed, Kind.CHOICE, choices=choices)

    def store(values: Values) -> Done:
        printed = issue_receipt(
            desk(), number, values.of(whom), papers_folder(), not_paid_in_full=values.of(UNPAID)
        )  # fmt: skip
        return Done(paper_page(printed.file.name), f"Receipt {printed.receipt.number} was issued and printed.")

    owed = f" {money(account.balance)} of the order is still owed." if account.balance else ""
    people = [each for each in names if each != NOBODY]
    first = names[0] if len(names) == 1 else people[0] if len(people) == 1 else ""
    return fill(
        form(whom, UNPAID),
        store,
        "form.html",
        start={"wearer": [first]},
        heading=f"Receipt of order {number}",
        lead=f"Its number is taken and its content frozen; it can be printed again and replaced, never changed.{owed}",
        button="Issue and print it",
        back=(order_page(number), f"Order {number}"),
    )


@pages.get("/receipts/<int:number>")
def card(number: int) -> str:
    """Show a receipt as it was frozen; the look is noted."""
    found = receipt_numbered(desk(), number)
    return render_template(
        "receipt.html", receipt=found, content=found.content, overtaken=bool(overtaken_of(desk(), [found]))
    )


@pages.post("/receipts/<int:number>/print")
def print_again(number: int) -> Answer:
    """Print a receipt again, marked as a copy."""
    printed = print_receipt(desk(), number, papers_folder())
    return leave(paper_page(printed.file.name), f"Receipt {number} was printed again, marked as a copy.")


@pages.post("/receipts/<int:number>/statement")
def statement(number: int) -> Answer:
    """Print the statement for a health account."""
    file = print_statement(desk(), number, papers_folder())
    return leave(paper_page(file.name), f"The health account's statement of receipt {number} was printed.")


@pages.route("/receipts/<int:number>/worksheet", methods=BOTH)
def worksheet(number: int) -> Answer:
    """Print the worksheet for a claim."""

    def store(values: Values) -> Done:
        codes = values.text(DIAGNOSES).replace(",", " ").split()
        file = print_worksheet(desk(), number, papers_folder(), codes)
        return Done(paper_page(file.name), f"The claim worksheet of receipt {number} was printed.")

    return _about(number, form(DIAGNOSES), store, f"Claim worksheet of receipt {number}", "Print the worksheet")


@pages.route("/receipts/<int:number>/replace", methods=BOTH)
def replace(number: int) -> Answer:
    """Issue a new receipt in the place of an old one."""

    def store(values: Values) -> Done:
        printed = replace_receipt(
            desk(), number, values.of(REASON), papers_folder(), not_paid_in_full=values.of(UNPAID)
        )  # fmt: skip
        return Done(paper_page(printed.file.name), f"Receipt {printed.receipt.number} takes the place of {number}.")

    return _about(number, form(REASON, UNPAID), store, f"A new receipt in the place of {number}", "Issue and print it")


@pages.route("/receipts/<int:number>/claimed", methods=BOTH)
def claimed(number: int) -> Answer:
    """Note that the customer handed a receipt in."""

    def store(values: Values) -> Done:
        mark_claimed(desk(), number, values.of(HANDED_IN))
        return Done(receipt_page(number), f"Receipt {number} is noted as handed in.")

    return _about(number, form(HANDED_IN), store, f"Receipt {number} was handed in", "Note it")


def _about(number: int, asked: Form, store: Callable[[Values], Done], heading: str, button: str) -> Answer:
    return fill(
        asked,
        store,
        "form.html",
        heading=heading,
        button=button,
        back=(receipt_page(number), f"Receipt {number}"),
    )
