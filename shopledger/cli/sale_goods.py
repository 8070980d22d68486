"""How goods beside the glasses are typed, in options and in answers alike."""

from __future__ import annotations

from shopledger.errors import RefusedError
from shopledger.ledger.orders import AccessoryRequest


def read_goods(text: str, field: str) -> AccessoryRequest:
    """Read an accessory as typed: `CASE`, or `CASE=2` for two of them."""
    code, sign, count = text.partition("=")
    if sign and not (count.isascii() and count.isdigit()):
        raise RefusedError(field, f"'{text}'", "it is a code, with a count behind = if not one", "Type it like CASE=2.")
    return AccessoryRequest(code, int(count or 1))
