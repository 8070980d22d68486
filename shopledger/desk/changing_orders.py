"""What is put right on the lines of an order: less owed, another price agreed, goods added, goods taken out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from shopledger.desk.changing_jobs import JobChange, uncut
from shopledger.desk.context import Desk
from shopledger.desk.pairs import plan_pair
from shopledger.desk.putting_right import Change, CorrectionTerms, correctable, left_on
from shopledger.desk.sales import goods_beside, terms_of
from shopledger.errors import RefusedError
from shopledger.ledger.corrections import CorrectionKind, LinePart
from shopledger.ledger.line_model import KeptLine, wearers_on
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import (
    AccessoryRequest,
    FrameRequest,
    OrderAccount,
    OrderRequest,
    Pair,
    PairRequest,
)
from shopledger.ledger.pricing import price_order
from shopledger.ledger.putting_right import settled, standing_line, standing_lines, whole_line
from shopledger.ledger.refunds import RefundedLine, parts_of_lines
from shopledger.ledger.repricing import at_price, priced_as_agreed, refuse_unused
from shopledger.ledger.shipping import parcel_with, whole_content, with_customer
from shopledger.ledger.stock import STOCKED
from shopledger.ledger.taxing import TaxedGoods
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class Reduction:
    """Less is owed for some lines: by how much of the net charge of each, and which of its goods came back for it."""

    order_number: int
    lines: Mapping[int, Cents]
    terms: CorrectionTerms
    returned: Mapping[int, int] = field(default_factory=dict)
    """How many goods of a line came back; a line of which no amount is named gives what they came to."""

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Lower what is owed, or refuse what was paid already: that is given back."""
        account = correctable(work, desk, self.order_number, self.terms, "reduction")
        amounts = {place: _worth(account, place, count) for place, count in self.returned.items()} | {**self.lines}
        lowered = [
            replace(_lowered(account, place, amount), returned=self.returned.get(place, 0))
            for place, amount in amounts.items()
        ]
        out = parts_of_lines(account, tuple(lowered))
        paid = settled(account, CorrectionKind.REDUCED, out).due_back
        if paid:
            lines = " ".join(f"--line {place}={_plain(amount)}" for place, amount in amounts.items())
            asked = sum(part.net + part.tax for part in out)
            raise RefusedError(
                "reduction",
                write_amount(asked),
                f"{write_amount(asked - paid)} of that is still owed, the rest was paid",
                f"Reduce by what is owed, and give back what was paid with 'shopledger refund give {self.order_number} "
                f"{lines} --method HOW --reason WHY'.",
            )
        return Change(account, CorrectionKind.REDUCED, out)


