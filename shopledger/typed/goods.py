"""Goods as they are typed: a code or a line of an order, with a count behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.errors import RefusedError
from shopledger.typed.numbers import read_whole

if TYPE_CHECKING:
    from shopledger.ledger.orders import AccessoryRequest


def read_goods(text: str, field: str) -> AccessoryRequest:
    """Read an accessory as typed: `CASE`, or `CASE=2` for two of them."""
    from shopledger.ledger.orders import AccessoryRequest

    code, sign, count = text.partition("=")
    if sign and not (count.isascii() and count.isdigit()):
        raise RefusedError(field, f"'{text}'", "it is a code, with a count behind = if not one", "Type it like CASE=2.")
    return AccessoryRequest(code, read_whole(count or "1", f"count of {code}"))


def read_line_count(text: str, field: str) -> tuple[int, int | None]:  # noqa: ARG001 - both parts name themselves
    """Read a line of an order with a count: `3` for all of line 3, `3=2` for two of it."""
    line, sign, count = text.partition("=")
    return read_whole(line, "line"), read_whole(count, f"count of line {line}") if sign else None
