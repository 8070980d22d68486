"""What forms let one choose from, as the ledger knows it by now, with plain words for each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from typing import Any, Final

from flask import g

from shopledger.counter.desks import desk
from shopledger.counter.forms.fields import Choice, Field, Kind, line, pick
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.jobs import open_jobs
from shopledger.desk.people import suppliers
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import PAID_BY, Method
from shopledger.typed.words import read_word, typed_word

PAID_FROM_WORDS: Final = {
    SpendMethod.CASH: ("Cash", "out of the shop's drawer"),
    SpendMethod.BANK: ("Bank", "check, transfer or debit card"),
    SpendMethod.CARD: ("The shop's credit card", "owed to the card company until it is paid"),
    SpendMethod.OWNER: ("The owner's own pocket", "counts as money that the owner put in"),
}
"""Where money comes from, as somebody says it who keeps no books."""


def paid_from(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[SpendMethod]:
    """Ask where money came from."""
    choices = tuple(Choice(typed_word(each), *PAID_FROM_WORDS[each]) for each in SpendMethod)
    read = lambda typed, field: read_word(typed, field, tuple(SpendMethod))  # noqa: E731 - as the readers beside it
    return Field(name, label, read, Kind.CHOICE, needed, choices=choices, **shown)


Listed = Callable[[], Sequence[Choice]]


def once_a_request(look: Listed) -> Listed:
    """Let the ledger be asked once for what many lines of a form let one choose from."""

    @wraps(look)
    def listed() -> Sequence[Choice]:
        known: dict[str, Sequence[Choice]] = g.setdefault("choices", {})
        if look.__name__ not in known:
            known[look.__name__] = look()
        return known[look.__name__]

    return listed


@once_a_request
def supplier_names() -> Sequence[Choice]:
    """Give the suppliers by name."""
    return tuple(Choice(each.name, each.account and f"account {each.account}") for each in suppliers(desk()))


def supplier(name: str = "supplier", label: str = "Supplier", *, needed: bool = True, **shown: Any) -> Field[str]:
    """Ask who sent something."""
    return pick(name, label, lambda typed, _: typed.strip(), supplier_names, needed=needed, **shown)


@once_a_request
def stocked_codes() -> Sequence[Choice]:
    """Give frames and accessories by their codes."""
    return tuple(Choice(each.item_code, each.description) for each in stock_now(desk()))


CATEGORY_WORDS: Final = {
    ExpenseCategory.RENT: "Rent of the shop's rooms",
    ExpenseCategory.UTILITIES: "Power, water, heating, phone, internet",
    ExpenseCategory.SUPPLIES: "Supplies that are used up: cloths, screws, boxes",
    ExpenseCategory.OFFICE: "Office things: paper, ink, stamps for letters",
    ExpenseCategory.POSTAGE: "Postage and shipping to customers",
    ExpenseCategory.SOFTWARE: "Software and services on the net",
    ExpenseCategory.ADVERTISING: "Advertising",
    ExpenseCategory.EQUIPMENT: "Equipment bought to last: machines, furniture, a computer",
    ExpenseCategory.INSURANCE: "Insurance of the shop",
    ExpenseCategory.PROFESSIONAL: "Tax preparer, lawyer",
    ExpenseCategory.FEES: "Fees: bank, card processor, market places",
    ExpenseCategory.REPAIRS: "Repairs and upkeep",
    ExpenseCategory.CONTRACT_LABOUR: "Somebody's work who is not employed",
    ExpenseCategory.WAGES: "Wages of employees",
    ExpenseCategory.TAXES: "Taxes and licenses of the trade",
    ExpenseCategory.TRAINING: "Training and the owner's own licenses",
    ExpenseCategory.CAR: "Car and truck",
    ExpenseCategory.TRAVEL: "Travel",
    ExpenseCategory.MEALS: "Meals for the trade",
    ExpenseCategory.INTEREST: "Interest",
    ExpenseCategory.RENT_EQUIPMENT: "Rent of machines and equipment",
    ExpenseCategory.OTHER: "Anything else",
}
"""What each category is for, as somebody says it who keeps no books; what a small shop pays most often stands first."""


def categories() -> Sequence[Choice]:
    """Give what money is spent on, each with its line of Schedule C."""
    return tuple(
        Choice(typed_word(each), words, f"Schedule C line {each.account.schedule_c}")
        for each, words in CATEGORY_WORDS.items()
    )


def category(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[ExpenseCategory]:
    """Ask what money was spent on."""
    read = lambda typed, field: read_word(typed, field, tuple(ExpenseCategory))  # noqa: E731 - as the readers beside it
    return Field(name, label, read, Kind.SELECT, needed, choices=categories, **shown)


def method(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[Method]:
    """Ask how a customer paid, or is paid back."""
    read = lambda typed, field: read_word(typed, field, PAID_BY)  # noqa: E731 - as the readers beside it
    choices = tuple(Choice(typed_word(each), each.value.capitalize()) for each in PAID_BY)
    return Field(name, label, read, Kind.CHOICE, needed, choices=choices, **shown)


@once_a_request
def open_job_numbers() -> Sequence[Choice]:
    """Give the jobs that have something to do, each with whose it is."""
    return tuple(
        Choice(str(each.job.facts.job_number), f"{each.job.wearer}, {each.standing.stage.value}")
        for each in open_jobs(desk())
    )


def customer(name: str = "customer", label: str = "Customer") -> Field[str]:
    """Ask for a customer; no list of everybody is shown for it."""
    return line(name, label, width="middle", hint="Part of the name, or the number.", about=("name",))
