"""What a claim receipt says of an order, and that what it says can be frozen and read back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.books.journal import EMPTY_HEAD
from shopledger.ledger.canonical import content_hash, thawed
from shopledger.ledger.orders import Method, Order, OrderAccount, Pair, Payment
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.pricing import AccessoryGoods, PairGoods, Sold, Terms, price_order
from shopledger.ledger.receipt import ReceiptContent, Replaced
from shopledger.ledger.receipt_making import ReceiptParties, receipt_content
from shopledger.ledger.settings import Settings
from shopledger.ledger.sharing import part_for
from shopledger.money.tax import TaxRounding
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from tests.parcels import whole_parcel
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, HOME, INCLUDED, LARK, SHADES, SHOP, SINGLE, WREN

DAY = date(2026, 3, 2)
MADE = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 085"))
PAYER = Customer(CUSTOMER, HOME, number=4)
ADULT = Wearer(CUSTOMER, 4, number=1)
YOUNG = Wearer(CHILD, 4, Relationship.CHILD, date(2015, 5, 9), "M-77", number=2)
WRITTEN = WrittenPrescription(1, 3, MADE, date(2026, 2, 20), number=8)
DOCTOR = Prescriber("Dr. Imre Castellane", npi="1234567893", number=3)
PARTIES = ReceiptParties(
    SHOP, PAYER, ADULT, {8: (WRITTEN, DOCTOR)}, {"WREN-52": WREN.description, "LARK-48": LARK.description},
    {"SV-150": SINGLE.name}, {"SV-150": SINGLE.design}, {INCLUDED.code: INCLUDED.name},
)  # fmt: skip


def account_of(*paid: int, shipped: bool = True) -> OrderAccount:
    """An order with a pair for each of two wearers, cases for nobody, and shipping."""
    goods = [
        PairGoods(1, 1, WREN, (Sold(SINGLE),), (Sold(CLEAR),), LensUse.DISTANCE, MADE),
        PairGoods(2, 2, LARK, (Sold(SINGLE),), (), LensUse.DISTANCE, MADE),
    ]
    terms = Terms(DAY, "OH", (INCLUDED,), (), Settings(), 695)
    lines = price_order(goods, [AccessoryGoods(CASE, 2, 1), AccessoryGoods(SHADES, 1, None)], terms)
    pairs = tuple(
        Pair(
            each.position,
            each.wearer_number,
            each.frame.code,
            "SV-150",
            each.use,
            (),
            8,
            MADE,
            job_number=70 + each.position,
        )
        for each in goods
    )
    order = Order(4, DAY, HOME, pairs, lines, TaxRounding.PER_LINE, number=12)
    payments = tuple(Payment(12, DAY, amount, Method.CARD, "4242", number) for number, amount in enumerate(paid, 1))
    return OrderAccount(order, payments, (whole_parcel(order, date(2026, 3, 9)),) if shipped else ())


def content_of(account: OrderAccount, wearer: Wearer = ADULT) -> ReceiptContent:
    """The receipt of one wearer."""
    part = part_for(account, wearer.number or 0)
    assert part is not None
    return receipt_content(5, DAY, account, part, replace(PARTIES, wearer=wearer), EMPTY_HEAD)


def test_it_names_shop_wearer_prescriber_and_days() -> None:
    """Everything a clerk asks for stands on it, taken from the parties and the order."""
    content = content_of(account_of())
    assert (content.shop_name, content.ein) == (SHOP.name, SHOP.ein)
    assert (content.wearer, content.customer) == (CUSTOMER, CUSTOMER)
    assert (content.prescriber, content.prescriber_npi) == ("Dr. Imre Castellane", "1234567893")
    assert content.prescription_day == "2026-02-20"
    assert (content.order_day, content.dispensed_on) == ("2026-03-02", "2026-03-09")


def test_a_child_is_named_with_relationship_birth_date_and_member_id() -> None:
    """The patient is the wearer; the customer stands beside as the payer."""
    content = content_of(account_of(), YOUNG)
    assert (content.wearer, content.customer, content.relationship) == (CHILD, CUSTOMER, "child")
    assert (content.wearer_birth_date, content.member_id) == ("2015-05-09", "M-77")


def test_only_the_wearers_own_lines_stand_on_it() -> None:
    """The other wearer's frame and goods for nobody stay away; the quantity of the cases is said."""
    words = [line.description for line in content_of(account_of()).lines]
    assert any("Wren" in each for each in words)
    assert not any("Lark" in each for each in words)
    assert not any("sunglasses" in each for each in words)
    assert any(each == "Hard case (quantity 2)" for each in words)


