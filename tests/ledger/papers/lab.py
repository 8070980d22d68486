"""Lens orders for tests, to an invented lab."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any, Final

from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.papers.job_sheet import Job
from shopledger.ledger.papers.lens_order import LensOrderContent, LensOrderTerms, lens_order_content
from shopledger.optics.sides import Side

LAB: Final = Supplier("Brightwater Lens Laboratory", "A-77", "555-0164")


def sent(job: Job, **more: Any) -> LensOrderContent:  # noqa: ANN401 - any of the terms
    """Give the content of lens order 12 for a job: both lenses uncut, expected in a week, unless said otherwise."""
    terms: dict[str, Any] = {"lenses": tuple(Side), "expected_on": date(2026, 3, 9)}
    return replace(lens_order_content(job, LensOrderTerms(date(2026, 3, 2), LAB, **(terms | more))), number=12)
