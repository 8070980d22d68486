"""Goods that move: the movement, its lot, and its entry in the books, together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from shopledger.ledger.books.postings import goods_entry
from shopledger.ledger.corrections import Correction
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Refund
from shopledger.ledger.stock import STOCKED, GoodsShortError, StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away

if TYPE_CHECKING:
    from shopledger.store.work import UnitOfWork


def bring_in(work: UnitOfWork, movement: StockMovement) -> StockMovement:
    """Put goods on the shelf and post what they cost."""
    posted = work.stock.bring(movement)
    _post(work, posted)
    return posted


def take_out(work: UnitOfWork, movement: StockMovement) -> StockMovement:
    """Take goods from the shelf, those that came in first, and post what they cost."""
    posted = work.stock.take(movement)
    _post(work, posted)
    return posted


def ship_goods(work: UnitOfWork, account: OrderAccount, day: date) -> Cents:
    """Take an order's goods from the shelf, line by line, and set what was kept for it free; gives what they cost."""
    order = account.order
    _refuse_short(work, account)
    jobs = {pair.place: pair.job_number for pair in order.standing_pairs}
    cost = 0
    for line, count in goods_left(account):
        kind = STOCKED[line.kind]
        work.stock.reserve(kind, line.item_code, -count)
        job = jobs[line.pair] if line.pair is not None else None
        movement = StockMovement(day, kind, line.item_code, -count, 0, StockReason.SOLD, order.number, job)
        cost -= work.stock.take(movement).cost
    return cost


def put_back(work: UnitOfWork, account: OrderAccount, what: Refund | Correction) -> None:
    """Put what lines give back on the shelf at the cost it left at; before shipping it is only set free."""
    for part in what.parts:
        if not part.returned:
            continue
        line = account.order.lines[part.line - 1]
        kind = STOCKED[line.kind]
        if account.shipment is None:
            work.stock.reserve(kind, line.item_code, -part.returned)
            continue
        number = number_of(account.order)
        moved = work.stock.of_order(number)
        job = _job_sold(moved, account.order, line)
        cost = cost_back(moved, kind, line.item_code, job, part.returned)
        bring_in(
            work,
            StockMovement(
                day=what.day,
                kind=kind,
                item_code=line.item_code,
                quantity=part.returned,
                cost=cost,
                reason=StockReason.RETURNED,
                order_number=number,
                job_number=job,
                note=what.reason,
            ),
        )


def goods_out(order: Order) -> Counter[tuple[StockedKind, str]]:
    """Count what an order takes from the shelf when it is shipped, by kind and code."""
    out: Counter[tuple[StockedKind, str]] = Counter()
    for line in order.lines:
        if line.kind in STOCKED:
            out[STOCKED[line.kind], line.item_code] += line.quantity
    return out


def goods_left(account: OrderAccount) -> tuple[tuple[OrderLine, int], ...]:
    """Give each line of goods with how many of it are still to be shipped, or were."""
    stocked = (each for each in kept_lines(account) if each.line.kind in STOCKED)
    return tuple((each.line, each.count) for each in stocked if each.count)


def cost_back(moved: Iterable[StockMovement], kind: StockedKind, code: str, job: int | None, returned: int) -> Cents:
    """Give what goods cost that come back: their share of what is still away, so that all together bring back all.

    Goods that left before movements named their job are looked for under the whole order.
    """
    goods = [each for each in moved if (each.kind, each.item_code) == (kind, code)]
    jobs = [each for each in goods if each.job_number == job]
    mine = jobs if any(each.reason is StockReason.SOLD for each in jobs) else goods
    away, cost = -sum(each.quantity for each in mine), -sum(each.cost for each in mine)
    return round_half_away(cost * returned, away) if away > 0 else 0


def _job_sold(moved: Iterable[StockMovement], order: Order, line: OrderLine) -> int | None:
    """Give the job with which a line's goods left: of a place that was made again, the one that took them along."""
    jobs = [pair.job_number for pair in order.pairs_at(line.pair)]
    met = [each.job_number for each in moved if each.item_code == line.item_code and each.job_number in jobs]
    return next((job for job in reversed(met) if job is not None), jobs[-1] if jobs else None)


def _refuse_short(work: UnitOfWork, account: OrderAccount) -> None:
    """Refuse an order of which some goods do not lie there, naming them all."""
    needed: Counter[tuple[StockedKind, str]] = Counter()
    for line, count in goods_left(account):
        needed[STOCKED[line.kind], line.item_code] += count
    there = {key: work.stock.level(*key).on_hand for key in needed}
    short = tuple((key[1], count, there[key]) for key, count in needed.items() if count > there[key])
    if short:
        raise GoodsShortError(number_of(account.order), short)


def _post(work: UnitOfWork, movement: StockMovement) -> None:
    if movement.cost:
        work.journal.post(goods_entry(movement))
