"""Bills on pages: recorded by somebody who knows no categories, paid, changed, and taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.counter.station import Station
from shopledger.desk.books.bills import bill_account, bills
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.context import Desk
from shopledger.desk.people import add_supplier, supplier_card, suppliers
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.suppliers import Supplier
from tests.counter.visitor import Visitor
from tests.desk.family import DISTANCE, ordered

FRAMES = {"supplier": "Tollgate Frames", "goods_1": "WREN-52", "count_1": "6", "cost_1": "61.00"}


@pytest.fixture(autouse=True)
def known(desk: Desk) -> None:
    """Know a supplier of frames and a lab."""
    add_supplier(desk, Supplier("Tollgate Frames"))
    add_supplier(desk, Supplier("Brightwater Lab"))


def on_hand(desk: Desk, code: str) -> int:
    """Give what lies on the shelf of an item."""
    return next(each.on_hand for each in stock_now(desk) if each.item_code == code)


def test_a_bill_begins_with_what_it_is_for(visitor: Visitor) -> None:
    """In plain words, with an expense among them, since not all paper is a bill."""
    said = visitor.go("/bills/new").words
    for words in ("Frames and accessories", "Lenses and lab work", "Rent, power, supplies", "It was paid at once"):
        assert words in said


def test_a_bill_begins_at_its_supplier(visitor: Visitor) -> None:
    """Whoever comes from a supplier's page types no name."""
    assert "?supplier=Tollgate%20Frames" in visitor.go("/suppliers/2").text + visitor.go("/suppliers/1").text
    visitor.go("/bills/new?supplier=Tollgate Frames")
    visitor.go("/bills/new/goods?supplier=Tollgate Frames")
    assert visitor.form(has="supplier").values["supplier"] == ["Tollgate Frames"]


def test_a_frame_bill_brings_goods_with_their_freight(visitor: Visitor, desk: Desk) -> None:
    """Goods are on hand, what is owed stands on the bill's card, and freight is a part of their cost."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/bills/new/goods").send({**FRAMES, "invoice": "TG-4471", "due_on": "2026-04-01", "freight": "14"})
    account = bill_account(desk, 1)
    assert visitor.path == "/bills/1"
    assert (account.balance, account.bill.lines[0].landed, on_hand(desk, "WREN-52")) == (38000, 38000, before + 6)
    assert "$380.00" in visitor.words
    assert "TG-4471" in visitor.go("/bills").words


def test_a_rent_bill_needs_no_knowledge_of_categories(visitor: Visitor, desk: Desk) -> None:
    """The list says in plain words what each is for, with its line of Schedule C beside it."""
    page = visitor.go("/bills/new/other")
    assert "Rent of the shop's rooms (Schedule C line 20b)" in page.words
    page.send({"supplier": "Tollgate Frames", "category_1": "rent-of-premises", "spent_1": "850", "paid": "bank"})
    account = bill_account(desk, 1)
    assert (account.balance, account.paid) == (0, 85000)
    assert "in full" in visitor.words


def test_a_lab_bill_is_by_job(visitor: Visitor, desk: Desk) -> None:
    """The jobs that are open can be chosen from."""
    record_sale(desk, ordered(DISTANCE))
    page = visitor.go("/bills/new/lab-work")
    assert 'value="1"' in page.text
    page.send({"supplier": "Brightwater Lab", "job_1": "1", "amount_1": "42.50", "words_1": "pair of lenses"})
    line = bill_account(desk, 1).bill.lines[0]
    assert (line.job_number, line.amount, line.description) == (1, 4250, "pair of lenses")


def test_several_kinds_stand_on_one_bill(visitor: Visitor, desk: Desk) -> None:
    """Lines that stay empty do not matter."""
    visitor.go("/bills/new/mixed").send(
        {**FRAMES, "goods_1": "", "count_1": "", "cost_1": "", "goods_3": "CASE", "count_3": "2", "cost_3": "4",
         "category_2": "supplies", "spent_2": "18", "about_2": "cloths"}
    )  # fmt: skip
    assert [each.words for each in bill_account(desk, 1).bill.lines] == ["2 CASE", "supplies"]


def test_more_lines_are_given_and_nothing_typed_is_lost(visitor: Visitor, desk: Desk) -> None:
    """The button keeps what stands there; nothing is stored by it."""
    visitor.go("/bills/new/goods").send({**FRAMES, "more": "yes"})
    assert bills(desk) == ()
    form = visitor.form(has="goods_9")
    assert form.values["cost_1"] == ["61.00"]
    visitor.send({"goods_9": "CASE", "count_9": "1", "cost_9": "4"})
    assert len(bill_account(desk, 1).bill.lines) == 2


def test_a_bill_sent_twice_is_stored_once(visitor: Visitor, desk: Desk) -> None:
    """Neither goods nor debts are doubled by a second press."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/bills/new/goods").send(FRAMES, again=True)
    assert "recorded already" in visitor.words
    assert (len(bills(desk)), on_hand(desk, "WREN-52")) == (1, before + 6)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("supplier", "Nobody Known", "no supplier called"),
        ("goods_1", "NOWHERE-9", "nothing on the shelf has this code"),
        ("count_1", "", "this line was begun"),
        ("cost_1", "6I.00", "an amount is"),
        ("day", "someday", "typed as 2026-03-02"),
        ("due_on", "2020-01-01", "the bill is of"),
        ("freight", "-3", "may not be negative"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    visitor: Visitor, desk: Desk, field: str, typed: str, said: str
) -> None:
    """All that was typed stands there again, and nothing is stored."""
    visitor.go("/bills/new/goods").send({**FRAMES, field: typed})
    assert visitor.code == 422
    assert said.casefold() in visitor.words.casefold()
    assert f'href="#f-{field}"' in visitor.text
    kept = visitor.form(has="goods_1").values
    assert {name: kept[name] for name in FRAMES if name != field} == {
        name: [value] for name, value in FRAMES.items() if name != field
    }
    assert bills(desk) == ()


