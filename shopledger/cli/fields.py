"""Lines of text and addresses as questions, and which of a command's options were given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from shopledger.cli.params import Off
from shopledger.cli.prompts import Question
from shopledger.ledger.identifiers import read_postcode, read_state
from shopledger.ledger.parties import Address
from shopledger.ledger.text import clean_text

ADDRESS = ("street", "second_line", "city", "state", "postcode")


def text(field: str, longest: int = 120) -> Callable[[str], str]:
    """Make the reader of a line of text."""
    return lambda typed: clean_text(field, typed, longest)


ADDRESS_QUESTIONS = (
    Question("street", "--street", "Street and number", text("street")),
    Question("second_line", "--second-line", "Second address line", text("second address line"), optional=True),
    Question("city", "--city", "City", text("city")),
    Question("state", "--state", "State, two letters", read_state),
    Question("postcode", "--zip", "ZIP code", read_postcode),
)


def address_from(given: dict[str, Any]) -> Address:
    """Make an address out of complete answers."""
    return Address(**{name: given[name] or "" for name in ADDRESS})


def chosen(given: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    """Give the options among `names` that were given; what was given as `off` is none."""
    named = {name: given[name] for name in names if given.get(name) is not None}
    return {name: None if isinstance(value, Off) else value for name, value in named.items()}
