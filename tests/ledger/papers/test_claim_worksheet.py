"""The claim worksheet: six lines a form, forms that add up, and nothing guessed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.papers.claim_worksheet import LINES_PER_FORM, claim_worksheet
from shopledger.ledger.receipt import ReceiptContent, ReceiptRefund
from tests.ledger.papers.bought import DAY, account, receipt


def with_lines(*lines: tuple[str, int, str], paid: int | None = None, extra: int = 0) -> ReceiptContent:
    """Give a receipt with lines of that code, charge and state, `extra` of shipping, and so much paid."""
    sample = receipt()
    made = tuple(
        replace(sample.lines[0], code=code, charge=charge, reimbursement=state) for code, charge, state in lines
    )
    total = sum(charge for _, charge, _ in lines) + extra
    kept = total if paid is None else paid
    return replace(sample, lines=made, shipping=extra, tax=0, total=total, paid=kept, balance=total - kept)


def test_a_progressive_pair_with_a_coating_takes_two_forms() -> None:
    """Frame, two bases, two designs and two coatings are seven lines; six fit on a form of the CMS-1500 (02/12)."""
    worksheet = claim_worksheet(receipt())
    assert LINES_PER_FORM == 6
    assert [len(form.lines) for form in worksheet.forms] == [6, 1]


def test_box_28_of_all_forms_adds_up() -> None:
    """180.00 + 2 x 60.00 + 2 x 70.00 + 64.98 on the first form, 64.97 on the second."""
    worksheet = claim_worksheet(receipt())
    assert [form.total for form in worksheet.forms] == [18000 + 12000 + 14000 + 6498, 6497]
    assert worksheet.total == 56995


def test_box_29_is_the_charge_when_all_is_paid() -> None:
    """On a receipt that is paid in full, each form is paid in full."""
    assert [form.paid for form in claim_worksheet(receipt()).forms] == [50498, 6497]


def test_box_29_is_shared_in_proportion_when_some_is_owed() -> None:
    """30.00 paid on lines of 40.00 and 20.00 pays half of each form: 20.00 and 10.00 when each has a form."""
    lines = [("V2020", 1000, "eligible")] * 4 + [("V2020", 0, "eligible")] * 2 + [("V2750", 2000, "eligible")]
    worksheet = claim_worksheet(with_lines(*lines, paid=3000))
    assert [(form.total, form.paid) for form in worksheet.forms] == [(4000, 2000), (2000, 1000)]


def test_what_has_no_code_or_is_not_eligible_stays_off_the_form() -> None:
    """A case without a code, plano sunglasses, shipping and tax are named with the reason."""
    content = with_lines(
        ("V2020", 9000, "eligible"), ("", 1200, "plan decides"), ("V2020", 4500, "not eligible"), extra=700
    )
    worksheet = claim_worksheet(content)
    assert [(entry.why, entry.amount) for entry in worksheet.left_out] == [
        ("uncoded", 1200),
        ("not_eligible", 4500),
        ("shipping", 700),
    ]
    assert "left_out" in worksheet.cautions


def test_days_stand_as_the_form_wants_them() -> None:
    """Box 3 has month, day and year apart, box 25 digits alone; that box 24A has no gap is a value from memory."""
    worksheet = claim_worksheet(replace(receipt(), wearer_birth_date="1978-11-23"))
    assert worksheet.birth_date == "11 23 1978"
    assert worksheet.forms[0].lines[0].day == "03092026"
    assert worksheet.tax_id == "123456789"


def test_an_unknown_day_stays_open_with_a_caution() -> None:
    """Glasses that have not left have no day of service, and none is made up."""
    worksheet = claim_worksheet(receipt(account((DAY, 100), shipped=False)))
    assert worksheet.forms[0].lines[0].day == ""
    assert {"not_dispensed", "not_paid"} <= set(worksheet.cautions)


def test_place_of_service_and_assignment_are_always_cautioned() -> None:
    """No code means a mail order, so the place is never filled in; assignment is the owner's to understand."""
    assert {"place", "assignment"} <= set(claim_worksheet(receipt()).cautions)


