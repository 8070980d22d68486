"""The final inspection of a job, proofs of impact resistance, and remakes: each is posted and never changed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.desk.books.job_costs import scrap_remake
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings, on_or_after, standing_order
from shopledger.errors import RefusedError
from shopledger.files.reading import LARGEST, NotReadError, read_outside
from shopledger.ledger.catalogue import use_of_lens
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.inspections import (
    Checked,
    DemoCheck,
    ImpactProof,
    ImpactRecord,
    Inspection,
    LensFigures,
    MakersSheet,
    PairFigures,
    Remake,
    Scrap,
    kept_until,
)
from shopledger.ledger.judging import (
    as_ordered,
    counted_twice_findings,
    judged_pair,
    kind_of,
    ordered_figures,
    read_places,
    stricter,
    swapped_findings,
)
from shopledger.ledger.judging_segments import (
    equal_thinning,
    segment_verdicts,
    thinning_findings,
    tilt_verdicts,
    with_found,
    with_segments,
    with_thinning,
)
from shopledger.ledger.numbers import number_of
from shopledger.ledger.pair_words import refuse_overtaken
from shopledger.ledger.shipping import brings_frame, parcel_with
from shopledger.optics.findings import Finding
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import ANSI_Z80_1, LensType

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopledger.ledger.catalogue import Lens
    from shopledger.ledger.orders import Order, OrderAccount, Pair
    from shopledger.money.amount import Cents
    from shopledger.store.work import UnitOfWork

BothLenses = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class InspectionRequest:
    """What was read and measured on a finished pair; powers in D, the rest in mm."""

    job_number: int
    read: Prescription
    measured: Measurements | None = None
    """PD, and heights to the deepest part of the lens, of the places where power and prism were read."""
    centre_thickness: BothLenses = (None, None)
    base_curve: BothLenses = (None, None)
    ordered_centre_thickness: float | None = None
    ordered_base_curve: float | None = None
    marks_seen: tuple[bool | None, bool | None] = (None, None)
    off: tuple[Checked, ...] = ()
    """What of the frame is not right."""
    compensated: Prescription | None = None
    """The powers of the maker's sheet, where lenses are free-form."""
    sheet: Path | None = None
    day: date | None = None
    note: str = ""
    accept: frozenset[str] = frozenset()
    near_pd: tuple[float, ...] = ()
    """From the middle of the bridge to each segment's middle, or one of both together."""
    tilt: BothLenses = (None, None)
    """How segments lie, in degrees counter-clockwise as seen from the front."""
    segment_width: BothLenses = (None, None)
    thinning: float | None = None
    """Equal vertical prism that the maker states; base up is plus. [prism dioptres]"""
    thinning_as_read: bool = False
    """Whether that is the equal part of what was read."""
    demo_lenses: DemoCheck | None = None
    """What was seen of the frame's demonstration lenses; None where nothing was said."""


@dataclass(frozen=True, slots=True)
class InspectionPlan:
    """An inspection judged but not stored, with what has to be said yes to first."""

    order: Order
    pair: Pair
    inspection: Inspection
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class JobNeeds:
    """By what a job has to be judged, so that it can be asked for."""

    pd: bool
    each_eye: bool
    """Whether the PD is wanted for each eye."""
    heights: bool
    marks: bool
    """Whether its lenses carry engraved marks."""
    sides: tuple[Side, ...] = tuple(Side)
    """The eyes for which it has lenses."""
    segments: tuple[Side, ...] = ()
    """Those whose lens has a segment that is looked at."""
    near: bool = False
    """Whether those segments were placed by a near PD."""
    thinned: bool = False
    """Whether the maker grinds equal thinning prism into them."""
    demo_lenses: bool = False
    """Whether a frame of the shop's leaves with it, whose demonstration lenses are to be out."""


@dataclass(frozen=True, slots=True)
class ImpactKept:
    """A stored proof, and until when it is kept at least; None while the job has not left."""

    record: ImpactRecord
    until: date | None


def job_needs(desk: Desk, job_number: int) -> JobNeeds:
    """Look by what a job has to be judged."""
    with desk.reading() as work:
        account, pair = standing_job(work, job_number)
        refuse_overtaken(account.order, pair, "inspection")
        lenses = _lenses(work, pair)
    progressive = LensType.PROGRESSIVE in _designs(lenses).values()
    heights = [pair.measurements.eye(side).fitting_height for side in pair.sides] if pair.measurements else []
    measured = pair.measurements is not None
    thinned = any(lenses[side].thinning_prism for side in pair.sides)
    lined = _lined(lenses, pair)
    each_eye = progressive or len(pair.sides) == 1
    shown = brings_frame(account, pair)
    return JobNeeds(measured, each_eye, any(heights), progressive, pair.sides, lined, measured, thinned, shown)


