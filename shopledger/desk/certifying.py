"""Papers of a job's inspections: records, issued once and printed again, and the maker's sheet as it was kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.inspecting import standing_job
from shopledger.desk.kept_files import write_kept
from shopledger.desk.printing import (
    Outgoing,
    pdf_of,
    placed_as_issued,
    refuse_altered,
    with_papers,
    with_size_and_wording,
)
from shopledger.desk.refusals import NothingWaitsError
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.certificates import Certificate, changed_since, overtaken
from shopledger.ledger.erasing import refuse_erased
from shopledger.ledger.numbers import number_of
from shopledger.ledger.papers.certificate import InspectionCertificate, inspection_certificate
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.ledger.papers.order_facts import OrderNames
from shopledger.ledger.parties import spellings_of
from shopledger.ledger.shipping import parcel_with
from shopledger.paperwork.certificate import CERTIFICATE
from shopledger.store.refusals import FileNotKeptError
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class PrintedCertificate:
    """An inspection record, the file it was printed to, and what has to be told beside it."""

    content: InspectionCertificate
    file: Path
    first: bool
    """Whether it was issued just now."""
    changed: tuple[str, ...] = ()
    """What it would state otherwise today."""
    overtaken: tuple[str, ...] = ()
    """What happened at the bench since its inspection."""
    replaced_by: int | None = None
    """The record of the same inspection that took its place."""


def print_certificate(desk: Desk, job_number: int, folder: Path, *, anew: bool = False) -> PrintedCertificate:
    """Print the record of a job's newest inspection, passed or failed: issued at the first print, then as it was.

    With `anew`, one that would state something else today gives its place to a new one with a number of its own.
    """
    with with_papers(desk) as outgoing:
        work = outgoing.work
        now = _as_of_today(work, job_number)
        issued = work.inspections.certificates(now.inspection_number)
        first = anew or not issued
        number = _issue(work, desk, now, issued, anew=anew) if first else issued[-1].number
        if first:
            outgoing.issue(WaitingPaper(IssuedPaper.CERTIFICATE, number))
        return replace(_printed(desk, outgoing, number, folder), first=first)


def print_issued(desk: Desk, number: int, folder: Path) -> PrintedCertificate:
    """Print an issued record from its frozen content, wording and size: the same bytes each time."""
    with with_papers(desk, Deed.PRINTED_CERTIFICATE, Subject.CERTIFICATE, number) as outgoing:
        return _printed(desk, outgoing, number, folder)


def print_waiting_certificate(desk: Desk, number: int, folder: Path) -> PrintedCertificate:
    """Print the first paper of an inspection record, of which only the number is there."""
    paper = WaitingPaper(IssuedPaper.CERTIFICATE, number)
    with with_papers(desk) as outgoing:
        if paper not in outgoing.work.waiting.all():
            raise NothingWaitsError(paper, f"shopledger job print-record {number}")
        outgoing.again(paper)
        return _printed(desk, outgoing, number, folder)


def _printed(desk: Desk, outgoing: Outgoing, number: int, folder: Path) -> PrintedCertificate:
    """Paint an inspection record and note that it was printed."""
    work = outgoing.work
    issued = work.inspections.certificate(number)
    refuse_altered("inspection record", number, issued.body, issued.sha256)
    content = issued.content
    refuse_erased(f"inspection record {number}", content)
    pdf = pdf_of(placed_as_issued(work, desk, CERTIFICATE, content))
    inspection = content.inspection_number
    later = [each.number for each in work.inspections.certificates(inspection) if each.number > number]
    return PrintedCertificate(
        content,
        outgoing.add(pdf, folder / CERTIFICATE.file_name(number)),
        first=False,
        changed=changed_since(content, _content(work, content.job_number, inspection)),
        overtaken=overtaken(work.inspections.history(content.job_number), inspection),
        replaced_by=later[0] if later else None,
    )


def _issue(
    work: UnitOfWork, desk: Desk, now: InspectionCertificate, issued: tuple[Certificate, ...], *, anew: bool
) -> int:
    """Take a number and store what the record says."""
    numbered = replace(
        now,
        number=work.inspections.next_certificate_number(),
        issued_on=desk.today.isoformat(),
        replaces=issued[-1].number if issued else None,
    )
    content = with_size_and_wording(work, desk, CERTIFICATE, numbered)
    if anew:
        _refuse_needless(content, issued)
    body = content.canonical()
    work.inspections.add_certificate(Certificate(content.number, content.inspection_number, body, content_hash(body)))
    work.audit.note(Deed.ISSUED_CERTIFICATE, Subject.CERTIFICATE, content.number)
    return content.number


def _refuse_needless(said: InspectionCertificate, issued: tuple[Certificate, ...]) -> None:
    """Refuse a record anew where there is none yet, or where it would be the same to the letter."""
    given, inspection = f"given for job {said.job_number}", said.inspection_number
    if not issued:
        raise RefusedError("--anew", given, f"no record of inspection {inspection} was issued yet", "Leave it out.")
    last = issued[-1].content
    if replace(said, number=last.number, issued_on=last.issued_on, replaces=last.replaces) == last:
        raise RefusedError(
            "--anew",
            given,
            f"inspection record {last.number} of inspection {inspection} would say the same today",
            "Leave it out to print that one again.",
        )


def _as_of_today(work: UnitOfWork, job_number: int) -> InspectionCertificate:
    """Give what the record of a job's newest inspection says today; one that was never inspected is refused."""
    standing_job(work, job_number)
    newest = work.inspections.history(job_number).newest
    if newest is None:
        raise RefusedError(
            "inspection record",
            f"of job {job_number}",
            "the job was not inspected",
            f"Record the inspection first with 'shopledger job inspect {job_number}'.",
        )
    return _content(work, job_number, number_of(newest))


