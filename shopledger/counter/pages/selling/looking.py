"""A sale worked out as far as it goes: priced, its powers, its lenses in their frames, and all that was found on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from markupsafe import Markup

from shopledger.counter.desks import desk
from shopledger.counter.forms.fields import Choice
from shopledger.counter.forms.filled import Filled, Values, read
from shopledger.counter.pages.selling.asked import Asked, asked_for, place
from shopledger.counter.pages.selling.sheet import Rows, frame_code, one, sale_form
from shopledger.counter.pages.selling.shelf import Shelf, shelf_now
from shopledger.counter.pictures.frames import frame_picture
from shopledger.counter.plain_words import plain
from shopledger.desk.pairs import PlannedPair
from shopledger.desk.sales import SalePlan, WhoseError, plan_sale
from shopledger.desk.selling import SaleCard, WearerCard, lay_out_sale, sale_card
from shopledger.desk.tracing import stored_trace
from shopledger.errors import ShopledgerError, visible
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.forms import Typed
from shopledger.ledger.layout import PairLayout
from shopledger.ledger.orders import OrderRequest
from shopledger.optics.findings import Finding
from shopledger.optics.trace import FrameTrace

KIND: Final = "sale"


class PairSeen(NamedTuple):
    """A pair of the form, as far as it is worked out."""

    heading: str
    planned: PlannedPair | None
    layout: PairLayout | None
    picture: Markup | None


@dataclass(slots=True)
class Sale:
    """A sale with its form, what is asked for, and what it comes to."""

    card: SaleCard
    shelf: Shelf
    filled: Filled
    asked: Asked
    plan: SalePlan | None = None
    said: str = ""
    """Why nothing is worked out yet, where something is asked for."""

    @property
    def rows(self) -> Rows:
        """The rows of its form."""
        return Rows.typed(self.filled.typed)

    @property
    def request(self) -> OrderRequest | None:
        """What is asked for; None where that is nothing yet, or cannot be."""
        return self.asked.request

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that was found."""
        return self.plan.findings if self.plan else ()

    @property
    def frame_choices(self) -> list[Choice]:
        """The frames that every field for a frame picks from."""
        return [Choice(each.shown, each.more) for each in self.shelf.frames_for(self.card)]

    def wearer_of(self, at: str) -> WearerCard | None:
        """Give whose glasses a pair is."""
        number = one(self.filled.typed, f"p{at}_wearer")
        return next((each for each in self.card.wearers if str(each.wearer.number) == number), None)

    def seen(self) -> list[PairSeen]:
        """Give each pair as far as it is worked out."""
        planned = dict(zip(self.asked.pairs, self.plan.pairs, strict=False)) if self.plan else {}
        layouts = dict(zip(self.asked.pairs, lay_out_sale(desk(), self.plan), strict=False)) if self.plan else {}
        return [self._pair(at, place, planned.get(at), layouts.get(at)) for place, at in enumerate(self.rows.pairs, 1)]

    def _pair(self, at: str, place: int, planned: PlannedPair | None, layout: PairLayout | None) -> PairSeen:
        whose = self.wearer_of(at)
        heading = f"Pair {place}{f', {whose.wearer.name}' if whose else ''}"
        code = frame_code(self.card, self.shelf, self.filled.typed, at)
        shape = shape_of(code) if code else None
        return PairSeen(heading, planned, layout, picture(code, shape, layout) if shape else None)


def sale_of(
    customer: int,
    typed: Typed,
    accept: frozenset[str] = frozenset(),
    card: SaleCard | None = None,
    shelf: Shelf | None = None,
) -> Sale:
    """Read a sale's form and work out what is whole of it; what is wrong and what is asked stands at its field."""
    card, shelf = card or sale_card(desk(), str(customer)), shelf or shelf_now()
    filled = Filled(sale_form(card, shelf, typed), typed, accept, kind=KIND, about=str(customer))
    values: Values = read(filled)
    sale = Sale(card, shelf, filled, asked_for(card, shelf, filled, values))
    if sale.request is not None:
        try:
            sale.plan = plan_sale(desk(), sale.request)
        except ShopledgerError as error:
            sale.said = plain(visible(str(error)))
            _say(sale, sale.request, error)
    elif sale.asked.pairs or sale.asked.goods or sale.asked.frames:
        sale.said = "Something is to be put right first."
    _ask(sale)
    return sale


