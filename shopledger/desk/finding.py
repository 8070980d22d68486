"""One field that finds all: people, orders, jobs, receipts, parcels and frames, the best of it first.

It is a way to what the owner has in mind, and no list: nothing typed finds nothing. What stands beside a hit tells it
from others; powers and what somebody's eyes need are in none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from shopledger.desk.context import Desk
from shopledger.ledger.finding import Closeness, Hit, Sought, best_first, sought
from shopledger.ledger.things import About, Thing
from shopledger.money.amount import write_amount
from shopledger.store.work import UnitOfWork

MOST: Final = 20
"""How many hits are given, if nothing else is asked for."""


def find(desk: Desk, typed: str, most: int = MOST) -> tuple[Hit, ...]:
    """Give what was perhaps meant, the best first."""
    asked = sought(typed)
    if asked is None:
        return ()
    with desk.reading() as work:
        return best_first(_hits(work, asked, most), most)


def _hits(work: UnitOfWork, asked: Sought, most: int) -> Iterator[Hit]:
    closeness = Closeness.NUMBER if asked.named is None else Closeness.NAMED
    for thing in asked.things:
        found = {asked.number or 0: closeness}
        yield from _told(work, thing, _leading(work, found) if thing is Thing.CUSTOMER else found)
    if asked.named is not None:
        return
    contacts = work.finding.contacts(asked.phone, asked.mail, most)
    customers = _best(work.finding.people("customer", asked.text, most), contacts)
    yield from _told(work, Thing.CUSTOMER, _leading(work, customers))
    yield from _told(work, Thing.WEARER, work.finding.people("wearer", asked.text, most))
    yield from _told(work, Thing.PARCEL, work.finding.parcels(asked.signs, most))
    for row, close in work.finding.frames(asked.text, most):
        yield Hit(About(Thing.FRAME, row.code), f"{row.maker} {row.model}, {row.colour}", close)


def _best(*found: Mapping[int, Closeness]) -> dict[int, Closeness]:
    """Give numbers that were found in several ways, each as close as in the best of them; the best come first."""
    order = list(Closeness)
    best: dict[int, Closeness] = {}
    for number, close in (pair for each in found for pair in each.items()):
        best[number] = min(close, best.get(number, close), key=order.index)
    return dict(sorted(best.items(), key=lambda pair: order.index(pair[1])))


def _leading(work: UnitOfWork, found: Mapping[int, Closeness]) -> dict[int, Closeness]:
    """Give customers by the numbers that lead, where some were joined."""
    joined = work.customers.joins.all() if found else None
    return _best(*({joined.leading(number): close} for number, close in found.items())) if joined else {}


def _told(work: UnitOfWork, thing: Thing, found: Mapping[int, Closeness]) -> Iterator[Hit]:
    """Give hits of one kind with the words for them."""
    told = work.finding.told(thing, list(found))
    for number, close in found.items():
        row = told.get(number)
        # A wearer who is the customer is found as the customer.
        if row is not None and not (thing is Thing.WEARER and row.himself and close is not Closeness.NAMED):
            yield Hit(About(thing, str(number)), _WORDS[thing](row), close, _of(thing, row))


def _of(thing: Thing, row: Any) -> About | None:  # noqa: ANN401 - a row of the query
    if thing is Thing.WEARER:
        return About(Thing.CUSTOMER, str(row.customer_number))
    return About(Thing.ORDER, str(row.order_number)) if thing in _OF_ORDER else None


def _customer(row: Any) -> str:  # noqa: ANN401 - as above
    if row.erased_on:
        return f"erased on {row.erased_on}"
    return _joined((row.name, f"{row.city}, {row.state}", row.phone, row.email))


def _wearer(row: Any) -> str:  # noqa: ANN401 - as above
    if row.erased_on:
        return f"erased on {row.erased_on}"
    whose = f"{row.relationship} of {row.customer}" if row.relationship != "self" else f"customer {row.customer_number}"
    return f"{row.name}, {whose}"


def _job(row: Any) -> str:  # noqa: ANN401 - as above
    return f"{row.customer}: {row.maker} {row.model}, {row.colour}; order {row.order_number} of {row.day}"


def _order(row: Any) -> str:  # noqa: ANN401 - as above
    return f"{row.customer}: {write_amount(int(row.total))}, {row.day}"


def _receipt(row: Any) -> str:  # noqa: ANN401 - as above
    return f"{row.customer}: order {row.order_number}"


def _parcel(row: Any) -> str:  # noqa: ANN401 - as above
    return _joined((f"{row.customer}: order {row.order_number}, {row.day}", row.carrier, row.tracking))


def _joined(parts: Iterable[str]) -> str:
    return "; ".join(filter(None, parts))


_OF_ORDER: Final = frozenset({Thing.JOB, Thing.RECEIPT, Thing.PARCEL})
_WORDS: Final[Mapping[Thing, Callable[[Any], str]]] = {
    Thing.CUSTOMER: _customer,
    Thing.WEARER: _wearer,
    Thing.JOB: _job,
    Thing.ORDER: _order,
    Thing.RECEIPT: _receipt,
    Thing.PARCEL: _parcel,
}
