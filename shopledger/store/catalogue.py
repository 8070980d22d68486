"""The catalogue: frames, lenses, extras, accessories and offers by code, and the tax rates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy import Row, column, literal_column, select, table

from shopledger.errors import UnknownNameError, nearest
from shopledger.ledger.catalogue import Accessory, Extra, Frame, Lens, TaxCategory
from shopledger.ledger.offers import Offer
from shopledger.ledger.taxes import ImposedOn, TaxRate
from shopledger.store import catalogue_rows as items
from shopledger.store.audit import Audit
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class CatalogueShelf:
    """What the shop sells, each thing under its code."""

    transaction: Transaction

    def add_frame(self, frame: Frame) -> Frame:
        """Store a new frame; gives it back with its number."""
        return replace(frame, number=self._add("frame", frame.code, items.frame_values(frame)))

    def change_frame(self, frame: Frame) -> None:
        """Write a frame's new terms; orders keep what they were priced with."""
        self._change("frame", frame.code, items.frame_values(frame))

    def frame(self, code: str) -> Frame:
        """Give the frame with that code."""
        return items.frame_of(self._row("frame", code))

    def frames(self) -> tuple[Frame, ...]:
        """Give all frames by code."""
        return tuple(items.frame_of(row) for row in self._rows("frame"))

    def add_lens(self, lens: Lens) -> Lens:
        """Store a new lens; gives it back with its number."""
        number = self._add("lens", lens.code, items.lens_values(lens))
        self.transaction.add("lens_blank", *items.blank_values(lens))
        return replace(lens, number=number)

    def change_lens(self, lens: Lens) -> None:
        """Write a lens's new terms; orders keep what they were priced with."""
        self._change("lens", lens.code, items.lens_values(lens))
        self.transaction.remove("lens_blank", lens_code=lens.code)
        self.transaction.add("lens_blank", *items.blank_values(lens))

    def lens(self, code: str) -> Lens:
        """Give the lens with that code."""
        row = self._row("lens", code)
        blanks = self.transaction.rows("lens_blank", {"lens_code": row.code}, order=("diameter",))
        return items.lens_of(row, [blank.diameter for blank in blanks])

    def lenses(self) -> tuple[Lens, ...]:
        """Give all lenses by code."""
        blanks: dict[str, list[int]] = {}
        for blank in self._rows("lens_blank", "lens_code", "diameter"):
            blanks.setdefault(blank.lens_code, []).append(blank.diameter)
        return tuple(items.lens_of(row, blanks.get(row.code, [])) for row in self._rows("lens"))

    def add_extra(self, extra: Extra) -> Extra:
        """Store a new extra; gives it back with its number."""
        return replace(extra, number=self._add("extra", extra.code, items.extra_values(extra)))

    def change_extra(self, extra: Extra) -> None:
        """Write an extra's new terms; orders keep what they were priced with."""
        self._change("extra", extra.code, items.extra_values(extra))

    def extra(self, code: str) -> Extra:
        """Give the extra with that code."""
        return items.extra_of(self._row("extra", code))

    def extras(self) -> tuple[Extra, ...]:
        """Give all extras by code."""
        return tuple(items.extra_of(row) for row in self._rows("extra"))

    def add_accessory(self, accessory: Accessory) -> Accessory:
        """Store a new accessory; gives it back with its number."""
        return replace(accessory, number=self._add("accessory", accessory.code, items.accessory_values(accessory)))

    def change_accessory(self, accessory: Accessory) -> None:
        """Write an accessory's new terms; orders keep what they were priced with."""
        self._change("accessory", accessory.code, items.accessory_values(accessory))

    def accessory(self, code: str) -> Accessory:
        """Give the accessory with that code."""
        return items.accessory_of(self._row("accessory", code))

    def accessories(self) -> tuple[Accessory, ...]:
        """Give all accessories by code."""
        return tuple(items.accessory_of(row) for row in self._rows("accessory"))

    def add_offer(self, offer: Offer) -> Offer:
        """Store a new offer; gives it back with its number."""
        number = self._add("offer", offer.code, items.offer_values(offer))
        self.transaction.add("offer_match", *items.match_values(offer))
        return replace(offer, number=number)

    def change_offer(self, offer: Offer) -> None:
        """Write an offer's new terms; orders keep what they were priced with."""
        self._change("offer", offer.code, items.offer_values(offer))
        self.transaction.remove("offer_match", offer_code=offer.code)
        self.transaction.add("offer_match", *items.match_values(offer))

    def offer(self, code: str) -> Offer:
        """Give the offer with that code."""
        row = self._row("offer", code)
        matches = self.transaction.rows("offer_match", {"offer_code": row.code}, order=("role", "position"))
        return items.offer_of(row, matches)

    def offers(self) -> tuple[Offer, ...]:
        """Give all offers in the order in which they were added, which is the order they are tried in."""
        matches: dict[str, list[Row[Any]]] = {}
        for match in self._rows("offer_match", "offer_code", "role", "position"):
            matches.setdefault(match.offer_code, []).append(match)
        return tuple(items.offer_of(row, matches[row.code]) for row in self._rows("offer", "number"))

    def offers_on(self, day: date) -> tuple[Offer, ...]:
        """Give the offers that run on a day."""
        return tuple(offer for offer in self.offers() if offer.runs_on(day))

    def tax_rates(self, state: str | None = None) -> tuple[TaxRate, ...]:
        """Give the sales tax rates, of one state or all."""
        equal = {} if state is None else {"state": state}
        rows = self.transaction.rows("tax_rate", equal, order=("state", "category", "valid_from"))
        return tuple(
            TaxRate(
                state=row.state,
                category=TaxCategory(row.category),
                rate=row.rate,
                valid_from=read_day(row.valid_from),
                imposed_on=ImposedOn(row.imposed_on),
                exempt_reason=row.exempt_reason,
            )
            for row in rows
        )

    def set_tax_rate(self, rate: TaxRate) -> None:
        """Write a rate; one for the same state, category and first day is replaced."""
        key = {"state": rate.state, "category": rate.category.value, "valid_from": day_text(rate.valid_from)}
        values = {
            "rate": rate.rate,
            "imposed_on": rate.imposed_on.value,
            "exempt_reason": rate.exempt_reason,
            **self.transaction.stamp,
        }
        if self.transaction.change("tax_rate", values, **key):
            Audit(self.transaction).note("changed a tax rate", f"{rate.state} {rate.category.value}")
        else:
            self.transaction.add("tax_rate", {**key, **values})

    def _add(self, kind: str, code: str, values: Mapping[str, object]) -> int:
        if self.transaction.row(kind, code=code) is not None:
            raise DuplicateError(kind, code)
        number = self.transaction.next_number(kind)
        self.transaction.add(kind, {"code": code, "number": number, **values, **self.transaction.stamp})
        return number

    def _change(self, kind: str, code: str, values: Mapping[str, object]) -> None:
        self._row(kind, code)
        self.transaction.change(kind, {**values, **self.transaction.stamp}, code=code)
        Audit(self.transaction).note(f"changed {kind}", code)

    def _row(self, kind: str, code: str) -> Row[Any]:
        typed = code.strip().upper()
        row = self.transaction.row(kind, code=typed)
        if row is None:
            codes = self.transaction.chosen(
                select(literal_column("code")).select_from(table(kind)).order_by(column("code"))
            )
            raise UnknownNameError(kind, code.strip(), nearest(typed, [known.code for known in codes]))
        return row

    def _rows(self, name: str, *order: str) -> list[Row[Any]]:
        return list(self.transaction.rows(name, order=order or ("code",)))
