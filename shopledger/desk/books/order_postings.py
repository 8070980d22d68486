"""Posting what happens to an order: what counts as sold since, and the side on which the order stands then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shopledger.desk.context import Desk
from shopledger.ledger.books.postings import (
    OrderEvent,
    ParcelCosts,
    parcel_event,
    parcel_return_event,
    put_off_event,
    refund_event,
)
from shopledger.ledger.books.prepaid import evened
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.earning import Earned, added_up, coming_back, giving_up, leaving, put_off, waiting_no_longer
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount, Refund
from shopledger.ledger.parcels import Parcel
from shopledger.money.amount import Cents
from shopledger.store.work import UnitOfWork


def post_event(work: UnitOfWork, event: OrderEvent) -> None:
    """Keep what an event counts as sold and post it, and what moves on later days since the order stands otherwise."""
    number = number_of(event.order)
    work.earnings.add(event.document, number, event.day, event.earned)
    (_, now), *later = evened(work.earnings.sides(number), event.day, event.owed)
    entry = event.entry(now)
    if entry.postings:
        work.journal.post(entry)
    for day, amount in later:
        work.journal.post(event.evening(day, amount))


def given_up(
    work: UnitOfWork,
    before: OrderAccount,
    parts: Iterable[LinePart],
    *,
    never_sold: bool = False,
    after: OrderAccount | None,
) -> tuple[Earned, ...]:
    """Give what counts no longer since lines gave way, and what counts at once since nothing of it waits any more.

    `after` is the order since; None where more is to come of the same deed.
    """
    standing = work.earnings.standing(number_of(before.order))
    rows = giving_up(before, parts, standing, never_sold=never_sold)
    if after is None:
        return rows
    more = waiting_no_longer(after, added_up(rows, standing))
    return tuple(filter(None, added_up((*rows, *more), {}).values()))


def post_refund(work: UnitOfWork, before: OrderAccount, refund: Refund) -> OrderAccount:
    """Post a refund that is stored; gives the order since."""
    after = work.orders.account(number_of(before.order))
    post_event(work, refund_event(refund, before.order, given_up(work, before, refund.parts, after=after)))
    return after


def post_parcel(work: UnitOfWork, before: OrderAccount, parcel: Parcel, costs: ParcelCosts) -> None:
    """Post that a parcel left; `before` is the order before it did."""
    earned = leaving(before, parcel, work.earnings.standing(parcel.order_number))
    post_event(work, parcel_event(parcel, before.order, earned, costs))


def post_parcel_return(work: UnitOfWork, parcel: Parcel, day: date, costs: ParcelCosts) -> None:
    """Post that a parcel came back, which is stored."""
    account, number = work.orders.account(parcel.order_number), number_of(parcel)
    earned = coming_back(account, work.earnings.of_parcel(number), work.earnings.standing(parcel.order_number))
    post_event(work, parcel_return_event(parcel, account.order, day, earned, costs))


@dataclass(frozen=True, slots=True)
class PutOff:
    """What of an order that counted when it was recorded counts no longer, until its goods leave."""

    account: OrderAccount
    earned: tuple[Earned, ...]

    @property
    def net(self) -> Cents:
        """By how much net sales fall."""
        return -sum(row.stands for row in self.earned)

    @property
    def tax(self) -> Cents:
        """By how much less sales tax is charged."""
        return -sum(row.tax_stands for row in self.earned)


def orders_to_put_off(desk: Desk) -> tuple[PutOff, ...]:
    """Look at the orders that counted when they were recorded, and of which goods are still here."""
    with desk.reading() as work:
        return _to_put_off(work, desk.today)


def put_orders_off(desk: Desk, day: date | None = None) -> tuple[PutOff, ...]:
    """Let every open order up to a day count with its goods from that on, each by one entry; gives them."""
    since = desk.day(day)
    with desk.writing() as work:
        work.periods.refuse_closed(since)
        found = _to_put_off(work, since)
        for each in found:
            work.earnings.put_off(number_of(each.account.order), since)
            post_event(work, put_off_event(each.account.order, since, each.earned))
    return found


def _to_put_off(work: UnitOfWork, last: date) -> tuple[PutOff, ...]:
    accounts = work.orders.accounts(work.earnings.counted_at_once(last))
    found = (PutOff(each, put_off(each, work.earnings.standing(number))) for number, each in accounts.items())
    return tuple(found)
