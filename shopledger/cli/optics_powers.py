"""Powers by calculation: in the other form, along a meridian, laid on one another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.options import as_json, power_alone, power_from, power_options
from shopledger.cli.output import Fields, Json, show
from shopledger.cli.params import NUMBER, RX

if TYPE_CHECKING:
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prescription import EyePrescription


@click.command()
@power_options
@as_json
def transpose(as_json: bool, **given: Any) -> None:
    """Write a power in both forms of the cylinder."""
    data, rows = both_forms(wanted_power(given))
    show(as_json, data, Fields("", rows))


@click.command()
@power_options
@click.option("--at", type=NUMBER, required=True, help="The meridian in degrees, standard notation.")
@as_json
def meridian(at: float, as_json: bool, **given: Any) -> None:
    """Work out the power along one meridian."""
    from shopledger.optics.notation import write_power
    from shopledger.optics.power import power_in_meridian

    power = wanted_power(given)
    along = power_in_meridian(power, at)
    data: dict[str, Json] = {"power": write_power(power), "meridian": at, "power_in_meridian": round(along, 4)}
    show(as_json, data, Fields("", (("power", write_power(power)), (f"along {at:g}°", f"{along + 0.0:+.2f} D"))))


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


def wanted_power(given: dict[str, Any]) -> SphereCylinder:
    """Take the power out of the values of `power_options`, or name the option that is missing."""
    power = power_from(given)
    if power is None:
        raise click.UsageError("--power is missing. Give it, or --sphere with --cylinder and --axis.")
    return power


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
