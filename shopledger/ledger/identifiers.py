"""The numbers that others give to a shop or a person: tax id, provider number, state and ZIP.

Each reader takes what the owner typed and gives the one written form, or refuses with a reason.
"""

from __future__ import annotations

import re
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.private_numbers import luhn_remainder
from shopledger.ledger.text import clean_text, taken_anew

_POSTAL_CODES: Final = (
    "AL AK AZ AR CA CO CT DE FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR "
    "PA RI SC SD TN TX UT VT VA WA WV WI WY DC PR GU VI AS MP"
)
STATES: Final = frozenset(_POSTAL_CODES.split())
"""Two-letter postal codes of the states, the District of Columbia and the territories."""

_EIN: Final = re.compile(r"([0-9]{2})-?([0-9]{7})")
_UNUSED: Final = "00 07 08 09 17 18 19 28 29 49 69 70 78 79 89 96 97"
_NO_PREFIX: Final = frozenset(_UNUSED.split())
"""What no EIN begins with: none of them is among the valid prefixes of the IRS's campuses (IRS, how EINs are assigned
and valid EIN prefixes; read as a training page repeats its table)."""
_SOCIAL_SECURITY: Final = re.compile(r"[0-9]{3}[- ][0-9]{2}[- ][0-9]{4}")
_NPI: Final = re.compile(r"[12][0-9]{9}")
_POSTCODE: Final = re.compile(r"[0-9]{5}(-[0-9]{4})?")
_EMAIL: Final = re.compile(r"[^@\s]+@[^@\s.]+(?:\.[^@\s.]+)+")
LEAST_PHONE_DIGITS: Final = 7
"""A number within one area has so many (North American Numbering Plan)."""


def read_ein(text: str) -> str:
    """Read an employer identification number, `NN-NNNNNNN`.

    A number grouped like a social security number is refused: it must never be printed on a receipt.
    """
    typed = text.strip()
    if _SOCIAL_SECURITY.fullmatch(typed):
        raise RefusedError(
            "EIN",
            "shaped like a social security number",
            "an EIN has the form 12-3456789",
            "Type the shop's EIN; a social security number is never kept or printed.",
        )
    match = _EIN.fullmatch(typed)
    if match is None:
        raise RefusedError("EIN", f"'{typed}'", "an EIN has nine digits, 12-3456789", "Type it as on the IRS letter.")
    if taken_anew() and (match[1] in _NO_PREFIX or not int(match[2])):
        which = f"no EIN begins with {match[1]}" if match[1] in _NO_PREFIX else "its last seven digits are not all 0"
        raise RefusedError("EIN", f"'{typed}'", which, "Type it as on the IRS letter.")
    return f"{match[1]}-{match[2]}"


def read_npi(text: str) -> str:
    """Read a national provider identifier and prove its check digit.

    The check is Luhn over `80840` and the ten digits (45 CFR 162.406; 69 FR 3434). A right check digit
    does not prove that the number was ever given out.
    """
    typed = text.strip()
    if not _NPI.fullmatch(typed):
        raise RefusedError(
            "NPI", f"'{typed}'", "an NPI has ten digits and begins with 1 or 2", "Leave it out if there is none."
        )
    if luhn_remainder(f"80840{typed}"):
        raise RefusedError("NPI", f"'{typed}'", "its check digit does not fit", "Look for a mistyped digit.")
    return typed


def read_state(text: str) -> str:
    """Read a two-letter state code."""
    typed = text.strip().upper()
    if typed not in STATES:
        raise RefusedError(
            "state", f"'{text.strip()}'", "a state is its two-letter postal code, as in OH", "Type the code."
        )
    return typed


def read_phone(text: str, *, required: bool = False) -> str:
    """Read a phone number as it is written; one that comes from outside has the digits of one."""
    typed = clean_text("phone", text, 40, required=required)
    if taken_anew() and typed and sum(letter.isdigit() for letter in typed) < LEAST_PHONE_DIGITS:
        allowed = f"a phone number has at least {LEAST_PHONE_DIGITS} digits"
        raise RefusedError("phone", f"'{typed}'", allowed, "Type it like 555-0142, or leave it out.")
    return typed


def read_email(text: str) -> str:
    """Read a mail address as it is written; one that comes from outside has something on both sides of its `@`."""
    typed = clean_text("email", text, required=False)
    if taken_anew() and typed and not _EMAIL.fullmatch(typed):
        allowed = "a mail address has one @ with a name before and a domain behind it, and no blank"
        raise RefusedError("email", f"'{typed}'", allowed, "Type it like ada@example.com, or leave it out.")
    return typed


def read_postcode(text: str) -> str:
    """Read a ZIP code as text, leading zeros kept."""
    typed = text.strip()
    if not _POSTCODE.fullmatch(typed):
        raise RefusedError("ZIP", f"'{typed}'", "a ZIP code is 12345 or 12345-6789", "Keep leading zeros.")
    return typed
