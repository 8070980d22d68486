"""The bank: its statements taken in as files, each line said what it is, the month brought together with the books."""

from __future__ import annotations

from typing import Any, Final

from flask import render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, Kind, form, line, ticks
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages import picks
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.counter.pages.money.part import BOTH, month_asked, pages
from shopledger.counter.plain_words import plain
from shopledger.desk.books.bank_matching import (
    LineRequest,
    line_card,
    match_lines,
    pair_lines,
    pick_match,
    plan_matches,
    record_line,
    shown_lines,
    unmatch,
)
from shopledger.desk.books.bank_reconciling import print_month, reconcile
from shopledger.desk.books.statements import bank_accounts
from shopledger.errors import RefusedError
from shopledger.ledger.books.bank_matches import BookEntry, LineMeaning, read_documents
from shopledger.ledger.books.period import Month
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.numbers import read_whole
from shopledger.typed.words import read_word

MOST: Final = 300
"""How many lines or entries a page shows."""
MEANINGS: Final = {
    LineMeaning.FEE: ("A fee of the bank's", "an expense"),
    LineMeaning.EXPENSE: ("Something was paid", "an expense; say below what for"),
    LineMeaning.DRAW: ("The owner took it out", "no expense"),
    LineMeaning.INTEREST: ("Interest", "other income"),
    LineMeaning.CONTRIBUTION: ("The owner put it in", "no income"),
}
PAYEE: Final = line("payee", "Paid to", needed=False, width="middle", hint="Left empty: as the line says.")
CATEGORY: Final = picks.category("category", "What it was for", needed=False, hint="Of something that was paid.")
WORDS: Final = line("description", "In your words", needed=False, longest=LONGEST_NOTE)


@pages.get("/bank")
def bank() -> str:
    """Show the accounts, what is surely matched, and the lines that are open."""
    plan, accounts = plan_matches(desk()), bank_accounts(desk())
    newest = max((said.day for _, said in accounts if said is not None), default=desk().today)
    return render_template(
        "money/bank.html",
        accounts=accounts,
        plan=plan,
        left=plan.left[:MOST],
        more=max(0, len(plan.left) - MOST),
        months=[str(each) for each in (Month(newest.year, newest.month), _before(newest.year, newest.month))],
    )


@pages.post("/bank/match")
def match_all() -> Response:
    """Match every line that can only be one entry."""
    plan = match_lines(desk())
    closed = f" More are sure in {plan.closed[0]}, which is closed." if plan.closed else ""
    return leave("/money/bank", f"{len(plan.found)} matched, {len(plan.left)} left to say.{closed}")


@pages.get("/bank/lines")
def lines() -> str:
    """Show the bank's lines of a month or all, with what each is in the books."""
    found = tuple(reversed(shown_lines(desk(), month_asked())))
    more = max(0, len(found) - MOST)
    return render_template("money/lines.html", found=found[:MOST], more=more, month=request.args.get("month", ""))


@pages.route("/bank/lines/<int:number>", methods=BOTH)
def line_page(number: int) -> Answer:
    """Show a line with all that it can be; make an entry of it where it is none yet."""
    card = line_card(desk(), number)
    shown = card.shown.line
    fitting = [each for each in MEANINGS if each.comes_in == (shown.amount > 0)]
    meaning: Field[LineMeaning] = Field(
        "meaning",
        "What it is",
        lambda typed, field: read_word(typed, field, tuple(LineMeaning)),
        Kind.CHOICE,
        choices=tuple(Choice(each.value, *MEANINGS[each]) for each in fitting),
    )

    def store(values: Values) -> Done:
        asked = LineRequest(
            number,
            values.of(meaning),
            values.read.get("payee") or "",
            values.read.get("category"),
            values.read.get("description") or "",
        )
        done = record_line(desk(), asked, values.accept)
        return Done("/money/bank", f"Line {number} was recorded as {type(done.document).__name__.lower()}.")

    goes_out = shown.amount < 0
    return fill(
        form(meaning, *((PAYEE, CATEGORY, WORDS) if goes_out else ())),
        store,
        "money/line.html",
        keep=("line of the bank", str(number)),
        card=card,
        number=number,
    )


@pages.post("/bank/lines/<int:number>/is")
def is_document(number: int) -> Response:
    """Say which entry of the books a line is."""
    pick_match(desk(), number, read_documents(request.form.get("document", "")))
    return leave("/money/bank", f"Line {number} was matched.")


@pages.route("/bank/lines/<int:number>/together", methods=BOTH)
def are_documents(number: int) -> Answer:
    """Say of which entries a line is made up."""
    card = line_card(desk(), number)
    chosen: Field[Any] = ticks("documents", "Which entries it is made up of", _entries(card.entries))
    asked = form(chosen)

    def store(values: Values) -> Done:
        pick_match(desk(), number, read_documents(" ".join(values.of(chosen))))
        return Done("/money/bank", f"Line {number} was matched.")

    return fill(
        asked,
        store,
        "form.html",
        heading=f"Line {number} of the bank: {_dollars(card.shown.line.amount)}",
        lead="Several entries that the bank put into one line come to it to the cent.",
        button="It is these together",
        back=(f"/money/bank/lines/{number}", f"Line {number}"),
    )


@pages.post("/bank/lines/<int:number>/pair")
def pair(number: int) -> Response:
    """Say that two lines come to nothing."""
    other = read_whole(request.form.get("other", ""), "line")
    pair_lines(desk(), number, other)
    return leave("/money/bank", f"Lines {number} and {other} come to nothing together.")


@pages.post("/bank/lines/<int:number>/unmatch")
def take_back(number: int) -> Response:
    """Take back what a line was said to be."""
    unmatch(desk(), number)
    return leave(f"/money/bank/lines/{number}", f"Line {number} is open again.")


@pages.get("/bank/months/<which>")
def bank_month(which: str) -> str:
    """Show bank and books brought together at a month's end."""
    month = Month.read(which)
    try:
        found = reconcile(desk(), month)
    except RefusedError as error:
        lacks = plain(str(error))
        return render_template("money/bank_lacks.html", month=month, lacks=lacks, accounts=bank_accounts(desk()))
    return render_template("money/bank_month.html", found=found, end=found.end)


@pages.post("/bank/months/<which>/print")
def bank_month_page(which: str) -> Response:
    """Print a month's reconciliation."""
    month = Month.read(which)
    return given_out(print_month(desk(), month, papers_folder()), f"Bank and books of {month} were printed.")


def _entries(entries: tuple[BookEntry, ...]) -> tuple[Choice, ...]:
    return tuple(_as_choice(each) for each in entries[:MOST])


def _as_choice(entry: BookEntry) -> Choice:
    document = str(entry.document)
    return Choice(document.replace(" ", "-"), f"{_dollars(entry.amount)}, {entry.memo}", f"{document}, {entry.day}")


def _dollars(cents: Cents) -> str:
    return f"{'-' if cents < 0 else ''}${write_amount(abs(cents))}"


def _before(year: int, month: int) -> Month:
    return Month(year - 1, 12) if month == 1 else Month(year, month - 1)