def plan_inspection(desk: Desk, request: InspectionRequest, compensated: Prescription | None = None) -> InspectionPlan:
    """Judge a finished job without storing anything.

    `compensated` are powers of a maker's sheet whose file is not at hand yet; nothing but a plan can be made of them.
    """
    with desk.reading() as work:
        return _planned(work, desk, request, compensated)


def wanted_figures(work: UnitOfWork, pair: Pair) -> PairFigures:
    """Give what the lenses of a pair have to be, and where they and their segments have to stand."""
    lenses = _lenses(work, pair)
    uses = {side: use_of_lens(lens, pair.use) for side, lens in lenses.items()}
    return with_segments(ordered_figures(pair, uses), pair, lenses)


def record_inspection(desk: Desk, request: InspectionRequest) -> InspectionPlan:
    """Store an inspection, passed or failed, and keep its maker's sheet; warnings nobody has accepted stop it."""
    with desk.writing() as work:
        plan = _planned(work, desk, request)
        inspection = replace(plan.inspection, accepted=accepted_warnings(plan.findings, request.accept))
        _keep_sheet(work, request, inspection)
        return replace(plan, inspection=work.inspections.get(number_of(work.inspections.add(inspection))))


def record_impact(
    desk: Desk, job_number: int, proof: ImpactProof, reference: str, day: date | None = None, note: str = ""
) -> ImpactKept:
    """Store what stands for a job's impact resistance: the supplier's certificate, or the prescriber's exception."""
    with desk.writing() as work:
        account, pair = standing_job(work, job_number)
        if proof is ImpactProof.EXCEPTION and pair.prescription_number is None:
            raise RefusedError(
                "exception reference",
                f"'{reference}'",
                f"job {job_number} has no prescription, so no prescriber can except it",
                "Use impact-resistant lenses, and type the supplier's certificate.",
            )
        record = ImpactRecord(job_number, desk.day(day), proof, reference, note)
        parcel = parcel_with(account, job_number)
        return ImpactKept(work.inspections.add_impact(record), kept_until(parcel.day) if parcel else None)


def record_remake(
    desk: Desk, job_number: int, reason: str, cost: Cents, scrap: Scrap = Scrap.BOTH, day: date | None = None
) -> Remake:
    """Store that a job has to be made again; it must pass an inspection anew before it leaves."""
    with desk.writing() as work:
        account, pair = standing_job(work, job_number)
        refuse_overtaken(account.order, pair, "remake")
        parcel = parcel_with(account, job_number)
        if parcel is not None:
            hint = "It is made again as a job of its own: give --because, such as maker-error."
            raise RefusedError("remake", f"of job {job_number}", f"it left on {parcel.day.isoformat()}", hint)
        made_on = on_or_after(account.order.day, desk.day(day), "day of the remake")
        newest = work.inspections.history(job_number).newest
        follows = newest.number if newest else None
        work.periods.refuse_closed(made_on)
        remake = work.inspections.add_remake(Remake(job_number, made_on, reason, cost, scrap, follows))
        scrap_remake(work, remake)
        return remake


def standing_job(work: UnitOfWork, job_number: int) -> tuple[OrderAccount, Pair]:
    """Give a job with its order; one of a cancelled order is refused."""
    order, pair = work.orders.pair(job_number)
    refuse_of_erased(f"job {job_number}", work.customers.wearer(pair.wearer_number))
    return standing_order(work, number_of(order), "inspection"), pair


