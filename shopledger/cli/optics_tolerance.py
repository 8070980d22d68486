"""Finished lenses judged against what was ordered, quantity by quantity, with the rule for each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

import click

from shopledger.cli.ending import said
from shopledger.cli.lens_options import either, measured
from shopledger.cli.options import OptionSet, as_json, option, options
from shopledger.cli.output import show
from shopledger.cli.params import MM, NUMBER, RX, Typed, Word
from shopledger.cli.prompts import lacking
from shopledger.errors import OpticsError, RefusedError, listed, nearest
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import ANSI_Z80_1, LensType

if TYPE_CHECKING:
    from shopledger.optics.inspection import Verdict
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.prescription import EyePrescription
    from shopledger.optics.prism import PrismVector

Eyes: TypeAlias = "dict[Side, tuple[EyePrescription, EyePrescription]]"
"""What was ordered and what was measured, for each eye of which both are known."""

_FAILED = OpticsError.exit_code
_PRISM = "prism at reference point"
_OTHERS = sorted({row.quantity for row in ANSI_Z80_1.rows} - {"sphere", "cylinder", "axis"})


def read_quantity(text: str, field: str) -> str:
    """Find a quantity that is judged by its name; powers have options of their own."""
    known = {quantity.casefold(): quantity for quantity in _OTHERS}
    found = known.get(" ".join(text.split()).casefold())
    if found is None:
        near = nearest(text, _OTHERS)
        hint = f"Did you mean {listed(near)}?" if near else "Type one of them."
        raise RefusedError(field, f"'{text}'", f"it begins with {listed(_OTHERS)}", hint)
    return found


class LensPairOptions(OptionSet):
    """Both lenses, as ordered and as the lensmeter reads them."""

    right: EyePrescription | None = option(
        "--right", type=RX, help='Ordered right lens, as in --right "-2.50 -1.25 x 090 add 2.00".'
    )
    measured_right: EyePrescription | None = option("--measured-right", type=RX, help="What the lensmeter reads of it.")
    left: EyePrescription | None = option("--left", type=RX, help="Ordered left lens.")
    measured_left: EyePrescription | None = option("--measured-left", type=RX, help="What the lensmeter reads of it.")

    @property
    def eyes(self) -> Eyes:
        """What was ordered with what was measured; where one is missing its option is named."""
        found: Eyes = {}
        given = ((Side.RIGHT, self.right, self.measured_right), (Side.LEFT, self.left, self.measured_left))
        for side, ordered, read in given:
            if ordered is not None and read is not None:
                found[side] = (ordered, read)
            elif ordered is not None or read is not None:
                missing = f"--{side.value}" if ordered is None else f"--measured-{side.value}"
                lacking(missing, f"{missing} is missing. Ordered and measured belong together.")
        return found


class PlacingOptions(OptionSet):
    """PD and heights, as ordered or as measured."""

    pd: float | None = option("--{prefix}pd", type=MM, help="{words} PD of both eyes together.")
    pd_right: float | None = option("--{prefix}pd-right", type=MM, help="{words} PD of the right eye.")
    pd_left: float | None = option("--{prefix}pd-left", type=MM, help="{words} PD of the left eye.")
    height: float | None = option("--{prefix}height", type=MM, help="{words} height of both eyes.")
    height_right: float | None = option("--{prefix}height-right", type=MM, help="{words} height of the right eye.")
    height_left: float | None = option("--{prefix}height-left", type=MM, help="{words} height of the left eye.")

    def measurements(self, prefix: str) -> Measurements | None:
        """Put them together; a refusal names the options with their prefix."""
        heights = either(self.height, self.height_right, self.height_left)
        try:
            return measured(self.pd, (self.pd_right, self.pd_left), (), heights)
        except click.UsageError as error:
            raise click.UsageError(error.format_message().replace("--pd", f"--{prefix}pd")) from error


@click.command("tolerance")
@click.option("--design", type=Word(LensType), default="single vision", show_default=True, help="The kind of lens.")
@options(LensPairOptions, "lenses")
@options(PlacingOptions, "ordered", prefix="", words="Ordered")
@options(PlacingOptions, "found", prefix="measured-", words="Measured")
@click.option(
    "--also",
    type=(Typed("quantity", read_quantity), NUMBER, NUMBER),
    metavar="QUANTITY ORDERED MEASURED",
    multiple=True,
    help=f"One more, as in --also 'base curve' 6.00 6.50; may repeat: {', '.join(_OTHERS)}.",
)
@as_json
def judged(
    design: LensType,
    lenses: LensPairOptions,
    ordered: PlacingOptions,
    found: PlacingOptions,
    also: tuple[tuple[str, float, float], ...],
    as_json: bool,
) -> None:
    """Judge finished lenses against what was ordered.

    By tolerances after published summaries of ANSI Z80.1, a voluntary guideline that was not read itself. Powers are
    compared in minus-cylinder form. PD, heights and prism of the pair are judged when both lenses are given; measure PD
    and heights of the place where power and prism were read. Ends with exit code 20 where a quantity is outside its
    tolerance.

    Example:
    shopledger optics tolerance --right '-2.50 DS' --measured-right '-2.62 DS'
    """
    from shopledger.cli.views.verdicts import verdict_blocks, verdict_data

    eyes = lenses.eyes
    placed = (ordered.measurements(""), found.measurements("measured-"))
    verdicts = (*_powers(eyes, design), *_centring(eyes, *placed, design), *_others(also, design))
    if not verdicts:
        lacking("--right", "--right is missing. Give --right with --measured-right, the left ones, or --also.")
    show(as_json, verdict_data(verdicts, design, ANSI_Z80_1), *verdict_blocks(verdicts, design, ANSI_Z80_1))
    failed = [f"{verdict.where} {verdict.quantity}".strip() for verdict in verdicts if not verdict.passed]
    if failed:
        click.get_current_context().exit(
            said(f"outside the tolerance: {', '.join(failed)}. Remake it, or order it again.", _FAILED)
        )


def _powers(eyes: Eyes, design: LensType) -> Iterator[Verdict]:
    """Judge each lens: power, add, prism."""
    from shopledger.optics.inspection import judge, judge_power

    for side, (ordered, read) in eyes.items():
        yield from judge_power(side.value, ordered.power, read.power, design)
        if ordered.add is not None or read.add is not None:
            want, have = _adds(side, ordered, read, design)
            yield judge("add", side.value, want, have, design, want)
        if ordered.prism or read.prism:
            yield _prism(side, ordered, read, design)


def _adds(side: Side, ordered: EyePrescription, read: EyePrescription, design: LensType) -> tuple[float, float]:
    if design is LensType.SINGLE_VISION:
        raise click.UsageError(f"--{side.value} has an add. Give --design multifocal or progressive, or leave it out.")
    if ordered.add is None or read.add is None:
        name = side.value if ordered.add is None else f"measured-{side.value}"
        raise click.UsageError(f"--{name} has no add. Give the add ordered and the add measured.")
    return ordered.add, read.add


def _prism(side: Side, ordered: EyePrescription, read: EyePrescription, design: LensType) -> Verdict:
    """Judge how far the measured prism is from the ordered one, whichever way it points."""
    from shopledger.optics.inspection import judge
    from shopledger.optics.prism import combine

    want, have = combine(ordered.prism), combine(read.prism)
    verdict = judge(_PRISM, side.value, 0.0, (have - want).amount, design)
    return replace(verdict, ordered=want.amount, measured=have.amount)


def _centring(
    eyes: Eyes, ordered: Measurements | None, found: Measurements | None, design: LensType
) -> tuple[Verdict, ...]:
    """Judge PD, heights and prism of the pair where they were given."""
    from shopledger.optics.inspection import judge_centring

    if (ordered is None) != (found is None):
        missing = "--pd" if ordered is None else "--measured-pd"
        lacking(missing, f"{missing} is missing. Ordered and measured belong together.")
    if len(eyes) < len(Side):
        if ordered is None:
            return ()
        raise click.UsageError("--right and --left are needed with a PD: prism decides how far it may be off.")
    excess = _excess(eyes)
    if ordered is None and excess is None:
        return ()
    right, left = (eyes[side][0].power for side in Side)
    return judge_centring(right, left, ordered, found, design, excess=excess)


def _excess(eyes: Eyes) -> tuple[PrismVector, PrismVector] | None:
    """Give what is read of prism above what was ordered, where any was."""
    from shopledger.optics.prism import combine

    if not any(ordered.prism or read.prism for ordered, read in eyes.values()):
        return None
    right, left = (combine(eyes[side][1].prism) - combine(eyes[side][0].prism) for side in Side)
    return right, left


def _others(also: tuple[tuple[str, float, float], ...], design: LensType) -> Iterator[Verdict]:
    """Judge quantities that are given by name."""
    from shopledger.optics.inspection import judge

    for quantity, ordered, found in also:
        yield judge(quantity, "", ordered, found, design, ordered if quantity == "add" else 0.0)
