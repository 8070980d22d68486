"""Goods that come and go without a sale: received, counted, given away, taken home, written off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice
from typing import Final
from urllib.parse import quote

from flask import request

from shopledger.counter.addresses import goods_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, day, form, line, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.pages import picks
from shopledger.counter.pages.goods.part import BOTH, pages, shelf_called
from shopledger.desk.books.shelf import Moved, stock_history, stock_now
from shopledger.desk.books.stocking import Leaving, count_stock, let_leave, needs_first, receive_stock
from shopledger.errors import RefusedError
from shopledger.ledger.books.stock_values import ItemStock
from shopledger.ledger.stock import FirstGoods, StockedKind, StockReason
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.words import read_word

NEWEST: Final = 60
"""How many movements a card shows."""

FIRST: Final[Field[FirstGoods]] = Field(
    "first",
    "Where those come from",
    lambda typed, field: read_word(typed, field, tuple(FirstGoods)),
    Kind.CHOICE,
    needed=False,
    choices=(
        Choice("opening", "The shop had them before", "they were there before its books began"),
        Choice("bought", "They were bought", "what they cost is asked next"),
        Choice("found", "They turned up", "nobody knows from where"),
    ),
    about=("first goods",),
)
QUANTITY: Final = whole("quantity", "How many")
UNIT_COST: Final = amount("unit_cost", "What one of them cost", about=("unit cost", "cost"))
SUPPLIER: Final = picks.supplier(
    needed=False, label="Who sent them", hint="Part of the name will do; new ones are added by the link above."
)
INVOICE: Final = line(
    "invoice", "Number on the bill", needed=False, longest=60, numbers=True, width="middle", about=("invoice",)
)
PAID: Final = picks.paid_from(
    "paid", "Paid at once, from", needed=False, hint="Left open: it is owed and stands among the bills."
)
WHEN: Final = day("day", "Day")
COUNTED: Final = whole("counted", "How many lie there", about=("count",), hint="Goods for open orders among them.")
WHY: Final = line("note", "Why it differs", needed=False, longest=LONGEST_NOTE, about=("note", "reason"))
LEFT_AS: Final[Field[StockReason]] = Field(
    "why",
    "What became of them",
    lambda typed, field: read_word(typed, field, (StockReason.WRITTEN_OFF, StockReason.GIVEN, StockReason.OWN_USE)),
    Kind.CHOICE,
    choices=(
        Choice("written-off", "Broken, lost or unsaleable"),
        Choice("given-away", "Given away", "a gift or a sample"),
        Choice("own-use", "Taken home by the owner", "no expense of the shop's"),
    ),
)
LEAVE_NOTE: Final = line(
    "note", "In words", needed=False, longest=LONGEST_NOTE, about=("reason",), hint="Needed for what broke or was lost."
)

RECEIVE: Final = form(QUANTITY, UNIT_COST, SUPPLIER, INVOICE, PAID, WHEN)
COUNT: Final = form(COUNTED, WHY, WHEN)
FIRST_COUNT: Final = form(COUNTED, FIRST, WHY, WHEN)
LEAVE: Final = form(LEFT_AS, QUANTITY, LEAVE_NOTE, WHEN)


def history_of(kind: StockedKind, code: str) -> Sequence[Moved]:
    """Give the newest movements of an item."""
    _, moved = stock_history(desk(), kind, code)
    return tuple(islice(reversed(moved), NEWEST))


def first_and_after(
    values: Values, word: str, code: str, count: int | None, cost: Cents
) -> tuple[int, FirstGoods, str]:
    """Give how many of a new item are counted in, as what, and the page after it.

    Where they were bought, none is counted in: the next page asks what they cost.
    """
    first = FirstGoods.OPENING if not count else _said_first(values)
    page = goods_page(word, code)
    if count and first is FirstGoods.BOUGHT:
        way = f"&next={quote(request.args['next'], safe='')}" if request.args.get("next") else ""
        return 0, FirstGoods.OPENING, f"{page}/receive?quantity={count}&cost={write_amount(cost).replace(',', '')}{way}"
    return count or 0, first, onward(page)


def _said_first(values: Values) -> FirstGoods:
    """Give where the first goods of an item come from, which nobody but whoever counts them knows."""
    first = values.of(FIRST)
    if first is None:
        raise RefusedError("first goods", "not said", "it decides what they are in the books", "Choose one.")
    return first


@pages.route("/<word>/<code>/receive", methods=BOTH)
def receive(word: str, code: str) -> Answer:
    """Record what came in, as a bill of one line."""
    shelf, item = shelf_called(word), _standing(word, code)

    def store(values: Values) -> Done:
        done = receive_stock(
            desk(),
            shelf.kind,
            item.item_code,
            values.of(QUANTITY),
            values.of(UNIT_COST),
            values.of(WHEN),
            supplier=values.of(SUPPLIER) or "",
            invoice=values.text(INVOICE),
            paid=values.of(PAID),
            accept=values.accept,
        )
        said = f"{done.on_hand} of {item.item_code} are on hand; it is bill {done.account.bill.number}."
        return Done(onward(goods_page(word, item.item_code)), said)

    asked = request.args
    start = {"quantity": [asked.get("quantity", "")], "unit_cost": [asked.get("cost") or write_amount(item.last_cost)]}
    return _filled(RECEIVE, store, word, item, "What came in", start)


@pages.route("/<word>/<code>/count", methods=BOTH)
def count(word: str, code: str) -> Answer:
    """Record what was counted on the shelf."""
    shelf, item = shelf_called(word), _standing(word, code)
    asks_first = needs_first(desk(), shelf.kind, item.item_code)

    def store(values: Values) -> Done:
        first = _said_first(values) if asks_first and values.of(COUNTED) else None
        if first is FirstGoods.BOUGHT:
            _, _, page = first_and_after(values, word, item.item_code, values.of(COUNTED), item.last_cost)
            return Done(page)
        found = count_stock(
            desk(),
            shelf.kind,
            item.item_code,
            values.of(COUNTED),
            values.text(WHY),
            values.of(WHEN),
            first=first,
            accept=values.accept,
        )
        off = (
            f"The books were off by {found.difference:+d}; now they agree." if found.difference else "As in the books."
        )
        return Done(onward(goods_page(word, item.item_code)), f"{off} {found.level.on_hand} are on hand.")

    return _filled(FIRST_COUNT if asks_first else COUNT, store, word, item, "Count", {})


@pages.route("/<word>/<code>/leave", methods=BOTH)
def leave(word: str, code: str) -> Answer:
    """Take goods from the shelf that are not sold."""
    shelf, item = shelf_called(word), _standing(word, code)

    def store(values: Values) -> Done:
        asked = Leaving(
            shelf.kind,
            item.item_code,
            values.of(QUANTITY),
            values.of(LEFT_AS),
            values.text(LEAVE_NOTE),
            values.of(WHEN),
            values.accept,
        )
        left = let_leave(desk(), asked)
        said = f"{-left.movement.quantity} left as {left.movement.reason.value}; {left.level.on_hand} are on hand."
        return Done(goods_page(word, item.item_code), said)

    return _filled(LEAVE, store, word, item, "Leaves without a sale", {"quantity": ["1"]})


def _filled(
    asked: Form, store: Callable[[Values], Done], word: str, item: ItemStock, heading: str, start: dict[str, list[str]]
) -> Answer:
    page = goods_page(word, item.item_code)
    here = f"{page}/receive"
    return fill(
        asked,
        store,
        "goods/moving.html",
        start=start,
        keep=(heading.casefold(), item.item_code),
        heading=f"{heading}: {item.item_code}",
        item=item,
        button="Store it",
        back=(page, item.description),
        new_supplier=f"/suppliers/new?next={quote(here)}" if asked is RECEIVE else "",
    )


def _standing(word: str, code: str) -> ItemStock:
    """Give an item of stock as it stands; one that is none is refused by its name."""
    shelf = shelf_called(word)
    kind, wanted = shelf.kind, code.strip().upper()
    stock_history(desk(), kind, wanted)
    return next(each for each in stock_now(desk()) if (each.kind, each.item_code) == (kind, wanted))
