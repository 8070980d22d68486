"""One job: what to make in large figures, how it lies in its frame, how far it is, and what can be done with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from flask import render_template
from markupsafe import Markup

from shopledger.counter.desks import desk
from shopledger.counter.pages.bench.room import pages
from shopledger.counter.pictures.layouts import layout_picture
from shopledger.desk.bench_jobs import JobCard, job_card
from shopledger.desk.bench_past import job_past, job_tolerances
from shopledger.desk.books.job_costs import margin_of_job
from shopledger.ledger.bench_groups import Waiting, waits_for
from shopledger.ledger.papers.job_sheet import EyeJob, JobSheet
from shopledger.optics.lengths import as_given, as_listed
from shopledger.paperwork.cutting import JOB_KEY
from shopledger.paperwork.strips import strip_words
from shopledger.paperwork.wording import read_wording


class Figure(NamedTuple):
    """One figure of both eyes."""

    label: str
    right: str
    left: str
    large: bool = False
    """Whether it is read from an arm's length."""


@pages.get("/jobs/<int:number>")
def show(number: int) -> str:
    """Show a job with everything about it."""
    card = job_card(desk(), number)
    past = job_past(desk(), number)
    facts = card.row.job.facts
    return render_template(
        "bench/job.html",
        number=number,
        card=card,
        sheet=card.sheet,
        facts=facts,
        past=past,
        waiting=waits_for(facts),
        Waiting=Waiting,
        strips=_strips(card.sheet),
        figures=figures_of(card.sheet),
        picture=_picture(card),
        tolerances=job_tolerances(desk(), number) if facts.is_open else (),
        margin=margin_of_job(desk(), number),
    )


def figures_of(sheet: JobSheet) -> tuple[Figure, ...]:
    """Give what to make, figure by figure; a line that is empty for both eyes is left out."""
    right, left = (_figures(eye) for eye in (sheet.right, sheet.left))
    lines = (Figure(label, said, left[label], label in LARGE) for label, said in right.items())
    return tuple(each for each in lines if each.right or each.left)


LARGE = frozenset({"Power to make", "Add", "Prism", "PD, mm", "Height, mm", "Near PD, mm"})
"""What is set by, and so shown in large figures."""


def _figures(eye: EyeJob) -> Mapping[str, str]:
    fitting = eye.fitting if eye.fitting is not None and eye.fitting.lined else None
    cross = eye.fitting if eye.fitting is not None and not eye.fitting.lined else None
    return {
        "Power to make": eye.not_made or eye.power,
        "Add": eye.add,
        "Prism": eye.prism,
        "PD, mm": f"{_given(eye.pd)} for near" if eye.near else _given(eye.pd),
        "Near PD, mm": "" if fitting is None else _near(fitting.near_pd, measured=fitting.near_measured),
        "Height, mm": _given(eye.height),
        "Prescribed": eye.written,
        "Lens": eye.own,
        "Segment": "" if fitting is None else " ".join(filter(None, (fitting.shape, _listed(fitting.width)))),
        "Segment's inset, mm": "" if fitting is None else _given(fitting.inset),
        "Segment's top from the boxed centre": "" if fitting is None else _place(fitting.inward, fitting.upward),
        "Fitting cross from the boxed centre": "" if cross is None else _place(cross.inward, cross.upward),
        "Optical centre from the boxed centre": _place(eye.decentration_in, eye.offset_up),
        "Blank needed, mm": "" if eye.blank_needed is None else f"{eye.blank_needed:.1f}",
        "Blank to take, mm": _blank(eye),
        "Edge, mm": "" if eye.edge is None else f"{eye.edge[0]:.1f} to {eye.edge[1]:.1f}",
        "Centre, mm": "" if eye.centre_thickness is None else f"{eye.centre_thickness:.1f}",
    }


def _given(length: float | None) -> str:
    return "" if length is None else as_given(length)


def _listed(length: float | None) -> str:
    return "" if length is None else as_listed(length)


def _near(length: float | None, *, measured: bool) -> str:
    return "" if length is None else f"{as_given(length)}{'' if measured else ' usual, not measured'}"


def _place(inward: float | None, upward: float | None) -> str:
    """Say a place in words: how far toward the nose or the temple, and how far up or down."""
    if inward is None or upward is None:
        return ""
    across = f"{abs(inward):.1f} mm {'in' if inward >= 0 else 'out'}"
    return f"{across}, {abs(upward):.1f} mm {'up' if upward >= 0 else 'down'}"


def _blank(eye: EyeJob) -> str:
    if eye.blank is None:
        return "" if eye.blank_needed is None else "none is large enough" if eye.largest_blank else "sizes not known"
    return f"{as_listed(eye.blank)}, {eye.to_spare:.1f} to spare"


def _strips(sheet: JobSheet) -> tuple[tuple[str, str], ...]:
    words = read_wording(JOB_KEY, desk().own_templates)
    return tuple(strip_words(each, words) for each in sheet.strips)


def _picture(card: JobCard) -> Markup:
    shape = card.sheet.shape
    if shape is None:
        return Markup("")
    return layout_picture(shape, f"{card.sheet.frame} from the front, with where the lenses' centres stand", wide=1.15)
