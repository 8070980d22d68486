"""One job at the bench, shown with what to make."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.board import board_data
from shopledger.cli.views.figures import Outside, day, mm, toward
from shopledger.ledger.canonical import Shape
from shopledger.ledger.papers.job_sheet import EyeJob, JobSheet

if TYPE_CHECKING:
    from shopledger.desk.bench_jobs import JobCard
    from shopledger.ledger.stages import JobFacts

_FIGURES = (
    "power",
    "add",
    "prism",
    "PD, mm",
    "near PD, mm",
    "inset, mm",
    "height, mm",
    "segment's top",
    "centre",
    "and",
    "blank needed, mm",
    "blank, mm",
    "edge, mm",
)


_SHEET = ("material", "use", "extras", "note", "cutting", "trace", "right", "left", "stops", "looks")
"""What the sheet for the bench says of a job, beside what the board says of it."""

OUT = Outside(
    {
        EyeJob: Shape(
            first=("power", "add", "prism", "pd", "near", "height", "height_above_minimum"),
            last=("to_spare", "edge", "centre_thickness"),
            renamed={"near": "pd_for_near"},
            made={"height_above_minimum": lambda _eye: None},
        ),
        JobSheet: Shape(
            keys=("frame", "lens", *_SHEET),
            renamed={"frame": "frame_name", "lens": "lens_name", "looks": "asks"},
        ),
    }
)


def card_data(card: JobCard) -> dict[str, Json]:
    """Give one job as JSON."""
    sheet = card.sheet
    eyes = {
        name: {**OUT.of(eye), "height_above_minimum": eye.above_minimum}
        for name, eye in (("right", sheet.right), ("left", sheet.left))
    }
    return {**board_data(card.row), "wearer": card.wearer, "initials": card.row.initials, **OUT.of(sheet), **eyes}


def card_blocks(card: JobCard) -> tuple[Fields, Table, Fields]:
    """Give one job for reading: where it stands, both eyes, what to look at."""
    sheet, standing, facts = card.sheet, card.row.standing, card.row.job.facts
    head = (
        ("order", f"{sheet.order_number} of {sheet.order_day}, {_since(card)}"),
        ("in the place of", f"job {facts.in_place_of}" if facts.in_place_of else ""),
        ("wearer", card.wearer),
        ("stage", f"{standing.stage.value}, OVERDUE" if card.row.overdue else standing.stage.value),
        ("next", f"{standing.next_step}: '{standing.command}'" if standing.command else standing.next_step),
        ("frame", sheet.frame),
        ("lens", f"{sheet.lens}, {sheet.material}, {sheet.use}"),
        ("with", ", ".join(sheet.extras)),
        ("lenses", _lenses_words(card.row.job.facts)),
        ("cut", _cut(sheet)),
        ("trace", sheet.trace or "none"),
        ("note", sheet.note),
    )
    figures = [_figures(eye) for eye in (sheet.right, sheet.left)]
    rows = [(label, *said) for label, *said in zip(_FIGURES, *figures, strict=True) if any(said)]
    columns = (Column(""), Column("right", whole=True), Column("left", whole=True))
    looks = (("stop", "\n".join(sheet.stops)), ("look at", "\n".join(sheet.looks)))
    return Fields(f"Job {sheet.job_number}", head), Table("", columns, rows), Fields("", looks)


def _since(card: JobCard) -> str:
    days = f"{card.row.days} days ago"
    return f"begun {days}" if card.row.job.facts.in_place_of else days


def _cut(sheet: JobSheet) -> str:
    return f"right {sheet.cutting}, left {sheet.cutting_left}" if sheet.cutting_left else sheet.cutting


def _lenses_words(facts: JobFacts) -> str:
    """Say when the lenses were ordered, are expected and came; nothing where none were ordered."""
    days = (
        ("ordered", facts.lenses_ordered_on),
        ("expected", facts.lenses_expected_on),
        ("arrived", facts.lenses_arrived_on),
    )
    said = ", ".join(f"{what} {day(known)}" for what, known in days if known)
    return f"lens order {facts.lens_order}: {said}" if facts.lens_order else ""


def _figures(eye: EyeJob) -> tuple[str, ...]:
    """Give one eye's figures in the order of their labels; what is not known is empty."""
    across = "" if eye.decentration_in is None else toward(eye.decentration_in, "in", "out")
    up = "" if eye.offset_up is None else toward(eye.offset_up, "up", "down")
    needed = "" if eye.blank_needed is None else f"{eye.blank_needed:.1f}"
    edge = "" if eye.edge is None else f"{eye.edge[0]:.1f} to {eye.edge[1]:.1f}"
    blank = mm(eye.blank) or ("none" if needed else "")
    pd = f"{mm(eye.pd)} near" if eye.near else mm(eye.pd)
    return (eye.power, eye.add, eye.prism, pd, *_segment(eye), across, up, needed, blank, edge)


def _segment(eye: EyeJob) -> tuple[str, str, str, str]:
    """Give near PD, inset, height and place of a segment; of another lens only the height."""
    fitting = eye.fitting
    if fitting is None or not fitting.lined:
        return "", "", mm(eye.height), ""
    near = mm(fitting.near_pd) if fitting.near_measured else f"{mm(fitting.near_pd)} usual"
    if fitting.inward is None or fitting.upward is None:
        return near, mm(fitting.inset), mm(eye.height), ""
    place = f"{toward(fitting.inward, 'in', 'out')}, {toward(fitting.upward, 'up', 'down')}"
    return near, mm(fitting.inset), mm(eye.height), place