@dataclass(frozen=True, slots=True)
class PricesAgreed:
    """Another net price was agreed afterwards for some lines."""

    order_number: int
    lines: Mapping[int, Cents]
    terms: CorrectionTerms

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Write lines anew at their price before the order leaves; afterwards they can only be lowered."""
        account = correctable(work, desk, self.order_number, self.terms, "agreed price")
        kept = {place: standing_line(account, place) for place in self.lines}
        for place, net in self.lines.items():
            _refuse_same(kept[place], net)
        left = left_on(account)
        if left is None:
            out = tuple(whole_line(each) for each in kept.values())
            added = tuple(
                at_price(replace(kept[place].line, quantity=kept[place].count or 1), net)
                for place, net in self.lines.items()
            )
            return Change(account, CorrectionKind.PUT_RIGHT, out, added)
        if any(net > kept[place].kept for place, net in self.lines.items()):
            raise RefusedError(
                "higher price",
                f"on order {self.order_number}",
                f"some of it left on {left.isoformat()}",
                "Record what is charged on top as an order of its own.",
            )
        less = (RefundedLine(place, kept[place].kept - net) for place, net in self.lines.items())
        return Change(account, CorrectionKind.REDUCED, parts_of_lines(account, tuple(less)))


@dataclass(frozen=True, slots=True)
class LinesAdded:
    """Goods, frames without lenses and whole pairs that come in before the order leaves."""

    order_number: int
    terms: CorrectionTerms
    pairs: tuple[PairRequest, ...] = ()
    accessories: tuple[AccessoryRequest, ...] = ()
    frames: tuple[FrameRequest, ...] = ()
    shipping: Cents = 0

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Price what comes in by the catalogue of today or as agreed, and tax it as the order is taxed."""
        account = correctable(work, desk, self.order_number, self.terms, "line")
        refuse_left(account, "line", "Record what was forgotten as an order of its own.")
        order = account.order
        customer = work.customers.get(order.customer_number)
        request = OrderRequest(
            customer=str(order.customer_number),
            pairs=self.pairs,
            accessories=self.accessories,
            frames=self.frames,
            offers=self.terms.offers,
            without_offers=self.terms.without_offers,
            shipping=self.shipping,
            tax_exempt=order.tax_exempt,
        )
        day = desk.day(self.terms.day, "day of the correction")
        first = 1 + max((pair.position for pair in order.pairs), default=0)
        planned = [plan_pair(work, customer, asked, place, day) for place, asked in enumerate(self.pairs, start=first)]
        terms = replace(terms_of(work, order, request, day), beside=_goods_on(account))
        standing = wearers_on(account)
        wearers = (*(work.customers.wearer(number) for number in standing), *(pair.wearer for pair in planned))
        accessories, frames = goods_beside(work, customer, request, wearers)
        lines = price_order([pair.goods for pair in planned], accessories, terms, frames)
        refuse_unused(self.terms.prices, lines)
        added = priced_as_agreed(lines, self.terms.prices)
        findings = tuple(finding for pair in planned for finding in pair.findings)
        jobs = tuple(pair.pair for pair in planned)
        return Change(account, CorrectionKind.PUT_RIGHT, (), added, jobs, findings=findings)


