"""Filling and counting the stock, and loading the catalogue."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from shopledger.desk.billing import receive_one
from shopledger.desk.context import Desk
from shopledger.desk.goods import open_with
from shopledger.desk.goods_moves import bring_in, take_out
from shopledger.errors import RefusedError
from shopledger.ledger.bill_requests import GoodsBilled
from shopledger.ledger.bills import BillAccount
from shopledger.ledger.catalogue import Accessory, Catalogue, Frame
from shopledger.ledger.offers import Offer
from shopledger.ledger.spending import SpendMethod
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import TaxRate
from shopledger.money.amount import Cents
from shopledger.store.work import Work


def load_catalogue(desk: Desk, catalogue: Catalogue, offers: tuple[Offer, ...], taxes: tuple[TaxRate, ...]) -> None:
    """Store a whole catalogue with opening counts, offers and tax rates: all rows or none."""
    with desk.writing() as work:
        for frame, count in catalogue.frames:
            add_stocked(work, desk.today, frame, count)
        for lens in catalogue.lenses:
            work.catalogue.add_lens(lens)
        for extra in catalogue.extras:
            work.catalogue.add_extra(extra)
        for accessory, count in catalogue.accessories:
            add_stocked(work, desk.today, accessory, count)
        for offer in offers:
            work.catalogue.add_offer(offer)
        for rate in taxes:
            work.catalogue.set_tax_rate(rate)


def add_stocked(work: Work, day: date, item: Frame | Accessory, count: int) -> None:
    """Add a frame or accessory to the catalogue with its opening count."""
    if isinstance(item, Frame):
        work.catalogue.add_frame(item)
        open_with(work, day, StockedKind.FRAME, item.code, count, item.cost)
    else:
        work.catalogue.add_accessory(item)
        open_with(work, day, StockedKind.ACCESSORY, item.code, count, item.cost)


@dataclass(frozen=True, slots=True)
class Received:
    """What lies on the shelf after goods came in, and the bill that was made of them."""

    on_hand: int
    account: BillAccount


def receive_stock(
    desk: Desk,
    kind: StockedKind,
    code: str,
    quantity: int,
    unit_cost: Cents,
    day: date | None = None,
    *,
    supplier: str = "",
    invoice: str = "",
    paid: SpendMethod | None = None,
    accept: frozenset[str] = frozenset(),
) -> Received:
    """Record goods that came in, as a bill of one line; a supplier who is not named is owed all the same."""
    if quantity < 1:
        raise RefusedError(
            "quantity", quantity, "what came in is 1 or more", "Use 'shopledger stock count' to correct a count."
        )
    goods = GoodsBilled(code, quantity, unit_cost, kind=kind)
    with desk.writing() as work:
        account = receive_one(work, desk, goods, supplier=supplier, invoice=invoice, paid=paid, day=day, accept=accept)
        return Received(work.stock.level(kind, account.bill.lines[0].item_code).on_hand, account)


def count_stock(desk: Desk, kind: StockedKind, code: str, counted: int, note: str = "") -> int:
    """Record what was counted on the shelf; the difference becomes a movement and is given back."""
    if counted < 0:
        raise RefusedError("count", counted, "it may not be negative", "Type what lies on the shelf.")
    with desk.writing() as work:
        item = _known(work, kind, code)
        level = work.stock.level(kind, item.code)
        difference = counted - level.on_hand
        found = StockMovement(desk.today, kind, item.code, difference or 1, 0, StockReason.ADJUSTED, note=note)
        if difference > 0:
            bring_in(work, replace(found, cost=difference * level.last_cost))
        elif difference:
            take_out(work, found)
        return difference


def _known(work: Work, kind: StockedKind, code: str) -> Frame | Accessory:
    return work.catalogue.frame(code) if kind is StockedKind.FRAME else work.catalogue.accessory(code)
