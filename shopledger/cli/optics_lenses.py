"""Lenses in a frame by calculation: optical centres, the blank, how thick and heavy in one material and in several."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.lens_options import PowerOptions, measured
from shopledger.cli.optics_shape import MATERIAL, CentreOptions, LeastOptions, ShapeOptions
from shopledger.cli.options import OptionSet, as_json, existing_file, option, options
from shopledger.cli.output import Column, Fields, Json, Table, show
from shopledger.cli.params import MM, PRISM
from shopledger.cli.prompts import lacking
from shopledger.cli.views.figures import toward
from shopledger.optics.materials import MATERIALS, Material
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.body import Centre, LensBody
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prism import Prism, PrismVector
    from shopledger.optics.trace import Trace

_prism_option = click.option(
    "--prism", "prisms", type=PRISM, multiple=True, help="Prism to surface into it, as in '2 BU'; may repeat."
)


class DecentreOptions(OptionSet):
    """A frame's box, and where the wearer looks through it."""

    a: float = option("--a", type=MM, required=True, help="Boxed width of the lens, or the eye size.")
    dbl: float = option("--dbl", type=MM, required=True, help="Distance between lenses, or the bridge.")
    pd: float | None = option("--pd", type=MM, help="PD of both eyes together; half of it counts for each.")
    pd_right: float | None = option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge.")
    pd_left: float | None = option("--pd-left", type=MM, help="PD of the left eye.")
    b: float | None = option("--b", type=MM, help="Boxed height of the lens, for the height.")
    height: float | None = option(
        "--height", type=MM, help="Fitting height, for how far above the boxed centre it stands."
    )


