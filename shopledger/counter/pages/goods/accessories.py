"""Accessories: goods beside the glasses, kept in stock as frames are."""

from __future__ import annotations

from typing import Final

from flask import render_template

from shopledger.counter.addresses import goods_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import amount, form, line, whole, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.records import as_typed, taken
from shopledger.counter.pages.goods.moving import FIRST, first_and_after, history_of
from shopledger.counter.pages.goods.part import BOTH, SOLD_KEEP, pages
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.goods import ACCESSORIES
from shopledger.ledger.catalogue import Accessory, Reimbursement, TaxCategory
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.text import code_of, read_code

NAME: Final = line("name", "Name as papers print it", width="middle", about=("accessory name",))
CODE: Final = line(
    "code",
    "Code on the shelf",
    needed=False,
    longest=20,
    width="narrow",
    about=("accessory code",),
    hint="Left empty: made of the name.",
)
PRICE: Final = amount("price", "What a customer pays")
COST: Final = amount("cost", "What one costs the shop")
TAXED: Final = word(
    "tax_category", "For the sales tax it is", TaxCategory, only=(each for each in TaxCategory if each.of_goods)
)
PLAN: Final = word("reimbursement", "A plan is likely to find it", Reimbursement)
CLAIM: Final = line(
    "claim_code", "Claim code", needed=False, longest=10, width="narrow", hint="Only if it has one.", about=("code",)
)
COUNT: Final = whole("count", "How many are here now", needed=False, about=("quantity",))

TERMS: Final = (PRICE, COST, TAXED, PLAN, CLAIM)
NEW: Final = form(NAME, CODE, *TERMS, COUNT, FIRST)
CHANGED: Final = form(NAME, *TERMS)


@pages.route("/accessories/new", methods=BOTH)
def new_accessory() -> Answer:
    """Add an accessory with what lies there of it."""

    def add(values: Values) -> Done:
        item = Accessory(_code(values), **taken(CHANGED, values))
        count, first, after = first_and_after(values, "accessories", item.code, values.of(COUNT), item.cost)
        added, _ = ACCESSORIES.add(desk(), item, count, first, values.accept)
        return Done(after, f"{added.name} is on the shelf as {added.code}.")

    return fill(
        NEW,
        add,
        "form.html",
        start={"tax_category": ["accessory"], "reimbursement": ["plan-decides"]},
        keep=("new accessory", ""),
        heading="New accessory",
        lead="A case, a cord, a cleaning kit, sunglasses without powers.",
        button="Put it on the shelf",
    )


@pages.get("/accessories/<code>")
def accessory(code: str) -> str:
    """Show everything about an accessory."""
    found, on_hand = ACCESSORIES.called(desk(), code)
    kind = StockedKind.ACCESSORY
    stands = next(each for each in stock_now(desk()) if (each.kind, each.item_code) == (kind, found.code))
    return render_template(
        "goods/item.html",
        kind="accessories",
        item=found,
        heading=found.name,
        on_hand=on_hand,
        stands=stands,
        owner=None,
        picture="",
        moved=history_of(kind, found.code),
        facts=(
            ("For the sales tax", found.tax_category.value),
            ("A plan is likely to find it", found.reimbursement.value),
            ("Claim code", found.claim_code),
        ),
    )


@pages.route("/accessories/<code>/change", methods=BOTH)
def change_accessory(code: str) -> Answer:
    """Change what is known of an accessory."""
    found, _ = ACCESSORIES.called(desk(), code)
    page = goods_page("accessories", found.code)

    def store(values: Values) -> Done:
        ACCESSORIES.change(desk(), found.code, taken(CHANGED, values), values.accept)
        return Done(page, f"{found.code} was changed. {SOLD_KEEP}")

    return fill(
        CHANGED,
        store,
        "form.html",
        start=as_typed(CHANGED, found),
        keep=("change of accessory", found.code),
        heading=f"Change {found.code}",
        button="Store the change",
        back=(page, found.name),
    )


def _code(values: Values) -> str:
    typed = values.of(CODE)
    if typed:
        return read_code("accessory", typed)
    return code_of(values.of(NAME), {each.code for each, _ in ACCESSORIES.all(desk())})
