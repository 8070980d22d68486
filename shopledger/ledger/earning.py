"""When an order's lines count as sold: what a parcel, its coming back, a refund or a correction counts of each line.

A line counts with its goods, when they leave (IRS Publication 538, accrual method: income counts when all is done that
it is earned by; that this is the leaving of the goods is common practice). Glasses count with their job; some pieces of
a line count in proportion; shipping counts with the first parcel. What is not to leave any more counts at once.

What a line gives up is taken first from what did not count yet: that was never earned, and is no return. Only what
counted already becomes a return or an allowance.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import astuple, dataclass, fields, replace
from typing import Final

from shopledger.ledger.corrections import CorrectionKind, LinePart
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Pair
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.shipping import count_here, parcel_with, whole_content
from shopledger.ledger.stock import STOCKED
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away
from shopledger.money.split import split_by_weight


@dataclass(frozen=True, slots=True)
class Earned:
    """What a document counts of one line as sold, and as given up of what counted; below zero what it takes back."""

    line: int
    """Position of the line in the order, from 1."""
    quantity: int = 0
    listed: Cents = 0
    net: Cents = 0
    tax: Cents = 0
    net_back: Cents = 0
    """A return or an allowance."""
    tax_back: Cents = 0

    @property
    def stands(self) -> Cents:
        """What of its net charge counts."""
        return self.net - self.net_back

    @property
    def tax_stands(self) -> Cents:
        """What of its sales tax counts."""
        return self.tax - self.tax_back

    @property
    def charged(self) -> Cents:
        """By how much more the customer owes."""
        return self.stands + self.tax_stands

    def __bool__(self) -> bool:
        """Tell whether anything counts."""
        return any(astuple(self)[1:])

    def __add__(self, other: Earned) -> Earned:
        """Add up what two documents count of the same line."""
        return Earned(self.line, *(getattr(self, name) + getattr(other, name) for name in _AMOUNTS))

    def __neg__(self) -> Earned:
        """Take it back."""
        return Earned(self.line, *(-getattr(self, name) for name in _AMOUNTS))


EARNED_AMOUNTS: Final = (
    *("charged", "offers", "listed", "shipping", "tax", "sellers_tax"),
    *("net_back", "tax_back", "sellers_tax_back"),
)
"""What rows come to, as the posting rules name it."""
_AMOUNTS: Final = tuple(field.name for field in fields(Earned) if field.name != "line")

Standing = Mapping[int, Earned]
"""What counts of each line by now, by its position; a line of which nothing counts may be left out."""


def earned_amounts(lines: Sequence[OrderLine], rows: Iterable[Earned]) -> dict[str, Cents]:
    """Give what rows come to, by the names of the posting rules."""
    amounts = dict.fromkeys(EARNED_AMOUNTS, 0)
    for row in rows:
        line = lines[row.line - 1]
        amounts["charged"] += row.charged
        if line.kind is LineKind.SHIPPING:
            amounts["shipping"] += row.net
        else:
            amounts["listed"] += row.listed
            amounts["offers"] += row.listed - row.net
        for name in ("tax", "net_back", "tax_back"):
            amounts[name] += getattr(row, name)
        if line.tax_imposed_on is ImposedOn.SELLER:
            amounts["sellers_tax"] += row.tax
            amounts["sellers_tax_back"] += row.tax_back
    return amounts


def leaving(account: OrderAccount, parcel: Parcel, standing: Standing) -> tuple[Earned, ...]:
    """Give what counts since a parcel left; `account` is the order before it did."""
    return _filled(_leaving(account, kept, parcel, _of(standing, kept)) for kept in kept_lines(account))


def coming_back(account: OrderAccount, sent: Iterable[Earned], standing: Standing) -> tuple[Earned, ...]:
    """Give what counts no longer since a parcel came back; `sent` is what it counted, `account` the order since."""
    of_parcel = {row.line: row for row in sent}
    rows = []
    for kept in kept_lines(account):
        stands = _of(standing, kept)
        pieces = kept.line.pair is None and kept.line.kind in STOCKED
        counted = of_parcel.get(kept.place) if pieces else replace(stands, net_back=0, tax_back=0)
        if counted and _waits(account, kept):
            rows.append(_taken_back(counted, stands))
    return _filled(rows)


def giving_up(
    account: OrderAccount, parts: Iterable[LinePart], standing: Standing, *, never_sold: bool = False
) -> tuple[Earned, ...]:
    """Give what lines give up of what counted; `account` is the order before.

    What was `never_sold` leaves the sales again; anything else is a return or an allowance.
    """
    rests = {kept.place: _rest(kept, _of(standing, kept)) for kept in kept_lines(account)}
    rows: dict[int, Earned] = {}
    for part in parts:
        rest = rests[part.line]
        net, tax = min(part.net, max(0, rest.net)), min(part.tax, max(0, rest.tax))
        rests[part.line] = replace(rest, net=rest.net - net, tax=rest.tax - tax)
        given_net, given_tax = part.net - net, part.tax - tax
        row = (
            Earned(part.line, 0, -given_net, -given_net, -given_tax)
            if never_sold
            else Earned(part.line, net_back=given_net, tax_back=given_tax)
        )
        rows[part.line] = rows.get(part.line, Earned(part.line)) + row
    return _filled(rows.values())


def waiting_no_longer(account: OrderAccount, standing: Standing) -> tuple[Earned, ...]:
    """Give what counts at once, since it has nothing to wait for: kept of goods not to be sent, or a charge."""
    lines = kept_lines(account)
    return _filled(_rest(kept, _of(standing, kept)) for kept in lines if not _waits(account, kept))


def put_off(account: OrderAccount, standing: Standing) -> tuple[Earned, ...]:
    """Give what counts no longer of an order that counted when it was recorded: all that did not leave."""
    rows = []
    for kept in kept_lines(account):
        stands = _of(standing, kept)
        if not stands or not _waits(account, kept):
            continue
        here = count_here(account, kept) if kept.line.pair is None and kept.line.kind in STOCKED else kept.count
        if here >= kept.count:
            rows.append(-stands)
            continue
        some = _share(replace(stands, net_back=0, tax_back=0), here, kept.count)
        rows.append(_taken_back(some, stands))
    return _filled(rows)


def added_up(rows: Iterable[Earned], standing: Standing) -> dict[int, Earned]:
    """Give what counts of each line with more rows."""
    found = dict(standing)
    for row in rows:
        found[row.line] = found.get(row.line, Earned(row.line)) + row
    return found


def _leaving(account: OrderAccount, kept: KeptLine, parcel: Parcel, stands: Earned) -> Earned:
    rest = _rest(kept, stands)
    if kept.line.pair is not None:
        jobs = {pair.job_number for pair in account.order.pairs_at(kept.line.pair)}
        return rest if jobs.intersection(parcel.jobs) else Earned(kept.place)
    if kept.line.kind not in STOCKED:
        return rest
    count = parcel.count(kept.place)
    pieces = max(0, min(count, kept.line.quantity - stands.quantity))
    return replace(_share(rest, count, count_here(account, kept)), quantity=pieces)


def _rest(kept: KeptLine, stands: Earned) -> Earned:
    """Give what of a line does not count yet. Of what it gave up before it counted, no offer counts either."""
    line = kept.line
    net, tax = kept.kept - stands.stands, kept.tax_kept - stands.tax_stands
    if kept.put_right:
        offers = 0
    elif line.net:
        before = kept.given_back - stands.net_back
        offers = line.reduction - round_half_away(line.reduction * before, line.net)
    else:
        offers = round_half_away(line.reduction * kept.count, line.quantity)
    offers = max(0, offers - (stands.listed - stands.net))
    if line.net and not net:
        offers = 0
    pieces = line.pair is None and line.kind in STOCKED
    quantity = 0 if pieces or stands.quantity else kept.count
    return Earned(kept.place, quantity, net + offers, net, tax) if net or tax or offers else Earned(kept.place)


def _waits(account: OrderAccount, kept: KeptLine) -> bool:
    """Tell whether a line counts only when something leaves that is still here."""
    line, order = kept.line, account.order
    if any(each.number == line.added_by and each.kind is CorrectionKind.CHARGED for each in account.corrections):
        return False
    if line.pair is not None:
        pairs = _made_for(order, line)
        here = any(pair.taken_out_by is None for pair in pairs)
        return here and not any(parcel_with(account, pair.job_number) for pair in pairs)
    if line.kind in STOCKED:
        return count_here(account, kept) > 0
    return not account.away and bool(whole_content(account))


def _made_for(order: Order, line: OrderLine) -> Sequence[Pair]:
    """Give the pairs of a line's place: of one that came in by a correction those made from that on."""
    pairs = order.pairs_at(line.pair)
    since = [place for place, pair in enumerate(pairs) if pair.again and pair.again.correction == line.added_by]
    return pairs[since[0] :] if line.added_by and since else pairs


def _share(whole: Earned, some: int, of: int) -> Earned:
    """Give the part of a row that some of so many pieces make."""
    if some >= of:
        return whole
    parts = [split_by_weight(getattr(whole, name), (some, of - some))[0] for name in ("net", "tax")]
    offers = split_by_weight(whole.listed - whole.net, (some, of - some))[0]
    return Earned(whole.line, some, parts[0] + offers, *parts)


def _taken_back(counted: Earned, stands: Earned) -> Earned:
    """Take back what counted; what was given up of it since was then given up before it counts."""
    given_net = counted.net - min(counted.net, max(0, stands.stands))
    given_tax = counted.tax - min(counted.tax, max(0, stands.tax_stands))
    return replace(-counted, net_back=-given_net, tax_back=-given_tax)


def _of(standing: Standing, kept: KeptLine) -> Earned:
    return standing.get(kept.place) or Earned(kept.place)


def _filled(rows: Iterable[Earned]) -> tuple[Earned, ...]:
    return tuple(sorted(filter(None, rows), key=lambda row: row.line))
