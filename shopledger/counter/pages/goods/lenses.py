"""Lenses that can be ordered: design, material, price, and what their makers say they need."""

from __future__ import annotations

from typing import Any, Final

from flask import render_template

from shopledger.counter.addresses import goods_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, length, line, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.forms.records import as_typed
from shopledger.counter.pages.goods.extras import PRICE
from shopledger.counter.pages.goods.part import BOTH, SOLD_KEEP, pages
from shopledger.desk.goods import LENSES
from shopledger.ledger.catalogue import Design, Lens, SegmentShape, numbers_of
from shopledger.ledger.text import code_of, read_code
from shopledger.money.amount import write_amount
from shopledger.optics.materials import MATERIALS, MaterialClass
from shopledger.typed.numbers import read_decimal


def _materials() -> tuple[Choice, ...]:
    return tuple(Choice(each.name, f"index {each.index:g}") for each in MATERIALS)


def _diameters(typed: str, field: str) -> tuple[float, ...]:
    return tuple(read_decimal(each, field) for each in typed.replace(",", " ").split())


def _yes_or_no(name: str, label: str) -> Field[Any]:
    choices = (Choice("yes", "Yes"), Choice("no", "No"), Choice("", "Not known"))
    return Field(name, label, lambda typed, _: typed == "yes", Kind.CHOICE, needed=False, choices=choices)


NAME: Final = line("name", "Name as papers print it", width="middle", about=("lens name",))
DESIGN: Final = word("design", "Design", Design)
MATERIAL: Final[Field[str]] = Field(
    "material",
    "Material",
    lambda typed, _: typed,
    Kind.PICK,
    choices=_materials,
    width="middle",
    hint="Known ones bring their numbers; others need those at the foot.",
)
CODE: Final = line(
    "code",
    "Short code",
    needed=False,
    longest=20,
    width="narrow",
    about=("lens code",),
    hint="Left empty: made of the name.",
)
COST: Final = amount("cost", "What a pair costs the shop")
DESIGN_PART: Final = amount(
    "design_part",
    "Of the price, for the design",
    needed=False,
    about=("design part and material part",),
    hint="What a progressive costs above a lined one.",
)
MATERIAL_PART: Final = amount(
    "material_part", "Of the price, for the material", needed=False, hint="What it costs above hard resin."
)
MAKER_SAYS: Final[tuple[Field[Any], ...]] = (
    length("min_fitting_height", "Least fitting height", needed=False, about=("minimum fitting height",)),
    length("max_fitting_height", "Largest fitting height", needed=False, about=("maximum fitting height",)),
    length("corridor", "Corridor of a progressive", needed=False),
    word("segment_shape", "Segment of a lined one", SegmentShape, needed=False),
    length("segment_width", "Width of the segment", needed=False),
    length("intermediate_depth", "Height of a trifocal's strip", needed=False),
    Field(
        "blank_diameters",
        "Blanks it comes in",
        _diameters,
        Kind.NUMBER,
        needed=False,
        unit="mm",
        hint="One behind another: 65 70 75.",
        about=("blank diameter",),
    ),
    length("min_centre", "Least thickness in the middle", needed=False, about=("smallest centre thickness",)),
    length("min_edge", "Least thickness at the edge", needed=False, about=("smallest edge thickness",)),
    length("fitting_in", "Fitting point inward of the blank's middle", needed=False, about=("fitting point inward",)),
    length(
        "fitting_up",
        "Fitting point above the blank's middle",
        needed=False,
        about=("fitting point upward",),
        hint="Below is minus: -4.",
    ),
    length(
        "distance_up",
        "Distance center above a segment's top",
        needed=False,
        about=("distance centre above the segment",),
    ),
    _yes_or_no("thinning_prism", "Equal thinning prism in a progressive"),
)
NUMBERS: Final[tuple[Field[Any], ...]] = (
    word("material_class", "The bench treats it as", MaterialClass, needed=False),
    Field("index", "Index", read_decimal, Kind.NUMBER, needed=False, width="narrow"),
    Field("abbe", "Abbe number", read_decimal, Kind.NUMBER, needed=False, width="narrow"),
    Field("density", "Density", read_decimal, Kind.NUMBER, needed=False, width="narrow", unit="g/cm³"),
)
FIRST: Final = ("", (NAME, DESIGN, MATERIAL, PRICE, COST, DESIGN_PART, MATERIAL_PART))
OTHERS: Final = (
    ("What its maker says, as far as it is known", MAKER_SAYS),
    ("Numbers of a material that is not in the list", NUMBERS),
)
NEW: Final = Form((("", (NAME, DESIGN, MATERIAL, PRICE, COST, CODE, DESIGN_PART, MATERIAL_PART)), *OTHERS))
CHANGED: Final = Form((FIRST, *OTHERS))


