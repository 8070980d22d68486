"""What questions are answered with, looked up in the ledger: people, goods, documents, each list made in one place."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Final

from shopledger.cli.lists import Listing, Row, listing
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.cli.context import Run
    from shopledger.desk.context import Desk
    from shopledger.ledger.parties import Wearer

MOST: Final = 400
"""How many customers or documents a list holds; more are found by a part of a name."""


def _looked_up(
    kind: str, load: Callable[[], Iterable[Row]], *, many: bool = False, beside: Iterable[str] = ()
) -> Listing:
    """Make a list that is looked up once, when it is first needed."""
    whole = cache(lambda: listing(kind, load()))
    return Listing(kind, lambda text: whole().rows(text), many, frozenset(beside))


def customers(run: Run, add: Callable[[], str] | None = None) -> Listing:
    """List customers, with the place where they live."""
    from shopledger.desk.known_people import find_customers

    def rows(text: str) -> Sequence[Row]:
        with run.aside() as desk:
            found = find_customers(desk, text, MOST)
        return [Row(str(each.number), each.name, f"{each.address.city}, {each.address.state}") for each in found]

    return Listing("customer", rows, add=add)


def wearers(of: Iterable[Wearer], add: Callable[[], str] | None = None, *, nobody: str = "") -> Listing:
    """List a customer's wearers; two of one name are picked by their numbers."""
    standing = [each for each in of if each.erased_on is None]
    names = [each.name for each in standing]
    rows = [
        Row(each.name, "", each.relationship.value)
        if names.count(each.name) == 1
        else Row(str(each.number), each.name, each.relationship.value)
        for each in standing
    ]
    if nobody:
        rows.append(Row(nobody, "", "the customer's, and nobody's in particular"))
    return replace(listing("wearer", rows), add=add)


def prescribers(desk: Desk, add: Callable[[], str] | None = None) -> Listing:
    """List prescribers."""
    from shopledger.desk.known_people import prescribers as all_prescribers

    found = _looked_up(
        "prescriber", lambda: (Row(str(each.number), each.name, each.phone) for each in all_prescribers(desk))
    )
    return replace(found, add=add)


def suppliers(desk: Desk, add: Callable[[], str] | None = None) -> Listing:
    """List suppliers."""
    from shopledger.desk.people import suppliers as all_suppliers

    found = _looked_up("supplier", lambda: (Row(str(each.number), each.name) for each in all_suppliers(desk)))
    return replace(found, add=add)


def frames(
    desk: Desk, *, many: bool = True, beside: Iterable[str] = (), of_customer: Container[int | None] | None = ()
) -> Listing:
    """List the shop's frames with price and count, and those of a customer's numbers; every one with None."""
    from shopledger.desk.goods import FRAMES

    def load() -> Iterable[Row]:
        for frame, on_hand in FRAMES.all(desk):
            if frame.owned_by is None:
                yield Row(frame.code, frame.description, f"{write_amount(frame.price)}, {on_hand} on hand")
            elif of_customer is None or frame.owned_by in of_customer:
                yield Row(frame.code, frame.description, "a customer's own")

    return _looked_up("frame", load, many=many, beside=beside)


def lenses(desk: Desk, *, many: bool = True, beside: Iterable[str] = ()) -> Listing:
    """List lenses with their design and price."""
    from shopledger.desk.goods import LENSES

    def load() -> Iterable[Row]:
        for each in LENSES.all(desk):
            yield Row(each.code, each.name, f"{each.design.value}, {write_amount(each.price)}")

    return _looked_up("lens", load, many=many, beside=beside)


def extras(desk: Desk) -> Listing:
    """List upgrades and coatings with their price; several may be picked."""
    from shopledger.desk.goods import EXTRAS

    rows = lambda: (Row(each.code, each.name, write_amount(each.price)) for each in EXTRAS.all(desk))  # noqa: E731
    return _looked_up("extra", rows, many=True)


