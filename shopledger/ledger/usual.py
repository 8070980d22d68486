"""What is usual of an item of stock or a job, and what is a hundred times it: a slip of two digits or of the point.

Usual is the median of what came in before, and where nothing did, the cost that the catalogue says: one that was a slip
itself does not move a median. (common practice, no source)
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median_low
from typing import Final, Protocol

from shopledger.ledger.stock import StockMovement
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import round_half_away
from shopledger.optics.findings import Finding, Severity

TIMES: Final = 100
"""So many times the usual is asked about. (common practice, no source)"""
LOOKED_AT: Final = 25
"""How many of the newest movements say what is usual. (common practice, no source)"""
QUANTITY_UNUSUAL: Final = "QUANTITY-UNUSUAL"
COST_UNUSUAL: Final = "COST-UNUSUAL"
COST_ABOVE_PRICE: Final = "COST-ABOVE-PRICE"


class Priced(Protocol):
    """Goods with a price and with what they cost the shop."""

    @property
    def code(self) -> str:
        """The owner's code."""

    @property
    def price(self) -> Cents:
        """What a customer pays."""

    @property
    def cost(self) -> Cents:
        """What the shop pays."""


def unusual_goods(
    code: str, quantity: int, unit_cost: Cents | None, earlier: Sequence[StockMovement], listed_cost: Cents
) -> tuple[Finding, ...]:
    """Warn of goods that come in at a hundred times the usual count, or at a hundred times what one usually costs."""
    counts = [each.quantity for each in earlier]
    costs = [round_half_away(each.cost, each.quantity) for each in earlier if each.cost]
    return (*_many(code, quantity, counts), *_dear(code, unit_cost or 0, costs or [listed_cost]))


def unusual_job(job: int, cost: Cents, earlier: Sequence[Cents]) -> tuple[Finding, ...]:
    """Warn of lenses and lab work for a job at a hundred times what they usually cost."""
    return _dear(f"job {job}", cost, earlier)


def sold_below_cost(*items: Priced) -> tuple[Finding, ...]:
    """Warn of goods that cost the shop more than a customer pays for them: price and cost may be swapped."""
    return tuple(_below_cost(item) for item in items if item.cost > item.price)


def _below_cost(item: Priced) -> Finding:
    cost, price = write_amount(item.cost), write_amount(item.price)
    said = f"{item.code} costs the shop {cost} and is sold for {price}: price and cost may be swapped."
    return _warning(COST_ABOVE_PRICE, "cost", cost, price, said)


def _many(code: str, quantity: int, counts: Sequence[int]) -> tuple[Finding, ...]:
    usual = median_low(counts) if counts else 0
    if not usual or quantity < TIMES * usual:
        return ()
    said = f"{quantity:,} of {code} come in; usually it is {usual:,}."
    return (_warning(QUANTITY_UNUSUAL, "quantity", f"{quantity:,}", f"{usual:,}", said),)


def _dear(what: str, cost: Cents, costs: Sequence[Cents]) -> tuple[Finding, ...]:
    usual = median_low(costs) if costs else 0
    if not usual or cost < TIMES * usual:
        return ()
    given, known = write_amount(cost), write_amount(usual)
    return (_warning(COST_UNUSUAL, "cost", given, known, f"{what} costs {given}; usually it is {known}."),)


def _warning(code: str, field: str, value: str, usual: str, said: str) -> Finding:
    return Finding(Severity.WARNING, code, field, value, usual, "common practice, no source", said)
