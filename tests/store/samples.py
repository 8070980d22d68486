"""A few entries for store tests: people, a catalogue, and one order with everything an order can hold."""

from __future__ import annotations

from datetime import UTC, date, datetime

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import AcceptedWarning, Charge, Order, OrderLine, Pair
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.money.tax import TaxRounding
from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from shopledger.store.opening import Ledger
from shopledger.store.work import UnitOfWork
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, GRADUAL, HOME, INCLUDED, LARK, SINGLE, WREN

NOW = datetime(2026, 3, 2, 15, 4, 5, tzinfo=UTC)
DAY = date(2026, 3, 2)
OPERATOR = "Ines"
ADULT, MINOR = 1, 2
"""Numbers of the two wearers that `welcome` adds."""

POWERS = Prescription(
    EyePrescription(SphereCylinder(-2.5, -1.25, 90), 2.0, (Prism(1.5, Base.UP), Prism(0.5, Base.IN))),
    EyePrescription(SphereCylinder(-2.25), 2.0, balance=True),
)


def welcome(work: UnitOfWork) -> Customer:
    """Add a customer with two wearers, a prescriber and one prescription; gives the customer, number 1."""
    customer = work.customers.add(Customer(CUSTOMER, HOME, "555-0142", "odalys@example.com"))
    work.customers.add_wearer(Wearer(CUSTOMER, 1))
    work.customers.add_wearer(Wearer(CHILD, 1, Relationship.CHILD, date(2015, 5, 9), "M-77"))
    work.customers.add_prescriber(Prescriber("Dr. Imre Castellane", "555-0177", "1234567893"))
    work.prescriptions.add(
        WrittenPrescription(ADULT, 1, POWERS, date(2026, 1, 5), date(2027, 1, 5), 1.25, "drawer 3"),
        (AcceptedWarning("CHANGE-UNUSUAL", "The change is unusual."),),
    )
    return customer


def stock(work: UnitOfWork) -> None:
    """Add two frames, two lenses, an extra, an accessory and an offer."""
    for frame in (WREN, LARK):
        work.catalogue.add_frame(frame)
    for lens in (SINGLE, GRADUAL):
        work.catalogue.add_lens(lens)
    work.catalogue.add_extra(CLEAR)
    work.catalogue.add_accessory(CASE)
    work.catalogue.add_offer(INCLUDED)


def an_order(customer_number: int = 1, day: date = DAY) -> Order:
    """Give an order of two pairs and an accessory, not stored yet."""
    made = Prescription(
        EyePrescription(SphereCylinder(-0.5, -1.25, 90), prism=(Prism(1.5, Base.UP),)),
        EyePrescription(SphereCylinder(-1.125), balance=True),
    )
    return Order(
        customer_number=customer_number,
        day=day,
        ship_to=HOME,
        pairs=(
            Pair(1, ADULT, WREN.code, SINGLE.code, LensUse.SCREEN, (CLEAR.code,), 1, made,
                 Measurements.from_binocular(63.25, 60, 18, 18.5), "screens at 60 cm"),
            Pair(2, MINOR, LARK.code, SINGLE.code, LensUse.DISTANCE),
        ),
        lines=(
            OrderLine(LineKind.FRAME, WREN.code, WREN.description, 18000, 0, 18000, TaxCategory.PRESCRIPTION_EYEWEAR,
                      Reimbursement.ELIGIBLE, "part of glasses", pair=1, wearer_number=ADULT),
            OrderLine(LineKind.LENSES, SINGLE.code, SINGLE.name, 8000, 8000, 0, TaxCategory.PRESCRIPTION_EYEWEAR,
                      Reimbursement.PLAN_DECIDES, "included", pair=1, wearer_number=ADULT, offer_code=INCLUDED.code,
                      charges=(Charge("right lens", Side.RIGHT, "V2103", 4000, 4000, 0),
                               Charge("left lens", Side.LEFT, "V2100", 4000, 4000, 0, note="chosen by the owner"))),
            OrderLine(LineKind.ACCESSORY, CASE.code, CASE.name, 2400, 0, 2400, TaxCategory.ACCESSORY,
                      Reimbursement.NOT_ELIGIBLE, "a case", 72_500, 174, 2),
        ),
        tax_rounding=TaxRounding.PER_LINE,
        accepted=(AcceptedWarning("PD-WIDE", "The PD is wide."), AcceptedWarning("PD-WIDE", "The PD is wide again.")),
        note="by post",
    )  # fmt: skip


def furnish(ledger: Ledger) -> None:
    """Put the people and the catalogue into a ledger."""
    with ledger.writing(OPERATOR, NOW) as work:
        welcome(work)
        stock(work)
