"""What is asked for, made of what stands in the form of a sale: the same request as the terminal makes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from shopledger.counter.forms.filled import Filled, Values
from shopledger.counter.pages.selling.sheet import NEWEST, WITHOUT, Rows
from shopledger.counter.pages.selling.shelf import Shelf
from shopledger.counter.plain_words import plain
from shopledger.desk.selling import SaleCard
from shopledger.errors import RefusedError, ShopledgerError, visible
from shopledger.ledger.orders import (
    AccessoryRequest,
    EyeRequest,
    FrameRequest,
    Making,
    OrderRequest,
    PairRequest,
)
from shopledger.optics.measurements import Measurements
from shopledger.typed.measurements import measurements_of


@dataclass(slots=True)
class Asked:
    """A request in the making, and what cannot be asked so."""

    filled: Filled
    values: Values
    pairs: dict[str, PairRequest] = field(default_factory=dict)
    """By the number of their row."""
    frames: dict[str, FrameRequest] = field(default_factory=dict)
    goods: dict[str, AccessoryRequest] = field(default_factory=dict)
    request: OrderRequest | None = None

    def of(self, name: str) -> Any:
        """Give what was read from a field; None where it could not be."""
        return self.values.read.get(name)

    def text(self, name: str) -> str:
        """Give the text of a field."""
        return self.of(name) or ""

    def whole(self, names: tuple[str, ...]) -> bool:
        """Tell whether something stands in each of these fields."""
        return all(self.of(name) for name in names)


def asked_for(card: SaleCard, shelf: Shelf, filled: Filled, values: Values) -> Asked:
    """Put together what is whole so far; what cannot be is said at its field."""
    asked, rows = Asked(filled, values), Rows.typed(filled.typed)
    for at in rows.pairs:
        if asked.whole((f"p{at}_wearer", f"p{at}_frame", f"p{at}_lens")):
            _put(asked, asked.pairs, at, lambda at=at: pair_asked(asked, shelf, at), f"p{at}")  # type: ignore[misc]
    for at in rows.frames:
        if asked.whole((f"f{at}_frame",)):
            _put(asked, asked.frames, at, lambda at=at: _frame(asked, at), f"f{at}")  # type: ignore[misc]
    for at in rows.goods:
        if asked.whole((f"a{at}_code",)):
            _put(asked, asked.goods, at, lambda at=at: _goods(asked, at), f"a{at}")  # type: ignore[misc]
    try:
        asked.request = _order(card, shelf, asked)
    except ShopledgerError as error:
        filled.refuse(error)
    return asked


def place(filled: Filled, row: str, error: ShopledgerError) -> None:
    """Put an error at the field of a row that it means, or else at the top."""
    said = plain(visible(str(error)))
    named = str(getattr(error, "field", "") or getattr(error, "name", ""))
    name = filled.meant(f"{row}.{named}") or filled.meant(named)
    if said not in filled.errors[name]:
        filled.errors[name].append(said)


def _put(asked: Asked, into: dict[str, Any], at: str, make: Callable[[], Any], row: str) -> None:
    try:
        into[at] = make()
    except ShopledgerError as error:
        place(asked.filled, row, error)


def _order(card: SaleCard, shelf: Shelf, asked: Asked) -> OrderRequest:
    ticked = asked.of("offers") or ()
    automatic = shelf.automatic()
    return OrderRequest(
        customer=str(card.customer.number),
        pairs=tuple(asked.pairs.values()),
        accessories=tuple(asked.goods.values()),
        frames=tuple(asked.frames.values()),
        day=asked.of("day"),
        offers=tuple(code for code in ticked if code not in automatic),
        without_offers=tuple(code for code in automatic if code not in ticked),
        shipping=asked.of("shipping"),
        accept=asked.values.accept,
        note=asked.text("note"),
        tax_exempt=asked.text("tax_exempt"),
    )


def pair_asked(asked: Asked, shelf: Shelf, at: str) -> PairRequest:
    """Give what is asked for a pair, of the fields of its row."""
    said = asked.text(f"p{at}_prescription")
    lens = shelf.lenses.get(asked.text(f"p{at}_lens"))
    right, left = (_eye(asked, f"p{at}_{side}") for side in ("right", "left"))
    return PairRequest(
        wearer=asked.text(f"p{at}_wearer"),
        lens=asked.text(f"p{at}_lens"),
        frame=asked.text(f"p{at}_frame"),
        # What a multifocal is made for says the lens itself.
        use=None if lens is None or lens.multifocal else asked.of(f"p{at}_use"),
        prescription=None if said in {"", NEWEST, WITHOUT} else int(said),
        without_prescription=said == WITHOUT,
        extras=asked.of(f"p{at}_extras") or (),
        measurements=_measurements(asked, at),
        frame_owned=bool(asked.of(f"p{at}_own")),
        right_code=asked.text(f"p{at}_right_code"),
        left_code=asked.text(f"p{at}_left_code"),
        note=asked.text(f"p{at}_note"),
        right=right,
        left=left,
        off_step=asked.of(f"p{at}_off_step"),
    )


def _eye(asked: Asked, name: str) -> EyeRequest:
    return EyeRequest(
        making=asked.of(f"{name}_making") or Making.NEW,
        lens=asked.text(f"{name}_lens"),
        extras=asked.of(f"{name}_extras") or (),
        balance=asked.of(f"{name}_balance"),
    )


def _measurements(asked: Asked, at: str) -> Measurements | None:
    pd, near, heights = (asked.of(f"p{at}_{name}") or () for name in ("pd", "near", "heights"))
    if not pd:
        if near or heights:
            raise RefusedError("PD", "missing", "it belongs to a near PD and to heights", "Measure it too.")
        return None
    return measurements_of(pd, near, (heights[0], heights[-1]) if heights else (None, None))


def _frame(asked: Asked, at: str) -> FrameRequest:
    demo = asked.of(f"f{at}_demo")
    if demo is None:
        raise RefusedError("its demo lenses", "open", "they may not reach the customer as lenses", "Choose one.")
    return FrameRequest(asked.text(f"f{at}_frame"), demo, asked.text(f"f{at}_wearer"))


def _goods(asked: Asked, at: str) -> AccessoryRequest:
    count = asked.of(f"a{at}_count")
    return AccessoryRequest(asked.text(f"a{at}_code"), 1 if count is None else count, asked.text(f"a{at}_wearer"))
