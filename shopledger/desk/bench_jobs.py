"""One job with all that is made from it: where it stands, and the figures of its sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopledger.desk.context import Desk
from shopledger.desk.jobs import BoardRow, board_row
from shopledger.errors import OpticsError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.catalogue import Frame, Lens
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.layout import PairLayout, lay_out
from shopledger.ledger.orders import Order, Pair
from shopledger.ledger.pair_findings import pair_findings
from shopledger.ledger.papers.job_sheet import Job, JobSheet, job_sheet
from shopledger.ledger.parties import Wearer
from shopledger.ledger.settings import Settings
from shopledger.ledger.stages import OVERDUE_AFTER
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.findings import Finding, gravest_first
from shopledger.optics.sides import Side
from shopledger.optics.trace_checks import check_frame_trace
from shopledger.paperwork.cutting import JOB_KEY, shop_cutting
from shopledger.paperwork.wording import read_wording
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class JobCard:
    """One job with where it stands and what its sheet says."""

    row: BoardRow
    wearer: str
    sheet: JobSheet


def job_card(desk: Desk, number: int, overdue_after: int = OVERDUE_AFTER) -> JobCard:
    """Give one job; the look is noted, since it shows what is made for somebody's eyes."""
    wording = read_wording(JOB_KEY, desk.own_templates)
    with desk.noting(Deed.LOOKED_AT_JOB, Subject.JOB, number) as work:
        entry = work.jobs.entry(number)
        job = bench_job(work, number)
    return JobCard(board_row(desk, entry, overdue_after), job.wearer.name, job_sheet(job, shop_cutting(wording)))


def bench_job(work: UnitOfWork, number: int) -> Job:
    """Look up everything that a job's sheet or lens order is made from."""
    order, pair = work.orders.pair(number)
    settings = work.shop.settings()
    wearer = work.customers.wearer(pair.wearer_number)
    refuse_of_erased(f"job {number}", wearer)
    frame = work.catalogue.frame(pair.frame_code)
    lenses = {side: work.catalogue.lens(pair.lens_of(side)) for side in Side}
    trace = work.traces.newest(frame.code)
    layout, refusal = _layout(pair, lenses, trace, settings)
    history = work.inspections.history(number)
    return Job(
        shop=work.shop.profile(),
        order=order,
        pair=pair,
        wearer=wearer,
        frame=frame,
        lenses=lenses,
        extras=tuple(work.catalogue.extra(code) for code in pair.extras),
        own_extras={side: tuple(work.catalogue.extra(code) for code in pair.own(side).extras) for side in pair.sides},
        written=None if pair.prescription_number is None else work.prescriptions.get(pair.prescription_number).powers,
        remake=history.remade,
        remakes=len(history.remakes),
        trace=trace,
        layout=layout,
        refusal=refusal,
        findings=_findings(work, order, pair, wearer, frame, lenses, trace, settings),
    )


def _layout(
    pair: Pair, lenses: Mapping[Side, Lens], trace: StoredTrace | None, settings: Settings
) -> tuple[PairLayout | None, str]:
    """Lay the lenses into the frame as far as all is known; a shape that they cannot lie in is said, not raised."""
    if trace is None or pair.made is None or pair.measurements is None:
        return None, ""
    try:
        return lay_out(lenses, pair.made, trace.shape, pair.measurements, pair.use, settings, pair.sides), ""
    except OpticsError as error:
        return None, f"The layout cannot be worked out: {error}"


def _findings(
    work: UnitOfWork,
    order: Order,
    pair: Pair,
    wearer: Wearer,
    frame: Frame,
    lenses: Mapping[Side, Lens],
    trace: StoredTrace | None,
    settings: Settings,
) -> tuple[Finding, ...]:
    """Give what was found on pair and trace, judged on the day of the order, so that the sheet stays the same."""
    written = None if pair.prescription_number is None else work.prescriptions.get(pair.prescription_number)
    try:
        found = [*pair_findings(pair, lenses, wearer, written, trace, settings, order.day)]
    except OpticsError:
        # The layout says why; what else was found then hangs on the same figures.
        found = []
    if trace is not None:
        found += check_frame_trace(trace.shape, eye_size=frame.eye_size, bridge=frame.bridge)
    return gravest_first(dict.fromkeys(found))
