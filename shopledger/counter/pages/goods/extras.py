"""Upgrades and coatings: they lie on no shelf, and are ordered with the lenses."""

from __future__ import annotations

from typing import Any, Final

from flask import render_template

from shopledger.counter.addresses import goods_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Field, Kind, amount, form, line, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.forms.records import as_typed, taken
from shopledger.counter.pages.goods.part import BOTH, SOLD_KEEP, pages
from shopledger.desk.goods import EXTRAS
from shopledger.ledger.catalogue import Extra, ExtraKind, read_pair_price
from shopledger.ledger.text import code_of, read_code
from shopledger.money.amount import Cents, write_amount

NAME: Final = line("name", "Name as papers print it", width="middle", about=("extra name",))
KIND: Final = word("kind", "What it does to the lens", ExtraKind, hint="The claim code follows from it.")
CODE: Final = line(
    "code", "Short code", needed=False, longest=20, width="narrow", about=("extra code",),
    hint="Left empty: made of the name.",
)  # fmt: skip
PRICE: Final[Field[Cents]] = Field(
    "price",
    "Price for a pair",
    read_pair_price,
    Kind.NUMBER,
    unit="$",
    width="middle",
    hint="For one lens, type 'each' behind it: 64.98 each.",
)
COST: Final = amount("cost", "What a pair costs the shop", needed=False, hint="Left empty: nothing of its own.")

NEW: Final = form(NAME, KIND, PRICE, COST, CODE)
CHANGED: Final = form(NAME, KIND, PRICE, COST)


@pages.route("/extras/new", methods=BOTH)
def new_extra() -> Answer:
    """Add an upgrade or coating."""

    def add(values: Values) -> Done:
        typed = values.of(CODE)
        used = {each.code for each in EXTRAS.all(desk())}
        code = read_code("extra", typed) if typed else code_of(values.of(NAME), used)
        added = EXTRAS.add(desk(), Extra(code, **_terms(values)), values.accept)
        return Done(onward(goods_page("extras", added.code)), f"{added.name} can be sold as {added.code}.")

    return fill(
        NEW, add, "form.html", keep=("new extra", ""), heading="New upgrade or coating", button="Add it to what is sold"
    )


@pages.get("/extras/<code>")
def extra(code: str) -> str:
    """Show an upgrade or coating."""
    found = EXTRAS.called(desk(), code)
    facts = (("What it does", found.kind.value),)
    return render_template("goods/ordered.html", kind="extras", item=found, heading=found.name, facts=facts)


@pages.route("/extras/<code>/change", methods=BOTH)
def change_extra(code: str) -> Answer:
    """Change what is known of an upgrade or coating."""
    found = EXTRAS.called(desk(), code)
    page = goods_page("extras", found.code)

    def store(values: Values) -> Done:
        EXTRAS.change(desk(), found.code, _terms(values), values.accept)
        return Done(page, f"{found.code} was changed. {SOLD_KEEP}")

    return fill(
        CHANGED,
        store,
        "form.html",
        start={**as_typed(CHANGED, found), "price": [write_amount(found.price)]},
        keep=("change of extra", found.code),
        heading=f"Change {found.code}",
        button="Store the change",
        back=(page, found.name),
    )


def _terms(values: Values) -> dict[str, Any]:
    return {**taken(CHANGED, values), "cost": values.of(COST) or 0}