@pages.route("/lenses/new", methods=BOTH)
def new_lens() -> Answer:
    """Add a lens."""

    def add(values: Values) -> Done:
        typed, used = values.of(CODE), {each.code for each in LENSES.all(desk())}
        code = read_code("lens", typed) if typed else code_of(values.of(NAME), used)
        said = _said(values)
        added = LENSES.add(desk(), Lens(code, **{"blank_diameters": (), **numbers_of(said), **said}), values.accept)
        return Done(onward(goods_page("lenses", added.code)), f"{added.name} can be ordered as {added.code}.")

    return fill(
        NEW, add, "form.html", keep=("new lens", ""), heading="New lens", button="Add it to what can be ordered"
    )


@pages.get("/lenses/<code>")
def lens(code: str) -> str:
    """Show everything about a lens."""
    found = LENSES.called(desk(), code)
    return render_template("goods/ordered.html", kind="lenses", item=found, heading=found.name, facts=_facts(found))


@pages.route("/lenses/<code>/change", methods=BOTH)
def change_lens(code: str) -> Answer:
    """Change what is known of a lens."""
    found = LENSES.called(desk(), code)
    page = goods_page("lenses", found.code)

    def store(values: Values) -> Done:
        said = _said(values)
        kept = {each.name: said.get(each.name) for each in MAKER_SAYS if each.name not in {"min_centre", "min_edge"}}
        kept["blank_diameters"] = said.get("blank_diameters", ())
        LENSES.change(desk(), found.code, {"design_part": 0, "material_part": 0, **kept, **said}, values.accept)
        return Done(page, f"{found.code} was changed. {SOLD_KEEP}")

    return fill(
        CHANGED,
        store,
        "form.html",
        start={**as_typed(CHANGED, found), "price": [write_amount(found.price)]},
        keep=("change of lens", found.code),
        heading=f"Change {found.code}",
        button="Store the change",
        back=(page, found.name),
    )


def _said(values: Values) -> dict[str, Any]:
    """Give what was typed, without what was left empty."""
    every = {each.name: values.of(each) for each in CHANGED.fields}
    return {name: value for name, value in every.items() if value is not None}


def _facts(found: Lens) -> tuple[tuple[str, str], ...]:
    lengths = (each for each in MAKER_SAYS if each.name not in {"segment_shape", "blank_diameters", "thinning_prism"})
    measured = ((each.label, getattr(found, each.name)) for each in lengths)
    prism = {None: "", True: "yes", False: "no"}[found.thinning_prism]
    return (
        ("Design", found.design.value),
        ("Material", f"{found.material}, index {found.index:g}, Abbe {found.abbe:g}, {found.density:g} g/cm³"),
        ("Of the price, for the design", write_amount(found.design_part) if found.design_part else ""),
        ("Of the price, for the material", write_amount(found.material_part) if found.material_part else ""),
        ("Segment", found.segment_shape.value if found.segment_shape else ""),
        ("Blanks it comes in", ", ".join(f"{each:g} mm" for each in found.blank_diameters)),
        *((label, "" if value is None else f"{value:g} mm") for label, value in measured),
        ("Equal thinning prism", prism),
    )