def test_each_line_says_what_it_is_and_which_offer_reduced_it() -> None:
    """The lenses that are included name the offer on each side; what was not reduced names none."""
    told = {line.words: line.offer for line in content_of(account_of()).lines}
    assert told == {
        "Prescription frame – Harrow Row Wren, moss, 52-18-140": "",
        "Single vision prescription lens, right – Clear single vision": "Single vision lenses included",
        "Single vision prescription lens, left – Clear single vision": "Single vision lenses included",
        "Anti-reflective coating, right lens": "",
        "Anti-reflective coating, left lens": "",
        "Hard case (quantity 2)": "",
    }


def test_a_side_stands_in_the_column_of_modifiers_only_beside_a_code() -> None:
    """Where there is none, the words carry it."""
    account = account_of()
    bare = tuple(
        replace(line, charges=tuple(replace(charge, code="") for charge in line.charges))
        for line in account.order.lines
    )
    said = content_of(replace(account, order=replace(account.order, lines=bare))).lines
    assert {line.modifier for line in said} == {""}
    assert [line.words[-4:] for line in said if " lens" in line.words] == ["(RT)", "(LT)", "(RT)", "(LT)"]


def test_a_receipt_in_the_place_of_an_earlier_form_marks_what_changed_alone() -> None:
    """That lines are told in more words now is no change, and no goods are gone by that."""
    account = account_of()
    part = part_for(account, 1)
    assert part is not None
    now = content_of(account)
    frame, *others = now.lines
    before = replace(now, form=3, lines=(replace(frame, list_price=1, charge=1), *others))
    old = thawed(ReceiptContent, before.canonical(), "receipt")
    said = receipt_content(6, DAY, account, part, PARTIES, EMPTY_HEAD, Replaced(5, "a slip", old))
    assert [line.description for line in said.lines if line.changed] == [frame.description]
    assert said.no_longer == ()


def test_until_when_a_prescription_may_be_used_is_told_as_written() -> None:
    """Beside its day; where none is written nothing is made up."""
    assert content_of(account_of()).prescription_expires == ()
    ends = replace(WRITTEN, expires_on=date(2028, 2, 20))
    account = account_of()
    part = part_for(account, 1)
    assert part is not None
    parties = replace(PARTIES, prescriptions={8: (ends, DOCTOR)})
    said = receipt_content(5, DAY, account, part, parties, EMPTY_HEAD)
    assert (said.prescription_day, said.prescription_expires) == ("2026-02-20", ("2028-02-20",))


def test_the_powers_made_stand_with_each_pair() -> None:
    """Job number and both powers head the pair's lines."""
    (pair,) = content_of(account_of()).pairs
    assert (pair.job_number, pair.right, pair.left) == (71, "-2.50 -1.25 x 090", "-2.25 -1.00 x 085")


def test_an_unshipped_order_has_no_day_of_dispensing() -> None:
    """Nothing is made up: the day stays empty until the glasses left."""
    assert content_of(account_of(shipped=False)).dispensed_on == ""


def test_a_shared_order_says_how_it_was_shared() -> None:
    """A reader can follow why a payment of 400.00 stands as a part of it."""
    assert "shared in proportion" in content_of(account_of(10000)).shared_note


@given(st.lists(st.integers(1, 12_000), max_size=4), st.sampled_from([ADULT, YOUNG]))
def test_the_sums_agree_and_it_reads_back_the_same(paid: list[int], wearer: Wearer) -> None:
    """Charges, shipping and tax are the total; total less payments is the balance; JSON gives the same content back."""
    content = content_of(account_of(*paid), wearer)
    assert sum(line.charge for line in content.lines) + content.shipping + content.tax == content.total
    assert sum(payment.amount for payment in content.payments) == content.paid
    assert content.total - content.paid == content.balance >= 0
    assert thawed(ReceiptContent, content.canonical(), "receipt") == content


def test_any_change_of_the_content_changes_its_hash() -> None:
    """The hash stands for every word and amount."""
    content = content_of(account_of())
    other = replace(content, wearer="Somebody Else")
    assert content_hash(content.canonical()) != content_hash(other.canonical())


def test_paid_in_full_means_nothing_is_owed() -> None:
    """The wearer's part is clear as soon as the whole order is."""
    account = account_of()
    # 180.00 frame, lenses included, coating 129.95, cases 24.00; 120.00 frame, lenses included; sunglasses 45.00; 6.95.
    assert account.order.total == 18000 + 12995 + 2400 + 12000 + 4500 + 695
    assert not content_of(account).paid_in_full
    assert content_of(account_of(account.order.total)).paid_in_full
