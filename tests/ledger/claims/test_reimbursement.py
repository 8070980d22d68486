"""What a plan is likely to make of a line: three states, each with a reason, never a promise."""

from __future__ import annotations

import itertools

import pytest

from shopledger.ledger.catalogue import Accessory, Reimbursement
from shopledger.ledger.claims.reimbursement import status
from shopledger.ledger.offers import LineKind

ELIGIBLE, NOT, PLAN = Reimbursement.ELIGIBLE, Reimbursement.NOT_ELIGIBLE, Reimbursement.PLAN_DECIDES
# 26 CFR 1.213-1(e)(1)(iii) names eyeglasses; coatings on prescription lenses are second-hand, shipping is from memory.
STATES = [
    (LineKind.FRAME, True, ELIGIBLE),
    (LineKind.LENSES, True, ELIGIBLE),
    (LineKind.EXTRA, True, ELIGIBLE),
    (LineKind.SHIPPING, True, PLAN),
    (LineKind.ACCESSORY, True, PLAN),
    (LineKind.FRAME, False, NOT),
    (LineKind.LENSES, False, NOT),
    (LineKind.EXTRA, False, NOT),
    (LineKind.SHIPPING, False, NOT),
    (LineKind.ACCESSORY, False, PLAN),
]


@pytest.mark.parametrize(("kind", "prescription", "state"), STATES)
def test_the_state_follows_from_what_is_sold_and_whether_it_is_prescribed(
    kind: LineKind, prescription: bool, state: Reimbursement
) -> None:
    """Prescription glasses are eligible, glasses without a prescription are not, the rest is for the plan."""
    assert status(kind, prescription=prescription)[0] is state


@pytest.mark.parametrize("state", list(Reimbursement))
def test_an_accessory_is_what_the_shop_s_catalogue_says(state: Reimbursement) -> None:
    """The owner's own listing is repeated with a reason of its own."""
    accessory = Accessory("CORD", "Cord", 900, 200, reimbursement=state)
    given, reason = status(LineKind.ACCESSORY, prescription=False, accessory=accessory)
    assert given is state
    assert reason


def test_every_reason_is_one_sentence_that_promises_nothing() -> None:
    """No reason says that anything is approved, covered or guaranteed."""
    accessories = [None, *(Accessory("A", "A", 1, 1, reimbursement=state) for state in Reimbursement)]
    reasons = {
        status(kind, prescription=prescription, accessory=accessory)[1]
        for kind, prescription, accessory in itertools.product(LineKind, [True, False], accessories)
    }
    assert len(reasons) == 8
    assert all(reason.endswith(".") and reason[0].isupper() for reason in reasons)
    assert not any(word in reason.casefold() for reason in reasons for word in ("approved", "covered", "guarantee"))


def test_the_reason_for_prescription_glasses_names_its_source() -> None:
    """The regulation is named, so that the customer can look it up."""
    assert "26 CFR 1.213-1(e)(1)(iii)" in status(LineKind.LENSES, prescription=True)[1]
