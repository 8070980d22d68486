"""New lenses for a frame sold before, from its stored shape: plan, check, draft the order, print the record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.desk.reorder_findings import (
    making_findings,
    ordered_findings,
    origin_findings,
    prescription_findings,
    shape_findings,
)
from shopledger.desk.reorder_lookups import (
    Earlier,
    PairCard,
    ReorderRequest,
    ReorderStart,
    earlier_pair,
    frame_asked_for,
    lens_asked_for,
    measurements_before,
    measurements_for,
    pairs_of,
    prescription_of,
    shape_of,
    use_of,
)
from shopledger.desk.sales import SalePlan, planned_sale
from shopledger.exchange.order_file import write_order_file
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.catalogue import Frame, Lens, use_of_lens
from shopledger.ledger.each_lens import powers_to_make, sides_of
from shopledger.ledger.layout import PairLayout, lay_out, lay_out_each
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import EyeRequest, Making, OrderRequest, PairRequest
from shopledger.ledger.parties import Customer, Prescriber, Wearer
from shopledger.ledger.prescription import WrittenPrescription, changes_in_words
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.findings import Finding
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class ReorderPlan:
    """Everything looked up and worked out for new lenses in an old frame."""

    day: date
    customer: Customer
    wearer: Wearer
    earlier: Earlier | None
    """The pair that is gone by: the last in this frame, else the last in any; None for one who never bought here."""
    frame: Frame
    trace: StoredTrace
    old: WrittenPrescription | None
    new: WrittenPrescription
    prescriber: Prescriber
    measurements: Measurements
    chosen: PairLayout
    others: tuple[PairLayout, ...]
    """The same prescription in the catalogue's other lenses of this design."""
    findings: tuple[Finding, ...]
    request: OrderRequest
    """The draft order."""
    sale: SalePlan
    """The draft order as it would be recorded today: priced, and proved to be recordable."""

    @property
    def changes(self) -> dict[Side, str]:
        """What changed for each eye since the earlier pair, in words; nothing where there is no such pair."""
        if self.old is None:
            return {}
        return {side: changes_in_words(self.old.powers.eye(side), self.new.powers.eye(side)) for side in Side}


def plan_reorder(desk: Desk, request: ReorderRequest) -> ReorderPlan:
    """Look everything up and check it; stores nothing."""
    with desk.reading() as work:
        return _planned(work, desk, request)


def draft_reorder(work: UnitOfWork, desk: Desk, request: ReorderRequest) -> tuple[int, ReorderPlan]:
    """Store the draft order inside a transaction; errors and unaccepted warnings stop it. Gives the draft's number."""
    plan = _planned(work, desk, request)
    accepted = accepted_warnings(plan.findings, request.accept)
    asked = replace(plan.request, accept=frozenset(warning.code for warning in accepted))
    which = _which_frame(plan.frame, plan.earlier)
    reason = f"new lenses for {which}"
    draft = work.drafts.add(number_of(plan.customer), desk.today, reason, write_order_file(asked))
    work.audit.note(Deed.DRAFTED_REORDER, Subject.CUSTOMER, number_of(plan.customer), detail=_after(plan))
    return draft, plan


def _after(plan: ReorderPlan) -> str:
    earlier = plan.earlier
    return f"job {earlier.pair.job_number}" if earlier and earlier.same_frame else f"frame {plan.frame.code}"


def wearer_pairs(desk: Desk, customer: str, wearer: str) -> tuple[PairCard, ...]:
    """Give the pairs that a wearer has from here, newest first and each frame once."""
    with desk.reading() as work:
        payer = work.customers.pick(customer)
        return pairs_of(work, work.customers.pick_wearer(number_of(payer), wearer))


def traced_frames(desk: Desk, customer: str) -> tuple[Frame, ...]:
    """Give the frames of the shop and of a customer whose shape is stored."""
    with desk.reading() as work:
        own = work.joins.group(number_of(work.customers.pick(customer)))
        found = [each for each in work.catalogue.frames() if each.owned_by is None or each.owned_by in own]
        traced = work.traces.traced(each.code for each in found)
        return tuple(each for each in found if each.code in traced)


def usable_prescriptions(desk: Desk, customer: str, wearer: str) -> tuple[WrittenPrescription, ...]:
    """Give all prescriptions of a wearer, the newest first."""
    with desk.reading() as work:
        payer = work.customers.pick(customer)
        owner = work.customers.pick_wearer(number_of(payer), wearer)
        written = work.prescriptions.of_wearer(number_of(owner))
        return tuple(sorted(written, key=lambda each: (each.written_on, number_of(each)), reverse=True))


