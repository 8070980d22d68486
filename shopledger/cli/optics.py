"""Lens calculations that need no ledger: what a power is in another form, along a meridian, away from its centre."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.options import as_json, existing_file, power_from, power_options
from shopledger.cli.output import Column, Fields, Json, Table, show
from shopledger.cli.params import MM, NUMBER, Word
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.power import SphereCylinder


@click.group()
def optics() -> None:
    """Work out lens figures."""


@optics.command()
@power_options
@as_json
def transpose(as_json: bool, **given: Any) -> None:
    """Write a power in both forms of the cylinder."""
    from shopledger.optics.notation import write_dioptres, write_power

    power = _wanted(given)
    minus, plus = write_power(power.as_minus_cylinder()), write_power(power.as_plus_cylinder())
    data: dict[str, Json] = {
        "minus_cylinder": minus,
        "plus_cylinder": plus,
        "spherical_equivalent": power.spherical_equivalent,
    }
    rows = (
        ("minus cylinder", minus),
        ("plus cylinder", plus),
        ("spherical equivalent", f"{write_dioptres(power.spherical_equivalent)} D"),
    )
    show(as_json, data, Fields("", rows))


@optics.command()
@power_options
@click.option("--at", type=NUMBER, required=True, help="The meridian in degrees, standard notation.")
@as_json
def meridian(at: float, as_json: bool, **given: Any) -> None:
    """Work out the power that a lens has along one meridian."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.power import power_in_meridian

    power = _wanted(given)
    along = power_in_meridian(power, at)
    data: dict[str, Json] = {"power": write_power(power), "meridian": at, "power_in_meridian": round(along, 4)}
    show(as_json, data, Fields("", (("power", write_power(power)), (f"along {at:g}°", f"{along:+.2f} D"))))


@optics.command()
@power_options
@click.option("--tested-at", type=MM, required=True, help="Vertex distance at which the power was found.")
@click.option("--worn-at", type=MM, required=True, help="Vertex distance at which the lens is worn.")
@as_json
def vertex(tested_at: float, worn_at: float, as_json: bool, **given: Any) -> None:
    """Work out the power at another vertex distance."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.vertex import moved_power

    power = _wanted(given)
    worn = moved_power(power, tested_at - worn_at)
    data: dict[str, Json] = {
        "power": write_power(power),
        "tested_at": tested_at,
        "worn_at": worn_at,
        "worn": write_power(worn),
        "sphere": round(worn.sphere, 4),
        "cylinder": round(worn.cylinder, 4),
        "axis": worn.axis,
    }
    rows = ((f"at {tested_at:g} mm", write_power(power)), (f"at {worn_at:g} mm", write_power(worn)))
    show(as_json, data, Fields("", rows))


@optics.command()
@power_options
@click.option("--eye", type=Word(Side), required=True, help="Which eye, since the nose lies on the other side.")
@click.option("--inward", type=MM, default="0", show_default=True, help="From the optical centre toward the nose.")
@click.option("--upward", type=MM, default="0", show_default=True, help="From the optical centre upward.")
@as_json
def prism(eye: Side, inward: float, upward: float, as_json: bool, **given: Any) -> None:
    """Work out the prism of a lens away from its centre."""
    from shopledger.optics.notation import write_power, write_prism
    from shopledger.optics.prism import prism_at

    power = _wanted(given)
    found = prism_at(power, eye, inward, upward)
    written = [write_prism(part) for part in found.as_prisms() if part.amount >= 0.005]
    data: dict[str, Json] = {
        "power": write_power(power),
        "base_in": round(found.inward, 4),
        "base_up": round(found.upward, 4),
        "amount": round(found.amount, 4),
        "written": written,
    }
    where = f"{_toward(inward, 'inward', 'outward')}, {_toward(upward, 'up', 'down')}"
    rows = (
        ("power", write_power(power)),
        ("point", where),
        ("prism", ", ".join(written) or "none"),
        ("together", f"{found.amount:.2f} prism dioptres"),
    )
    show(as_json, data, Fields("", rows))


@optics.command()
@click.option("--a", type=MM, required=True, help="Boxed width of the lens, or the eye size.")
@click.option("--dbl", type=MM, required=True, help="Distance between lenses, or the bridge.")
@click.option("--pd", type=MM, help="PD of both eyes together.")
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
    inward = {side: decentration(a, dbl, eyes.eye(side).mono_pd) for side in Side}
    upward = None if b is None or height is None else vertical_offset(height, b)
    data: dict[str, Json] = {f"{side.value}_inward": round(moved, 2) for side, moved in inward.items()}
    rows = [(f"{side.value} lens", _toward(moved, "inward", "outward")) for side, moved in inward.items()]
    if upward is not None:
        rows.append(("height", _toward(upward, "above the boxed centre", "below the boxed centre")))
    show(as_json, {**data, "upward": None if upward is None else round(upward, 2)}, Fields("", rows))


@optics.command()
@click.option("--trace", "file", type=existing_file, help="Trace file: the exact blank for the shape in it.")
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
    from shopledger.exchange.trace_file import read_trace_file
    from shopledger.optics.boxing import box
    from shopledger.optics.centring import rule_of_thumb_blank
    from shopledger.optics.fitting import minimum_blank

    read = read_trace_file(file)
    shapes = {Side.RIGHT: read.right, Side.LEFT: read.left}
    exact = {side: minimum_blank(shape, inward, upward, allowance) for side, shape in shapes.items()}
    rules = {side: rule_of_thumb_blank(box(shape).ed, inward, allowance) for side, shape in shapes.items()}
    data: dict[str, Json] = {
        side.value: {"exact": round(exact[side], 2), "rule_of_thumb": round(rules[side], 2)} for side in Side
    }
    rows = [(side.value, f"{exact[side]:.1f}", f"{rules[side]:.1f}") for side in Side]
    columns = (Column("lens"), Column("exact, mm", right=True), Column("rule of thumb, mm", right=True))
    show(as_json, data, Table("", columns, rows))


def _wanted(given: dict[str, Any]) -> SphereCylinder:
    power = power_from(given)
    if power is None:
        raise click.UsageError("--power is missing. Give it, or --sphere with --cylinder and --axis.")
    return power


def _toward(moved: float, forward: str, backward: str) -> str:
    """Say a distance with its way in words."""
    return f"{abs(moved):.1f} mm {forward if moved >= 0 else backward}"
