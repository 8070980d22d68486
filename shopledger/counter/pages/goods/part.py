"""What all pages of goods share: their part of the counter, and how the two kinds of stock are told apart there."""

from __future__ import annotations

from typing import Final, NamedTuple

from flask import Blueprint, abort

from shopledger.desk.goods import ACCESSORIES, FRAMES, CountedGoods
from shopledger.ledger.stock import StockedKind

pages: Final = Blueprint("goods", __name__, url_prefix="/goods")
BOTH: Final = ("GET", "POST")
SOLD_KEEP: Final = "Orders already recorded keep their prices."


class Shelf(NamedTuple):
    """A kind of goods that is kept in stock, as addresses name it."""

    word: str
    kind: StockedKind
    goods: CountedGoods  # type: ignore[type-arg]  # of either kind


SHELVES: Final = {
    "frames": Shelf("frames", StockedKind.FRAME, FRAMES),
    "accessories": Shelf("accessories", StockedKind.ACCESSORY, ACCESSORIES),
}


def shelf_called(word: str) -> Shelf:
    """Give the kind of goods that an address names."""
    found = SHELVES.get(word)
    if found is None:
        abort(404)
    return found


def shelf_of(kind: StockedKind) -> str:
    """Give the word that addresses have for a kind of goods."""
    return next(each.word for each in SHELVES.values() if each.kind is kind)
