"""A job's lenses: ordered from a lab, written for it again, and come in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from flask import redirect, url_for
from werkzeug.wrappers import Response

from shopledger.counter.addresses import job_page, paper_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, chosen, day, form, line, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.bench.room import BOTH, about_job, back_to, pages, papers_folder
from shopledger.desk.bench_jobs import job_card
from shopledger.desk.bench_past import JobPast, job_past
from shopledger.desk.lens_ordering import (
    FileForm,
    LensOrderRequest,
    SentLensOrder,
    place_lens_order,
    print_lens_order,
    record_arrival,
)
from shopledger.desk.people import add_supplier, suppliers
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.lens_orders import Edging
from shopledger.optics.sides import Side
from shopledger.typed.days import Wanted
from shopledger.typed.numbers import read_decimal


def _labs() -> Sequence[Choice]:
    """Give all suppliers."""
    return [Choice(str(each.number), each.name, each.phone) for each in suppliers(desk())]


SUPPLIER: Final = chosen("supplier", "Who makes the lenses", _labs, about=("lab",))
EDGING: Final = word("edging", "How the lab sends them", Edging, about=("lens order",))
ONLY: Final = word("only", "One lens alone", Side, needed=False, hint="Left open: both, or those that are wanting.")
EXPECTED: Final = day(
    "expected", "Should come by", wanted=Wanted.COMING, hint="Where it is known.", about=("expected day",)
)
CURVE: Final[Field[float | None]] = Field(
    "base_curve",
    "Front curve",
    read_decimal,
    Kind.NUMBER,
    needed=False,
    unit="D",
    width="narrow",
    hint="Only where one is wanted.",
    about=("base curve",),
)
AGAIN: Final = line(
    "again",
    "Why they are ordered once more",
    needed=False,
    hint="Needed where nothing was thrown away since.",
    about=("reason",),
)
NOTE: Final = line("note", "Remarks for the lab", needed=False, longest=400)
FILE: Final = word("form", "File for the lab", FileForm, hint="The trade's records are what most labs read.")
DAY: Final = day("day", "Day of the order", about=("day of the lens order",))
CAME: Final = day("day", "Day they came", about=("day of arrival",))
CAME_NOTE: Final = line("note", "Note", needed=False, longest=400)

LAB: Final = line("name", "Name of the lab", longest=120, about=("supplier",))
ACCOUNT: Final = line(
    "account", "The shop's number with the lab", needed=False, longest=40, numbers=True, about=("account number",)
)
PHONE: Final = line("phone", "Phone", needed=False, longest=40, numbers=True, width="middle")
MAIL: Final = line("email", "Mail address", needed=False, width="middle")
NEW_LAB: Final = form(LAB, ACCOUNT, PHONE, MAIL)

ORDER: Final = form(SUPPLIER, EDGING, EXPECTED, NOTE, ONLY, CURVE, FILE, DAY)
ORDER_AGAIN: Final = Form((("", (AGAIN, *ORDER.fields)),))
ARRIVED: Final = form(CAME, CAME_NOTE)


@pages.route("/jobs/<int:number>/lenses", methods=BOTH)
def order_lenses(number: int) -> Answer:
    """Order a job's lenses from a lab."""
    card, past = job_card(desk(), number), job_past(desk(), number)
    asked = ORDER_AGAIN if past.lens_orders else ORDER

    def order(values: Values) -> Done:
        request = LensOrderRequest(
            job_number=number,
            supplier=values.of(SUPPLIER),
            edging=values.of(EDGING),
            expected_on=values.of(EXPECTED),
            base_curve=values.of(CURVE),
            note=values.text(NOTE),
            again=values.text(AGAIN) if asked is ORDER_AGAIN else "",
            only=values.of(ONLY),
            day=values.of(DAY),
        )
        sent = place_lens_order(desk(), request, papers_folder(), values.of(FILE))
        return Done(job_page(number), _said(sent))

    if not suppliers(desk()):
        return redirect(url_for("bench.new_lab", number=number), 303)
    return fill(
        asked,
        order,
        "bench/lenses.html",
        start=_usual(past),
        keep=("lens order", about_job(number)),
        number=number,
        sheet=card.sheet,
        past=past,
        back=back_to(number),
    )


@pages.route("/jobs/<int:number>/lab", methods=BOTH)
def new_lab(number: int) -> Answer:
    """Add a lab, and go on with the order of a job's lenses."""

    def add(values: Values) -> Done:
        account, phone, mail = (values.text(each) for each in (ACCOUNT, PHONE, MAIL))
        lab = Supplier(values.of(LAB), account, phone, mail)
        added = add_supplier(desk(), lab)
        return Done(url_for("bench.order_lenses", number=number), f"{added.name} was added.")

    return fill(
        NEW_LAB,
        add,
        "form.html",
        keep=("new lab", about_job(number)),
        focus="name",
        heading="Who makes lenses for the shop",
        button="Add the lab",
        back=back_to(number),
    )


@pages.route("/jobs/<int:number>/arrived", methods=BOTH)
def lenses_arrived(number: int) -> Answer:
    """Keep that a job's lenses came in."""
    past = job_past(desk(), number)

    def store(values: Values) -> Done:
        came = record_arrival(desk(), number, values.of(CAME), values.text(CAME_NOTE))
        words = f"The lenses of job {number} came from {came.supplier}. Next: print the job sheet, then cut."
        return Done(job_page(number), words)

    awaited = f"Lens order {past.awaited.number}" if past.awaited else "Lenses"
    return fill(
        ARRIVED,
        store,
        "form.html",
        heading=f"{awaited} of job {number} came in",
        button="They are here",
        back=back_to(number),
    )


@pages.post("/lens-orders/<int:number>/print")
def print_again(number: int) -> Response:
    """Write the sheet and the file of a lens order once more, as they were."""
    sent = print_lens_order(desk(), number, papers_folder())
    return leave(paper_page(sent.files[-1].name), _said(sent))


def _usual(past: JobPast) -> dict[str, list[str]]:
    """Give what stands in the form at first: the lab of the order before, and what most orders say."""
    before = [str(order.supplier_number) for order, _ in past.lens_orders[-1:]]
    known = [str(each.number) for each in suppliers(desk())]
    lab = before or (known if len(known) == 1 else [])
    return {"edging": [Edging.UNCUT.value], "form": [FileForm.RECORDS.value], "supplier": lab}


def _said(sent: SentLensOrder) -> str:
    names = " and ".join(file.name for file in sent.files)
    return f"Lens order {sent.content.number} was written: {names}. Send both files to the lab."