@pytest.mark.parametrize(
    ("diagnoses", "pointer", "caution"),
    [((), "", "diagnosis_missing"), (("H52.13",), "A", None), (("H52.13", "H52.223"), "", "diagnosis_several")],
)
def test_a_pointer_is_set_only_where_there_is_but_one_diagnosis(
    diagnoses: tuple[str, ...], pointer: str, caution: str | None
) -> None:
    """Without a diagnosis or with several of them the letters stay open: only the prescriber can say."""
    worksheet = claim_worksheet(receipt(), diagnoses)
    assert {line.pointer for form in worksheet.forms for line in form.lines} == {pointer}
    assert [key for key in worksheet.cautions if key.startswith("diagnosis")] == ([caution] if caution else [])


def test_diagnoses_on_the_receipt_are_used_unless_others_are_given() -> None:
    """Those frozen with the receipt stand in box 21; those typed now win."""
    content = replace(receipt(), diagnoses=("H52.13",))
    assert claim_worksheet(content).diagnoses == ("H5213",)
    assert claim_worksheet(content, ["H52.4"]).diagnoses == ("H524",)


def test_more_diagnoses_than_letters_are_refused() -> None:
    """Box 21 has the letters A to L."""
    with pytest.raises(RefusedError, match="room for 12"):
        claim_worksheet(receipt(), [f"H52.{at}" for at in range(13)])


def test_a_refund_is_taken_off_its_own_line_and_both_boxes() -> None:
    """Of a frame of 100.00 10.00 went back, of two cases at 8.00 one, of a coating of 30.00 all."""
    content = with_lines(("V2020", 10000, "eligible"), ("V2756", 1600, "eligible"), ("V2750", 3000, "eligible"))
    frame, cases, coating = content.lines
    back = replace(
        content,
        lines=(
            replace(frame, given_back=1000),
            replace(cases, units=2, given_back=800, units_back=1),
            replace(coating, given_back=3000),
        ),
        refunds=(ReceiptRefund("2026-03-20", "card", "", 4800, "scratched"),),
    )
    worksheet = claim_worksheet(back)
    (form,) = worksheet.forms
    assert [(line.charge, line.units) for line in form.lines] == [(9000, 1), (800, 1)]
    assert (form.total, form.paid, worksheet.receipt_total) == (9800, 9800, 9800)
    assert [(entry.why, entry.amount) for entry in worksheet.left_out] == [("given_back", 0)]
    assert "refunded" in worksheet.cautions


def test_an_earlier_receipt_that_does_not_say_which_lines_gave_back_is_not_guessed_at() -> None:
    """It is replaced first."""
    content = with_lines(("V2020", 10000, "eligible"))
    back = replace(content, form=2, refunds=(ReceiptRefund("2026-03-20", "card", "", 1000, "scratched"),))
    with pytest.raises(RefusedError, match="'shopledger receipt replace 5'"):
        claim_worksheet(back)


def test_a_shop_without_an_npi_is_told() -> None:
    """Box 33a stays empty with a caution."""
    assert "npi_missing" in claim_worksheet(replace(receipt(), npi="")).cautions


LINES = st.lists(
    st.tuples(
        st.sampled_from(["V2020", "V2750", ""]),
        st.integers(0, 60_000),
        st.sampled_from(["eligible", "plan decides", "not eligible"]),
    ),
    max_size=20,
)


@given(LINES, st.integers(0, 3000), st.floats(0, 1.2))
def test_forms_and_what_is_left_out_are_the_receipt(
    lines: list[tuple[str, int, str]], extra: int, share: float
) -> None:
    """Charges add up to the receipt; no form is paid beyond its charge; full forms come first."""
    total = sum(charge for _, charge, _ in lines) + extra
    worksheet = claim_worksheet(with_lines(*lines, paid=int(total * share), extra=extra))
    assert worksheet.total + sum(entry.amount for entry in worksheet.left_out) == total
    assert all(0 <= form.paid <= form.total for form in worksheet.forms)
    assert all(len(form.lines) == LINES_PER_FORM for form in worksheet.forms[:-1])
    if share >= 1.05:
        assert worksheet.paid == worksheet.total


@pytest.mark.parametrize(
    ("form", "prescriber", "several"),
    [
        (4, "Imre Castellane, OD", False),
        (4, "Imre Castellane, OD; Wren Tallow", True),
        (3, "Imre Castellane, Wren Tallow", True),
        (3, "Imre Castellane", False),
    ],
)
def test_several_prescribers_are_told_from_one_with_a_comma(form: int, prescriber: str, several: bool) -> None:
    """A comma in a prescriber's name is no second one; receipts of earlier forms had one between two."""
    content = replace(receipt(), form=form, prescriber=prescriber)
    assert ("several_prescribers" in claim_worksheet(content).cautions) is several
