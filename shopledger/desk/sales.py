"""Recording a sale, from a draft or anew: plan it, show it, store it whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from shopledger.desk.books.goods_moves import goods_out
from shopledger.desk.context import Desk
from shopledger.desk.drafts import unrecorded
from shopledger.desk.orders import check_payment, store_payment
from shopledger.desk.pairs import PlannedPair, plan_pair
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import Offer
from shopledger.ledger.orders import (
    NOBODY,
    AccessoryRequest,
    FrameRequest,
    Order,
    OrderAccount,
    OrderRequest,
    PaymentRequest,
)
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.pricing import AccessoryGoods, FrameGoods, Terms, price_order
from shopledger.ledger.stock import OutOfStockError
from shopledger.ledger.taxing import without_rate
from shopledger.ledger.twice import WITHIN_DAYS, same_order
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork


class WhoseError(LedgerError):
    """Goods beside the pairs of several wearers, and nothing says whose they are."""

    code: str
    wearers: tuple[str, ...]

    def __str__(self) -> str:
        named = f'wearer = "{self.wearers[0]}"'
        return (
            f"the order is for {' and '.join(self.wearers)}, and whose {self.code} is was not said. Name the wearer: "
            f"beside it in an order file, as in {named}, and with '--wearer' where lines are added. "
            f"Say {NOBODY} for what is the customer's."
        )


@dataclass(frozen=True, slots=True)
class SalePlan:
    """What recording the sale would store: the priced order, the payments, and all findings."""

    order: Order
    customer: Customer
    pairs: tuple[PlannedPair, ...]
    payments: tuple[PaymentRequest, ...]
    findings: tuple[Finding, ...]

    @property
    def paid(self) -> int:
        """What the payments of the request come to, in cents."""
        return sum(payment.amount for payment in self.payments)


def plan_sale(desk: Desk, request: OrderRequest) -> SalePlan:
    """Price an order and check it whole, without storing anything."""
    with desk.reading() as work:
        return planned_sale(work, desk, request)


def record_sale(desk: Desk, request: OrderRequest, draft: int | None = None) -> OrderAccount:
    """Store an order with its payments, stock movements and postings: all of it, or nothing."""
    with desk.writing() as work:
        if draft is not None:
            unrecorded(work, draft)
        plan = planned_sale(work, desk, request)
        accepted = accepted_warnings(plan.findings, request.accept)
        order = work.orders.add(replace(plan.order, accepted=accepted))
        for (kind, code), quantity in goods_out(order).items():
            work.stock.reserve(kind, code, quantity)
        payments = tuple(store_payment(work, order, payment, order.day) for payment in plan.payments)
        if draft is not None:
            work.drafts.mark_recorded(draft, number_of(order))
        return OrderAccount(order, payments, entered=work.orders.entered(number_of(order)))


def priced_sale(work: UnitOfWork, request: OrderRequest, day: date) -> SalePlan:
    """Price an order of a day and check its lenses, whatever the shelf and the books say; stores nothing.

    Payments are not looked at: nothing is promised and nothing taken.
    """
    customer = work.customers.pick(request.customer)
    pairs = tuple(plan_pair(work, customer, asked, place, day) for place, asked in enumerate(request.pairs, start=1))
    terms = _terms(work, customer, request, day)
    accessories, frames = goods_beside(work, customer, request, [pair.wearer for pair in pairs])
    lines = price_order([pair.goods for pair in pairs], accessories, terms, frames)
    order = Order(
        customer_number=number_of(customer),
        day=day,
        ship_to=customer.address,
        pairs=tuple(pair.pair for pair in pairs),
        lines=lines,
        tax_rounding=terms.settings.tax_rounding,
        note=request.note,
        tax_exempt=request.tax_exempt,
    )
    found = (*(finding for pair in pairs for finding in pair.findings), *_tax_notes(order, terms))
    return SalePlan(order, customer, pairs, (), found)


def planned_sale(work: UnitOfWork, desk: Desk, request: OrderRequest) -> SalePlan:
    """Price an order and check whether it can be recorded, inside a transaction; stores nothing."""
    day = desk.day(request.day, "order day")
    work.periods.refuse_closed(day)
    plan = priced_sale(work, request, day)
    order = plan.order
    _check_stock(work, order)
    owed = order.total
    for payment in request.payments:
        paid_on = desk.day(payment.day, "payment day") if payment.day else day
        check_payment(payment, owed, order.day, paid_on)
        work.periods.refuse_closed(paid_on)
        owed -= payment.amount
    findings = (*plan.findings, *same_order(order, _around(work, order)))
    return replace(plan, payments=request.payments, findings=findings)


def _around(work: UnitOfWork, order: Order) -> tuple[Order, ...]:
    """Give the customer's orders of the days about that of a new one."""
    span = timedelta(days=WITHIN_DAYS)
    return work.orders.around(order.customer_number, order.day - span, order.day + span)


