"""Powers by calculation: in the other form, along a meridian, laid on one another, and where the lens is worn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.lens_options import PowerOptions, power_alone
from shopledger.cli.options import OptionSet, as_json, option, options
from shopledger.cli.output import Fields, Json, show
from shopledger.cli.params import MM, NUMBER, RX, Word
from shopledger.cli.prompts import lacking
from shopledger.errors import OpticsError
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prescription import EyePrescription


class WearOptions(OptionSet):
    """How a lens is worn: how far from the eye, tilted and wrapped before it."""

    tested_at: float | None = option("--tested-at", type=MM, help="Vertex distance at which the power was found.")
    worn_at: float | None = option("--worn-at", type=MM, help="Vertex distance at which the lens is worn.")
    tilt: float | None = option("--tilt", type=NUMBER, help="Pantoscopic tilt in degrees: lower rim toward the cheek.")
    wrap: float | None = option("--wrap", type=NUMBER, help="Wrap angle in degrees: outer rim toward the temple.")
    eye: Side | None = option("--eye", type=Word(Side), help="Which eye; needed with --tilt or --wrap.")
    index: float = option(
        "--index", type=NUMBER, default="1.5", show_default=True, help="Refractive index of the lens."
    )

    @property
    def leaning(self) -> bool:
        """Whether it does not stand upright before the eye."""
        return self.tilt is not None or self.wrap is not None


@click.command()
@options(PowerOptions, "power")
@as_json
def transpose(power: PowerOptions, as_json: bool) -> None:
    """Write a power in both forms of the cylinder.

    Example:
    shopledger optics transpose --power '-2.50 -1.25 x 090'
    """
    data, rows = both_forms(power.wanted)
    show(as_json, data, Fields("", rows))


@click.command()
@options(PowerOptions, "power")
@click.option("--at", type=NUMBER, required=True, help="The meridian in degrees, standard notation.")
@as_json
def meridian(power: PowerOptions, at: float, as_json: bool) -> None:
    """Work out the power along one meridian.

    Example:
    shopledger optics meridian --power '-2.50 -1.25 x 090' --at 30
    """
    from shopledger.optics.notation import write_power
    from shopledger.optics.power import power_in_meridian

    whole = power.wanted
    along = power_in_meridian(whole, at)
    data: dict[str, Json] = {"power": write_power(whole), "meridian": at, "power_in_meridian": round(along, 4)}
    show(as_json, data, Fields("", (("power", write_power(whole)), (f"along {at:g}°", f"{along + 0.0:+.2f} D"))))


@click.command("cross")
@click.option(
    "--power",
    "powers",
    type=RX,
    multiple=True,
    required=True,
    help='One of the powers, as in --power "-2.50 -1.25 x 090"; give two or more.',
)
@as_json
def crossed(powers: tuple[EyePrescription, ...], as_json: bool) -> None:
    """Lay several powers on one another.

    They act as one thin lens, whose power is shown in both forms.

    Example:
    shopledger optics cross --power '-2.50 DS' --power '+1.00 -0.50 x 180'
    """
    from shopledger.optics.notation import write_power
    from shopledger.optics.power import cross

    if len(powers) == 1:
        raise click.UsageError("--power is given once. Give it again for each further power.")
    single = [power_alone(power) for power in powers]
    together = cross(*single)
    data, rows = both_forms(together)
    written = [write_power(power) for power in single]
    numbers: dict[str, Json] = {"sphere": round(together.sphere, 4), "cylinder": round(together.cylinder, 4)}
    axis = None if together.axis is None else round(together.axis, 2)
    show(
        as_json,
        {"powers": written, **data, **numbers, "axis": axis},
        Fields("", (("powers", " + ".join(written)), *rows)),
    )


def both_forms(power: SphereCylinder) -> tuple[dict[str, Json], tuple[tuple[str, str], ...]]:
    """Give a power with minus and with plus cylinder, and its mean: for JSON, and for reading."""
    from shopledger.optics.notation import write_dioptres, write_power

    minus, plus = write_power(power.as_minus_cylinder()), write_power(power.as_plus_cylinder())
    mean = power.spherical_equivalent
    rows = (
        ("minus cylinder", minus),
        ("plus cylinder", plus),
        ("spherical equivalent", f"{write_dioptres(mean)} D"),
    )
    return {"minus_cylinder": minus, "plus_cylinder": plus, "spherical_equivalent": round(mean, 4)}, rows


@click.command()
@options(PowerOptions, "power")
@options(WearOptions, "worn")
@as_json
def vertex(power: PowerOptions, worn: WearOptions, as_json: bool) -> None:
    """Work out the power where the lens is worn.

    With both distances: the power that does the same work there, and the other way round. With tilt or wrap: what the
    eye meets through the leaning lens, and what to make so that it meets the power, by the trade's thin-lens formula;
    where that is off, as beyond 15 degrees of tilt or 25 of wrap, an exact ray says by how much.

    Example:
    shopledger optics vertex --power '-8.00 DS' --tested-at 14 --worn-at 12
    """
    from shopledger.optics.notation import write_power

    whole = power.wanted
    _complete(worn)
    moved, data, rows = _moved(whole, worn.tested_at, worn.worn_at)
    if worn.leaning and worn.eye is not None:
        more, more_rows = _leaning(moved, worn.tilt or 0.0, worn.wrap or 0.0, worn.eye, worn.index)
        data, rows = {**data, **more}, (*rows, *more_rows)
    else:
        data |= {"met": None, "to_make": None, "exact": None}
    show(as_json, {"power": write_power(whole), **data}, Fields("", rows))


def _complete(worn: WearOptions) -> None:
    """Name the option that is missing."""
    if (worn.tested_at is None) != (worn.worn_at is None):
        missing = "--tested-at" if worn.tested_at is None else "--worn-at"
        lacking(missing, f"{missing} is missing. Give --tested-at and --worn-at together.")
    if worn.tested_at is None and not worn.leaning:
        lacking("--tested-at", "--tested-at is missing. Give it with --worn-at, or give --tilt or --wrap.")
    if worn.leaning and worn.eye is None:
        lacking("--eye", "--eye is missing. Tilt and wrap together act differently on right and left.")


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
    power: SphereCylinder, tilt: float, wrap: float, eye: Side, index: float
) -> tuple[dict[str, Json], tuple[tuple[str, str], ...]]:
    """Give what the eye meets through the leaning lens, and what to make for it."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.vertex import as_worn_power, power_for_wear

    position = (eye, tilt, wrap, index)
    met, to_make = as_worn_power(power, *position), power_for_wear(power, *position)
    data = {"eye": eye.value, "tilt": tilt, "wrap": wrap, "index": index}
    rows = (
        ("position", f"{eye.value} eye, tilt {tilt:g}°, wrap {wrap:g}°, index {index:g}"),
        ("met by the eye if made so", write_power(met)),
        ("to make, so that the eye meets it", write_power(to_make)),
    )
    exact, exact_rows = _by_a_ray(power, tilt, wrap, eye, index)
    return {**data, "met": _written(met), "to_make": _written(to_make), "exact": exact}, (*rows, *exact_rows)


def _by_a_ray(
    power: SphereCylinder, tilt: float, wrap: float, eye: Side, index: float
) -> tuple[Json, tuple[tuple[str, str], ...]]:
    """Give the same by an exact ray through a usual lens, in words where the formula is off or leaves its range."""
    from shopledger.optics.line_of_sight import WORTH_SAYING, beyond_formula, exact_power_for_wear, formula_error
    from shopledger.optics.notation import write_power

    try:
        met, off = formula_error(power, eye, tilt, wrap, index)
        to_make = exact_power_for_wear(power, eye, tilt, wrap, index)
    except OpticsError:
        return None, (("by an exact ray", "none can be followed through such a lens: do not rely on the formula"),)
    data: Json = {"met": _written(met), "to_make": _written(to_make), "formula_off": round(off, 4)}
    if not beyond_formula(tilt, wrap) and off < WORTH_SAYING:
        return data, ()
    return data, (
        ("the formula is off by", f"{off:.2f} D here, against an exact ray through a lens of usual form"),
        ("met by that ray", write_power(met)),
        ("to make by that ray", write_power(to_make)),
    )


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
