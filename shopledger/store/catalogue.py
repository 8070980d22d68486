"""The catalogue: frames, lenses, extras, accessories and offers by code, and the tax rates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Final, NoReturn, TypeVar

from sqlalchemy import Column, select

from shopledger.errors import UnknownNameError, nearest
from shopledger.ledger.audit import Subject
from shopledger.ledger.catalogue import Accessory, Extra, Frame, Lens
from shopledger.ledger.offers import Matches, Offer
from shopledger.ledger.taxes import TaxRate
from shopledger.store.audit import Audit
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.tables import catalogue as tables
from shopledger.store.transaction import Area, Where

CALLED: Final = ("maker", "model", "name")
"""The columns of an item that say what it is called."""
MOST_NEAR: Final = 3
"""How many are suggested in the place of one that is not known."""

Item = TypeVar("Item", Accessory, Extra, Frame, Lens, Offer)

FRAME: Final = Record(Frame, tables.frame)
LENS: Final = Record(Lens, tables.lens, {"index": tables.lens.c.refractive_index}, parts=("blank_diameters",))
EXTRA: Final = Record(Extra, tables.extra)
ACCESSORY: Final = Record(Accessory, tables.accessory)
OFFER: Final = Record(Offer, tables.offer, parts=("needs", "reduces"))
MATCH: Final = Record(
    Matches, tables.offer_match, {"code": tables.offer_match.c.item_code}, also=("offer_code", "role")
)
TAX_RATE: Final = Record(TaxRate, tables.tax_rate)


class CatalogueShelf(Area):
    """What the shop sells, each thing under its code."""

    def add_frame(self, frame: Frame) -> Frame:
        """Store a new frame; gives it back with its number."""
        return self._add(FRAME, frame)

    def change_frame(self, frame: Frame) -> None:
        """Write a frame's new terms; orders keep what they were priced with."""
        self._change(FRAME, self.frame(frame.code), frame)

    def frame(self, code: str) -> Frame:
        """Give the frame with that code."""
        return self._found(FRAME, code)

    def frames(self) -> tuple[Frame, ...]:
        """Give all frames by code."""
        return self.transaction.all(FRAME, order=(tables.frame.c.code,))

    def some_frames(self, codes: Iterable[str]) -> Mapping[str, Frame]:
        """Give the frames with these codes, each under its code."""
        found = self.transaction.all(FRAME, {tables.frame.c.code: list(codes)})
        return {frame.code: frame for frame in found}

    def frames_of(self, customers: list[int]) -> tuple[Frame, ...]:
        """Give the frames that customers own, by code."""
        return self.transaction.all(FRAME, {tables.frame.c.owned_by: customers}, (tables.frame.c.code,))

    def worn_by(self, code: str) -> frozenset[int]:
        """Give the wearers for whom pairs were made in a frame."""
        rows = self.transaction.asked(
            "SELECT DISTINCT wearer_number FROM order_pair WHERE frame_code = :code", code=code
        )
        return frozenset(int(row.wearer_number) for row in rows)

    def add_lens(self, lens: Lens) -> Lens:
        """Store a new lens; gives it back with its number."""
        added = self._add(LENS, lens)
        self._put_blanks(lens)
        return added

    def change_lens(self, lens: Lens) -> None:
        """Write a lens's new terms; orders keep what they were priced with."""
        self._change(LENS, self.lens(lens.code), lens)
        self.transaction.remove(tables.lens_blank, {tables.lens_blank.c.lens_code: lens.code})
        self._put_blanks(lens)

    def lens(self, code: str) -> Lens:
        """Give the lens with that code."""
        found = self._lenses([_typed(code)])
        return found[0] if found else self._unknown(LENS, code)

    def lenses(self) -> tuple[Lens, ...]:
        """Give all lenses by code."""
        return self._lenses()

    def some_lenses(self, codes: Iterable[str]) -> Mapping[str, Lens]:
        """Give the lenses with these codes, each under its code."""
        return {lens.code: lens for lens in self._lenses(list(codes))}

    def add_extra(self, extra: Extra) -> Extra:
        """Store a new extra; gives it back with its number."""
        return self._add(EXTRA, extra)

    def change_extra(self, extra: Extra) -> None:
        """Write an extra's new terms; orders keep what they were priced with."""
        self._change(EXTRA, self.extra(extra.code), extra)

    def extra(self, code: str) -> Extra:
        """Give the extra with that code."""
        return self._found(EXTRA, code)

    def extras(self) -> tuple[Extra, ...]:
        """Give all extras by code."""
        return self.transaction.all(EXTRA, order=(tables.extra.c.code,))

    def add_accessory(self, accessory: Accessory) -> Accessory:
        """Store a new accessory; gives it back with its number."""
        return self._add(ACCESSORY, accessory)

    def change_accessory(self, accessory: Accessory) -> None:
        """Write an accessory's new terms; orders keep what they were priced with."""
        self._change(ACCESSORY, self.accessory(accessory.code), accessory)

    def accessory(self, code: str) -> Accessory:
        """Give the accessory with that code."""
        return self._found(ACCESSORY, code)

    def accessories(self) -> tuple[Accessory, ...]:
        """Give all accessories by code."""
        return self.transaction.all(ACCESSORY, order=(tables.accessory.c.code,))

    def add_offer(self, offer: Offer) -> Offer:
        """Store a new offer; gives it back with its number."""
        added = self._add(OFFER, offer)
        self._put_matches(offer)
        return added

    def change_offer(self, offer: Offer) -> None:
        """Write an offer's new terms; orders keep what they were priced with."""
        self._change(OFFER, self.offer(offer.code), offer)
        self.transaction.remove(tables.offer_match, {tables.offer_match.c.offer_code: offer.code})
        self._put_matches(offer)

    def offer(self, code: str) -> Offer:
        """Give the offer with that code."""
        found = self._offers(_typed(code))
        return found[0] if found else self._unknown(OFFER, code)

    def offers(self) -> tuple[Offer, ...]:
        """Give all offers in the order in which they were added, which is the order they are tried in."""
        return self._offers()

    def offers_on(self, day: date) -> tuple[Offer, ...]:
        """Give the offers that run on a day."""
        return tuple(offer for offer in self.offers() if offer.runs_on(day))

    def tax_rates(self, state: str | None = None) -> tuple[TaxRate, ...]:
        """Give the sales tax rates, of one state or all."""
        columns = tables.tax_rate.c
        where = {} if state is None else {columns.state: state}
        order = (columns.state, columns.place, columns.category, columns.valid_from)
        return self.transaction.all(TAX_RATE, where, order=order)

    def set_tax_rate(self, rate: TaxRate) -> None:
        """Write a rate; one for the same state, place, category and first day is replaced."""
        columns = tables.tax_rate.c
        same: Where = {
            columns.state: rate.state,
            columns.category: rate.category,
            columns.valid_from: rate.valid_from,
            columns.place: rate.place,
        }
        before = self.transaction.one(TAX_RATE, same)
        if before is None:
            self.transaction.put(TAX_RATE, rate)
            return
        if before == rate:
            return
        self.transaction.rewrite(TAX_RATE, rate, same)
        which = f"{rate.whole_place} {rate.category.value} {rate.valid_from.isoformat()}"
        Audit(self.transaction).changed(Subject.TAX_RATE, None, before, rate, detail=which)

    def _lenses(self, codes: list[str] | None = None) -> tuple[Lens, ...]:
        """Give the lenses with these codes, or all by code."""
        lens, blank = tables.lens.c, tables.lens_blank.c
        only, of_it = ({}, {}) if codes is None else ({lens.code: codes}, {blank.lens_code: codes})
        blanks = self.transaction.lists(blank.diameter, blank.lens_code, of_it, order=(blank.diameter,))
        found = self.transaction.unfinished(LENS, (lens.code,), only, order=(lens.code,))
        return tuple(made(blank_diameters=blanks[own]) for (own,), made in found)

    def _offers(self, code: str | None = None) -> tuple[Offer, ...]:
        """Give the offer with that code, or all in the order in which they were added."""
        offer, match = tables.offer.c, tables.offer_match.c
        only, of_it = ({}, {}) if code is None else ({offer.code: code}, {match.offer_code: code})
        matches: dict[tuple[str, str], list[Matches]] = defaultdict(list)
        for key, made in self.transaction.unfinished(MATCH, (match.offer_code, match.role), of_it, (match.position,)):
            matches[key].append(made())
        found = self.transaction.unfinished(OFFER, (offer.code,), only, order=(offer.number,))
        return tuple(
            made(**{role: tuple(matches[own, role]) for role in ("needs", "reduces")}) for (own,), made in found
        )

    def _put_blanks(self, lens: Lens) -> None:
        # Two diameters that differ by what floats leave behind are one.
        diameters = dict.fromkeys(round(blank, 6) for blank in lens.blank_diameters)
        self.transaction.add(
            tables.lens_blank, *({"lens_code": lens.code, "diameter": diameter} for diameter in diameters)
        )

    def _put_matches(self, offer: Offer) -> None:
        for role, matches in (("needs", offer.needs), ("reduces", offer.reduces)):
            self.transaction.put(MATCH, *matches, offer_code=offer.code, role=role)

    def _add(self, record: Record[Item], item: Item) -> Item:
        if self.transaction.has(record.table, {record.table.c.code: item.code}):
            raise DuplicateError(record.table.name, item.code)
        return self.transaction.post(record, item)

    def _change(self, record: Record[Item], before: Item, item: Item) -> None:
        new = replace(item, number=before.number)
        self.transaction.rewrite(record, new, {record.table.c.code: item.code})
        kind = Subject(record.table.name)
        Audit(self.transaction).changed(kind, before.number, before, new, detail=item.code)

    def _found(self, record: Record[Item], code: str) -> Item:
        found = self.transaction.one(record, {record.table.c.code: _typed(code)})
        return self._unknown(record, code) if found is None else found

    def _unknown(self, record: Record[Any], code: str) -> NoReturn:
        columns = record.table.c
        codes: Column[str] = columns.code
        called = [columns[name] for name in CALLED if name in columns]
        words = {row[0]: " ".join(row[1:]) for row in self.transaction.chosen(select(codes, *called).order_by(codes))}
        raise UnknownNameError(record.table.name, code.strip(), _near(code, words))


def _near(code: str, words: Mapping[str, str]) -> tuple[str, ...]:
    """Give codes that contain what was typed, or else items whose name does, or else codes that are like it."""
    typed = code.strip().casefold()
    named = [f"{each} ({name})" for each, name in words.items() if typed and typed in name.casefold()]
    within = [each for each in words if typed and typed in each.casefold()]
    return tuple(within[:MOST_NEAR] or named[:MOST_NEAR]) or nearest(_typed(code), words)


def _typed(code: str) -> str:
    """Give a code as it is kept, however it was typed."""
    return code.strip().upper()
