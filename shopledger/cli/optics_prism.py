"""Prism by calculation: away from a lens's centre, combined and taken apart, shared, and unlike between the eyes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.lens_options import PowerOptions, power_alone
from shopledger.cli.options import as_json, options
from shopledger.cli.output import Column, Fields, Json, Table, show
from shopledger.cli.params import MM, NUMBER, PRISM, RX, Word
from shopledger.cli.prompts import lacking
from shopledger.cli.views.figures import toward
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.prescription import EyePrescription
    from shopledger.optics.prism import Prism, PrismVector

_LEAST = 0.005
"""What two decimals still show. [prism dioptres]"""

eye_option = click.option("--eye", type=Word(Side), required=True, help="Which eye: the nose lies on the other side.")


@click.command()
@options(PowerOptions, "power")
@eye_option
@click.option("--inward", type=MM, default="0", show_default=True, help="From the optical centre toward the nose.")
@click.option("--upward", type=MM, default="0", show_default=True, help="From the optical centre upward.")
@as_json
def prism(power: PowerOptions, eye: Side, inward: float, upward: float, as_json: bool) -> None:
    """Work out the prism of a lens away from its centre.

    By Prentice's rule, for any axis of the cylinder. Outward and downward are negative, as in --upward -8.

    Example:
    shopledger optics prism --sphere -2.50 --eye right --inward 2
    """
    from shopledger.optics.notation import write_power
    from shopledger.optics.prism import prism_at

    whole = power.wanted
    found = prism_at(whole, eye, inward, upward)
    data: dict[str, Json] = {"power": write_power(whole), **_vector_data(found)}
    where = f"{toward(inward, 'inward', 'outward')}, {toward(upward, 'up', 'down')}"
    rows = (("power", write_power(whole)), ("point", where), *_vector_rows(found, eye))
    show(as_json, data, Fields("", rows))


@click.command("prism-combine")
@eye_option
@click.option("--prism", "prisms", type=PRISM, multiple=True, help="A prism with its base, as in '2 BU'; may repeat.")
@click.option("--at", "angled", metavar="TEXT", multiple=True, help="One with an angle, as in '2.5 at 37'; may repeat.")
@as_json
def combined(eye: Side, prisms: tuple[Prism, ...], angled: tuple[str, ...], as_json: bool) -> None:
    """Add prisms before one eye, or take one apart.

    The sum is shown as one amount with the angle of its base, and as base up or down with base in or out. Angles run
    from 0 to 360, counter-clockwise for who faces the wearer.

    Example:
    shopledger optics prism-combine --eye right --prism '2 BU' --prism '1.5 BI'
    """
    from shopledger.optics.notation import read_resultant, write_resultant
    from shopledger.optics.prism import combine

    if not prisms and not angled:
        lacking("--prism", "--prism is missing. Give one or more, or a prism with its angle behind --at.")
    found = sum((read_resultant(text, eye) for text in angled), combine(prisms))
    angle = None if found.amount < _LEAST else round(found.base_angle(eye), 2)
    data: dict[str, Json] = {"eye": eye.value, **_vector_data(found), "angle": angle}
    show(as_json, data, Fields("", (*_vector_rows(found, eye), ("as one", write_resultant(found, eye)))))


@click.command("prism-split")
@click.option("--prism", "prisms", type=PRISM, multiple=True, required=True, help="As in '3 BU'; may repeat.")
@eye_option
@click.option("--share", type=NUMBER, default="50", show_default=True, help="Per cent that this eye keeps.")
@as_json
def split(prisms: tuple[Prism, ...], eye: Side, share: float, as_json: bool) -> None:
    """Share one prism over both eyes.

    Together both lenses do what the one prism would do before the eye that is named: base in stays in on both sides,
    base up before one eye is base down before the other.

    Example:
    shopledger optics prism-split --eye right --prism '3 BU' --share 40
    """
    from shopledger.optics.prism import combine, split_prism
    from shopledger.optics.refusals import within

    keeps, gives = split_prism(combine(prisms), within("share", share, 0, 100, "per cent") / 100)
    both = {eye: keeps, eye.other: gives}
    data: dict[str, Json] = {side.value: _vector_data(both[side]) for side in Side}
    rows = [(side.value, _words(both[side])) for side in Side]
    show(as_json, data, Table("", (Column("eye"), Column("prism")), rows))


@click.command("prism-imbalance")
@click.option("--right", type=RX, required=True, help='Right lens, as in --right "-2.50 -1.25 x 090".')
@click.option("--left", type=RX, required=True, help="Left lens.")
@click.option("--below", type=MM, default="8", show_default=True, help="Reading point under the optical centres.")
@click.option("--inward", type=MM, default="0", show_default=True, help="Reading point toward the nose of them.")
@as_json
def imbalance(right: EyePrescription, left: EyePrescription, below: float, inward: float, as_json: bool) -> None:
    """Work out how prism differs between the eyes.

    Up and down the difference counts, across what both eyes have together.

    Example:
    shopledger optics prism-imbalance --right '-2.50 DS' --left '-1.00 DS'
    """
    from shopledger.optics.notation import write_power
    from shopledger.optics.prism import imbalance_at, prism_at

    powers = {Side.RIGHT: power_alone(right), Side.LEFT: power_alone(left)}
    apart = imbalance_at(powers[Side.RIGHT], powers[Side.LEFT], below, inward)
    each = {side: prism_at(power, side, inward, -below) for side, power in powers.items()}
    data: dict[str, Json] = {
        **{side.value: _vector_data(found) for side, found in each.items()},
        "vertical": round(apart.upward, 4),
        "horizontal": round(apart.inward, 4),
    }
    lenses = [(side.value, write_power(powers[side]), _words(each[side])) for side in Side]
    columns = (Column("eye"), Column("power"), Column("prism at the point"))
    more = "more base up before the"
    rows = (
        ("vertical imbalance", _unlike(apart.upward, f"{more} right eye", f"{more} left eye")),
        ("across, both together", _unlike(apart.inward, "base in", "base out")),
    )
    show(as_json, data, Table("", columns, lenses), Fields("", rows))


def _vector_data(found: PrismVector) -> dict[str, Json]:
    return {
        "base_in": round(found.inward, 4),
        "base_up": round(found.upward, 4),
        "amount": round(found.amount, 4),
        "written": _written(found),
    }


def _vector_rows(found: PrismVector, eye: Side) -> tuple[tuple[str, str], ...]:
    return (("eye", eye.value), ("prism", _words(found)), ("together", f"{found.amount:.2f} prism dioptres"))


def _written(found: PrismVector) -> list[str]:
    """Write the vertical and the horizontal part; what two decimals would show as nothing is left out."""
    from shopledger.optics.notation import write_prism

    return [write_prism(part) for part in found.as_prisms() if part.amount >= _LEAST]


def _words(found: PrismVector) -> str:
    return ", ".join(_written(found)) or "none"


def _unlike(amount: float, plus: str, minus: str) -> str:
    if abs(amount) < _LEAST:
        return "none"
    return f"{abs(amount):.2f} prism dioptres {plus if amount > 0 else minus}"
