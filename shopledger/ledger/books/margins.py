"""What a job brought and what it cost: its net charge less its frame and its lenses."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderAccount, Pair
from shopledger.ledger.shipping import parcel_with
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away


@dataclass(frozen=True, slots=True)
class JobCosts:
    """What one job cost so far."""

    job_number: int
    billed: Cents = 0
    """What bills for lenses and lab work come to, with their share of the freight."""
    scrapped: Cents = 0
    """Of it, what remakes moved to scrap."""
    goods: Cents = 0
    """What its frame stood in stock at, since it left."""
    bills: tuple[int, ...] = ()
    """Numbers of the bills that name it."""

    @property
    def in_work(self) -> Cents:
        """What is billed and not scrapped."""
        return self.billed - self.scrapped


@dataclass(frozen=True, slots=True)
class Margin:
    """A net charge after refunds, without shipping and tax, and what stands against it."""

    net: Cents
    goods: Cents
    lenses: Cents
    """Bills for lenses and lab work; what was scrapped is among them."""

    @property
    def amount(self) -> Cents:
        """What is left."""
        return self.net - self.goods - self.lenses

    @property
    def tenths(self) -> int | None:
        """What is left in tenths of a per cent of the net charge; None where nothing was charged."""
        return round_half_away(self.amount * 1000, self.net) if self.net > 0 else None


@dataclass(frozen=True, slots=True)
class JobMargin:
    """One job's margin, and whether it can be relied on yet."""

    job_number: int
    order_number: int
    margin: Margin
    scrapped: Cents
    shipped: bool
    billed: bool
    """Whether any bill names the job."""
    cancelled: bool = False
    overtaken_by: int | None = None
    """The job that is made in its place."""

    @property
    def marks(self) -> tuple[str, ...]:
        """What the figures lack."""
        if self.cancelled:
            return ("cancelled",)
        if self.overtaken_by is not None:
            return (f"job {self.overtaken_by} is made in its place",)
        unshipped = () if self.shipped else ("not shipped yet",)
        return unshipped if self.billed else (*unshipped, "no lens bill yet")


@dataclass(frozen=True, slots=True)
class OrderMargin:
    """An order's margin: job by job, the goods beside them, and all together."""

    order_number: int
    jobs: tuple[JobMargin, ...]
    others: Margin
    """What belongs to no job."""

    @property
    def whole(self) -> Margin:
        """All of it together."""
        parts = [*(job.margin for job in self.jobs), self.others]
        return Margin(
            sum(part.net for part in parts), sum(part.goods for part in parts), sum(part.lenses for part in parts)
        )


def net_of_place(account: OrderAccount, place: int | None) -> Cents:
    """Give what the lines of a pair's place were charged and kept; None: the goods that belong to no pair."""
    lines = kept_lines(account)
    return sum(each.kept for each in lines if each.line.pair == place and each.line.kind is not LineKind.SHIPPING)


def job_margin(account: OrderAccount, pair: Pair, costs: JobCosts) -> JobMargin:
    """Work out the margin of one job of an order.

    What its place brought counts for the first job of it that is away, or for the one that stands there.
    """
    away = parcel_with(account, pair.job_number)
    after = None if away else account.order.next_pair(pair)
    at = account.order.pairs_at(pair.place)
    earning = next((each for each in at if parcel_with(account, each.job_number)), at[-1])
    return JobMargin(
        job_number=costs.job_number,
        order_number=account.order.number or 0,
        margin=Margin(net_of_place(account, pair.place) if pair == earning else 0, costs.goods, costs.billed),
        scrapped=costs.scrapped,
        shipped=away is not None,
        billed=bool(costs.bills),
        cancelled=account.cancellation is not None,
        overtaken_by=after.job_number if after else None,
    )
