"""A job that is made again, as it is or as a job of its own; and what proves that its lenses resist impact."""

from __future__ import annotations

from typing import Any, Final

from shopledger.counter.addresses import job_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import (
    Choice,
    Field,
    Form,
    Kind,
    amount,
    chosen,
    day,
    form,
    length,
    line,
    pick,
    tick,
    word,
)
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.bench.choices import frames, lenses, prescriptions, typed
from shopledger.counter.pages.bench.room import BOTH, about_job, back_to, pages
from shopledger.desk.bench_past import JobPast, job_past
from shopledger.desk.changing_jobs import Remeasured
from shopledger.desk.inspecting import record_impact, record_remake
from shopledger.desk.remaking import RemakePlan, RemakeRequest, needs_job_of_its_own, remake_job
from shopledger.ledger.again import AT_THE_SHOPS_COST, MADE_AGAIN, RemakeCause
from shopledger.ledger.inspections import ImpactProof, Scrap
from shopledger.optics.measurements import Measurements
from shopledger.optics.sides import Side
from shopledger.typed.numbers import read_lengths, read_whole
from shopledger.typed.words import typed_word

WHY: Final = line("reason", "Why it is made again", longest=400)
COST: Final = amount("cost", "What it costs the shop", hint="What is thrown away, and what is bought anew.")
SCRAP: Final = word("scrap", "Which lenses are thrown away", Scrap)
DAY: Final = day("day", "Day it was decided", about=("day of the remake",))
AS_IT_IS: Final = form(WHY, SCRAP, COST, DAY)


def _causes() -> tuple[Choice, ...]:
    bears = {True: "The shop bears what it costs.", False: "Not counted as the shop's scrap."}
    return tuple(
        Choice(typed_word(each), each.value.capitalize(), bears[each in AT_THE_SHOPS_COST]) for each in MADE_AGAIN
    )


CAUSE: Final[Field[RemakeCause]] = Field(
    "cause",
    "Through whose doing",
    word("cause", "cause", RemakeCause, only=MADE_AGAIN).read,
    Kind.CHOICE,
    choices=_causes(),
)
ONLY: Final = word("only", "One lens alone", Side, needed=False, hint="The other one is kept.", about=("lens",))
OTHER_LENS: Final = pick(
    "lens", "Another lens", typed, lenses, needed=False, hint="Left empty: the same.", width="middle"
)
OTHER_FRAME: Final = pick(
    "frame",
    "Another frame",
    typed,
    frames,
    needed=False,
    hint="It goes along without a charge. Left empty: the same.",
    width="middle",
)
NEW_FRAME: Final = tick("new_frame", "A new frame of the same kind goes along, without a charge")


def _of_eye(name: str, label: str, side: Side, *about: str) -> Field[float | None]:
    """Ask for a length of one eye; findings name it by the eye and the length."""
    meant = tuple(f"{side.value}.{each}" for each in about)
    return length(f"{name}_{side.value}", f"{label} {side.value}", needed=False, width="small", about=meant)


PD: Final = length("pd", "PD of both eyes", needed=False, width="small", about=("pd", "PD"))
PD_EACH: Final = {side: _of_eye("pd", "PD", side, "mono pd", "decentration") for side in Side}
HEIGHT: Final = {side: _of_eye("height", "Height", side, "fitting height") for side in Side}
NEAR: Final[Field[tuple[float, ...] | None]] = Field(
    "near_pd",
    "Near PD",
    read_lengths,
    needed=False,
    unit="mm",
    width="small",
    about=("near PD", "right.near pd", "left.near pd"),
)
MEASURED: Final[tuple[Field[Any], ...]] = (PD, *PD_EACH.values(), NEAR, *HEIGHT.values())

CERTIFICATE: Final = line(
    "reference",
    "How it is called",
    hint="The supplier's certificate by its number, or the prescriber's letter by its day. A customer's wish is none.",
    about=("certificate reference", "exception reference"),
)
PROOF: Final = chosen(
    "proof",
    "What stands for it",
    (
        Choice("certificate", "The supplier's certificate that the lenses resist impact"),
        Choice("exception", "The prescriber's direction in writing that such lenses will not do"),
    ),
)
CAME: Final = day("day", "Day it came in")
NOTE: Final = line("note", "Note", needed=False, longest=400)
IMPACT: Final = form(PROOF, CERTIFICATE, NOTE, CAME)


