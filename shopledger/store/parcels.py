"""Parcels: posted with what lies in them, their coming back, and the addresses that orders were given later.

What is away is asked of the database in the same words everywhere, `AWAY` and `JOB_AWAY`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import Final

from shopledger.ledger.numbers import number_of
from shopledger.ledger.parcels import OrderAddress, Parcel, ParcelItem, ParcelReturn
from shopledger.ledger.parties import Address
from shopledger.ledger.stock import STOCKED
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import read_day
from shopledger.store.tables import parcels as tables
from shopledger.store.transaction import Area, Where
from shopledger.store.words import listed

PARCEL: Final = Record(Parcel, tables.parcel, {"ship_to": Fields(Address, tables.parcel)}, parts=("items", "came_back"))
ITEM: Final = Record(
    ParcelItem,
    tables.parcel_item,
    {"job": tables.parcel_item.c.job_number},
    also=("parcel_number", "order_number"),
)
RETURN: Final = Record(ParcelReturn, tables.parcel_return)
ADDRESS: Final = Record(
    OrderAddress,
    tables.order_address,
    {"ship_to": Fields(Address, tables.order_address)},
    counter="order address",
)

AWAY: Final = "NOT EXISTS (SELECT 1 FROM parcel_return back WHERE back.parcel_number = parcel.number)"
"""That a parcel left and did not come back."""
JOBS_AWAY: Final = f"""
SELECT item.job_number, parcel.number AS parcel_number, parcel.order_number, parcel.day
FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number
WHERE item.job_number IS NOT NULL AND {AWAY}
"""  # noqa: S608 - the words above
"""Each job that is away, with its parcel and the day on which that left."""
PLACE: Final = "COALESCE({again}.place, {pair}.position)"
"""The place of a pair in its order, by its row and the one that says in whose place it was made."""
SOMETHING_HERE: Final = f"""
(EXISTS (
    SELECT 1 FROM order_pair pair LEFT JOIN job_again again ON again.job_number = pair.job_number
    WHERE pair.order_number = {{number}}
      AND NOT EXISTS (SELECT 1 FROM job_taken_out gone WHERE gone.job_number = pair.job_number)
      AND NOT EXISTS (
        SELECT 1 FROM order_pair other LEFT JOIN job_again made ON made.job_number = other.job_number
        JOIN ({JOBS_AWAY}) away ON away.job_number = other.job_number
        WHERE other.order_number = pair.order_number
          AND {PLACE.format(again="made", pair="other")} = {PLACE.format(again="again", pair="pair")}))
 OR EXISTS (
    SELECT 1 FROM order_line line
    WHERE line.order_number = {{number}} AND line.kind IN {listed(STOCKED)} AND line.pair IS NULL
      AND line.quantity > COALESCE((
        SELECT SUM(item.quantity) FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number
        WHERE item.order_number = line.order_number AND item.line = line.position AND {AWAY}), 0) + COALESCE((
        SELECT SUM(part.returned) FROM refund_part part
        WHERE part.order_number = line.order_number AND part.line = line.position), 0) + COALESCE((
        SELECT SUM(part.returned) FROM correction_part part
        WHERE part.order_number = line.order_number AND part.line = line.position), 0)))
"""  # noqa: S608 - as above
"""That something of an order was never sent, or came back: glasses of which no job of their place is away, or goods."""

# One parcel of all that was sold, and nothing that happened since: most orders.
_LEFT_WHOLE: Final = f"""
SELECT parcel.order_number, MAX(parcel.day) AS day FROM parcel
WHERE parcel.order_number IN :numbers
  AND NOT EXISTS (SELECT 1 FROM parcel_return back JOIN parcel own ON own.number = back.parcel_number
                  WHERE own.order_number = parcel.order_number)
  AND NOT EXISTS (SELECT 1 FROM job_again again JOIN order_pair pair ON pair.job_number = again.job_number
                  WHERE pair.order_number = parcel.order_number)
  AND (SELECT COUNT(*) FROM order_pair pair WHERE pair.order_number = parcel.order_number)
    = (SELECT COUNT(*) FROM parcel_item item WHERE item.parcel_number = parcel.number AND item.line IS NULL)
  AND (SELECT COALESCE(SUM(line.quantity), 0) FROM order_line line
       WHERE line.order_number = parcel.order_number AND line.kind IN {listed(STOCKED)})
    = (SELECT COALESCE(SUM(item.quantity), 0) FROM parcel_item item
       WHERE item.parcel_number = parcel.number AND item.line IS NOT NULL)
