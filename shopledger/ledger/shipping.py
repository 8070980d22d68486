"""What of an order is away and what is still here, by the parcels that left and came back.

A job or goods are away while a parcel that holds them left and did not come back. What a customer gave back of a line
is taken from what never left first, then from what did.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.orders import OrderAccount, OrderLine, Pair
from shopledger.ledger.pair_words import refuse_overtaken
from shopledger.ledger.parcels import Parcel, ParcelItem, ParcelReturn
from shopledger.ledger.stock import STOCKED


@dataclass(frozen=True, slots=True)
class GoodsHere:
    """Goods of one line that are still in the shop."""

    position: int
    """Of the line in the order, from 1."""
    line: OrderLine
    count: int


def parcel_with(account: OrderAccount, job: int | None) -> Parcel | None:
    """Give the parcel in which a job is away; None while it is here."""
    return next((parcel for parcel in reversed(account.away) if job in parcel.jobs), None)


def count_away(account: OrderAccount, position: int) -> int:
    """Give how many goods of a line left in parcels that did not come back."""
    return sum(parcel.count(position) for parcel in account.away)


def goods_here(account: OrderAccount) -> tuple[GoodsHere, ...]:
    """Give the goods of an order that are still in the shop."""
    return tuple(_here(account, lambda _line: True))


def pairs_here(account: OrderAccount) -> tuple[Pair, ...]:
    """Give the pairs that stand and are still in the shop, by their place."""
    return tuple(pair for pair in account.order.standing_pairs if parcel_with(account, pair.job_number) is None)


def goods_beside(account: OrderAccount) -> tuple[GoodsHere, ...]:
    """Give the goods that are still in the shop and belong to no pair."""
    return tuple(_here(account, lambda line: line.pair is None))


def frames_of(account: OrderAccount, pair: Pair) -> tuple[GoodsHere, ...]:
    """Give the frame of a pair's place, as long as it is here: it leaves with the job."""
    return tuple(_here(account, lambda line: line.pair == pair.place))


def brings_frame(account: OrderAccount, pair: Pair) -> bool:
    """Tell whether a frame out of the shop's stock leaves with a job; what was shown in it is then of concern."""
    return bool(frames_of(account, pair)) or (pair.again is not None and pair.again.new_frame)


def as_it_left(account: OrderAccount, parcel: Parcel) -> OrderAccount:
    """Give an order as it stood when a parcel had just left, so that its slip says the same years later."""
    order, day, number = account.order, parcel.day, parcel.number or 0
    pairs = tuple(pair for pair in order.pairs if pair.again is None or pair.again.day <= day)
    sent = (each for each in account.parcels if (each.number or 0) <= number)
    return replace(
        account,
        order=replace(order, pairs=pairs),
        parcels=tuple(replace(each, came_back=_back_by(each, parcel)) for each in sent),
        refunds=tuple(each for each in account.refunds if each.day <= day),
        corrections=tuple(each for each in account.corrections if each.day <= day),
    )


def _back_by(parcel: Parcel, later: Parcel) -> ParcelReturn | None:
    back = parcel.came_back
    return back if back and parcel.number != later.number and back.day <= later.day else None


def with_customer(account: OrderAccount, kept: KeptLine) -> int:
    """Give how many goods of a line the customer has: what is away and was not given back."""
    return min(count_away(account, kept.place), kept.count)


def whole_content(account: OrderAccount) -> tuple[ParcelItem, ...]:
    """Give all that is left of an order as the content of one parcel."""
    return (
        *(item for pair in pairs_here(account) for item in job_content(account, pair)),
        *(ParcelItem(line=each.position, quantity=each.count) for each in goods_beside(account)),
    )


def job_content(account: OrderAccount, pair: Pair) -> tuple[ParcelItem, ...]:
    """Give a job with its frame as part of a parcel's content."""
    frames = (ParcelItem(line=each.position, quantity=each.count) for each in frames_of(account, pair))
    return ParcelItem(job=pair.job_number), *frames


@dataclass(frozen=True, slots=True)
class PackRequest:
    """What is to lie in a parcel: jobs with their frames, goods by line; nothing named is all that is here."""

    jobs: tuple[int, ...] = ()
    goods: tuple[tuple[int, int | None], ...] = ()
    """Position of a line, and how many of it; None for all that are here."""


ALL_OF_IT: Final = PackRequest()


