"""Orders on pages: what stands, money, parcels, receipts, and all that is put right; each is stored once, or said."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.deposits import DepositRequest, deposits, take_deposit
from shopledger.desk.context import Desk
from shopledger.desk.drafts import open_drafts
from shopledger.desk.fixing import what_can_be_done
from shopledger.desk.order_lookups import order_account
from shopledger.desk.receipt_lookups import receipts
from shopledger.desk.sales import record_sale
from shopledger.desk.selling import sale_card
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.orders import AccessoryRequest, Method, OrderAccount
from shopledger.ledger.remedies import Fixable
from tests.counter.visitor import Visitor
from tests.desk.family import DISTANCE, FAMILY_ORDER, ordered, prescribe
from tests.shelf import CASE, CUSTOMER

SENT = {"carrier": "Post", "uninspected": "measured by hand"}


@pytest.fixture
def sold(visitor: Visitor, desk: Desk) -> Visitor:
    """Sell a pair and two cases to the customer, and look at the order."""
    record_sale(desk, ordered(DISTANCE, accessories=(AccessoryRequest(CASE.code, 2),)))
    return visitor.go("/orders/1")


def _account(desk: Desk, number: int = 1) -> OrderAccount:
    return order_account(desk, number)


def _codes(visitor: Visitor) -> list[str]:
    return [each.split('"')[0] for each in visitor.text.split('type="checkbox" name="accept" value="')[1:]]


def _twice(visitor: Visitor, fields: dict[str, object]) -> Visitor:
    """Send a form whose amount is asked about, and say yes."""
    visitor.send(fields)  # type: ignore[arg-type]
    assert visitor.code == 422, visitor.words
    assert any(code.startswith("COMES-TO") for code in _codes(visitor)), visitor.words
    visitor.send({"reason": fields.get("reason", "why"), "accept": _codes(visitor)})  # type: ignore[dict-item]
    assert visitor.code == 200, visitor.words
    return visitor


def test_an_order_s_page_says_where_everything_stands(sold: Visitor) -> None:
    """Lines with codes, what is owed, jobs and powers; and it stands in the list of the newest."""
    for said in ("Harrow Row Wren", "V2103 RT", "Job 1", "-2.50 -1.25 x 090", "is owed", "Take a payment"):
        assert said in sold.words
    assert CUSTOMER in sold.go("/orders").words


def test_a_family_s_order_is_shown_too(visitor: Visitor, desk: Desk) -> None:
    """With four pairs, goods of several and a payment."""
    record_sale(desk, FAMILY_ORDER)
    said = visitor.go("/orders/1").words
    assert "Wren Fernhollow" in said
    assert "by card 4242" in said


def test_an_order_that_is_not_there_is_said(visitor: Visitor) -> None:
    """In a sentence."""
    assert visitor.go("/orders/99").code == 404


def test_a_payment_is_taken_once(sold: Visitor, desk: Desk) -> None:
    """What is owed stands in the field already."""
    owed = _account(desk).balance
    sold.go("/orders/1/pay").send({"method": "check", "reference": "1042"}, again=True)
    account = _account(desk)
    assert [(each.amount, each.method, each.reference) for each in account.payments] == [(owed, Method.CHECK, "1042")]
    assert "recorded already" in sold.words


@pytest.mark.parametrize(
    ("fields", "field", "said"),
    [
        ({"amount": "9999"}, "amount", "still owed"),
        ({"amount": ""}, "amount", "empty"),
        ({"amount": "x"}, "amount", "amount"),
        ({"reference": "4111 1111 1111 1111"}, "reference", "card"),
        ({"day": "2026-02-01"}, "day", "2026"),
    ],
)
def test_a_payment_that_cannot_be_is_said_at_its_field(
    sold: Visitor, desk: Desk, fields: dict[str, str], field: str, said: str
) -> None:
    """Nothing is stored."""
    sold.go("/orders/1/pay").send(fields)
    assert sold.code == 422
    assert said in sold.words
    assert f'href="#f-{field}"' in sold.text
    assert _account(desk).payments == ()


def test_an_order_is_paid_out_of_a_deposit(sold: Visitor, desk: Desk) -> None:
    """Of the customer's own, which is chosen already."""
    take_deposit(desk, DepositRequest(CUSTOMER, 5000, Method.CASH))
    sold.go("/orders/1")
    assert "Pay out of a deposit" in sold.words
    sold.go("/orders/1/from-deposit").send({"amount": ""})
    assert _account(desk).paid == 5000
    assert deposits(desk) == ()


