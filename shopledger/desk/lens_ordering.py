"""Ordering a job's lenses from a lab: the file and the sheet that go out, printing both again, the arrival."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum
from pathlib import Path
from types import MappingProxyType
from typing import Final

from shopledger.desk.bench_jobs import bench_job
from shopledger.desk.context import Desk
from shopledger.desk.printing import (
    Outgoing,
    pdf_of,
    placed,
    placed_as_issued,
    refuse_altered,
    with_papers,
    with_size_and_wording,
)
from shopledger.desk.refusals import NothingWaitsError, on_or_after
from shopledger.errors import RefusedError
from shopledger.exchange.lens_order_file import lens_order_json, lens_order_records
from shopledger.files.replacing import LENS_ORDER as LENS_ORDER_FILE
from shopledger.files.replacing import records_of
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.canonical import content_hash, thawed
from shopledger.ledger.erasing import refuse_erased
from shopledger.ledger.lens_orders import (
    Edging,
    LensArrival,
    LensOrder,
    lenses_to_order,
    refuse_arrival,
    refuse_powerless,
    refuse_unorderable,
)
from shopledger.ledger.numbers import number_of
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.ledger.papers.job_sheet import Job, job_sheet
from shopledger.ledger.papers.lens_order import LensOrderContent, LensOrderTerms, lens_order_content
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.optics.refusals import within
from shopledger.optics.sides import Side
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.store.work import UnitOfWork


class FileForm(Enum):
    """How the file for the lab is written."""

    RECORDS = "records"
    JSON = "json"


_WRITERS: Final[Mapping[FileForm, tuple[str, Callable[[LensOrderContent], str]]]] = MappingProxyType(
    {FileForm.RECORDS: ("txt", lens_order_records), FileForm.JSON: ("json", lens_order_json)}
)


@dataclass(frozen=True, slots=True)
class LensOrderRequest:
    """For which job lenses are ordered, from whom, and on what terms."""

    job_number: int
    supplier: str
    edging: Edging = Edging.UNCUT
    expected_on: date | None = None
    base_curve: float | None = None
    note: str = ""
    again: str = ""
    """Why lenses are ordered that were ordered already."""
    only: Side | None = None
    day: date | None = None


@dataclass(frozen=True, slots=True)
class SentLensOrder:
    """A lens order with what it says, and the files that were written; none in a dry run."""

    content: LensOrderContent
    files: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class LensesArrived:
    """The arrival of a job's lenses, and from whom they came."""

    order: LensOrder
    arrival: LensArrival
    supplier: str


def plan_lens_order(desk: Desk, request: LensOrderRequest) -> SentLensOrder:
    """Work out what would be sent, without storing or writing anything."""
    with desk.reading() as work:
        content, _ = _planned(work, desk, request)
        placed(work, desk, LENS_ORDER, content)
    return SentLensOrder(content)


def place_lens_order(
    desk: Desk, request: LensOrderRequest, folder: Path, form: FileForm = FileForm.RECORDS
) -> SentLensOrder:
    """Store an order of lenses and write its file and its sheet into a folder, all or nothing."""
    with with_papers(desk) as outgoing:
        work = outgoing.work
        planned, supplier = _planned(work, desk, request)
        numbered = replace(planned, number=work.lens_orders.next_number())
        content = with_size_and_wording(work, desk, LENS_ORDER, numbered)
        work.lens_orders.add(_order(content, number_of(supplier), request.expected_on))
        work.audit.note(Deed.SENT_LENS_ORDER, Subject.LENS_ORDER, content.number)
        outgoing.issue(WaitingPaper(IssuedPaper.LENS_ORDER, content.number))
        return _written(desk, outgoing, content.number, folder, form)


def print_lens_order(desk: Desk, number: int, folder: Path, form: FileForm = FileForm.RECORDS) -> SentLensOrder:
    """Write the file and the sheet of a lens order from its frozen content: the same bytes each time."""
    with with_papers(desk, Deed.PRINTED_LENS_ORDER, Subject.LENS_ORDER, number) as outgoing:
        return _written(desk, outgoing, number, folder, form)


def print_waiting_lens_order(desk: Desk, number: int, folder: Path, form: FileForm = FileForm.RECORDS) -> SentLensOrder:
    """Write the first files of a lens order, of which only the number is there."""
    paper = WaitingPaper(IssuedPaper.LENS_ORDER, number)
    with with_papers(desk) as outgoing:
        if paper not in outgoing.work.waiting.all():
            raise NothingWaitsError(paper, f"shopledger job print-lens-order {number}")
        outgoing.again(paper)
        return _written(desk, outgoing, number, folder, form)


