"""What forms let one choose from, as the ledger knows it by now, with plain words for each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from shopledger.counter.desks import desk
from shopledger.counter.forms.fields import Choice, Field, Kind, pick
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.people import suppliers
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.typed.words import read_word, typed_word

PAID_FROM_WORDS: Final = {
    SpendMethod.CASH: ("Cash", "out of the shop's drawer"),
    SpendMethod.BANK: ("Bank", "check, transfer or debit card"),
    SpendMethod.CARD: ("The shop's credit card", "owed to the card company until it is paid"),
    SpendMethod.OWNER: ("The owner's own pocket", "counts as money that the owner put in"),
}
"""Where money comes from, as somebody says it who keeps no books."""


def paid_from(name: str, label: str, *, needed: bool = True, **shown: object) -> Field[SpendMethod]:
    """Ask where money came from."""
    choices = tuple(Choice(typed_word(each), *PAID_FROM_WORDS[each]) for each in SpendMethod)
    read = lambda typed, field: read_word(typed, field, tuple(SpendMethod))  # noqa: E731 - as the readers beside it
    return Field(name, label, read, Kind.CHOICE, needed, choices=choices, **shown)  # type: ignore[arg-type]


def supplier_names() -> Sequence[Choice]:
    """Give the suppliers by name."""
    return tuple(Choice(each.name, each.account and f"account {each.account}") for each in suppliers(desk()))


def supplier(name: str = "supplier", label: str = "Supplier", *, needed: bool = True, **shown: object) -> Field[str]:
    """Ask who sent something."""
    return pick(name, label, lambda typed, _: typed.strip(), supplier_names, needed=needed, **shown)


def stocked_codes() -> Sequence[Choice]:
    """Give frames and accessories by their codes."""
    return tuple(Choice(each.item_code, each.description) for each in stock_now(desk()))


def categories() -> Sequence[Choice]:
    """Give what money is spent on, each with its line of Schedule C."""
    return tuple(Choice(typed_word(each), each.value.capitalize()) for each in ExpenseCategory)
