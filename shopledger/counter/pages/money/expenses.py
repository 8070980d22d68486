"""Expenses: what was spent and paid at once, with the picture of its receipt."""

from __future__ import annotations

from typing import Final

from flask import render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.addresses import expense_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, amount, day, file, form, line, pick
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.forms.records import as_typed
from shopledger.counter.pages import picks
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.counter.pages.money.part import BOTH, month_asked, pages
from shopledger.desk.books.spending import expense_card, expenses, record_expense, write_receipt
from shopledger.ledger.books.spending import Expense, ExpenseCategory
from shopledger.ledger.forms import Typed
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.typed.words import read_word

MOST: Final = 300
"""How many expenses a list shows."""
LONGEST: Final = 9
"""How many digits a number in an address has."""
KNOWN: Final = 400
"""Of how many of the newest expenses the payees are offered."""


def _payees() -> tuple[Choice, ...]:
    names = dict.fromkeys(each.what.payee for each in reversed(expenses(desk())[-KNOWN:]))
    return tuple(Choice(each, "") for each in names)


PAYEE: Final = pick(
    "payee", "Paid to", lambda typed, _: typed, _payees, width="middle", hint="As it stands on the receipt."
)
AMOUNT: Final = amount("amount", "Amount", about=("expense",))
CATEGORY: Final = picks.category("category", "What it was for", width="wide")
WORDS: Final = line("description", "In your words", longest=LONGEST_NOTE, hint="What was bought, and for what.")
FROM: Final = picks.paid_from("method", "Paid from")
REFERENCE: Final = line(
    "reference", "Check, transfer or receipt number", needed=False, numbers=True, width="middle",
    hint="Of a card its last four digits.",
    about=("expense reference",),
)  # fmt: skip
RECEIPT: Final = file("receipt", "The receipt, as a picture or file", hint="It is kept as the proof.")
WHEN: Final = day("day", "Day it was paid")
NEW: Final = form(PAYEE, AMOUNT, CATEGORY, WORDS, FROM, RECEIPT, REFERENCE, WHEN)


@pages.get("/expenses")
def expense_list() -> str:
    """Show expenses, of one month or category or all, with their sum."""
    typed = request.args.get("category", "")
    category = read_word(typed, "category", tuple(ExpenseCategory)) if typed else None
    found = tuple(reversed(expenses(desk(), month_asked(), category)))
    return render_template(
        "money/expenses.html",
        found=found[:MOST],
        more=max(0, len(found) - MOST),
        total=sum(each.sign * each.what.amount for each in found),
        month=request.args.get("month", ""),
        category=typed,
        categories=picks.categories(),
    )


@pages.route("/expenses/new", methods=BOTH)
def new_expense() -> Answer:
    """Record an expense."""

    def store(values: Values) -> Done:
        asked = Expense(
            values.of(WHEN) or desk().today,
            values.of(PAYEE),
            values.of(CATEGORY),
            values.of(WORDS),
            values.of(AMOUNT),
            values.of(FROM),
            values.text(REFERENCE),
        )
        stored = record_expense(desk(), asked, values.of(RECEIPT), values.accept).expense
        return Done(onward(expense_page(stored.number)), f"Expense {stored.number} was recorded.")

    like = request.args.get("like", "")
    return fill(
        NEW,
        store,
        "form.html",
        start=_like(int(like)) if like.isdecimal() and len(like) < LONGEST else None,
        keep=("new expense", like[:LONGEST]),
        heading="New expense",
        lead="Something that was paid at once. What is to be paid later is a bill.",
        button="Record the expense",
        back=("/money/expenses", "Expenses"),
    )


def _like(number: int) -> Typed:
    """Give what an expense has in common with the next of its kind: all but its day, its number and its receipt."""
    earlier = expense_card(desk(), number).expense
    return as_typed(form(PAYEE, AMOUNT, CATEGORY, WORDS, FROM), earlier)


@pages.get("/expenses/<int:number>")
def expense(number: int) -> str:
    """Show an expense."""
    return render_template("money/expense.html", card=expense_card(desk(), number))


@pages.post("/expenses/<int:number>/receipt")
def receipt(number: int) -> Response:
    """Give the kept receipt of an expense out."""
    return given_out(write_receipt(desk(), number, papers_folder()), f"This is what was kept of expense {number}.")
