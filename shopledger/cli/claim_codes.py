"""Claim codes, looked up without a ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.lens_options import eye_from
from shopledger.cli.options import OptionSet, as_json, option, options
from shopledger.cli.output import Column, Json, Table, show
from shopledger.cli.params import ADD, AXIS, NUMBER, POWER, PROGRESSIVE_BASE, RX, Word
from shopledger.cli.prompts import lacking, tell
from shopledger.ledger.catalogue import Design, ExtraKind
from shopledger.optics.materials import MaterialClass

if TYPE_CHECKING:
    from shopledger.ledger.claims.code_picker import CodePick
    from shopledger.optics.prescription import EyePrescription


KINDS = ", ".join(kind.value for kind in ExtraKind)


@click.group()
def claim() -> None:
    """Look up claim codes for lenses."""


class LensCodeOptions(OptionSet):
    """One lens: its power, as a whole or part by part, and what it is made of."""

    design: Design = option("--lens", type=Word(Design), required=True, help="How the lens is built.")
    power: EyePrescription | None = option(
        "--power", type=RX, help='The eye as a whole, as in --power "-2.50 -1.25 x 090 add 2.00".'
    )
    sphere: float | None = option("--sphere", type=POWER, help="Sphere, as in --sphere -2.50.")
    cylinder: float | None = option("--cylinder", type=POWER, help="Cylinder, in the form as written.")
    axis: int | None = option("--axis", type=AXIS, help="Axis of the cylinder, 1 to 180.")
    add: float | None = option("--add", type=ADD, help="Addition.")
    balance: bool = option("--balance", is_flag=True, help="The lens only balances the other one.")
    material: MaterialClass = option(
        "--material", type=Word(MaterialClass), default=MaterialClass.PLASTIC, help="Class of the material."
    )
    index: float = option(
        "--index", type=NUMBER, default="1.5", show_default=True, help="Refractive index of the material."
    )
    extras: tuple[ExtraKind, ...] = option(
        "--extra", type=Word(ExtraKind), multiple=True, help=f"An extra: {KINDS}; may repeat."
    )
    progressive_base: Design = option(
        "--progressive-base", type=PROGRESSIVE_BASE, default=Design.BIFOCAL, help="Whose codes a progressive takes."
    )

    @property
    def eye(self) -> EyePrescription:
        """The eye; where none was given, the option that is missing is named."""
        parts = (self.sphere, self.cylinder, self.axis, self.add)
        eye = eye_from(self.power, *parts, balance=self.balance, side="")
        if eye is None:
            lacking("--power", "--power is missing. Give it, or --sphere with --cylinder and --axis.")
        return eye


@claim.command()
@options(LensCodeOptions)
@as_json
def code(given: LensCodeOptions, as_json: bool) -> None:
    """Find the codes of one lens.

    A power between the published bands is never rounded into one: the codes to choose from are named instead.

    Example:
    shopledger claim code --lens single-vision --power '-2.50 -1.25 x 090' --extra tint
    """
    from shopledger.cli.views.figures import Outside
    from shopledger.ledger.canonical import Shape
    from shopledger.ledger.claims.code_picker import (
        CodePick,
        base_pick,
        design_pick,
        extra_pick,
        high_add_pick,
        material_pick,
    )
    from shopledger.ledger.claims.code_table import RELEASE, RELEASE_CAUTION

    eye, design = given.eye, given.design
    picks = {
        "lens": base_pick(design, eye.power, balance=eye.balance, progressive_base=given.progressive_base),
        **({"design": design_pick(design)} if design is Design.PROGRESSIVE else {}),
        "add": high_add_pick(design, eye.add, given.progressive_base),
        "material": material_pick(given.material, given.index),
        **{kind.value: extra_pick(kind) for kind in given.extras},
    }
    out = Outside({CodePick: Shape(left_out={"release"})})
    data: list[Json] = [{"charge": charge, **out.of(pick)} for charge, pick in picks.items()]
    rows = [(charge, pick.code or "none", _candidates(pick), _why(pick)) for charge, pick in picks.items()]
    columns = (Column("charge"), Column("code", whole=True), Column("to choose from"), Column("why"))
    show(as_json, {"release": RELEASE, "picks": data}, Table("", columns, rows))
    tell(f"From {RELEASE}. {RELEASE_CAUTION} The plan's own rules decide.")


def _candidates(pick: CodePick) -> str:
    return "" if pick.settled else " or ".join(pick.candidates)


def _why(pick: CodePick) -> str:
    return f"{pick.reason}. {pick.note}" if pick.note else pick.reason
