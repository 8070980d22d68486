"""The form of a sale: as many pairs, frames alone and goods as are wanted, and what is said about the whole."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from shopledger.counter.forms.fields import (
    Choice,
    Field,
    Form,
    Kind,
    amount,
    day,
    hidden,
    line,
    tick,
    ticks,
    whole,
    word,
)
from shopledger.counter.forms.picking import key_of, pick_known
from shopledger.counter.pages.selling.shelf import Shelf
from shopledger.counter.showing import aged, money
from shopledger.desk.selling import SaleCard, WearerCard
from shopledger.errors import ShopledgerError
from shopledger.ledger.forms import Typed
from shopledger.ledger.orders import NOBODY, DemoLenses, Making, OffStep
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.taxes import LONGEST_REASON
from shopledger.optics.notation import read_power
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.measurements import near_pd_as_typed, pd_as_typed
from shopledger.typed.numbers import read_lengths

NEWEST, WITHOUT = "newest", "none"
"""Which prescription a pair is made from, where that is not a numbered one."""
FRAME_LIST: Final = "frames-list"
"""The one list of frames that every field for a frame picks from."""
MOST_ROWS: Final = 40
ROWS: Final = ("pairs", "frames", "goods")
_ROW = re.compile(r"[1-9][0-9]{0,2}")


@dataclass(frozen=True, slots=True)
class Rows:
    """Which pairs, frames alone and goods the form has, by the numbers that stand in their fields' names."""

    pairs: tuple[str, ...] = ()
    frames: tuple[str, ...] = ("1",)
    goods: tuple[str, ...] = ("1",)

    @classmethod
    def typed(cls, typed: Typed) -> Rows:
        """Give the rows of a form that was sent or kept."""
        pairs, frames, goods = (_numbers(typed, name) for name in ROWS)
        return cls(pairs, frames or ("1",), goods or ("1",))

    def more(self, what: str) -> tuple[Rows, str]:
        """Give the rows with one more of them, and its number."""
        had: tuple[str, ...] = getattr(self, what)
        new = str(max((int(each) for each in had), default=0) + 1)
        return (replace(self, **{what: (*had, new)}), new) if len(had) < MOST_ROWS else (self, had[-1])

    def without_pair(self, number: str) -> Rows:
        """Give the rows without a pair."""
        return replace(self, pairs=tuple(each for each in self.pairs if each != number))

    def as_typed(self) -> dict[str, list[str]]:
        """Give them as they stand in the form."""
        return {name: [",".join(getattr(self, name))] for name in ROWS}


def _numbers(typed: Typed, name: str) -> tuple[str, ...]:
    said = next(iter(typed.get(name, ())), "").split(",")
    return tuple(dict.fromkeys(each for each in said if _ROW.fullmatch(each)))[:MOST_ROWS]


def one(typed: Typed, name: str) -> str:
    """Give what stands in a field."""
    return next(iter(typed.get(name, ())), "")


def sale_form(card: SaleCard, shelf: Shelf, typed: Typed) -> Form:
    """Make the form for the rows that it has."""
    rows = Rows.typed(typed)
    return Form(
        (
            ("", tuple(hidden(name) for name in ROWS)),
            *((f"Pair {at}", tuple(pair_fields(card, shelf, typed, at))) for at in rows.pairs),
            ("Frames without lenses", tuple(each for at in rows.frames for each in _frame_alone(card, shelf, at))),
            ("Goods beside the glasses", tuple(each for at in rows.goods for each in _goods(card, shelf, at))),
            ("The whole", tuple(_whole(card, shelf))),
        )
    )


def first_typed(shelf: Shelf, wearer: WearerCard | None) -> dict[str, list[str]]:
    """Give what stands in the form at first: a pair for the wearer, with what is known from the last one."""
    rows, pair = Rows(), {}
    if wearer is not None:
        rows, number = rows.more("pairs")
        pair = pair_typed(wearer, number)
    return {**rows.as_typed(), "offers": shelf.automatic(), **pair}


