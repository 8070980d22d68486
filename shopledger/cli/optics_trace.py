"""Trace files without a ledger: what is in one, and whether two hold the same shape."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from shopledger.cli.options import as_json, existing_file
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MM
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.exchange.trace_file import ReadTrace
    from shopledger.optics.findings import Finding
    from shopledger.optics.trace import FrameTrace

_DRAWN_BRIDGE: Final = 18.0
"""How far apart lenses are drawn where nobody says it. [mm]"""


@click.command()
@click.argument("file", type=existing_file)
@click.argument("other", type=existing_file, required=False)
@click.option("--dbl", type=MM, help="Distance between lenses, where the file does not say it.")
@as_json
def trace(file: Path, other: Path | None, dbl: float | None, as_json: bool) -> None:
    """Show a trace file's shapes, or compare two files.

    One file: its figures, what was found on it, and a small picture. With another: how its shapes lie best on those of
    the first, turned, moved and mirrored, and how much then still differs.
    """
    from shopledger.exchange.shape_files import read_shapes

    read = read_shapes(file)
    if other is not None:
        if dbl is not None:
            raise click.UsageError("--dbl is given with two files. Leave it out: only shapes are compared.")
        _compared(file, read, other, read_shapes(other), as_json)
        return
    _shown(file, read, dbl, as_json)


def _shown(file: Path, read: ReadTrace, dbl: float | None, as_json: bool) -> None:
    from shopledger.cli.shape import draw_pair
    from shopledger.cli.views.shapes import shape_blocks, shape_data
    from shopledger.optics.trace import FrameTrace

    known = read.dbl if dbl is None else dbl
    frame = FrameTrace(read.right, read.left, _DRAWN_BRIDGE if known is None else known)
    findings = _findings(read, frame)
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (frame.right, frame.left))
    head, figures, found = shape_blocks(file, read, known, findings)
    data = shape_data(file, read, known, findings)
    show(as_json, data, head, figures, Drawing(draw_pair(right, left, frame.dbl)), found)


def _findings(read: ReadTrace, frame: FrameTrace) -> tuple[Finding, ...]:
    """Check both shapes, and what the file states of them."""
    from shopledger.optics.trace_checks import StatedFigures, check_frame_trace

    said = (read.stated.a, read.stated.b, read.stated.ed, read.stated.circumference)
    right, left = (StatedFigures(*(both[place] for both in said)) for place in (0, 1))
    return check_frame_trace(frame, right, left)


def _compared(file: Path, read: ReadTrace, other: Path, laid: ReadTrace, as_json: bool) -> None:
    from shopledger.cli.views.shapes import alignment_blocks, alignment_data
    from shopledger.optics.alignment import align

    best = {Side.RIGHT: align(read.right, laid.right), Side.LEFT: align(read.left, laid.left)}
    show(as_json, alignment_data(file, other, best), *alignment_blocks(file, other, best))
