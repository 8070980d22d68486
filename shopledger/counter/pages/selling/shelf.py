"""What can be sold, as lists to pick from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from shopledger.counter.desks import desk
from shopledger.counter.forms.fields import Choice
from shopledger.counter.forms.picking import Known
from shopledger.counter.showing import money
from shopledger.desk.goods import ACCESSORIES, EXTRAS, FRAMES, LENSES, OFFERS
from shopledger.desk.selling import SaleCard
from shopledger.ledger.catalogue import Accessory, Design, Extra, Frame, Lens
from shopledger.ledger.claims.code_picker import codes_to_choose
from shopledger.ledger.offers import Offer


@dataclass(frozen=True)
class Shelf:
    """Everything that can be sold today, read once for a page; each list is made once."""

    frames: Sequence[tuple[Frame, int]]
    lenses: Mapping[str, Lens]
    extras: Sequence[Extra]
    accessories: Sequence[tuple[Accessory, int]]
    offers: Sequence[Offer]
    """Those that hold today."""

    def frames_for(self, card: SaleCard) -> list[Known]:
        """Give the shop's frames and the customer's own."""
        own = [frame for frame, _ in self.frames if frame.owned_by is not None and frame.owned_by in card.group]
        return [*(Known(frame.code, f"{frame.code}, {frame.description}", "own") for frame in own), *self.frames_alone]

    @cached_property
    def frames_alone(self) -> list[Known]:
        """The shop's own frames, which can be sold without lenses too."""
        return [
            Known(frame.code, f"{frame.code}, {frame.description}", f"{money(frame.price)}, {count or 'none'} on hand")
            for frame, count in self.frames
            if frame.owned_by is None
        ]

    @cached_property
    def goods(self) -> list[Known]:
        """The goods beside the glasses."""
        return [
            Known(each.code, f"{each.code}, {each.name}", f"{money(each.price)}, {count or 'none'} on hand")
            for each, count in self.accessories
        ]

    def lens_choices(self) -> list[Choice]:
        """Give the lenses, each with its price."""
        return [Choice(each.code, each.name, money(each.price)) for each in self.lenses.values()]

    def extra_choices(self) -> list[Choice]:
        """Give the upgrades, each with its price."""
        return [Choice(each.code, each.name, money(each.price)) for each in self.extras]

    def offer_choices(self) -> list[Choice]:
        """Give the offers, each with what it does."""
        return [Choice(each.code, each.name, each.words) for each in self.offers]

    def automatic(self) -> list[str]:
        """Give the offers that are tried unless somebody says otherwise."""
        return [each.code for each in self.offers if each.automatic]

    def code_choices(self, lens: str, progressive_base: Design) -> list[Choice]:
        """Give the claim codes that can name a lens, with what each means."""
        known = self.lenses.get(lens)
        if known is None:
            return []
        rows = codes_to_choose(known.design, progressive_base)
        return [Choice(row.code, f"{row.code}, {row.description}") for row in rows]


def shelf_now() -> Shelf:
    """Read what can be sold today."""
    at = desk()
    return Shelf(
        FRAMES.all(at),
        {each.code: each for each in LENSES.all(at)},
        EXTRAS.all(at),
        ACCESSORIES.all(at),
        [each for each in OFFERS.all(at) if each.runs_on(at.today)],
    )
