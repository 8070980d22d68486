"""Everything to ask before new lenses are made for an old frame, gravest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from shopledger.desk.reorder_lookups import Earlier
from shopledger.desk.sales import SalePlan
from shopledger.ledger import blank_advice
from shopledger.ledger.catalogue import Design, Frame
from shopledger.ledger.layout import PairLayout
from shopledger.ledger.parties import Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.checks import check_prescription
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.likeness import SAME_WITHIN, likeness
from shopledger.optics.measurements import Measurements
from shopledger.optics.pair_checks import check_bodies
from shopledger.optics.refusals import TraceError
from shopledger.optics.trace_checks import check_frame_trace

if TYPE_CHECKING:
    from shopledger.desk.reorder_lookups import ReorderRequest
    from shopledger.store.work import UnitOfWork

_COMMON: Final = "common practice, no source"
_LOW: Final = "HEIGHT-LOW"


def prescription_findings(
    new: WrittenPrescription, old: WrittenPrescription | None, settings: Settings, day: date
) -> tuple[Finding, ...]:
    """Ask about dates, and about a change from what the earlier pair was made from."""
    return check_prescription(
        new.powers,
        written_on=new.written_on,
        expires_on=new.expires_on,
        today=day,
        previous=old.powers if old and old.number != new.number else None,
        old_after=settings.prescription_months,
    )


def shape_findings(work: UnitOfWork, frame: Frame, trace: StoredTrace) -> Iterator[Finding]:
    """Ask about the stored shape: whole, like the catalogue's sizes, and not right for left."""
    yield from check_frame_trace(trace.shape, eye_size=frame.eye_size, bridge=frame.bridge)
    for kept in work.traces.kept(frame.code):
        if kept.trace.number != trace.number and _swapped(kept.trace, trace):
            sentence = (
                f"Right and left of trace {trace.number} lie as left and right did in trace {kept.trace.number} of "
                f"this frame. Lay the frame on the drawing, and trace again if the sides are swapped."
            )
            limit = f"{SAME_WITHIN:g} mm"
            yield Finding(Severity.WARNING, "TRACE-SWAPPED", "trace", str(trace.number), limit, _COMMON, sentence)
            return


def _swapped(earlier: StoredTrace, now: StoredTrace) -> bool:
    try:
        return likeness(earlier.shape, now.shape).swapped()
    except TraceError:
        return False


def origin_findings(
    request: ReorderRequest, owners: Sequence[int], wearer: Wearer, frame: Frame, earlier: Earlier | None
) -> Iterator[Finding]:
    """Ask about a frame that this wearer did not buy here, and tell a PD that comes from another frame's pair."""
    if earlier is not None and earlier.same_frame:
        return
    if frame.owned_by not in owners:
        sentence = (
            f"No pair in {frame.code} was sold to {wearer.name}: the new lenses go into a frame from elsewhere. "
            f"Lay that frame on the drawing before you cut."
        )
        yield Finding(Severity.WARNING, "FRAME-NOT-SOLD", "frame", frame.code, "", _COMMON, sentence)
    if earlier is not None and request.measurements is None:
        sentence = (
            f"The PD is that of job {earlier.pair.job_number}, in another frame; heights belong to a frame and are "
            f"not taken over."
        )
        yield Finding(Severity.NOTE, "PD-AS-BEFORE", "PD", str(earlier.pair.job_number), "", _COMMON, sentence)


def making_findings(
    chosen: PairLayout,
    others: tuple[PairLayout, ...],
    trace: StoredTrace,
    measurements: Measurements,
    sale: SalePlan,
    settings: Settings,
) -> Iterator[Finding]:
    """Ask about what the lenses come out like, and say what would do where they cannot be made so."""
    for finding in sale.findings:
        if finding.code == _LOW:
            yield _with_lower_lenses(finding, chosen, others, measurements)
        elif finding.code != blank_advice.CODE:
            yield finding
    yield from blank_advice.blank_findings(chosen, others, trace.shape, settings.blank_allowance)
    for eye in chosen.eyes:
        if eye.refusal:
            field, name = f"{eye.side.value} lens", chosen.lens.name
            yield Finding(Severity.ERROR, "LENS-IMPOSSIBLE", field, name, "", "geometry", eye.refusal)
    if chosen.right.body is not None and chosen.left.body is not None:
        # The comparison of all lenses lies before the owner, so a thick one is told and needs no yes.
        yield from (
            replace(found, severity=Severity.NOTE) for found in check_bodies(chosen.right.body, chosen.left.body)
        )


def ordered_findings(*found: Finding) -> tuple[Finding, ...]:
    """Put them gravest first, each once."""
    return gravest_first(dict.fromkeys(found))


def _with_lower_lenses(
    finding: Finding, chosen: PairLayout, others: tuple[PairLayout, ...], measurements: Measurements
) -> Finding:
    """Name the catalogue's progressives and bifocals that this height is enough for."""
    heights = [eye.fitting_height for eye in (measurements.right, measurements.left) if eye.fitting_height is not None]
    enough = [
        f"{other.lens.code} ({other.lens.min_fitting_height:g} mm)"
        for other in others
        if heights and other.lens.min_fitting_height is not None and other.lens.min_fitting_height <= min(heights)
    ]
    if chosen.lens.design is not Design.PROGRESSIVE or not enough:
        return finding
    return replace(finding, sentence=f"{finding.sentence} High enough for: {', '.join(enough)}.")
