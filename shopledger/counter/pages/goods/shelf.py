"""The shelf: everything that is sold, by kind, with a picture where the shape is known; found by a part of its name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any, Final, NamedTuple

from flask import render_template, request
from markupsafe import Markup

from shopledger.counter.addresses import goods_page
from shopledger.counter.desks import desk
from shopledger.counter.pages.goods.part import pages, shelf_of
from shopledger.counter.pictures.frames import frame_picture
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.goods import ACCESSORIES, EXTRAS, FRAMES, LENSES
from shopledger.desk.tracing import newest_shapes
from shopledger.ledger.catalogue import Accessory, Frame
from shopledger.money.amount import Cents

MOST: Final = 60
"""How many of a kind are shown at once."""
KINDS: Final = (
    ("frames", "Frames"),
    ("accessories", "Accessories"),
    ("lenses", "Lenses"),
    ("extras", "Upgrades and coatings"),
    ("owned", "Customers' own frames"),
)


class Row(NamedTuple):
    """One thing that is sold, as its line on the shelf shows it."""

    page: str
    code: str
    words: str
    price: Cents
    on_hand: int | None = None
    free: int | None = None
    picture: Markup | str = ""
    more: str = ""


class Part(NamedTuple):
    """All of one kind that fit what was asked for, and how many more there are."""

    kind: str
    heading: str
    rows: Sequence[Row]
    more: int


@pages.get("")
def shelf() -> str:
    """Show what there is."""
    asked = request.args.get("q", "").strip()[:120]
    kind = request.args.get("kind", "")
    all_of_it = request.args.get("all") == "yes"
    found = [_part(each, words, asked, all_of_it=all_of_it) for each, words in KINDS if kind in ("", each)]
    shown = [each for each in found if each.rows or (not asked and each.kind != "owned") or kind == each.kind]
    return render_template("goods/shelf.html", parts=shown, asked=asked, kind=kind, kinds=KINDS)


def _part(kind: str, heading: str, asked: str, *, all_of_it: bool) -> Part:
    fitting = [each for each in _ROWS[kind]() if _fits(asked, each)]
    shown = fitting if all_of_it else list(islice(fitting, MOST))
    return Part(kind, heading, _drawn(shown) if kind in {"frames", "owned"} else shown, len(fitting) - len(shown))


def _fits(asked: str, row: Row) -> bool:
    """Tell whether all words that were typed stand in what is known of it."""
    known = f"{row.code} {row.words} {row.more}".casefold()
    return all(word in known for word in asked.casefold().split())


def _drawn(rows: Sequence[Row]) -> Sequence[Row]:
    shapes = newest_shapes(desk(), [each.code for each in rows])
    return [
        each._replace(picture=frame_picture(shapes[each.code], f"Shape of {each.words}", wide=0.3))
        if each.code in shapes
        else each
        for each in rows
    ]


def _stocked() -> Iterable[Row]:
    priced: Mapping[str, Mapping[str, Any]] = {
        "frames": {each.code: each.price for each, _ in FRAMES.all(desk())},
        "accessories": {each.code: each.price for each, _ in ACCESSORIES.all(desk())},
    }
    for each in stock_now(desk()):
        kind, code = shelf_of(each.kind), each.item_code
        page = goods_page(kind, code)
        yield Row(page, code, each.description, priced[kind][code], each.on_hand, each.free, more=kind)


def _frames() -> Iterable[Row]:
    return (each for each in _stocked() if each.more == "frames")


def _accessories() -> Iterable[Row]:
    return (each for each in _stocked() if each.more == "accessories")


def _owned() -> Iterable[Row]:
    for each, _ in FRAMES.all(desk()):
        if each.owned_by is not None:
            yield Row(goods_page("frames", each.code), each.code, described(each), each.price, more="owned")


def _lenses() -> Iterable[Row]:
    for each in LENSES.all(desk()):
        more = f"{each.design.value}, {each.material}"
        yield Row(goods_page("lenses", each.code), each.code, each.name, each.price, more=more)


def _extras() -> Iterable[Row]:
    for each in EXTRAS.all(desk()):
        yield Row(goods_page("extras", each.code), each.code, each.name, each.price, more=each.kind.value)


def described(item: Frame | Accessory) -> str:
    """Give what a frame or an accessory is called."""
    return item.description if isinstance(item, Frame) else item.name


_ROWS: Final = {"frames": _frames, "accessories": _accessories, "lenses": _lenses, "extras": _extras, "owned": _owned}
