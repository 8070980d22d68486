"""Letting a parcel leave: its jobs inspected, its goods off the shelf, its costs where they belong, all together."""

from __future__ import annotations

from shopledger.desk.books.goods_moves import send_goods
from shopledger.desk.books.job_costs import costs_moved, standing_costs
from shopledger.desk.books.order_postings import post_parcel
from shopledger.desk.refusals import on_or_after
from shopledger.errors import RefusedError
from shopledger.ledger.books.postings import ParcelCosts
from shopledger.ledger.inspections import Omission
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.private_numbers import CARD, private_number
from shopledger.ledger.text import refuse_private
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork


def send_parcel(work: UnitOfWork, account: OrderAccount, new: Parcel, without_inspection: str) -> Parcel:
    """Store a parcel with its goods and its posting; gives it back with its number."""
    order = account.order
    on_or_after(order.day, new.day, "shipping day")
    for pair in order.pairs:
        if pair.again is not None and pair.job_number in new.jobs:
            on_or_after(pair.again.day, new.day, "shipping day", f"job {pair.job_number} was begun on")
    work.inspections.omit(_omissions(work, new, without_inspection))
    before = standing_costs(work, order)
    parcel = work.parcels.add(new)
    goods = send_goods(work, account, parcel)
    post_parcel(work, account, parcel, ParcelCosts(goods, *costs_moved(work, order, before)))
    return parcel


def like_card(tracking: str) -> tuple[Finding, ...]:
    """Ask about a tracking number that reads like a card's whole number; a social security number is refused."""
    if private_number(tracking) != CARD:
        refuse_private("tracking number", tracking)
        return ()
    sentence = "The tracking number reads like the whole number of a payment card, which the shop never keeps."
    source = "ISO/IEC 7812"
    return (Finding(Severity.WARNING, "READS-LIKE-CARD", "tracking number", "", "", source, sentence),)


def _omissions(work: UnitOfWork, parcel: Parcel, reason: str) -> tuple[Omission, ...]:
    """Give what to keep of jobs that leave without inspection, or refuse them; a reason where none is needed too.

    A job that left before without one, and came back, may leave again as it did.
    """
    histories = {job: work.inspections.history(job) for job in parcel.jobs}
    lacking = {job: each.lacking for job, each in histories.items() if each.lacking and each.omission is None}
    if not lacking and reason:
        raise RefusedError(
            "reason",
            f"'{reason}'",
            "nothing on this order lacks an inspection",
            "Leave --without-inspection out.",
        )
    if lacking and not reason:
        first = next(iter(lacking))
        raise RefusedError(
            "inspection",
            f"lacking: {', '.join(f'job {job} {why}' for job, why in lacking.items())}",
            "an order is shipped once each of its jobs has passed",
            f"Record it with 'shopledger job inspect {first}', or say why not with --without-inspection REASON.",
        )
    return tuple(Omission(job, reason) for job in lacking)