@dataclass(frozen=True, slots=True)
class LinesTakenOut:
    """Goods and whole pairs that are not wanted any more before the order leaves."""

    order_number: int
    terms: CorrectionTerms
    lines: Mapping[int, int | None]
    """How many goods of each line are taken out; None for all of it."""
    pairs: tuple[int, ...] = ()
    """Places of whole pairs."""

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Take lines out, or an upgrade off its pair, or a pair with all its lines."""
        account = correctable(work, desk, self.order_number, self.terms, "line")
        kept = {place: standing_line(account, place) for place in self.lines}
        _refuse_away(account, kept.values(), self.lines, self.pairs)
        extras = [each for each in kept.values() if each.line.kind is LineKind.EXTRA]
        if extras:
            if len(kept) > 1 or self.pairs:
                raise RefusedError(
                    "line",
                    f"{extras[0].place} with others",
                    "an upgrade is taken off its pair by itself",
                    "Take it out alone, then the others.",
                )
            return _without_extra(account, extras[0], self.terms).change(work, desk)
        out = [_goods_out(account, kept[place], count) for place, count in self.lines.items()]
        gone: list[Pair] = []
        findings: list[Finding] = []
        for place in self.pairs:
            pair, asked = uncut(work, account, place)
            gone.append(pair)
            findings += asked
            out += [whole_line(each) for each in standing_lines(account) if each.line.pair == place]
        return Change(
            account, CorrectionKind.PUT_RIGHT, tuple(out), gone=tuple(gone), findings=tuple(dict.fromkeys(findings))
        )


def _goods_on(account: OrderAccount) -> tuple[TaxedGoods, ...]:
    """Give what the tax on shipping has to know of the goods that stand on an order."""
    return tuple(
        TaxedGoods(each.kept, each.line.tax_rate, each.line.tax_place)
        for each in standing_lines(account)
        if each.line.kind is not LineKind.SHIPPING
    )


def refuse_left(account: OrderAccount, what: str, instead: str) -> None:
    """Refuse what is only done while something of an order is here."""
    left = left_on(account)
    if left is not None and not whole_content(account):
        number = account.order.number
        raise RefusedError(what, f"on order {number}", f"that order left on {left.isoformat()}", instead)


def _refuse_away(
    account: OrderAccount, lines: Iterable[KeptLine], counts: Mapping[int, int | None], places: Iterable[int]
) -> None:
    """Refuse to take out what left: a pair whose job is away, or more goods of a line than are here."""
    number = account.order.number
    hint = f"Give money back with 'shopledger refund give {number} --returned LINE'."
    jobs = {pair.place: parcel_with(account, pair.job_number) for pair in account.order.standing_pairs}
    for kept in lines:
        here = kept.count - with_customer(account, kept)
        away = here < kept.count and here < (counts[kept.place] or kept.count)
        parcel = jobs.get(kept.line.pair or 0)
        if parcel is not None or (kept.line.pair is None and kept.line.kind in STOCKED and away):
            last = parcel or account.away[-1]
            left = last.day.isoformat()
            raise RefusedError("line", f"{kept.place}, {kept.line.description}", f"it left on {left}", hint)
    for place in places:
        parcel = jobs.get(place)
        if parcel is not None:
            raise RefusedError("pair", place, f"it left on {parcel.day.isoformat()}", hint)


def _refuse_same(kept: KeptLine, net: Cents) -> None:
    if net == kept.kept:
        raise RefusedError(
            "agreed price",
            f"{write_amount(net)} for line {kept.place}",
            "it comes to that already",
            "Leave the line out.",
        )


def _lowered(account: OrderAccount, place: int, amount: Cents) -> RefundedLine:
    kept = standing_line(account, place)
    if not 0 < amount <= kept.kept:
        left = write_amount(kept.kept)
        raise RefusedError(
            "reduction",
            f"{write_amount(amount)} on line {place}, {kept.line.description}",
            f"more than 0, and {left} of its net charge is left",
            f"Type {left} or less." if kept.kept else "Nothing is left to reduce on it.",
        )
    return RefundedLine(place, amount)


def _worth(account: OrderAccount, place: int, count: int) -> Cents:
    """Give what so many pieces of a line came to, of what is left of it."""
    kept = standing_line(account, place)
    return kept.kept * min(count, kept.count) // kept.count if kept.count else kept.kept


def _goods_out(account: OrderAccount, kept: KeptLine, count: int | None) -> LinePart:
    """Give what a line of goods gives: all, or the share of some of its pieces."""
    line = kept.line
    if not kept.count and not kept.kept:
        raise RefusedError("line", f"{kept.place}, {line.description}", "nothing of it is left", "Leave it out.")
    if line.pair is not None:
        pair = next(each for each in account.order.standing_pairs if each.place == line.pair)
        raise RefusedError(
            "line",
            f"{kept.place}, {line.description}",
            f"it belongs to pair {line.pair}",
            f"Take the pair out with --pair {line.pair}, or change it with 'shopledger job put-right "
            f"{pair.job_number}'.",
        )
    if count is None or count == kept.count:
        return whole_line(kept)
    if not 0 < count < kept.count or line.kind not in STOCKED:
        raise RefusedError(
            "count",
            f"{count} of line {kept.place}",
            f"{kept.count} of {line.description} are on the order" if line.kind in STOCKED else "it is no goods",
            "Type how many are taken out, or leave the count out.",
        )
    net = kept.kept * count // kept.count
    (part,) = parts_of_lines(account, (RefundedLine(kept.place, net, count),))
    return part


def _without_extra(account: OrderAccount, kept: KeptLine, terms: CorrectionTerms) -> JobChange:
    pair = next(each for each in account.order.standing_pairs if each.place == kept.line.pair)
    sides = {charge.side for charge in kept.line.charges}
    alone = kept.line.item_code not in pair.extras
    return JobChange(
        pair.job_number or 0,
        terms,
        without_extras=() if alone else (kept.line.item_code,),
        without_own_extras={side: (kept.line.item_code,) for side in sides if alone and side is not None},
    )


def _plain(amount: Cents) -> str:
    return write_amount(amount).replace(",", "")
