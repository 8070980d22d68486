"""Papers of a job's newest inspection: its certificate, printed, and the maker's sheet as it was kept."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.inspecting import standing_job
from shopledger.desk.printing import written
from shopledger.errors import RefusedError
from shopledger.ledger.papers.certificate import InspectionCertificate, inspection_certificate
from shopledger.ledger.papers.names import OrderNames
from shopledger.ledger.parties import spellings_of
from shopledger.paperwork.certificate import certificate_pdf
from shopledger.paperwork.wording import read_wording
from shopledger.store.refusals import FileNotKeptError


@dataclass(frozen=True, slots=True)
class PrintedCertificate:
    """A certificate and the file it was printed to."""

    content: InspectionCertificate
    file: Path


def print_certificate(desk: Desk, job_number: int, folder: Path) -> PrintedCertificate:
    """Print the certificate of a job's newest inspection, passed or failed."""
    wording = read_wording("certificate", desk.own_templates)
    with desk.reading() as work:
        account, pair = standing_job(work, job_number)
        history = work.inspections.history(job_number)
        if history.newest is None:
            raise RefusedError(
                "certificate",
                f"of job {job_number}",
                "the job was not inspected",
                f"Record the inspection first with 'shopledger job inspect {job_number}'.",
            )
        wearer = work.customers.wearer(pair.wearer_number)
        names = OrderNames(
            {pair.wearer_number: wearer.name},
            {pair.frame_code: work.catalogue.frame(pair.frame_code).description},
            {pair.lens_code: work.catalogue.lens(pair.lens_code).name},
        )
        shipped_on = account.shipment.day if account.shipment else None
        content = inspection_certificate(
            account.order, pair, history, history.newest, work.shop.profile(), names, shipped_on
        )
        paper = work.shop.settings().paper
    target = folder / f"inspection-{content.job_number:05d}-{content.number:05d}.pdf"
    certificate_pdf(content, target, paper=paper, wording=wording, spellings=dict(spellings_of(wearer)))
    return PrintedCertificate(content, target)


def hand_out_makers_sheet(desk: Desk, job_number: int, folder: Path) -> Path:
    """Write the maker's sheet of a job's newest inspection that has one, as it was kept; the look is noted."""
    with desk.writing() as work:
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
        work.audit.note("looked at a maker's sheet", f"job {job_number}")
    return written(body, folder / f"makers-sheet-{job_number:05d}-{newest.number:05d}{_ending(sheet.file_name)}")


def _ending(name: str) -> str:
    """Give the ending of a file's name where it is a plain one, as in `.pdf`."""
    ending = Path(name).suffix
    return ending.lower() if ending[1:].isascii() and ending[1:].isalnum() else ""