@click.command()
@options(DecentreOptions)
@as_json
def decentre(given: DecentreOptions, as_json: bool) -> None:
    """Work out where the optical centres stand in a frame.

    Example:
    shopledger optics decentre --a 52 --dbl 18 --pd-right 31 --pd-left 32
    """
    from shopledger.optics.centring import decentration, vertical_offset

    b, height = given.b, given.height
    eyes = measured(given.pd, (given.pd_right, given.pd_left), (), (None, None))
    if eyes is None:
        lacking("--pd", "--pd is missing. Give it, or --pd-right and --pd-left.")
    if (b is None) != (height is None):
        lacking(
            "--b" if b is None else "--height",
            f"{'--b' if b is None else '--height'} is missing. Give --b and --height together.",
        )
    inward = {side: decentration(given.a, given.dbl, eyes.eye(side).mono_pd) for side in Side}
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

    Example:
    shopledger optics blank --ed 55 --inward 4
    """
    if file is not None:
        if ed is not None:
            raise click.UsageError("--ed is given with --trace. Leave it out: the trace has its own.")
        _blank_from_trace(file, inward, upward, allowance, as_json)
        return
    from shopledger.optics.centring import rule_of_thumb_blank

    if ed is None:
        lacking("--trace", "--trace is missing. Give a trace file, or the effective diameter with --ed.")
    needed = rule_of_thumb_blank(ed, inward, allowance)
    data = {"rule_of_thumb": round(needed, 2)}
    note = "" if not upward else "The rule knows no height: with one, trust the trace alone."
    show(as_json, data, Fields("", (("rule of thumb", f"{needed:.1f} mm"), ("note", note))))


def _blank_from_trace(file: Path, inward: float, upward: float, allowance: float, as_json: bool) -> None:
    from shopledger.exchange.trace_file import read_shapes
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


@click.command()
@options(PowerOptions, "power")
@click.option("--material", type=MATERIAL, required=True, help="Name or index, as in poly, 'hard resin' or 1.67.")
@options(ShapeOptions, "shape")
@options(CentreOptions, "centre")
@options(LeastOptions, "least")
@click.option("--min-centre", type=MM, help="Least centre thickness. Otherwise the usual one of the material.")
@click.option("--centre-thickness", type=MM, help="Centre thickness of a lens that exists, in place of the least one.")
@_prism_option
@as_json
def thickness(
    power: PowerOptions,
    material: Material,
    shape: ShapeOptions,
    centre: CentreOptions,
    least: LeastOptions,
    min_centre: float | None,
    centre_thickness: float | None,
    prisms: tuple[Prism, ...],
    as_json: bool,
) -> None:
    """Work out how thick and heavy a lens becomes.

    The thinnest lens that keeps its least centre and edge, before any bevel, round the whole shape. Directions are in
    degrees from the boxed centre, counter-clockwise for who faces the wearer. Prism is surfaced into the lens, and
    stands where the optical centre would.

    Example:
    shopledger optics thickness --sphere -4.00 --material 1.67 --box 52x36 --inward 3
    """
    from shopledger.cli.views.lens_bodies import thickness_data, thickness_fields
    from shopledger.optics.base_curve import usual_base_curve
    from shopledger.optics.prism import combine

    if min_centre is not None and centre_thickness is not None:
        raise click.UsageError("--min-centre and --centre-thickness are given. Give one of them.")
    whole, placed = power.wanted, shape.shape
    place = centre.centre(placed)
    usual, edge = least.least(material)
    curve = usual_base_curve(whole) if least.base_curve is None else least.base_curve
    wanted, prism = usual if min_centre is None else min_centre, combine(prisms)
    body = (
        _thinnest(whole, placed.trace, place, material, curve, wanted, edge, prism)
        if centre_thickness is None
        else _existing(whole, placed.trace, place, material, curve, centre_thickness, edge, prism)
    )
    lens = (whole, placed, place, material, curve, body)
    show(as_json, thickness_data(*lens, prism), thickness_fields(*lens, prism))


@click.command()
@options(PowerOptions, "power")
@click.option("--material", "materials", type=MATERIAL, multiple=True, help="One of several; otherwise all.")
@options(ShapeOptions, "shape")
@options(CentreOptions, "centre")
@options(LeastOptions, "least")
@_prism_option
@as_json
def compare(
    power: PowerOptions,
    materials: tuple[Material, ...],
    shape: ShapeOptions,
    centre: CentreOptions,
    least: LeastOptions,
    prisms: tuple[Prism, ...],
    as_json: bool,
) -> None:
    """Compare materials for one lens.

    The thinnest lens in each, with the material's own least centre thickness and one front curve for all.

    Example:
    shopledger optics compare --sphere -4.00 --box 52x36 --inward 3
    """
    from shopledger.cli.views.lens_bodies import comparison_blocks, comparison_data
    from shopledger.optics.comparison import compare_materials
    from shopledger.optics.prism import combine

    whole, placed, prism = power.wanted, shape.shape, combine(prisms)
    place = centre.centre(placed)
    wanted = [(row, *least.least(row)) for row in materials or MATERIALS]
    rows = compare_materials(
        whole,
        placed.trace,
        place,
        [replace(row, min_centre=thin) for row, thin, _ in wanted],
        least.base_curve,
        wanted[0][2],
        prism,
    )
    compared = (whole, placed, place, rows, prism)
    show(as_json, comparison_data(*compared), *comparison_blocks(*compared))


def _thinnest(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    material: Material,
    base_curve: float,
    min_centre: float,
    min_edge: float,
    prism: PrismVector,
) -> LensBody:
    from shopledger.optics.body import lens_body

    least = (base_curve, min_centre, min_edge)
    return lens_body(power, trace, centre, material.index, *least, material.density, prism=prism)


def _existing(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    material: Material,
    base_curve: float,
    centre_thickness: float,
    min_edge: float,
    prism: PrismVector,
) -> LensBody:
    """Work out a lens of known centre; where its edge would be too thin, say where, and which centre would do."""
    from shopledger.optics.body import known_body

    known = (base_curve, centre_thickness, min_edge)
    return known_body(power, trace, centre, material.index, *known, material.density, prism=prism)