def _content(work: UnitOfWork, job_number: int, inspection_number: int) -> InspectionCertificate:
    """Give what the record of an inspection says today, not yet issued."""
    order, pair = work.orders.pair(job_number)
    parcel = parcel_with(work.orders.account(number_of(order)), job_number)
    wearer = work.customers.wearer(pair.wearer_number)
    names = OrderNames(
        {pair.wearer_number: wearer.name},
        {pair.frame_code: work.catalogue.frame(pair.frame_code).description},
        {code: work.catalogue.lens(code).name for code in pair.lens_codes},
    )
    history, inspection = work.inspections.history(job_number), work.inspections.get(inspection_number)
    shipped_on = parcel.day if parcel else None
    content = inspection_certificate(order, pair, history, inspection, work.shop.profile(), names, shipped_on)
    return replace(content, spellings=spellings_of(wearer))


def hand_out_makers_sheet(desk: Desk, job_number: int, folder: Path) -> Path:
    """Write the maker's sheet of a job's newest inspection that has one, as it was kept; the look is noted."""
    with desk.noting(Deed.LOOKED_AT_SHEET, Subject.JOB, job_number) as work:
        work.orders.pair(job_number)
        inspections = [each for each in work.inspections.history(job_number).inspections if each.sheet is not None]
        if not inspections or inspections[-1].sheet is None:
            raise RefusedError(
                "maker's sheet",
                f"of job {job_number}",
                "no inspection of it was judged by one",
                f"Give it with 'shopledger job inspect {job_number} --sheet FILE' where lenses are free-form.",
            )
        newest, sheet = inspections[-1], inspections[-1].sheet
        try:
            body = work.kept_files.body(sheet.file_sha256)
        except FileNotKeptError as error:
            raise RefusedError(
                "maker's sheet",
                sheet.file_name,
                f"only its name and hash {sheet.file_sha256[:16]} were kept when the job was inspected",
                "Ask the maker for it once more.",
            ) from error
    return write_kept(body, folder, f"makers-sheet-{job_number:05d}-{newest.number:05d}", sheet.file_name)
