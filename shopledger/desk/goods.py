"""The catalogue item by item: adding, changing and looking up what the shop sells, and on what terms."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final, Generic, TypeVar

from shopledger.desk.books.goods_moves import bring_in
from shopledger.desk.context import Desk
from shopledger.desk.naming import rename
from shopledger.desk.refusals import accepted_warnings
from shopledger.desk.tax_rates import put_rates
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.catalogue import Accessory, Catalogue, Extra, Frame, Lens
from shopledger.ledger.limits import MOVED, hold_amount, hold_pieces
from shopledger.ledger.names import NameChange, Named
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import Offer
from shopledger.ledger.stock import FirstGoods, StockedKind, StockMovement
from shopledger.ledger.taxes import TaxRate
from shopledger.ledger.usual import Priced, sold_below_cost
from shopledger.optics.findings import Finding
from shopledger.store.catalogue import CatalogueShelf
from shopledger.store.work import UnitOfWork

Item = TypeVar("Item", Lens, Extra, Offer)
Counted = TypeVar("Counted", Frame, Accessory)
NONE: Final[frozenset[str]] = frozenset()
"""No warning said yes to."""
Changes = Mapping[str, Any]
"""New values by the names of an item's fields; an item is checked whole again with them."""


@dataclass(frozen=True, slots=True)
class Goods(Generic[Item]):
    """What is done alike with every kind of goods that is not counted; each is named by its code."""

    store: Callable[[CatalogueShelf, Item], Item]
    find: Callable[[CatalogueShelf, str], Item]
    find_all: Callable[[CatalogueShelf], tuple[Item, ...]]
    rewrite: Callable[[CatalogueShelf, Item], None]

    def add(self, desk: Desk, item: Item, accept: frozenset[str] = NONE) -> Item:
        """Add one; a cost above its price is asked about."""
        with desk.writing() as work:
            added = self.store(work.catalogue, item)
            _accept(work, added, _below_cost(item), accept)
            return added

    def asked_of_change(self, desk: Desk, code: str, changes: Changes) -> tuple[Finding, ...]:
        """Ask about what a change would make of one."""
        with desk.reading() as work:
            return _below_cost(replace(self.find(work.catalogue, code), **_some(changes)), changes)

    def change(self, desk: Desk, code: str, changes: Changes, accept: frozenset[str] = NONE) -> Item:
        """Change one."""
        with desk.writing() as work:
            changed = replace(self.find(work.catalogue, code), **_some(changes))
            _accept(work, changed, _below_cost(changed, changes), accept)
            self.rewrite(work.catalogue, changed)
            return changed

    def called(self, desk: Desk, code: str) -> Item:
        """Give one."""
        with desk.reading() as work:
            return self.find(work.catalogue, code)

    def all(self, desk: Desk) -> tuple[Item, ...]:
        """Give all by code; offers in the order in which they are tried."""
        with desk.reading() as work:
            return self.find_all(work.catalogue)


@dataclass(frozen=True, slots=True)
class CountedGoods(Generic[Counted]):
    """What is done alike with both kinds of goods that the shop keeps in stock; each is given with what is on hand."""

    kind: StockedKind
    store: Callable[[CatalogueShelf, Counted], Counted]
    find: Callable[[CatalogueShelf, str], Counted]
    find_all: Callable[[CatalogueShelf], tuple[Counted, ...]]
    rewrite: Callable[[CatalogueShelf, Counted], None]
    called_by: Callable[[Counted], str]

    def add(
        self,
        desk: Desk,
        item: Counted,
        count: int = 0,
        first: FirstGoods = FirstGoods.OPENING,
        accept: frozenset[str] = NONE,
    ) -> tuple[Counted, int]:
        """Add one with its count."""
        with desk.writing() as work:
            return self.put(work, desk.today, item, count, first, accept)

    def put(
        self,
        work: UnitOfWork,
        day: date,
        item: Counted,
        count: int,
        first: FirstGoods = FirstGoods.OPENING,
        accept: frozenset[str] = NONE,
    ) -> tuple[Counted, int]:
        """Add one inside a transaction, and post the count that is there, as what was there when the books began."""
        reason = first.reason(item.code)
        added = self.store(work.catalogue, item)
        _accept(work, added, _below_cost(item), accept)
        if count < 0:
            raise RefusedError(f"count of {added.code}", count, "it may not be negative", "Type 0 or more.")
        hold_pieces(f"count of {added.code}", count)
        if count:
            cost = count * added.cost
            hold_amount(f"cost of {count} {added.code}", cost, MOVED)
            bring_in(work, StockMovement(day, self.kind, added.code, count, cost, reason))
        return added, count

    def asked_of_change(self, desk: Desk, code: str, changes: Changes) -> tuple[Finding, ...]:
        """Ask about what a change would make of one."""
        with desk.reading() as work:
            return _below_cost(replace(self.find(work.catalogue, code), **_some(changes)), changes)

    def change(self, desk: Desk, code: str, changes: Changes, accept: frozenset[str] = NONE) -> tuple[Counted, int]:
        """Change one."""
        with desk.writing() as work:
            found = self.find(work.catalogue, code)
            changed = replace(found, **_some(changes))
            _accept(work, changed, _below_cost(changed, changes), accept)
            self.rewrite(work.catalogue, changed)
            names = self.called_by(found), self.called_by(changed)
            rename(work, desk, NameChange(Named(self.kind.value), *names, item_code=found.code))
            return changed, work.stock.level(self.kind, changed.code).on_hand

    def called(self, desk: Desk, code: str) -> tuple[Counted, int]:
        """Give one."""
        with desk.reading() as work:
            found = self.find(work.catalogue, code)
            return found, work.stock.level(self.kind, found.code).on_hand

    def free(self, desk: Desk, code: str) -> int:
        """Say how many lie there that nobody was promised."""
        with desk.reading() as work:
            return work.stock.level(self.kind, self.find(work.catalogue, code).code).free

    def all(self, desk: Desk) -> tuple[tuple[Counted, int], ...]:
        """Give all by code."""
        with desk.reading() as work:
            counts = {level.item_code: level.on_hand for level in work.stock.levels() if level.kind is self.kind}
            return tuple((each, counts.get(each.code, 0)) for each in self.find_all(work.catalogue))