def test_a_parcel_leaves_with_all_that_is_here(sold: Visitor, desk: Desk) -> None:
    """An uninspected job asks for a reason first."""
    sold.go("/orders/1/send").send({"carrier": "Post"})
    assert sold.code == 422
    assert _account(desk).parcels == ()
    sold.send(SENT)
    (parcel,) = _account(desk).parcels
    assert (parcel.carrier, parcel.jobs) == ("Post", (1,))
    assert "All of it left." in sold.words
    assert "measured by hand" in sold.words


def test_a_part_of_an_order_leaves(sold: Visitor, desk: Desk) -> None:
    """Only what is ticked and counted; nothing at all is no parcel."""
    place = next(each.place for each in kept_lines(_account(desk)) if each.line.item_code == "CASE")
    sold.go("/orders/1/send").send({**SENT, "jobs": [], f"line_{place}": ""})
    assert "nothing lies in it" in sold.words
    sold.send({"carrier": "Post", "uninspected": "", "jobs": [], f"line_{place}": "1"})
    assert sold.code == 200, sold.words
    (parcel,) = _account(desk).parcels
    assert (parcel.jobs, parcel.count(place)) == ((), 1)
    assert "A part of it left" in sold.words


def test_a_parcel_comes_back_and_leaves_again(sold: Visitor, desk: Desk) -> None:
    """Each from what can be done about the parcel."""
    sold.go("/orders/1/send").send(SENT)
    sold.go("/put-right/parcel/1")
    assert "/orders/1/parcels/1/returned" in sold.text
    sold.go("/orders/1/parcels/1/returned").send({"reason": "nobody there"})
    assert "came back" in sold.words
    sold.go("/orders/1/parcels/1/again").send({"tracking": "AB 1234 5678"})
    assert sold.code == 200, sold.words
    assert len(_account(desk).parcels) == 2


def test_the_address_is_corrected_before_it_leaves(sold: Visitor, desk: Desk) -> None:
    """Another state is asked about at its field."""
    sold.go("/orders/1/address").send({"street": "9 New Street", "state": "IN"})
    assert 'href="#f-state"' in sold.text
    sold.send({"street": "9 New Street", "accept": _codes(sold)})
    assert _account(desk).ship_to.street == "9 New Street"


def test_a_receipt_is_issued_shown_and_replaced(sold: Visitor, desk: Desk) -> None:
    """It is frozen; a payment after it makes it one that was overtaken."""
    sold.go("/orders/1/receipt").send({"wearer": CUSTOMER})
    assert "not paid in full" in sold.words
    sold.send({"unpaid": "yes"})
    assert sold.path == "/papers/receipt-00001.pdf"
    assert "V2103" in sold.go("/receipts/1").words
    sold.go("/orders/1/pay").send({"method": "cash"})
    assert "overtaken" in sold.go("/receipts/1").words
    sold.go("/receipts/1/replace").send({"reason": "paid since"})
    assert [each.number for each in receipts(desk, 1)] == [2, 1]
    assert "Receipt 2 took its place" in sold.go("/receipts/1").words
    sold.go("/receipts/2/claimed").send({"day": ""})
    assert receipts(desk, 1)[0].claimed_on == desk.today


