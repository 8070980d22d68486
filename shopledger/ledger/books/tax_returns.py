"""What a state's sales tax return asks for over some days, by place and rate, and what may be owed as use tax."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate, part_of, write_rate

CAUTION: Final = (
    "Rates, categories and exemptions are the shop's own settings. This is no tax advice: compare it with the state's "
    "rules and forms."
)
NO_RATE: Final = "no rate set"
ZERO_RATE: Final = "rate of 0"
USED: Final = {StockReason.OWN_USE: "taken home", StockReason.GIVEN: "given away as gifts or samples"}
"""Goods that leave for nothing and may have been bought without sales tax, as the return calls them."""
NOT_POSTED: Final = (
    "Use tax stands in no account: what you pay of it is an expense for taxes and licences ('shopledger spend record')."
)


@dataclass(frozen=True, slots=True)
class TaxedAt:
    """What one rate taxed in one place: sold in these days, and what of such sales was taken back in them."""

    rate: Rate
    taxable: Cents
    charged: Cents
    """Tax collected on it, as it stands on the orders."""
    taken_back: Cents = 0
    tax_taken_back: Cents = 0

    @property
    def by_rate(self) -> Cents:
        """What the rate comes to on the taxable sum, rounded once."""
        return part_of(self.taxable, self.rate)

    @property
    def difference(self) -> Cents:
        """By how much more was collected: each line or order was rounded by itself."""
        return self.charged - self.by_rate


@dataclass(frozen=True, slots=True)
class PlaceReturn:
    """One place in a state, or its rest where the place is empty."""

    place: str
    gross: Cents
    """All that was sold, shipping included, before anything was taken back."""
    exempt: tuple[tuple[str, Cents], ...]
    """What was not taxed of it, by reason."""
    rates: tuple[TaxedAt, ...]
    taken_back: Cents = 0
    """Net sales refunded or cancelled, taxed or not."""

    @property
    def taxable(self) -> Cents:
        """Sales on which tax was charged."""
        return sum(each.taxable for each in self.rates)


@dataclass(frozen=True, slots=True)
class UsedGoods:
    """Goods that left for nothing, at cost, and the rate that the owner set for use; None where there is none."""

    what: str
    cost: Cents
    rate: Rate | None = None

    @property
    def tax(self) -> Cents | None:
        """What the rate comes to; nothing is worked out without one."""
        return None if self.rate is None else part_of(self.cost, self.rate)


@dataclass(frozen=True, slots=True)
class TaxReturn:
    """One state over some days; refunds and cancellations count on the day of the refund or cancellation."""

    state: str
    first: date
    last: date
    orders: int
    """Orders of which something left in these days, whatever became of them."""
    places: tuple[PlaceReturn, ...]
    paid: Cents
    """Handed on to the state in these days, with what the state let the shop keep."""
    owed_before: Cents
    """Owed to the state before the first day."""
    owed_at_end: Cents
    """Owed to the state at the end of the last day, from before these days too."""
    used: tuple[UsedGoods, ...] = ()
    """Goods taken home or given away, in the shop's own state alone."""

    @property
    def gross(self) -> Cents:
        """All that was sold, shipping included, before anything was taken back."""
        return sum(each.gross for each in self.places)

    @property
    def exempt(self) -> tuple[tuple[str, Cents], ...]:
        """What was not taxed of it, by reason."""
        found: Counter[str] = Counter()
        for place in self.places:
            for reason, amount in place.exempt:
                found[reason] += amount
        return tuple(sorted(found.items()))

    @property
    def exempt_total(self) -> Cents:
        """All that was not taxed."""
        return sum(amount for _, amount in self.exempt)

    @property
    def taxable(self) -> Cents:
        """Sales on which tax was charged."""
        return self.gross - self.exempt_total

    @property
    def by_rates(self) -> Cents:
        """What the rates come to on the taxable sums, each rounded once."""
        return sum(each.by_rate for each in self._rates)

    @property
    def difference(self) -> Cents:
        """By how much more was collected than the rates come to."""
        return self.charged - self.by_rates

    @property
    def charged(self) -> Cents:
        """Tax collected on what was sold."""
        return sum(each.charged for each in self._rates)

    @property
    def taken_back(self) -> Cents:
        """Net sales refunded or cancelled, taxed or not."""
        return sum(each.taken_back for each in self.places)

    @property
    def taxable_taken_back(self) -> Cents:
        """The taxed part of what was taken back."""
        return sum(each.taken_back for each in self._rates)

    @property
    def tax_taken_back(self) -> Cents:
        """Tax given back on it."""
        return sum(each.tax_taken_back for each in self._rates)

    @property
    def net_tax(self) -> Cents:
        """Tax owed for these days: charged, less given back."""
        return self.charged - self.tax_taken_back

    @property
    def entered(self) -> Cents:
        """What adjusting entries of these days changed of what is owed."""
        return self.owed_at_end - self.owed_before - self.net_tax + self.paid

    @property
    def use_tax(self) -> Cents | None:
        """What the rates for use come to; None where no rate was set for any of it."""
        known = [each.tax for each in self.used if each.tax is not None]
        return sum(known) if known else None

    @property
    def use_sentence(self) -> str:
        """Say what may be owed on goods taken home or given away; empty where there were none."""
        if not self.used:
            return ""
        if all(each.rate is not None for each in self.used):
            return NOT_POSTED
        unset = "Use tax may be owed on goods taken home or given away that were bought without sales tax."
        how = f"No rate for use is set in {self.state} on some of these days, so none is worked out there."
        return f"{unset} {how} 'shopledger tax set {self.state} use PERCENT' sets one; ask your tax preparer."

    @property
    def _rates(self) -> Iterator[TaxedAt]:
        return (each for place in self.places for each in place.rates)


@dataclass(frozen=True, slots=True)
class ReturnLine:
    """One line of a return: words and an amount; a total is what the lines come to since the last that began anew."""

    words: str
    amount: Cents
    total: bool = False
    anew: bool = False


def return_lines(due: TaxReturn) -> Iterator[ReturnLine]:
    """Give a return line by line, so that every total can be added up by hand; totals are not added themselves."""
    yield ReturnLine("gross sales, shipping included", due.gross, anew=True)
    for reason, amount in due.exempt:
        yield ReturnLine(f"not taxed: {reason}", -amount)
    yield ReturnLine("taxable sales", due.taxable, total=True)
    yield ReturnLine("tax that the rates come to on them", due.by_rates, anew=True)
    yield ReturnLine("difference, since each line or order was rounded", due.difference)
    yield ReturnLine("tax charged", due.charged, total=True)
    yield ReturnLine("tax given back on sales refunded or cancelled", -due.tax_taken_back)
    yield ReturnLine("net tax for these days", due.net_tax, total=True)
    yield ReturnLine("owed to the state before these days", due.owed_before)
    if due.entered:
        yield ReturnLine("adjusting entries", due.entered)
    yield ReturnLine("handed on to the state in these days", -due.paid)
    yield ReturnLine(f"owed to the state at the end of {due.last.isoformat()}", due.owed_at_end, total=True)


def beside_lines(due: TaxReturn) -> Iterator[ReturnLine]:
    """Give what a return may ask for beside its sums: what was taken back, and goods that left for nothing."""
    yield ReturnLine("sales refunded or cancelled", due.taken_back)
    yield ReturnLine("of them taxable", due.taxable_taken_back)
    for each in due.used:
        yield ReturnLine(f"goods {each.what}, at cost", each.cost)
        if each.tax is not None and each.rate is not None:
            yield ReturnLine(f"use tax on them at {write_rate(each.rate)}", each.tax)