def pair_typed(wearer: WearerCard, at: str) -> dict[str, list[str]]:
    """Give what stands in a new pair: the newest prescription and the PD of the last pair; heights go with a frame."""
    measured = wearer.last.pair.measurements if wearer.last else None
    return {
        f"p{at}_wearer": [str(wearer.wearer.number)],
        f"p{at}_prescription": [NEWEST],
        f"p{at}_use": [LensUse.DISTANCE.value],
        f"p{at}_pd": [pd_as_typed(measured) if measured else ""],
        f"p{at}_near": [near_pd_as_typed(measured) if measured else ""],
        f"p{at}_right_making": [Making.NEW.value],
        f"p{at}_left_making": [Making.NEW.value],
    }


def frame_code(card: SaleCard, shelf: Shelf, typed: Typed, at: str) -> str:
    """Give the code of the frame that stands in a pair so far; empty where it is none."""
    said = one(typed, f"p{at}_frame")
    try:
        return key_of(said, "frame", shelf.frames_for(card)) if said.strip() else ""
    except ShopledgerError:
        return ""


def pair_fields(card: SaleCard, shelf: Shelf, typed: Typed, at: str) -> Iterator[Field[Any]]:
    """Give the fields of a pair."""

    def about(*names: str) -> tuple[str, ...]:
        return tuple(f"p{at}.{name}" for name in names)

    yield hidden(f"p{at}_wearer")
    yield Field(
        f"p{at}_prescription", "Made from", lambda text, _: text, Kind.SELECT,
        choices=_prescriptions(card, one(typed, f"p{at}_wearer")), width="middle",
        about=about("prescription", "written_on", "expires_on", "expiry", "power"),
    )  # fmt: skip
    yield pick_known(
        f"p{at}_frame", "Frame", lambda: shelf.frames_for(card), shared=FRAME_LIST,
        about=about("frame", "trace", "blank", "stock", "decentration"),
    )  # fmt: skip
    yield tick(f"p{at}_own", "The wearer has this frame already")
    yield Field(
        f"p{at}_lens", "Lenses", lambda text, _: text, Kind.SELECT, choices=shelf.lens_choices,
        width="middle", about=about("lens", "lenses", "design"),
    )  # fmt: skip
    only = (LensUse.DISTANCE, LensUse.READING, LensUse.SCREEN)
    yield word(f"p{at}_use", "Single vision made for", LensUse, only=only, needed=False, about=about("use"))
    yield ticks(f"p{at}_extras", "Upgrades", shelf.extra_choices, about=about("extras", "extra"))
    yield _lengths(
        f"p{at}_pd",
        "PD",
        "Such as 63, or right and left 31.5 32.",
        about("pd", "mono_pd", *_each("mono_pd"), "monocular pd"),
    )
    yield _lengths(
        f"p{at}_near", "Near PD", "Where they are used near; left empty if not.", about("near_pd", *_each("near_pd"))
    )
    yield _lengths(
        f"p{at}_heights",
        "Fitting heights",
        "For multifocals; one, or right and left.",
        about("fitting_height", *_each("fitting_height"), "heights"),
    )
    for side in Side:
        yield from _one_eye(card, shelf, typed, at, side)
    yield word(
        f"p{at}_off_step", "A power between two quarters is made", OffStep, needed=False,
        about=about("right.sphere", "left.sphere", "off step"),
    )  # fmt: skip
    yield line(f"p{at}_note", "Note on the pair", needed=False)


