"""Postal addresses, stored in the row of whoever lives there."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Row

from shopledger.ledger.parties import Address


def address_values(address: Address) -> dict[str, str]:
    """Give the columns of an address."""
    return {
        "street": address.street,
        "second_line": address.second_line,
        "city": address.city,
        "state": address.state,
        "postcode": address.postcode,
    }


def address_of(row: Row[Any]) -> Address:
    """Give the address in a row."""
    return Address(row.street, row.city, row.state, row.postcode, row.second_line)
