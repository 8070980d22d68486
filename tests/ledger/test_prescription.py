"""A written prescription and a stored trace's origin: dates as written, text in one form."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.traces import TraceOrigin
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription

EYE = EyePrescription(SphereCylinder(-2.5))
WRITTEN = date(2025, 3, 2)


def written(expires_on: date | None, document: str = "") -> WrittenPrescription:
    """A prescription with that expiry."""
    return WrittenPrescription(1, 2, Prescription(EYE, EYE), WRITTEN, expires_on, document=document)


def test_a_prescription_holds_to_the_last_day_written() -> None:
    """The day of expiry itself is still good; without one it never expires here."""
    prescription = written(date(2026, 3, 2))
    assert not prescription.expired_on(date(2026, 3, 2))
    assert prescription.expired_on(date(2026, 3, 3))
    assert not written(None).expired_on(date(2099, 1, 1))


def test_an_expiry_before_the_day_of_writing_is_refused() -> None:
    """Both dates are told; the same day is possible."""
    assert written(WRITTEN).expires_on == WRITTEN
    with pytest.raises(RefusedError, match="2025-03-01; it lies before the day of writing, 2025-03-02"):
        written(date(2025, 3, 1))


def test_where_the_paper_is_kept_is_clean_text() -> None:
    """One line, or nothing."""
    assert written(None, " drawer \n 3 ").document == "drawer 3"


def test_a_trace_s_origin_is_clean_text() -> None:
    """The file has a name; the device may be unknown."""
    assert TraceOrigin(" wren-52.txt ", "0" * 64, WRITTEN, " old  tracer ").device == "old tracer"
    with pytest.raises(RefusedError, match="file name is empty"):
        TraceOrigin(" ", "0" * 64, WRITTEN)
