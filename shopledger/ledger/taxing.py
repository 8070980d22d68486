"""Sales tax on the lines of an order: which rate each has by what it is and where it goes, and what that comes to.

Shipping that is taxed as the goods are has their tax in proportion to their net charges. Exactly, its tax is

    shipping x sum(net x rate of each line of goods) / sum(net of all goods),

rounded once to a cent, or shared with the order's, as the owner rounds. Frozen on its line stand that tax, what of its
net goes with goods that are not taxed, and the rate on the rest: that of the goods, or what several come to together.
It is of the goods' place, but where theirs differ, of the place that shipping's own setting names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderLine
from shopledger.ledger.taxes import WITHOUT_TAX, Destination, TaxRate, rate_for
from shopledger.money.amount import Cents
from shopledger.money.rate import WHOLE, Rate, round_half_away
from shopledger.money.tax import TaxRounding, rounded_taxes
from shopledger.optics.findings import Finding, Severity

_PARTS: Final = {
    LineKind.FRAME: TaxCategory.FRAME,
    LineKind.LENSES: TaxCategory.LENSES,
    LineKind.EXTRA: TaxCategory.COATING,
}
"""What each line of prescription glasses is where the owner set a rate for that part alone."""


@dataclass(frozen=True, slots=True)
class TaxedGoods:
    """What the tax on shipping has to know of a line of goods."""

    net: Cents
    rate: Rate
    place: str = ""


def taxed(
    lines: Sequence[OrderLine],
    rates: Sequence[TaxRate],
    where: Destination,
    day: date,
    *,
    rounding: TaxRounding,
    exempt: str = "",
    beside: Sequence[TaxedGoods] = (),
) -> tuple[OrderLine, ...]:
    """Give lines with their tax; an exempt order has its reason on each, and none."""
    rated = [_rated(line, rates, where, day, exempt) for line in lines]
    sold = (line for line, _ in rated if line.kind is not LineKind.SHIPPING)
    goods = [*beside, *(TaxedGoods(line.net, line.tax_rate, line.tax_place) for line in sold)]
    net, tax = sum(each.net for each in goods), sum(each.net * each.rate for each in goods)
    whole = net or 1
    found = [_as_goods(line, goods) if as_goods else line for line, as_goods in rated]
    exact = [line.net * (tax if as_goods else line.tax_rate * whole) for line, as_goods in rated]
    taxes = rounded_taxes(exact, WHOLE * whole, rounding)
    return tuple(replace(line, tax=each) for line, each in zip(found, taxes, strict=True))


def without_rate(
    lines: Iterable[OrderLine], rates: Sequence[TaxRate], where: Destination, day: date
) -> tuple[Finding, ...]:
    """Note the categories of lines for which no rate was set, or one ended and none follows: none is charged."""
    notes = []
    for category in dict.fromkeys(line.tax_category for line in lines):
        found = rate_for(rates, where, category, day)
        if found is None:
            said = f"No sales tax rate is set for {category.value} in {where.state}, so none is charged."
            notes.append(_note("TAX-NOT-SET", category, "", said))
        elif found.valid_to is not None and not found.holds_on(day):
            ended = found.valid_to.isoformat()
            said = (
                f"The sales tax rate for {category.value} in {found.whole_place}, {found.words}, ended on {ended} and "
                "none follows it, so none is charged. Set one with 'shopledger tax set'."
            )
            notes.append(_note("TAX-ENDED", category, ended, said))
    return tuple(notes)


def _note(code: str, category: TaxCategory, limit: str, said: str) -> Finding:
    return Finding(Severity.NOTE, code, "tax", category.value, limit, "the owner's own settings", said)


def _rated(
    line: OrderLine, rates: Sequence[TaxRate], where: Destination, day: date, exempt: str
) -> tuple[OrderLine, bool]:
    """Freeze on a line the rate that holds and all that is said of it; tell whether it is taxed as the goods are."""
    category, rate = _rate_of(line, rates, where, day)
    if rate is not None and not rate.holds_on(day):
        line, rate = replace(line, tax_place=rate.place), None
    if rate is not None:
        line = replace(line, tax_imposed_on=rate.imposed_on, tax_place=rate.place)
    line = replace(line, tax_category=category)
    if exempt:
        return replace(line, tax_rate=0, tax_reason=exempt), False
    if rate is None:
        return line, False
    return replace(line, tax_rate=rate.rate, tax_reason=rate.exempt_reason), rate.as_goods


def _rate_of(
    line: OrderLine, rates: Sequence[TaxRate], where: Destination, day: date
) -> tuple[TaxCategory, TaxRate | None]:
    """Give the rate of a part of prescription glasses where the owner set one for it, and that of its category else."""
    whole = line.tax_category.whole
    part = _PARTS.get(line.kind) if whole is TaxCategory.PRESCRIPTION_EYEWEAR else None
    if part is not None:
        found = rate_for(rates, where, part, day)
        if found is not None:
            return part, found
    return whole, rate_for(rates, where, whole, day)


def _as_goods(line: OrderLine, goods: Sequence[TaxedGoods]) -> OrderLine:
    """Freeze on a line of shipping what of it goes with untaxed goods, and the rate on the rest with its place."""
    net = sum(each.net for each in goods)
    with_tax = sum(each.net for each in goods if each.rate)
    tax = sum(each.net * each.rate for each in goods)
    if not with_tax:
        return replace(line, tax_rate=0, tax_reason=WITHOUT_TAX)
    free = line.net - round_half_away(line.net * with_tax, net)
    places = {each.place for each in goods if each.net and each.rate}
    place = places.pop() if len(places) == 1 else line.tax_place
    return replace(line, tax_rate=round_half_away(tax, with_tax), tax_free=free, tax_place=place)
