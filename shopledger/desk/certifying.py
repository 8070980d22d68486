"""Printing the certificate of a job's newest inspection, from what the ledger keeps of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.inspecting import standing_job
from shopledger.errors import RefusedError
from shopledger.ledger.papers.certificate import InspectionCertificate, inspection_certificate
from shopledger.ledger.papers.names import OrderNames
from shopledger.ledger.parties import spellings_of
from shopledger.paperwork.certificate import certificate_pdf
from shopledger.paperwork.wording import read_wording


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