def layout_centres(layout: PairLayout | None) -> dict[object, tuple[float, float]]:
    """Give where each lens is set before its eye, from the boxed centre."""
    return {eye.side: (eye.fitted.inward, eye.fitted.upward) for eye in layout.eyes} if layout else {}


def shape_of(code: str) -> FrameTrace | None:
    """Give a frame's shape; None where none is kept."""
    try:
        return stored_trace(desk(), code).stored.shape
    except ShopledgerError:
        return None


def picture(code: str, shape: FrameTrace, layout: PairLayout | None) -> Markup:
    """Draw a frame's shape, with the places of the lenses where they are known."""
    said = "with the lenses' centres" if layout else "as one faces the wearer"
    return frame_picture(shape, f"{code}, {said}", layout_centres(layout), letters=True)  # type: ignore[arg-type]


def _ask(sale: Sale) -> None:
    """Put what was found at its field: what stops, and the warnings that nobody said yes to yet."""
    plan, accept = sale.plan, sale.filled.accept
    if plan is None:
        return
    rows = list(sale.asked.pairs)
    own = {id(finding) for pair in plan.pairs for finding in pair.findings}
    for at, pair in zip(rows, plan.pairs, strict=False):
        for finding in pair.findings:
            if finding.code not in accept or finding.stops:
                meant = sale.filled.meant(f"p{at}.{finding.field}")
                sale.filled.find(replace(finding, field=meant))
    for finding in plan.findings:
        if id(finding) not in own and (finding.code not in accept or finding.stops):
            sale.filled.find(finding)


def _say(sale: Sale, request: OrderRequest, error: ShopledgerError) -> None:
    """Put what cannot be sold so at the field that it means, in the pair that it means."""
    if isinstance(error, WhoseError):
        for at, goods in sale.asked.goods.items():
            if not goods.wearer:
                sale.filled.errors[f"a{at}_wearer"].append(sale.said)
        for at, frame in sale.asked.frames.items():
            if not frame.wearer:
                sale.filled.errors[f"f{at}_wearer"].append(sale.said)
        return
    at = _pair_of(sale.asked, request, error)
    if isinstance(error, UnsettledCodeError) and at:
        words = f"Choose {' or '.join(error.candidates)} in the list." if error.candidates else "Choose one."
        sale.said = f"The {error.side.value} lens has no claim code yet: {error.reason}. {words}"
        sale.filled.errors[f"p{at}_{error.side.value}_code"].append(sale.said)
        return
    fields = list(_with_code(sale, str(getattr(error, "item_code", ""))))
    if fields:
        sale.filled.errors[fields[0]].append(sale.said)
    elif at:
        place(sale.filled, f"p{at}", error)
    else:
        sale.filled.refuse(error)


def _pair_of(asked: Asked, request: OrderRequest, error: ShopledgerError) -> str:
    """Give the row of the pair that stops the sale by itself; empty where none does."""
    for at, pair in asked.pairs.items():
        alone = replace(request, pairs=(pair,), accessories=(), frames=())
        try:
            plan_sale(desk(), alone)
        except type(error) as same:
            if str(same) == str(error):
                return at
        except ShopledgerError:
            continue
    return ""


def _with_code(sale: Sale, code: str) -> Iterator[str]:
    """Give the fields in which goods of a code stand."""
    if not code:
        return
    fields: Sequence[str] = [
        *(f"p{at}_frame" for at in sale.rows.pairs),
        *(f"f{at}_frame" for at in sale.rows.frames),
        *(f"a{at}_code" for at in sale.rows.goods),
    ]
    yield from (name for name in fields if sale.asked.of(name) == code)
