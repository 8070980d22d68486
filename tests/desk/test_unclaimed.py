"""What is open to be claimed is read in few queries; a plain walk over whole orders and receipts finds the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import cycle, product
from pathlib import Path

import pytest

from shopledger.desk.claims import LOOKED_BACK, OpenClaim, mark_claimed, unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.people import change_wearer
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Method, OrderAccount, PaymentRequest
from shopledger.ledger.receipt import ReceiptSums
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.sharing import part_for
from shopledger.store.work import UnitOfWork
from tests.desk.books import on_both
from tests.desk.family import CHILDS, DISTANCE, Past, later, ordered
from tests.shelf import CHILD, CUSTOMER

FIRST = date(2026, 3, 2)
PAID = ("half", "whole", "twice")
AFTER = ("nothing", "shipped", "refunded", "cancelled", "receipt", "replaced", "overtaken", "handed in")


@pytest.fixture(scope="module")
def past() -> Past:
    """Sell in many ways."""
    return sell


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Give the desk a month later."""
    return later(desk, date(2026, 4, 20))


def sell(desk: Desk, folder: Path) -> None:
    """Sell for one and for two wearers, pay in every way, and let everything follow that may."""
    for place, (paid, after) in enumerate(product(PAID, AFTER)):
        there = later(desk, FIRST + timedelta(place))
        child = replace(CHILDS, frame_owned=True)
        request = ordered(replace(DISTANCE, frame_owned=True), *([child] if place % 3 else []))
        number = number_of(record_sale(there, request).order)
        pay(there, number, paid)
        let_follow(there, number, after, folder)
    change_wearer(desk, CUSTOMER, CHILD, lambda wearer: replace(wearer, claim_within_days=730))


def pay(desk: Desk, number: int, how: str) -> None:
    """Pay an order in half, or whole at once, or whole in two unequal parts."""
    owed = order_account(desk, number).balance
    parts = {"half": (owed // 2,), "whole": (owed,), "twice": (owed // 3, owed - owed // 3)}[how]
    for amount, method in zip(parts, cycle((Method.CASH, Method.CHECK)), strict=False):
        take_payment(desk, number, PaymentRequest(amount, method))


def let_follow(desk: Desk, number: int, after: str, folder: Path) -> None:
    """Ship an order, take some or all of it back, or issue its receipt with what may become of that."""
    issued = None
    if after in {"receipt", "replaced", "overtaken", "handed in"}:
        issued = issue_receipt(desk, number, CUSTOMER, folder, not_paid_in_full=True).receipt
    if after == "shipped":
        ship_order(desk, number, "Parcel post", without_inspection="a trial")
    if after in {"refunded", "overtaken"}:
        give_refund(desk, number, RefundRequest(Method.CASH, "late", (RefundedLine(1, 701),)))
    if after == "cancelled":
        cancel_order(desk, number, "ordered twice")
    if after == "replaced" and issued:
        replace_receipt(desk, issued.number, "a new name", folder, not_paid_in_full=True)
    if after == "handed in" and issued and issued.content.paid_in_full:
        mark_claimed(desk, issued.number)


def plainly_open(desk: Desk, since: date) -> Iterator[OpenClaim]:
    """Walk over all orders, oldest first, and give what is paid and not handed in of each wearer's part."""
    with desk.reading() as work:
        for account in reversed(work.orders.newest_accounts(limit=1000)):
            wearers = {line.wearer_number for line in account.order.lines if line.wearer_number is not None}
            for wearer in sorted(wearers):
                if account.cancellation is None:
                    yield from plain_claim(work, account, wearer, since)


def plain_claim(work: UnitOfWork, account: OrderAccount, number: int, since: date) -> Iterator[OpenClaim]:
    """Give the claim of a wearer's part, if there is one."""
    order, part, wearer = account.order, part_for(account, number), work.customers.wearer(number)
    limit = wearer.claim_within_days
    held = [
        receipt
        for receipt in work.receipts.of_order(number_of(order))
        if receipt.wearer_number == number and receipt.replaced_by is None
    ]
    too_old = order.day < since and (limit or 0) <= LOOKED_BACK
    if too_old or part is None or part.balance or not part.kept or any(receipt.claimed_on for receipt in held):
        return
    receipt = next((each for each in held if each.content.paid_in_full), None)
    shipped = account.parcels[-1].day if account.parcels else None
    yield OpenClaim(
        number_of(order),
        work.customers.get(order.customer_number).name,
        wearer.name,
        number,
        part.kept,
        receipt.number if receipt else None,
        receipt is not None and receipt.content.refunded != part.refunded,
        shipped,
        shipped + timedelta(limit) if shipped and limit else None,
    )


@on_both
def test_what_is_open_is_what_a_plain_walk_over_everything_finds(sold: Desk) -> None:
    """Whatever was paid, shipped, given back, issued, replaced or handed in, for one wearer or two, and since when."""
    for since in (FIRST, FIRST + timedelta(11), date(2026, 4, 20)):
        plain = sorted(plainly_open(sold, since), key=lambda claim: (claim.last_day or date.max, claim.order_number))
        assert unclaimed(sold, since) == tuple(plain)
    found = unclaimed(sold, FIRST)
    assert {claim.wearer for claim in found} == {CUSTOMER, CHILD}
    assert {claim.overtaken for claim in found} == {claim.receipt is None for claim in found} == {True, False}
    assert None not in {found[0].last_day, found[0].served_on}


def test_what_a_receipt_comes_to_is_in_its_content(sold: Desk) -> None:
    """Read alone, its sums are those of the whole content."""
    with sold.reading() as work:
        receipts = work.receipts.recent(100)
    for each in receipts:
        said = each.content
        assert each.sums == ReceiptSums(
            said.stands,
            said.balance,
            said.refunded,
            said.written_off,
            tuple(each.amount for each in said.payments),
            said.last_correction,
        )
    assert {bool(each.sums.balance) for each in receipts} == {True, False}