def goods_beside(
    work: UnitOfWork, customer: Customer, request: OrderRequest, wearers: Iterable[Wearer]
) -> tuple[tuple[AccessoryGoods, ...], tuple[FrameGoods, ...]]:
    """Look up what is sold beside the pairs: goods, and frames without lenses; `wearers` are those of the order."""
    owners = _owners(work, customer, request, wearers)
    return _accessories(work, request, owners), _frames(work, request, owners)


def _owners(
    work: UnitOfWork, customer: Customer, request: OrderRequest, of_order: Iterable[Wearer]
) -> Mapping[str, int | None]:
    """Give the number of whoever each word for a wearer of goods beside the pairs means.

    Nothing said is the order's only wearer; where there is none, the goods are the customer's, and where there are
    several, it must be said.
    """
    beside: tuple[FrameRequest | AccessoryRequest, ...] = (*request.frames, *request.accessories)
    asked = dict.fromkeys(goods.wearer for goods in beside)
    named = {said: work.customers.pick_wearer(number_of(customer), said) for said in asked if said not in {"", NOBODY}}
    wearers = {number_of(wearer): wearer.name for wearer in (*of_order, *named.values())}
    if "" in asked and len(wearers) > 1:
        unsaid = next(goods.code for goods in beside if not goods.wearer)
        raise WhoseError(unsaid, tuple(wearers.values()))
    only = next(iter(wearers), None)
    return {NOBODY: None, "": only, **{said: wearer.number for said, wearer in named.items()}}


def _accessories(
    work: UnitOfWork, request: OrderRequest, owners: Mapping[str, int | None]
) -> tuple[AccessoryGoods, ...]:
    return tuple(
        AccessoryGoods(work.catalogue.accessory(asked.code), asked.quantity, owners[asked.wearer])
        for asked in request.accessories
    )


def _frames(work: UnitOfWork, request: OrderRequest, owners: Mapping[str, int | None]) -> tuple[FrameGoods, ...]:
    """Look up the frames that are sold without lenses; one that a customer owns is not the shop's to sell."""
    found = []
    for asked in request.frames:
        frame = work.catalogue.frame(asked.code)
        if frame.owned_by is not None:
            raise RefusedError(
                "frame", frame.code, f"it belongs to customer {frame.owned_by}", "Name one of the shop's frames."
            )
        found.append(FrameGoods(frame, asked.demo_lenses, owners[asked.wearer]))
    return tuple(found)


def terms_of(work: UnitOfWork, order: Order, request: OrderRequest, day: date) -> Terms:
    """Give the terms of what is put right on an order: taxed by its own day, place and rounding, offers as of today."""
    state = order.ship_to.state
    return Terms(
        day=order.day,
        state=state,
        city=order.ship_to.city,
        postcode=order.ship_to.postcode,
        offers=_offers(work, request, day),
        tax_rates=work.catalogue.tax_rates(state),
        settings=replace(work.shop.settings(), tax_rounding=order.tax_rounding),
        shipping=request.shipping or 0,
        tax_exempt=order.tax_exempt,
    )


def _terms(work: UnitOfWork, customer: Customer, request: OrderRequest, day: date) -> Terms:
    settings, ship_to = work.shop.settings(), customer.address
    return Terms(
        day=day,
        state=ship_to.state,
        city=ship_to.city,
        postcode=ship_to.postcode,
        offers=_offers(work, request, day),
        tax_rates=work.catalogue.tax_rates(ship_to.state),
        settings=settings,
        shipping=settings.shipping_charge if request.shipping is None else request.shipping,
        tax_exempt=request.tax_exempt,
    )


def _offers(work: UnitOfWork, request: OrderRequest, day: date) -> tuple[Offer, ...]:
    """Give the automatic offers of the day less those declined, and those asked for by name."""
    declined = {work.catalogue.offer(code).code for code in request.without_offers}
    named = [work.catalogue.offer(code) for code in request.offers]
    running = [offer for offer in work.catalogue.offers_on(day) if offer.automatic]
    by_code = {offer.code: offer for offer in (*running, *named) if offer.code not in declined}
    return tuple(by_code.values())


def not_on_shelf(work: UnitOfWork, order: Order) -> tuple[Finding, ...]:
    """Note of what is quoted and not free: a sale would be refused, a quote promises none of it."""
    counted = ((code, asked, work.stock.level(kind, code).free) for (kind, code), asked in goods_out(order).items())
    return tuple(
        Finding(
            Severity.NOTE,
            "NOT-ON-SHELF",
            "stock",
            code,
            str(free),
            "the shop's stock",
            f"Of {code}, {asked} quoted and {free} free: a sale waits until more come in.",
        )
        for code, asked, free in counted
        if asked > free
    )


def _check_stock(work: UnitOfWork, order: Order) -> None:
    for (kind, code), asked in goods_out(order).items():
        free = work.stock.level(kind, code).free
        if asked > free:
            raise OutOfStockError(code, asked, free)


def _tax_notes(order: Order, terms: Terms) -> tuple[Finding, ...]:
    """Note where no rate holds; an exempt order needs none."""
    return () if terms.tax_exempt else without_rate(order.lines, terms.tax_rates, terms.destination, terms.day)