def _planned(
    work: UnitOfWork, desk: Desk, request: InspectionRequest, compensated: Prescription | None = None
) -> InspectionPlan:
    account, pair = standing_job(work, request.job_number)
    refuse_overtaken(account.order, pair, "inspection")
    lenses = _lenses(work, pair)
    designs = _designs({side: lenses[side] for side in pair.sides})
    design = stricter(designs.values())
    sheet = _sheet(request)
    uses = {side: use_of_lens(lens, pair.use) for side, lens in lenses.items()}
    plain = ordered_figures(pair, uses, request.ordered_centre_thickness, request.ordered_base_curve)
    ordered, lined = with_segments(plain, pair, lenses), _lined(lenses, pair)
    found = _read(request, read_places(ordered, request.measured, design, pair.sides))
    found = with_found(found, ordered, request.near_pd, request.tilt, request.segment_width)
    read = as_ordered(found, ordered, pair.sides)
    stated = sheet.powers if sheet else compensated
    powers = stated or Prescription(ordered.right.power, ordered.left.power)
    thinning = equal_thinning(powers, read, designs) if request.thinning_as_read else request.thinning
    powers = with_thinning(powers, thinning, designs)
    inspection = Inspection(
        job_number=request.job_number,
        day=on_or_after(account.order.day, desk.day(request.day), "day of the inspection"),
        design=design,
        standard=ANSI_Z80_1.name,
        edition=ANSI_Z80_1.edition,
        ordered=ordered,
        read=read,
        verdicts=(
            *judged_pair(ordered, powers, read, designs),
            *segment_verdicts(ordered, read, lined),
            *tilt_verdicts(read, designs),
        ),
        off=request.off,
        marks_seen=_marks(request, designs),
        sheet=sheet,
        note=request.note,
        thinning=thinning,
        demo_lenses=request.demo_lenses,
    )
    findings = (
        *swapped_findings(powers, read, design),
        *counted_twice_findings(powers, ordered, read, pair.sides),
        *thinning_findings(thinning, powers),
    )
    return InspectionPlan(account.order, pair, inspection, findings)


def _lenses(work: UnitOfWork, pair: Pair) -> Mapping[Side, Lens]:
    return {side: work.catalogue.lens(pair.lens_of(side)) for side in Side}


def _lined(lenses: Mapping[Side, Lens], pair: Pair) -> tuple[Side, ...]:
    """Give the eyes whose lens is made and has a segment."""
    return tuple(side for side in pair.sides if lenses[side].lined)


def _designs(lenses: Mapping[Side, Lens]) -> dict[Side, LensType]:
    return {side: kind_of(lens.design) for side, lens in lenses.items()}


def _read(request: InspectionRequest, places: Measurements | None) -> PairFigures:
    """Put what was read and measured of both lenses together."""
    right, left = (
        LensFigures(
            request.read.eye(side), replace(places.eye(side), near_pd=None) if places else None, thickness, curve
        )
        for side, thickness, curve in zip(Side, request.centre_thickness, request.base_curve, strict=True)
    )
    return PairFigures(right, left, places.pd_given if places else "monocular")


def _sheet(request: InspectionRequest) -> MakersSheet | None:
    """Take the maker's sheet with the hash of its file; powers and file belong together."""
    hint = "Give the compensated powers of both lenses and the file of the sheet that states them."
    if request.compensated is None:
        if request.sheet is not None:
            raise RefusedError("maker's sheet", request.sheet.name, "no compensated powers were given with it", hint)
        return None
    if request.sheet is None:
        raise RefusedError("compensated powers", "without a sheet", "they are typed from the maker's sheet", hint)
    try:
        digest = hashlib.sha256(read_outside(request.sheet, LARGEST)).hexdigest()
    except NotReadError as error:
        said = f"it cannot be read ({error.reason})"
        raise RefusedError("maker's sheet", request.sheet, said, "Name the file.") from error
    return MakersSheet(request.compensated, request.sheet.name, digest)


def _keep_sheet(work: UnitOfWork, request: InspectionRequest, inspection: Inspection) -> None:
    """Keep the file of the maker's sheet, whose hash the inspection names."""
    if inspection.sheet is None or request.sheet is None:
        return
    if work.kept_files.keep(request.sheet).sha256 != inspection.sheet.file_sha256:
        raise RefusedError(
            "maker's sheet",
            request.sheet.name,
            "the file changed while it was read",
            "Inspect again with the whole file.",
        )


def _marks(request: InspectionRequest, designs: Mapping[Side, LensType]) -> tuple[bool | None, bool | None]:
    """Give whether the engraved marks were seen; a progressive has them, so it must be said."""
    seen = dict(zip(Side, request.marks_seen, strict=True))
    if any(seen[side] is None for side, design in designs.items() if design is LensType.PROGRESSIVE):
        raise RefusedError(
            "engraved marks",
            "not said",
            "a progressive carries two on each lens, 34 mm apart",
            "Say whether both were seen on both lenses.",
        )
    right, left = (seen[side] if side in designs else None for side in Side)
    return right, left
