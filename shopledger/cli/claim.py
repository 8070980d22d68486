"""Claim codes, looked up without a ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.options import as_json, eye_from
from shopledger.cli.output import Column, Json, Table, show
from shopledger.cli.params import ADD, AXIS, NUMBER, POWER, PROGRESSIVE_BASE, RX, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import Design, ExtraKind
from shopledger.optics.materials import MaterialClass

if TYPE_CHECKING:
    from shopledger.ledger.claims.code_picker import CodePick


KINDS = ", ".join(kind.value for kind in ExtraKind)


@click.group()
def claim() -> None:
    """Look up claim codes for lenses."""


@claim.command()
@click.option("--lens", "design", type=Word(Design), required=True, help="How the lens is built.")
@click.option("--power", type=RX, help='The eye as a whole, as in --power "-2.50 -1.25 x 090 add 2.00".')
@click.option("--sphere", type=POWER, help="Sphere, as in --sphere -2.50.")
@click.option("--cylinder", type=POWER, help="Cylinder, in the form as written.")
@click.option("--axis", type=AXIS, help="Axis of the cylinder, 1 to 180.")
@click.option("--add", type=ADD, help="Addition.")
@click.option("--balance", is_flag=True, help="The lens only balances the other one.")
@click.option("--material", type=Word(MaterialClass), default=MaterialClass.PLASTIC, help="Class of the material.")
@click.option("--index", type=NUMBER, default="1.5", show_default=True, help="Refractive index of the material.")
@click.option("--extra", "extras", type=Word(ExtraKind), multiple=True, help=f"An extra: {KINDS}; may repeat.")
@click.option(
    "--progressive-base", type=PROGRESSIVE_BASE, default=Design.BIFOCAL, help="Whose codes a progressive takes."
)
@as_json
def code(
    design: Design,
    material: MaterialClass,
    index: float,
    extras: tuple[ExtraKind, ...],
    progressive_base: Design,
    as_json: bool,
    **given: Any,
) -> None:
    """Find the codes of one lens.

    A power between the published bands is never rounded into one: the codes to choose from are named instead.
    """
    from shopledger.ledger.claims.code_picker import base_pick, design_pick, extra_pick, high_add_pick, material_pick
    from shopledger.ledger.claims.code_table import RELEASE, RELEASE_CAUTION

    eye = eye_from(given.pop("power"), **given, side="")
    if eye is None:
        raise click.UsageError("--power is missing. Give it, or --sphere with --cylinder and --axis.")
    picks = {
        "lens": base_pick(design, eye.power, balance=eye.balance, progressive_base=progressive_base),
        **({"design": design_pick(design)} if design is Design.PROGRESSIVE else {}),
        "add": high_add_pick(design, eye.add, progressive_base),
        "material": material_pick(material, index),
        **{kind.value: extra_pick(kind) for kind in extras},
    }
    data: list[Json] = [
        {
            "charge": charge,
            "code": pick.code,
            "candidates": list(pick.candidates),
            "reason": pick.reason,
            "note": pick.note,
        }
        for charge, pick in picks.items()
    ]
    rows = [(charge, pick.code or "none", _candidates(pick), _why(pick)) for charge, pick in picks.items()]
    columns = (Column("charge"), Column("code", whole=True), Column("to choose from"), Column("why"))
    show(as_json, {"release": RELEASE, "picks": data}, Table("", columns, rows))
    tell(f"From {RELEASE}. {RELEASE_CAUTION} The plan's own rules decide.")


def _candidates(pick: CodePick) -> str:
    return "" if pick.settled else " or ".join(pick.candidates)


def _why(pick: CodePick) -> str:
    return f"{pick.reason}. {pick.note}" if pick.note else pick.reason
