"""How the boxes of the CMS-1500 (02/12) want things written: no points, hyphens or dollar signs, as the form is ruled.

Of the form's instructions only excerpts were read. They say that box 3 wants month, day and year in this order, that
box 25 wants no hyphen, and what boxes 28 and 29 add up. Values from memory are that box 21 wants its codes without the
point, that the days of box 24A stand without a gap, that dollars and cents stand apart and without a comma, and that
box 33 wants its phone number in digits. The worksheet tells the owner to compare.
"""

from __future__ import annotations

from typing import Final

from shopledger.money.amount import Cents

_AREA: Final = 3
_LOCAL: Final = 7
_COUNTRY: Final = "1"


def box_code(code: str) -> str:
    """Write a diagnosis code as box 21 wants it: `H52.13` is H5213."""
    return code.replace(".", "")


def box_digits(text: str) -> str:
    """Write the digits of a tax number alone, as box 25 wants it."""
    return "".join(letter for letter in text if letter in "0123456789")


def box_amount(cents: Cents) -> str:
    """Write an amount with dollars and cents apart, as the line between them asks: 64.98 is `64 98`."""
    dollars, rest = divmod(cents, 100)
    return f"{dollars} {rest:02d}"


def box_day(iso: str, between: str) -> str:
    """Write an ISO day as month, day and year in digits: box 3 wants them apart, box 24A without a gap."""
    year, _, rest = iso.partition("-")
    return between.join([*rest.split("-"), year]) if rest else ""


def box_phone(text: str) -> str:
    """Write a phone number as digits, its area code apart; one of another length stays as it is."""
    digits = box_digits(text)
    if len(digits) == 1 + _AREA + _LOCAL:
        digits = digits.removeprefix(_COUNTRY)
    if len(digits) == _AREA + _LOCAL:
        return f"{digits[:_AREA]} {digits[_AREA:]}"
    return digits if len(digits) == _LOCAL else text