def _one_eye(card: SaleCard, shelf: Shelf, typed: Typed, at: str, side: Side) -> Iterator[Field[Any]]:
    name, eye = f"p{at}_{side.value}", side.value.capitalize()
    lens = one(typed, f"{name}_lens") or one(typed, f"p{at}_lens")

    def about(*names: str) -> tuple[str, ...]:
        return tuple(f"p{at}.{each}" for each in names)

    yield word(f"{name}_making", f"{eye} lens", Making, about=about("lens of one eye"))
    yield Field(
        f"{name}_lens", f"{eye}: another lens", lambda text, _: text, Kind.SELECT, needed=False,
        choices=shelf.lens_choices, width="middle",
    )  # fmt: skip
    yield ticks(f"{name}_extras", f"{eye}: upgrades on this lens alone", shelf.extra_choices)
    yield Field(
        f"{name}_balance", f"{eye}: power that only balances", lambda text, _: read_power(text), needed=False,
        width="middle", about=about(f"{side.value}.balance", f"{side.value} balance power"),
    )  # fmt: skip
    yield Field(
        f"{name}_code", f"{eye}: claim code you choose", lambda text, _: text, Kind.SELECT, needed=False,
        choices=shelf.code_choices(lens, card.settings.progressive_base), width="middle",
        about=about(f"{side.value} code"),
    )  # fmt: skip


def _frame_alone(card: SaleCard, shelf: Shelf, at: str) -> Iterator[Field[Any]]:
    yield pick_known(f"f{at}_frame", "Frame", lambda: shelf.frames_alone, needed=False, shared=FRAME_LIST)
    yield word(f"f{at}_demo", "Its demo lenses were", DemoLenses, needed=False, about=(f"f{at}.its demo lenses",))
    yield _whose(card, f"f{at}_wearer")


def _goods(card: SaleCard, shelf: Shelf, at: str) -> Iterator[Field[Any]]:
    yield pick_known(f"a{at}_code", "What", lambda: shelf.goods, needed=False, width="middle")
    yield whole(
        f"a{at}_count", "How many", needed=False, width="part", hint="Left empty: one.", about=(f"a{at}.quantity",)
    )
    yield _whose(card, f"a{at}_wearer")


def _whose(card: SaleCard, name: str) -> Field[Any]:
    """Ask whose something is; left open it is whose the glasses are."""
    people = [Choice(str(each.wearer.number), each.wearer.name) for each in card.wearers]
    choices = [*people, Choice(NOBODY, f"{card.customer.name}'s as the customer")]
    return Field(
        name, "Whose", lambda text, _: text, Kind.SELECT, needed=False, choices=choices, width="middle",
    )  # fmt: skip


def _whole(card: SaleCard, shelf: Shelf) -> Iterator[Field[Any]]:
    usual = money(card.settings.shipping_charge)
    yield ticks("offers", "Offers to try", shelf.offer_choices, about=("offer",))
    yield amount("shipping", "Shipping", needed=False, hint=f"Left empty: {usual} as usual.")
    yield line(
        "tax_exempt", "Exempt from sales tax because", needed=False, longest=LONGEST_REASON, numbers=True,
        width="middle", about=("reason for the exemption",),
    )  # fmt: skip
    yield line("note", "Note on the order", needed=False, width="middle")
    yield day("day", "Day of the order", about=("order day",))


def _prescriptions(card: SaleCard, wearer: str) -> list[Choice]:
    found = next((each for each in card.wearers if str(each.wearer.number) == wearer), None)
    written = found.prescriptions if found else ()
    numbered = [Choice(str(each.number), _prescription_words(each)) for each in written[1:]]
    newest = f"the newest, {_prescription_words(written[0])}" if written else "the newest; there is none yet"
    return [Choice(NEWEST, newest), *numbered, Choice(WITHOUT, "no prescription: lenses without power")]


def prescriptions_of(wearer: WearerCard) -> list[Choice]:
    """Give a wearer's prescriptions to choose from, the newest first."""
    name = wearer.wearer.name
    return [Choice(str(each.number), f"{_prescription_words(each)}, {name}") for each in wearer.prescriptions]


def _prescription_words(written: WrittenPrescription) -> str:
    return f"{written.number}, {aged(written)}"


def _lengths(name: str, label: str, hint: str, about: tuple[str, ...]) -> Field[Any]:
    return Field(
        name, label, read_lengths, Kind.NUMBER, needed=False, hint=hint, unit="mm", width="narrow",
        about=about,
    )  # fmt: skip


def _each(name: str) -> tuple[str, ...]:
    return tuple(f"{side.value}.{name}" for side in Side)
