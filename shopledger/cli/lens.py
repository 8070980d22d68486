"""Lenses that the shop can order: design, material, what the maker says they need, price."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.goods import add_change, add_listing, said_yes
from shopledger.cli.options import OptionSet, accept, as_json, asked, changes, option, options
from shopledger.cli.params import AMOUNT, MM, NUMBER, PAIR_PRICE, Word, text
from shopledger.ledger.catalogue import Design, Lens, SegmentShape, numbers_of
from shopledger.money.amount import Cents
from shopledger.optics.materials import MaterialClass
from shopledger.typed.numbers import read_decimal


class LensOptions(OptionSet):
    """What is kept of a lens."""

    name: str | None = option(
        "--name",
        metavar="TEXT",
        help="What the lens is called on papers.",
        ask="Name of the lens",
        read=text("lens name"),
    )
    design: Design | None = option(
        "--design",
        type=Word(Design),
        help="How the lens is built.",
        ask="Design (single vision, bifocal, trifocal, progressive, occupational)",
    )
    material: str | None = option(
        "--material",
        metavar="TEXT",
        help="Material, such as 'hard resin 1.50'; known ones bring their numbers.",
        ask="Material, as in hard resin 1.50",
        read=text("material", 60),
    )
    material_class: MaterialClass | None = option(
        "--material-class", type=Word(MaterialClass), help="How the bench treats the material."
    )
    index: float | None = option("--index", type=NUMBER, help="Refractive index.")
    abbe: float | None = option("--abbe", type=NUMBER, help="Abbe number.")
    density: float | None = option("--density", type=NUMBER, help="Density in g/cm³.")
    price: Cents | None = option(
        "--price",
        type=PAIR_PRICE,
        help="What a customer pays for a pair, or for one lens, as in '64.98 each'.",
        ask="Price for a pair, or for one with 'each' behind it",
    )
    cost: Cents | None = option("--cost", type=AMOUNT, help="What the shop pays for a pair.", ask="Cost of a pair")
    design_part: Cents | None = option(
        "--design-part", type=AMOUNT, help="How much of the price is for a progressive design."
    )
    material_part: Cents | None = option(
        "--material-part", type=AMOUNT, help="How much of the price is for the material."
    )
    corridor: float | None = option(
        "--corridor", type=MM, help="Length of the corridor of a progressive.", ask="Corridor, mm", optional=True
    )
    min_fitting_height: float | None = option(
        "--min-fitting-height",
        type=MM,
        help="Least fitting height, as the maker states.",
        ask="Least fitting height, mm",
        read=lambda typed: read_decimal(typed, "minimum fitting height"),
        optional=True,
    )
    max_fitting_height: float | None = option(
        "--max-fitting-height", type=MM, help="Largest fitting height, as the maker states."
    )
    segment_shape: SegmentShape | None = option(
        "--segment-shape", type=Word(SegmentShape), help="Shape of a lined multifocal's segment."
    )
    segment_width: float | None = option("--segment-width", type=MM, help="Width of the segment.")
    intermediate_depth: float | None = option(
        "--intermediate-depth", type=MM, help="How high a trifocal's strip between distance and reading is."
    )
    fitting_in: float | None = option(
        "--fitting-in", type=MM, help="How far inward of the blank's middle the segment top or fitting cross stands."
    )
    fitting_up: float | None = option(
        "--fitting-up", type=MM, help="How far above the blank's middle it stands; below is minus, as in -4."
    )
    distance_up: float | None = option(
        "--distance-up", type=MM, help="How far above a segment top the maker puts the optical centre for distance."
    )
    thinning_prism: bool | None = option(
        "--thinning-prism/--no-thinning-prism", default=None, help="Whether a progressive has equal thinning prism."
    )
    blank_diameters: tuple[float, ...] = option(
        "--blank", type=MM, multiple=True, help="A blank diameter it comes in; may be given again."
    )
    min_centre: float | None = option("--min-centre", type=MM, help="Least centre thickness.")
    min_edge: float | None = option("--min-edge", type=MM, help="Least edge thickness.")


@click.group()
def lens() -> None:
    """Keep lenses: design, material, what they need, price."""


@lens.command()
@click.argument("code")
@options(LensOptions)
@accept
@as_json
@pass_run
def add(run: Run, code: str, given: LensOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Add a lens under a short code of your own, such as SV-150.

    Example:
    shopledger lens add SV-150 --name 'Plain single vision' --design single-vision
    """
    from shopledger.cli.views.goods import LENSES
    from shopledger.desk import goods

    typed = changes(asked(run, given))
    values = {"blank_diameters": (), **numbers_of(typed), **typed}
    new = Lens(code, **values)
    LENSES.show(as_json, goods.LENSES.add(run.desk(), new, said_yes(run, new, accept)))


add_change(lens, LensOptions, "lenses", "SV-150", "85.00")
add_listing(lens, "lenses", "List all lenses.", "Show one lens.", "SV-150")
