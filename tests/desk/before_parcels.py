"""Sales and shipping as they once were: what a ledger of then holds, for tests of carrying it over."""

from __future__ import annotations

from dataclasses import replace

from shopledger.desk.context import Desk
from shopledger.desk.orders import take_payment
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Entry
from shopledger.ledger.books.posting_rules import Amounts, posted
from shopledger.ledger.inspections import Omission
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderRequest
from shopledger.ledger.stock import STOCKED, StockMovement, StockReason
from tests.counted import post_sale
from tests.parcels import whole_parcel


def sold_at_once(desk: Desk, asked: OrderRequest) -> int:
    """Record an order that counts on its own day, before anything is paid on it; gives its number."""
    order = record_sale(desk, replace(asked, payments=())).order
    with desk.writing() as work:
        post_sale(work, order)
    for each in asked.payments:
        take_payment(desk, number_of(order), each)
    return number_of(order)


def shipped_whole(desk: Desk, order_number: int) -> None:
    """Let an order leave whole: goods that name no parcel, and one entry that stands on the shipment of the order."""
    with desk.writing() as work:
        order = work.orders.get(order_number)
        work.inspections.omit(Omission(pair.job_number or 0, "a trial") for pair in order.pairs)
        work.parcels.add(whole_parcel(order, desk.today, "Parcel post"))
        jobs = {pair.position: pair.job_number for pair in order.pairs}
        goods = 0
        for line in order.lines:
            if line.kind in STOCKED:
                kind, job = STOCKED[line.kind], jobs.get(line.pair or 0)
                work.stock.reserve(kind, line.item_code, -line.quantity)
                sold = StockMovement(
                    desk.today, kind, line.item_code, -line.quantity, 0, StockReason.SOLD, order_number, job
                )
                goods -= work.stock.take(sold).cost
        kind_of = DocumentKind.SHIPMENT
        memo = f"cost of goods shipped, order {order_number}"
        postings = posted(kind_of, Amounts({"goods": goods, "jobs": 0}))
        work.journal.post(Entry(desk.today, memo, Document(kind_of, order_number), postings))
