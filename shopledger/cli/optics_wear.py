"""The power where a lens is worn: nearer or farther, tilted and wrapped before the eye."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.optics_powers import wanted_power
from shopledger.cli.options import as_json, power_options, together
from shopledger.cli.output import Fields, Json, show
from shopledger.cli.params import MM, NUMBER, Word
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.power import SphereCylinder

wear_options = together(
    click.option("--tilt", type=NUMBER, help="Pantoscopic tilt in degrees: lower rim toward the cheek."),
    click.option("--wrap", type=NUMBER, help="Wrap angle in degrees: outer rim toward the temple."),
    click.option("--eye", type=Word(Side), help="Which eye; needed with --tilt or --wrap."),
    click.option("--index", type=NUMBER, default="1.5", show_default=True, help="Refractive index of the lens."),
)


@click.command()
@power_options
@click.option("--tested-at", type=MM, help="Vertex distance at which the power was found.")
@click.option("--worn-at", type=MM, help="Vertex distance at which the lens is worn.")
@wear_options
@as_json
def vertex(tested_at: float | None, worn_at: float | None, as_json: bool, **given: Any) -> None:
    """Work out the power where the lens is worn.

    With both distances: the power that does the same work there, and the other way round. With tilt or wrap: what the
    eye meets through the leaning lens, and what to make so that it meets the power.
    """
    from shopledger.optics.notation import write_power

    power = wanted_power(given)
    leaning = given["tilt"] is not None or given["wrap"] is not None
    _complete(tested_at, worn_at, given["eye"], leaning=leaning)
    worn, data, rows = _moved(power, tested_at, worn_at)
    if leaning:
        more, more_rows = _leaning(worn, **given)
        data, rows = {**data, **more}, (*rows, *more_rows)
    else:
        data |= {"met": None, "to_make": None}
    show(as_json, {"power": write_power(power), **data}, Fields("", rows))


def _complete(tested_at: float | None, worn_at: float | None, eye: Side | None, *, leaning: bool) -> None:
    """Name the option that is missing."""
    if (tested_at is None) != (worn_at is None):
        missing = "--tested-at" if tested_at is None else "--worn-at"
        raise click.UsageError(f"{missing} is missing. Give --tested-at and --worn-at together.")
    if tested_at is None and not leaning:
        raise click.UsageError("--tested-at is missing. Give it with --worn-at, or give --tilt or --wrap.")
    if leaning and eye is None:
        raise click.UsageError("--eye is missing. Tilt and wrap together act differently on right and left.")


def _moved(
    power: SphereCylinder, tested_at: float | None, worn_at: float | None
) -> tuple[SphereCylinder, dict[str, Json], tuple[tuple[str, str], ...]]:
    """Move the power from one distance to the other, and the other way round."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.refusals import within
    from shopledger.optics.vertex import moved_power

    data: dict[str, Json] = {"tested_at": tested_at, "worn_at": worn_at}
    if tested_at is None or worn_at is None:
        data |= {"worn": write_power(power), **_numbers(power), "other_way": None}
        return power, data, (("power", write_power(power)),)
    nearer = within("vertex distance tested at", tested_at, 0, 40, "mm") - within(
        "vertex distance worn at", worn_at, 0, 40, "mm"
    )
    worn, back = moved_power(power, nearer), moved_power(power, -nearer)
    rows = (
        (f"found at {tested_at:g} mm", write_power(power)),
        (f"worn at {worn_at:g} mm", write_power(worn)),
        (f"the other way, {worn_at:g} to {tested_at:g} mm", f"{write_power(power)} becomes {write_power(back)}"),
    )
    return worn, {**data, "worn": write_power(worn), **_numbers(worn), "other_way": write_power(back)}, rows


def _leaning(
    power: SphereCylinder, tilt: float | None, wrap: float | None, eye: Side, index: float
) -> tuple[dict[str, Json], tuple[tuple[str, str], ...]]:
    """Give what the eye meets through the leaning lens, and what to make for it."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.vertex import as_worn_power, power_for_wear

    position = (eye, tilt or 0.0, wrap or 0.0, index)
    met, to_make = as_worn_power(power, *position), power_for_wear(power, *position)
    data = {"eye": eye.value, "tilt": tilt or 0.0, "wrap": wrap or 0.0, "index": index}
    rows = (
        ("position", f"{eye.value} eye, tilt {tilt or 0:g}°, wrap {wrap or 0:g}°, index {index:g}"),
        ("met by the eye if made so", write_power(met)),
        ("to make, so that the eye meets it", write_power(to_make)),
    )
    return {**data, "met": _written(met), "to_make": _written(to_make)}, rows


def _numbers(power: SphereCylinder) -> dict[str, Json]:
    """Give a calculated power as numbers."""
    return {
        "sphere": round(power.sphere, 4),
        "cylinder": round(power.cylinder, 4),
        "axis": None if power.axis is None else round(power.axis, 2),
    }


def _written(power: SphereCylinder) -> dict[str, Json]:
    """Give a calculated power as text and as numbers."""
    from shopledger.optics.notation import write_power

    return {"written": write_power(power), **_numbers(power)}
