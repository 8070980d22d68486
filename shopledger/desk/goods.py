"""The catalogue item by item: adding, changing and looking up what the shop sells, and on what terms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from shopledger.desk.books.goods_moves import bring_in
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Accessory, Catalogue, Extra, Frame, Lens
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import Offer
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import TaxRate
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.store.work import Work

Changes = Mapping[str, Any]
"""New values by the names of an item's fields; an item is checked whole again with them."""


def add_frame(desk: Desk, frame: Frame, count: int = 0, owner: str | None = None) -> tuple[Frame, int]:
    """Add a frame with its count, or a frame that a customer owns already; gives it and what is on hand."""
    if owner is not None and count:
        raise RefusedError("count", count, "a customer's own frame is not in stock", "Leave the count out.")
    with desk.writing() as work:
        if owner is not None:
            frame = replace(frame, owned_by=number_of(work.customers.pick(owner)))
        added = work.catalogue.add_frame(frame)
        return added, open_with(work, desk.today, StockedKind.FRAME, added.code, count, added.cost)


def change_frame(desk: Desk, code: str, changes: Changes) -> tuple[Frame, int]:
    """Change a frame; gives it and what is on hand."""
    with desk.writing() as work:
        changed = replace(work.catalogue.frame(code), **_some(changes))
        work.catalogue.change_frame(changed)
        return changed, work.stock.level(StockedKind.FRAME, changed.code).on_hand


def frame_on_hand(desk: Desk, code: str) -> tuple[Frame, int]:
    """Give a frame and what is on hand."""
    with desk.reading() as work:
        found = work.catalogue.frame(code)
        return found, work.stock.level(StockedKind.FRAME, found.code).on_hand


def frames(desk: Desk) -> tuple[tuple[Frame, int], ...]:
    """Give all frames with what is on hand."""
    with desk.reading() as work:
        counts = _counts(work, StockedKind.FRAME)
        return tuple((frame, counts.get(frame.code, 0)) for frame in work.catalogue.frames())


def add_lens(desk: Desk, lens: Lens) -> Lens:
    """Add a lens."""
    with desk.writing() as work:
        return work.catalogue.add_lens(lens)


def change_lens(desk: Desk, code: str, changes: Changes) -> Lens:
    """Change a lens."""
    with desk.writing() as work:
        changed = replace(work.catalogue.lens(code), **_some(changes))
        work.catalogue.change_lens(changed)
        return changed


def lens_called(desk: Desk, code: str) -> Lens:
    """Give one lens."""
    with desk.reading() as work:
        return work.catalogue.lens(code)


def lenses(desk: Desk) -> tuple[Lens, ...]:
    """Give all lenses."""
    with desk.reading() as work:
        return work.catalogue.lenses()


def add_extra(desk: Desk, extra: Extra) -> Extra:
    """Add an upgrade or coating."""
    with desk.writing() as work:
        return work.catalogue.add_extra(extra)


def change_extra(desk: Desk, code: str, changes: Changes) -> Extra:
    """Change an upgrade or coating."""
    with desk.writing() as work:
        changed = replace(work.catalogue.extra(code), **_some(changes))
        work.catalogue.change_extra(changed)
        return changed


def extra_called(desk: Desk, code: str) -> Extra:
    """Give one upgrade or coating."""
    with desk.reading() as work:
        return work.catalogue.extra(code)


def extras(desk: Desk) -> tuple[Extra, ...]:
    """Give all upgrades and coatings."""
    with desk.reading() as work:
        return work.catalogue.extras()


def add_accessory(desk: Desk, accessory: Accessory, count: int = 0) -> tuple[Accessory, int]:
    """Add an accessory with its count; gives it and what is on hand."""
    with desk.writing() as work:
        added = work.catalogue.add_accessory(accessory)
        return added, open_with(work, desk.today, StockedKind.ACCESSORY, added.code, count, added.cost)


