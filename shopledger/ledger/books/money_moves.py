"""Money that moves without a sale or a bill: payouts of the card processor, banking, the owner, sales tax handed on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final, Self

from shopledger.errors import RefusedError
from shopledger.ledger.books.completeness import LACKING, WithAccount, check_members
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount


class CashAccount(WithAccount):
    """Where the money lies: the word, and its cash account."""

    CASH = "cash", Account.CASH
    BANK = "bank", Account.BANK


class Flow(Enum):
    """Whether money comes into the cash account that a move names, or goes out of it."""

    IN = 1
    OUT = -1

    @property
    def amount(self) -> str:
        """What its posting rule calls the whole amount."""
        return "came_in" if self is Flow.IN else "went_out"


class MoveKind(WithAccount):
    """Why money moved: the word, which way, the account it is set against, and how it is said.

    Where the move always touches the same cash account, that follows: the money lies there afterwards, or came from
    there. Where somebody keeps a part, the account of that part comes last.
    """

    flow: Flow
    words: str
    till: CashAccount | None
    fee_account: Account | None

    PAYOUT = "payout", Flow.IN, Account.CARD_CLEARING, "payout of the card processor", CashAccount.BANK, Account.FEES
    """The card processor pays out what it collected, less its fee; below zero it takes money from the bank."""
    PROCESSOR_FEE = (
        "processor fee",
        Flow.IN,
        Account.CARD_CLEARING,
        "fee of the card processor",
        CashAccount.BANK,
        (Account.FEES),
    )
    """Taken from what the processor owes, on the day it was earned: no payout of that day is needed for it."""
    RESERVED = (
        "reserve held",
        Flow.IN,
        Account.CARD_CLEARING,
        "held back by the card processor",
        CashAccount.BANK,
        (Account.CARD_RESERVE),
    )
    """What the processor keeps of its payouts for a while, as a surety."""
    RELEASED = (
        "reserve released",
        Flow.IN,
        Account.CARD_RESERVE,
        "released by the card processor",
        CashAccount.BANK,
        (Account.CARD_CLEARING),
    )
    BANKED = "banked", Flow.IN, Account.CASH, "cash taken to the bank", CashAccount.BANK
    WITHDRAWAL = "fetched", Flow.IN, Account.BANK, "cash fetched from the bank", CashAccount.CASH
    CARD_PAID = "card paid", Flow.OUT, Account.CREDIT_CARD, "credit card paid", CashAccount.BANK
    """The shop's credit card bill paid from the bank."""
    CONTRIBUTION = "contribution", Flow.IN, Account.CONTRIBUTIONS, "put in by the owner"
    DRAW = "draw", Flow.OUT, Account.DRAWS, "taken out by the owner"
    TAX_PAID = "tax paid", Flow.OUT, Account.SALES_TAX_PAYABLE, "sales tax paid to {state}", None, Account.OTHER_INCOME
    """Sales tax handed on to a state; its fee is what the state lets the shop keep of it."""
    OTHER_INCOME = "other income", Flow.IN, Account.OTHER_INCOME, "other income: {note}"
    OPENING = "opening", Flow.IN, Account.OPENING_BALANCES, "there when the books began"
    """What lay in the drawer or the bank when the books began."""

    def __new__(
        cls,
        word: str,
        flow: Flow = LACKING,
        account: Account = LACKING,
        words: str = LACKING,
        till: CashAccount | None = None,
        fee_account: Account | None = None,
    ) -> Self:
        """Make a member known by its word alone."""
        member = object.__new__(cls)
        member._value_, member.flow, member.account, member.words = word, flow, account, words
        member.till, member.fee_account = till, fee_account
        return member


check_members(
    MoveKind,
    flow="say beside its word in shopledger/ledger/books/money_moves.py which way the money goes",
    words="say it in words beside its account in shopledger/ledger/books/money_moves.py",
)
WHOLE: Final = (MoveKind.PROCESSOR_FEE, MoveKind.RESERVED, MoveKind.RELEASED)
"""The moves that are kept whole: they touch no cash account, and what is kept of them is their amount."""
WITH_FEE: Final = frozenset(kind for kind in MoveKind if kind.fee_account is not None and kind not in WHOLE)
"""The moves of which somebody may keep a part."""
OF_PROCESSOR: Final = (MoveKind.PAYOUT, MoveKind.PROCESSOR_FEE)
"""The moves by which the card processor's fees are counted."""


