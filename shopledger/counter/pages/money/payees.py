"""Payees of a year's services and rent, and what their W-9s say; a tax number is never shown whole."""

from __future__ import annotations

from typing import Final

from flask import render_template, request

from shopledger.counter.addresses import paper_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import amount, day, form, line, tick, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.given_out import papers_folder
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.payee_forms import (
    erase_w9,
    erasing,
    hand_out,
    handing_out,
    payee_list,
    record_w9,
    set_limit,
    w9_of,
)
from shopledger.ledger.books.payee_forms import CAUTION, W9, ReportLimit, TaxpayerKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.parties import Address
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import write_amount

PAYEE: Final = line("payee", "Payee, as expenses and bills name them", width="middle")
NAME: Final = line("name", "Name on the W-9", width="middle", about=("name on the w-9",))
STREET: Final = line("street", "Street")
CITY: Final = line("city", "City", width="middle")
STATE: Final = line("state", "State", width="narrow", hint="Two letters, such as OH.")
ZIP: Final = line("postcode", "ZIP code", width="narrow", about=("zip", "zip code"))
KIND: Final = word("kind", "What the payee is", TaxpayerKind, hint="An individual may be a sole proprietor.")
NUMBER: Final = line("tax_number", "Tax number", numbers=True, longest=20, width="narrow", about=("tax number",))
HELD: Final = tick("backup_withholding", "Tax is held back of what the payee gets")
RECEIVED: Final = day("received_on", "Day the W-9 came", about=("day received",))
NEW: Final = form(PAYEE, NAME, STREET, CITY, STATE, ZIP, KIND, NUMBER, HELD, RECEIVED)
LIMIT: Final = amount("amount", "Reported from", about=("limit",))
REASON: Final = line("reason", "Why, without the name", longest=LONGEST_NOTE)


@pages.get("/payees")
def payees() -> str:
    """Show who may need a 1099 for a year."""
    typed = request.args.get("year") or str(desk().today.year)
    return render_template(
        "money/payees.html", found=payee_list(desk(), Period.read_year(typed)), year=typed, caution=CAUTION
    )


@pages.route("/payees/w9", methods=BOTH)
def new_w9() -> Answer:
    """Keep what a payee's W-9 says; what is typed here is not kept before it is sent."""

    def store(values: Values) -> Done:
        where = Address(values.of(STREET), values.of(CITY), values.of(STATE), values.of(ZIP))
        asked = W9(
            values.of(PAYEE),
            values.of(NAME),
            where,
            values.of(KIND),
            values.of(NUMBER),
            values.of(RECEIVED) or desk().today,
            values.of(HELD),
        )
        kept = record_w9(desk(), asked, values.accept)
        return Done("/money/payees", f"The W-9 of {kept.payee} is kept; its number ends in {kept.ending}.")

    start = {"payee": [request.args.get("payee", "")], "name": [request.args.get("payee", "")]}
    return fill(NEW, store, "money/w9.html", start=start, heading="W-9 of a payee")


@pages.get("/payees/w9/of")
def w9() -> str:
    """Show what a payee's W-9 says, its number by the last four digits alone."""
    return render_template("money/w9_card.html", form=w9_of(desk(), request.args.get("payee", "")))


@pages.route("/payees/w9/hand-out", methods=BOTH)
def hand_w9_out() -> Answer:
    """Write a W-9 with its whole number for the tax preparer."""
    found = w9_of(desk(), request.args.get("payee", ""))

    def store(values: Values) -> Done:
        written = hand_out(desk(), found.payee, papers_folder(), values.accept)
        return Done(paper_page(written.name), "It holds a whole tax number: give it out, and delete it then.")

    return fill(
        form(), store, "form.html", heading=f"W-9 of {found.payee} for the tax preparer",
        lead=handing_out(found)[0].sentence, button="Write it", back=("/money/payees", "Payees"),
    )  # fmt: skip


@pages.route("/payees/w9/erase", methods=BOTH)
def erase() -> Answer:
    """Erase what a payee's W-9s say."""
    found = w9_of(desk(), request.args.get("payee", ""))

    def store(values: Values) -> Done:
        erase_w9(desk(), found.payee, values.of(REASON), values.accept)
        return Done("/money/payees", "What the W-9 said was erased for good.")

    return fill(
        form(REASON), store, "form.html", heading=f"Erase the W-9 of {found.payee}",
        lead=erasing(found)[0].sentence, button="Erase it", back=("/money/payees", "Payees"),
    )  # fmt: skip


@pages.route("/payees/limit/<int:year>", methods=BOTH)
def limit(year: int) -> Answer:
    """Set from which sum of a year's payments a payee is reported."""

    def store(values: Values) -> Done:
        kept = set_limit(desk(), ReportLimit(year, values.of(LIMIT)))
        return Done(f"/money/payees?year={year}", f"Of {year}, ${write_amount(kept.amount)} or more is reported.")

    now = payee_list(desk(), Period.of_year(year)).limit
    return fill(
        form(LIMIT), store, "form.html", start={"amount": [write_amount(now.amount)]},
        heading=f"From which sum of {year} a payee is reported", lead=f"By now: {now.source}.", button="Set it",
        back=("/money/payees", "Payees"),
    )  # fmt: skip