def test_papers_of_order_and_receipt_are_printed(sold: Visitor) -> None:
    """Each goes to the page of its file."""
    sold.go("/orders/1/pay").send({"method": "cash"})
    sold.go("/orders/1/send").send(SENT)
    sold.go("/orders/1/receipt").send({"wearer": CUSTOMER})
    for page, button in (
        ("/orders/1", "/orders/1/print/confirmation"),
        ("/orders/1", "/orders/1/print/packing"),
        ("/orders/1", "/orders/1/parcels/1/slip"),
        ("/receipts/1", "/receipts/1/print"),
        ("/receipts/1", "/receipts/1/statement"),
    ):
        sold.go(page).press(button)
        assert sold.path.startswith("/papers/"), button
    sold.go("/receipts/1/worksheet").send({"diagnoses": "H52.13"})
    assert sold.path.startswith("/papers/")
    made = sorted(each.suffix for each in sold.station.papers.iterdir())
    assert len(made) >= 6
    assert set(made) == {".pdf"}


def test_an_order_is_cancelled(sold: Visitor, desk: Desk) -> None:
    """With what is to be paid back."""
    sold.go("/orders/1/pay").send({"method": "card", "reference": "4242"})
    sold.go("/orders/1/cancel").send({"reason": "changed her mind"})
    assert "Pay back" in sold.words
    assert _account(desk).cancellation is not None
    assert "Take a payment" not in sold.go("/orders/1").words


def test_money_is_given_back_line_by_line(sold: Visitor, desk: Desk) -> None:
    """What it comes to is said before it is stored; a line that is not named gives nothing."""
    sold.go("/orders/1/pay").send({"method": "card"})
    sold.go("/orders/1/send").send(SENT)
    place = next(each.place for each in kept_lines(_account(desk)) if each.line.item_code == "CASE")
    sold.go("/orders/1/refund").send({"reason": "scratched", "method": "card"})
    assert "nothing is named" in sold.words
    _twice(sold, {f"back_{place}": "1", f"line_{place}": "12", "reason": "scratched", "method": "card"})
    (refund,) = _account(desk).refunds
    assert [(part.line, part.net) for part in refund.parts] == [(place, 1200)]


def test_all_that_is_left_is_given_back_as_credit(sold: Visitor, desk: Desk) -> None:
    """It waits in a deposit."""
    sold.go("/orders/1/pay").send({"method": "cash"})
    _twice(sold.go("/orders/1/refund"), {"all": "yes", "reason": "sent back", "method": "credit"})
    assert len(deposits(desk)) == 1


def test_less_is_owed_on_a_line(sold: Visitor, desk: Desk) -> None:
    """By an amount before tax."""
    before = _account(desk).balance
    _twice(sold.go("/orders/1/reduce"), {"line_1": "25", "reason": "late"})
    assert _account(desk).balance == before - 2500


def test_a_price_is_agreed_afterwards(sold: Visitor, desk: Desk) -> None:
    """Lines whose price is left as it stands stay."""
    _twice(sold.go("/orders/1/price"), {"line_1": "150", "reason": "agreed by phone"})
    assert CorrectionKind.PUT_RIGHT in {each.kind for each in _account(desk).corrections}
    sold.go("/orders/1/price").send({"reason": "again"})
    assert "no price is another" in sold.words


def test_what_was_forgotten_comes_in(sold: Visitor, desk: Desk) -> None:
    """Goods, or a frame whose demo lenses are told of, at a price agreed."""
    _twice(sold.go("/orders/1/add"), {"code": "SHADES", "price": "40", "wearer": "1", "reason": "forgotten"})
    sold.go("/orders/1/add").send({"code": "LARK-48", "reason": "forgotten"})
    assert 'href="#f-demo"' in sold.text
    _twice(sold, {"code": "LARK-48", "demo": "marked", "wearer": "nobody", "reason": "forgotten"})
    codes = {line.item_code: line.net for line in _account(desk).order.lines}
    assert codes["SHADES"] == 4000
    assert "LARK-48" in codes


def test_what_is_not_wanted_goes_out(sold: Visitor, desk: Desk) -> None:
    """One of two cases, then the whole pair."""
    place = next(each.place for each in kept_lines(_account(desk)) if each.line.item_code == "CASE")
    _twice(sold.go("/orders/1/take-out"), {"lines": [str(place)], "count": "1", "reason": "one is enough"})
    _twice(sold.go("/orders/1/take-out"), {"pairs": ["1"], "reason": "not wanted"})
    assert _account(desk).order.standing_pairs == ()


