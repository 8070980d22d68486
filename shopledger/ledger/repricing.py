"""Pricing a pair once more after a change: what stands keeps its frozen price, what is new is priced as of today.

Goods stand where a line of the pair sells the same for the same eyes. Such a line is left alone unless something that
a claim counts by has changed on it (whose it is, its code, its tax); then it is written anew at the price that stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.line_model import KeptLine
from shopledger.ledger.offering import with_offers
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderLine
from shopledger.ledger.pricing import PairGoods, Terms, pair_parts, with_tax
from shopledger.money.amount import Cents
from shopledger.money.rate import part_of, round_half_away
from shopledger.money.split import split_by_weight
from shopledger.optics.sides import Side

_FROZEN: Final = "as it stands"
"""Stands in the place of an offer on a line whose price no offer may change."""


@dataclass(frozen=True, slots=True)
class Repriced:
    """What gives way of a pair's lines, and what comes in."""

    out: tuple[KeptLine, ...]
    added: tuple[OrderLine, ...]


def reprice(
    goods: PairGoods,
    standing: Sequence[KeptLine],
    terms: Terms,
    agreed: Mapping[str, Cents] | None = None,
    *,
    other_powers: bool = False,
) -> Repriced:
    """Give what changes on the lines of a pair that stood until now, for the pair as it is to be.

    Lenses of other powers are other lenses, even under the same codes.
    """
    prices = agreed or {}
    waiting = list(standing)
    frozen: list[tuple[OrderLine, KeptLine | None]] = []
    parts = pair_parts(goods, terms.settings)
    for line, charged in parts:
        sides = _sides(replace(line, charges=charged(line)))
        same = next((each for each in waiting if _same_goods(each.line, line, sides)), None)
        priced = line
        if same is not None:
            waiting.remove(same)
            priced = _as_it_stands(line, same)
        elif line.item_code in prices:
            priced = agreed_price(line, prices[line.item_code])
        frozen.append((priced, same))
    designs = {sold.goods.code: sold.goods.design for sold in goods.lenses}
    reduced = with_offers([line for line, _ in frozen], terms.offers, designs, goods.position)
    whole = [
        (replace(line, charges=charged(line)), same)
        for line, (_, same), (_, charged) in zip(reduced, frozen, parts, strict=True)
    ]
    taxed = with_tax([_own_offer(line, same) for line, same in whole], terms)
    out, added = list(waiting), []
    for line, (_, same) in zip(taxed, whole, strict=True):
        if same is None:
            added.append(line)
        elif not _unchanged(same.line, line) or (other_powers and line.kind is LineKind.LENSES):
            out.append(same)
            added.append(_taxed_as_it_stands(line, same))
    return Repriced(tuple(sorted(out, key=lambda kept: kept.place)), tuple(added))


def refuse_unused(agreed: Mapping[str, Cents], added: Sequence[OrderLine]) -> None:
    """Refuse an agreed price of goods that do not come in."""
    codes = [line.item_code for line in added]
    unknown = next((code for code in agreed if code not in codes), None)
    if unknown is not None:
        raise RefusedError(
            "agreed price",
            f"of {unknown}",
            f"what comes in is {', '.join(codes)}" if codes else "nothing comes in that is priced",
            "Name what comes in, or change a line's price with 'shopledger sale price'.",
        )


def agreed_price(line: OrderLine, net: Cents) -> OrderLine:
    """Give a line at an agreed net price, which no offer changes; its charges and tax are worked out afterwards."""
    listed = max(line.list_price, net)
    return replace(line, list_price=listed, reduction=listed - net, net=net, offer_code=_FROZEN)


def priced_as_agreed(lines: Sequence[OrderLine], agreed: Mapping[str, Cents]) -> tuple[OrderLine, ...]:
    """Give lines, those of goods for which a net price was agreed at that."""
    return tuple(at_price(line, agreed[line.item_code]) if line.item_code in agreed else line for line in lines)


def at_price(line: OrderLine, net: Cents) -> OrderLine:
    """Give a line at another price: the same goods with the same codes, its tax at the same rate."""
    listed = max(line.list_price, net)
    lists = split_by_weight(listed, [charge.list_price for charge in line.charges]) if line.charges else ()
    less = split_by_weight(listed - net, lists) if lists else ()
    charges = tuple(
        replace(charge, list_price=price, reduction=off, net=price - off)
        for charge, price, off in zip(line.charges, lists, less, strict=True)
    )
    free = round_half_away(net * line.tax_free, line.net) if line.tax_free else 0
    return replace(
        line,
        list_price=listed,
        reduction=listed - net,
        net=net,
        tax=part_of(net - free, line.tax_rate),
        tax_free=free,
        offer_code="",
        added_by=None,
        charges=charges,
    )


def _same_goods(before: OrderLine, line: OrderLine, sides: tuple[Side | None, ...]) -> bool:
    return (before.kind, before.item_code) == (line.kind, line.item_code) and _sides(before) == sides


def _sides(line: OrderLine) -> tuple[Side | None, ...]:
    return tuple(dict.fromkeys(charge.side for charge in line.charges))


def _as_it_stands(line: OrderLine, same: KeptLine) -> OrderLine:
    """Give a line at the price at which its goods stand by now: what was given back of it stays given back."""
    listed = same.line.list_price
    offer = same.line.offer_code or _FROZEN
    return replace(line, list_price=listed, reduction=listed - same.kept, net=same.kept, offer_code=offer)


def _own_offer(line: OrderLine, same: KeptLine | None) -> OrderLine:
    if line.offer_code != _FROZEN:
        return line
    return replace(line, offer_code=same.line.offer_code if same else "")


def _taxed_as_it_stands(line: OrderLine, same: KeptLine) -> OrderLine:
    """Let a line keep its tax to the cent where it is taxed as before."""
    before = same.line
    if before.tax_category.whole is not line.tax_category.whole:
        return line
    return replace(
        line,
        tax_category=before.tax_category,
        tax_rate=before.tax_rate,
        tax=same.tax_kept,
        tax_imposed_on=before.tax_imposed_on,
        tax_reason=before.tax_reason,
        tax_place=before.tax_place,
    )


def _unchanged(before: OrderLine, line: OrderLine) -> bool:
    """Tell whether a line says the same as before, but for its amounts."""
    return _said(before) == _said(line)


def _said(line: OrderLine) -> tuple[object, ...]:
    charges = [(each.description, each.side, each.code, each.note, each.chosen) for each in line.charges]
    return line.description, line.wearer_number, line.tax_category.whole, line.reimbursement, charges
