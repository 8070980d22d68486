"""Turning a priced line into the charges that a claim counts: one lens, one side, one code, exact to the cent.

The pair's price is split into the lens's base, the progressive design and the material, each with its share of the
reduction in proportion to list prices, and each part over right and left; the price of one lens alone is its own. Sums
are kept both ways: the parts of a lens add up to the lens, and the right and left of a part add up to the part, in list
price, reduction and net alike. Of the pair's list price, reduction and net the odd cent goes to the right, with one
exception that no split escapes: where the list price is even and the net odd, the net's cent goes to the right, so the
reduction's cent goes to the left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Final, TypeAlias

from shopledger.errors import LedgerError, listed
from shopledger.ledger.catalogue import Accessory, Design, Extra, Frame, Lens
from shopledger.ledger.claims.code_picker import (
    DELUXE_FRAME,
    FRAME,
    PROGRESSIVE,
    CodePick,
    base_pick,
    choose,
    extra_pick,
    high_add_pick,
    material_pick,
)
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.orders import Charge
from shopledger.ledger.settings import Settings
from shopledger.money.amount import Cents
from shopledger.money.rate import part_of
from shopledger.money.split import split_by_weight, split_over_lenses
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side

BOTH: Final = (Side.RIGHT, Side.LEFT)
NO_PRESCRIPTION: Final = "Made without a prescription, so no claim code is given."
NO_CHOICE: Final[Mapping[Side, str]] = {}


class UnsettledCodeError(LedgerError):
    """The published bands leave a lens without one code, and the owner has not chosen."""

    side: Side
    reason: str
    candidates: tuple[str, ...]

    def __str__(self) -> str:
        side = self.side.value
        return (
            f"the {side} lens has no claim code yet: {self.reason}. Choose {listed(self.candidates)} "
            f"and give it with the pair as its {side} code ({side}_code in an order file); the choice is kept."
        )


@dataclass(frozen=True, slots=True)
class _Part:
    """One part of a lens: its words, its code, and why."""

    description: str
    code: str
    note: str = ""
    chosen: bool = False


def lens_charges(
    lens: Lens,
    made: Prescription | None,
    list_price: Cents,
    reduction: Cents,
    settings: Settings,
    chosen: Mapping[Side, str] = NO_CHOICE,
    sides: Sequence[Side] = BOTH,
) -> tuple[Charge, ...]:
    """Give the charges of a pair of lenses, right before left, or of one; without a prescription they carry no code.

    `chosen` holds the owner's code for a side where the bands leave a gap or an overlap.
    """
    if made is None:
        part = _Part(lens.name, "", NO_PRESCRIPTION)
        return _lens_by_lens(dict.fromkeys(sides, (part,)), (list_price,), reduction)
    parts = {side: _lens_parts(lens, made.eye(side), side, chosen.get(side, ""), settings) for side in sides}
    return _lens_by_lens(parts, _part_prices(lens, list_price, settings), reduction)


def extra_charges(
    extra: Extra, list_price: Cents, reduction: Cents, *, prescription: bool = True, sides: Sequence[Side] = BOTH
) -> tuple[Charge, ...]:
    """Give the charges of an upgrade or coating, one per lens it is on."""
    part = _Part(extra.name, "", NO_PRESCRIPTION)
    if prescription:
        pick = extra_pick(extra.kind)
        part = _Part(extra.name, pick.code, _why_none(pick))
    return _lens_by_lens(dict.fromkeys(sides, (part,)), (list_price,), reduction)


def frame_charge(frame: Frame, list_price: Cents, reduction: Cents, *, prescription: bool = True) -> Charge:
    """Give the charge of a frame: one unit, no side."""
    code, note = (FRAME, "") if prescription else ("", NO_PRESCRIPTION)
    return _charge(_Part(frame.description, code, note), None, list_price, reduction)


def frame_charges(
    frame: Frame, list_price: Cents, reduction: Cents, settings: Settings, *, prescription: bool = True
) -> tuple[Charge, ...]:
    """Give the charges of a frame: one, or two where the shop splits a dear frame into standard and deluxe."""
    standard = settings.standard_frame
    if not prescription or standard is None or list_price <= standard:
        return (frame_charge(frame, list_price, reduction, prescription=prescription),)
    lists = (standard, list_price - standard)
    reductions = split_by_weight(reduction, lists)
    parts = (
        _Part(f"{frame.description}, standard charge", FRAME),
        _Part(f"{frame.description}, deluxe frame", DELUXE_FRAME, "What the frame costs above the standard charge."),
    )
    return tuple(
        _charge(part, None, listed_at, reduced)
        for part, listed_at, reduced in zip(parts, lists, reductions, strict=True)
    )


def accessory_charge(accessory: Accessory, quantity: int, list_price: Cents, reduction: Cents) -> Charge:
    """Give the charge of an accessory, under the code that the owner set for it, if any."""
    return _charge(_Part(accessory.name, accessory.claim_code), None, list_price, reduction, quantity)


def shipping_charge(list_price: Cents, reduction: Cents = 0) -> Charge:
    """Give the charge of shipping, which no code names."""
    return _charge(_Part("Shipping", ""), None, list_price, reduction)


def _lens_parts(lens: Lens, eye: EyePrescription, side: Side, chosen: str, settings: Settings) -> tuple[_Part, ...]:
    """Give the parts of one lens in the order of `_part_prices`."""
    material = material_pick(lens.material_class, lens.index)
    parts = [_base_part(lens, eye, side, chosen, material, settings.progressive_base)]
    if lens.design is Design.PROGRESSIVE:
        parts.append(_Part("Progressive design", PROGRESSIVE))
    if lens.material_part:
        parts.append(_Part(f"Material: {lens.material}", material.code, _why_none(material)))
    return tuple(parts)


def _base_part(
    lens: Lens, eye: EyePrescription, side: Side, chosen: str, material: CodePick, progressive_base: Design
) -> _Part:
    pick = base_pick(lens.design, eye.power, balance=eye.balance, progressive_base=progressive_base)
    notes, differs = [], False
    if chosen:
        kept = choose(pick, lens.design, chosen, progressive_base)
        differs = kept != pick
        notes.append(f"{kept.reason}." if differs else "")
        pick = kept
    if not pick.settled:
        raise UnsettledCodeError(side, pick.reason, pick.candidates)
    notes.append(pick.note)
    high_add = high_add_pick(lens.design, eye.add, progressive_base)
    if high_add.settled:
        notes.append(f"{high_add.code} also applies, since {high_add.reason}; nothing is charged for it apart.")
    if material.settled and not lens.material_part:
        notes.append(f"{lens.material} ({material.code}) is part of this price.")
    return _Part(lens.name, pick.code, " ".join(note for note in notes if note), chosen=differs)


def _why_none(pick: CodePick) -> str:
    return pick.note if pick.settled else f"No code: {pick.reason}. {pick.note}".rstrip()


def _part_prices(lens: Lens, list_price: Cents, settings: Settings) -> tuple[Cents, ...]:
    """Give what the base, the design (of a progressive) and the material (where it has a price) come to for the pair.

    Where the catalogue names no design part, it is the shop's share of what the material leaves of the price.
    """
    material = lens.material_part
    design = 0
    if lens.design is Design.PROGRESSIVE:
        design = _design_price(lens, settings)
    base = lens.price - design - material
    weights = [base]
    if lens.design is Design.PROGRESSIVE:
        weights.append(design)
    if material:
        weights.append(material)
    # The parts are those of the catalogue's price; the line's own price is the same unless it was agreed otherwise.
    return split_by_weight(list_price, weights if any(weights) else (1, *weights[1:]))


def _design_price(lens: Lens, settings: Settings) -> Cents:
    """Give the design's part of a progressive: the catalogue's, what is above the standard price, or a share."""
    rest = lens.price - lens.material_part
    if lens.design_part:
        return lens.design_part
    if settings.standard_bifocal is not None:
        return max(0, rest - settings.standard_bifocal)
    return part_of(rest, settings.progressive_share)


def _lens_by_lens(
    parts: Mapping[Side, tuple[_Part, ...]], prices: Sequence[Cents], reduction: Cents
) -> tuple[Charge, ...]:
    """Give the charges of each lens, of both or of one alone."""
    nets = tuple(price - less for price, less in zip(prices, split_by_weight(reduction, prices), strict=True))
    lists_by_lens, nets_by_lens = ((prices,), (nets,)) if len(parts) == 1 else _over_lenses(prices, nets)
    return tuple(
        _charge(part, side, listed_at, listed_at - net)
        for side, lists, left in zip(parts, lists_by_lens, nets_by_lens, strict=True)
        for part, listed_at, net in zip(parts[side], lists, left, strict=True)
    )


_ByLens: TypeAlias = tuple[Sequence[Cents], ...]


def _over_lenses(prices: Sequence[Cents], nets: Sequence[Cents]) -> tuple[_ByLens, _ByLens]:
    """Split each part's list price and net over right and left so that parts and lenses add up, and none is negative.

    The odd cents of the parts go right and left in turn. Parts that have one in both, price and net, come first: they
    get both on the same lens, so that a part without a reduction has none on either lens.
    """
    in_turn = sorted(range(len(prices)), key=lambda part: not (prices[part] % 2 and nets[part] % 2))
    return _split_in_turn(prices, in_turn), _split_in_turn(nets, in_turn)


def _split_in_turn(amounts: Sequence[Cents], in_turn: Sequence[int]) -> _ByLens:
    """Split amounts over the lenses by their running totals, so that the first odd cent goes right, the next left."""
    right, left = [0] * len(amounts), [0] * len(amounts)
    totals = [split_over_lenses(total) for total in accumulate((amounts[part] for part in in_turn), initial=0)]
    for part, (before, after) in zip(in_turn, pairwise(totals), strict=True):
        right[part], left[part] = after[0] - before[0], after[1] - before[1]
    return right, left


def _charge(part: _Part, side: Side | None, list_price: Cents, reduction: Cents, units: int = 1) -> Charge:
    words = part.description if side is None else f"{part.description}, {side.value} lens"
    return Charge(
        words,
        side,
        part.code,
        list_price,
        reduction,
        list_price - reduction,
        units,
        part.note,
        chosen=part.chosen,
        release=RELEASE if part.code else "",
    )
