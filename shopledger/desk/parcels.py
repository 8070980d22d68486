"""Parcels that left: looking at them, taking one in that came back, sending it again; and where an order goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from shopledger.desk.books.goods_moves import goods_came_back
from shopledger.desk.books.job_costs import costs_moved, standing_costs
from shopledger.desk.books.order_postings import post_parcel_return
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings, note_accepted, on_or_after, standing_order
from shopledger.desk.sending import like_card, send_parcel
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.postings import ParcelCosts
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderAccount
from shopledger.ledger.parcels import OrderAddress, Parcel, ParcelItem, ParcelReturn
from shopledger.ledger.parties import Address
from shopledger.ledger.postcodes import zip_findings
from shopledger.ledger.shipping import goods_beside, job_content, pairs_here, whole_content
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class ParcelCard:
    """A parcel with what lies in it, in words, and the parcel in which its content went again."""

    parcel: Parcel
    customer: str
    contents: tuple[str, ...]
    sent_again: int | None = None


def parcel_card(desk: Desk, number: int) -> ParcelCard:
    """Give a parcel with its content."""
    with desk.reading() as work:
        parcel = work.parcels.get(number)
        account = work.orders.account(parcel.order_number)
        again = next((number_of(each) for each in account.parcels if each.again_of == number), None)
        customer = work.customers.get(account.order.customer_number).name
        return ParcelCard(parcel, customer, tuple(_contents(work, account.order, parcel)), again)


def parcels(desk: Desk, order_number: int | None = None, limit: int = 20) -> tuple[Parcel, ...]:
    """Give an order's parcels, or the newest of all, newest first."""
    with desk.reading() as work:
        if order_number is None:
            return work.parcels.recent(limit)
        return tuple(reversed(work.orders.account(order_number).parcels))


def parcel_back(desk: Desk, number: int, reason: str, day: date | None = None) -> ParcelCard:
    """Store that a parcel came back: its goods lie on the shelf for their order, its jobs are in work again."""
    came_on = desk.day(day, "day of coming back")
    with desk.writing() as work:
        work.periods.refuse_closed(came_on)
        parcel = work.parcels.get(number)
        if parcel.came_back is not None:
            said = f"it came back on {parcel.came_back.day.isoformat()}"
            hint = f"Send it again with 'shopledger parcel send-again {number}'."
            raise RefusedError("parcel", number, said, hint)
        on_or_after(parcel.day, came_on, "day of coming back", "the parcel left on")
        before = work.orders.account(parcel.order_number)
        standing = standing_costs(work, before.order)
        work.parcels.bring_back(ParcelReturn(number, came_on, reason))
        goods_came_back(work, before, work.orders.account(parcel.order_number), parcel, came_on)
        jobs, remade = costs_moved(work, before.order, standing)
        post_parcel_return(work, parcel, came_on, ParcelCosts(0, -jobs, -remade))
    return parcel_card(desk, number)


def send_again(
    desk: Desk,
    number: int,
    carrier: str,
    tracking: str = "",
    day: date | None = None,
    *,
    without_inspection: str = "",
    accept: frozenset[str] = frozenset(),
) -> ParcelCard:
    """Send the content of a parcel that came back once more, to where the order goes now."""
    sent_on = desk.day(day, "shipping day")
    accepted = accepted_warnings(like_card(tracking), accept)
    with desk.writing() as work:
        work.periods.refuse_closed(sent_on)
        old = work.parcels.get(number)
        account = standing_order(work, old.order_number, "parcel")
        if old.came_back is None:
            hint = f"First 'shopledger parcel returned {number} --reason REASON'."
            raise RefusedError("parcel", number, "it did not come back", hint)
        content = tuple(_still_here(account, old))
        if not content:
            said = "nothing of it is here: it left again, was given back or is made again"
            hint = f"Look with 'shopledger sale show {old.order_number}'."
            raise RefusedError("parcel", number, said, hint)
        on_or_after(old.came_back.day, sent_on, "shipping day", "the parcel came back on")
        taken = any(each.again_of == number for each in account.parcels)
        again_of = None if taken else number
        new = Parcel(old.order_number, sent_on, account.ship_to, carrier, tracking, content, again_of)
        sent = send_parcel(work, account, new, without_inspection)
        note_accepted(work, accepted, Document(DocumentKind.ORDER, old.order_number))
    return parcel_card(desk, number_of(sent))


def address_findings(account: OrderAccount, address: Address) -> tuple[Finding, ...]:
    """Ask about another state, since the sales tax was worked out for where it was to go, and about its ZIP code."""
    sold_to = account.order.ship_to.state
    odd = zip_findings(address)
    if address.state == sold_to:
        return odd
    sentence = (
        f"The order was sold to {sold_to} and its sales tax worked out for that state; it stays as it is when the "
        f"parcel goes to {address.state}."
    )
    source = "common practice, no source"
    return (Finding(Severity.WARNING, "OTHER-STATE", "state", address.state, sold_to, source, sentence), *odd)


def send_order_to(
    desk: Desk,
    order_number: int,
    address: Address,
    reason: str = "",
    day: date | None = None,
    *,
    accept: frozenset[str] = frozenset(),
) -> OrderAccount:
    """Store where what has not left of an order goes; parcels that left keep their address."""
    said_on = desk.day(day, "day")
    with desk.writing() as work:
        account = standing_order(work, order_number, "address")
        if not whole_content(account):
            hint = "What comes back can still be sent elsewhere: 'shopledger parcel returned' first."
            raise RefusedError("address", f"of order {order_number}", "all of it has left", hint)
        if address == account.ship_to:
            raise RefusedError("address", ", ".join(address.lines), "the order goes there already", "Name another.")
        on_or_after(account.order.day, said_on, "day")
        accepted = accepted_warnings(address_findings(account, address), accept)
        work.parcels.send_to(OrderAddress(order_number, said_on, address, reason))
        note_accepted(work, accepted, Document(DocumentKind.ORDER, order_number))
        return work.orders.account(order_number)


def _still_here(account: OrderAccount, parcel: Parcel) -> Iterator[ParcelItem]:
    """Give what of a parcel's content is here and may leave again."""
    for pair in pairs_here(account):
        if pair.job_number in parcel.jobs:
            yield from job_content(account, pair)
    for each in goods_beside(account):
        count = min(each.count, parcel.count(each.position))
        if count:
            yield ParcelItem(line=each.position, quantity=count)


def _contents(work: UnitOfWork, order: Order, parcel: Parcel) -> Iterator[str]:
    pairs = {pair.job_number: pair for pair in order.pairs}
    for item in parcel.items:
        if item.job is not None:
            pair = pairs[item.job]
            yield f"job {item.job}: {work.catalogue.frame(pair.frame_code).description}"
        elif item.line is not None and order.lines[item.line - 1].pair is None:
            yield f"{item.quantity} × {order.lines[item.line - 1].description}"