_Shelf = CatalogueShelf
FRAMES: Final = CountedGoods(
    *(StockedKind.FRAME, _Shelf.add_frame, _Shelf.frame, _Shelf.frames, _Shelf.change_frame),
    called_by=lambda frame: frame.description,
)
ACCESSORIES: Final = CountedGoods(
    *(StockedKind.ACCESSORY, _Shelf.add_accessory, _Shelf.accessory, _Shelf.accessories, _Shelf.change_accessory),
    called_by=lambda accessory: accessory.name,
)
LENSES: Final = Goods(_Shelf.add_lens, _Shelf.lens, _Shelf.lenses, _Shelf.change_lens)
EXTRAS: Final = Goods(_Shelf.add_extra, _Shelf.extra, _Shelf.extras, _Shelf.change_extra)
OFFERS: Final = Goods(_Shelf.add_offer, _Shelf.offer, _Shelf.offers, _Shelf.change_offer)


def add_frame(
    desk: Desk,
    frame: Frame,
    count: int = 0,
    owner: str | None = None,
    first: FirstGoods = FirstGoods.OPENING,
    accept: frozenset[str] = NONE,
) -> tuple[Frame, int]:
    """Add a frame with its count, or a frame that a customer owns already; gives it and what is on hand."""
    if owner is not None and count:
        raise RefusedError("count", count, "a customer's own frame is not in stock", "Leave the count out.")
    with desk.writing() as work:
        if owner is not None:
            frame = replace(frame, owned_by=number_of(work.customers.pick(owner)))
        return FRAMES.put(work, desk.today, frame, count, first, accept)


def end_offer(desk: Desk, code: str, day: date) -> Offer:
    """Let an offer run out on a day."""
    return OFFERS.change(desk, code, {"ends": day})


def load_catalogue(
    desk: Desk,
    catalogue: Catalogue,
    offers: tuple[Offer, ...],
    taxes: tuple[TaxRate, ...],
    accept: frozenset[str] = frozenset(),
) -> None:
    """Store a whole catalogue with opening counts, offers and tax rates: all rows or none."""
    with desk.writing() as work:
        for frame, count in catalogue.frames:
            FRAMES.put(work, desk.today, frame, count, accept=accept)
        for lens in catalogue.lenses:
            _accept(work, work.catalogue.add_lens(lens), _below_cost(lens), accept)
        for extra in catalogue.extras:
            _accept(work, work.catalogue.add_extra(extra), _below_cost(extra), accept)
        for accessory, count in catalogue.accessories:
            ACCESSORIES.put(work, desk.today, accessory, count, accept=accept)
        for offer in offers:
            work.catalogue.add_offer(offer)
        put_rates(work, taxes, accept)


def _below_cost(item: Priced | Offer, changes: Changes | None = None) -> tuple[Finding, ...]:
    """Ask about a cost above the price; on a change only where it changes one of them."""
    if isinstance(item, Offer) or (changes is not None and not changes.keys() & {"price", "cost"}):
        return ()
    return sold_below_cost(item)


def _accept(work: UnitOfWork, item: Any, findings: tuple[Finding, ...], accept: frozenset[str]) -> None:  # noqa: ANN401 - any kind of goods
    """Refuse while a warning has no yes; note who said it."""
    for warning in accepted_warnings(findings, accept):
        subject = Subject(type(item).__name__.lower())
        work.audit.note(Deed.ACCEPTED_WARNING, subject, item.number, detail=f"{warning.code} {item.code}")


def _some(changes: Changes) -> Changes:
    if not changes:
        raise RefusedError("change", "empty", "something to change must be named", "Use an option.")
    return changes
