"""What a reorder goes by: the request, the earlier pair, the frame, its shape, the prescription, what is as before."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Frame, Lens
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, Pair
from shopledger.ledger.parties import Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse

if TYPE_CHECKING:
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class ReorderRequest:
    """What the owner says when a customer writes for new lenses; empty means as on the last pair."""

    customer: str
    wearer: str
    frame: str = ""
    lens: str = ""
    use: LensUse | None = None
    prescription: int | None = None
    extras: tuple[str, ...] | None = None
    measurements: Measurements | None = None
    right_code: str = ""
    left_code: str = ""
    """Claim code chosen by the owner for a lens, where the published bands leave a gap or overlap."""
    accept: frozenset[str] = field(default_factory=frozenset)


@dataclass(frozen=True, slots=True)
class Earlier:
    """The wearer's pair that new lenses are made after; `same_frame` tells whether it was in the frame asked for."""

    order: Order
    pair: Pair
    same_frame: bool


def earlier_pair(work: UnitOfWork, wearer: Wearer, frame_code: str) -> Earlier | None:
    """Give the wearer's newest pair in that frame, else the newest in any; None for one who never bought here."""
    code = frame_code.strip().upper()
    found = work.orders.last_pair(number_of(wearer), code or None)
    if found is not None:
        return Earlier(*found, same_frame=True)
    newest = work.orders.last_pair(number_of(wearer)) if code else None
    return None if newest is None else Earlier(*newest, same_frame=False)


def frame_asked_for(work: UnitOfWork, wearer: Wearer, earlier: Earlier | None, frame_code: str) -> Frame:
    """Give the frame: the one named, else that of the newest pair."""
    if earlier is not None and earlier.same_frame:
        return work.catalogue.frame(earlier.pair.frame_code)
    if not frame_code.strip():
        raise RefusedError(
            "reorder",
            wearer.name,
            "no pair at all was sold to this wearer",
            "Name the frame with '--frame', the lens with '--lens' and the PD with '--pd', "
            "or record a sale with 'shopledger sale record'.",
        )
    return work.catalogue.frame(frame_code)


def shape_of(work: UnitOfWork, frame: Frame) -> StoredTrace:
    """Give the frame's newest trace; where there is none, say how to get one."""
    trace = work.traces.newest(frame.code)
    if trace is None:
        raise RefusedError(
            "trace", f"missing for {frame.code}", "new lenses need the frame's shape", _how_to_trace(work, frame)
        )
    return trace


def _how_to_trace(work: UnitOfWork, frame: Frame) -> str:
    """Say where a shape may come from: another colour of the same frame that was traced, or the frame itself."""
    way = f"Ask for the frame, trace it and add the file with 'shopledger trace add {frame.code} FILE'."
    kin = [other for other in work.catalogue.frames() if _same_but_colour(frame, other)]
    traced = next((other for other in kin if work.traces.newest(other.code) is not None), None)
    if traced is None:
        return way
    return (
        f"{traced.code} is the same frame in another colour and has one: take it over with "
        f"'shopledger trace adopt {traced.code} {frame.code}'. Otherwise ask for the frame and trace it."
    )


def _same_but_colour(frame: Frame, other: Frame) -> bool:
    return other.code != frame.code and replace(frame, colour=other.colour).description == other.description


def prescription_of(work: UnitOfWork, wearer: Wearer, number: int | None) -> WrittenPrescription:
    """Give the prescription with that number, which must be the wearer's; without a number the newest."""
    if number is not None:
        written = work.prescriptions.get(number)
        if written.wearer_number != wearer.number:
            raise RefusedError("prescription", number, f"it is not {wearer.name}'s", "Name the wearer's own.")
        return written
    newest = work.prescriptions.newest(number_of(wearer))
    if newest is None:
        raise RefusedError(
            "prescription",
            f"missing for {wearer.name}",
            "new lenses need one",
            "Record it with 'shopledger prescription add'.",
        )
    return newest


def lens_asked_for(work: UnitOfWork, earlier: Earlier | None, code: str) -> Lens:
    """Give the lens named, else that of the earlier pair."""
    if code:
        return work.catalogue.lens(code)
    if earlier is None:
        raise RefusedError("lens", "missing", "there is no earlier pair to go by", "Name one with '--lens'.")
    return work.catalogue.lens(earlier.pair.lens_code)


def use_of(lens: Lens, asked: LensUse | None, earlier: Earlier | None) -> LensUse:
    """Give what the pair is made for: as asked, as the lens says, or as before."""
    if asked is not None:
        return asked
    if lens.multifocal:
        return LensUse.MULTIFOCAL
    if earlier is None or earlier.pair.use is LensUse.MULTIFOCAL:
        return LensUse.DISTANCE
    return earlier.pair.use


def measurements_for(asked: Measurements | None, earlier: Earlier | None) -> Measurements:
    """Give the measurements as asked or as before."""
    found = asked or measurements_before(earlier)
    if found is None:
        whose = f"job {earlier.pair.job_number} was made without one" if earlier else "there is no earlier pair"
        raise RefusedError("PD", "missing", whose, "Give it with '--pd', and '--height' if needed.")
    return found


def measurements_before(earlier: Earlier | None) -> Measurements | None:
    """Give the measurements of the earlier pair; of one in another frame the PDs alone, for heights differ."""
    before = earlier.pair.measurements if earlier else None
    if earlier is None or before is None or earlier.same_frame:
        return before
    right, left = (replace(eye, fitting_height=None) for eye in (before.right, before.left))
    return replace(before, right=right, left=left)


@dataclass(frozen=True, slots=True)
class ReorderStart:
    """What new lenses for a frame start from: the frame, and lens, measurements and pair that came before."""

    frame: Frame
    lens: Lens | None
    measurements: Measurements | None
    pair: Pair | None


@dataclass(frozen=True, slots=True)
class PairCard:
    """A pair that a wearer has, as one picks it for new lenses."""

    job_number: int
    day: date
    frame: Frame
    lens: Lens
    traced: bool


def pairs_of(work: UnitOfWork, wearer: Wearer) -> tuple[PairCard, ...]:
    """Give the wearer's pairs, newest first and each frame once; those of cancelled orders were never made."""
    own: dict[str, tuple[Order, Pair]] = {}
    for account in work.orders.newest_of_wearer(number_of(wearer)):
        if account.cancellation is None:
            for pair in reversed(account.order.standing_pairs):
                if pair.wearer_number == wearer.number:
                    own.setdefault(pair.frame_code, (account.order, pair))
    frames = work.catalogue.some_frames(own)
    lenses = work.catalogue.some_lenses(pair.lens_code for _, pair in own.values())
    traced = work.traces.traced(own)
    return tuple(
        PairCard(pair.job_number or 0, order.day, frames[code], lenses[pair.lens_code], code in traced)
        for code, (order, pair) in own.items()
    )
