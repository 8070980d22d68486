"""The library of traces, shown: where each came from, how two lie on one another, what is near, what disagrees."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, rounded
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.cli.views.shapes import OUT, how_it_lies
from shopledger.ledger.canonical import Shape
from shopledger.optics.boxing import Boxed

if TYPE_CHECKING:
    from shopledger.desk.trace_library import Comparison, ListedTrace, NearTrace, TraceCheck
    from shopledger.desk.tracing import TraceKept

MEASURED = Outside(
    {Boxed: Shape(keys=("a", "b", "ed", "circumference"), made=rounded(2, "a", "b", "ed", "circumference"))}
)


def listed_data(traces: Sequence[ListedTrace]) -> dict[str, Json]:
    """Give traces with their provenance as JSON."""
    return {
        "traces": [
            {
                "number": trace.number,
                "frame": trace.frame_code,
                "newest": trace.newest,
                "file": trace.origin.file_name,
                "sha256": trace.origin.file_sha256,
                "traced_on": day(trace.origin.traced_on),
                "device": trace.origin.device,
                "operator": trace.operator,
                "recorded_at": trace.recorded_at,
                "a": round(trace.right.a, 2),
                "b": round(trace.right.b, 2),
                "dbl": trace.dbl,
                "points": trace.count,
            }
            for trace in traces
        ]
    }


def comparison_data(found: Comparison) -> dict[str, Json]:
    """Give how two shapes lie on one another as JSON."""
    difference = found.dbl_difference
    return {
        "one": found.one.name,
        "other": found.other.name,
        "same": found.same,
        "within": found.within,
        "mean": round(found.likeness.mean, 3),
        "worst": round(found.likeness.worst, 3),
        "swapped": found.swapped,
        "dbl_difference": None if difference is None else round(difference, 2),
        "right": OUT.of(found.likeness.right),
        "left": OUT.of(found.likeness.left),
    }


def near_data(found: Sequence[NearTrace]) -> dict[str, Json]:
    """Give the nearest traces as JSON, nearest first."""
    rows: list[Json] = [
        {
            "number": near.number,
            "frame": near.frame_code,
            "description": near.description,
            **OUT.of(near.alignment),
        }
        for near in found
    ]
    return {"nearest": rows}


def listed_table(traces: Sequence[ListedTrace]) -> Table:
    """Give traces with their provenance for reading; the newest of each frame is the one that is used."""
    columns = (
        Column("no.", right=True),
        Column("frame", whole=True),
        Column("used"),
        Column("A", right=True),
        Column("B", right=True),
        Column("DBL", right=True),
        Column("traced", whole=True),
        Column("from"),
        Column("kept by"),
    )
    rows = [
        (
            str(trace.number),
            trace.frame_code,
            "yes" if trace.newest else "",
            *(f"{size:.1f}" for size in (trace.right.a, trace.right.b, trace.dbl)),
            day(trace.origin.traced_on),
            ", ".join(part for part in (trace.origin.file_name, trace.origin.device) if part),
            trace.operator,
        )
        for trace in traces
    ]
    return Table("Traces", columns, rows)


def comparison_blocks(found: Comparison) -> tuple[Fields, Table]:
    """Give how two shapes lie on one another for reading."""
    difference = found.dbl_difference
    rows = (
        ("lies still", found.one.name),
        ("laid on it", found.other.name),
        ("bridge", "" if difference is None else f"{difference:+.2f} mm"),
    )
    columns = (Column("lens"), Column("mean, mm", right=True), Column("worst, mm", right=True), Column("best when"))
    eyes = (("right", found.likeness.right), ("left", found.likeness.left))
    lines = [(name, f"{eye.mean:.2f}", f"{eye.worst:.2f}", how_it_lies(eye)) for name, eye in eyes]
    return Fields("", rows), Table("", columns, lines)


def verdict(found: Comparison) -> str:
    """Say in a sentence whether it is the same frame."""
    worst = f"the worst difference is {found.likeness.worst:.2f} mm"
    if not found.same:
        return f"Not the same frame within {found.within:g} mm: {worst}."
    if found.swapped:
        return f"The same shapes within {found.within:g} mm ({worst}), but right and left are swapped."
    return f"The same frame within {found.within:g} mm: {worst}."


def near_table(found: Sequence[NearTrace]) -> Table:
    """Give the nearest traces for reading, nearest first."""
    columns = (
        Column("worst, mm", right=True),
        Column("mean, mm", right=True),
        Column("frame", whole=True),
        Column("what it is"),
        Column("no.", right=True),
        Column("best when"),
    )
    rows = [
        (
            f"{near.alignment.worst:.2f}",
            f"{near.alignment.mean:.2f}",
            near.frame_code,
            near.description,
            str(near.number),
            how_it_lies(near.alignment),
        )
        for near in found
    ]
    return Table("Nearest shapes", columns, rows, "no other frame has been traced.")


def check_data(found: TraceCheck) -> dict[str, Json]:
    """Give the frames whose trace disagrees with the catalogue as JSON."""
    return {
        "checked": found.checked,
        "untraced": found.untraced,
        "disagreeing": [
            {
                "frame": kept.stored.frame_code,
                "number": kept.stored.number,
                "findings": finding_data([each for each in kept.findings if each.code == "TRACE-CATALOGUE"]),
            }
            for kept in found.disagreeing
        ],
    }


def check_table(found: TraceCheck) -> Table:
    """Give the frames whose trace disagrees with the catalogue for reading."""
    columns = (Column("frame", whole=True), Column("trace", right=True), Column("what was found"))
    rows = [
        (kept.stored.frame_code, str(kept.stored.number), sentence)
        for kept in found.disagreeing
        # Both eyes of one frame disagree in the same words.
        for sentence in dict.fromkeys(each.sentence for each in kept.findings if each.code == "TRACE-CATALOGUE")
    ]
    return Table("Disagreeing with the catalogue", columns, rows, "no trace does.")


def trace_data(kept: TraceKept) -> dict[str, Json]:
    """Give a frame's trace as JSON: where it came from, its figures, the findings."""
    origin, shape = kept.stored.origin, kept.stored.shape
    return {
        "number": kept.stored.number,
        "frame": kept.stored.frame_code,
        "file": origin.file_name,
        "sha256": origin.file_sha256,
        "traced_on": day(origin.traced_on),
        "device": origin.device,
        "dbl": shape.dbl,
        "right": {**MEASURED.of(kept.right), "points": shape.right.count},
        "left": {**MEASURED.of(kept.left), "points": shape.left.count},
        "findings": finding_data(kept.findings),
    }


def trace_blocks(kept: TraceKept) -> tuple[Fields, Table, Table]:
    """Give a frame's trace for reading."""
    origin = kept.stored.origin
    rows = (
        ("file", origin.file_name),
        ("traced", day(origin.traced_on)),
        ("device", origin.device),
        ("DBL", f"{kept.stored.shape.dbl:.2f} mm"),
    )
    columns = [Column("lens"), *(Column(name, right=True) for name in ("A", "B", "ED", "circumference", "points"))]
    figures = [
        _boxed_row("right", kept.right, kept.stored.shape.right.count),
        _boxed_row("left", kept.left, kept.stored.shape.left.count),
    ]
    title = f"Trace of {kept.stored.frame_code}"
    return Fields(title, rows), Table("", columns, figures), finding_table(kept.findings)


def _boxed_row(lens: str, boxed: Boxed, count: int) -> tuple[str, ...]:
    lengths = (boxed.a, boxed.b, boxed.ed, boxed.circumference)
    return (lens, *(f"{length:.2f}" for length in lengths), str(count))
