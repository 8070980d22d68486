"""A prescription on its page: what is written, its document, later diagnoses, what to do where it is wrong."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Final

from flask import Blueprint, Response, render_template

from shopledger.counter.addresses import prescription_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import file, form, line
from shopledger.counter.forms.filled import Values
from shopledger.desk.fixing import what_can_be_done
from shopledger.desk.known_people import customer_and_wearers
from shopledger.desk.prescribing import add_diagnoses, prescription_card
from shopledger.desk.prescription_files import document_name, hand_out_document, keep_document
from shopledger.ledger.remedies import Fixable

pages: Final = Blueprint("prescription", __name__, url_prefix="/prescriptions")
BOTH: Final = ("GET", "POST")

DIAGNOSES: Final = line(
    "diagnoses",
    "Diagnosis codes",
    hint="ICD-10-CM, only as the prescriber's document gives them; with spaces between.",
    about=("diagnosis", "diagnosis code"),
    width="middle",
)
FILE: Final = file("file", "The document as a file", needed=True)
DIAGNOSED: Final = form(DIAGNOSES)
KEPT: Final = form(FILE)


@pages.get("/<int:number>")
def card(number: int) -> str:
    """Show a prescription; the look is noted."""
    written, wearer, prescriber = prescription_card(desk(), number)
    customer, _ = customer_and_wearers(desk(), str(wearer.customer_number))
    return render_template(
        "prescription.html",
        written=written,
        wearer=wearer,
        customer=customer,
        prescriber=prescriber,
        document=document_name(desk(), written),
        stands=what_can_be_done(desk(), Fixable.PRESCRIPTION, number).stands,
    )


@pages.get("/<int:number>/file")
def document(number: int) -> Response:
    """Hand out the kept document, for the browser to save: what somebody sent is not shown as a page of ours."""
    with tempfile.TemporaryDirectory(prefix="shopledger-") as folder:
        written = hand_out_document(desk(), number, Path(folder))
        body = written.read_bytes()
    return Response(
        body,
        mimetype="application/octet-stream",
        headers={"Content-Disposition": f'attachment; filename="prescription-{number:05d}{written.suffix}"'},
    )


@pages.route("/<int:number>/diagnoses", methods=BOTH)
def diagnose(number: int) -> Answer:
    """Add diagnosis codes that came after the prescription."""

    def store(values: Values) -> Done:
        codes = values.of(DIAGNOSES).replace(",", " ").split()
        longer, findings = add_diagnoses(desk(), number, codes)
        notes = " ".join(each.sentence for each in findings)
        return Done(prescription_page(number), f"Diagnoses are now {', '.join(longer.diagnoses)}. {notes}".strip())

    return fill(
        DIAGNOSED,
        store,
        "form.html",
        keep=("diagnoses", str(number)),
        heading=f"Diagnoses of prescription {number}",
        lead="A receipt that was issued before shows them once it is replaced.",
        button="Add the codes",
        back=(prescription_page(number), f"Prescription {number}"),
    )


@pages.route("/<int:number>/keep-file", methods=BOTH)
def keep_file(number: int) -> Answer:
    """Keep the prescriber's document that came later."""

    def store(values: Values) -> Done:
        found = values.of(FILE)
        if found is not None:
            keep_document(desk(), number, found)
        return Done(prescription_page(number), "The document is kept.")

    return fill(
        KEPT,
        store,
        "form.html",
        heading=f"Document of prescription {number}",
        lead="A copy is kept in the ledger with its hash; what is kept stays.",
        button="Keep it",
        back=(prescription_page(number), f"Prescription {number}"),
    )
