"""A customer's year: what was paid in a calendar year for each wearer, prescription eyewear apart from other goods.

Medical expenses count in the year in which they are paid (26 CFR 1.213-1(a)(1)), so payments are dated, not orders. The
rule of sharing, stated on the paper: each payment is first shared over the wearers of its order as on their receipts,
then over that wearer's lines, shipping and tax, in proportion to what each still owes. So no line is ever overpaid,
every line is clear when the order is, and all shares add up to the payments, to the cent. A refund counts against the
year in which it was given back, on the lines it names; a payment that fell away counts against the year of that, as it
was shared; a cancellation gives back all that had been paid.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.claims.line_words import is_eyewear
from shopledger.ledger.line_model import part_lines
from shopledger.ledger.line_payments import moves_of
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parties import Customer, Shop
from shopledger.ledger.sharing import Part, parts_of
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class YearSums:
    """What was paid, sorted; shipping and sales tax stand apart, since plans differ on them."""

    eyewear: Cents = 0
    """For glasses made to a prescription."""
    others: Cents = 0
    """For goods that are none."""
    shipping_and_tax: Cents = 0

    @property
    def total(self) -> Cents:
        """All of it."""
        return self.eyewear + self.others + self.shipping_and_tax

    def plus(self, other: YearSums, sign: int = 1) -> YearSums:
        """Add another."""
        return YearSums(
            self.eyewear + sign * other.eyewear,
            self.others + sign * other.others,
            self.shipping_and_tax + sign * other.shipping_and_tax,
        )

    def minus(self, other: YearSums) -> YearSums:
        """Take another away."""
        return self.plus(other, -1)


@dataclass(frozen=True, slots=True)
class YearRow:
    """The share of one payment that was for one wearer; one of a refund is below zero."""

    order_number: int
    day: str
    goods: str
    """What the wearer's part of the order holds, in kinds: frame, lenses, extra, accessory."""
    sums: YearSums


@dataclass(frozen=True, slots=True)
class YearWearer:
    """One wearer's payments by order and day; the name is empty for what is for nobody in particular."""

    name: str
    rows: tuple[YearRow, ...]
    sums: YearSums


@dataclass(frozen=True, slots=True)
class YearStatement:
    """Everything on the statement. Days are ISO text, amounts whole cents."""

    year: int
    made_on: str
    shop: ShopLines
    customer: str
    customer_lines: tuple[str, ...]
    wearers: tuple[YearWearer, ...]
    sums: YearSums
    ledger_head: str


def year_statement(
    year: int,
    accounts: Sequence[OrderAccount],
    shop: Shop,
    customer: Customer,
    wearers: Mapping[int, str],
    *,
    made_on: date,
    ledger_head: str = "",
) -> YearStatement:
    """Give a customer's year from all orders of that customer, whenever they were placed."""
    if year > made_on.year:
        raise RefusedError("year", year, f"today is {made_on.isoformat()}", "Name a year that has begun.")
    rows: dict[int | None, list[YearRow]] = {}
    for account in sorted(accounts, key=lambda each: each.order.number or 0):
        for part in parts_of(account):
            rows.setdefault(part.wearer_number, []).extend(_rows(account, part, year))
    people = tuple(
        YearWearer("" if number is None else wearers[number], tuple(found), _total(row.sums for row in found))
        for number, found in sorted(rows.items(), key=lambda each: (each[0] is None, each[0] or 0))
        if found
    )
    return YearStatement(
        year=year,
        made_on=made_on.isoformat(),
        shop=shop_lines(shop, identifiers=True),
        customer=customer.name,
        customer_lines=customer.address.lines,
        wearers=people,
        sums=_total(person.sums for person in people),
        ledger_head=ledger_head,
    )


def _total(sums: Iterable[YearSums]) -> YearSums:
    total = YearSums()
    for each in sums:
        total = total.plus(each)
    return total


def _rows(account: OrderAccount, part: Part, year: int) -> Iterator[YearRow]:
    """Give the year's own moves of a part, by day."""
    standing = (each.line.kind.value for each in part_lines(account, part) if not each.put_right)
    goods = ", ".join(dict.fromkeys(standing)) or ", ".join(dict.fromkeys(line.kind.value for line in part.lines))
    eyewear = [*(is_eyewear(line) for line in part.lines), None]
    for move in sorted(moves_of(account, part), key=lambda move: move.day):
        sums = _sorted(eyewear, move.amounts)
        # What was exchanged for something of the same kind and price changes no column.
        if move.day.year == year and sums != YearSums():
            yield YearRow(account.order.number or 0, move.day.isoformat(), goods, sums)


def _sorted(eyewear: Sequence[bool | None], shares: Sequence[Cents]) -> YearSums:
    """Sort shares by whether each line is prescription eyewear; None stands for shipping and tax."""
    kinds = (True, False, None)
    return YearSums(
        *(sum(share for given, share in zip(eyewear, shares, strict=True) if given is kind) for kind in kinds)
    )
