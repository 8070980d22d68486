"""What is kept of a card, a check or a transfer beside an amount: enough to find it again, never enough to use it."""

from __future__ import annotations

from shopledger.errors import RefusedError
from shopledger.ledger.text import clean_text


def kept_reference(what: str, means: str, text: str) -> str:
    """Read a reference: at most a card's last four digits, and of anything else fewer digits than a card number has."""
    reference = clean_text(f"{what} reference", text, 40, required=False)
    digits = sum(letter.isdigit() for letter in reference)
    longest = 4 if means == "card" else 12
    if digits > longest:
        raise RefusedError(
            f"{what} reference",
            f"{digits} digits long",
            f"at most {longest} digits are kept for a {means} {what}",
            "Never type a whole card number or its security code; the last four digits will do.",
        )
    return reference
