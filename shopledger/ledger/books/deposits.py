"""Deposits: money of a customer's that waits for an order. It is owed to the customer until an order uses it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate, groupby

from shopledger.errors import RefusedError
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.orders import Method
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount


@dataclass(frozen=True, slots=True)
class Deposit:
    """Money taken from a customer before an order; one that `gives_back` another hands money of that one back."""

    customer_number: int
    day: date
    amount: Cents
    method: Method
    reference: str = ""
    note: str = ""
    gives_back: int | None = None
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules, and refuse an amount that is none and a whole card number."""
        object.__setattr__(self, "reference", kept_reference("deposit", self.method.value, self.reference))
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        if self.amount <= 0:
            raise RefusedError(
                "deposit",
                write_amount(self.amount),
                "it must be more than 0",
                "Money goes back to the customer with 'shopledger deposit give-back NUMBER'.",
            )
        hold_amount("deposit", self.amount, MOVED)


@dataclass(frozen=True, slots=True)
class UseReversed:
    """What of a payment from a deposit is in the deposit again; below zero where it left once more."""

    day: date
    amount: Cents


@dataclass(frozen=True, slots=True)
class DepositUse:
    """Money of a deposit that an order was paid with; a cancelled order puts back what stands of it."""

    order_number: int
    payment_number: int
    day: date
    amount: Cents
    put_back_on: date | None = None
    reversed: tuple[UseReversed, ...] = ()

    @property
    def standing(self) -> Cents:
        """What of it was not reversed."""
        return self.amount - sum(each.amount for each in self.reversed)


@dataclass(frozen=True, slots=True)
class GivenBack:
    """Money of a deposit handed back to the customer, unless that was itself voided."""

    deposit: Deposit
    voided_on: date | None = None


@dataclass(frozen=True, slots=True)
class DepositAccount:
    """A deposit with all that became of it."""

    deposit: Deposit
    uses: tuple[DepositUse, ...] = ()
    given_back: tuple[GivenBack, ...] = ()
    voided_on: date | None = None

    @property
    def used(self) -> Cents:
        """What orders were paid with and still are."""
        return sum(use.standing for use in self.uses if use.put_back_on is None)

    @property
    def returned(self) -> Cents:
        """What was handed back to the customer."""
        return sum(each.deposit.amount for each in self.given_back if each.voided_on is None)

    @property
    def left(self) -> Cents:
        """What is still the customer's."""
        return 0 if self.voided_on else self.deposit.amount - self.used - self.returned

    @property
    def last_day(self) -> date:
        """The last day on which something happened to it."""
        return max(day for day, _ in self._changes())

    def free_from(self, day: date) -> Cents:
        """Give what may be taken of it on a day, so that it is never below zero, that day or later."""
        changes = sorted(self._changes(), key=lambda change: change[0])
        days = [(when, sum(cents for _, cents in group)) for when, group in groupby(changes, key=lambda each: each[0])]
        ends = list(zip((when for when, _ in days), accumulate(cents for _, cents in days), strict=True))
        at_first = [left for when, left in ends if when <= day][-1:] or [0]
        return max(0, min([*at_first, *(left for when, left in ends if when > day)]))

    def _changes(self) -> Iterator[tuple[date, Cents]]:
        yield self.deposit.day, self.deposit.amount
        if self.voided_on:
            yield self.voided_on, -self.deposit.amount
        for use in self.uses:
            yield use.day, -use.amount
            yield from ((each.day, each.amount) for each in use.reversed)
            if use.put_back_on:
                yield use.put_back_on, use.standing
        for each in self.given_back:
            yield each.deposit.day, -each.deposit.amount
            if each.voided_on:
                yield each.voided_on, each.deposit.amount


def check_taking(account: DepositAccount, amount: Cents, day: date) -> None:
    """Refuse to take more of a deposit than is left of it on the day."""
    deposit, free = account.deposit, account.free_from(day)
    if account.voided_on:
        raise RefusedError(
            "deposit",
            deposit.number,
            f"it was voided on {account.voided_on.isoformat()}",
            "Look for the right one with 'shopledger deposit list'.",
        )
    if day < deposit.day:
        raise RefusedError(
            "day", day.isoformat(), f"the deposit is of {deposit.day.isoformat()}", "Type a day on or after it."
        )
    if amount > free:
        raise RefusedError(
            "amount",
            write_amount(amount),
            f"only {write_amount(free)} is left of deposit {deposit.number} on {day.isoformat()}",
            f"Take {write_amount(free)} or less." if free else "Look for another with 'shopledger deposit list'.",
        )


def refuse_credit(deposit: Deposit) -> None:
    """Refuse to take credit as if it were money: it comes from a line of an order alone."""
    if deposit.method is Method.CREDIT:
        raise RefusedError(
            "method",
            Method.CREDIT.value,
            "credit is no money, and an allowance belongs to a line of an order",
            "Give it with 'shopledger refund give ORDER --line NUMBER=AMOUNT --method credit', or lower what is still "
            "owed with 'shopledger sale reduce ORDER'.",
        )


def check_deposit_can_be_voided(account: DepositAccount) -> date:
    """Give the last day on which something happened to it, or refuse one that an order stands on, or a giving back."""
    if account.deposit.method is Method.CREDIT:
        raise RefusedError(
            "deposit",
            account.deposit.number,
            "it is what an order gave back as credit, and no money came in",
            f"Pay it out with 'shopledger deposit give-back {account.deposit.number} --method check', or use it.",
        )
    if account.used:
        use = next(use for use in account.uses if use.put_back_on is None and use.standing)
        raise RefusedError(
            "deposit",
            account.deposit.number,
            f"order {use.order_number} was paid with it",
            f"Give that money back with 'shopledger refund give {use.order_number}' instead, or put the payment back "
            f"with 'shopledger payment correct {use.payment_number} --amount 0'.",
        )
    if account.returned:
        handed = next(each.deposit.number for each in account.given_back if each.voided_on is None)
        raise RefusedError(
            "deposit",
            account.deposit.number,
            "some of it was given back to the customer",
            f"Take 'deposit {handed}' back first, if that was a mistake as well.",
        )
    return account.last_day


def giving_back(account: DepositAccount, handed: Deposit) -> Deposit:
    """Give the row that hands money of a deposit back, or refuse more than is left, and a way that moves none."""
    if handed.method is Method.CREDIT:
        raise RefusedError(
            "method", Method.CREDIT.value, "money goes back by a way of its own", "Say how, as in --method check."
        )
    check_taking(account, handed.amount, handed.day)
    return replace(handed, gives_back=account.deposit.number)
