"""Edged lenses shown: thicknesses, places, weight, and materials side by side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import toward
from shopledger.optics.notation import write_power
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.cli.optics_shape import Shape
    from shopledger.optics.body import Centre, LensBody
    from shopledger.optics.comparison import MaterialRow
    from shopledger.optics.materials import Material
    from shopledger.optics.power import SphereCylinder

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


def thickness_data(
    power: SphereCylinder, shape: Shape, centre: Centre, material: Material, base_curve: float, body: LensBody
) -> dict[str, Json]:
    """Give one lens as JSON."""
    return {
        **_placed_data(power, shape, centre),
        "material": material.name,
        "index": material.index,
        "base_curve": round(base_curve, 2),
        **_body_data(body),
    }


def thickness_fields(
    power: SphereCylinder, shape: Shape, centre: Centre, material: Material, base_curve: float, body: LensBody
) -> Fields:
    """Give one lens for reading."""
    side = shape.trace.side
    rows = (
        *_placed_rows(power, shape, centre),
        ("material", f"{material.name}, index {material.index:g}, {material.density:g} g/cm³"),
        ("front curve", f"{base_curve:.2f} D"),
        ("centre", f"{body.centre_thickness:.2f} mm"),
        *_edge_rows(body, side),
        ("weight", f"{body.weight_g:.1f} g"),
    )
    return Fields("", rows)


def comparison_data(
    power: SphereCylinder, shape: Shape, centre: Centre, rows: Sequence[MaterialRow]
) -> dict[str, Json]:
    """Give materials side by side as JSON; a lens that cannot be made has the reason in `refused`."""
    materials: list[Json] = [
        {
            "material": row.material.name,
            "index": row.material.index,
            "abbe": row.material.abbe,
            "refused": row.refused,
            **(_body_data(row.body) if row.body else dict.fromkeys(_BODY)),
        }
        for row in rows
    ]
    return {
        **_placed_data(power, shape, centre),
        "base_curve": round(rows[0].base_curve, 2),
        "materials": materials,
    }


def comparison_blocks(
    power: SphereCylinder, shape: Shape, centre: Centre, rows: Sequence[MaterialRow]
) -> tuple[Fields, Table, Fields]:
    """Give materials side by side for reading, and why some cannot be used."""
    head = Fields("", (*_placed_rows(power, shape, centre), ("front curve", f"{rows[0].base_curve:.2f} D")))
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


def _placed_data(power: SphereCylinder, shape: Shape, centre: Centre) -> dict[str, Json]:
    inward, upward = centre
    return {
        "power": write_power(power),
        "eye": shape.trace.side.value,
        "shape": shape.words,
        "inward": round(inward, 2),
        "upward": round(upward, 2),
    }


def _placed_rows(power: SphereCylinder, shape: Shape, centre: Centre) -> tuple[tuple[str, str], ...]:
    inward, upward = centre
    ways = [toward(inward, "inward", "outward")] if round(inward, 1) else []
    ways += [toward(upward, "up", "down")] if round(upward, 1) else []
    where = f"{', '.join(ways)} from the boxed centre" if ways else "in the boxed centre"
    return (("power", write_power(power)), ("shape", shape.words), ("optical centre", where))


_BODY: Final = (
    "centre_thickness",
    "thickest_edge",
    "thickest_angle",
    "thinnest_edge",
    "thinnest_angle",
    "volume",
    "weight",
)
"""The names of a lens's figures in JSON: mm, degrees, cubic mm and grams."""


def _body_data(body: LensBody) -> dict[str, Json]:
    figures = (
        body.centre_thickness,
        body.thickest,
        body.thickest_angle,
        body.thinnest,
        body.thinnest_angle,
        body.volume,
        body.weight_g,
    )
    return {name: round(figure, 2) for name, figure in zip(_BODY, figures, strict=True)}


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
