"""The inspection of a finished job: judged while it is typed, kept once it is whole, passed or failed."""

from __future__ import annotations

from typing import Any, NamedTuple

from flask import render_template, request

from shopledger.counter.addresses import job_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.filled import Filled, Values, read
from shopledger.counter.forms.looking import looked_at, wants_look
from shopledger.counter.pages.bench.readings import Sheet, compensated
from shopledger.counter.pages.bench.room import BOTH, about_job, back_to, pages
from shopledger.counter.plain_words import plain
from shopledger.desk.bench_jobs import job_card
from shopledger.desk.bench_past import job_past, job_tolerances
from shopledger.desk.inspecting import JobNeeds, job_needs, record_inspection
from shopledger.desk.judging_so_far import SoFar, judge_so_far
from shopledger.errors import ShopledgerError, visible
from shopledger.ledger.papers.job_sheet import JobSheet

KIND = "inspection"


class Judged(NamedTuple):
    """What is said while a job is being read: verdicts so far, or why there are none."""

    so_far: SoFar
    said: tuple[str, ...] = ()


@pages.route("/jobs/<int:number>/inspect", methods=BOTH)
def inspect(number: int) -> Answer:
    """Judge a finished job and keep the verdicts."""
    card = job_card(desk(), number)
    sheet = _sheet(job_needs(desk(), number), card.sheet)
    shown: dict[str, Any] = {
        "number": number,
        "sheet": card.sheet,
        "needs": sheet.needs,
        "back": back_to(number),
        "tolerances": job_tolerances(desk(), number),
        "again": job_past(desk(), number).bench.newest,
    }

    def record(values: Values) -> Done:
        kept = record_inspection(desk(), sheet.request(number, values)).inspection
        if kept.passed:
            return Done(job_page(number), f"Job {number} passed. Next: print the record of it, or send the order.")
        return Done(job_page(number), f"Job {number} failed: {', '.join(kept.failures)}. Next: make it again.")

    keep = (KIND, about_job(number))
    if wants_look():
        filled = looked_at(sheet.form, keep)
        return render_template(
            "bench/inspect.html", filled=filled, judged=_judged(number, sheet, read(filled), filled), **shown
        )
    judged = _judged_now(number, sheet) if request.method == "POST" else None
    return fill(sheet.form, record, "bench/inspect.html", keep=keep, judged=judged, focus="right_sphere", **shown)


@pages.post("/jobs/<int:number>/inspect/judge")
def judge(number: int) -> str:
    """Judge what is typed so far, beside the form."""
    sheet = _sheet(job_needs(desk(), number), job_card(desk(), number).sheet)
    return render_template("bench/judged.html", judged=_judged_now(number, sheet))


def _judged_now(number: int, sheet: Sheet) -> Judged:
    filled = looked_at(sheet.form)
    return _judged(number, sheet, read(filled), filled)


def _judged(number: int, sheet: Sheet, values: Values, filled: Filled) -> Judged:
    """Judge as far as it goes; what cannot be read is said, what is empty is no mistake yet."""
    wrong = tuple(
        sentence
        for each in sheet.form.fields
        if any(filled.values(each.name)) and filled.value(each.name).strip()
        for sentence in filled.errors.get(each.name, ())
    )
    filled.errors.clear()
    whole = Values({each.name: values.read.get(each.name) for each in sheet.form.fields}, values.accept)
    try:
        found = sheet.found(whole)
        judged = judge_so_far(desk(), number, found, compensated(whole), sheet.thinning(whole))
    except ShopledgerError as error:
        return Judged(SoFar(), (*wrong, plain(visible(str(error)))))
    return Judged(judged, wrong)


def _sheet(needs: JobNeeds, sheet: JobSheet) -> Sheet:
    return Sheet(needs, adds=bool(sheet.right.add or sheet.left.add))
