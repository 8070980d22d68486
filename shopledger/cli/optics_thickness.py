"""How thick and heavy a lens becomes, in one material and in several side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.optics_powers import wanted_power
from shopledger.cli.optics_shape import (
    MATERIAL,
    centre_options,
    least,
    least_options,
    shape_options,
    take_centre,
    take_shape,
)
from shopledger.cli.options import as_json, power_options
from shopledger.cli.output import show
from shopledger.cli.params import MM
from shopledger.optics.materials import MATERIALS, Material

if TYPE_CHECKING:
    from shopledger.optics.body import Centre, LensBody
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.trace import Trace


@click.command()
@power_options
@click.option("--material", type=MATERIAL, required=True, help="Name or index, as in poly, 'hard resin' or 1.67.")
@shape_options
@centre_options
@least_options
@click.option("--min-centre", type=MM, help="Least centre thickness. Otherwise the usual one of the material.")
@click.option("--centre-thickness", type=MM, help="Centre thickness of a lens that exists, in place of the least one.")
@as_json
def thickness(
    material: Material, min_centre: float | None, centre_thickness: float | None, as_json: bool, **given: Any
) -> None:
    """Work out how thick and heavy a lens becomes.

    The thinnest lens that keeps its least centre and edge, before any bevel, round the whole shape. Directions are in
    degrees from the boxed centre, counter-clockwise for who faces the wearer.
    """
    from shopledger.cli.views.lens_bodies import thickness_data, thickness_fields
    from shopledger.optics.base_curve import usual_base_curve

    if min_centre is not None and centre_thickness is not None:
        raise click.UsageError("--min-centre and --centre-thickness are given. Give one of them.")
    power, shape = wanted_power(given), take_shape(given)
    centre = take_centre(given, shape)
    usual, edge = least(material, given)
    curve = usual_base_curve(power) if given["base_curve"] is None else given["base_curve"]
    wanted = usual if min_centre is None else min_centre
    body = (
        _thinnest(power, shape.trace, centre, material, curve, wanted, edge)
        if centre_thickness is None
        else _existing(power, shape.trace, centre, material, curve, centre_thickness, edge)
    )
    show(
        as_json,
        thickness_data(power, shape, centre, material, curve, body),
        thickness_fields(power, shape, centre, material, curve, body),
    )


@click.command()
@power_options
@click.option("--material", "materials", type=MATERIAL, multiple=True, help="One of several; otherwise all.")
@shape_options
@centre_options
@least_options
@as_json
def compare(materials: tuple[Material, ...], as_json: bool, **given: Any) -> None:
    """Compare materials for one lens.

    The thinnest lens in each, with the material's own least centre thickness and one front curve for all.
    """
    from shopledger.cli.views.lens_bodies import comparison_blocks, comparison_data
    from shopledger.optics.comparison import compare_materials

    power, shape = wanted_power(given), take_shape(given)
    centre = take_centre(given, shape)
    wanted = [(row, *least(row, given)) for row in materials or MATERIALS]
    rows = compare_materials(
        power,
        shape.trace,
        centre,
        [replace(row, min_centre=thin) for row, thin, _ in wanted],
        given["base_curve"],
        wanted[0][2],
    )
    show(as_json, comparison_data(power, shape, centre, rows), *comparison_blocks(power, shape, centre, rows))


def _thinnest(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    material: Material,
    base_curve: float,
    min_centre: float,
    min_edge: float,
) -> LensBody:
    from shopledger.optics.body import lens_body

    return lens_body(power, trace, centre, material.index, base_curve, min_centre, min_edge, material.density)


def _existing(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    material: Material,
    base_curve: float,
    centre_thickness: float,
    min_edge: float,
) -> LensBody:
    """Work out a lens of known centre; where its edge would be too thin, say where, and which centre would do."""
    from shopledger.optics.body import edge_thickness

    edge_thickness(power, trace, centre, material.index, base_curve, centre_thickness, min_edge)
    return _thinnest(power, trace, centre, material, base_curve, centre_thickness, min_edge)
