"""Lengths as text: nothing that was given is lost, and nothing is rounded to the side that spoils a lens."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.lengths import as_given, as_listed, at_least, at_most, worked_out
from shopledger.optics.measurements import Measurements


@pytest.mark.parametrize(
    ("length", "written"),
    [(31.25, "31.25"), (31.5, "31.5"), (31, "31.0"), (31.05, "31.05"), (0.0, "0.0"), (-0.0, "0.0"), (27.848, "27.85")],
)
def test_what_was_given_is_written_as_it_was(length: float, written: str) -> None:
    """Quarters of a millimetre stay quarters; halves and whole ones have one decimal."""
    assert as_given(length) == written


@given(st.integers(0, 9999))
def test_no_hundredth_is_ever_lost(hundredths: int) -> None:
    """Whatever is typed to hundredths is the same number when it is read off the paper."""
    assert Decimal(as_given(float(Decimal(hundredths) / 100))) * 100 == hundredths


def test_a_size_of_the_catalogue_has_no_decimal_it_was_not_given() -> None:
    """A blank of 65 mm is 65, and one of 62.5 is 62.5."""
    assert (as_listed(65.0), as_listed(62.5), as_listed(100.0)) == ("65", "62.5", "100")


def test_a_pd_for_both_eyes_is_halved_exactly() -> None:
    """62.5 is 31.25 for each eye, never 31.2 (common practice, no source: halves of half millimetres)."""
    halved = Measurements.from_binocular(62.5)
    assert [as_given(eye.mono_pd) for eye in (halved.right, halved.left)] == ["31.25", "31.25"]


@pytest.mark.parametrize(
    ("length", "written"), [(3.75, "3.8"), (1.25, "1.3"), (-1.25, "-1.3"), (59.34, "59.3"), (-0.04, "0.0")]
)
def test_what_was_worked_out_has_tenths(length: float, written: str) -> None:
    """Halves go away from zero, so that 1.25 and 3.75 are treated alike; nothing has a minus that is nothing."""
    assert worked_out(length) == written


@given(st.floats(0, 200))
def test_what_is_needed_is_never_less_and_what_is_to_spare_never_more(length: float) -> None:
    """Each lies within a tenth of the length, on its safe side."""
    hair = 1e-6
    assert length - hair <= at_least(length) < length + 0.1 + hair
    assert length - 0.1 - hair < at_most(length) <= length + hair


def test_what_needs_no_rounding_gets_none() -> None:
    """The noise of adding floats does not ask for a larger blank."""
    assert math.nextafter(62.7, 63) > 62.7
    assert at_least(math.nextafter(62.7, 63)) == 62.7
    assert at_most(math.nextafter(2.3, 2)) == 2.3
