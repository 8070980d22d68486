"""The health account's statement: what the rule asks for, taken from the receipt, and sums that add up."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.canonical import thawed
from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.receipt import ReceiptContent, ReceiptRefund
from tests.ledger.papers.bought import YOUNG, account, receipt
from tests.shelf import CHILD, CUSTOMER, SHOP


def test_it_says_what_was_supplied_when_and_for_how_much() -> None:
    """Prop. Treas. Reg. 1.125-6(b): the description, the date and the amount of each thing, from a third party."""
    statement = account_statement(receipt())
    assert [(line.description, line.amount) for line in statement.lines][:2] == [
        ("Prescription frame – Harrow Row Wren, moss, 52-18-140", 18000),
        ("Progressive prescription lens, right – Even progressive, base lens", 6000),
    ]
    assert (statement.sold_on, statement.served_on) == ("2026-03-02", "2026-03-09")


def test_it_names_provider_and_patient() -> None:
    """Administrators usually ask for the provider and for whose glasses they are (common practice, no source)."""
    statement = account_statement(receipt(wearer=YOUNG))
    assert (statement.shop.name, statement.shop.ein) == (SHOP.name, SHOP.ein)
    assert (statement.wearer, statement.customer, statement.relationship) == (CHILD, CUSTOMER, "child")


def test_glasses_made_to_a_prescription_are_told_from_other_goods() -> None:
    """Frame, lenses and coatings of the pair are; the cases beside it are not."""
    lines = account_statement(receipt()).lines
    assert [line.description for line in lines if not line.eyewear] == ["Hard case (quantity 2)"]


def test_what_was_charged_for_prescription_eyewear_has_a_sum_of_its_own() -> None:
    """180.00 + 260.00 + 129.95 are eyewear; cases of 24.00 and the shipping share of 5.44 are in no part of that."""
    statement = account_statement(receipt())
    assert (statement.eyewear, statement.others) == (56995, 2400)
    assert statement.total - statement.eyewear == 2400 + 544


@pytest.mark.parametrize("form", [1, 2, 3])
def test_a_receipt_of_an_earlier_form_is_sorted_the_same(form: int) -> None:
    """What it says of its lines is enough: a line of a pair was eligible just where it was made to a prescription."""
    statement = account_statement(replace(receipt(), form=form))
    assert (statement.eyewear, statement.others) == (56995, 2400)


def test_what_was_given_back_is_in_no_amount() -> None:
    """The case that came back is not listed, half of the frame's price is off the frame, and the rest is as it was."""
    sample = receipt()
    frame, *others, case = sample.lines
    content = replace(
        sample,
        lines=(replace(frame, given_back=9000), *others, replace(case, given_back=2400)),
        refunds=(ReceiptRefund("2026-03-20", "card", "4242", 11400, "case returned, frame scratched"),),
    )
    statement = account_statement(content)
    assert (statement.refunded, statement.given_back, statement.total) == (11400, 11400, sample.total - 11400)
    assert [line.amount for line in statement.lines] == [9000, *(line.charge for line in others)]
    assert (statement.eyewear, statement.others) == (56995 - 9000, 0)


def test_a_receipt_read_back_makes_the_same_statement() -> None:
    """Made from the frozen content alone, it repeats years later."""
    content = receipt()
    assert account_statement(thawed(ReceiptContent, content.canonical(), "receipt")) == account_statement(content)


STATES = st.sampled_from(["eligible", "plan decides", "not eligible"])


@given(st.lists(st.tuples(STATES, st.integers(0, 90_000)), max_size=8), st.integers(0, 2000), st.integers(0, 2000))
def test_all_sums_add_up_to_the_total(given_lines: list[tuple[str, int]], shipping: int, tax: int) -> None:
    """Eyewear, other goods, shipping and tax are the whole, whatever was bought."""
    sample = receipt(account())
    lines = tuple(replace(sample.lines[0], reimbursement=state, charge=charge) for state, charge in given_lines)
    total = sum(line.charge for line in lines) + shipping + tax
    statement = account_statement(replace(sample, lines=lines, shipping=shipping, tax=tax, total=total))
    assert statement.eyewear + statement.others + shipping + tax == statement.total
