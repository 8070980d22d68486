"""Drafting an order once more as it stands, so that a mistake about the whole of it need not be typed again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shopledger.desk.changing_jobs import request_of
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.exchange.order_file import write_order_file
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.line_model import KeptLine
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import AccessoryRequest, Draft, FrameRequest, OrderAccount, OrderRequest
from shopledger.ledger.putting_right import standing_lines
from shopledger.store.work import UnitOfWork


def copy_to_draft(desk: Desk, order_number: int, customer: str | None = None, wearer: str = "") -> Draft:
    """Store a draft of an order as it stands, for the same customer or for another; nothing of the order changes."""
    with desk.writing() as work:
        account = work.orders.account(order_number)
        ordered = work.customers.get(account.order.customer_number)
        refuse_of_erased(f"order {order_number}", ordered)
        wanted = work.customers.pick(customer) if customer else ordered
        same = wanted.number == ordered.number
        wearers = {each.wearer_number for each in account.order.standing_pairs}
        if wearer and len(wearers) > 1:
            raise RefusedError(
                "wearer",
                wearer,
                f"order {order_number} has glasses for {len(wearers)} wearers",
                "Leave it out; each pair stays with whoever has the same name.",
            )
        names = {each: wearer or work.customers.wearer(each).name for each in wearers}
        request = _request(work, account, names, str(number_of(wanted)), same=same and not wearer)
        reason = f"order {order_number} once more"
        number = work.drafts.add(number_of(wanted), desk.today, reason, write_order_file(request))
        return work.drafts.get(number)


def _request(
    work: UnitOfWork, account: OrderAccount, names: Mapping[int, str], customer: str, *, same: bool
) -> OrderRequest:
    """Ask for an order as it stands; another person's glasses are made from that person's newest prescription."""
    order = account.order
    pairs = tuple(
        replace(asked, wearer=names[pair.wearer_number], prescription=asked.prescription if same else None)
        for pair in order.standing_pairs
        for asked in (request_of(account, pair),)
    )
    beside = [each for each in standing_lines(account) if each.line.pair is None and each.count]
    shipping = sum(each.kept for each in standing_lines(account) if each.line.kind is LineKind.SHIPPING)
    return OrderRequest(
        customer,
        pairs,
        tuple(_accessory(work, each, names) for each in beside if each.line.kind is LineKind.ACCESSORY),
        shipping=shipping,
        note=order.note,
        tax_exempt=order.tax_exempt,
        frames=tuple(
            FrameRequest(each.line.item_code, each.line.demo_lenses, _whose(work, each, names))
            for each in beside
            if each.line.demo_lenses is not None
        ),
    )


def _accessory(work: UnitOfWork, kept: KeptLine, names: Mapping[int, str]) -> AccessoryRequest:
    return AccessoryRequest(kept.line.item_code, kept.count, _whose(work, kept, names))


def _whose(work: UnitOfWork, kept: KeptLine, names: Mapping[int, str]) -> str:
    number = kept.line.wearer_number
    if number is None:
        return ""
    return names.get(number) or work.customers.wearer(number).name