GROUP BY parcel.order_number
"""  # noqa: S608 - as above


class Parcels(Area):
    """The parcels of the ledger; none is ever changed."""

    def add(self, new: Parcel) -> Parcel:
        """Post a parcel with its content; gives it back with its number."""
        posted = self.transaction.post(PARCEL, new)
        own = {"parcel_number": posted.number, "order_number": posted.order_number}
        rows = [ITEM.row(item, **own, position=place) for place, item in enumerate(posted.items, start=1)]
        self.transaction.add(tables.parcel_item, *rows)
        return posted

    def bring_back(self, back: ParcelReturn) -> ParcelReturn:
        """Post that a parcel came back."""
        self.transaction.put(RETURN, back)
        return back

    def get(self, number: int) -> Parcel:
        """Give the parcel with that number."""
        found = self._whole({tables.parcel.c.number: number})
        if not found:
            raise NumberUnknownError("parcel", number)
        return found[0]

    def of_orders(self, numbers: list[int]) -> Mapping[int, tuple[Parcel, ...]]:
        """Give the parcels of each order, oldest first."""
        found: dict[int, tuple[Parcel, ...]] = defaultdict(tuple)
        for parcel in self._whole({tables.parcel.c.order_number: numbers}):
            found[parcel.order_number] += (parcel,)
        return found

    def left_whole(self, numbers: list[int]) -> Mapping[int, date]:
        """Give the day for those of some orders that left whole in one parcel, with nothing to it since."""
        return {row.order_number: read_day(row.day) for row in self.transaction.asked(_LEFT_WHOLE, numbers=numbers)}

    def sent_of(self, numbers: list[int]) -> frozenset[int]:
        """Give those of some orders of which anything ever left."""
        sent = tables.parcel.c.order_number
        return frozenset(self.transaction.lists(sent, sent, {sent: numbers}))

    def recent(self, limit: int = 20) -> tuple[Parcel, ...]:
        """Give the newest parcels, newest first."""
        return tuple(reversed(self._whole({}, limit)))

    def send_to(self, new: OrderAddress) -> OrderAddress:
        """Post where what has not left of an order goes; gives it back with its number."""
        return self.transaction.post(ADDRESS, new)

    def addresses_of_orders(self, numbers: list[int]) -> Mapping[int, tuple[OrderAddress, ...]]:
        """Give the addresses that orders were given later, oldest first."""
        address = tables.order_address.c
        return self.transaction.groups(
            ADDRESS, address.order_number, {address.order_number: numbers}, (address.number,)
        )

    def _whole(self, where: Where, limit: int | None = None) -> tuple[Parcel, ...]:
        """Give parcels, oldest first; of many the newest."""
        parcel, item, back = tables.parcel.c, tables.parcel_item.c, tables.parcel_return.c
        newest = limit is not None
        heads = list(
            self.transaction.unfinished(PARCEL, (parcel.number,), where, (parcel.number,), newest=newest, limit=limit)
        )
        numbers = [number for (number,), _ in heads]
        if not numbers:
            return ()
        items = self.transaction.groups(
            ITEM, item.parcel_number, {item.parcel_number: numbers}, (item.parcel_number, item.position)
        )
        came = {each.parcel_number: each for each in self.transaction.all(RETURN, {back.parcel_number: numbers})}
        found = [made(items=items[number], came_back=came.get(number)) for (number,), made in heads]
        return tuple(sorted(found, key=number_of))
