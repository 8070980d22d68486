"""One eye typed part by part reads as the line that a prescriber writes."""

from __future__ import annotations

import pytest
from hypothesis import given

from shopledger.optics.notation import read_eye, write_eye
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.sides import Side
from shopledger.typed.eyes import EyeParts, parts_of, read_parts
from shopledger.typed.refusals import EyePartError
from tests.optics.strategies import eyes


@given(eyes())
def test_parts_of_an_eye_read_back(eye: EyePrescription) -> None:
    """What stands in the fields of an eye that is known reads as that eye, as its written line does."""
    assert write_eye(read_parts(parts_of(eye), Side.LEFT)) == write_eye(read_eye(write_eye(eye)))


@pytest.mark.parametrize(
    ("parts", "field"),
    [
        (EyeParts(), "right.sphere"),
        (EyeParts("250"), "right.sphere"),
        (EyeParts("-2.50", "1.25", "90"), "right.cylinder"),
        (EyeParts("-2.50", "-1.25"), "right.axis"),
        (EyeParts("-2.50", add="abc"), "right.add"),
        (EyeParts("-2.50", prism="2"), "right.prism"),
        (EyeParts("-2.50", prism="2 BU 3 BD"), "right.prism"),
        (EyeParts("-2.50 -1.25 x 90", "-1.00"), "right.sphere"),
    ],
)
def test_the_part_that_is_wrong_is_named(parts: EyeParts, field: str) -> None:
    """So that whoever typed it is led there."""
    with pytest.raises(EyePartError) as error:
        read_parts(parts, Side.RIGHT)
    assert error.value.field == field
