"""What the shop's papers are tested on: an order for two wearers, and the receipts of both."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from shopledger.ledger.books.journal import EMPTY_HEAD
from shopledger.ledger.orders import Method, Order, OrderAccount, Pair, Payment
from shopledger.ledger.papers.order_facts import OrderNames
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.pricing import AccessoryGoods, PairGoods, Sold, Terms, price_order
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.receipt_making import ReceiptParties, receipt_content
from shopledger.ledger.settings import Settings
from shopledger.ledger.sharing import part_for
from shopledger.money.tax import TaxRounding
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from tests.parcels import whole_parcel
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, GRADUAL, HOME, INCLUDED, LARK, OHIO, SHADES, SHOP, SINGLE, WREN

DAY = date(2026, 3, 2)
SHIPPED = date(2026, 3, 9)
MADE = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), read_eye("-2.25 -1.00 x 085 add 2.00"))
PAYER = Customer(CUSTOMER, HOME, number=4)
ADULT = Wearer(CUSTOMER, 4, number=1)
YOUNG = Wearer(CHILD, 4, Relationship.CHILD, date(2015, 5, 9), "M-77", number=2)
WRITTEN = WrittenPrescription(1, 3, MADE, date(2026, 2, 20), number=8)
DOCTOR = Prescriber("Dr. Imre Castellane", npi="1234567893", number=3)
FRAMES = {"WREN-52": WREN.description, "LARK-48": LARK.description}
LENSES = {"PROG-14": GRADUAL.name, "SV-150": SINGLE.name}
NAMES = OrderNames({1: CUSTOMER, 2: CHILD}, FRAMES, LENSES, {"CLEAR": CLEAR.name})
PARTIES = ReceiptParties(
    SHOP, PAYER, ADULT, {8: (WRITTEN, DOCTOR)}, FRAMES, LENSES,
    {lens.code: lens.design for lens in (SINGLE, GRADUAL)}, {INCLUDED.code: INCLUDED.name},
)  # fmt: skip


def order(day: date = DAY, number: int | None = 12) -> Order:
    """A progressive pair with a coating for the adult, a single vision pair for the child, goods beside, shipping."""
    goods = [
        PairGoods(1, 1, WREN, (Sold(GRADUAL),), (Sold(CLEAR),), LensUse.MULTIFOCAL, MADE),
        PairGoods(2, 2, LARK, (Sold(SINGLE),), (), LensUse.DISTANCE, MADE),
    ]
    terms = Terms(day, "OH", (INCLUDED,), OHIO, Settings(), 695)
    lines = price_order(goods, [AccessoryGoods(CASE, 2, 1), AccessoryGoods(SHADES, 1, None)], terms)
    pairs = tuple(
        Pair(
            each.position, each.wearer_number, each.frame.code, each.lenses[0].goods.code, each.use,
            tuple(extra.goods.code for extra in each.extras), 8, MADE, job_number=70 + each.position,
        )
        for each in goods
    )  # fmt: skip
    return Order(4, day, HOME, pairs, lines, TaxRounding.PER_LINE, number=number)


def account(*paid: tuple[date, int], shipped: bool = True, day: date = DAY, number: int = 12) -> OrderAccount:
    """The order, paid in those amounts on those days."""
    payments = tuple(Payment(number, on, amount, Method.CARD, "4242", at) for at, (on, amount) in enumerate(paid, 1))
    sold = order(day, number)
    return OrderAccount(sold, payments, (whole_parcel(sold, SHIPPED, "post", "9400 11", 1),) if shipped else ())


def paid_account() -> OrderAccount:
    """The order, paid in full on its day."""
    return account((DAY, order().total))


def receipt(given: OrderAccount | None = None, wearer: Wearer = ADULT) -> ReceiptContent:
    """The receipt of one wearer."""
    chosen = given or paid_account()
    part = part_for(chosen, wearer.number or 0)
    assert part is not None
    return receipt_content(5, DAY, chosen, part, replace(PARTIES, wearer=wearer), EMPTY_HEAD)