def change_accessory(desk: Desk, code: str, changes: Changes) -> tuple[Accessory, int]:
    """Change an accessory; gives it and what is on hand."""
    with desk.writing() as work:
        changed = replace(work.catalogue.accessory(code), **_some(changes))
        work.catalogue.change_accessory(changed)
        return changed, work.stock.level(StockedKind.ACCESSORY, changed.code).on_hand


def accessory_on_hand(desk: Desk, code: str) -> tuple[Accessory, int]:
    """Give an accessory and what is on hand."""
    with desk.reading() as work:
        found = work.catalogue.accessory(code)
        return found, work.stock.level(StockedKind.ACCESSORY, found.code).on_hand


def accessories(desk: Desk) -> tuple[tuple[Accessory, int], ...]:
    """Give all accessories with what is on hand."""
    with desk.reading() as work:
        counts = _counts(work, StockedKind.ACCESSORY)
        return tuple((each, counts.get(each.code, 0)) for each in work.catalogue.accessories())


def add_offer(desk: Desk, offer: Offer) -> Offer:
    """Add an offer."""
    with desk.writing() as work:
        return work.catalogue.add_offer(offer)


def end_offer(desk: Desk, code: str, day: date) -> Offer:
    """Let an offer run out on a day."""
    with desk.writing() as work:
        ended = replace(work.catalogue.offer(code), ends=day)
        work.catalogue.change_offer(ended)
        return ended


def offer_called(desk: Desk, code: str) -> Offer:
    """Give one offer."""
    with desk.reading() as work:
        return work.catalogue.offer(code)


def offers(desk: Desk) -> tuple[Offer, ...]:
    """Give all offers in the order in which they are tried."""
    with desk.reading() as work:
        return work.catalogue.offers()


def set_tax_rate(desk: Desk, rate: TaxRate) -> None:
    """Set a sales tax rate from a day on."""
    with desk.writing() as work:
        work.catalogue.set_tax_rate(rate)


def tax_rates(desk: Desk) -> tuple[TaxRate, ...]:
    """Give all rates that were set."""
    with desk.reading() as work:
        return work.catalogue.tax_rates()


def open_with(work: Work, day: date, kind: StockedKind, code: str, count: int, cost: Cents) -> int:
    """Post an item's opening count; gives it back."""
    if count < 0:
        raise RefusedError(f"count of {code}", count, "it may not be negative", "Type 0 or more.")
    if count:
        bring_in(work, StockMovement(day, kind, code, count, count * cost, StockReason.OPENING))
    return count


def load_catalogue(desk: Desk, catalogue: Catalogue, offers: tuple[Offer, ...], taxes: tuple[TaxRate, ...]) -> None:
    """Store a whole catalogue with opening counts, offers and tax rates: all rows or none."""
    with desk.writing() as work:
        for frame, count in catalogue.frames:
            add_stocked(work, desk.today, frame, count)
        for lens in catalogue.lenses:
            work.catalogue.add_lens(lens)
        for extra in catalogue.extras:
            work.catalogue.add_extra(extra)
        for accessory, count in catalogue.accessories:
            add_stocked(work, desk.today, accessory, count)
        for offer in offers:
            work.catalogue.add_offer(offer)
        for rate in taxes:
            work.catalogue.set_tax_rate(rate)


def add_stocked(work: Work, day: date, item: Frame | Accessory, count: int) -> None:
    """Add a frame or accessory to the catalogue with its opening count."""
    if isinstance(item, Frame):
        work.catalogue.add_frame(item)
        open_with(work, day, StockedKind.FRAME, item.code, count, item.cost)
    else:
        work.catalogue.add_accessory(item)
        open_with(work, day, StockedKind.ACCESSORY, item.code, count, item.cost)


def _counts(work: Work, kind: StockedKind) -> dict[str, int]:
    return {level.item_code: level.on_hand for level in work.stock.levels() if level.kind is kind}


def _some(changes: Changes) -> Changes:
    if not changes:
        raise RefusedError("change", "empty", "something to change must be named", "Use an option.")
    return changes
