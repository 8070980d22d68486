"""The claim worksheet on paper: each box of the CMS-1500 (02/12) with what belongs in it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.worksheet import WORKSHEET
from tests.paperwork.awkward import Awkward, receipt_of
from tests.paperwork.reading import printed, text_of
from tests.paperwork.samples import receipt

SAID = claim_worksheet(receipt(), ("H52.13",))
# What each box asks for is a fact of the public form, after its crosswalk; the words are our own.
BOXES = [
    "1a Member's number with the plan ZX-0091823",
    "2 Patient's name Robin Sample",
    "3 Patient's day of birth and sex 07 04 1961",
    "the customer is Casey Sample",
    "6 What the patient is to the member child",
    "7 Member's address 98 Cedar Lane Springfield, OH 45501",
    "11 Number of the plan or group open",
    "17 Who prescribed DK Dr. Alex Example",
    "17b Prescriber's NPI 1000000004",
    "21 Diagnoses ICD indicator 0 A H5213",
    "24B Place of service, on each line open",
    "24C, H, I Not used for glasses, on each line leave it empty",
    "24E Diagnosis letters, on each line A",
    "24J NPI of who rendered it, on each line often empty",
    "25 Supplier's tax number 123456789, marked as EIN",
    "27 Accepts assignment NO",
    "30 Reserved leave it empty",
    "31 Supplier's signature and day the shop signs",
    "33 Supplier's name, address, phone Quiet Harbour Optical 12 Example Row Dayton, OH 45402 937 5550134",
    "33a Supplier's NPI 1234567893",
]


@pytest.mark.parametrize("box", BOXES)
def test_each_box_has_what_belongs_in_it(box: str) -> None:
    """Box, what it asks for and what to write stand in one row."""
    assert box in text_of(document_of(WORKSHEET, SAID))


@pytest.mark.parametrize("columns", ["24A ", "24B ", "24C, H, I ", "24D ", "24E ", "24F ", "24G ", "24J "])
def test_every_column_of_box_24_is_explained(columns: str) -> None:
    """Columns A to J are listed, even those that stay empty."""
    assert columns in text_of(document_of(WORKSHEET, SAID))


def test_service_lines_stand_as_on_the_form() -> None:
    """Day, code, modifier, pointer, charge and units in this order, words for the reader last."""
    assert "03132026 V2103 RT A 0 00 1 Single vision lens" in text_of(document_of(WORKSHEET, SAID))


def test_thirteen_lines_take_three_forms_that_add_up() -> None:
    """13 frames of 168.00: 1008 00 on each of two forms, 168 00 on the third, 2184 00 together."""
    whole = receipt_of(Awkward(count=13))
    whole = replace(whole, refunds=(), lines=(whole.lines[1],) * 13)
    text = text_of(document_of(WORKSHEET, claim_worksheet(whole)))
    for words in (
        "Form 1 of 3", "Box 28, total of form 1 1008 00", "Box 29, paid, of form 2 1008 00",
        "Box 28, total of form 3 168 00", "Box 28, all forms together 2184 00", "Box 29, all forms together 2184 00",
    ):  # fmt: skip
        assert words in text


def test_no_box_has_a_point_where_the_form_has_none() -> None:
    """Codes and amounts for the form stand without one; the caution says how far its instructions are known."""
    text = text_of(document_of(WORKSHEET, claim_worksheet(RECEIPT.sample())))
    forms = text[text.index("Form 1 of 2") : text.index("On the receipt, but not on the form")]
    assert "H52223" in text
    assert not re.search(r"\d\.\d|\$", forms)
    assert "as the form asks, as far as known: compare with it" in text


def test_two_forms_with_everything_around_them_take_two_pages() -> None:
    """The boxes and one form on the first, the rest on the second."""
    assert len(document_of(WORKSHEET, claim_worksheet(RECEIPT.sample())).pages) == 2


def test_what_is_left_out_reconciles_with_the_receipt() -> None:
    """The forms and what is not on them come to the receipt's total."""
    text = text_of(document_of(WORKSHEET, claim_worksheet(RECEIPT.sample())))
    # The neck cord of 9.00 was given back; case, shipping and tax are 12.00, 6.50 and 1.52.
    assert "Neck cord all of it was given back 0.00" in text
    assert "On the forms 633.95 Not on the forms 20.02" in text
    assert "Total of the receipt, less what was given back 653.97" in text


def test_the_owner_is_told_what_not_to_guess() -> None:
    """Place of service, assignment and diagnosis each have their caution."""
    text = text_of(document_of(WORKSHEET, claim_worksheet(receipt())))
    for words in ("ask the plan", "no code means a mail order", "Box 27: NO", "never work it out from the powers"):
        assert words in text


def test_a_receipt_without_claimable_lines_says_so() -> None:
    """An order of goods without codes has no form."""
    only = (replace(receipt().lines[0], code=""),)
    assert "No line of this receipt belongs on the form." in text_of(
        document_of(WORKSHEET, claim_worksheet(receipt(lines=only)))
    )


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """Made from the same receipt, it is the same file."""
    first = printed(WORKSHEET, SAID, tmp_path / "a.pdf").read_bytes()
    assert first == printed(WORKSHEET, claim_worksheet(receipt(), ["H52.13"]), tmp_path / "b.pdf").read_bytes()


def test_forms_that_do_not_add_up_are_refused() -> None:
    """A worksheet that disagrees with its receipt is not printed."""
    with pytest.raises(DisagreeingTotalsError, match="forms and what is left out"):
        document_of(WORKSHEET, replace(SAID, receipt_total=1))
