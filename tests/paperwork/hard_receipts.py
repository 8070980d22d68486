"""Receipts that are hard to set: many pairs, one of many wearers, money given back, long names, prism, one lens."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair, ReceiptPayment, ReceiptRefund
from tests.paperwork.samples import receipt, with_back

_OFFER: Final = "Clear single vision lenses included with any frame"
_LONG: Final = "Maximiliana-Theodora Featherstonehaugh-Wolfeschlegelstein von und zu Example-Hohenfels, the Third"
_LONG_FRAME: Final = "Brindlecote and Daughters Collection Number Twelve, brushed midnight blue with honey, 54-17-145"


def _line(words: str, code: str, price: int, pair: int | None, reduction: int = 0, offer: str = "") -> ReceiptLine:
    code, _, modifier = code.partition(" ")
    state = "eligible" if pair else "plan decides"
    return ReceiptLine(
        words, code, modifier, 1, price, reduction, price - reduction, state, "", pair, words=words, offer=offer
    )


def single_vision(pair: int, *, frame: str = "Vessamund Pellow, moss green, 52-18-140") -> Iterator[ReceiptLine]:
    """Give the lines of a frame of 180.00 with lenses that are included."""
    yield _line(f"Prescription frame – {frame}", "V2020", 18000, pair)
    for side, code in (("right", "V2103 RT"), ("left", "V2103 LT")):
        words = f"Single vision prescription lens, {side} – Clear single vision"
        yield _line(words, code, 4000, pair, 4000, _OFFER)


def progressive(pair: int, *, sides: tuple[str, ...] = ("right", "left")) -> Iterator[ReceiptLine]:
    """Give the lines of progressive lenses with a coating at 129.95."""
    for side in sides:
        mark = {"right": "RT", "left": "LT"}[side]
        what = f"Progressive prescription lens, {side}"
        yield _line(f"{what} – Even progressive, base lens", f"V2203 {mark}", 6750, pair)
        yield _line(f"{what} – progressive design, added to the base", f"V2781 {mark}", 6250, pair)
    for side in sides:
        mark = {"right": "RT", "left": "LT"}[side]
        yield _line(f"Anti-reflective coating, {side} lens", f"V2750 {mark}", 6498 if side == "right" else 6497, pair)


def _pair(position: int, title: str = "", **powers: str) -> ReceiptPair:
    title = title or "Clear single vision in Vessamund Pellow, moss green, 52-18-140"
    power = {"right": "-2.50 -1.25 x 090", "left": "-2.25 -0.75 x 085"} | powers
    return ReceiptPair(position, 56 + position, title, power["right"], power["left"])


def hard(*lines: ReceiptLine, pairs: tuple[ReceiptPair, ...] | None = None, **changes: Any) -> ReceiptContent:  # noqa: ANN401 - fields of many kinds
    """Give a receipt of these lines, with a pair for each that they name."""
    positions = dict.fromkeys(line.pair for line in lines if line.pair is not None)
    known = tuple(_pair(position) for position in positions) if pairs is None else pairs
    return receipt(lines=lines, pairs=known, **changes)


def _nine_pairs() -> ReceiptContent:
    lines = [line for at in range(1, 10) for line in (single_vision(at) if at % 2 else progressive(at))]
    return hard(*lines)


def _one_of_seven() -> ReceiptContent:
    lines = tuple(single_vision(6))
    total = sum(line.charge for line in lines) + 950 + 158
    note = (
        "This order also holds goods for 6 other people and nobody in particular. Shipping is shared in proportion to "
        "charges, payments in proportion to what was still owed."
    )
    whole = 250_000
    halves = (total // 2, total - total // 2)
    payments = tuple(ReceiptPayment("2026-02-27", "card", "4242", half, whole) for half in halves)
    return hard(*lines, shared_note=note, payments=payments, wearer="Juniper Example-Sample")


def _refunded_in_part() -> ReceiptContent:
    backs = (
        ReceiptRefund("2026-03-20", "card", "4242", 18000, "The frame broke at the hinge and went back to its maker."),
        ReceiptRefund("2026-04-02", "check", "1188", 4000, "A part of the coating, as agreed by telephone."),
    )
    return with_back(hard(*single_vision(1), *progressive(2)), *backs)


def _refunded_whole() -> ReceiptContent:
    whole = hard(*single_vision(1))
    return with_back(whole, ReceiptRefund("2026-03-20", "card", "4242", whole.paid, "Taken back whole."))


def _written_off() -> ReceiptContent:
    whole = hard(*progressive(1))
    paid = whole.total - 2500
    return replace(whole, payments=(ReceiptPayment("2026-02-27", "cash", "", paid),), paid=paid, written_off=2500)


def _forty_lines() -> ReceiptContent:
    goods = (_line(f"Cleaning cloth, pattern {at}", "", 450 + at, None) for at in range(1, 25))
    return hard(*single_vision(1), *progressive(2), *single_vision(3), *goods, *progressive(4, sides=("left",)))


def _long_names() -> ReceiptContent:
    title = f"Straight-top bifocal with a name that goes on, 28 mm in {_LONG_FRAME}"
    return hard(
        *single_vision(1, frame=_LONG_FRAME),
        pairs=(_pair(1, title),),
        wearer=_LONG,
        customer=_LONG,
        prescriber=f"Dr. {_LONG}; Dr. Somebody Else",
        prescription_day="2026-01-15, 2025-12-11",
        prescription_expires=("2028-01-15", ""),
        customer_lines=("Supercalifragilisticexpialidocious-and-much-more Street 12345, Building C", "Łódź"),
    )


def _prism() -> ReceiptContent:
    right = "+1.25 -0.50 x 080 add 2.25 prism 2.00 base in 1.50 base up"
    left = "+1.00 -0.75 x 100 add 2.25 prism 2.00 base in 1.50 base down"
    options = (
        _line(f"Prism, {side} lens", f"V2715 {mark}", 1500, 1) for side, mark in (("right", "RT"), ("left", "LT"))
    )
    pairs = (_pair(1, "Even progressive in Vessamund Quarn, honey, 50-20-145", right=right, left=left),)
    return hard(*progressive(1), *options, pairs=pairs)


def _one_lens() -> ReceiptContent:
    pairs = (_pair(1, "Even progressive, left lens only in Vessamund Quarn, honey, 50-20-145", right="no lens"),)
    return hard(*progressive(1, sides=("left",)), pairs=pairs)


def _own_frame() -> ReceiptContent:
    lines = (line for line in single_vision(1) if line.code != "V2020")
    pairs = (_pair(1, "Clear single vision in own frame Lumbrey, black, 51-19-145"),)
    blue = (_line(f"Blue filter, {side} lens ({mark})", "", 1200, 1) for side, mark in _SIDES)
    return hard(*lines, *blue, pairs=pairs)


_SIDES: Final = (("right", "RT"), ("left", "LT"))


def _remade() -> ReceiptContent:
    frame, right, left = single_vision(1)
    kept = _pair(1, right="-2.75 -1.25 x 090 (prescribed -2.75 -1.25 x 092)", left="not made: the old lens stays")
    return hard(
        frame,
        replace(right, changed=True),
        left,
        pairs=(kept,),
        replaces=1007,
        replaces_because="The prescriber changed the right eye.",
        no_longer=("Prescription frame – Brindlecote Marrid, slate, 54-17-145",),
        diagnoses=("H52.13", "H52.223"),
        prescription_expires=("2028-01-15",),
    )


def _other_items_only() -> ReceiptContent:
    lines = (
        _line("Frame without lenses – Tamsk and Ovey Hallock, tea, 55-16-140", "V2020", 23950, None),
        _line("Hard case, felt-lined (quantity 2)", "", 2400, None),
    )
    return hard(*lines, wearer="", wearer_birth_date="", prescriber="", prescriber_npi="", prescription_day="")


def _no_prescription() -> ReceiptContent:
    lines = (
        _line("Frame – Tamsk and Ovey Lumbrey, black, 51-19-145", "", 9500, 1),
        *(_line(f"Single vision lens, {side} – Clear single vision ({mark})", "", 4000, 1) for side, mark in _SIDES),
    )
    lines = tuple(replace(line, reimbursement="not eligible") for line in lines)
    title = "Clear single vision, without prescription in Tamsk and Ovey Lumbrey, black, 51-19-145"
    return hard(*lines, pairs=(_pair(1, title, right="", left=""),))


def _many_payments() -> ReceiptContent:
    lines = tuple(progressive(1))
    total = sum(line.charge for line in lines) + 950 + 158
    parts = [total // 12] * 11
    parts.append(total - sum(parts))
    payments = tuple(
        ReceiptPayment(f"2026-{at:02d}-05", "card" if at % 2 else "check", str(4000 + at), amount)
        for at, amount in enumerate(parts, start=1)
    )
    return hard(*lines, payments=payments)


HARD: Final[Mapping[str, ReceiptContent]] = {
    "nine pairs": _nine_pairs(),
    "one of seven": _one_of_seven(),
    "refunded in part": _refunded_in_part(),
    "refunded whole": _refunded_whole(),
    "written off": _written_off(),
    "forty lines": _forty_lines(),
    "long names": _long_names(),
    "prism": _prism(),
    "one lens": _one_lens(),
    "own frame": _own_frame(),
    "remade": _remade(),
    "other items only": _other_items_only(),
    "no prescription": _no_prescription(),
    "many payments": _many_payments(),
}
"""By what is hard about them."""