def test_goods_that_left_are_exchanged(sold: Visitor, desk: Desk) -> None:
    """For something of the same kind."""
    sold.go("/orders/1/send").send(SENT)
    place = next(each.place for each in kept_lines(_account(desk)) if each.line.item_code == "CASE")
    _twice(sold.go("/orders/1/exchange"), {"line": str(place), "code": "SHADES", "reason": "rather these"})
    assert CorrectionKind.EXCHANGED in {each.kind for each in _account(desk).corrections}


def test_a_job_that_is_not_cut_is_put_right(sold: Visitor, desk: Desk) -> None:
    """What stays as it stands in the form stays; the job has another number."""
    shown = sold.go("/orders/1/jobs/1/put-right").form(has="pd").values
    assert (shown["frame"], shown["lens"]) == (["WREN-52"], ["SV-150"])
    _twice(sold, {"pd": "62", "extras": ["CLEAR"], "reason": "misread"})
    (pair,) = _account(desk).order.standing_pairs
    assert pair.job_number == 2
    assert pair.measurements is not None
    assert (pair.measurements.pd, pair.extras, pair.frame_code) == (62.0, ("CLEAR",), "WREN-52")


def test_a_job_of_which_nothing_changes_is_said(sold: Visitor, desk: Desk) -> None:
    """Nothing is stored."""
    sold.go("/orders/1/jobs/1/put-right").send({"reason": "nothing"})
    assert "nothing on it would change" in sold.words
    assert _account(desk).corrections == ()


def test_a_frame_that_broke_in_work_is_replaced(sold: Visitor, desk: Desk) -> None:
    """By another of the same, without charge."""
    before = _account(desk).balance
    _twice(sold.go("/orders/1/jobs/1/frame-broken"), {"reason": "temple snapped"})
    assert _account(desk).balance == before
    assert _account(desk).order.standing_pairs[0].job_number == 2


def test_a_payment_is_put_right_moved_and_taken_back(sold: Visitor, desk: Desk) -> None:
    """Each from what can be done about it."""
    record_sale(desk, ordered(DISTANCE))
    sold.go("/orders/1/pay").send({"method": "check", "amount": "100"})
    sold.go("/put-right/payment/1")
    for deed in ("correct", "move", "reverse"):
        assert f"/orders/1/payments/1/{deed}" in sold.text
    sold.go("/orders/1/payments/1/correct").send({"amount": "90", "reason": "misread"})
    assert _account(desk).paid == 9000
    sold.go("/orders/1/payments/2/move").send({"other": "2", "amount": "40", "reason": "for the other one"})
    assert _account(desk, 2).paid == 4000
    sold.go("/orders/1/payments/2/reverse").send({"fee": "12", "reason": "not enough funds"})
    assert _account(desk).paid == 0


def test_a_dispute_is_won(sold: Visitor, desk: Desk) -> None:
    """A card payment that was disputed comes again."""
    sold.go("/orders/1/pay").send({"method": "card", "amount": "100"})
    sold.go("/orders/1/payments/1/reverse").send({"reason": "disputed"})
    assert "/orders/1/payments/1/dispute-won" in sold.go("/put-right/payment/1").text
    sold.go("/orders/1/payments/1/dispute-won").send({"reason": "decided for the shop"})
    assert _account(desk).paid == 10000


def test_a_rest_is_written_off_and_paid_after_all(sold: Visitor, desk: Desk) -> None:
    """And owed again."""
    owed = _account(desk).balance
    sold.go("/orders/1/write-off").send({"reason": "cannot be reached"})
    assert _account(desk).balance == 0
    sold.go("/orders/1/revive").send({"reason": "wrote again"})
    assert _account(desk).balance == owed


def test_an_order_is_drafted_once_more(sold: Visitor, desk: Desk) -> None:
    """For one recorded wrongly: the draft's page comes next."""
    sold.go("/orders/1/copy").send({"wearer": ""})
    (draft,) = open_drafts(desk)
    assert sold.path == f"/drafts/{draft.number}"


