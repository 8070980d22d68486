"""Looking up what a pair request names, working out the powers to make, and checking the pair whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Extra, Frame, Lens, use_of_lens
from shopledger.ledger.claims.code_picker import conflicts
from shopledger.ledger.each_lens import power_findings, powers_to_make, sides_of, sold_extras, sold_lenses
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Making, OrderAccount, OwnLens, Pair, PairRequest
from shopledger.ledger.pair_findings import pair_findings
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.pricing import PairGoods, Sold
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.findings import Finding
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class PlannedPair:
    """One pair with everything looked up, and what was found on it."""

    pair: Pair
    goods: PairGoods
    wearer: Wearer
    prescription: WrittenPrescription | None
    trace: StoredTrace | None
    findings: tuple[Finding, ...]


def plan_pair(
    work: UnitOfWork,
    customer: Customer,
    request: PairRequest,
    position: int,
    day: date,
    settled: Prescription | None = None,
) -> PlannedPair:
    """Look up one pair's names and check its lens values; stores nothing.

    `settled` holds the powers to make where they were worked out, and asked about, before.
    """
    settings = work.shop.settings()
    wearer = work.customers.pick_wearer(number_of(customer), request.wearer)
    lens = work.catalogue.lens(request.lens)
    frame = own_or_stocked(work, customer, request.frame)
    use = request.use or (LensUse.MULTIFOCAL if lens.multifocal else LensUse.DISTANCE)
    _check_use(lens, use)
    lenses = {side: work.catalogue.lens(request.eye(side).lens or lens.code) for side in Side}
    uses = {side: use_of_lens(lenses[side], use) for side in Side}
    written = None if request.without_prescription else _prescription(work, wearer, request)
    made = settled or (powers_to_make(written, uses, settings, request) if written else None)
    sides = sides_of(request)
    on_pair = [work.catalogue.extra(code) for code in request.extras]
    on_one = {side: [work.catalogue.extra(code) for code in request.eye(side).extras] for side in sides}
    extras = sold_extras(on_pair, on_one, made)
    pair = Pair(
        position=position,
        wearer_number=number_of(wearer),
        frame_code=frame.code,
        lens_code=lens.code,
        use=use,
        extras=tuple(sold.goods.code for sold in extras if sold.sides == sides),
        prescription_number=written.number if written else None,
        made=made,
        measurements=request.measurements,
        note=request.note,
        right=_own(request.right.making, lens, lenses[Side.RIGHT], _of_one(extras, Side.RIGHT, sides)),
        left=_own(request.left.making, lens, lenses[Side.LEFT], _of_one(extras, Side.LEFT, sides)),
    )
    chosen = {side: code for side, code in ((Side.RIGHT, request.right_code), (Side.LEFT, request.left_code)) if code}
    goods = PairGoods(
        position,
        number_of(wearer),
        frame,
        sold_lenses({side: lenses[side] for side in sides}),
        extras,
        use,
        made,
        frame_sold=not request.frame_owned and frame.owned_by is None,
        chosen_codes=chosen,
    )
    trace = work.traces.newest(frame.code)
    found = [*pair_findings(pair, lenses, wearer, written, trace, settings, day)]
    if written and made and settled is None:
        found += power_findings(written, made, request, uses)
    for side in sides:
        kinds = [sold.goods.kind for sold in extras if side in sold.sides]
        found += conflicts(kinds, lenses[side].material_class)
    return PlannedPair(pair, goods, wearer, written, trace, tuple(dict.fromkeys(found)))


def frame_for(desk: Desk, customer: Customer, code: str) -> tuple[Frame, int, int]:
    """Give a frame for a customer's glasses, how many lie there, and how many of them nobody was promised."""
    with desk.reading() as work:
        frame = own_or_stocked(work, customer, code)
        level = work.stock.level(StockedKind.FRAME, frame.code)
        return frame, level.on_hand, level.free


def not_asked_before(account: OrderAccount, planned: PlannedPair) -> tuple[Finding, ...]:
    """Give the findings on a pair, but for warnings that were said yes to with its order, word for word."""
    accepted = {(each.code, each.sentence) for each in account.order.accepted}
    return tuple(each for each in planned.findings if (each.code, each.sentence) not in accepted)


def _own(making: Making, of_pair: Lens, lens: Lens, extras: tuple[str, ...]) -> OwnLens:
    """Give what is kept of one eye alone: nothing where it has what the pair has."""
    return OwnLens(making, "" if lens.code == of_pair.code else lens.code, extras)


def _of_one(extras: Iterable[Sold[Extra]], side: Side, sides: tuple[Side, ...]) -> tuple[str, ...]:
    """Give the codes of what is on one lens, and not on every lens that is made."""
    return tuple(sold.goods.code for sold in extras if sold.sides != sides and side in sold.sides)


def own_or_stocked(work: UnitOfWork, customer: Customer, code: str) -> Frame:
    """Give a frame that is the shop's or this customer's own."""
    frame = work.catalogue.frame(code)
    if frame.owned_by is not None and frame.owned_by not in work.joins.group(number_of(customer)):
        raise RefusedError(
            "frame",
            frame.code,
            "it belongs to another customer",
            "Name one of the shop's frames or the customer's own.",
        )
    return frame


def _check_use(lens: Lens, use: LensUse) -> None:
    if lens.multifocal is not (use is LensUse.MULTIFOCAL):
        allowed = "multifocal" if lens.multifocal else "distance, reading or screen"
        raise RefusedError(
            "use",
            use.value,
            f"{lens.name} is a {lens.design.value} lens and is made for {allowed}",
            "Choose another use or another lens.",
        )


def _prescription(work: UnitOfWork, wearer: Wearer, request: PairRequest) -> WrittenPrescription:
    if request.prescription is None:
        newest = work.prescriptions.newest(number_of(wearer))
        if newest is None:
            raise RefusedError(
                "prescription",
                "missing",
                f"{wearer.name} has none in the ledger",
                "Record it with 'shopledger prescription add', or sell the pair without a prescription.",
            )
        return newest
    written = work.prescriptions.get(request.prescription)
    if written.wearer_number != wearer.number:
        raise RefusedError(
            "prescription",
            request.prescription,
            f"it is not {wearer.name}'s",
            "Name one of the wearer's own.",
        )
    return written
