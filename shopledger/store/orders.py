"""Orders: posted whole with their pairs, lines and charges, and read back equal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.orders import AcceptedWarning, Entered, Order, OrderAccount, OrderLine, Pair
from shopledger.money.tax import TaxRounding
from shopledger.store import order_rows
from shopledger.store.addresses import address_of, address_values
from shopledger.store.payments import Cancellations, Refunds, payment_of, shipment_of
from shopledger.store.prescriptions import warning_values
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_LAST_PAIR: Final = """
SELECT pair.* FROM order_pair pair
WHERE pair.wearer_number = :wearer AND (:frame = '' OR pair.frame_code = :frame)
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
ORDER BY pair.job_number DESC LIMIT 1
"""


@dataclass(frozen=True, slots=True)
class Orders:
    """The orders of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, order: Order) -> Order:
        """Post an order; gives it back with its number and a job number on each pair."""
        number = self.transaction.next_number("order")
        numbered = (replace(pair, job_number=self.transaction.next_number("job")) for pair in order.pairs)
        posted = replace(order, number=number, pairs=tuple(numbered))
        self._insert(number, posted)
        return posted

    def get(self, number: int) -> Order:
        """Give the order with that number."""
        return self._whole(self._row(number))

    def account(self, number: int) -> OrderAccount:
        """Give the order with all that happened to it, and who recorded it when."""
        row = self._row(number)
        order = self._whole(row)
        payments = self.transaction.rows("payment", {"order_number": number}, order=("number",))
        shipment = self.transaction.row("shipment", order_number=number)
        return OrderAccount(
            order,
            tuple(payment_of(each) for each in payments),
            shipment_of(shipment) if shipment else None,
            Refunds(self.transaction).of_order(number),
            Cancellations(self.transaction).of_order(number),
            Entered(row.operator, row.recorded_at),
        )

    def entered(self, number: int) -> Entered:
        """Give who recorded an order, and when."""
        row = self._row(number)
        return Entered(row.operator, row.recorded_at)

    def of_customer(self, customer_number: int, limit: int = 20) -> tuple[Order, ...]:
        """Give a customer's newest orders, newest first."""
        rows = self.transaction.rows(
            "shop_order", {"customer_number": customer_number}, order=("number",), newest=True, limit=limit
        )
        return tuple(self._whole(row) for row in rows)

    def recent(self, limit: int = 20) -> tuple[Order, ...]:
        """Give the newest orders, newest first."""
        rows = self.transaction.rows("shop_order", order=("number",), newest=True, limit=limit)
        return tuple(self._whole(row) for row in rows)

    def pair(self, job_number: int) -> tuple[Order, Pair]:
        """Give the pair with that job number, and its order."""
        row = self.transaction.row("order_pair", job_number=job_number)
        if row is None:
            raise NumberUnknownError("job", job_number)
        return self._with_pair(row)

    def last_pair(self, wearer_number: int, frame_code: str | None = None) -> tuple[Order, Pair] | None:
        """Give the wearer's newest pair, in that frame if one is named, and its order; None if there is none.

        A pair of a cancelled order was never made.
        """
        rows = self.transaction.asked(_LAST_PAIR, wearer=wearer_number, frame=frame_code or "")
        return self._with_pair(rows[0]) if rows else None

    def _insert(self, number: int, order: Order) -> None:
        put = self.transaction.add
        put("shop_order", {**_values(order), "number": number, **self.transaction.stamp})
        put("order_pair", *(order_rows.pair_values(number, pair) for pair in order.pairs))
        put("order_pair_extra", *(row for pair in order.pairs for row in order_rows.extra_values(pair)))
        put("order_pair_eye", *(row for pair in order.pairs for row in order_rows.eye_values(pair)))
        placed = list(enumerate(order.lines, start=1))
        put("order_line", *(order_rows.line_values(number, place, line) for place, line in placed))
        put("order_charge", *(row for place, line in placed for row in order_rows.charge_values(number, place, line)))
        put("order_warning", *warning_values("order_number", number, order.accepted))

    def _row(self, number: int) -> Row[Any]:
        row = self.transaction.row("shop_order", number=number)
        if row is None:
            raise NumberUnknownError("order", number)
        return row

    def _with_pair(self, row: Row[Any]) -> tuple[Order, Pair]:
        order = self.get(row.order_number)
        return order, order.pairs[row.position - 1]

    def _whole(self, row: Row[Any]) -> Order:
        warnings = self._parts("order_warning", row.number)
        return Order(
            customer_number=row.customer_number,
            day=read_day(row.day),
            ship_to=address_of(row),
            pairs=self._pairs(row.number),
            lines=self._lines(row.number),
            tax_rounding=TaxRounding(row.tax_rounding),
            accepted=tuple(AcceptedWarning(each.code, each.sentence) for each in warnings),
            note=row.note,
            tax_exempt=row.tax_exempt,
            number=row.number,
        )

    def _pairs(self, number: int) -> tuple[Pair, ...]:
        pairs = self._parts("order_pair", number)
        extras = _by(self._of_pairs("order_pair_extra", number), "job_number")
        eyes = _by(self._of_pairs("order_pair_eye", number), "job_number")
        return tuple(order_rows.pair_of(pair, extras[pair.job_number], eyes[pair.job_number]) for pair in pairs)

    def _lines(self, number: int) -> tuple[OrderLine, ...]:
        charges = _by(self._parts("order_charge", number), "line")
        lines = self._parts("order_line", number)
        return tuple(order_rows.line_of(line, charges[line.position]) for line in lines)

    def _parts(self, name: str, number: int) -> Sequence[Row[Any]]:
        return self.transaction.rows(name, {"order_number": number}, order=("position",))

    def _of_pairs(self, name: str, number: int) -> Sequence[Row[Any]]:
        return self.transaction.asked(
            f"SELECT part.* FROM {name} part JOIN order_pair pair ON pair.job_number = part.job_number "  # noqa: S608 - a table's name
            "WHERE pair.order_number = :number",
            number=number,
        )


def _by(rows: Iterable[Row[Any]], key: str) -> dict[int, list[Row[Any]]]:
    grouped: dict[int, list[Row[Any]]] = defaultdict(list)
    for row in rows:
        grouped[getattr(row, key)].append(row)
    return grouped


def _values(order: Order) -> dict[str, object]:
    return {
        "customer_number": order.customer_number,
        "day": day_text(order.day),
        **address_values(order.ship_to),
        "tax_rounding": order.tax_rounding.value,
        "note": order.note,
        "tax_exempt": order.tax_exempt,
    }
