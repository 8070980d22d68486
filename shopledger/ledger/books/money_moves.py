"""Money that moves without a sale or a bill: payouts of the card processor, banking, the owner, sales tax handed on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount


class MoveKind(Enum):
    """Why money moved."""

    PAYOUT = "payout"
    """The card processor pays out what it collected, less its fee."""
    BANKED = "banked"
    """Cash taken to the bank."""
    FETCHED = "fetched"
    """Cash fetched from the bank."""
    CARD_PAID = "card paid"
    """The shop's credit card bill paid from the bank."""
    CONTRIBUTION = "contribution"
    DRAW = "draw"
    TAX_PAID = "tax paid"
    """Sales tax handed on to a state; its fee is what the state lets the shop keep of it."""
    OTHER_INCOME = "other income"
    OPENING = "opening"
    """What lay in the drawer or the bank when the books began."""


class Till(Enum):
    """Where the money lies."""

    CASH = "cash"
    BANK = "bank"

    @property
    def account(self) -> Account:
        """The account of the money that lies there."""
        return Account.CASH if self is Till.CASH else Account.BANK


WITH_FEE: Final = frozenset({MoveKind.PAYOUT, MoveKind.TAX_PAID})
"""The moves of which somebody keeps a part."""
TILL_AFTER: Final = {
    MoveKind.PAYOUT: Till.BANK,
    MoveKind.BANKED: Till.BANK,
    MoveKind.FETCHED: Till.CASH,
    MoveKind.CARD_PAID: Till.BANK,
}
"""The till of the moves that always touch the same: where the money lies afterwards, or came from."""


@dataclass(frozen=True, slots=True)
class MoneyMove:
    """Money that moved; the till is where it came in, went out, or lies after it was carried."""

    day: date
    kind: MoveKind
    till: Till
    amount: Cents
    """The whole of it, with the fee."""
    fee: Cents = 0
    """What the card processor kept of a payout, or the shop of the sales tax that it handed on."""
    state: str = ""
    """To which state sales tax was paid."""
    reference: str = ""
    note: str = ""
    """For other income: what it was."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the amounts, the state and the text to their rules."""
        object.__setattr__(self, "reference", kept_reference("move", "money", self.reference))
        wanted = self.kind is MoveKind.OTHER_INCOME
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=wanted))
        if self.amount <= 0:
            raise RefusedError(
                "amount",
                write_amount(self.amount),
                "it must be more than 0",
                "Money that moved the other way has a command of its own; see 'shopledger money --help'.",
            )
        if not 0 <= self.fee <= self.amount:
            raise RefusedError(
                self._kept_by,
                write_amount(self.fee),
                f"it lies from 0 to the amount, {write_amount(self.amount)}",
                "Type the whole amount, and the part of it that was kept.",
            )
        self._check_kind()

    @property
    def moved(self) -> Cents:
        """What came into the till, or left it."""
        return self.amount - self.fee

    @property
    def words(self) -> str:
        """What it was, in words."""
        whose = {
            MoveKind.TAX_PAID: f"sales tax paid to {self.state}",
            MoveKind.OTHER_INCOME: f"other income: {self.note}",
        }
        return whose.get(self.kind, MOVE_WORDS.get(self.kind, self.kind.value))

    @property
    def _kept_by(self) -> str:
        return "what is kept" if self.kind is MoveKind.TAX_PAID else "fee"

    def _check_kind(self) -> None:
        if self.kind is MoveKind.TAX_PAID:
            object.__setattr__(self, "state", read_state(self.state))
        elif self.state:
            raise RefusedError("state", f"'{self.state}'", "only sales tax is paid to a state", "Leave it out.")
        if self.fee and self.kind not in WITH_FEE:
            raise RefusedError("fee", write_amount(self.fee), "only a payout has one", "Record it with 'spend record'.")
        till = TILL_AFTER.get(self.kind, self.till)
        if till is not self.till:
            raise RefusedError("till", self.till.value, f"{self.kind.value} money is in: {till.value}", "Leave it out.")


MOVE_WORDS: Final = {
    MoveKind.PAYOUT: "payout of the card processor",
    MoveKind.BANKED: "cash taken to the bank",
    MoveKind.FETCHED: "cash fetched from the bank",
    MoveKind.CARD_PAID: "credit card paid",
    MoveKind.CONTRIBUTION: "put in by the owner",
    MoveKind.DRAW: "taken out by the owner",
    MoveKind.OPENING: "there when the books began",
}
"""Each move in words, where it needs no more."""

MONEY_SHOWN: Final = (
    Account.CASH,
    Account.CARD_CLEARING,
    Account.BANK,
    Account.CREDIT_CARD,
    Account.CUSTOMER_DEPOSITS,
    Account.PAYABLE,
    Account.SALES_TAX_PAYABLE,
)
"""The accounts that say what money there is and what is owed of it."""


def shown_balances(sums: Mapping[Account, Cents]) -> tuple[tuple[Account, Cents], ...]:
    """Give what lies in each account of money, and what is owed on the others: both more than nought as a rule."""
    return tuple((each, as_shown(each, sums.get(each, 0))) for each in MONEY_SHOWN)


def as_shown(account: Account, amount: Cents) -> Cents:
    """Turn the sign of what is owed, which stands below nought in the books."""
    return amount if account.kind is AccountKind.ASSET else -amount
