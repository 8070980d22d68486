"""What is put right on a job before its lenses are cut: shown first with what it comes to, then stored."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from flask import render_template, request

from shopledger.counter.addresses import job_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, chosen, day, line, pick, ticks, word
from shopledger.counter.forms.filled import Filled, Values, read
from shopledger.counter.forms.looking import looked_at, wants_look
from shopledger.counter.pages.bench.again import MEASURED, remeasured
from shopledger.counter.pages.bench.choices import extras, frames, lenses, prescriptions, typed
from shopledger.counter.pages.bench.room import BOTH, about_job, back_to, pages
from shopledger.counter.plain_words import plain
from shopledger.counter.showing import money
from shopledger.desk.bench_past import JobPast, job_past
from shopledger.desk.changing_jobs import FrameBroken, JobChange
from shopledger.desk.known_people import customer_and_wearers
from shopledger.desk.putting_right import (
    CorrectionDone,
    CorrectionPlan,
    CorrectionRequest,
    CorrectionTerms,
    plan_correction,
    record_correction,
)
from shopledger.errors import ShopledgerError, visible
from shopledger.ledger.orders import Method, OffStep
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.numbers import read_whole

WHY: Final = line("reason", "Why it is put right", longest=400)
FRAME: Final = pick(
    "frame", "The right frame", typed, frames, needed=False, hint="Left empty: the same.", width="middle"
)
OWN: Final = chosen(
    "own_frame",
    "Whose frame it is",
    (Choice("own", "The wearer's own, not charged"), Choice("shop", "The shop's")),
    needed=False,
    hint="Left open: as before.",
)
LENS: Final = pick("lens", "The right lens", typed, lenses, needed=False, hint="Left empty: the same.", width="middle")
USE: Final = word("use", "What the lenses are made for", LensUse, needed=False, hint="Left open: as before.")
WITH: Final = ticks("with", "Upgrades that come in", extras, about=("extra",))
NOTE: Final = line("note", "Note on the job's sheet", needed=False, longest=400)
METHOD: Final = word(
    "method", "How money goes back", Method, needed=False, hint="Only where some was paid and goes back."
)
REFERENCE: Final = line(
    "reference",
    "Its reference",
    needed=False,
    longest=40,
    width="middle",
    hint="Check number, or last four digits.",
)
DAY: Final = day("day", "Day it was put right", about=("day of the correction",))
BACK: Final = (METHOD, REFERENCE, DAY)

INSTEAD: Final = pick(
    "frame",
    "The frame that takes its place",
    typed,
    frames,
    needed=False,
    hint="Left empty: another piece of the same.",
    width="middle",
)
BROKEN: Final = Form((("", (line("reason", "What broke", longest=400), INSTEAD)), ("Money and day", BACK)))

OFF_STEP: Final = word(
    "off_step",
    "Where a power lies between two quarters",
    OffStep,
    needed=False,
    hint="Exact, or the one with less plus, or with more.",
    about=("off step",),
)
CODES: Final = {
    side: line(
        f"{side.value}_code",
        f"Claim code, {side.value}",
        needed=False,
        longest=10,
        width="narrow",
        about=(f"{side.value} code", f"claim code of the {side.value} lens"),
    )
    for side in Side
}

Ask = Callable[[Values], CorrectionRequest]


@pages.route("/jobs/<int:number>/change", methods=BOTH)
def change(number: int) -> Answer:
    """Put a job right that was not cut yet."""
    past = job_past(desk(), number)
    return _put_right(
        number,
        _form(past),
        lambda values: _change(number, values),
        "change of job",
        heading=f"Put job {number} right",
        lead=(
            "What is left empty stays as it is. Another job is made in its place; goods that stay keep their price, "
            "what comes in costs what the catalogue says today."
        ),
        past=past,
        live="bench.change_comes_to",
    )


@pages.route("/jobs/<int:number>/frame-broken", methods=BOTH)
def frame_broken(number: int) -> Answer:
    """Replace a frame that broke in work, without charge."""
    return _put_right(
        number,
        BROKEN,
        lambda values: _broken(number, values),
        "broken frame",
        heading=f"The frame of job {number} broke",
        lead="It is replaced without a charge; the shop's broken one is written off, and the job is made anew.",
        past=job_past(desk(), number),
        live="bench.broken_comes_to",
    )


@pages.post("/jobs/<int:number>/change/comes-to")
def change_comes_to(number: int) -> str:
    """Say what putting a job right comes to, while it is typed."""
    return _live(_form(job_past(desk(), number)), lambda values: _change(number, values))


@pages.post("/jobs/<int:number>/frame-broken/comes-to")
def broken_comes_to(number: int) -> str:
    """Say what another frame comes to, while it is typed."""
    return _live(BROKEN, lambda values: _broken(number, values))


def _put_right(number: int, asked: Form, ask: Ask, kind: str, *, live: str, **shown: Any) -> Answer:
    keep = (kind, about_job(number))
    more = {**shown, "number": number, "live": live, "back": back_to(number)}

    def store(values: Values) -> Done:
        done = record_correction(desk(), ask(values))
        new = done.jobs[0].job_number if done.jobs else number
        return Done(job_page(new), _said(number, done))

    if wants_look():
        filled = looked_at(asked, keep)
        plan, said = _comes_to(filled, ask)
        return render_template("bench/change.html", filled=filled, plan=plan, said=said, **more)
    plan, said = _comes_to(looked_at(asked), ask) if request.method == "POST" else (None, "")
    return fill(asked, store, "bench/change.html", keep=keep, plan=plan, said=said, focus="reason", **more)


def _live(asked: Form, ask: Ask) -> str:
    plan, said = _comes_to(looked_at(asked), ask)
    return render_template("bench/comes_to.html", plan=plan, said=said)


def _comes_to(filled: Filled, ask: Ask) -> tuple[CorrectionPlan | None, str]:
    """Give what a deed would store, or why not; a reason that is not typed yet stands in no way."""
    if not filled.value("reason").strip():
        filled.typed = {**filled.typed, "reason": ["not said yet"]}
    values = read(filled)
    wrong = [each for said in filled.errors.values() for each in said]
    filled.typed = {name: said for name, said in filled.typed.items() if said != ["not said yet"]}
    if wrong:
        return None, " ".join(wrong)
    try:
        return plan_correction(desk(), ask(values)), ""
    except ShopledgerError as error:
        return None, plain(visible(str(error)))


def _form(past: JobPast) -> Form:
    written = prescriptions(past)
    under: Field[int | None] = Field(
        "prescription",
        "The right prescription",
        read_whole,
        Kind.SELECT,
        needed=False,
        choices=written,
        hint="Left open: the same.",
        width="middle",
    )
    had = tuple(Choice(code, code) for code in past.pair.extras)
    without = (ticks("without", "Upgrades that are left out", had),) if had else ()
    return Form(
        (
            ("Why", (WHY,)),
            ("Measured anew", MEASURED),
            ("Frame and lenses", (*((under,) if written else ()), FRAME, OWN, LENS, USE, WITH, *without, NOTE)),
            ("Money and day", BACK),
            (SELDOM, (*_wearers(past), OFF_STEP, *CODES.values())),
        )
    )


SELDOM: Final = "Seldom needed: another wearer, steps, claim codes"


def _wearers(past: JobPast) -> tuple[Field[str], ...]:
    """Ask whose glasses they are, where the customer has several wearers."""
    _, wearers = customer_and_wearers(desk(), str(past.customer_number))
    others = tuple(Choice(each.name, each.name) for each in wearers if each.erased_on is None)
    if len(others) < 2:
        return ()
    return (chosen("wearer", "Whose glasses they are", others, needed=False, hint="Left open: as before."),)


def _change(number: int, values: Values) -> JobChange:
    own = values.of(OWN)
    return JobChange(
        number,
        _terms(values),
        wearer=values.read.get("wearer") or "",
        prescription=values.read.get("prescription"),
        frame=values.of(FRAME) or "",
        own_frame=None if own is None else own == "own",
        lens=values.of(LENS) or "",
        use=values.of(USE),
        extras=values.of(WITH),
        without_extras=values.read.get("without", ()),
        measured=remeasured(values),
        off_step=values.of(OFF_STEP),
        codes={side: values.text(code) for side, code in CODES.items() if values.text(code)},
        note=values.of(NOTE),
    )


def _broken(number: int, values: Values) -> FrameBroken:
    return FrameBroken(number, _terms(values), values.of(INSTEAD) or "")


def _terms(values: Values) -> CorrectionTerms:
    return CorrectionTerms(
        values.of(WHY), values.of(METHOD), values.text(REFERENCE), values.of(DAY), accept=values.accept
    )


def _said(number: int, done: CorrectionDone) -> str:
    said = [f"Job {each.job_number} is made in the place of job {number}." for each in done.jobs]
    if done.refund is not None:
        said.append(f"{money(done.refund.amount)} is given back by {done.refund.method.value}.")
    if done.account.balance > 0:
        said.append(f"Order {done.account.order.number} still owes {money(done.account.balance)}.")
    said += [f"Receipt {each} does not say so: replace it." for each in done.touched_receipts]
    return " ".join(said)