def _written(desk: Desk, outgoing: Outgoing, number: int, folder: Path, form: FileForm) -> SentLensOrder:
    """Make the file and the sheet of a lens order from its frozen content."""
    work = outgoing.work
    order = work.lens_orders.get(number)
    refuse_altered("lens order", number, order.body, order.sha256)
    content = thawed(LensOrderContent, order.body, "lens order")
    refuse_erased(f"lens order {number}", content)
    pdf = pdf_of(placed_as_issued(work, desk, LENS_ORDER, content))
    ending, write = _WRITERS[form]
    sheet = folder / LENS_ORDER.file_name(number)
    body = write(content).encode("utf-8")
    kind = LENS_ORDER_FILE if form is FileForm.JSON else records_of("lens order file", body)
    file = outgoing.add(body, sheet.with_suffix(f".{ending}"), kind)
    return SentLensOrder(content, (file, outgoing.add(pdf, sheet)))


def record_arrival(
    desk: Desk, job_number: int, day: date | None = None, note: str = "", number: int | None = None
) -> LensesArrived:
    """Store that a job's lenses came in: those of its newest lens order, or of the one with that number."""
    with desk.writing() as work:
        work.orders.pair(job_number)
        order = _awaited(work.lens_orders.of_job(job_number), job_number, number)
        came_on = desk.day(day, "day of arrival")
        refuse_arrival(order, came_on)
        arrival = work.lens_orders.arrive(LensArrival(order.number, came_on, note))
        return LensesArrived(order, arrival, work.suppliers.get(order.supplier_number).name)


def lens_orders(desk: Desk, job_number: int) -> tuple[LensOrder, ...]:
    """Give a job's lens orders, oldest first."""
    with desk.reading() as work:
        work.orders.pair(job_number)
        return work.lens_orders.of_job(job_number)


def _planned(work: UnitOfWork, desk: Desk, request: LensOrderRequest) -> tuple[LensOrderContent, Supplier]:
    """Check that the lenses can and may be ordered, and give what is sent, not yet numbered."""
    job = bench_job(work, request.job_number)
    account = work.orders.account(number_of(job.order))
    orders = work.lens_orders.of_job(request.job_number)
    history = work.inspections.history(request.job_number)
    again = clean_text("reason", request.again, LONGEST_NOTE, required=False)
    codes = {side: job.lenses[side].code for side in job.pair.sides}
    lenses = lenses_to_order(orders, history, again, request.only, codes)
    refuse_unorderable(account, job.pair, job.lenses[lenses[0]], request.edging, traced=job.trace is not None)
    refuse_powerless(job.pair, lenses)
    _refuse_stopped(job)
    supplier = work.suppliers.pick(request.supplier)
    newest = history.remakes[-1] if history.remakes else None
    terms = LensOrderTerms(
        day=on_or_after(job.order.day, desk.day(request.day), "day of the lens order"),
        supplier=supplier,
        lenses=lenses,
        edging=request.edging,
        expected_on=request.expected_on,
        base_curve=None if request.base_curve is None else within("base curve", request.base_curve, 0, 20, "D"),
        note=clean_text("note", request.note, LONGEST_NOTE, required=False),
        follows=orders[-1].number if orders else None,
        reason=again or (newest.reason if newest and orders else ""),
        remake=newest.number if newest else None,
    )
    content = lens_order_content(job, terms)
    _order(content, number_of(supplier), request.expected_on)  # It holds the days to their rules in a dry run too.
    return content, supplier


def _refuse_stopped(job: Job) -> None:
    """Refuse lenses that would not fit: what stops a job at the bench stops it here too."""
    stops = job_sheet(job).stops
    if stops:
        number = job.pair.job_number
        raise RefusedError(
            "lens order",
            f"for job {number}",
            stops[0].rstrip("."),
            f"Settle it; 'shopledger job show {number}' says more.",
        )


def _order(content: LensOrderContent, supplier_number: int, expected_on: date | None) -> LensOrder:
    body = content.canonical()
    return LensOrder(
        number=content.number,
        job_number=content.job_number,
        supplier_number=supplier_number,
        day=date.fromisoformat(content.day),
        body=body,
        sha256=content_hash(body),
        expected_on=expected_on,
        note=content.note,
        follows=content.follows,
    )


def _awaited(orders: tuple[LensOrder, ...], job_number: int, number: int | None) -> LensOrder:
    """Choose the lens order that an arrival is about."""
    chosen = [order for order in orders if number in {None, order.number}]
    if chosen:
        return chosen[-1]
    if number is None:
        raise RefusedError(
            "arrival",
            f"of lenses for job {job_number}",
            "none were ordered for it",
            f"Order them with 'shopledger job order-lenses {job_number} --from SUPPLIER'.",
        )
    known = ", ".join(str(order.number) for order in orders) or "none"
    raise RefusedError("lens order", number, f"those of job {job_number} are: {known}", "Name one of them.")
