"""What was sold, taxed and taken back in each state over some days, by place and rate, and what the owner took home."""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any, Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.tax_returns import (
    NO_RATE,
    USED,
    ZERO_RATE,
    PlaceReturn,
    TaxedAt,
    TaxReturn,
    UsedGoods,
)
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.stock import StockReason
from shopledger.ledger.taxes import WITHOUT_TAX, Destination, rate_on
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate
from shopledger.store.books.balances import Balances
from shopledger.store.books.sales_queries import IN_PERIOD, cancelled, given_up, sold, total
from shopledger.store.books.spending_queries import MOVES_BOTH_WAYS
from shopledger.store.catalogue import CatalogueShelf
from shopledger.store.scales import day_text, read_day
from shopledger.store.shop import ShopDesk
from shopledger.store.transaction import Area
from shopledger.store.words import listed, word

_IN_STATE: Final = "AND (:state = '' OR sold.state = :state)"
RATE_STANDS: Final = """EXISTS (
    SELECT 1 FROM tax_rate rate WHERE rate.state = sold.state AND rate.place = line.tax_place
    AND rate.category = line.tax_category AND rate.valid_from <= sold.day
    AND (rate.valid_to IS NULL OR rate.valid_to >= sold.day))"""
"""Tells whether the owner set a rate for a line, be it of zero."""
_REASON: Final = f"""
CASE WHEN line.tax_rate > 0 THEN '' WHEN line.tax_reason <> '' THEN line.tax_reason
     WHEN {RATE_STANDS} THEN '{ZERO_RATE}' ELSE '{NO_RATE}' END AS reason"""
_TAXED: Final = """sold.state, line.tax_place AS place, line.tax_rate AS rate, line.tax_free AS free,
line.net AS whole"""
_SUMS: Final = f"""{total("net")} AS net, {total("tax")} AS tax,
{total("CASE WHEN free = 0 THEN 0 ELSE net * free / whole END")} AS untaxed"""
"""Of a part of a line that goes in part with untaxed goods, that share; both databases cut it to whole cents."""
_SOLD: Final = f"""
SELECT state, place, rate, reason, {_SUMS}
FROM ({sold(f"{_TAXED}, {_REASON}", _IN_STATE)}) charged GROUP BY state, place, rate, reason
ORDER BY state, place, rate, reason
"""
_TAKEN_BACK: Final = f"""
SELECT state, place, rate, {_SUMS}
FROM ({cancelled(_TAXED, _IN_STATE)} UNION ALL {given_up(_TAXED, _IN_STATE)}) together
GROUP BY state, place, rate ORDER BY state, place, rate
"""
_ORDERS: Final = f"""
SELECT state, COUNT(DISTINCT order_number) AS orders
FROM ({sold("sold.state, sold.number AS order_number, {kind} AS kind", _IN_STATE)}) counted
WHERE kind <> {word(DocumentKind.CORRECTION)} GROUP BY state
"""
_PAID: Final = f"""
SELECT state, {total("sign * amount")} AS amount FROM ({MOVES_BOTH_WAYS}) moved
WHERE kind = {word(MoveKind.TAX_PAID)} AND (:state = '' OR state = :state) GROUP BY state
"""
_USED: Final = f"""
SELECT reason, day, {total("-cost")} AS cost FROM stock_movement
WHERE {IN_PERIOD} AND reason IN {listed(USED)} GROUP BY reason, day ORDER BY reason, day
"""


@dataclass(slots=True)
class _Place:
    """What one place comes to, while its rows are added up."""

    gross: Cents = 0
    taken_back: Cents = 0
    exempt: Counter[str] = field(default_factory=Counter)
    rates: defaultdict[Rate, list[Cents]] = field(default_factory=lambda: defaultdict(lambda: [0, 0, 0, 0]))

    def sell(self, row: Any) -> None:  # noqa: ANN401 - a row of a query
        self.gross += row.net
        if row.reason:
            self.exempt[row.reason] += row.net
            return
        self.exempt[WITHOUT_TAX] += row.untaxed
        self._add(row, 0)

    def take_back(self, row: Any) -> None:  # noqa: ANN401 - as above
        self.taken_back += row.net
        if row.rate:
            self._add(row, 2)

    def _add(self, row: Any, at: int) -> None:  # noqa: ANN401 - as above
        sums = self.rates[row.rate]
        sums[at] += row.net - row.untaxed
        sums[at + 1] += row.tax

    def made(self, name: str) -> PlaceReturn:
        exempt = tuple((reason, amount) for reason, amount in sorted(self.exempt.items()) if amount)
        rates = tuple(TaxedAt(rate, *sums) for rate, sums in sorted(self.rates.items()))
        return PlaceReturn(name, self.gross, exempt, rates, self.taken_back)


class TaxReturns(Area):
    """Sales tax by state over any days."""

    def over(self, period: Period, state: str = "") -> tuple[TaxReturn, ...]:
        """Give each state in which something happened, or the one named, by its code."""
        asked = {"first": day_text(period.first), "last": day_text(period.last), "state": state}
        places = _places(self.transaction.asked(_SOLD, **asked), self.transaction.asked(_TAKEN_BACK, **asked))
        orders = {row.state: row.orders for row in self.transaction.asked(_ORDERS, **asked)}
        paid = {row.state: row.amount for row in self.transaction.asked(_PAID, **asked)}
        used = self._used(period, state)
        met = {*places, *paid, *used, *((state,) if state else ())}
        owed = Balances(self.transaction).sales_tax_owed
        return tuple(
            TaxReturn(
                state=each,
                first=period.first,
                last=period.last,
                orders=orders.get(each, 0),
                places=tuple(place.made(name) for name, place in sorted(places.get(each, {}).items())),
                paid=paid.get(each, 0),
                owed_before=owed(each, period.first - timedelta(1)),
                owed_at_end=owed(each, period.last),
                used=used.get(each, ()),
            )
            for each in sorted(met)
        )

    def _used(self, period: Period, state: str) -> dict[str, tuple[UsedGoods, ...]]:
        """Give what the owner took home or gave away, at cost, under the shop's own state."""
        home = ShopDesk(self.transaction).profile().address
        if state not in {"", home.state}:
            return {}
        where = Destination(home.state, home.city, home.postcode)
        rates = CatalogueShelf(self.transaction).tax_rates(home.state)
        costs: Counter[tuple[str, Rate | None]] = Counter()
        for row in self.transaction.asked(_USED, first=day_text(period.first), last=day_text(period.last)):
            rate = rate_on(rates, where, TaxCategory.USE, read_day(row.day))
            costs[USED[StockReason(row.reason)], rate] += row.cost
        found = sorted(costs.items(), key=lambda item: (item[0][0], item[0][1] or 0))
        goods = tuple(UsedGoods(what, cost, rate) for (what, rate), cost in found if cost)
        return {home.state: goods} if goods else {}


def _places(sales: Iterable[Any], back: Sequence[Any]) -> dict[str, defaultdict[str, _Place]]:
    """Add rows up by state and place."""
    found: defaultdict[str, defaultdict[str, _Place]] = defaultdict(lambda: defaultdict(_Place))
    for row in sales:
        found[row.state][row.place].sell(row)
    for row in back:
        found[row.state][row.place].take_back(row)
    return dict(found)