@pages.route("/jobs/<int:number>/remake", methods=BOTH)
def remake(number: int) -> Answer:
    """Make a job again as it is; one that left gets a job of its own."""
    if needs_job_of_its_own(desk(), number):
        return remake_otherwise(number)

    def store(values: Values) -> Done:
        done = record_remake(desk(), number, values.of(WHY), values.of(COST), values.of(SCRAP), values.of(DAY))
        thrown = "" if done.scrap is Scrap.NONE else f" Thrown away: {done.scrap.value}."
        return Done(job_page(number), f"Job {number} is made again.{thrown}")

    past = job_past(desk(), number)
    return fill(
        AS_IT_IS,
        store,
        "bench/remake.html",
        keep=("remake", about_job(number)),
        focus="reason",
        number=number,
        past=past,
        own=False,
        back=back_to(number),
    )


@pages.route("/jobs/<int:number>/remake-otherwise", methods=BOTH)
def remake_otherwise(number: int) -> Answer:
    """Make a job again as a job of its own: as before or otherwise, in the place of the one before."""
    past = job_past(desk(), number)

    def store(values: Values) -> Done:
        plan = remake_job(desk(), _request(number, past, values))
        return Done(job_page(plan.pair.job_number), _said(plan))

    return fill(
        _otherwise(past),
        store,
        "bench/remake.html",
        keep=("remake of its own", about_job(number)),
        number=number,
        past=past,
        own=True,
        back=back_to(number),
    )


@pages.route("/jobs/<int:number>/impact", methods=BOTH)
def impact(number: int) -> Answer:
    """Keep what proves a job's impact resistance."""

    def store(values: Values) -> Done:
        proof = ImpactProof(values.of(PROOF))
        kept = record_impact(desk(), number, proof, values.of(CERTIFICATE), values.of(CAME), values.text(NOTE))
        until = f"until {kept.until.isoformat()} at least" if kept.until else "three years from the day it is sent"
        return Done(
            job_page(number), f"{kept.record.proof.value.capitalize()} {kept.record.reference} is kept {until}."
        )

    return fill(
        IMPACT,
        store,
        "form.html",
        start={"proof": ["certificate"]},
        keep=("impact record", about_job(number)),
        focus="reference",
        heading=f"Impact resistance of job {number}",
        lead="After 21 CFR 801.410. It is kept three years at least, counted from the day the job is sent.",
        button="Keep it",
        back=back_to(number),
    )


def _otherwise(past: JobPast) -> Form:
    written = prescriptions(past)
    under: Field[int | None] = Field(
        "prescription",
        "Under another prescription",
        read_whole,
        Kind.SELECT,
        needed=False,
        choices=written,
        hint="Left open: the same as before.",
        width="middle",
    )
    changed = (*((under,) if written else ()), OTHER_LENS, OTHER_FRAME, NEW_FRAME)
    return Form(
        (
            ("Why", (CAUSE, WHY, ONLY)),
            ("What is other than before", changed),
            ("Measured anew", MEASURED),
            ("", (DAY,)),
        )
    )


def _request(number: int, past: JobPast, values: Values) -> RemakeRequest:
    return RemakeRequest(
        job_number=number,
        cause=values.of(CAUSE),
        reason=values.of(WHY),
        only=values.of(ONLY),
        prescription=values.read.get("prescription"),
        measurements=_measured(past, values),
        lens=values.of(OTHER_LENS) or "",
        frame=values.of(OTHER_FRAME) or "",
        new_frame=values.of(NEW_FRAME),
        day=values.of(DAY),
        accept=values.accept,
    )


def _measured(past: JobPast, values: Values) -> Measurements | None:
    """Give the measurements with what was measured anew; None where nothing was."""
    new = remeasured(values)
    return new.of(past.pair.measurements) if new else None


def remeasured(values: Values) -> Remeasured:
    """Give what was measured anew, as it was typed."""
    right, left = (values.of(PD_EACH[side]) for side in Side)
    right_height, left_height = (values.of(HEIGHT[side]) for side in Side)
    near = values.of(NEAR)
    return Remeasured(values.of(PD), right, left, near or (), right_height, left_height)


def _said(plan: RemakePlan) -> str:
    said = [f"Job {plan.pair.job_number} stands on the board, in the place of job {plan.before.job_number}."]
    said += [
        f"Receipt {each} shows the glasses of before: replace it once the job leaves." for each in plan.touched_receipts
    ]
    return " ".join(said)