def test_a_supplier_is_added_on_the_way(visitor: Visitor, desk: Desk) -> None:
    """The page comes back to the bill that was begun."""
    visitor.go("/bills/new/goods").send({**FRAMES, "supplier": "Alder Row Estates"})
    assert 'href="/suppliers/new?next=/bills/new/goods"' in visitor.text
    visitor.go("/suppliers/new?next=/bills/new/goods").send({"name": "Alder Row Estates", "phone": "555-0144"})
    assert visitor.path == "/bills/new/goods"
    visitor.send({"supplier": "Alder Row Estates"})
    assert bill_account(desk, 1).supplier == "Alder Row Estates"


def test_a_bill_is_paid_from_its_card(visitor: Visitor, desk: Desk) -> None:
    """What is owed stands there already; a part may be paid, and a discount be taken."""
    visitor.go("/bills/new/goods").send(FRAMES)
    visitor.go("/bills/1/pay")
    assert visitor.form(has="amount").values["amount"] == ["366.00"]
    visitor.send({"amount": "300", "method": "bank", "discount": "6"})
    assert bill_account(desk, 1).balance == 6000
    assert "60.00 is still owed" in visitor.words
    visitor.go("/bills/1/pay").send({"method": "bank"}, again=True)
    assert (bill_account(desk, 1).balance, len(bill_account(desk, 1).payments)) == (0, 2)


def test_more_than_is_owed_is_not_paid(visitor: Visitor, desk: Desk) -> None:
    """It is said, and nothing is stored."""
    visitor.go("/bills/new/goods").send(FRAMES)
    visitor.go("/bills/1/pay").send({"amount": "400", "method": "bank"})
    assert visitor.code == 422
    assert bill_account(desk, 1).payments == ()


def test_paying_out_of_an_empty_drawer_needs_a_yes(visitor: Visitor, desk: Desk) -> None:
    """The books know of no such cash; whoever knows better says so."""
    visitor.go("/bills/new/goods").send(FRAMES)
    visitor.go("/bills/1/pay").send({"method": "cash"})
    assert visitor.code == 422
    code = visitor.text.split('name="accept" value="')[1].split('"')[0]
    visitor.send({"method": "cash", "accept": code})
    assert bill_account(desk, 1).balance == 0


