"""Money that moves without a sale or a bill: banked, fetched, put in or taken out by the owner, handed on."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from flask import abort, render_template, request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.pages.money.part import BOTH, month_asked, pages
from shopledger.desk.books.banking import moves, record_move
from shopledger.ledger.books.money_moves import WITH_FEE, CashAccount, MoneyMove, MoveKind
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import write_amount
from shopledger.typed.words import read_word, typed_word

MOST: Final = 300


class Said(NamedTuple):
    """A kind of move as somebody says it who keeps no books."""

    words: str
    more: str = ""


WORDS: Final = {
    MoveKind.BANKED: Said("Cash was taken to the bank"),
    MoveKind.WITHDRAWAL: Said("Cash was fetched from the bank"),
    MoveKind.CONTRIBUTION: Said("The owner put money in", "it is no income"),
    MoveKind.DRAW: Said("The owner took money out", "it is no expense"),
    MoveKind.CARD_PAID: Said("The shop's credit card was paid from the bank"),
    MoveKind.TAX_PAID: Said("Sales tax was handed on to a state"),
    MoveKind.OTHER_INCOME: Said("Other money came in", "such as interest; no sale"),
    MoveKind.PAYOUT: Said("The card processor paid out", "where its reports are not taken in as files"),
    MoveKind.PROCESSOR_FEE: Said("The card processor took a fee of its own", "billed by the month"),
    MoveKind.RESERVED: Said("The card processor holds money back"),
    MoveKind.RELEASED: Said("The card processor owes again what it held back"),
    MoveKind.OPENING: Said("It was there when the books began", "once for the drawer, once for the bank"),
}

TILL: Final[Field[CashAccount]] = Field(
    "till",
    "Where",
    lambda typed, field: read_word(typed, field, tuple(CashAccount)),
    Kind.CHOICE,
    choices=(Choice("cash", "The drawer"), Choice("bank", "The bank")),
)
FEE: Final = amount("fee", "Of it, the processor's fee", needed=False, hint="The amount above is before it.")
KEPT: Final = amount(
    "fee", "Of it, what the shop may keep", needed=False, about=("what is kept",), hint="The amount above is before it."
)
STATE: Final = line("state", "State", width="narrow", hint="Two letters, such as OH.")
REFERENCE: Final = line(
    "reference", "Number or reference", needed=False, numbers=True, width="middle", about=("move reference",)
)
NOTE: Final = line("note", "Note", needed=False, longest=LONGEST_NOTE)
WHAT: Final = line("note", "Who it is from, and what for", longest=LONGEST_NOTE)
WHEN: Final = day("day", "Day")
AMOUNT: Final = amount("amount", "Amount", about=("move",))


@pages.get("/moves")
def move_list() -> str:
    """Show money that moved, and what can be recorded of it."""
    found = tuple(reversed(moves(desk(), month_asked())))
    kinds = [(typed_word(kind), said) for kind, said in WORDS.items()]
    return render_template(
        "money/moves.html",
        found=found[:MOST],
        more=max(0, len(found) - MOST),
        month=request.args.get("month", ""),
        kinds=kinds,
    )


@pages.route("/moves/new/<which>", methods=BOTH)
def new_move(which: str) -> Answer:
    """Record money that moved."""
    kind = next((each for each in MoveKind if typed_word(each) == which), None) or abort(404)
    asked = _form(kind)

    def store(values: Values) -> Done:
        move = MoneyMove(
            values.of(WHEN) or desk().today,
            kind,
            kind.till or values.of(TILL),
            values.of(AMOUNT),
            _read(values, "fee") or 0,
            _read(values, "state") or "",
            values.text(REFERENCE),
            _read(values, "note") or "",
        )
        stored = record_move(desk(), move, values.accept).move
        return Done(onward("/money/moves"), f"{WORDS[kind].words}: ${write_amount(stored.amount)} was recorded.")

    start = {"till": ["bank"]} if kind in {MoveKind.TAX_PAID, MoveKind.OTHER_INCOME} else None
    return fill(
        asked,
        store,
        "form.html",
        start=start,
        keep=("money", which),
        heading=WORDS[kind].words,
        button="Record it",
        back=("/money/moves", "Money that moved"),
    )


def _form(kind: MoveKind) -> Form:
    """Give what is asked about a kind of move: no more than it has."""
    fields: list[Field[Any]] = [STATE] if kind is MoveKind.TAX_PAID else []
    fields += [AMOUNT]
    if kind in WITH_FEE:
        fields += [KEPT if kind is MoveKind.TAX_PAID else FEE]
    if kind.till is None:
        fields += [TILL]
    return form(*fields, WHAT if kind is MoveKind.OTHER_INCOME else NOTE, REFERENCE, WHEN)


def _read(values: Values, name: str) -> Any:
    return values.read.get(name)
