"""Recording a bill: somebody who keeps no books says what it is for, and fills in its lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, NamedTuple
from urllib.parse import quote

from flask import abort, render_template, request

from shopledger.counter.addresses import bill_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Field, Form, amount, day, file, line, pick, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.lines import begun, how_many, more_lines, needed
from shopledger.counter.pages import picks
from shopledger.counter.pages.bills.part import BOTH, pages
from shopledger.desk.books.billing import record_bill
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, JobBilled
from shopledger.ledger.books.bills import LONGEST_INVOICE
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.typed.numbers import read_whole


class Billed(NamedTuple):
    """What a bill can be for, as whoever holds it in the hand would say."""

    words: str
    more: str
    parts: tuple[str, ...]
    """Which kinds of lines it has."""


KINDS: Final = {
    "goods": Billed("Frames and accessories", "what goes on the shelf, with freight and tax", ("goods",)),
    "lab-work": Billed("Lenses and lab work", "for jobs, by their numbers", ("jobs",)),
    "other": Billed("Rent, power, supplies, equipment", "anything that is neither sold nor for a job", ("other",)),
    "mixed": Billed("Several of these on one bill", "goods, lab work and other things", ("goods", "jobs", "other")),
    "before": Billed("Owed since before the books began", "the sum alone; what it was for is in no books", ()),
}
LINES: Final = {"goods": 4, "jobs": 4, "other": 2}
"""How many lines of each kind are shown at first."""

SUPPLIER: Final = picks.supplier(label="Whose bill it is", width="middle")
INVOICE: Final = line(
    "invoice", "Number on the bill", needed=False, longest=LONGEST_INVOICE, numbers=True, width="narrow",
    about=("invoice number",),
)  # fmt: skip
DATED: Final = day("day", "Day of the bill", about=("bill's day",))
DUE: Final = day("due_on", "To be paid by", hint="Left empty: not said.", about=("due day",))
FREIGHT: Final = amount("freight", "Freight", needed=False, hint="Goods and jobs carry it together.")
TAX: Final = amount("tax", "Sales tax on the bill", needed=False, hint="A part of what the goods cost.")
OWED_BEFORE: Final = amount("owed_before", "What is still owed", about=("owed before",))
PAID: Final = picks.paid_from("paid", "Paid already, from", needed=False, hint="Left open: it is owed.")
REFERENCE: Final = line(
    "reference", "Check or transfer number", needed=False, width="middle",
    hint="Of that payment; of a card its last four digits.", about=("payment reference",),
)  # fmt: skip
NOTE: Final = line("note", "Note", needed=False, longest=LONGEST_NOTE)
FILE: Final = file("file", "The bill itself, as a file or picture", hint="A copy is kept with it.")


class Line(NamedTuple):
    """The fields of one line of a bill."""

    what: Field[Any]
    many: Field[Any] | None
    cost: Field[Any]
    words: Field[Any] | None


@pages.get("/bills/new")
def choose() -> str:
    """Ask what the bill is for."""
    return render_template("bills/choose.html", kinds=KINDS, supplier=request.args.get("supplier", ""))


@pages.route("/bills/new/<what>", methods=BOTH)
def record(what: str) -> Answer:
    """Record a bill."""
    kind = KINDS.get(what) or abort(404)
    about = ("new bill", what)
    many = {part: how_many(*about, LINES[part]) for part in kind.parts}
    more = more_lines(*about, max(many.values(), default=0))
    if more is not None:
        return more
    lines = {part: [_LINES[part](number) for number in range(1, count + 1)] for part, count in many.items()}

    def store(values: Values) -> Done:
        account = record_bill(desk(), _request(values, lines, before=what == "before"), values.accept)
        number = account.bill.number
        return Done(bill_page(number), f"Bill {number} of {account.supplier} was recorded.")

    return fill(
        _form(lines, before=what == "before"),
        store,
        "bills/new.html",
        start={"supplier": [request.args["supplier"][:120]]} if request.args.get("supplier") else None,
        keep=about,
        heading=f"New bill: {kind.words[:1].lower()}{kind.words[1:]}",
        lines=lines,
        what=what,
        new_supplier=f"/suppliers/new?next={quote(request.path)}",
    )


def _goods(number: int) -> Line:
    return Line(
        pick(f"goods_{number}", f"{number}. What came in", _code, picks.stocked_codes, needed=False, width="middle"),
        whole(f"count_{number}", f"{number}. How many", needed=False),
        amount(f"cost_{number}", f"{number}. What one cost", needed=False),
        None,
    )


def _job(number: int) -> Line:
    return Line(
        pick(f"job_{number}", f"{number}. Job", read_whole, picks.open_job_numbers, needed=False, width="narrow"),
        None,
        amount(f"amount_{number}", f"{number}. What was billed for it", needed=False),
        line(f"words_{number}", f"{number}. What it was", needed=False, width="middle"),
    )


def _other(number: int) -> Line:
    return Line(
        picks.category(f"category_{number}", f"{number}. What it was for", needed=False, width="middle"),
        None,
        amount(f"spent_{number}", f"{number}. Amount", needed=False),
        line(f"about_{number}", f"{number}. In your words", needed=False, width="middle"),
    )


_LINES: Final = {"goods": _goods, "jobs": _job, "other": _other}


def _form(lines: dict[str, list[Line]], *, before: bool) -> Form:
    every = tuple(each for part in lines.values() for one in part for each in one if each is not None)
    carried = (FREIGHT, TAX) if {"goods", "jobs"} & set(lines) else ()
    owed = (OWED_BEFORE,) if before else ()
    paid = () if before else (PAID, REFERENCE)
    return Form((("", (SUPPLIER, INVOICE, DATED, DUE, *every, *owed, *carried, *paid, NOTE, FILE)),))


def _code(typed: str, field: str) -> str:
    """Read what came in: a code that stands on the shelf."""
    known = {each.value for each in picks.stocked_codes()}
    code = typed.strip().upper()
    if code not in known:
        raise RefusedError(field, f"'{typed}'", "nothing on the shelf has this code", "Choose one, or add it first.")
    return code


def _request(values: Values, lines: dict[str, list[Line]], *, before: bool) -> BillRequest:
    carries = bool({"goods", "jobs"} & set(lines))
    kept = values.of(FILE)
    return BillRequest(
        supplier=values.of(SUPPLIER),
        invoice=values.text(INVOICE),
        day=values.of(DATED),
        due_on=values.of(DUE),
        goods=tuple(
            GoodsBilled(needed(values, each.what), needed(values, each.many), needed(values, each.cost))
            for each in _begun(values, lines.get("goods", ()))
            if each.many is not None
        ),
        jobs=tuple(
            JobBilled(needed(values, each.what), needed(values, each.cost), _words(values, each))
            for each in _begun(values, lines.get("jobs", ()))
        ),
        expenses=tuple(
            ExpenseBilled(needed(values, each.what), needed(values, each.cost), _words(values, each))
            for each in _begun(values, lines.get("other", ()))
        ),
        freight=(values.of(FREIGHT) or 0) if carries else 0,
        tax=(values.of(TAX) or 0) if carries else 0,
        file=str(kept or ""),
        paid=None if before else values.of(PAID),
        reference="" if before else values.text(REFERENCE),
        note=values.text(NOTE),
        owed_before=values.of(OWED_BEFORE) if before else 0,
    )


def _begun(values: Values, lines: Sequence[Line]) -> Sequence[Line]:
    return [each for each in lines if begun(values, tuple(field for field in each if field is not None))]


def _words(values: Values, one: Line) -> str:
    return "" if one.words is None else values.text(one.words)