@pytest.mark.slow
@pytest.mark.parametrize("sent", [False, True])
@pytest.mark.parametrize("paid", [False, True])
def test_every_remedy_of_an_order_has_its_page(sold: Visitor, desk: Desk, sent: bool, paid: bool) -> None:
    """Whatever can be done now, or instead, leads to a page that is there."""
    if paid:
        sold.go("/orders/1/pay").send({"method": "card"})
        sold.go("/orders/1/receipt").send({"wearer": CUSTOMER})
    if sent:
        sold.go("/orders/1/send").send(SENT)
    asked = [("order", 1), ("job", 1)]
    asked += [("payment", 1), ("receipt", 1)] if paid else []
    asked += [("parcel", 1)] if sent else []
    for what, number in asked:
        page = sold.go(f"/put-right/{what}/{number}")
        assert page.code == 200
        found = what_can_be_done(desk, Fixable(what), number)
        links = [each.split('"')[0] for each in page.text.split("<h1>")[1].split('href="')[1:]]
        links = [each for each in links if each.startswith("/") and each != "/keys"]
        assert len(links) >= len([each for each in found.remedies if each.command]) - 1
        for link in links:
            if not link.startswith("/jobs/"):
                assert sold.go(link).code == 200, link


def test_what_is_nothing_has_no_remedies(visitor: Visitor) -> None:
    """A kind that nobody knows is said so."""
    assert visitor.go("/put-right/spoon/1").code == 404


def test_hostile_text_is_shown_as_text(sold: Visitor) -> None:
    """On the order's page too."""
    sold.go("/orders/1/write-off").send({"reason": "<script>alert(1)</script>"})
    assert "<script>alert" not in sold.go("/orders/1").text


def test_a_pair_that_was_forgotten_comes_in(sold: Visitor, desk: Desk) -> None:
    """By the same fields as in a sale; what is wrong is said at its field."""
    assert "/orders/1/add-pair/2" in sold.go("/orders/1/add").text
    sold.go("/orders/1/add-pair/2").send({"p1_frame": "LARK-48", "p1_lens": "SV-150", "reason": "forgotten"})
    assert 'href="#f-p1_pd"' in sold.text
    sold.send({"p1_pd": "54", "reason": "forgotten"})
    assert any(code.startswith("COMES-TO") for code in _codes(sold))
    sold.send({"reason": "forgotten", "accept": _codes(sold)})
    assert sold.code == 200, sold.words
    assert [pair.frame_code for pair in _account(desk).order.standing_pairs] == ["WREN-52", "LARK-48"]


def test_what_is_wrong_with_a_refund_or_a_correction_is_said(sold: Visitor) -> None:
    """From the order's page, with what is done instead."""
    _twice(sold.go("/orders/1/reduce"), {"line_1": "25", "reason": "late"})
    sold.go("/orders/1/pay").send({"method": "card"})
    _twice(sold.go("/orders/1/refund"), {"line_1": "10", "reason": "scratched", "method": "card"})
    page = sold.go("/orders/1").text
    for what in ("refund", "correction"):
        assert f"/put-right/{what}/1" in page
        assert "Order 1" in sold.go(f"/put-right/{what}/1").words


def test_a_claim_code_is_chosen_where_a_job_is_put_right(sold: Visitor, desk: Desk) -> None:
    """What stands to choose is said with its words, at the eye that it is for."""
    prescribe(desk, CUSTOMER, "-7.50 -2.25 x 090", "-7.25 -2.00 x 085", date(2026, 3, 1))
    number = max(each.number or 0 for each in sale_card(desk, CUSTOMER).wearers[0].prescriptions)
    sold.go("/orders/1/jobs/1/put-right").send({"prescription": str(number), "reason": "the other one"})
    assert 'href="#f-right_code"' in sold.text
    assert "V2112 (single vision, sphere 7.25 to 12.00, cylinder 2.25 to 4.00)" in sold.words
    _twice(sold, {"right_code": "V2112", "prescription": str(number), "reason": "the other one"})
    assert _account(desk).order.standing_pairs[0].prescription_number == number
