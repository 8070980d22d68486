"""Deposits: a customer's money that waits for an order, taken and given back."""

from __future__ import annotations

from typing import Final

from flask import render_template, request

from shopledger.counter.addresses import deposit_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import amount, day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.pages import picks
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.deposits import (
    DepositRequest,
    GiveBackRequest,
    deposit_card,
    deposits,
    give_back,
    take_deposit,
)
from shopledger.desk.known_people import customer_card
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import write_amount

CUSTOMER: Final = picks.customer()
AMOUNT: Final = amount("amount", "Amount", about=("deposit",))
METHOD: Final = picks.method("method", "How it was paid")
REFERENCE: Final = line(
    "reference",
    "Check or transfer number, or a card's last four",
    needed=False,
    width="middle",
    about=("deposit reference",),
)
NOTE: Final = line("note", "What it is for", needed=False, longest=LONGEST_NOTE)
WHEN: Final = day("day", "Day", about=("deposit day",))
TAKE: Final = form(CUSTOMER, AMOUNT, METHOD, REFERENCE, NOTE, WHEN)
BACK_BY: Final = picks.method("method", "How it goes back")
BACK: Final = form(AMOUNT, BACK_BY, REFERENCE, NOTE, WHEN)


@pages.get("/deposits")
def deposit_list() -> str:
    """Show the deposits of which something is left, or all."""
    every = request.args.get("all") == "yes"
    return render_template("money/deposits.html", found=deposits(desk(), used_up=every), every=every)


@pages.route("/deposits/new", methods=BOTH)
def new_deposit() -> Answer:
    """Take a deposit."""
    known = request.args.get("customer", "")
    name = customer_card(desk(), known).customer.name if known.isdecimal() else ""

    def store(values: Values) -> Done:
        asked = DepositRequest(
            values.of(CUSTOMER),
            values.of(AMOUNT),
            values.of(METHOD),
            values.text(REFERENCE),
            values.text(NOTE),
            values.of(WHEN),
        )
        taken = take_deposit(desk(), asked)
        number = taken.account.deposit.number
        said = f"Deposit {number} of ${write_amount(asked.amount)} was taken from {taken.customer.name}."
        return Done(onward(deposit_page(number)), said)

    return fill(
        TAKE,
        store,
        "form.html",
        start={"customer": [known]} if name else None,
        keep=("new deposit", known if name else ""),
        heading=f"Deposit of {name}" if name else "New deposit",
        lead="Money of a customer that waits for an order, or that somebody else gives for one.",
        button="Take the deposit",
        back=("/money/deposits", "Deposits"),
    )


@pages.get("/deposits/<int:number>")
def deposit(number: int) -> str:
    """Show a deposit with what became of it."""
    return render_template("money/deposit.html", card=deposit_card(desk(), number))


@pages.route("/deposits/<int:number>/give-back", methods=BOTH)
def give_deposit_back(number: int) -> Answer:
    """Hand money of a deposit back."""
    card = deposit_card(desk(), number)

    def store(values: Values) -> Done:
        asked = GiveBackRequest(
            values.of(AMOUNT),
            values.of(BACK_BY),
            values.text(REFERENCE),
            values.text(NOTE),
            values.of(WHEN),
            values.accept,
        )
        given = give_back(desk(), number, asked)
        left = write_amount(given.account.left)
        return Done(deposit_page(number), f"${write_amount(values.of(AMOUNT))} went back; ${left} is left.")

    method = card.account.deposit.method
    return fill(
        BACK,
        store,
        "form.html",
        start={"amount": [write_amount(card.account.left)], "method": [method.value]},
        keep=("giving back of deposit", str(number)),
        heading=f"Give back deposit {number} of {card.customer.name}",
        lead=f"${write_amount(card.account.left)} is left of it; it was paid by {method.value}.",
        button="Give it back",
        back=(deposit_page(number), f"Deposit {number}"),
    )