@dataclass(frozen=True, slots=True)
class MoneyMove:
    """Money that moved; the till is where it came in, went out, or lies after it was carried."""

    day: date
    kind: MoveKind
    till: CashAccount
    amount: Cents
    """The whole of it, with the fee; of a payout below zero where refunds and disputes were more than sales."""
    fee: Cents = 0
    """What the card processor kept of a payout, or the shop of the sales tax that it handed on; of a move that is kept
    whole, its amount."""
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
        self._check_amount()
        self._check_kept()
        self._check_kind()

    @property
    def moved(self) -> Cents:
        """What came into the till, or left it."""
        return self.amount - self.fee

    @property
    def words(self) -> str:
        """What it was, in words."""
        return self.kind.words.format(state=self.state, note=self.note)

    def _check_amount(self) -> None:
        """Refuse nothing, and less than nothing where the processor cannot have turned the money round."""
        turns = self.kind in OF_PROCESSOR
        if self.amount == 0 and self.kind is MoveKind.PAYOUT and self.fee:
            return
        if self.amount <= 0 and not (turns and self.amount):
            raise RefusedError(
                "amount",
                write_amount(self.amount),
                "it must not be 0" if turns else "it must be more than 0",
                "Money that moved the other way has a command of its own; see 'shopledger money --help'.",
            )
        hold_amount("amount", abs(self.amount), MOVED)

    def _check_kept(self) -> None:
        """Refuse a part that is more than the whole; what a payout lacks for its fee the processor takes itself."""
        if self.kind in WHOLE:
            if self.fee not in {0, self.amount}:
                rule = f"all of it is kept, {write_amount(self.amount)}"
                raise RefusedError("fee", write_amount(self.fee), rule, "Leave it out.")
            object.__setattr__(self, "fee", self.amount)
            return
        hold_amount(self._kept_by, abs(self.fee), MOVED)
        if self.kind is not MoveKind.PAYOUT and not 0 <= self.fee <= self.amount:
            raise RefusedError(
                self._kept_by,
                write_amount(self.fee),
                f"it lies from 0 to the amount, {write_amount(self.amount)}",
                "Type the whole amount, and the part of it that was kept.",
            )

    @property
    def _kept_by(self) -> str:
        return "what is kept" if self.kind is MoveKind.TAX_PAID else "fee"

    def _check_kind(self) -> None:
        if self.kind is MoveKind.TAX_PAID:
            object.__setattr__(self, "state", read_state(self.state))
        elif self.state:
            raise RefusedError("state", f"'{self.state}'", "only sales tax is paid to a state", "Leave it out.")
        if self.fee and self.kind not in WITH_FEE.union(WHOLE):
            raise RefusedError("fee", write_amount(self.fee), "only a payout has one", "Record it with 'spend record'.")
        till = self.kind.till or self.till
        if till is not self.till:
            raise RefusedError("till", self.till.value, f"{self.kind.value} money is in: {till.value}", "Leave it out.")


MONEY_SHOWN: Final = (
    Account.CASH,
    Account.CARD_CLEARING,
    Account.CARD_RESERVE,
    Account.BANK,
    Account.CREDIT_CARD,
    Account.CUSTOMER_DEPOSITS,
    Account.ACCOUNTS_PAYABLE,
    Account.SALES_TAX_PAYABLE,
)
"""The accounts that say what money there is and what is owed of it."""


def shown_balances(sums: Mapping[Account, Cents]) -> tuple[tuple[Account, Cents], ...]:
    """Give what lies in each account of money, and what is owed on the others: both more than zero as a rule."""
    return tuple((each, as_shown(each, sums.get(each, 0))) for each in MONEY_SHOWN)


def as_shown(account: Account, amount: Cents) -> Cents:
    """Turn the sign of what is owed, which stands below zero in the books."""
    return amount if account.kind is AccountKind.ASSET else -amount
