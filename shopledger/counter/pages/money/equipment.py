"""Equipment: what was bought to last, and what became of it."""

from __future__ import annotations

from typing import Final

from flask import render_template, request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Kind, amount, day, form, line, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.disposing import DisposalRequest, dispose, equipment_list
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import write_amount
from shopledger.typed.words import read_word

HOW: Final = word("how", "What became of it", DisposalKind)
DEPRECIATION: Final = amount(
    "depreciation", "Written off of it so far", hint="By the books; 0 for nothing. The tax preparer knows."
)
PROCEEDS: Final = amount("proceeds", "What it brought", needed=False, hint="Left empty: nothing.")
TILL: Final[Field[CashAccount]] = Field(
    "till",
    "Where that came in",
    lambda typed, field: read_word(typed, field, tuple(CashAccount)),
    Kind.CHOICE,
    choices=(Choice("cash", "The drawer"), Choice("bank", "The bank")),
)
PART: Final = amount("cost", "Cost of the part that is gone", needed=False, hint="Left empty: all of it.")
REFERENCE: Final = line("reference", "Check or transfer number", needed=False, numbers=True, width="middle")
NOTE: Final = line("note", "To whom, or why", needed=False, longest=LONGEST_NOTE)
WHEN: Final = day("day", "Day it went")
GONE: Final = form(HOW, DEPRECIATION, PROCEEDS, TILL, PART, REFERENCE, NOTE, WHEN)


@pages.get("/equipment")
def equipment() -> str:
    """Show the equipment with what became of it."""
    return render_template("money/equipment.html", found=equipment_list(desk()))


@pages.route("/equipment/gone", methods=BOTH)
def gone() -> Answer:
    """Record that a piece of equipment is gone."""
    piece = request.args.get("piece", "")

    def store(values: Values) -> Done:
        asked = DisposalRequest(
            piece,
            values.of(HOW),
            values.of(DEPRECIATION),
            values.of(PROCEEDS) or 0,
            values.of(TILL),
            values.of(PART),
            values.text(REFERENCE),
            values.text(NOTE),
            values.of(WHEN),
        )
        done = dispose(desk(), asked)
        word_for = "gain" if done.gain >= 0 else "loss"
        return Done("/money/equipment", f"It was recorded, with a {word_for} of ${write_amount(abs(done.gain))}.")

    return fill(
        GONE,
        store,
        "form.html",
        start={"till": ["bank"]},
        keep=("equipment gone", piece),
        heading=f"Equipment that is gone: {piece}",
        button="Record it",
        back=("/money/equipment", "Equipment"),
    )
