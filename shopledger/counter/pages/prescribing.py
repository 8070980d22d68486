"""A prescription as it is written: typed eye by eye, read back beside the form, checked, recorded; and who wrote it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, redirect, render_template, request

from shopledger.counter.addresses import new_prescription_page, prescription_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, typed_now
from shopledger.counter.forms.fields import Field, Form, Kind, day, file, form, line, tick
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import next_page, on_the_way, onward, put_into, set_aside
from shopledger.counter.forms.picking import Known, pick_known, shown_of
from shopledger.counter.refusals import UnreadError, unread
from shopledger.desk.known_people import customer_and_wearers, prescribers
from shopledger.desk.people import add_prescriber
from shopledger.desk.prescribing import (
    PrescriptionRequest,
    prescription_card,
    record_prescription,
    wearer_card,
)
from shopledger.ledger.forms import Typed
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.prescription import WrittenPrescription, changes_in_words
from shopledger.optics.findings import Finding
from shopledger.optics.notation import read_dioptres, write_dioptres, write_eye
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.store.refusals import NumberUnknownError
from shopledger.typed.eyes import EyeParts, parts_of, read_parts, wrong_parts
from shopledger.typed.refusals import EyePartError

pages: Final = Blueprint("prescribing", __name__)
BOTH: Final = ("GET", "POST")
KIND: Final = "new prescription"
ANOTHER_PRESCRIBER: Final = "new prescriber"

PARTS: Final[Mapping[str, tuple[str, tuple[str, ...]]]] = {
    "sphere": ("Sphere, D", ("sphere", "power", "{side}.power")),
    "cylinder": ("Cylinder, D", ("cylinder",)),
    "axis": ("Axis, \N{DEGREE SIGN}", ()),
    "add": ("Add, D", ("add",)),
    "prism": ("Prism, base", ("prism",)),
}
"""What is written for an eye, in its order: what it is called, and by what else a finding means it."""


def _part(side: Side, name: str) -> Field[str | None]:
    label, about = PARTS[name]
    means = (f"{side.value}.{name}", *(each.format(side=side.value) for each in about))
    kind = Kind.LINE if name == "prism" else Kind.NUMBER
    return Field(f"{side.value}_{name}", label, lambda typed, _: typed, kind, needed=False, width="part", about=means)


def _eye(side: Side) -> tuple[Field[Any], ...]:
    balance = tick(
        f"{side.value}_balance",
        f"The {side.value} lens only balances the other",
        about=(f"{side.value}.balance", "balance"),
    )
    return (*(_part(side, name) for name in PARTS), balance)


def _known_prescribers() -> Sequence[Known]:
    every = prescribers(desk())
    names = Counter(each.name for each in every)
    return [
        Known(
            str(each.number),
            each.name if names[each.name] == 1 else f"{each.name}, {each.number}",
            ", ".join(filter(None, (each.phone, each.npi and f"NPI {each.npi}"))),
        )
        for each in every
    ]


PRESCRIBER: Final = pick_known("prescriber", "Who wrote it", _known_prescribers, width="middle")
WRITTEN: Final = day("written", "Day it was written", needed=True, about=("written_on", "prescription day"))
EXPIRES: Final = day(
    "expires",
    "Expires",
    hint="Only where it is written.",
    about=("expires_on", "expiry"),
)
INTERMEDIATE: Final[Field[float | None]] = Field(
    "intermediate", "Added for a screen", lambda typed, _: read_dioptres(typed), Kind.NUMBER, needed=False,
    unit="D", width="narrow", hint="Only where it is written.",
)  # fmt: skip
DIAGNOSES: Final = line(
    "diagnoses",
    "Diagnosis codes",
    needed=False,
    hint="ICD-10-CM, only as the document gives them; with spaces between.",
    about=("diagnosis", "diagnosis code"),
    width="middle",
)
DOCUMENT: Final = line("document", "Where the paper is kept", needed=False, width="middle")
FILE: Final = file(
    "file", "The document as a file", hint="A scan or a picture; a copy is kept in the ledger. It can be added later."
)
MORE: Final = (INTERMEDIATE, DIAGNOSES, DOCUMENT, FILE)
NEW: Final = Form(
    (
        ("Right eye", _eye(Side.RIGHT)),
        ("Left eye", _eye(Side.LEFT)),
        ("The document", (PRESCRIBER, WRITTEN, EXPIRES)),
        ("More that is written", MORE),
    )
)

NAME: Final = line("name", "Name", about=("prescriber name",), width="middle")
PHONE: Final = line("phone", "Phone", needed=False, numbers=True, longest=40, purpose="off", width="middle")
NPI: Final = line("npi", "NPI", needed=False, numbers=True, hint="Ten digits; some plans ask for it.", width="narrow")
NEW_PRESCRIBER: Final = form(NAME, PHONE, NPI)


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What was understood of an eye, or why nothing was."""

    side: Side
    written: str = ""
    wrong: str = ""
    change: str = ""
    """What is another than before, in words."""


