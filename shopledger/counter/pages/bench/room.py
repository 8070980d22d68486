"""What the pages of the bench share: their blueprint, where each stands, the folder that papers go to."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from flask import Blueprint

from shopledger.counter.addresses import job_page
from shopledger.counter.desks import station
from shopledger.files.writing import made_folder

pages: Final = Blueprint("bench", __name__)
BOTH: Final = ("GET", "POST")


def papers_folder() -> Path:
    """Give the folder that papers are printed into; it is made if it is missing."""
    return made_folder(station().papers)


def about_job(number: int) -> str:
    """Say which job a form is about that is kept while it is typed; a bare number would be a customer's."""
    return f"job {number}"


def back_to(number: int) -> tuple[str, str]:
    """Give the way back to a job."""
    return job_page(number), f"Job {number}"
