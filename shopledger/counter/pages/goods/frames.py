"""Frames: added with what lies there of them, shown with all that is known, changed."""

from __future__ import annotations

from typing import Final

from flask import render_template, request

from shopledger.counter.addresses import customer_page, frame_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, length, line, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.forms.records import as_typed, taken
from shopledger.counter.pages.goods.moving import FIRST, first_and_after, history_of
from shopledger.counter.pages.goods.part import BOTH, SOLD_KEEP, pages
from shopledger.counter.pictures.shelf import picture_of
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.goods import FRAMES, add_frame
from shopledger.desk.known_people import customer_card
from shopledger.desk.tracing import newest_shapes
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.text import code_of, read_code


def _makers() -> tuple[Choice, ...]:
    return tuple(Choice(each, "") for each in sorted({frame.maker for frame, _ in FRAMES.all(desk())}))


CODE: Final = line(
    "code",
    "Code on the shelf",
    needed=False,
    longest=20,
    width="narrow",
    about=("frame code", "frame"),
    hint="Left empty: made of model and size.",
)
MAKER: Final[Field[str]] = Field("maker", "Maker", lambda typed, _: typed, Kind.PICK, choices=_makers, width="middle")
MODEL: Final = line("model", "Model", longest=60, width="middle")
COLOUR: Final = line("colour", "Color", longest=60, width="middle", about=("colour",))
EYE: Final = length("eye_size", "Eye size")
BRIDGE: Final = length("bridge", "Bridge")
TEMPLE: Final = length("temple", "Temple length", about=("temple",))
PRICE: Final = amount("price", "What a customer pays")
COST: Final = amount("cost", "What one costs the shop", about=("cost",))
COUNT: Final = whole("count", "How many are here now", needed=False, about=("count", "quantity"))

WHAT: Final = (MAKER, MODEL, COLOUR)
SIZE: Final = (EYE, BRIDGE, TEMPLE)
STAMPED: Final = ("As stamped inside a temple, such as 52-18-140", SIZE)
NEW: Final = Form((("", WHAT), STAMPED, ("Price and count", (PRICE, COST, COUNT, FIRST, CODE))))
OWN: Final = Form((("", WHAT), STAMPED, ("", (CODE,))))
CHANGED: Final = Form((("", WHAT), STAMPED, ("Price", (PRICE, COST))))


@pages.route("/frames/new", methods=BOTH)
def new_frame() -> Answer:
    """Add a frame with what lies there of it, or a frame that a customer owns."""
    owner = request.args.get("owner", "")
    return _new_own(owner) if owner else _new_of_shop()


def _new_of_shop() -> Answer:
    def add(values: Values) -> Done:
        frame = Frame(_code(values), values.of(MAKER), values.of(MODEL), values.of(COLOUR), *_sizes(values),
                      values.of(PRICE), values.of(COST))  # fmt: skip
        count, first, after = first_and_after(values, "frames", frame.code, values.of(COUNT), frame.cost)
        added, _ = add_frame(desk(), frame, count, None, first, values.accept)
        return Done(onward(after), f"{added.description} is on the shelf as {added.code}.")

    return fill(
        NEW,
        add,
        "form.html",
        keep=("new frame", ""),
        heading="New frame",
        lead="Maker, model and color as they stand on the frame or its tag.",
        button="Put it on the shelf",
    )


def _new_own(owner: str) -> Answer:
    customer = customer_card(desk(), owner).customer

    def add(values: Values) -> Done:
        frame = Frame(_code(values), values.of(MAKER), values.of(MODEL), values.of(COLOUR), *_sizes(values), 0, 0)
        added, _ = add_frame(desk(), frame, 0, str(customer.number), accept=values.accept)
        return Done(onward(frame_page(added.code)), f"{added.description} was added as {customer.name}'s own frame.")

    return fill(
        OWN,
        add,
        "form.html",
        keep=("new own frame", str(customer.number)),
        heading=f"A frame that {customer.name} owns",
        button="Add the frame",
        back=(customer_page(customer.number), customer.name),
    )


@pages.get("/frames/<code>")
def frame(code: str) -> str:
    """Show everything about a frame."""
    found, on_hand = FRAMES.called(desk(), code)
    stands = next((each for each in stock_now(desk()) if each.item_code == found.code and _is_frame(each.kind)), None)
    traced = found.code in newest_shapes(desk(), [found.code])
    owner = customer_card(desk(), str(found.owned_by)).customer if found.owned_by is not None else None
    return render_template(
        "goods/item.html",
        kind="frames",
        item=found,
        heading=found.description,
        on_hand=on_hand,
        stands=stands,
        owner=owner,
        picture=picture_of(found, traced=traced, wide=1.0),
        moved=history_of(StockedKind.FRAME, found.code) if owner is None else (),
        facts=(("Maker", found.maker), ("Model", found.model), ("Color", found.colour), ("Size", _size(found))),
    )


@pages.route("/frames/<code>/change", methods=BOTH)
def change_frame(code: str) -> Answer:
    """Change what is known of a frame."""
    found, _ = FRAMES.called(desk(), code)

    def store(values: Values) -> Done:
        changed, _ = FRAMES.change(desk(), found.code, taken(CHANGED, values), values.accept)
        return Done(frame_page(changed.code), f"{changed.code} was changed. {SOLD_KEEP}")

    return fill(
        CHANGED,
        store,
        "form.html",
        start=as_typed(CHANGED, found),
        keep=("change of frame", found.code),
        heading=f"Change {found.code}",
        button="Store the change",
        back=(frame_page(found.code), found.description),
    )


def _sizes(values: Values) -> tuple[float, float, float]:
    return values.of(EYE), values.of(BRIDGE), values.of(TEMPLE)


def _code(values: Values) -> str:
    """Give the code that was typed, or one made of the model and the size that no other frame has."""
    typed = values.of(CODE)
    if typed:
        return read_code("frame", typed)
    used = {each.code for each, _ in FRAMES.all(desk())}
    return code_of(f"{values.of(MODEL)} {values.of(EYE):g}", used)


def _is_frame(kind: StockedKind) -> bool:
    return kind is StockedKind.FRAME


def _size(found: Frame) -> str:
    return f"{found.eye_size:g}-{found.bridge:g}-{found.temple:g} mm"
