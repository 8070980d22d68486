"""Goods that move: the movement, its lot, and its entry in the books, together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from shopledger.ledger.books.postings import goods_entry
from shopledger.ledger.corrections import Correction
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Refund
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.shipping import goods_here, with_customer
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


def send_goods(work: UnitOfWork, account: OrderAccount, parcel: Parcel) -> Cents:
    """Take what lies in a parcel from the shelf, and set what was kept for it free; gives what it cost.

    The account is that of before the parcel.
    """
    needed = tuple(_in_parcel(account, parcel))
    _refuse_short(work, account, needed)
    cost = 0
    for kind, code, count, job in needed:
        work.stock.reserve(kind, code, -count)
        order, sold = parcel.order_number, StockReason.SOLD
        movement = StockMovement(parcel.day, kind, code, -count, 0, sold, order, job, parcel_number=parcel.number)
        cost -= work.stock.take(movement).cost
    return cost


def goods_came_back(work: UnitOfWork, before: OrderAccount, after: OrderAccount, parcel: Parcel, day: date) -> None:
    """Put what came back in a parcel on the shelf at the cost it left at, kept for its order again.

    What the customer had given back of it by then is not in it; the accounts are those of before and after.
    """
    lines = zip(kept_lines(before), kept_lines(after), strict=True)
    came = {old.place: with_customer(before, old) - with_customer(after, new) for old, new in lines}
    moved = work.stock.of_order(parcel.order_number)
    for kind, code, count, job in _in_parcel(before, parcel, came):
        cost = cost_back(_of_parcel(moved, parcel), kind, code, job, count)
        order, reason = parcel.order_number, StockReason.RETURNED
        note = f"parcel {parcel.number} came back"
        movement = StockMovement(
            day, kind, code, count, cost, reason, order, job, note=note, parcel_number=parcel.number
        )
        bring_in(work, movement)
        work.stock.reserve(kind, code, count)


def put_back(work: UnitOfWork, account: OrderAccount, what: Refund | Correction) -> None:
    """Put what lines give back on the shelf at the cost it left at; what has not left is only set free."""
    here = {each.position: each.count for each in goods_here(account)}
    for part in what.parts:
        line = account.order.lines[part.line - 1]
        free = min(part.returned, here.get(part.line, 0))
        if free:
            work.stock.reserve(STOCKED[line.kind], line.item_code, -free)
        if part.returned > free:
            _bring_back(work, account, line, part.returned - free, what)


def _bring_back(
    work: UnitOfWork, account: OrderAccount, line: OrderLine, count: int, what: Refund | Correction
) -> None:
    kind, number = STOCKED[line.kind], number_of(account.order)
    moved = work.stock.of_order(number)
    job = _job_sold(moved, account.order, line)
    cost = cost_back(moved, kind, line.item_code, job, count)
    bring_in(
        work,
        StockMovement(
            day=what.day,
            kind=kind,
            item_code=line.item_code,
            quantity=count,
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


def _in_parcel(
    account: OrderAccount, parcel: Parcel, counts: Mapping[int, int] | None = None
) -> Iterator[tuple[StockedKind, str, int, int | None]]:
    """Give what a parcel takes from the shelf: kind, code, how many, and with which job.

    A frame that goes along with a remake stands on no line. `counts` says how many of a line, where that is not all.
    """
    order = account.order
    inside = [pair for pair in order.pairs if pair.job_number in parcel.jobs]
    jobs = {pair.place: pair.job_number for pair in inside}
    for item in parcel.items:
        if item.line is not None:
            line = order.lines[item.line - 1]
            count = item.quantity if counts is None else min(item.quantity, counts[item.line])
            if count:
                yield STOCKED[line.kind], line.item_code, count, None if line.pair is None else jobs.get(line.pair)
    for pair in inside:
        if pair.again is not None and pair.again.new_frame:
            yield StockedKind.FRAME, pair.frame_code, 1, pair.job_number


def _of_parcel(moved: Sequence[StockMovement], parcel: Parcel) -> Sequence[StockMovement]:
    """Give the movements of a parcel; goods that left before movements named theirs are looked for among all."""
    own = [each for each in moved if each.parcel_number == parcel.number]
    return own or moved


def _refuse_short(
    work: UnitOfWork, account: OrderAccount, goods: Iterable[tuple[StockedKind, str, int, int | None]]
) -> None:
    """Refuse a parcel of which some goods do not lie there, naming them all."""
    needed: Counter[tuple[StockedKind, str]] = Counter()
    for kind, code, count, _ in goods:
        needed[kind, code] += count
    there = {key: work.stock.level(*key).on_hand for key in needed}
    short = tuple((key[1], count, there[key]) for key, count in needed.items() if count > there[key])
    if short:
        raise GoodsShortError(number_of(account.order), short)


def _post(work: UnitOfWork, movement: StockMovement) -> None:
    if movement.cost:
        work.journal.post(goods_entry(movement))
