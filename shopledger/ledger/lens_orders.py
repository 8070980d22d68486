"""Orders of lenses for a job from an outside lab, their arrival, and when lenses may be ordered at all.

What a lab is sent is frozen as JSON when the order is posted; the file and the sheet are made from that and from
nothing else, so that both come out the same years later.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Lens
from shopledger.ledger.inspections import BenchHistory, Remake, Scrap
from shopledger.ledger.orders import Entered, OrderAccount, Pair
from shopledger.ledger.pair_words import refuse_overtaken
from shopledger.ledger.shipping import parcel_with
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.optics.sides import Side

_LOST = {
    Scrap.BOTH: (Side.RIGHT, Side.LEFT),
    Scrap.RIGHT: (Side.RIGHT,),
    Scrap.LEFT: (Side.LEFT,),
    Scrap.NONE: (),
}
BOTH_ALIKE: Final[Mapping[Side, str]] = MappingProxyType(dict.fromkeys(Side, ""))


class Edging(Enum):
    """Whether the lab cuts the lenses to the frame's shape."""

    UNCUT = "uncut"
    EDGED = "edged"


@dataclass(frozen=True, slots=True)
class LensArrival:
    """That the lenses of an order came in."""

    lens_order_number: int
    day: date
    note: str = ""

    def __post_init__(self) -> None:
        """Hold the note to its rules."""
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))


@dataclass(frozen=True, slots=True)
class LensOrder:
    """An order of lenses in the ledger: for which job, from whom, and what it said, frozen with its hash."""

    number: int
    job_number: int
    supplier_number: int
    day: date
    body: str
    sha256: str
    expected_on: date | None = None
    note: str = ""
    follows: int | None = None
    """The earlier order of the same job's lenses whose place this one takes."""
    arrival: LensArrival | None = None
    entered: Entered | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        """Hold the note to its rules, and refuse lenses that are expected before they are ordered."""
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        if self.expected_on is not None and self.expected_on < self.day:
            raise RefusedError(
                "expected day",
                self.expected_on.isoformat(),
                f"the lenses are ordered on {self.day.isoformat()}",
                "Type a day on or after it, or leave --expected out.",
            )


def remake_known(body: str) -> int:
    """Give the newest remake that an order of lenses knew of, from its frozen content; 0 where there was none."""
    return int(json.loads(body)["remake"] or 0)


def _lenses_in(body: str) -> tuple[Side, ...]:
    said = json.loads(body)
    return tuple(side for side in Side if said[side.value]["asked"])


def lenses_wanting(
    orders: Sequence[LensOrder], remakes: Sequence[Remake], made: Sequence[Side] = tuple(Side)
) -> tuple[Side, ...]:
    """Give the lenses of a job that were thrown away since they were ordered, or left out of its orders, right first.

    `made` says for which eyes the job has lenses at all.

    Where none was ordered before a remake, the first lenses came out of the drawer, and none was left out.
    """
    known: dict[Side, int] = {}
    for order in orders:
        known |= dict.fromkeys(_lenses_in(order.body), remake_known(order.body))
    lost = {side for remake in remakes for side in _LOST[remake.scrap] if (remake.number or 0) > known.get(side, 0)}
    begun = bool(orders) and not remake_known(orders[0].body)
    return tuple(side for side in made if side in lost or (begun and side not in known))


def lenses_to_order(
    orders: Sequence[LensOrder],
    history: BenchHistory,
    again: str = "",
    only: Side | None = None,
    lenses: Mapping[Side, str] = BOTH_ALIKE,
) -> tuple[Side, ...]:
    """Give the lenses to order for a job: all at first, later what is wanting; more only with a reason.

    `lenses` names the lens of each eye that the job makes one for. Two that differ are ordered one after the other.
    """
    if only is not None and only not in lenses:
        raise RefusedError(
            "lens order",
            f"for job {history.job_number}",
            f"the job makes no {only.value} lens",
            f"Order the {only.other.value} one, or leave --only out.",
        )
    wanting = lenses_wanting(orders, history.remakes, tuple(lenses))
    needless = "" if wanting else _needless(orders, history)
    if needless and not again:
        raise RefusedError("lens order", f"for job {history.job_number}", needless, _way_on(orders))
    if again and not needless:
        raise RefusedError(
            "reason", f"'{again}'", "nothing stands in the way of ordering these lenses", "Leave --again out."
        )
    if only is not None:
        return (only,)
    wanted = wanting or tuple(lenses)
    return tuple(side for side in wanted if lenses[side] == lenses[wanted[0]])


