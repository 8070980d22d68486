"""Sets of options for lenses that several commands share: a power, an eye, measurements, claim codes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopledger.cli.options import OptionSet, option
from shopledger.cli.params import ADD, AXIS, MM, NEAR_PD, POWER, PRISM, RX, Word
from shopledger.cli.prompts import lacking
from shopledger.errors import RefusedError
from shopledger.ledger.orders import EyeRequest, Making, OffStep
from shopledger.optics.sides import Side
from shopledger.typed.measurements import measurements_of

if TYPE_CHECKING:
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prescription import EyePrescription
    from shopledger.optics.prism import Prism


class PowerOptions(OptionSet):
    """One power, as a whole or part by part."""

    power: EyePrescription | None = option(
        "--power", type=RX, help='The whole power, as in --power "-2.50 -1.25 x 090".'
    )
    sphere: float | None = option("--sphere", type=POWER, help="Sphere, as in --sphere -2.50.")
    cylinder: float | None = option("--cylinder", type=POWER, help="Cylinder, in plus or minus form.")
    axis: int | None = option("--axis", type=AXIS, help="Axis of the cylinder, 1 to 180.")

    @property
    def wanted(self) -> SphereCylinder:
        """The power; where none was given, the option that is missing is named."""
        eye = eye_from(self.power, self.sphere, self.cylinder, self.axis, side="")
        if eye is None:
            lacking("--power", "--power is missing. Give it, or --sphere with --cylinder and --axis.")
        return power_alone(eye)


class EyeOptions(OptionSet):
    """What is written for one eye: as a whole, or part by part."""

    whole: EyePrescription | None = option(
        "--{side}", type=RX, help='The {side} eye as a whole, as in --{side} "-2.50 -1.25 x 090 add 2.00".'
    )
    sphere: float | None = option("--{side}-sphere", type=POWER, help="Sphere of the {side} eye.")
    cylinder: float | None = option("--{side}-cylinder", type=POWER, help="Cylinder of the {side} eye.")
    axis: int | None = option("--{side}-axis", type=AXIS, help="Axis of the {side} eye, 1 to 180.")
    add: float | None = option("--{side}-add", type=ADD, help="Addition of the {side} eye.")
    prism: tuple[Prism, ...] = option(
        "--{side}-prism", type=PRISM, multiple=True, help="Prism of the {side} eye, as in '2 BU'; may repeat."
    )
    balance: bool = option("--{side}-balance", is_flag=True, help="The {side} lens only balances the other one.")

    def eye(self, side: str) -> EyePrescription | None:
        """Put the eye together; None where nothing was given."""
        parts = (self.sphere, self.cylinder, self.axis, self.add, self.prism)
        return eye_from(self.whole, *parts, balance=self.balance, side=side)


class MeasurementOptions(OptionSet):
    """Where the wearer looks through the lenses."""

    pd: float | None = option("--pd", type=MM, help="PD of both eyes together.")
    pd_right: float | None = option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge.")
    pd_left: float | None = option("--pd-left", type=MM, help="PD of the left eye.")
    near_pd: tuple[float, ...] | None = option(
        "--near-pd", type=NEAR_PD, help="Near PD of both eyes together, or of each as in 27.5/31."
    )
    height: float | None = option("--height", type=MM, help="Fitting height of both eyes.")
    height_right: float | None = option("--height-right", type=MM, help="Fitting height of the right eye.")
    height_left: float | None = option("--height-left", type=MM, help="Fitting height of the left eye.")

    @property
    def measurements(self) -> Measurements | None:
        """The measurements; None where no PD was given."""
        heights = either(self.height, self.height_right, self.height_left)
        return measured(self.pd, (self.pd_right, self.pd_left), self.near_pd or (), heights)


class EachLensOptions(OptionSet):
    """What one lens of a pair has of its own."""

    only: Side | None = option(
        "--only", type=Word(Side), help="Make a lens for this eye alone; the other one is kept, or --other says what."
    )
    other: Making | None = option(
        "--other", type=Word(Making), help="What the other eye has then: the lens kept, or none."
    )
    right_lens: str = option("--right-lens", metavar="CODE", default="", help="Another lens for the right eye.")
    left_lens: str = option("--left-lens", metavar="CODE", default="", help="Another lens for the left eye.")
    right_extras: tuple[str, ...] = option(
        "--right-extra", metavar="CODE", multiple=True, help="An upgrade on the right lens alone; may be given again."
    )
    left_extras: tuple[str, ...] = option(
        "--left-extra", metavar="CODE", multiple=True, help="An upgrade on the left lens alone; may be given again."
    )
    right_balance: EyePrescription | None = option(
        "--right-balance", type=RX, help="Power of a right lens that only balances the other."
    )
    left_balance: EyePrescription | None = option(
        "--left-balance", type=RX, help="Power of a left lens that only balances the other."
    )
    off_step: OffStep | None = option(
        "--off-step",
        type=Word(OffStep),
        help="What is made where a power lies between two quarters: exact, the one with less plus, or with more.",
    )

    def eyes(self) -> tuple[EyeRequest, EyeRequest]:
        """Give what is asked for the right and the left eye alone."""
        if self.other is not None and self.only is None:
            raise click.UsageError("--other belongs to --only. Name the eye that gets a new lens.")
        if self.other is Making.NEW:
            raise click.UsageError("--other is kept or none. Leave both out to make both lenses new.")
        absent = {} if self.only is None else {self.only.other: self.other or Making.KEPT}
        right, left = (
            EyeRequest(absent.get(side, Making.NEW), lens, extras, None if balance is None else power_alone(balance))
            for side, lens, extras, balance in (
                (Side.RIGHT, self.right_lens, self.right_extras, self.right_balance),
                (Side.LEFT, self.left_lens, self.left_extras, self.left_balance),
            )
        )
        return right, left


class CodeOptions(OptionSet):
    """Claim codes that the owner chooses."""

    right_code: str = option(
        "--right-code", metavar="CODE", default="", help="Claim code you choose for the right lens."
    )
    left_code: str = option("--left-code", metavar="CODE", default="", help="Claim code you choose for the left lens.")


def power_alone(eye: EyePrescription) -> SphereCylinder:
    """Give the power of what was typed for one eye where nothing else has a meaning."""
    if eye.balance or eye.prism or eye.add is not None:
        raise RefusedError("power", "more than a power", "only a power is wanted here", "Leave out add and prism.")
    return eye.power


def eye_from(
    whole: EyePrescription | None,
    sphere: float | None,
    cylinder: float | None,
    axis: int | None,
    add: float | None = None,
    prism: tuple[Prism, ...] = (),
    *,
    balance: bool = False,
    side: str,
) -> EyePrescription | None:
    """Put one eye together from its options; None where nothing was given."""
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prescription import EyePrescription

    parts = [part for part in (sphere, cylinder, axis, add) if part is not None]
    if whole is not None:
        if parts or prism or balance:
            name = f"--{side}" if side else "--power"
            raise click.UsageError(f"{name} is given as a whole and in parts. Give one of them.")
        return whole
    if not parts and not prism and not balance:
        return None
    if sphere is None and not balance:
        name = f"--{side}-sphere" if side else "--sphere"
        lacking(name, f"{name} is missing. Give it; a plano lens is 0.00.")
    return EyePrescription(SphereCylinder(sphere or 0.0, cylinder or 0.0, axis), add, prism, balance)


def either(both: float | None, right: float | None, left: float | None) -> tuple[float | None, float | None]:
    """Give what was typed for each eye, and for one of which nothing was typed what was typed for both."""
    return both if right is None else right, both if left is None else left


def measured(
    pd: float | None,
    mono: tuple[float | None, float | None],
    near: tuple[float, ...],
    heights: tuple[float | None, float | None],
) -> Measurements | None:
    """Put measurements together from a PD of both eyes or of each, heights, and a near PD of both, of each, or none."""
    right, left = mono
    if pd is None and right is None and left is None:
        if near or any(heights):
            lacking("--pd", "--pd is missing. Give it with the height and the near PD.")
        return None
    if pd is not None and (right is not None or left is not None):
        raise click.UsageError("--pd is given for both eyes and for one. Give one of them.")
    if pd is not None:
        return measurements_of((pd,), near, heights)
    if right is None or left is None:
        raise click.UsageError("--pd-right and --pd-left are given together.")
    return measurements_of((right, left), near, heights)
