"""New lenses for a frame sold before, from its stored shape: plan, check, draft the order, print the record."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date

from shopledger.desk.acceptance import settled
from shopledger.desk.context import Desk
from shopledger.desk.pairs import powers_to_make
from shopledger.desk.sales import SalePlan, planned_sale
from shopledger.errors import RefusedError
from shopledger.exchange.order_file import write_order_file
from shopledger.ledger.catalogue import Frame, Lens
from shopledger.ledger.layout import PairLayout, lay_out
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderRequest, Pair, PairRequest
from shopledger.ledger.parties import Customer, Prescriber, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.checks import check_prescription
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.trace_checks import check_frame_trace
from shopledger.store.work import Work


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
class ReorderPlan:
    """Everything looked up and worked out for new lenses in an old frame."""

    day: date
    customer: Customer
    wearer: Wearer
    order: Order
    """The order of the last pair in this frame."""
    pair: Pair
    """That pair."""
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


def plan_reorder(desk: Desk, request: ReorderRequest) -> ReorderPlan:
    """Look everything up and check it; stores nothing."""
    with desk.reading() as work:
        return _planned(work, desk, request)


def draft_reorder(work: Work, desk: Desk, request: ReorderRequest) -> tuple[int, ReorderPlan]:
    """Store the draft order inside a transaction; errors and unaccepted warnings stop it. Gives the draft's number."""
    plan = _planned(work, desk, request)
    accepted = settled(plan.findings, request.accept)
    asked = replace(plan.request, accept=frozenset(warning.code for warning in accepted))
    reason = f"new lenses for the frame of job {plan.pair.job_number}"
    draft = work.drafts.add(number_of(plan.customer), desk.today, reason, write_order_file(asked))
    work.audit.note("drafted a reorder", f"customer {number_of(plan.customer)}, job {plan.pair.job_number}")
    return draft, plan


def _planned(work: Work, desk: Desk, request: ReorderRequest) -> ReorderPlan:
    day = desk.today
    settings = work.shop.settings()
    customer = work.customers.pick(request.customer)
    wearer = work.customers.pick_wearer(number_of(customer), request.wearer)
    order, pair = _last_pair(work, wearer, request)
    frame = work.catalogue.frame(pair.frame_code)
    trace = _trace(work, frame)
    lens = work.catalogue.lens(request.lens or pair.lens_code)
    new = _new_prescription(work, wearer, request)
    old = work.prescriptions.get(pair.prescription_number) if pair.prescription_number is not None else None
    measurements = _measurements(request, pair)
    use = request.use or _use(lens, pair)
    made = powers_to_make(new, use, settings)
    chosen = lay_out(lens, made, trace.shape, measurements, use, settings)
    others = tuple(
        lay_out(other, made, trace.shape, measurements, use, settings)
        for other in work.catalogue.lenses()
        if other.design is lens.design and other.code != lens.code
    )
    asked = _draft(customer, wearer, frame, lens, use, new, measurements, request, pair)
    sale = planned_sale(work, desk, asked)
    return ReorderPlan(
        day=day,
        customer=customer,
        wearer=wearer,
        order=order,
        pair=pair,
        frame=frame,
        trace=trace,
        old=old,
        new=new,
        prescriber=work.customers.prescriber(new.prescriber_number),
        measurements=measurements,
        chosen=chosen,
        others=others,
        findings=_findings(frame, new, old, trace, day, chosen, sale),
        request=asked,
        sale=sale,
    )


def _last_pair(work: Work, wearer: Wearer, request: ReorderRequest) -> tuple[Order, Pair]:
    found = work.orders.last_pair(number_of(wearer), request.frame.strip().upper() or None)
    if found is None:
        what = f"in frame {request.frame}" if request.frame else "at all"
        raise RefusedError(
            "reorder",
            wearer.name,
            f"no pair {what} was sold to this wearer",
            "Record a sale with 'shopledger sale record' instead.",
        )
    return found


def _trace(work: Work, frame: Frame) -> StoredTrace:
    trace = work.traces.newest(frame.code)
    if trace is None:
        raise RefusedError(
            "trace",
            f"missing for {frame.code}",
            "new lenses need the frame's shape",
            f"Ask for the frame, trace it and add the file with 'shopledger trace add {frame.code} FILE'.",
        )
    return trace


def _new_prescription(work: Work, wearer: Wearer, request: ReorderRequest) -> WrittenPrescription:
    if request.prescription is None:
        newest = work.prescriptions.newest(number_of(wearer))
        if newest is None:
            raise RefusedError(
                "prescription",
                f"missing for {wearer.name}",
                "new lenses need one",
                "Record it with 'shopledger prescription add'.",
            )
        return newest
    written = work.prescriptions.get(request.prescription)
    if written.wearer_number != wearer.number:
        raise RefusedError("prescription", request.prescription, f"it is not {wearer.name}'s", "Name the wearer's own.")
    return written


def _measurements(request: ReorderRequest, pair: Pair) -> Measurements:
    measurements = request.measurements or pair.measurements
    if measurements is None:
        raise RefusedError(
            "PD",
            "missing",
            f"job {pair.job_number} was made without one",
            "Give it with '--pd', and '--height' if needed.",
        )
    return measurements


def _use(lens: Lens, pair: Pair) -> LensUse:
    if lens.multifocal:
        return LensUse.MULTIFOCAL
    return LensUse.DISTANCE if pair.use is LensUse.MULTIFOCAL else pair.use


def _findings(
    frame: Frame,
    new: WrittenPrescription,
    old: WrittenPrescription | None,
    trace: StoredTrace,
    day: date,
    chosen: PairLayout,
    sale: SalePlan,
) -> tuple[Finding, ...]:
    found = [
        *check_prescription(
            new.powers,
            written_on=new.written_on,
            expires_on=new.expires_on,
            today=day,
            previous=old.powers if old and old.number != new.number else None,
        ),
        *check_frame_trace(trace.shape, eye_size=frame.eye_size, bridge=frame.bridge),
        *sale.findings,
        *_refusals(chosen),
    ]
    return gravest_first(dict.fromkeys(found))


def _refusals(chosen: PairLayout) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            Severity.ERROR, "LENS-IMPOSSIBLE", f"{eye.side.value} lens", chosen.lens.name, "", "geometry", eye.refusal
        )
        for eye in chosen.eyes
        if eye.refusal
    )


def _draft(
    customer: Customer,
    wearer: Wearer,
    frame: Frame,
    lens: Lens,
    use: LensUse,
    new: WrittenPrescription,
    measurements: Measurements,
    request: ReorderRequest,
    pair: Pair,
) -> OrderRequest:
    extras = pair.extras if request.extras is None else request.extras
    asked = PairRequest(
        wearer=wearer.name,
        lens=lens.code,
        frame=frame.code,
        use=use,
        prescription=number_of(new),
        extras=extras,
        measurements=measurements,
        frame_owned=True,
        right_code=request.right_code,
        left_code=request.left_code,
        note=f"New lenses for the frame of job {pair.job_number}, from its stored shape.",
    )
    return OrderRequest(customer=str(number_of(customer)), pairs=(asked,))
