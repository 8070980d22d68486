"""Printing the sheet of a job for the bench."""

from __future__ import annotations

from pathlib import Path

from shopledger.desk.bench_jobs import bench_job
from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of, placed, with_papers
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.numbers import number_of
from shopledger.ledger.papers.job_sheet import job_sheet
from shopledger.ledger.papers.order_facts import refuse_cancelled
from shopledger.ledger.parties import spellings_of
from shopledger.paperwork.cutting import shop_cutting
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.wording import read_wording


def print_job_sheet(desk: Desk, number: int, folder: Path) -> Path:
    """Print the sheet of a job, with a trace or without; that of a cancelled order is refused. Gives the file."""
    with with_papers(desk, Deed.PRINTED_JOB_SHEET, Subject.JOB, number) as outgoing:
        work = outgoing.work
        job = bench_job(work, number)
        refuse_cancelled(work.orders.account(number_of(job.order)))
        sheet = job_sheet(job, shop_cutting(read_wording(JOB_SHEET.key, desk.own_templates)))
        pdf = pdf_of(placed(work, desk, JOB_SHEET, sheet, spellings_of(job.wearer)))
        return outgoing.add(pdf, folder / JOB_SHEET.file_name(number))