def packed(account: OrderAccount, asked: PackRequest) -> tuple[ParcelItem, ...]:
    """Give the content of a parcel, or refuse what cannot lie in it."""
    if not asked.jobs and not asked.goods:
        return _all_packed(account)
    _refuse_twice("job", asked.jobs)
    _refuse_twice("line", [line for line, _ in asked.goods])
    jobs = (item for job in asked.jobs for item in job_content(account, _job_here(account, job)))
    return *jobs, *(_goods_packed(account, line, count) for line, count in asked.goods)


def _all_packed(account: OrderAccount) -> tuple[ParcelItem, ...]:
    content = whole_content(account)
    if not content:
        days = [parcel.day for parcel in account.away]
        said = f"it was shipped on {max(days).isoformat()}" if days else "nothing on it is to be shipped"
        raise RefusedError("order", account.order.number, said, "Nothing is left to ship.")
    return content


def _job_here(account: OrderAccount, job: int) -> Pair:
    """Give the pair of a job that may leave."""
    order = account.order
    pair = next((each for each in order.pairs if each.job_number == job), None)
    if pair is None:
        jobs = ", ".join(str(each.job_number) for each in order.standing_pairs) or "none"
        raise RefusedError("job", job, f"the jobs of order {order.number} are: {jobs}", "Name one of them.")
    refuse_overtaken(order, pair, "parcel")
    parcel = parcel_with(account, job)
    if parcel is not None:
        said = f"it left on {parcel.day.isoformat()} in parcel {parcel.number}"
        raise RefusedError("job", job, said, "Leave it out, or make it again with 'shopledger job remake'.")
    return pair


def _goods_packed(account: OrderAccount, position: int, count: int | None) -> ParcelItem:
    """Give goods of a line that may leave by themselves."""
    order = account.order
    if not 1 <= position <= len(order.lines):
        look = f"Look with 'shopledger sale show {order.number}'."
        raise RefusedError("line", position, f"order {order.number} has lines 1 to {len(order.lines)}", look)
    line = order.lines[position - 1]
    if line.pair is not None or line.kind not in STOCKED:
        alone = "only accessories and frames sold without lenses leave by themselves"
        raise RefusedError("line", f"{position}, {line.description}", alone, "Name its job with --job.")
    here = next((each.count for each in goods_here(account) if each.position == position), 0)
    wanted = here if count is None else count
    if not 1 <= wanted <= here:
        hint = "Name fewer." if here else "Leave the line out."
        raise RefusedError("goods", f"{wanted} of line {position}, {line.description}", f"{here} are here", hint)
    return ParcelItem(line=position, quantity=wanted)


def _refuse_twice(what: str, named: Sequence[int]) -> None:
    twice = next((each for each in named if named.count(each) > 1), None)
    if twice is not None:
        raise RefusedError(what, twice, "it is named twice", "Name it once.")


def served_on(account: OrderAccount, wearers: Collection[int | None] | None = None) -> date | None:
    """Give the day on which the last of an order's goods left, or of some wearers' goods; None before.

    A job that was made again afterwards does not move the day, but one that was lost on its way never arrived.
    """
    days: list[date | None] = []
    standing = [pair for pair in account.order.standing_pairs if wearers is None or pair.wearer_number in wearers]
    days += [_first_left(account, pair.place) for pair in standing]
    for kept in kept_lines(account):
        line = kept.line
        if line.kind not in STOCKED or line.pair is not None or not (wearers is None or line.wearer_number in wearers):
            continue
        if count_here(account, kept):
            days.append(None)
        days += [parcel.day for parcel in account.away if parcel.count(kept.place)]
    known = [each for each in days if each is not None]
    return max(known) if known and len(known) == len(days) else None


def _here(account: OrderAccount, wanted: Callable[[OrderLine], bool]) -> Iterator[GoodsHere]:
    for kept in kept_lines(account):
        if kept.line.kind in STOCKED and wanted(kept.line):
            count = count_here(account, kept)
            if count:
                yield GoodsHere(kept.place, kept.line, count)


def count_here(account: OrderAccount, kept: KeptLine) -> int:
    """Give how many goods of a line are still to leave."""
    return max(0, kept.count - count_away(account, kept.place))


def _first_left(account: OrderAccount, place: int) -> date | None:
    """Give the day on which the first glasses of a place left that arrived."""
    for pair in account.order.pairs_at(place):
        after, parcel = account.order.next_pair(pair), parcel_with(account, pair.job_number)
        lost = after is not None and after.again is not None and after.again.cause is RemakeCause.LOST
        if parcel is not None and not lost:
            return parcel.day
    return None
