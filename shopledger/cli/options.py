"""Options that several commands share, and how their values become one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from shopledger.cli.params import ADD, AXIS, DAY, MM, POWER, PRISM, RX, STATE, ZIP
from shopledger.errors import RefusedError

if TYPE_CHECKING:
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.power import SphereCylinder
    from shopledger.optics.prescription import EyePrescription
    from shopledger.optics.prism import Prism

Command = TypeVar("Command", bound=Callable[..., Any])

SIGNED = {"ignore_unknown_options": True}
"""Settings of a command whose argument is an amount: one below nought is no option, and is refused as an amount."""

as_json = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")

accept = click.option(
    "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
)

dry_run = click.option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")

into_folder = click.option(
    "--into",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    required=True,
    help="Folder to write the file into; it is made if it is missing.",
)


archive = click.option("--archive", is_flag=True, help="Write it as PDF/A-2B, for keeping; needs the extra 'archive'.")


def made(folder: Path) -> Path:
    """Make the folder if it is missing, for its owner alone."""
    from shopledger.files import NotWrittenError

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise NotWrittenError(folder, reason, "Choose a folder that you may write to.") from error
    return folder


existing_file = click.Path(exists=True, dir_okay=False, path_type=Path)


def together(*options: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """Put options on a command in the order in which its help shall show them."""

    def put_on(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return put_on


def day_option(words: str, name: str = "--day") -> Callable[[Command], Command]:
    """Make the option for the day on which something happened."""
    return click.option(name, type=DAY, help=f"{words} Otherwise today.")


address_options = together(
    click.option("--street", metavar="TEXT", help="Street and number."),
    click.option("--second-line", metavar="TEXT", help="Second line of the address."),
    click.option("--city", metavar="TEXT", help="City."),
    click.option("--state", type=STATE, help="State, as its two-letter postal code."),
    click.option("--zip", "postcode", type=ZIP, help="ZIP code."),
)

power_options = together(
    click.option("--power", type=RX, help='The whole power, as in --power "-2.50 -1.25 x 090".'),
    click.option("--sphere", type=POWER, help="Sphere, as in --sphere -2.50."),
    click.option("--cylinder", type=POWER, help="Cylinder, in plus or minus form."),
    click.option("--axis", type=AXIS, help="Axis of the cylinder, 1 to 180."),
)


def eye_options(side: str) -> Callable[[Command], Command]:
    """Make the options for what is written for one eye: as a whole, or part by part."""
    return together(
        click.option(
            f"--{side}", type=RX, help=f'The {side} eye as a whole, as in --{side} "-2.50 -1.25 x 090 add 2.00".'
        ),
        click.option(f"--{side}-sphere", type=POWER, help=f"Sphere of the {side} eye."),
        click.option(f"--{side}-cylinder", type=POWER, help=f"Cylinder of the {side} eye."),
        click.option(f"--{side}-axis", type=AXIS, help=f"Axis of the {side} eye, 1 to 180."),
        click.option(f"--{side}-add", type=ADD, help=f"Addition of the {side} eye."),
        click.option(
            f"--{side}-prism", type=PRISM, multiple=True, help=f"Prism of the {side} eye, as in '2 BU'; may repeat."
        ),
        click.option(f"--{side}-balance", is_flag=True, help=f"The {side} lens only balances the other one."),
    )


measurement_options = together(
    click.option("--pd", type=MM, help="PD of both eyes together."),
    click.option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge."),
    click.option("--pd-left", type=MM, help="PD of the left eye."),
    click.option("--near-pd", type=MM, help="Near PD of both eyes together."),
    click.option("--height", type=MM, help="Fitting height of both eyes."),
    click.option("--height-right", type=MM, help="Fitting height of the right eye."),
    click.option("--height-left", type=MM, help="Fitting height of the left eye."),
)

code_options = together(
    click.option("--right-code", metavar="CODE", default="", help="Claim code you choose for the right lens."),
    click.option("--left-code", metavar="CODE", default="", help="Claim code you choose for the left lens."),
)


def power_from(given: dict[str, Any]) -> SphereCylinder | None:
    """Take the power out of the values of `power_options`; None where nothing was given."""
    eye = eye_from(given.pop("power"), given.pop("sphere"), given.pop("cylinder"), given.pop("axis"), side="")
    return None if eye is None else power_alone(eye)


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
        raise click.UsageError(f"{name} is missing. Give it; a plano lens is 0.00.")
    return EyePrescription(SphereCylinder(sphere or 0.0, cylinder or 0.0, axis), add, prism, balance)


def take_eye(given: dict[str, Any], side: str) -> EyePrescription | None:
    """Take one eye out of the values of `eye_options`."""
    parts = {name: given.pop(f"{side}_{name}") for name in ("sphere", "cylinder", "axis", "add", "prism", "balance")}
    return eye_from(given.pop(side), **parts, side=side)


def take_measurements(given: dict[str, Any]) -> Measurements | None:
    """Take the measurements out of the values of `measurement_options`; None where no PD was given."""
    pd, near = given.pop("pd"), given.pop("near_pd")
    mono = given.pop("pd_right"), given.pop("pd_left")
    both = given.pop("height")
    heights = tuple(both if one is None else one for one in (given.pop("height_right"), given.pop("height_left")))
    return measured(pd, mono, near, heights)


def measured(
    pd: float | None,
    mono: tuple[float | None, float | None],
    near: float | None,
    heights: tuple[float | None, ...],
) -> Measurements | None:
    """Put measurements together from a PD of both eyes or of each, heights, and a near PD."""
    from shopledger.optics.measurements import EyeMeasurements, Measurements

    right, left = mono
    if pd is None and right is None and left is None:
        if near is not None or any(heights):
            raise click.UsageError("--pd is missing. Give it with the height and the near PD.")
        return None
    if pd is not None and (right is not None or left is not None):
        raise click.UsageError("--pd is given for both eyes and for one. Give one of them.")
    if pd is not None:
        return Measurements.from_binocular(pd, near, *heights)
    if right is None or left is None:
        raise click.UsageError("--pd-right and --pd-left are given together.")
    half = None if near is None else near / 2
    return Measurements(EyeMeasurements(right, half, heights[0]), EyeMeasurements(left, half, heights[1]))
