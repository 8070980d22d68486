"""Claim receipts: issued once, printed again the same, replaced when what was owed is paid."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.people import add_wearer
from shopledger.desk.receipt_lookups import receipt_numbered, receipts
from shopledger.desk.receipts import NotPaidError, issue_receipt, print_receipt
from shopledger.desk.sales import record_sale
from shopledger.desk.shop import shop_and_settings
from shopledger.errors import PaperworkError, RefusedError, ShopledgerError, UnknownNameError
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.parties import Relationship
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.places import templates_folder
from shopledger.store.refusals import NumberUnknownError, WordingLostError
from tests.desk.books import everything, on_both, words_in
from tests.desk.family import DISTANCE, FAMILY_ORDER, inspected, later, ordered, set_shop
from tests.desk.test_sales import TOTAL
from tests.shelf import CHILD, CUSTOMER


@pytest.fixture
def owing(desk: Desk) -> Desk:
    """Record the family's order, of which 400.00 is paid."""
    record_sale(desk, FAMILY_ORDER)
    return desk


@pytest.fixture
def paid(owing: Desk) -> Desk:
    """Pay and ship the family's order, and come back on the day it was shipped."""
    shipping_day = later(owing, date(2026, 3, 9))
    take_payment(shipping_day, 1, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    inspected(shipping_day)
    ship_order(shipping_day, 1, "post")
    return shipping_day


@on_both
def test_a_receipt_says_what_is_the_wearer_s(paid: Desk, tmp_path: Path) -> None:
    """The child's frame, included lenses, sunglasses and their tax; shipping in proportion; nothing owed."""
    # Of 1058.95 in charges 165.00 are the child's: of 6.50 for shipping that is 1.0128, so 1.01.
    content = issue_receipt(paid, 1, "Wren", tmp_path).receipt.content
    assert (content.wearer, content.relationship, content.wearer_birth_date) == (CHILD, "child", "2015-05-09")
    assert [line.charge for line in content.lines] == [12000, 0, 0, 4500]
    assert (content.shipping, content.tax, content.total) == (101, 326, 16927)
    assert (content.paid, content.balance) == (16927, 0)
    assert (content.order_day, content.dispensed_on) == ("2026-03-02", "2026-03-09")
    assert (content.prescriber, content.prescription_day) == ("Dr. Imre Castellane", "2026-03-02")
    assert content.shared_note


@on_both
def test_receipts_count_up_and_are_listed_newest_first(paid: Desk, tmp_path: Path) -> None:
    """One for each wearer of the order."""
    first = issue_receipt(paid, 1, CUSTOMER, tmp_path).receipt
    second = issue_receipt(paid, 1, CHILD, tmp_path).receipt
    assert (first.number, second.number) == (1, 2)
    assert receipts(paid) == receipts(paid, 1) == (second, first)
    assert receipts(paid, limit=1) == (second,)
    assert receipts(paid, 2) == ()
    assert receipt_numbered(paid, 1) == first


def test_a_receipt_carries_the_ledger_s_head(paid: Desk, tmp_path: Path) -> None:
    """It proves later that nothing before it was changed."""
    with paid.reading() as work:
        head = str(work.seals.head())
    assert issue_receipt(paid, 1, CHILD, tmp_path).receipt.content.ledger_head == head


@on_both
def test_a_copy_says_so_and_nothing_else_differs(paid: Desk, tmp_path: Path) -> None:
    """The frozen content stays as it was, and every copy is the same to the byte."""
    first = issue_receipt(paid, 1, CHILD, tmp_path)
    copy = print_receipt(later(paid, date(2029, 1, 1)), 1, tmp_path)
    copied = copy.file.read_bytes()
    again = print_receipt(later(paid, date(2030, 1, 1)), 1, tmp_path)
    assert first.file.name == "receipt-00001.pdf"
    assert copy.file.name == again.file.name == "receipt-00001-copy.pdf"
    assert again.file.read_bytes() == copied
    assert first.receipt.canonical == copy.receipt.canonical == again.receipt.canonical
    assert [printed.receipt.prints for printed in (first, copy, again)] == [1, 2, 3]
    assert "COPY" not in words_in(first.file)
    assert "COPY" in words_in(copy.file)


def test_a_copy_keeps_what_the_shop_was_called(paid: Desk, tmp_path: Path) -> None:
    """Papers already issued say what they said, whatever changes later."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    before = print_receipt(paid, 1, tmp_path).file.read_bytes()
    shop, settings = shop_and_settings(paid)
    set_shop(paid, replace(shop, name="Renamed Optics"), settings)
    assert print_receipt(paid, 1, tmp_path).file.read_bytes() == before


def test_the_frozen_content_is_canonical_and_hashed(paid: Desk, tmp_path: Path) -> None:
    """Sorted keys, no spare space, and the hash of just that."""
    receipt = issue_receipt(paid, 1, CHILD, tmp_path).receipt
    parsed = json.loads(receipt.canonical)
    assert json.dumps(parsed, ensure_ascii=False, separators=(",", ":"), sort_keys=True) == receipt.canonical
    assert receipt.sha256 == content_hash(receipt.canonical)


@on_both
def test_an_unpaid_receipt_is_refused(owing: Desk, tmp_path: Path) -> None:
    """Nothing is stored, no number is taken and no paper made; the sentence gives both ways on."""
    # Of 1068.71 the mother's part is 875.29, the child's 169.27, the cases' 24.15. Of the 400.00 paid they take
    # 327.6062, 63.3549 and 9.0389; the two cents left go to the larger rests, so the child's is 63.35 and owes 105.92.
    before = everything(owing)
    with pytest.raises(NotPaidError, match=re.escape("105.92 of what is Wren Fernhollow's is still owed.")) as refused:
        issue_receipt(owing, 1, CHILD, tmp_path)
    assert "'shopledger payment take'" in str(refused.value)
    assert "'--not-paid-in-full'" in str(refused.value)
    assert everything(owing) == before
    assert not list(tmp_path.glob("*.pdf"))


def test_an_unpaid_receipt_may_be_printed_as_what_it_is(owing: Desk, tmp_path: Path) -> None:
    """It says that it is not paid in full, and what is owed."""
    printed = issue_receipt(owing, 1, CHILD, tmp_path, not_paid_in_full=True)
    assert (printed.receipt.content.paid, printed.receipt.content.balance) == (6335, 10592)
    assert "NOT PAID IN FULL" in words_in(printed.file)


@on_both
def test_a_full_payment_replaces_an_unpaid_receipt(owing: Desk, tmp_path: Path) -> None:
    """The new one has its own number; the old one says what replaced it, wherever it is seen."""
    issue_receipt(owing, 1, CHILD, tmp_path, not_paid_in_full=True)
    take_payment(owing, 1, PaymentRequest(TOTAL - 40000, Method.CASH))
    new = issue_receipt(owing, 1, CHILD, tmp_path).receipt
    assert (new.number, new.content.balance) == (2, 0)
    assert receipt_numbered(owing, 1).replaced_by == 2
    old = print_receipt(owing, 1, tmp_path).file
    assert old.name == "receipt-00001-copy-replaced.pdf"
    assert "REPLACED BY RECEIPT 2" in words_in(old)


def test_an_unpaid_receipt_may_be_replaced_by_another(owing: Desk, tmp_path: Path) -> None:
    """After a further part is paid; only the last one stands."""
    issue_receipt(owing, 1, CHILD, tmp_path, not_paid_in_full=True)
    take_payment(owing, 1, PaymentRequest(100, Method.CASH))
    issue_receipt(owing, 1, CHILD, tmp_path, not_paid_in_full=True)
    take_payment(owing, 1, PaymentRequest(TOTAL - 40100, Method.CASH))
    issue_receipt(owing, 1, CHILD, tmp_path)
    assert [receipt.replaced_by for receipt in receipts(owing, 1)] == [None, 3, 2]


@on_both
def test_a_receipt_is_issued_once(paid: Desk, tmp_path: Path) -> None:
    """The sentence says how to print it again; the other wearer's is another."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    before = everything(paid)
    with pytest.raises(
        RefusedError, match=r"it was issued as number 1\. Print it again with 'shopledger receipt print 1'"
    ):
        issue_receipt(paid, 1, CHILD, tmp_path)
    assert everything(paid) == before


def test_a_wearer_with_nothing_on_the_order_is_refused(desk: Desk, tmp_path: Path) -> None:
    """The child has no part in an order for the mother alone."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    with pytest.raises(RefusedError, match="wearer is Wren Fernhollow; nothing on order 1 is for that person"):
        issue_receipt(desk, 1, CHILD, tmp_path)


def test_a_stranger_or_an_unknown_number_is_named(paid: Desk, tmp_path: Path) -> None:
    """Wearer, order and receipt."""
    with pytest.raises(UnknownNameError, match="Did you mean Wren Fernhollow"):
        issue_receipt(paid, 1, "Wrem", tmp_path)
    with pytest.raises(NumberUnknownError, match="there is no order 9"):
        issue_receipt(paid, 9, CHILD, tmp_path)
    with pytest.raises(NumberUnknownError, match="there is no receipt 9"):
        print_receipt(paid, 9, tmp_path)


@on_both
def test_a_name_that_cannot_be_printed_takes_no_number(desk: Desk, tmp_path: Path) -> None:
    """Papers are set in Latin, Greek and Cyrillic letters; the next receipt gets the number that was not taken."""
    add_wearer(desk, CUSTOMER, "\N{HIRAGANA LETTER A}\N{HIRAGANA LETTER I}", Relationship.OTHER)
    pair = replace(DISTANCE, wearer="3", without_prescription=True)
    record_sale(desk, ordered(pair, DISTANCE))
    take_payment(desk, 1, PaymentRequest(order_account(desk, 1).balance, Method.CASH))
    before = everything(desk)
    with pytest.raises(MissingGlyphError):
        issue_receipt(desk, 1, "3", tmp_path)
    assert everything(desk) == before
    assert issue_receipt(desk, 1, CUSTOMER, tmp_path).receipt.number == 1


def test_a_folder_that_is_not_there_costs_no_receipt(paid: Desk, tmp_path: Path) -> None:
    """Nothing is stored where the paper cannot be written; the number goes to the next one."""
    before = everything(paid)
    with pytest.raises(ShopledgerError, match=r"the folder .* does not exist"):
        issue_receipt(paid, 1, CHILD, tmp_path / "none")
    assert everything(paid) == before
    assert issue_receipt(paid, 1, CHILD, tmp_path).file.name == "receipt-00001.pdf"


def test_a_receipt_changed_from_outside_is_not_printed(
    paid: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its content no longer has the hash it was issued with."""
    receipt = issue_receipt(paid, 1, CHILD, tmp_path).receipt
    forged = replace(receipt, canonical=receipt.canonical.replace("12000", "22000"))
    monkeypatch.setattr("shopledger.store.receipts.Receipts.get", lambda _, __: forged)
    with pytest.raises(PaperworkError, match="receipt 1 does not match its own hash"):
        print_receipt(paid, 1, tmp_path)


def test_the_owner_s_wording_is_printed(paid: Desk, tmp_path: Path) -> None:
    """A file in the ledger's own folder wins over the shipped one."""
    assert paid.own_templates is not None
    own = paid.own_templates / "papers" / "receipt.toml"
    own.parent.mkdir(parents=True)
    shipped = templates_folder() / "papers" / "receipt.toml"
    own.write_text(shipped.read_text(encoding="utf-8").replace('"COPY"', '"DUPLICATE"'), encoding="utf-8")
    issue_receipt(paid, 1, CHILD, tmp_path)
    assert "DUPLICATE" in words_in(print_receipt(paid, 1, tmp_path).file)


@on_both
def test_a_copy_is_printed_with_the_wording_and_paper_of_the_first_print(paid: Desk, tmp_path: Path) -> None:
    """Whatever the owner changes later, two copies years apart are the same bytes."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    copy = print_receipt(paid, 1, tmp_path / ".").file.read_bytes()
    assert paid.own_templates is not None
    own = paid.own_templates / "papers" / "receipt.toml"
    own.parent.mkdir(parents=True)
    shipped = templates_folder() / "papers" / "receipt.toml"
    own.write_text(shipped.read_text(encoding="utf-8").replace('"COPY"', '"DUPLICATE"'), encoding="utf-8")
    profile, settings = shop_and_settings(paid)
    set_shop(paid, profile, replace(settings, paper="a4"))
    assert print_receipt(paid, 1, tmp_path).file.read_bytes() == copy


def test_one_wording_is_kept_once_for_all_receipts(paid: Desk, tmp_path: Path) -> None:
    """A thousand receipts with the same words hold them once."""
    contents = [issue_receipt(paid, 1, wearer, tmp_path).receipt.content for wearer in (CUSTOMER, CHILD)]
    assert len({content.wording_sha256 for content in contents}) == 1
    assert len(everything(paid)["paper_wording"]) == 1


def test_a_kept_wording_that_was_meddled_with_is_not_printed(
    paid: Desk, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A wording that does not match its hash is refused, and what to do is said."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    monkeypatch.setattr("shopledger.store.receipts.content_hash", lambda _: "0" * 64)
    with pytest.raises(WordingLostError, match="Restore a backup"):
        print_receipt(paid, 1, tmp_path)


def test_a_logo_is_frozen_with_its_paper(paid: Desk, tmp_path: Path) -> None:
    """Its bytes lie in the ledger: another logo in the folder, or none, changes no paper that was issued."""
    assert paid.own_templates is not None
    own = paid.own_templates / "papers" / "receipt.toml"
    own.parent.mkdir(parents=True)
    shipped = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
    own.write_text(shipped.replace('logo = ""', 'logo = "logo.png"'), encoding="utf-8")
    logo = paid.own_templates / "logo.png"
    Image.new("RGB", (120, 60), "navy").save(logo)
    issue_receipt(paid, 1, CHILD, tmp_path)
    before = print_receipt(paid, 1, tmp_path).file.read_bytes()
    Image.new("RGB", (120, 60), "red").save(logo)
    assert print_receipt(paid, 1, tmp_path).file.read_bytes() == before
    logo.unlink()
    assert print_receipt(paid, 1, tmp_path).file.read_bytes() == before
    with paid.reading() as work:
        assert [kept.name for kept in work.kept_files.all()] == ["logo.png"]
