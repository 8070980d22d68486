"""Edged lenses shown: thicknesses, places, weight, and materials side by side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, rounded, toward
from shopledger.ledger.canonical import Shape
from shopledger.optics.body import LensBody
from shopledger.optics.notation import write_power, write_prism, write_prisms
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.cli.optics_shape import PlacedShape
    from shopledger.optics.body import Centre
    from shopledger.optics.comparison import MaterialRow
    from shopledger.optics.materials import Material
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prism import PrismVector

_WAYS: Final = (
    "toward the nose",
    "up toward the nose",
    "at the top",
    "up toward the temple",
    "toward the temple",
    "down toward the temple",
    "at the bottom",
    "down toward the nose",
)
"""The eighths of a right lens as seen from the front, counter-clockwise from 3 o'clock."""


OUT = Outside(
    {
        LensBody: Shape(
            keys=(
                *("centre_thickness", "thickest_edge", "thickest_angle", "thinnest_edge", "thinnest_angle"),
                *("volume", "weight"),
            ),
            made=rounded(
                2,
                "centre_thickness",
                "thickest_angle",
                "thinnest_angle",
                "volume",
                thickest_edge="thickest",
                thinnest_edge="thinnest",
                weight="weight_g",
            ),
        ),
    }
)
"""A lens's figures in mm, degrees, cubic mm and grams."""


def thickness_data(
    power: SphereCylinder,
    shape: PlacedShape,
    centre: Centre,
    material: Material,
    base_curve: float,
    body: LensBody,
    prism: PrismVector,
) -> dict[str, Json]:
    """Give one lens as JSON."""
    return {
        **_placed_data(power, shape, centre, prism),
        "material": material.name,
        "index": material.index,
        "base_curve": round(base_curve, 2),
        **OUT.of(body),
    }


def comparison_data(
    power: SphereCylinder, shape: PlacedShape, centre: Centre, rows: Sequence[MaterialRow], prism: PrismVector
) -> dict[str, Json]:
    """Give materials side by side as JSON; a lens that cannot be made has the reason in `refused`."""
    materials: list[Json] = [
        {
            "material": row.material.name,
            "index": row.material.index,
            "abbe": row.material.abbe,
            "refused": row.refused,
            **(OUT.of(row.body) if row.body else dict.fromkeys(OUT.shapes[LensBody].keys)),
        }
        for row in rows
    ]
    return {
        **_placed_data(power, shape, centre, prism),
        "base_curve": round(rows[0].base_curve, 2),
        "materials": materials,
    }


def thickness_fields(
    power: SphereCylinder,
    shape: PlacedShape,
    centre: Centre,
    material: Material,
    base_curve: float,
    body: LensBody,
    prism: PrismVector,
) -> Fields:
    """Give one lens for reading."""
    side = shape.trace.side
    rows = (
        *_placed_rows(power, shape, centre, prism),
        ("material", f"{material.name}, index {material.index:g}, {material.density:g} g/cm³"),
        ("front curve", f"{base_curve:.2f} D"),
        ("centre", f"{body.centre_thickness:.2f} mm"),
        *_edge_rows(body, side),
        ("weight", f"{body.weight_g:.1f} g"),
    )
    return Fields("", rows)


def comparison_blocks(
    power: SphereCylinder, shape: PlacedShape, centre: Centre, rows: Sequence[MaterialRow], prism: PrismVector
) -> tuple[Fields, Table, Fields]:
    """Give materials side by side for reading, and why some cannot be used."""
    head = Fields("", (*_placed_rows(power, shape, centre, prism), ("front curve", f"{rows[0].base_curve:.2f} D")))
    names = ("centre, mm", "thickest, mm", "thinnest, mm", "weight, g", "Abbe")
    columns = [Column("material", whole=True), *(Column(name, right=True) for name in names)]
    refused = [(row.material.name, row.refused) for row in rows if row.refused]
    return head, Table("", columns, list(_compared(rows))), Fields("Cannot be made", refused)


def _compared(rows: Iterable[MaterialRow]) -> Iterable[tuple[str, ...]]:
    for row in rows:
        body, abbe = row.body, f"{row.material.abbe:g}"
        if body is None:
            yield (row.material.name, "-", "-", "-", "-", abbe)
        else:
            lengths = (body.centre_thickness, body.thickest, body.thinnest)
            yield (row.material.name, *(f"{length:.2f}" for length in lengths), f"{body.weight_g:.1f}", abbe)


def _placed_data(power: SphereCylinder, shape: PlacedShape, centre: Centre, prism: PrismVector) -> dict[str, Json]:
    inward, upward = centre
    return {
        "power": write_power(power),
        "prism": [write_prism(each) for each in prism.as_prisms()],
        "eye": shape.trace.side.value,
        "shape": shape.words,
        "inward": round(inward, 2),
        "upward": round(upward, 2),
    }


def _placed_rows(
    power: SphereCylinder, shape: PlacedShape, centre: Centre, prism: PrismVector
) -> tuple[tuple[str, str], ...]:
    inward, upward = centre
    ways = [toward(inward, "inward", "outward")] if round(inward, 1) else []
    ways += [toward(upward, "up", "down")] if round(upward, 1) else []
    where = f"{', '.join(ways)} from the boxed centre" if ways else "in the boxed centre"
    written = write_prisms(prism.as_prisms())
    standing = "place of the prism" if written else "optical centre"
    return (("power", write_power(power)), ("prism", written), ("shape", shape.words), (standing, where))


def _edge_rows(body: LensBody, side: Side) -> tuple[tuple[str, str], ...]:
    """Say where the edge is thickest and thinnest, unless it is the same all round."""
    thick, thin = f"{body.thickest:.2f} mm", f"{body.thinnest:.2f} mm"
    if thick == thin:
        return (("edge", f"{thick} all round"),)
    return (
        ("thickest edge", f"{thick} at {_where(body.thickest_angle, side)}"),
        ("thinnest edge", f"{thin} at {_where(body.thinnest_angle, side)}"),
    )


def _where(angle: float, side: Side) -> str:
    """Say a direction in degrees and in words."""
    seen = angle if side is Side.RIGHT else 180 - angle
    return f"{angle:.0f}°, {_WAYS[round(seen / 45) % 8]}"
