"""The invented shop's stock, and a family of customers with their prescriptions, put into a ledger."""

from __future__ import annotations

from datetime import date

from shopledger.desk.context import Desk
from shopledger.desk.people import add_customer, add_prescriber, add_wearer
from shopledger.desk.prescribing import PrescriptionRequest, record_prescription
from shopledger.desk.stocking import load_catalogue
from shopledger.ledger.catalogue import Catalogue
from shopledger.ledger.parties import Relationship
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import Prescription
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, GRADUAL, HOME, INCLUDED, LARK, OHIO, SHADES, SINGLE, THIN, WREN


def stock_up(desk: Desk) -> None:
    """Load the catalogue, an offer and two tax rates."""
    catalogue = Catalogue(
        frames=((WREN, 3), (LARK, 2)), lenses=(SINGLE, THIN, GRADUAL), extras=(CLEAR,),
        accessories=((CASE, 10), (SHADES, 4)),
    )  # fmt: skip
    load_catalogue(desk, catalogue, (INCLUDED,), OHIO)


def welcome_family(desk: Desk) -> None:
    """Add the customer, her child, their prescriber and a prescription for each."""
    add_customer(desk, CUSTOMER, HOME, "555-0142")
    add_wearer(desk, CUSTOMER, CHILD, Relationship.CHILD, date(2015, 5, 9))
    add_prescriber(desk, "Dr. Imre Castellane", "555-0177")
    prescribe(desk, CUSTOMER, "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    prescribe(desk, CHILD, "-1.00 DS", "-1.25 DS")


def prescribe(desk: Desk, wearer: str, right: str, left: str, written_on: date | None = None) -> None:
    """Record a prescription as a prescriber would write it; warnings are accepted."""
    record_prescription(
        desk,
        PrescriptionRequest(
            CUSTOMER,
            wearer,
            "Castellane",
            Prescription(read_eye(right), read_eye(left)),
            written_on or desk.today,
            accept=frozenset({"CHANGE-UNUSUAL", "ADD-CHANGE"}),
        ),
    )
