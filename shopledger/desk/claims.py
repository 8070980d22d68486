"""What is still to be claimed: paid parts without a receipt, receipts not handed in, and the last day for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.receipts import PrintedReceipt, issue_receipt, print_receipt
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.receipt import IssuedReceipt
from shopledger.ledger.sharing import Part, part_for
from shopledger.money.amount import Cents
from shopledger.store.work import UnitOfWork

LOOKED_BACK: Final = 365
"""How many days back open claims are looked for: what most plans give to file (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OpenClaim:
    """One wearer's paid part of an order that was not handed in yet."""

    order_number: int
    customer: str
    wearer: str
    wearer_number: int
    amount: Cents
    """What was paid on it and not given back."""
    receipt: int | None
    """The receipt to hand in; None where none was issued for what is paid."""
    overtaken: bool
    """Whether something was given back since that receipt was issued, so that it should be replaced first."""
    served_on: date | None
    """Day of shipping, the date of service; None until then."""
    last_day: date | None
    """Last day to file, where the plan's limit is known and the order shipped."""

    def runs_out(self, today: date) -> int | None:
        """Give how many days are left, below zero when the limit has passed; None where no limit is known."""
        return None if self.last_day is None else (self.last_day - today).days


@dataclass(frozen=True, slots=True)
class IssuedAll:
    """What issuing all open receipts came to: what was printed, and what could not be, each with the reason."""

    printed: tuple[PrintedReceipt, ...]
    refused: tuple[tuple[OpenClaim, ShopledgerError], ...]


Progress = Callable[[int, int], None]
"""Told how many are done of how many."""


def mark_claimed(desk: Desk, receipt: int, day: date | None = None) -> IssuedReceipt:
    """Note that the customer handed a receipt in; it is noted once, on the receipt that holds."""
    claimed_on = desk.day(day, "claim day")
    with desk.writing() as work:
        issued = work.receipts.get(receipt)
        _check_claimable(work, issued, claimed_on)
        work.receipts.mark_claimed(receipt, claimed_on)
        return work.receipts.get(receipt)


def unclaimed(desk: Desk, since: date | None = None) -> tuple[OpenClaim, ...]:
    """Give what is paid and not handed in, those first whose limit runs out first.

    Orders of the last year are looked at unless a day is given, and all orders of wearers whose plan gives longer.
    """
    begin = since or desk.today - timedelta(LOOKED_BACK)
    with desk.reading() as work:
        claims = tuple(_open(work, work.receipts.unclaimed(begin, LOOKED_BACK)))
    return tuple(sorted(claims, key=lambda claim: (claim.last_day or date.max, claim.order_number)))


def issue_all_open(desk: Desk, folder: Path, progress: Progress | None = None, *, archive: bool = False) -> IssuedAll:
    """Issue a receipt for every paid part without one, each in a transaction of its own.

    What broke off can be run again: issued receipts are not issued twice, and one that was numbered but never printed
    is printed first.
    """
    unprinted = _unprinted(desk)
    todo = [claim for claim in unclaimed(desk) if claim.receipt is None]
    todo.sort(key=lambda claim: (claim.order_number, claim.wearer_number))
    printed: list[PrintedReceipt] = []
    refused: list[tuple[OpenClaim, ShopledgerError]] = []
    whole = len(unprinted) + len(todo)
    for number in unprinted:
        printed.append(print_receipt(desk, number, folder, archive=archive))
        _tell(progress, len(printed), whole)
    for claim in todo:
        try:
            wearer = str(claim.wearer_number)
            printed.append(issue_receipt(desk, claim.order_number, wearer, folder, archive=archive))
        except ShopledgerError as error:
            refused.append((claim, error))
        _tell(progress, len(printed) + len(refused), whole)
    return IssuedAll(tuple(printed), tuple(refused))


def _tell(progress: Progress | None, done: int, whole: int) -> None:
    if progress is not None:
        progress(done, whole)


def _unprinted(desk: Desk) -> list[int]:
    with desk.reading() as work:
        waiting = work.receipts.never_printed()
        cancelled = work.cancellations.of_orders([receipt.order_number for receipt in waiting])
        return [receipt.number for receipt in waiting if receipt.order_number not in cancelled]


def _open(work: UnitOfWork, found: Sequence[tuple[int, int]]) -> Iterator[OpenClaim]:
    """Give the claims that are open, of orders and wearers with something sold and not handed in."""
    numbers = list(dict.fromkeys(order for order, _ in found))
    accounts, receipts = work.orders.sums(numbers), work.receipts.of_orders(numbers)
    wearers = work.customers.many_wearers(wearer for _, wearer in found)
    customers = work.customers.many(account.order.customer_number for account in accounts.values())
    for order, wearer in found:
        account = accounts[order]
        part = part_for(account, wearer)
        if part is not None and part.kept and not part.balance:
            customer = customers[account.order.customer_number]
            yield _claim(account, part, customer, wearers[wearer], receipts[order])


def _claim(
    account: OrderAccount, part: Part, customer: Customer, wearer: Wearer, receipts: Sequence[IssuedReceipt]
) -> OpenClaim:
    current = _current(receipts, number_of(wearer))
    served = account.shipment.day if account.shipment else None
    last = served + timedelta(wearer.claim_within_days) if served and wearer.claim_within_days else None
    return OpenClaim(
        number_of(account.order),
        customer.name,
        wearer.name,
        number_of(wearer),
        part.kept,
        current.number if current else None,
        current is not None and current.content.refunded != part.refunded,
        served,
        last,
    )


def _current(receipts: Sequence[IssuedReceipt], wearer_number: int) -> IssuedReceipt | None:
    """Give the receipt that holds for a wearer; one that is not paid in full is none to hand in."""
    for receipt in receipts:
        if receipt.wearer_number == wearer_number and receipt.replaced_by is None and receipt.content.paid_in_full:
            return receipt
    return None


def _check_claimable(work: UnitOfWork, issued: IssuedReceipt, day: date) -> None:
    number = issued.number
    if issued.replaced_by is not None:
        raise RefusedError(
            "receipt",
            number,
            f"receipt {issued.replaced_by} took its place",
            f"Mark {issued.replaced_by} once that is handed in.",
        )
    if issued.claimed_on is not None:
        raise RefusedError(
            "receipt", number, f"it was handed in on {issued.claimed_on.isoformat()}", "Nothing is left to note."
        )
    if work.cancellations.of_order(issued.order_number) is not None:
        raise RefusedError("receipt", number, "its order was cancelled", "There is nothing to claim.")
    if not issued.content.paid_in_full:
        raise RefusedError(
            "receipt",
            number,
            "it is not paid in full, and a plan pays back only what was paid",
            "Take the payment and issue the receipt again first.",
        )
    if day < date.fromisoformat(issued.content.issued_on):
        raise RefusedError(
            "claim day", day.isoformat(), f"the receipt is of {issued.content.issued_on}", "Type a later day."
        )
