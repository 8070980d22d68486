"""How records and single figures look outside: JSON by a record's fields, amounts and days as text, lengths."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any, Final

from shopledger.cli.output import Json
from shopledger.ledger.canonical import Form, Shape, keys_of, object_of
from shopledger.money.amount import Cents, to_decimal
from shopledger.money.rate import write_rate

_CALLED: Final = {
    "bill_number": "bill",
    "customer_number": "customer",
    "job_number": "job",
    "movement_number": "movement",
    "order_number": "order",
    "parcel_number": "parcel",
    "payment_number": "payment",
    "prescriber_number": "prescriber",
    "prescription_number": "prescription",
    "wearer_number": "wearer",
    "frame_code": "frame",
    "item_code": "code",
    "lens_code": "lens",
    "offer_code": "offer",
}
"""What a record points at is called outside by its noun alone."""


class Outside:
    """How the records of one subject look as JSON: their fields in order, but for the shapes that are given here."""

    def __init__(self, shapes: Mapping[type, Shape], *others: Outside) -> None:
        self.shapes: dict[type, Shape] = {kind: shape for each in others for kind, shape in each.shapes.items()}
        self.shapes |= shapes
        self._form = Form(money, write_rate, self.shapes, _CALLED)

    def of(self, record: object) -> dict[str, Json]:
        """Give one record as a JSON object."""
        return {**object_of(record, self._form)}

    def all(self, records: Iterable[object]) -> list[Json]:
        """Give several records as JSON objects."""
        return [self.of(record) for record in records]

    def keys(self, kind: type) -> tuple[str, ...]:
        """Give the keys of a kind of record."""
        return keys_of(kind, self._form)


def rounded(places: int, *names: str, **renamed: str) -> dict[str, Callable[[Any], Json]]:
    """Make keys for measures that are shown to so many places, some under another key than their name."""
    wanted = {name: name for name in names} | renamed
    return {key: _rounding(name, places) for key, name in wanted.items()}


def money(cents: Cents) -> str:
    """Write an amount for JSON: `1299.95`, a point and no commas."""
    return str(to_decimal(cents))


def day(given: date | None) -> str:
    """Write a day as ISO text; none is empty."""
    return given.isoformat() if given else ""


def mm(length: float | None) -> str:
    """Write a length for reading; none is empty."""
    return "" if length is None else f"{length:g}"


def toward(moved: float, forward: str, backward: str) -> str:
    """Say a distance with its way in words."""
    return f"{abs(moved):.1f} mm {forward if moved >= 0 else backward}"


def _rounding(name: str, places: int) -> Callable[[Any], Json]:
    def read(record: object) -> Json:
        length: float | None = getattr(record, name)
        return None if length is None else round(length, places)

    return read
