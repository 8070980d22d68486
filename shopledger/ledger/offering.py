"""Applying offers to the lines of one pair: which holds, what it saves, on which lines it stands.

A line is reduced by one offer at the most. Where several could apply, the one that saves the customer most
goes first (ties: by code), then the next on what is still unreduced.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import Matches, Offer, OfferKind, Sharing
from shopledger.ledger.orders import OrderLine
from shopledger.money.amount import Cents
from shopledger.money.rate import part_of
from shopledger.money.split import split_by_weight


def with_offers(
    lines: Sequence[OrderLine], offers: Sequence[Offer], designs: Mapping[str, Design], pair: int
) -> tuple[OrderLine, ...]:
    """Give one pair's lines with every reduction that holds.

    `designs` gives the design of each lens by its code; `pair` is the pair's place in the order, from 1.
    """
    reduced = tuple(lines)
    waiting = {offer.code: offer for offer in offers if pair >= offer.from_pair}
    while waiting:
        best = max(
            sorted(waiting.values(), key=lambda offer: offer.code), key=lambda offer: _saving(reduced, offer, designs)
        )
        if not _saving(reduced, best, designs):
            break
        reduced = _applied(reduced, waiting.pop(best.code), designs)
    return reduced


def _saving(lines: Sequence[OrderLine], offer: Offer, designs: Mapping[str, Design]) -> Cents:
    return sum(_reductions(lines, offer, designs).values())


def _applied(lines: Sequence[OrderLine], offer: Offer, designs: Mapping[str, Design]) -> tuple[OrderLine, ...]:
    reductions = _reductions(lines, offer, designs)
    return tuple(
        replace(line, reduction=reductions[place], net=line.list_price - reductions[place], offer_code=offer.code)
        if reductions.get(place)
        else line
        for place, line in enumerate(lines)
    )


def _reductions(lines: Sequence[OrderLine], offer: Offer, designs: Mapping[str, Design]) -> dict[int, Cents]:
    """Give the reduction per place; empty where the offer does not hold."""
    open_places = [place for place, line in enumerate(lines) if not line.offer_code]
    reduces = _places(lines, open_places, offer.reduces, designs)
    shares_all = offer.sharing is Sharing.ALL_LINES or offer.kind is OfferKind.PACKAGE
    among = open_places if shares_all else range(len(lines))
    needed = [_places(lines, among, (need,), designs) for need in offer.needs]
    if not reduces or not all(needed):
        return {}
    over = sorted({*reduces, *(place for places in needed for place in places)}) if shares_all else reduces
    prices = [lines[place].list_price for place in over]
    if not any(prices):
        return {}
    amount = _amount(offer, sum(lines[place].list_price for place in reduces), sum(prices))
    return dict(zip(over, split_by_weight(amount, prices), strict=True))


def _amount(offer: Offer, reduced_list: Cents, all_list: Cents) -> Cents:
    """Give what the offer takes off."""
    if offer.kind is OfferKind.INCLUDED:
        return reduced_list
    if offer.kind is OfferKind.PERCENT:
        return part_of(reduced_list, offer.percent)
    return max(0, all_list - offer.price)


def _places(
    lines: Sequence[OrderLine], among: Sequence[int], wanted: Sequence[Matches], designs: Mapping[str, Design]
) -> list[int]:
    return [place for place in among if any(_meant(lines[place], match, designs) for match in wanted)]


def _meant(line: OrderLine, match: Matches, designs: Mapping[str, Design]) -> bool:
    return (
        line.kind is match.kind
        and (match.code is None or match.code == line.item_code)
        and (match.design is None or designs.get(line.item_code) is match.design)
    )
