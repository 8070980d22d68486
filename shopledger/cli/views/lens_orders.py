"""Lenses ordered from a lab, shown: what is sent, and that it came in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, mm
from shopledger.ledger.canonical import Shape
from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake

if TYPE_CHECKING:
    from shopledger.desk.lens_ordering import LensesArrived, SentLensOrder

_FIGURES = (
    "power",
    "add",
    "prism",
    "PD, mm",
    "near PD, mm",
    "inset, mm",
    "height, mm",
    "diameter, mm",
    "covers from, mm",
)


OUT = Outside(
    {
        LensOrderContent: Shape(
            keys=(
                *(
                    "lens_order",
                    "follows",
                    "reason",
                    "job_number",
                    "day",
                    "expected_on",
                    "supplier",
                    "initials",
                    "lens",
                ),
                *("design", "material", "index", "extras", "use", "edging", "base_curve", "frame", "dbl", "trace"),
                *("right", "left", "note"),
            ),
            made={
                "lens_order": lambda content: content.number or None,
                "expected_on": lambda content: content.expected_on or None,
            },
        ),
        LensToMake: Shape(
            keys=(
                *(
                    "asked",
                    "power",
                    "add_written",
                    "prism",
                    "pd",
                    "near_pd",
                    "inset",
                    "height",
                    "blank",
                    "blank_needed",
                ),
                *("a", "b", "ed"),
            ),
            renamed={"asked": "ordered", "add_written": "add"},
        ),
    }
)


def sent_data(sent: SentLensOrder) -> dict[str, Json]:
    """Give a lens order as JSON, without the shape; a dry run has no number and no files."""
    return {**OUT.of(sent.content), "files": [str(file) for file in sent.files]}


def arrived_data(arrived: LensesArrived) -> dict[str, Json]:
    """Give the arrival of lenses as JSON."""
    order, arrival = arrived.order, arrived.arrival
    return {
        "job": order.job_number,
        "lens_order": order.number,
        "supplier": arrived.supplier,
        "ordered_on": day(order.day),
        "expected_on": day(order.expected_on) or None,
        "arrived_on": day(arrival.day),
        "note": arrival.note,
    }


def sent_blocks(sent: SentLensOrder) -> tuple[Fields, Table, Fields]:
    """Give a lens order for reading: its head, both lenses, the files."""
    content = sent.content
    head = (
        ("job", str(content.job_number)),
        ("from", content.supplier),
        ("ordered", content.day),
        ("expected", content.expected_on or "no day agreed"),
        ("lens", f"{content.lens}, {content.design}, {content.material}"),
        ("with", ", ".join(content.extras)),
        ("made for", content.use),
        ("edging", f"edged to trace {content.trace}" if content.edged else "uncut"),
        ("base curve", "" if content.base_curve is None else f"{content.base_curve:.2f} D"),
        ("frame", content.frame),
        ("again", _again(content)),
        ("note", content.note),
    )
    title = f"Lens order {content.number}" if content.number else "Lens order, not yet placed"
    columns = (Column(""), Column(_heading("right", content.right)), Column(_heading("left", content.left)))
    both = zip(_FIGURES, _lens_row(content.right), _lens_row(content.left), strict=True)
    rows = [row for row in both if any(row[1:])]
    files = tuple(("file" if at == 0 else "sheet", file) for at, file in enumerate(sent.files))
    return Fields(title, head), Table("", columns, rows), Fields("", files)


def arrived_fields(arrived: LensesArrived) -> Fields:
    """Give the arrival of lenses for reading."""
    order, arrival = arrived.order, arrived.arrival
    expected = f", expected {day(order.expected_on)}" if order.expected_on else ""
    rows = (
        ("job", str(order.job_number)),
        ("lens order", f"{order.number} of {day(order.day)}{expected}"),
        ("from", arrived.supplier),
        ("arrived", day(arrival.day)),
        ("note", arrival.note),
    )
    return Fields("", rows)


def _again(content: LensOrderContent) -> str:
    return "" if content.follows is None else f"after lens order {content.follows}: {content.reason}"


def _heading(side: str, lens: LensToMake) -> str:
    return side if lens.asked else f"{side}, not ordered"


def _lens_row(lens: LensToMake) -> tuple[str, ...]:
    lengths = (lens.pd, lens.near_pd, lens.inset, lens.height, lens.blank, lens.blank_needed)
    return (lens.power, lens.add_written, lens.prism, *("" if each is None else mm(each) for each in lengths))
