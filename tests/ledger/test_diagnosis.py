"""Diagnosis codes: the list is the published one, a heading is refused with its codes, and nothing is ever derived."""

from __future__ import annotations

import importlib
import warnings
from datetime import date
from types import ModuleType

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.diagnosis import DIAGNOSES, RELEASE, read_diagnoses, read_diagnosis
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription

EYES = {"right eye": "right eye", "left eye": "left eye", "both eyes": "bilateral"}
"""Our word for each eye, and the word in the published description."""


@pytest.fixture(scope="module")
def icd() -> ModuleType:
    """The referee, which takes seconds to read its own list."""
    with warnings.catch_warnings():
        # It reads it in a way that Python is about to drop.
        warnings.simplefilter("ignore", DeprecationWarning)
        return importlib.import_module("simple_icd_10_cm")


@pytest.mark.slow
def test_every_code_is_published_and_billable(icd: ModuleType) -> None:
    """The referee ships the release of April 2026; each of our 59 codes is a leaf of it."""
    assert len(DIAGNOSES) == 59
    assert RELEASE == "ICD-10-CM, April 2026"
    for code in DIAGNOSES:
        assert icd.is_valid_item(code), code
        assert icd.is_leaf(code), code


@pytest.mark.slow
def test_the_eye_of_each_code_is_that_of_the_published_words(icd: ModuleType) -> None:
    """Whichever digit a heading uses for right, left, both or none."""
    for code, row in DIAGNOSES.items():
        published = icd.get_description(code).casefold()
        if row.eye in EYES:
            assert published.endswith(EYES[row.eye]), code
        elif row.eye:
            assert published.endswith(("unspecified eye", "visual discomfort, unspecified")), code
            assert "ask the prescriber" in row.note
        else:
            assert not published.endswith((" eye", "bilateral")), code


@pytest.mark.slow
def test_all_billable_refraction_codes_are_known(icd: ModuleType) -> None:
    """Nothing under H52, disorders of refraction and accommodation, is missing: 37 codes."""
    leaves = {code for code in icd.get_descendants("H52") if icd.is_leaf(code)}
    assert leaves == {code for code in DIAGNOSES if code.startswith("H52")}
    assert len(leaves) == 37


@pytest.mark.slow
@pytest.mark.parametrize(
    "heading", ["H52.0", "H52.1", "H52.2", "H52.20", "H52.3", "H52.5", "H52.53", "H27.0", "Z01.02"]
)
def test_a_heading_is_refused_with_the_codes_below_it(heading: str, icd: ModuleType) -> None:
    """It cannot be billed, and the referee agrees; the refusal names every code that we know below it."""
    assert not icd.is_leaf(heading)
    with pytest.raises(RefusedError, match="not billable") as refused:
        read_diagnosis(heading)
    below = [code for code in DIAGNOSES if code.startswith(heading)]
    assert below
    assert all(code in str(refused.value) for code in below)


@pytest.mark.parametrize(("typed", "code"), [(" h52.13 ", "H52.13"), ("H5213", "H52.13"), ("z01020", "Z01.020")])
def test_a_code_is_read_as_people_type_it(typed: str, code: str) -> None:
    """Small letters, spaces and a missing point are mended."""
    assert read_diagnosis(typed).code == code


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("myopia", "is a letter, two signs"),
        ("", "is a letter, two signs"),
        ("H52.99", "none of the 59 codes"),
        ("E11.9", "none of the 59 codes"),
        ("H52.2O3", "none of the 59 codes"),
    ],
)
def test_anything_else_is_refused(typed: str, said: str) -> None:
    """Words, and codes that are no codes of eyes, are sent back to the prescriber's document."""
    with pytest.raises(RefusedError, match=said):
        read_diagnosis(typed)


def test_a_code_stands_once_and_a_form_holds_twelve() -> None:
    """CMS-1500 (02/12), box 21: A to L."""
    with pytest.raises(RefusedError, match="twice"):
        read_diagnoses(["H52.4", "h524"])
    with pytest.raises(RefusedError, match="holds 12"):
        read_diagnoses(list(DIAGNOSES)[:13])


def test_a_prescription_has_the_codes_of_its_document_and_no_others() -> None:
    """However short-sighted the powers are, no code comes of itself."""
    eye = EyePrescription(SphereCylinder(-2.5, -1.25, 90), add=2.0)
    written = WrittenPrescription(1, 1, Prescription(eye, eye), date(2026, 1, 5))
    assert written.diagnoses == ()
    given = WrittenPrescription(1, 1, written.powers, written.written_on, diagnoses=("h5213", "H52.4"))
    assert given.diagnoses == ("H52.13", "H52.4")


def test_an_examination_code_tells_that_it_is_no_goods() -> None:
    """It is kept as written, with a note."""
    assert "no goods" in read_diagnosis("Z01.00").note
    assert read_diagnosis("H52.13").note == ""
    assert read_diagnosis("H52.13").description == "short-sightedness (myopia), both eyes"
