"""Money handed over, as every page asks for it: the way it is paid as a choice, the amount filled in already."""

from __future__ import annotations

from typing import Any, Final

from shopledger.counter.forms.fields import Choice, Field, Kind, amount, line
from shopledger.counter.forms.filled import Values
from shopledger.errors import RefusedError
from shopledger.ledger.orders import PAID_BY, PaymentRequest
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.words import read_word

LATER: Final = "later"
_WORDS: Final = tuple(Choice(each.value, each.value.capitalize()) for each in PAID_BY)

PAID: Final[Field[Any]] = Field(
    "method",
    "Paid by",
    lambda typed, field: None if typed == LATER else read_word(typed, field, PAID_BY),
    Kind.CHOICE,
    choices=(*_WORDS, Choice(LATER, "Paid later")),
)
"""How an order is paid at once, if it is."""
METHOD: Final[Field[Any]] = Field(
    "method", "Paid by", lambda typed, field: read_word(typed, field, PAID_BY), Kind.CHOICE, choices=_WORDS
)
AMOUNT: Final = amount("amount", "How much", needed=False, about=("payment",))
REFERENCE: Final = line(
    "reference",
    "Reference",
    needed=False,
    longest=40,
    numbers=True,
    hint="A check's number, or a card's last four digits; never more.",
    width="middle",
    about=("payment reference",),
)


def paid_at_once(values: Values) -> tuple[PaymentRequest, ...]:
    """Give the payment that goes with an order, if there is one."""
    method = values.of(PAID)
    if method is None:
        return ()
    given = values.of(AMOUNT)
    if given is None:
        raise RefusedError("payment", "empty", "an amount belongs to it", "Type it, or choose that it is paid later.")
    return (PaymentRequest(given, method, values.text(REFERENCE)),)


def as_typed(owed: Cents) -> str:
    """Give an amount as it stands in its field."""
    return write_amount(owed) if owed > 0 else ""