def reorder_start(desk: Desk, customer: str, wearer: str, frame_code: str) -> ReorderStart:
    """Give what new lenses for a frame start from; a frame without a stored shape is refused."""
    with desk.reading() as work:
        payer = work.customers.pick(customer)
        owner = work.customers.pick_wearer(number_of(payer), wearer)
        earlier = earlier_pair(work, owner, frame_code)
        frame = frame_asked_for(work, owner, earlier, frame_code)
        shape_of(work, frame)
        before = measurements_before(earlier)
        lens = work.catalogue.lens(earlier.pair.lens_code) if earlier else None
        return ReorderStart(frame, lens, before, earlier.pair if earlier else None)


def _planned(work: UnitOfWork, desk: Desk, request: ReorderRequest) -> ReorderPlan:
    day, settings = desk.today, work.shop.settings()
    customer = work.customers.pick(request.customer)
    wearer = work.customers.pick_wearer(number_of(customer), request.wearer)
    earlier = earlier_pair(work, wearer, request.frame)
    frame = frame_asked_for(work, wearer, earlier, request.frame)
    trace = shape_of(work, frame)
    lens = lens_asked_for(work, earlier, request.lens)
    new = prescription_of(work, wearer, request.prescription)
    old = _old_prescription(work, earlier)
    measurements = measurements_for(request.measurements, earlier)
    use = use_of(lens, request.use, earlier)
    asked = _draft(customer, wearer, frame, lens, use, new, measurements, request, earlier)
    pair = asked.pairs[0]
    lenses = {side: work.catalogue.lens(pair.eye(side).lens or lens.code) for side in Side}
    made = powers_to_make(new, {side: use_of_lens(lenses[side], use) for side in Side}, settings, pair)
    chosen = lay_out(lenses, made, trace.shape, measurements, use, settings, sides_of(pair))
    others = lay_out_each(tuple(_alternatives(work, lens)), made, trace.shape, measurements, use, settings)
    sale = planned_sale(work, desk, asked)
    findings = ordered_findings(
        *prescription_findings(new, old, settings, day),
        *shape_findings(work, frame, trace),
        *origin_findings(request, work.joins.group(number_of(customer)), wearer, frame, earlier),
        *making_findings(chosen, others, trace, measurements, sale, settings),
    )
    return ReorderPlan(
        day=day,
        customer=customer,
        wearer=wearer,
        earlier=earlier,
        frame=frame,
        trace=trace,
        old=old,
        new=new,
        prescriber=work.customers.prescriber(new.prescriber_number),
        measurements=measurements,
        chosen=chosen,
        others=others,
        findings=findings,
        request=asked,
        sale=sale,
    )


def _old_prescription(work: UnitOfWork, earlier: Earlier | None) -> WrittenPrescription | None:
    if earlier is None or earlier.pair.prescription_number is None:
        return None
    return work.prescriptions.get(earlier.pair.prescription_number)


def _alternatives(work: UnitOfWork, lens: Lens) -> Iterator[Lens]:
    return (other for other in work.catalogue.lenses() if other.design is lens.design and other.code != lens.code)


def _draft(
    customer: Customer,
    wearer: Wearer,
    frame: Frame,
    lens: Lens,
    use: LensUse,
    new: WrittenPrescription,
    measurements: Measurements,
    request: ReorderRequest,
    earlier: Earlier | None,
) -> OrderRequest:
    before = earlier.pair.extras if earlier else ()
    asked = PairRequest(
        wearer=wearer.name,
        lens=lens.code,
        frame=frame.code,
        use=use,
        prescription=number_of(new),
        extras=before if request.extras is None else request.extras,
        measurements=measurements,
        frame_owned=True,
        right_code=request.right_code,
        left_code=request.left_code,
        right=_as_before(earlier, Side.RIGHT, request),
        left=_as_before(earlier, Side.LEFT, request),
        note=f"New lenses for {_which_frame(frame, earlier)}, from its stored shape.",
    )
    return OrderRequest(customer=str(number_of(customer)), pairs=(asked,))


def _as_before(earlier: Earlier | None, side: Side, request: ReorderRequest) -> EyeRequest:
    """Ask for one eye what it alone had before, as far as nothing else is asked for the pair.

    A lens that stayed then is made new now, since the prescription is another; an eye without a lens gets none.
    """
    if earlier is None:
        return EyeRequest()
    own = earlier.pair.own(side)
    if own.making is Making.NONE:
        return EyeRequest(Making.NONE)
    lens, extras = "" if request.lens else own.lens_code, () if request.extras is not None else own.extras
    return EyeRequest(lens=lens, extras=extras)


def _which_frame(frame: Frame, earlier: Earlier | None) -> str:
    if earlier is not None and earlier.same_frame:
        return f"the frame of job {earlier.pair.job_number}"
    return f"the wearer's frame {frame.code}"
