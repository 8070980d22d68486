"""Exchanging what left already: goods for goods, and the frame or the lenses of a pair, with the difference settled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from shopledger.desk.changing_jobs import JobChange, changed_pair
from shopledger.desk.context import Desk
from shopledger.desk.putting_right import Change, CorrectionTerms, correctable
from shopledger.desk.sales import goods_beside, terms_of
from shopledger.errors import RefusedError
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.corrections import CorrectionKind, LinePart
from shopledger.ledger.line_model import KeptLine
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import (
    NOBODY,
    AccessoryRequest,
    FrameRequest,
    Making,
    OrderAccount,
    OrderRequest,
    OwnLens,
    Pair,
)
from shopledger.ledger.pricing import price_order
from shopledger.ledger.putting_right import standing_line, whole_line
from shopledger.ledger.refunds import RefundedLine, parts_of_lines
from shopledger.ledger.repricing import priced_as_agreed, refuse_unused
from shopledger.ledger.shipping import parcel_with, with_customer
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class Exchange:
    """What a line sold is exchanged for something of the same kind."""

    order_number: int
    line: int
    code: str
    """What is sent in its place."""
    terms: CorrectionTerms
    count: int | None = None
    """How many of the line's goods; None for all."""
    came_back: bool = True
    """Whether the old goods are here again, and fit to be sold."""
    codes: Mapping[Side, str] = field(default_factory=dict)
    """Claim codes chosen for new lenses."""

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Take the old goods back and keep the new ones for the order until they leave."""
        account = correctable(work, desk, self.order_number, self.terms, "exchange")
        kept = standing_line(account, self.line)
        line = kept.line
        if line.kind not in {LineKind.FRAME, LineKind.LENSES, LineKind.ACCESSORY}:
            raise RefusedError(
                "exchange",
                f"{line.kind.value} on line {self.line}",
                "frames, lenses and goods beside the glasses are exchanged",
                f"Give money back with 'shopledger refund give {self.order_number} --line {self.line}'.",
            )
        if not _away(account, kept):
            raise RefusedError(
                "exchange",
                f"line {self.line}",
                "it has not left, so it can be put right",
                f"Ask what can be done with 'shopledger fix order {self.order_number}'.",
            )
        if line.pair is not None:
            return self._of_pair(work, desk, account, kept)
        return self._of_goods(work, desk, account, kept)

    def _of_pair(self, work: UnitOfWork, desk: Desk, account: OrderAccount, kept: KeptLine) -> Change:
        """Make a job in the place of the one that left: the new frame or lenses belong to the same pair."""
        pair = next(each for each in account.order.standing_pairs if each.place == kept.line.pair)
        if self.count not in {None, 1}:
            raise RefusedError("count", self.count, "a pair has one frame and one set of lenses", "Leave it out.")
        asked = self._job(kept, pair).asked(work, account, pair)
        returned = int(self.came_back and kept.line.kind is LineKind.FRAME)
        change = changed_pair(work, desk, account, pair, asked, RemakeCause.EXCHANGED, self.terms, returned)
        sides = {charge.side for charge in kept.line.charges} & set(pair.sides)
        stays = [side for side in pair.sides if sides and side not in sides]
        jobs = tuple(_with_kept(job, pair, stays) for job in change.jobs)
        return replace(change, jobs=jobs)

    def _job(self, kept: KeptLine, pair: Pair) -> JobChange:
        number = pair.job_number or 0
        if kept.line.kind is LineKind.FRAME:
            return JobChange(number, self.terms, frame=self.code)
        sides = {charge.side for charge in kept.line.charges}
        if len(sides) == 1 and len(pair.sides) > 1:
            own = {side: self.code for side in sides if side is not None}
            return JobChange(number, self.terms, own_lenses=own, codes=self.codes)
        return JobChange(number, self.terms, lens=self.code, codes=self.codes)

    def _of_goods(self, work: UnitOfWork, desk: Desk, account: OrderAccount, kept: KeptLine) -> Change:
        """Exchange goods that belong to no pair."""
        order, line = account.order, kept.line
        count = kept.count if self.count is None else self.count
        if not 0 < count <= kept.count:
            raise RefusedError(
                "count", count, f"{kept.count} of line {self.line} are with the customer", "Type how many."
            )
        wearer = str(line.wearer_number) if line.wearer_number else NOBODY
        request = OrderRequest(
            str(order.customer_number),
            accessories=(AccessoryRequest(self.code, count, wearer),) if line.kind is LineKind.ACCESSORY else (),
            frames=(FrameRequest(self.code, line.demo_lenses, wearer),) if line.demo_lenses else (),
            offers=self.terms.offers,
            without_offers=self.terms.without_offers,
        )
        customer = work.customers.get(order.customer_number)
        accessories, frames = goods_beside(work, customer, request, ())
        terms = terms_of(work, order, request, desk.day(self.terms.day, "day of the correction"))
        lines = price_order((), accessories, terms, frames)
        refuse_unused(self.terms.prices, lines)
        added = priced_as_agreed(lines, self.terms.prices)
        return Change(account, CorrectionKind.EXCHANGED, (self._taken_back(account, kept, count),), added)

    def _taken_back(self, account: OrderAccount, kept: KeptLine, count: int) -> LinePart:
        returned = count if self.came_back else 0
        if count == kept.count:
            return whole_line(kept, returned)
        (part,) = parts_of_lines(account, (RefundedLine(kept.place, kept.kept * count // kept.count),))
        return replace(part, returned=returned)


def _with_kept(job: Pair, pair: Pair, stays: list[Side]) -> Pair:
    """Let lenses stay in the frame that are not exchanged."""
    for side in stays:
        job = job.with_eye(side, OwnLens(Making.KEPT), pair.made)
    return job


def _away(account: OrderAccount, kept: KeptLine) -> bool:
    """Tell whether what a line sold is with the customer: its job, or some of its goods."""
    if kept.line.pair is None:
        return with_customer(account, kept) > 0
    pair = next((each for each in account.order.standing_pairs if each.place == kept.line.pair), None)
    return pair is not None and parcel_with(account, pair.job_number) is not None