def test_a_price_changes_goods_go_back_and_money_comes_back(visitor: Visitor, desk: Desk) -> None:
    """Each with its reason, on the bill's card."""
    visitor.go("/bills/new/goods").send({**FRAMES, "paid": "bank"})
    visitor.go("/bills/1/change").send({"which": "allowance", "amount": "20", "reason": "two are scuffed"})
    assert bill_account(desk, 1).balance == -2000
    visitor.go("/bills/1/send-back").send({"item": "WREN-52", "quantity": "1", "credit": "61", "reason": "bent"})
    assert bill_account(desk, 1).balance == -8100
    visitor.go("/bills/1/refunded").send({"amount": "50", "method": "bank"})
    assert bill_account(desk, 1).balance == -3100
    visitor.go("/bills/new/goods").send({**FRAMES, "invoice": "second"})
    visitor.go("/bills/1/set-against").send({"other": "2"})
    assert (bill_account(desk, 1).balance, bill_account(desk, 2).balance) == (0, 36600 - 3100)
    said = visitor.go("/bills/1").words
    assert "two are scuffed" in said
    assert "bent" in said


def test_the_bill_itself_is_kept_and_shown(visitor: Visitor, station: Station) -> None:
    """What was sent as a file comes out byte for byte."""
    body = b"%PDF-1.4 a bill"
    visitor.go("/bills/new/goods").send({**FRAMES, "file": ("../bill of May.pdf", body)})
    assert "Kept with it" in visitor.words
    visitor.press("/bills/1/file")
    (written,) = Path(station.papers).iterdir()
    assert written.read_bytes() == body
    assert written.name in visitor.path


def test_a_path_that_is_typed_for_a_file_is_not_read(visitor: Visitor, desk: Desk, tmp_path: Path) -> None:
    """A browser sends files, and never the name of one that lies on the counter's own computer."""
    secret = tmp_path / "secret.pdf"
    secret.write_bytes(b"of the computer's own")
    visitor.go("/bills/new/goods").send({**FRAMES, "file": str(secret)})
    assert bill_account(desk, 1).bill.file_sha256 is None


def test_a_supplier_is_changed(visitor: Visitor, desk: Desk) -> None:
    """The card shows it with the bills that are open."""
    visitor.go("/bills/new/goods").send(FRAMES)
    visitor.go("/suppliers/1/change").send({"phone": "555-0142"})
    assert supplier_card(desk, "1").supplier.phone == "555-0142"
    assert "Bill 1" in visitor.words
    assert {each.name for each in suppliers(desk)} == {"Tollgate Frames", "Brightwater Lab"}
    assert "555-0142" in visitor.go("/suppliers").words


def test_what_was_owed_before_the_books_began_is_a_bill(visitor: Visitor, desk: Desk) -> None:
    """It brings nothing, and is owed."""
    visitor.go("/bills/new/before").send({"supplier": "Tollgate Frames", "owed_before": "120"})
    assert bill_account(desk, 1).balance == 12000


def test_hostile_text_stays_text(visitor: Visitor) -> None:
    """On the bill, in the lists and on the supplier's card."""
    visitor.go("/suppliers/new").send({"name": "<script>alert(1)</script>"})
    visitor.go("/bills/new/goods").send({**FRAMES, "supplier": "3", "note": "<b>x</b>", "invoice": "<i>1</i>"})
    for path in ("/bills/1", "/bills", "/suppliers", "/suppliers/3", "/bills/1/pay", "/bills/new/goods"):
        assert "<script>alert" not in visitor.go(path).text
        assert "<i>1" not in visitor.text


@pytest.mark.parametrize("path", ["/bills/9", "/bills/9/pay", "/suppliers/9", "/bills/new/nothing"])
def test_what_is_not_there_is_said(visitor: Visitor, path: str) -> None:
    """In a sentence, within the frame of every page."""
    assert visitor.go(path).code == 404
