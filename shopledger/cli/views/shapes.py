"""Traced shapes out of files, shown: their figures, and how two lie on one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, rounded, toward
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.ledger.canonical import Shape
from shopledger.optics.alignment import Alignment
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.exchange.shapes import ReadTrace
    from shopledger.optics.findings import Finding
    from shopledger.optics.trace import Trace


OUT = Outside(
    {
        Alignment: Shape(
            keys=("mean", "worst", "turned", "moved_right", "moved_up", "mirrored"),
            made={
                **rounded(3, "mean", "worst", moved_right="moved_x", moved_up="moved_y"),
                **rounded(2, "turned"),
            },
        ),
        Boxed: Shape(
            keys=("a", "b", "ed", "ed_axis", "circumference", "area"),
            made={**rounded(2, "a", "b", "ed", "circumference"), **rounded(1, "ed_axis", "area")},
        ),
    }
)


def shape_data(file: Path, read: ReadTrace, dbl: float | None, findings: Sequence[Finding]) -> dict[str, Json]:
    """Give a file's shapes as JSON."""
    return {
        "file": file.name,
        "sha256": read.sha256,
        "dbl": dbl,
        "one_eye": read.mirrored,
        "right": {**OUT.of(box(read.right)), "points": read.right.count},
        "left": {**OUT.of(box(read.left)), "points": read.left.count},
        "findings": finding_data(findings),
    }


def alignment_data(file: Path, other: Path, best: Mapping[Side, Alignment]) -> dict[str, Json]:
    """Give how two files' shapes lie on one another as JSON."""
    return {"file": file.name, "other": other.name, **{side.value: OUT.of(found) for side, found in best.items()}}


def shape_blocks(
    file: Path, read: ReadTrace, dbl: float | None, findings: Sequence[Finding]
) -> tuple[Fields, Table, Table]:
    """Give a file's shapes for reading."""
    rows = (
        ("file", file.name),
        ("DBL", "not in the file" if dbl is None else f"{dbl:.2f} mm"),
        ("note", "Only one eye is in the file; the other shape is its mirror image." if read.mirrored else ""),
    )
    names = ("A", "B", "ED", "ED at", "circumference", "area", "points")
    columns = [Column("lens"), *(Column(name, right=True) for name in names)]
    figures = [_row(shape) for shape in (read.right, read.left)]
    return Fields("", rows), Table("", columns, figures), finding_table(findings)


def alignment_blocks(file: Path, other: Path, best: Mapping[Side, Alignment]) -> tuple[Fields, Table]:
    """Give how two files' shapes lie on one another for reading."""
    columns = (
        Column("lens"),
        Column("mean difference, mm", right=True),
        Column("worst, mm", right=True),
        Column("best when"),
    )
    rows = [(side.value, f"{found.mean:.2f}", f"{found.worst:.2f}", how_it_lies(found)) for side, found in best.items()]
    return Fields("", (("lies still", file.name), ("laid on it", other.name))), Table("", columns, rows)


def how_it_lies(found: Alignment) -> str:
    """Say in words how the second shape was laid on the first."""
    # The shortest way round: a turn of 359 degrees is one of -1.
    turned = (found.turned + 180) % 360 - 180
    words = ["mirrored"] if found.mirrored else []
    words += [f"turned {turned:+.1f}°"] if round(turned, 1) else []
    words += [toward(found.moved_x, "right", "left")] if round(found.moved_x, 1) else []
    words += [toward(found.moved_y, "up", "down")] if round(found.moved_y, 1) else []
    return ", ".join(words) or "as it is"


def _row(shape: Trace) -> tuple[str, ...]:
    boxed = box(shape)
    lengths = (f"{length:.2f}" for length in (boxed.a, boxed.b, boxed.ed))
    rest = (f"{boxed.ed_axis:.0f}°", f"{boxed.circumference:.2f}", f"{boxed.area:.0f} mm²", str(shape.count))
    return (shape.side.value, *lengths, *rest)