def accessories(desk: Desk) -> Listing:
    """List accessories with price and count; several may be picked."""
    from shopledger.desk.goods import ACCESSORIES

    def load() -> Iterable[Row]:
        for each, on_hand in ACCESSORIES.all(desk):
            yield Row(each.code, each.name, f"{write_amount(each.price)}, {on_hand} on hand")

    return _looked_up("accessory", load, many=True)


def stocked(desk: Desk, *, many: bool = False) -> Listing:
    """List all that is kept in stock."""
    found = (frames(desk), accessories(desk))
    return Listing("goods", lambda text: [row for each in found for row in each.rows(text)], many)


def offers(desk: Desk, *, by_name: bool = False) -> Listing:
    """List offers, or only those that are tried where they are named."""
    from shopledger.desk.goods import OFFERS

    def load() -> Iterable[Row]:
        for each in OFFERS.all(desk):
            if not by_name or (not each.automatic and each.runs_on(desk.today)):
                yield Row(each.code, each.name)

    return _looked_up("offer", load, many=by_name)


def orders(desk: Desk) -> Listing:
    """List orders, newest first."""
    from shopledger.desk.order_lookups import newest_orders

    def load() -> Iterable[Row]:
        for account, name in newest_orders(desk, None, MOST):
            yield Row(str(account.order.number), name, f"{account.order.day.isoformat()}, {_sum(account.order.total)}")

    return _looked_up("order", load)


def jobs(desk: Desk, *, many: bool = False) -> Listing:
    """List the jobs that are open, by initials alone as on the board."""
    from shopledger.desk.jobs import open_jobs

    def load() -> Iterable[Row]:
        for each in open_jobs(desk):
            facts = each.job.facts
            yield Row(str(facts.job_number), f"{each.initials}, order {facts.order_number}", each.standing.stage.value)

    return _looked_up("job", load, many=many)


def drafts(desk: Desk) -> Listing:
    """List drafts that were not recorded."""
    from shopledger.desk.drafts import open_drafts

    rows = lambda: (Row(str(each.number), each.reason, each.day.isoformat()) for each in open_drafts(desk))  # noqa: E731
    return _looked_up("draft", rows)


def receipts(desk: Desk) -> Listing:
    """List receipts, newest first."""
    from shopledger.desk.receipt_lookups import receipts as newest

    def load() -> Iterable[Row]:
        for each in newest(desk, None, MOST):
            yield Row(str(each.number), f"order {each.order_number}", each.content.issued_on)

    return _looked_up("receipt", load)


def bills(desk: Desk) -> Listing:
    """List bills, newest first, with what is owed on them."""
    from shopledger.desk.books.bills import bills as all_bills

    def load() -> Iterable[Row]:
        for account in all_bills(desk):
            bill = account.bill
            owed = f"{bill.day.isoformat()}, {_sum(account.balance)} owed"
            yield Row(str(bill.number), f"{account.supplier} {bill.invoice}".rstrip(), owed)

    return _looked_up("bill", load)


def deposits(desk: Desk) -> Listing:
    """List deposits of which something is left."""
    from shopledger.desk.books.deposits import deposits as open_deposits

    def load() -> Iterable[Row]:
        for card in open_deposits(desk):
            yield Row(str(card.account.deposit.number), card.customer.name, f"{_sum(card.account.left)} left")

    return _looked_up("deposit", load)


def expenses(desk: Desk) -> Listing:
    """List what was spent."""
    from shopledger.desk.books.spending import expenses as all_expenses

    def load() -> Iterable[Row]:
        for each in reversed(all_expenses(desk)):
            spent = each.what
            yield Row(str(spent.number), spent.payee, f"{spent.day.isoformat()}, {_sum(spent.amount)}")

    return _looked_up("expense", load)


def claim_codes(codes: Iterable[str]) -> Listing:
    """List claim codes with what they mean."""
    from shopledger.ledger.claims.code_table import find_code

    return listing("claim code", (Row(code, find_code(code).description) for code in codes))


def _sum(amount: int) -> str:
    return write_amount(amount)
