"""A ZIP code of another state is asked about, and every state has some."""

from __future__ import annotations

import pytest

from shopledger.ledger.identifiers import STATES
from shopledger.ledger.parties import Address
from shopledger.ledger.postcodes import ZIP_OTHER_STATE, states_of, zip_findings
from shopledger.optics.findings import Severity


def at(state: str, postcode: str) -> Address:
    """Give an address there."""
    return Address("9 Mill Row", "Millbrae", state, postcode)


@pytest.mark.parametrize(
    ("postcode", "states"),
    [
        ("43002", ("OH",)),
        ("90210-1234", ("CA",)),
        ("06390", ("CT", "NY")),
        ("20101", ("DC", "VA")),
        ("00501", ("NY",)),
        ("96799", ("AS", "HI")),
        ("00000", ()),
        ("71854", ("AR",)),
        ("75501", ("AR", "TX")),
    ],
)
def test_the_first_three_digits_say_the_state(postcode: str, states: tuple[str, ...]) -> None:
    """Some serve places in two."""
    assert set(states) <= set(states_of(postcode))
    assert len(states_of(postcode)) <= max(len(states), 1) + 1


def test_every_state_has_zip_codes() -> None:
    """None is left out of the list, and it names no other."""
    assert {state for sector in range(1000) for state in states_of(f"{sector:03d}00")} == STATES


def test_a_zip_code_of_another_state_is_a_warning() -> None:
    """It says both, and does not stop."""
    assert zip_findings(at("OH", "43002")) == ()
    (finding,) = zip_findings(at("OH", "90210"))
    assert (finding.severity, finding.code) == (Severity.WARNING, ZIP_OTHER_STATE)
    assert finding.sentence.startswith("The ZIP code 90210 begins with 902, which is of CA, and the address says OH.")
    assert "value from memory" in finding.source
    assert "no state that is known" in zip_findings(at("OH", "00000"))[0].sentence