@pages.route("/customers/<int:number>/wearers/<int:wearer>/prescriptions/new", methods=BOTH)
def new(number: int, wearer: int) -> Answer:
    """Record a prescription."""
    customer, whose = _wearer(number, wearer)
    about = f"{number}-{wearer}"
    if request.method == "POST" and request.form.get("do") == ANOTHER_PRESCRIBER:
        set_aside(KIND, about)
        here = on_the_way(new_prescription_page(number, wearer), next_page())
        return redirect(on_the_way(f"/prescribers/new?for={about}", here), 303)

    def store(values: Values) -> Done:
        plan = record_prescription(desk(), _asked(number, wearer, values))
        powers = plan.written.powers
        said = f"Read: right {write_eye(powers.right)}, left {write_eye(powers.left)}."
        return Done(
            onward(prescription_page(plan.written.number)),
            f"Prescription {plan.written.number} of {whose.name} was recorded. {said}",
        )

    before = wearer_card(desk(), customer, str(wearer)).newest
    return fill(
        NEW,
        store,
        "prescription_new.html",
        start=_start(before),
        keep=(KIND, about),
        focus="right_sphere",
        customer=customer,
        wearer=whose,
        before=before,
        live=f"/prescriptions/read?customer={number}&wearer={wearer}",
        read_back=lambda filled: _read_back(filled.typed, before),
        another=ANOTHER_PRESCRIBER,
    )


@pages.post("/prescriptions/read")
def read() -> str:
    """Say what is understood of the powers so far; nothing is stored."""
    customer, whose = _wearer(request.args.get("customer", 0, int), request.args.get("wearer", 0, int))
    before = wearer_card(desk(), customer, str(whose.number)).newest
    return render_template("parts/read_back.html", eyes=_read_back(typed_now(), before))


@pages.route("/prescribers/new", methods=BOTH)
def new_prescriber() -> Answer:
    """Add who writes prescriptions."""
    waiting = request.args.get("for", "")

    def store(values: Values) -> Done:
        added = add_prescriber(desk(), values.of(NAME), values.text(PHONE), values.text(NPI))
        if waiting:
            put_into(KIND, waiting, PRESCRIBER.name, shown_of(str(added.number), _known_prescribers()))
        return Done(onward("/"), f"{added.name} is prescriber {added.number}.")

    return fill(
        NEW_PRESCRIBER,
        store,
        "form.html",
        keep=("new prescriber", ""),
        heading="New prescriber",
        button="Add the prescriber",
    )


def parts_typed(typed: Typed, side: Side) -> EyeParts:
    """Give what stands in the fields of an eye."""
    found = {name: next(iter(typed.get(f"{side.value}_{name}", ())), "") for name in PARTS}
    return EyeParts(balance="yes" in typed.get(f"{side.value}_balance", ()), **found)


def _wearer(number: int, wearer: int) -> tuple[Customer, Wearer]:
    customer, wearers = customer_and_wearers(desk(), str(number))
    found = next((each for each in wearers if each.number == wearer), None)
    if found is None:
        raise NumberUnknownError("wearer", wearer)
    return customer, found


def _start(before: WrittenPrescription | None) -> Typed:
    """Start with who wrote the last one; with all of another where that was read wrong and is written down again."""
    like = request.args.get("like", 0, int)
    if like:
        written, _, _ = prescription_card(desk(), like)
        return {
            **_eye_as_typed(Side.RIGHT, written.powers.right),
            **_eye_as_typed(Side.LEFT, written.powers.left),
            "prescriber": [_prescriber_shown(written)],
            "written": [written.written_on.isoformat()],
            "expires": [written.expires_on.isoformat() if written.expires_on else ""],
            "intermediate": ["" if written.intermediate is None else write_dioptres(written.intermediate)],
            "diagnoses": [" ".join(written.diagnoses)],
            "document": [written.document],
        }
    return {"prescriber": [_prescriber_shown(before)]} if before else {}


def _prescriber_shown(written: WrittenPrescription) -> str:
    return shown_of(str(written.prescriber_number), _known_prescribers())


def _eye_as_typed(side: Side, eye: EyePrescription) -> dict[str, list[str]]:
    parts = parts_of(eye)
    typed = {f"{side.value}_{name}": [getattr(parts, name)] for name in PARTS}
    return {**typed, f"{side.value}_balance": ["yes"] if parts.balance else []}


def _asked(number: int, wearer: int, values: Values) -> PrescriptionRequest:
    return PrescriptionRequest(
        customer=str(number),
        wearer=str(wearer),
        prescriber=values.of(PRESCRIBER),
        powers=_powers(values),
        written_on=values.of(WRITTEN),
        expires_on=values.of(EXPIRES),
        intermediate=values.of(INTERMEDIATE),
        document=values.text(DOCUMENT),
        accept=values.accept,
        diagnoses=tuple(values.text(DIAGNOSES).replace(",", " ").split()),
        file=values.of(FILE),
    )


def _powers(values: Values) -> Prescription:
    """Read both eyes; what cannot be read of either is said together."""
    eyes: list[EyePrescription] = []
    wrong: list[Finding] = []
    for side in Side:
        found = {name: values.read[f"{side.value}_{name}"] or "" for name in PARTS}
        parts = EyeParts(balance=values.read[f"{side.value}_balance"], **found)
        faults = wrong_parts(parts, side)
        wrong += [unread(error.field, str(error)) for error in faults]
        eyes += [] if faults else [read_parts(parts, side)]
    if wrong:
        raise UnreadError(tuple(wrong))
    return Prescription(*eyes)


def _read_back(typed: Typed, before: WrittenPrescription | None) -> list[ReadBack]:
    return [_of_eye(side, parts_typed(typed, side), before) for side in Side]


def _of_eye(side: Side, parts: EyeParts, before: WrittenPrescription | None) -> ReadBack:
    if not any(parts):
        return ReadBack(side)
    try:
        eye = read_parts(parts, side)
    except EyePartError as error:
        return ReadBack(side, wrong=str(error))
    change = changes_in_words(before.powers.eye(side), eye) if before else ""
    return ReadBack(side, write_eye(eye), change=change)
