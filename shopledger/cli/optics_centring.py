"""Lenses placed in a frame: where the optical centres stand, and the blank that they need."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.options import as_json, existing_file
from shopledger.cli.output import Column, Fields, Json, Table, show
from shopledger.cli.params import MM
from shopledger.cli.views.figures import toward
from shopledger.optics.sides import Side


@click.command()
@click.option("--a", type=MM, required=True, help="Boxed width of the lens, or the eye size.")
@click.option("--dbl", type=MM, required=True, help="Distance between lenses, or the bridge.")
@click.option("--pd", type=MM, help="PD of both eyes together; half of it counts for each.")
@click.option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge.")
@click.option("--pd-left", type=MM, help="PD of the left eye.")
@click.option("--b", type=MM, help="Boxed height of the lens, for the height.")
@click.option("--height", type=MM, help="Fitting height, for how far above the boxed centre it stands.")
@as_json
def decentre(
    a: float,
    dbl: float,
    pd: float | None,
    pd_right: float | None,
    pd_left: float | None,
    b: float | None,
    height: float | None,
    as_json: bool,
) -> None:
    """Work out where the optical centres stand in a frame."""
    from shopledger.cli.options import measured
    from shopledger.optics.centring import decentration, vertical_offset

    eyes = measured(pd, (pd_right, pd_left), None, (None, None))
    if eyes is None:
        raise click.UsageError("--pd is missing. Give it, or --pd-right and --pd-left.")
    if (b is None) != (height is None):
        raise click.UsageError(f"{'--b' if b is None else '--height'} is missing. Give --b and --height together.")
    inward = {side: decentration(a, dbl, eyes.eye(side).mono_pd) for side in Side}
    upward = None if b is None or height is None else vertical_offset(height, b)
    data: dict[str, Json] = {f"{side.value}_inward": round(moved, 2) for side, moved in inward.items()}
    rows = [(f"{side.value} lens", toward(moved, "inward", "outward")) for side, moved in inward.items()]
    if upward is not None:
        rows.append(("height", toward(upward, "above the boxed centre", "below the boxed centre")))
    show(as_json, {**data, "upward": None if upward is None else round(upward, 2)}, Fields("", rows))


@click.command()
@click.option("--trace", "file", type=existing_file, help="Trace file: the exact blank for the shapes in it.")
@click.option("--ed", type=MM, help="Effective diameter, for the rule of thumb where there is no trace.")
@click.option("--inward", type=MM, default="0", show_default=True, help="Optical centre inward of the boxed centre.")
@click.option("--upward", type=MM, default="0", show_default=True, help="Optical centre above the boxed centre.")
@click.option("--allowance", type=MM, default="2", show_default=True, help="What is added for the edge.")
@as_json
def blank(file: Path | None, ed: float | None, inward: float, upward: float, allowance: float, as_json: bool) -> None:
    """Work out the smallest blank that covers a lens.

    From a trace it is exact; without one it is the trade's rule of thumb.
    """
    if file is not None:
        if ed is not None:
            raise click.UsageError("--ed is given with --trace. Leave it out: the trace has its own.")
        _blank_from_trace(file, inward, upward, allowance, as_json)
        return
    from shopledger.optics.centring import rule_of_thumb_blank

    if ed is None:
        raise click.UsageError("--trace is missing. Give a trace file, or the effective diameter with --ed.")
    needed = rule_of_thumb_blank(ed, inward, allowance)
    data = {"rule_of_thumb": round(needed, 2)}
    note = "" if not upward else "The rule knows no height: with one, trust the trace alone."
    show(as_json, data, Fields("", (("rule of thumb", f"{needed:.1f} mm"), ("note", note))))


def _blank_from_trace(file: Path, inward: float, upward: float, allowance: float, as_json: bool) -> None:
    from shopledger.exchange.shape_files import read_shapes
    from shopledger.optics.boxing import box
    from shopledger.optics.centring import rule_of_thumb_blank
    from shopledger.optics.fitting import minimum_blank

    read = read_shapes(file)
    shapes = {Side.RIGHT: read.right, Side.LEFT: read.left}
    exact = {side: minimum_blank(shape, inward, upward, allowance) for side, shape in shapes.items()}
    rules = {side: rule_of_thumb_blank(box(shape).ed, inward, allowance) for side, shape in shapes.items()}
    data: dict[str, Json] = {
        side.value: {"exact": round(exact[side], 2), "rule_of_thumb": round(rules[side], 2)} for side in Side
    }
    rows = [(side.value, f"{exact[side]:.1f}", f"{rules[side]:.1f}") for side in Side]
    columns = (Column("lens"), Column("exact, mm", right=True), Column("rule of thumb, mm", right=True))
    show(as_json, data, Table("", columns, rows))
