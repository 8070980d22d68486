"""Lenses that the shop can order: design, material, what the maker says they need, price."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, MM, NUMBER, Word, read_decimal
from shopledger.cli.prompts import Question, fill
from shopledger.ledger.catalogue import Design
from shopledger.money.amount import read_amount
from shopledger.optics.materials import MaterialClass, material

DESIGN = Word(Design)
VALUES = ("name", "design", "material", "price", "cost", "corridor", "min_fitting_height", "min_centre", "min_edge")
NUMBERS = ("material_class", "index", "abbe", "density")
PARTS = ("design_part", "material_part")

lens_options = together(
    click.option("--name", metavar="TEXT", help="What the lens is called on papers."),
    click.option("--design", type=DESIGN, help="How the lens is built."),
    click.option(
        "--material", metavar="TEXT", help="Material, such as 'hard resin 1.50'; known ones bring their numbers."
    ),
    click.option("--material-class", type=Word(MaterialClass), help="How the bench treats the material."),
    click.option("--index", type=NUMBER, help="Refractive index."),
    click.option("--abbe", type=NUMBER, help="Abbe number."),
    click.option("--density", type=NUMBER, help="Density in g/cm³."),
    click.option("--price", type=AMOUNT, help="What a customer pays for a pair."),
    click.option("--cost", type=AMOUNT, help="What the shop pays for a pair."),
    click.option("--design-part", type=AMOUNT, help="How much of the price is for a progressive design."),
    click.option("--material-part", type=AMOUNT, help="How much of the price is for the material."),
    click.option("--corridor", type=MM, help="Length of the corridor of a progressive."),
    click.option("--min-fitting-height", type=MM, help="Least fitting height, as the maker states."),
    click.option("--blank", "blanks", type=MM, multiple=True, help="A blank diameter it comes in; may be given again."),
    click.option("--min-centre", type=MM, help="Least centre thickness."),
    click.option("--min-edge", type=MM, help="Least edge thickness."),
)

QUESTIONS = (
    Question("name", "--name", "Name of the lens", text("lens name")),
    Question(
        "design",
        "--design",
        "Design (single vision, bifocal, trifocal, progressive, occupational)",
        lambda typed: DESIGN.read(typed, "design"),
    ),
    Question("material", "--material", "Material, as in hard resin 1.50", text("material", 60)),
    Question("price", "--price", "Price for a pair", lambda typed: read_amount(typed, "price")),
    Question("cost", "--cost", "Cost of a pair", lambda typed: read_amount(typed, "cost")),
    Question("corridor", "--corridor", "Corridor, mm", lambda typed: read_decimal(typed, "corridor"), optional=True),
    Question(
        "min_fitting_height",
        "--min-fitting-height",
        "Least fitting height, mm",
        lambda typed: read_decimal(typed, "minimum fitting height"),
        optional=True,
    ),
)


@click.group()
def lens() -> None:
    """Keep lenses: design, material, what they need, price."""


@lens.command()
@click.argument("code")
@lens_options
@as_json
@pass_run
def add(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Add a lens under a short code of your own, such as SV-150."""
    from shopledger.cli.views.goods import OUT, lens_fields
    from shopledger.desk.goods import add_lens
    from shopledger.ledger.catalogue import Lens

    fill(run, given, QUESTIONS)
    values = {**_material(given), **chosen(given, (*VALUES, *PARTS)), "blank_diameters": given["blanks"]}
    added = add_lens(run.desk(), Lens(code, **values))
    show(as_json, OUT.of(added), lens_fields(added))


@lens.command()
@click.argument("code")
@lens_options
@as_json
@pass_run
def change(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Orders already recorded keep their prices.
    """
    from shopledger.cli.views.goods import OUT, lens_fields
    from shopledger.desk.goods import change_lens

    values = chosen(given, (*VALUES, *NUMBERS, *PARTS))
    if given["blanks"]:
        values["blank_diameters"] = given["blanks"]
    changed = change_lens(run.desk(), code, values)
    show(as_json, OUT.of(changed), lens_fields(changed))


@lens.command("list")
@as_json
@pass_run
def list_lenses(run: Run, as_json: bool) -> None:
    """List all lenses."""
    from shopledger.cli.views.goods import OUT, lens_table
    from shopledger.desk.goods import lenses

    found = lenses(run.desk())
    show(as_json, {"lenses": [OUT.of(each) for each in found]}, lens_table(found))


@lens.command("show")
@click.argument("code")
@as_json
@pass_run
def show_lens(run: Run, code: str, as_json: bool) -> None:
    """Show one lens."""
    from shopledger.cli.views.goods import OUT, lens_fields
    from shopledger.desk.goods import lens_called

    found = lens_called(run.desk(), code)
    show(as_json, OUT.of(found), lens_fields(found))


def _material(given: dict[str, Any]) -> dict[str, Any]:
    """Give the material's numbers: as typed, and for what is not typed those of the known material of that name."""
    typed = chosen(given, NUMBERS)
    if len(typed) == len(NUMBERS):
        return typed
    known = material(given["material"])
    return {name: getattr(known, name) for name in NUMBERS} | {"min_centre": known.min_centre} | typed
