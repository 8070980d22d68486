"""What changes a bill after it was recorded: discounts, allowances, charges; and a supplier's debt given back or used.

Goods count at their net price, after discounts and allowances (IRS Publication 334, chapter 6). What a supplier takes
off lowers the cost of the bill's goods that still lie on the shelf; the share of those that left lowers the cost of
goods sold in the same month. Lenses and lab work, which leave within days, take their share as cost at once, expenses
in their own account.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.lots import Lot
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import round_half_away
from shopledger.money.split import split_by_weight

REPRICED_ACCOUNTS: Final = (
    *(Account.INVENTORY, Account.PURCHASE_ALLOWANCES, Account.LENSES),
    *(category.account for category in ExpenseCategory),
)
"""Where the shares of what changes a bill's price go."""


class CreditKind(Enum):
    """What happens to a bill, or to what its supplier owes on it."""

    DISCOUNT = "discount"
    """Taken for paying within the terms."""
    ALLOWANCE = "allowance"
    """Taken off without goods going back."""
    CHARGE = "charge"
    """Billed too low: the supplier charges more."""
    REFUND = "refund"
    """What the supplier owed came back as money."""
    SET_AGAINST = "set against"
    """What the supplier owed pays another bill."""

    @property
    def sign(self) -> int:
        """Whether the price falls (1) or rises (-1); the others leave it alone."""
        return {CreditKind.DISCOUNT: 1, CreditKind.ALLOWANCE: 1, CreditKind.CHARGE: -1}.get(self, 0)


@dataclass(frozen=True, slots=True)
class CreditPart:
    """The share of one account, or of one lot of goods on the shelf: above zero it takes cost off."""

    account: Account
    amount: Cents
    movement_number: int | None = None
    """The movement that gave the share to a lot."""


@dataclass(frozen=True, slots=True)
class BillCredit:
    """Something that changed a bill, or what its supplier owes on it."""

    bill_number: int
    day: date
    kind: CreditKind
    amount: Cents
    reason: str
    method: SpendMethod | None = None
    """Where a refund came in."""
    other_bill: int | None = None
    """The bill that it was set against."""
    parts: tuple[CreditPart, ...] = ()
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the amount and the reason to their rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        if self.amount <= 0:
            hint = "What is charged more is recorded with 'shopledger bill charge'."
            raise RefusedError("amount", write_amount(self.amount), "it must be more than 0", hint)
        hold_amount("amount", self.amount, MOVED)
        if self.method is SpendMethod.OWNER:
            hint = "Record it as it came in, and what the owner took with 'shopledger money draw'."
            raise RefusedError("refund to", "owner", "it comes in as cash, at the bank or on the card", hint)

    @property
    def lowered(self) -> Cents:
        """By how much the price of the bill fell; below zero it rose."""
        return self.kind.sign * self.amount

    def off(self, bill_number: int) -> Cents:
        """Give by how much less is owed on a bill since: on its own, or on the one that it was set against."""
        if self.kind is CreditKind.SET_AGAINST:
            return self.amount if bill_number == self.other_bill else -self.amount
        return -self.amount if self.kind is CreditKind.REFUND else self.lowered


@dataclass(frozen=True, slots=True)
class Priced:
    """Part of a bill that a change of price may fall on: an item's goods, or an account, and what it cost."""

    cost: Cents
    account: Account = Account.INVENTORY
    kept: int = 0
    """Of goods: how many came and were not sent back."""
    lots: tuple[Lot, ...] = ()
    """Of goods: what is left of the bill's own lots."""


@dataclass(frozen=True, slots=True)
class LotShare:
    """What a change of price takes off a lot on the shelf."""

    lot: Lot
    amount: Cents


def shared(priced: Sequence[Priced], amount: Cents, sign: int) -> tuple[Mapping[Account, Cents], tuple[LotShare, ...]]:
    """Share a change of price over the parts of a bill by what they cost: by account, and of goods on the shelf by lot.

    Goods that lie there take their part of the share by count, and never more than they still cost.
    """
    accounts: defaultdict[Account, Cents] = defaultdict(int)
    lots: list[LotShare] = []
    for part, share in zip(priced, split_by_weight(amount, [part.cost for part in priced]), strict=True):
        if part.account is not Account.INVENTORY:
            accounts[part.account] += sign * share
            continue
        found = _on_shelf(part, share, sign)
        lots += found
        accounts[Account.PURCHASE_ALLOWANCES] += sign * share - sum(each.amount for each in found)
    return {account: cents for account, cents in accounts.items() if cents}, tuple(lots)


def _on_shelf(part: Priced, share: Cents, sign: int) -> list[LotShare]:
    there = min(sum(lot.on_hand for lot in part.lots), part.kept)
    if not there:
        return []
    whole = round_half_away(share * there, part.kept)
    wanted = zip(part.lots, split_by_weight(whole, [lot.on_hand for lot in part.lots]), strict=True)
    taken = ((lot, min(cents, lot.cost) if sign > 0 else cents) for lot, cents in wanted)
    return [LotShare(lot, sign * cents) for lot, cents in taken if cents]
