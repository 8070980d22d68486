"""What was sold, taxed and taken back in each state over some days, by place and rate, and what the owner took home."""

# ruff: noqa: S608 - the queries are made of the words in this folder alone

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
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
_TAXED: Final = "sold.state, line.tax_place AS place, line.tax_rate AS rate"
_SUMS: Final = f"{total('net')} AS net, {total('tax')} AS tax"


def _taken_back(keys: str, where: str) -> str:
    return f"{cancelled(keys, where)} UNION ALL {given_up(keys, where)}"


def _untaxed(rows: Callable[[str, str], str]) -> str:
    """Ask what goes untaxed of lines taxed in part; each line's amounts are added up first, and cut to cents once."""
    keys = f"{_TAXED}, line.order_number, line.position, line.tax_free AS free, line.net AS whole"
    return f"""
    SELECT state, place, rate, {total("untaxed")} AS untaxed
    FROM (SELECT state, place, rate, {total("net")} * free / whole AS untaxed
          FROM ({rows(keys, f"{_IN_STATE} AND line.tax_free > 0 AND line.tax_rate > 0")}) counted
          GROUP BY state, place, rate, order_number, position, free, whole) shares
    GROUP BY state, place, rate
    """


_SOLD: Final = f"""
SELECT state, place, rate, reason, {_SUMS}
FROM ({sold(f"{_TAXED}, {_REASON}", _IN_STATE)}) charged GROUP BY state, place, rate, reason
ORDER BY state, place, rate, reason
"""
_TAKEN_BACK: Final = f"""
SELECT state, place, rate, {_SUMS}
FROM ({_taken_back(_TAXED, _IN_STATE)}) together
GROUP BY state, place, rate ORDER BY state, place, rate
"""
_UNTAXED: Final = (_untaxed(sold), _untaxed(_taken_back))
"""Of what was sold, and of what was taken back."""
_ORDERS: Final = f"""
SELECT state, COUNT(DISTINCT order_number) AS orders
FROM ({sold("sold.state, sold.number AS order_number, {kind} AS kind", _IN_STATE)}) counted
WHERE kind IN {listed((DocumentKind.ORDER, DocumentKind.PARCEL))} GROUP BY state
"""
"""An order counts with its goods, or with its own day where it did so once; what is given back is no order."""
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
        else:
            self._add(row.rate, 0, row.net, row.tax)

    def take_back(self, row: Any) -> None:  # noqa: ANN401 - as above
        self.taken_back += row.net
        if row.rate:
            self._add(row.rate, 2, row.net, row.tax)

    def sell_untaxed(self, rate: Rate, amount: Cents) -> None:
        self.exempt[WITHOUT_TAX] += amount
        self._add(rate, 0, -amount)

    def take_back_untaxed(self, rate: Rate, amount: Cents) -> None:
        self._add(rate, 2, -amount)

    def _add(self, rate: Rate, at: int, net: Cents, tax: Cents = 0) -> None:
        sums = self.rates[rate]
        sums[at] += net
        sums[at + 1] += tax

    def made(self, name: str) -> PlaceReturn:
        exempt = tuple((reason, amount) for reason, amount in sorted(self.exempt.items()) if amount)
        rates = tuple(TaxedAt(rate, *sums) for rate, sums in sorted(self.rates.items()))
        return PlaceReturn(name, self.gross, exempt, rates, self.taken_back)


class TaxReturns(Area):
    """Sales tax by state over any days."""

    def over(self, period: Period, state: str = "") -> tuple[TaxReturn, ...]:
        """Give each state in which something happened, or the one named, by its code."""
        asked = {"first": day_text(period.first), "last": day_text(period.last), "state": state}
        places = self._places(period, state)
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

    def _places(self, period: Period, state: str) -> dict[str, defaultdict[str, _Place]]:
        """Add rows up by state and place."""
        asked = {"first": day_text(period.first), "last": day_text(period.last), "state": state}
        found: defaultdict[str, defaultdict[str, _Place]] = defaultdict(lambda: defaultdict(_Place))
        for row in self.transaction.asked(_SOLD, **asked):
            found[row.state][row.place].sell(row)
        for row in self.transaction.asked(_TAKEN_BACK, **asked):
            found[row.state][row.place].take_back(row)
        of_sold, of_taken_back = (self._untaxed(query, period, state) for query in _UNTAXED)
        for (where, place, rate), amount in of_sold.items():
            found[where][place].sell_untaxed(rate, amount)
        for (where, place, rate), amount in of_taken_back.items():
            found[where][place].take_back_untaxed(rate, amount)
        return dict(found)

    def _untaxed(self, query: str, period: Period, state: str) -> dict[tuple[str, str, Rate], Cents]:
        """Give what went untaxed by state, place and rate: all up to the last day, less all before the first.

        So the days of a line add up to its own untaxed part, however many of its parts are counted or given back.
        """
        found: Counter[tuple[str, str, Rate]] = Counter()
        for last, sign in ((period.last, 1), (period.first - timedelta(1), -1)):
            for row in self.transaction.asked(query, first=day_text(date.min), last=day_text(last), state=state):
                found[row.state, row.place, row.rate] += sign * row.untaxed
        return {key: amount for key, amount in found.items() if amount}

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
