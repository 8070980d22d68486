"""Filling and counting the stock, and loading the catalogue."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from shopledger.desk.books.billing import receive_one
from shopledger.desk.books.goods_moves import bring_in, take_out
from shopledger.desk.books.shelf import stocked_item
from shopledger.desk.books.stock_leaving import short_for_orders
from shopledger.desk.context import Desk
from shopledger.desk.goods import open_with
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import GoodsBilled
from shopledger.ledger.books.bills import BillAccount
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.catalogue import Accessory, Catalogue, Frame
from shopledger.ledger.offers import Offer
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import TaxRate
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents
from shopledger.store.work import Work

if TYPE_CHECKING:
    from shopledger.store.books.stock import StockLevel


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
    kind: StockedKind | None,
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
        item, kind = stocked_item(work, kind, code)
        return Received(work.stock.level(kind, item.code).on_hand, account)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a count found: how many more or fewer than in the books, what these cost, and how the item stands now."""

    difference: int
    cost: Cents
    level: StockLevel


def count_stock(
    desk: Desk,
    kind: StockedKind | None,
    code: str,
    counted: int,
    note: str = "",
    day: date | None = None,
    *,
    accept: frozenset[str] = frozenset(),
) -> Counted:
    """Record what lay on the shelf at the end of a day, goods for orders that have not left among them.

    What is missing leaves at the cost of the oldest lots; what is found comes in at the cost last paid.
    """
    if counted < 0:
        raise RefusedError("count", counted, "it may not be negative", "Type what lies on the shelf.")
    on, said = desk.day(day), clean_text("note", note, LONGEST_NOTE, required=False)
    with desk.writing() as work:
        work.periods.refuse_closed(on)
        item, kind = stocked_item(work, kind, code)
        level = work.stock.level(kind, item.code)
        difference = counted - work.stock.on_hand_on(kind, item.code, on)
        accepted_warnings(short_for_orders(level, level.on_hand + difference) if difference < 0 else (), accept)
        cost = 0
        if difference:
            found = StockMovement(on, kind, item.code, difference, 0, StockReason.ADJUSTED, note=said)
            posted = (
                bring_in(work, replace(found, cost=difference * level.last_cost))
                if difference > 0
                else take_out(work, found)
            )
            cost = posted.cost
        return Counted(difference, cost, work.stock.level(kind, item.code))