def _needless(orders: Sequence[LensOrder], history: BenchHistory) -> str:
    """Say why a job needs no lenses; nothing where it does."""
    if orders:
        return f"its lenses were ordered on {orders[-1].day.isoformat()} as lens order {orders[-1].number}"
    return "" if history.lacking else "it passed its inspection"


def _way_on(orders: Sequence[LensOrder]) -> str:
    again = "give '--again REASON' to order them once more, or keep a remake with 'shopledger job remake'."
    if not orders:
        return again.capitalize()
    return f"Print it again with 'shopledger job print-lens-order {orders[-1].number}', {again}"


def refuse_powerless(pair: Pair, lenses: Sequence[Side]) -> None:
    """Refuse a lens that only balances the other and has no power: a lab would make it plano."""
    for side in lenses:
        eye = pair.made.eye(side) if pair.made else None
        if eye is not None and eye.lacks_power:
            raise RefusedError(
                "lens order",
                f"for job {pair.job_number}",
                f"its {side.value} lens only balances the other and has no power",
                f"Record the sale anew, with its power as --{side.value}-balance.",
            )


def refuse_unorderable(account: OrderAccount, pair: Pair, lens: Lens, edging: Edging, *, traced: bool) -> None:
    """Refuse an order of lenses that no lab could make, or that nobody needs any more."""
    _refuse_closed(account, pair)
    refuse_overtaken(account.order, pair, "lens order")
    job = f"for job {pair.job_number}"
    if pair.made is None:
        raise RefusedError(
            "lens order",
            job,
            "the pair has no powers, since it was sold without a prescription",
            "Order such lenses in words, or sell the pair again with a prescription.",
        )
    if pair.measurements is None and (lens.multifocal or edging is Edging.EDGED):
        why = f"a {lens.design.value} lens" if lens.multifocal else "a lens that the lab edges"
        raise RefusedError(
            "PD", f"missing {job}", f"{why} is made to it", "Measure the wearer, and record the sale anew with the PD."
        )
    if lens.multifocal and _no_height(pair):
        raise RefusedError(
            "fitting height",
            f"missing {job}",
            f"a {lens.design.value} lens is made to the height of each eye",
            "Measure the wearer in the frame, and record the sale anew with the heights.",
        )
    if edging is Edging.EDGED and not traced:
        raise RefusedError(
            "trace",
            f"missing for {pair.frame_code}",
            "the lab cuts the lenses to the frame's traced shape",
            f"Add the tracer's file with 'shopledger trace add {pair.frame_code} FILE', or order them --uncut.",
        )


def _refuse_closed(account: OrderAccount, pair: Pair) -> None:
    cancelled, parcel = account.cancellation, parcel_with(account, pair.job_number)
    if cancelled is not None:
        said = f"its order {account.order.number} was cancelled on {cancelled.day.isoformat()}"
        hint = "Sell the wearer new lenses with 'shopledger reorder', and order those."
    elif parcel is not None:
        said = f"it was shipped on {parcel.day.isoformat()}"
        hint = (
            f"Make it again with 'shopledger job remake {pair.job_number}', or sell new ones by 'shopledger reorder'."
        )
    else:
        return
    raise RefusedError("lens order", f"for job {pair.job_number}", said, hint)


def _no_height(pair: Pair) -> bool:
    measured = pair.measurements
    return measured is None or any(measured.eye(side).fitting_height is None for side in pair.sides)


def refuse_arrival(order: LensOrder, day: date) -> None:
    """Refuse lenses that came in already, or before they were ordered."""
    arrived = f"lens order {order.number}"
    if order.arrival is not None:
        raise RefusedError(
            "arrival", f"of {arrived}", f"its lenses came in on {order.arrival.day.isoformat()}", "They arrive once."
        )
    if day < order.day:
        raise RefusedError(
            "day of arrival",
            day.isoformat(),
            f"{arrived} was sent out on {order.day.isoformat()}",
            "Type a day on or after it.",
        )
