"""The shop's other papers: each from the ledger, in the owner's words, named by numbers, and noted where private."""

from __future__ import annotations

import builtins
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import page
import pytest
from pypdf import PdfReader

from shopledger.desk.books.closing import close_month, prove_books
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import job_needs, record_inspection
from shopledger.desk.order_lookups import newest_orders
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.papers import (
    print_of_order,
    print_quote,
    print_samples,
    print_statement,
    print_worksheet,
    print_year,
)
from shopledger.desk.people import add_customer, change_customer, change_wearer
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.desk.shop import shop_and_settings
from shopledger.errors import RefusedError
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.proofs import KeptHead
from shopledger.ledger.inspections import DemoCheck
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import OutOfStockError, StockedKind
from shopledger.ledger.twice import ORDER_TWICE
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.refusals import ArchiveExtraMissingError, MissingGlyphError, TemplateError
from shopledger.places import templates_folder
from shopledger.store.refusals import MonthClosedError, NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import (
    DISTANCE,
    FAMILY_ORDER,
    PROGRESSIVE,
    TWICE,
    at_height,
    inspected,
    later,
    ordered,
    read_as_ordered,
    set_shop,
)
from tests.desk.test_sales import TOTAL
from tests.shelf import CASE, CHILD, CUSTOMER, HOME

VALID = date(2026, 4, 1)


def print_packing_slip(desk: Desk, order: int, folder: Path, *, archive: bool = False) -> Path:
    """Print an order's packing slip."""
    return print_of_order(desk, "packing", order, folder, archive=archive)


def print_confirmation(desk: Desk, order: int, folder: Path, *, archive: bool = False) -> Path:
    """Print an order's confirmation."""
    return print_of_order(desk, "confirmation", order, folder, archive=archive)


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Record, pay and ship the family's order, and issue the customer's receipt on the day it was shipped."""
    record_sale(desk, FAMILY_ORDER)
    there = later(desk, date(2026, 3, 9))
    take_payment(there, 1, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    inspected(there)
    ship_order(there, 1, "post", "9400-5550")
    return there


@pytest.fixture
def issued(paid: Desk, tmp_path: Path) -> Desk:
    """Issue the child's receipt, number 1; its total of 169.27 is worked out in tests/desk/test_receipts.py."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    return paid


def reword(desk: Desk, paper: str, old: str, new: str) -> None:
    """Change a paper's wording as the owner would, in a copy of the shipped file."""
    assert desk.own_templates is not None
    own = desk.own_templates / "papers"
    own.mkdir(parents=True, exist_ok=True)
    text = (templates_folder() / "papers" / f"{paper}.toml").read_text(encoding="utf-8")
    assert old in text
    (own / f"{paper}.toml").write_text(text.replace(old, new), encoding="utf-8")


@on_both
def test_a_statement_says_what_the_receipt_says_and_is_noted(issued: Desk, tmp_path: Path) -> None:
    """Patient, day of service and total stand on it, and the ledger keeps that somebody looked."""
    file = print_statement(issued, 1, tmp_path)
    assert file == tmp_path / "statement-00001.pdf"
    words = words_in(file)
    for wanted in (CHILD, "Mar 9, 2026", "169.27", "Receipt issued Mar 9, 2026"):
        assert wanted in words
    assert notes(issued)[-1] == ("tester", "prepared an account statement", "receipt 1")


@on_both
def test_a_worksheet_takes_codes_that_came_later_and_is_noted(issued: Desk, tmp_path: Path) -> None:
    """Codes typed from the prescriber's document stand in box 21, as it wants them; others are refused."""
    assert "H5213" not in words_in(print_worksheet(issued, 1, tmp_path))
    file = print_worksheet(issued, 1, tmp_path, ["h52.13"])
    assert file == tmp_path / "worksheet-00001.pdf"
    assert "H5213" in words_in(file)
    assert notes(issued)[-1] == ("tester", "prepared a claim worksheet", "receipt 1")
    with pytest.raises(RefusedError, match=r"H52\.1\b"):
        print_worksheet(issued, 1, tmp_path, ["H52.1"])


def test_a_statement_printed_again_is_the_same(issued: Desk, tmp_path: Path) -> None:
    """It comes from the frozen receipt, so years and a new name of the shop change nothing."""
    before = print_statement(issued, 1, tmp_path).read_bytes()
    shop, settings = shop_and_settings(issued)
    set_shop(issued, replace(shop, name="Renamed Optics"), settings)
    assert print_statement(later(issued, date(2030, 1, 1)), 1, tmp_path).read_bytes() == before


def test_an_overtaken_receipt_gives_no_paper(issued: Desk, tmp_path: Path) -> None:
    """The receipt that took its place is named, and nothing is noted."""
    give_refund(issued, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(8, 1000),)))
    replace_receipt(issued, 1, "a refund", tmp_path)
    before = everything(issued)
    with pytest.raises(RefusedError, match=r"receipt 2 took its place.*Print the statement of 2"):
        print_statement(issued, 1, tmp_path)
    with pytest.raises(RefusedError, match="Print the worksheet of 2"):
        print_worksheet(issued, 1, tmp_path)
    assert everything(issued) == before
    assert not list(tmp_path.glob("[sw]*.pdf"))
    assert print_statement(issued, 2, tmp_path).name == "statement-00002.pdf"


@on_both
def test_a_slip_tells_the_parcel_and_keeps_the_rest_to_itself(paid: Desk, tmp_path: Path) -> None:
    """Goods, for whom, carrier; no price of any line and no power."""
    file = print_packing_slip(paid, 1, tmp_path)
    assert file == tmp_path / "slip-00001.pdf"
    words = words_in(file)
    for wanted in (CUSTOMER, CHILD, "9400-5550", "Mar 9, 2026", "Hard case"):
        assert wanted in words
    for secret in ("$", ".00", "-2.50", "x 090", "1,068.71"):
        assert secret not in words


def test_a_slip_before_shipping_bears_the_day_of_packing(desk: Desk, tmp_path: Path) -> None:
    """It lies in the parcel, so it is printed before the parcel leaves."""
    record_sale(desk, ordered(DISTANCE))
    assert "Mar 5, 2026" in words_in(print_packing_slip(later(desk, date(2026, 3, 5)), 1, tmp_path))


@on_both
def test_a_confirmation_shows_prices_and_what_is_owed(desk: Desk, tmp_path: Path) -> None:
    """The total is that of the sale's own test; of it 400.00 are paid."""
    record_sale(desk, FAMILY_ORDER)
    file = print_confirmation(desk, 1, tmp_path)
    assert file == tmp_path / "confirmation-00001.pdf"
    words = words_in(file)
    for wanted in ("1,068.71", "400.00", "668.71", "NOT A RECEIPT"):
        assert wanted in words


def test_a_cancelled_order_gives_no_paper(desk: Desk, tmp_path: Path) -> None:
    """Neither slip nor confirmation, nor a statement of a receipt that was issued before."""
    record_sale(desk, ordered(DISTANCE))
    issue_receipt(desk, 1, CUSTOMER, tmp_path, not_paid_in_full=True)
    cancel_order(desk, 1, "changed her mind")
    for print_paper in (print_packing_slip, print_confirmation, print_statement, print_worksheet):
        with pytest.raises(RefusedError, match="cancelled on 2026-03-02"):
            print_paper(desk, 1, tmp_path)


@on_both
def test_a_quote_stores_nothing(desk: Desk, tmp_path: Path) -> None:
    """It costs what the sale would cost and bears the customer's number and the day; payments are left out."""
    before = everything(desk)
    printed = print_quote(desk, FAMILY_ORDER, VALID, tmp_path)
    assert everything(desk) == before
    assert newest_orders(desk) == ()
    assert printed.file == tmp_path / "quote-00001-2026-03-02.pdf"
    assert printed.plan.order.total == TOTAL
    words = words_in(printed.file)
    for wanted in ("Apr 1, 2026", "1,068.71", CUSTOMER, "THIS IS A QUOTE"):
        assert wanted in words
    assert "400.00" not in words


def test_what_is_not_on_the_shelf_can_be_quoted(desk: Desk, tmp_path: Path) -> None:
    """A quote reserves nothing and says so, so that it needs no stock; the sale it is for would be refused."""
    bare = ordered(DISTANCE, DISTANCE, DISTANCE, DISTANCE)
    with pytest.raises(OutOfStockError):
        plan_sale(desk, bare)
    before = everything(desk)
    printed = print_quote(desk, bare, VALID, tmp_path)
    assert len(printed.plan.order.pairs) == 4
    short = [each.sentence for each in printed.plan.findings if each.code == "NOT-ON-SHELF"]
    assert short == ["Of WREN-52, 4 quoted and 3 free: a sale waits until more come in."]
    assert "A quote reserves nothing" in words_in(printed.file)
    assert everything(desk) == before


@pytest.mark.parametrize("day", [date(2026, 3, 20), date(2026, 5, 4)])
def test_any_day_can_be_quoted(desk: Desk, tmp_path: Path, day: date) -> None:
    """A closed month and a day that has not come take no sale, and a quote stores none."""
    april = later(desk, date(2026, 4, 10))
    close_month(april, Month(2026, 3))
    asked = ordered(DISTANCE, day=day)
    with pytest.raises((RefusedError, MonthClosedError)):
        plan_sale(april, asked)
    printed = print_quote(april, asked, date(2026, 6, 1), tmp_path)
    assert printed.file.name == f"quote-00001-{day.isoformat()}.pdf"


def test_a_quote_does_not_ask_whether_the_order_stands_already(desk: Desk, tmp_path: Path) -> None:
    """That the same was recorded today matters to a sale alone."""
    record_sale(desk, ordered(DISTANCE))
    asked = ordered(DISTANCE, accept=frozenset())
    assert ORDER_TWICE in {each.code for each in plan_sale(desk, asked).findings}
    assert ORDER_TWICE not in {each.code for each in print_quote(desk, asked, VALID, tmp_path).plan.findings}


def test_a_quote_is_refused_where_the_sale_would_be(desk: Desk, tmp_path: Path) -> None:
    """A progressive that cannot be fitted is an error; a last day before the quote's own is refused too."""
    low = replace(PROGRESSIVE, measurements=at_height(None))
    with pytest.raises(FindingsRefusedError):
        print_quote(desk, ordered(low), VALID, tmp_path)
    with pytest.raises(RefusedError, match="lies before the quote's day"):
        print_quote(desk, ordered(DISTANCE), date(2026, 3, 1), tmp_path)
    assert not list(tmp_path.glob("*.pdf"))


OUT = "The demonstration lenses of the frame were taken out."


def test_a_slip_says_demonstration_lenses_are_out_where_the_bench_recorded_it(desk: Desk, tmp_path: Path) -> None:
    """Of the job of which it was said, as known when the parcel left; of the other, inspected without it, nothing."""
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE))
    there = later(desk, date(2026, 3, 9))
    assert (job_needs(there, 1).demo_lenses, job_needs(there, 2).demo_lenses) == (True, True)
    assert OUT not in words_in(print_packing_slip(there, 1, tmp_path))
    record_inspection(there, read_as_ordered(there, 1, demo_lenses=DemoCheck.OUT))
    record_inspection(there, read_as_ordered(there, 2))
    assert words_in(print_packing_slip(there, 1, tmp_path)).count(OUT) == 1
    ship_order(there, 1, "post")
    assert not job_needs(later(there, date(2026, 3, 12)), 1).demo_lenses
    again = print_of_order(later(there, date(2026, 3, 12)), "packing", 1, tmp_path, parcel=1)
    assert words_in(again).count(OUT) == 1


def test_a_customers_own_frame_is_not_asked_about(desk: Desk, tmp_path: Path) -> None:
    """It holds none of the shop's demonstration lenses, and the slip says for whose frame the lenses are."""
    record_sale(desk, ordered(replace(DISTANCE, frame_owned=True)))
    assert not job_needs(desk, 1).demo_lenses
    words = words_in(print_packing_slip(desk, 1, tmp_path))
    assert "Made for your own frame." in words
    assert "Own frame 1" in words
    assert "Glasses" not in words.replace("Glasses for reading", "")


@on_both
def test_a_year_holds_all_that_was_paid_and_is_noted(paid: Desk, tmp_path: Path) -> None:
    """Both payments make up the total, each wearer's part apart; another year holds nothing of it."""
    file = print_year(paid, CUSTOMER, 2026, tmp_path)
    assert file == tmp_path / "year-00001-2026.pdf"
    words = words_in(file)
    for wanted in (CUSTOMER, CHILD, "1,068.71", "169.27", "875.29"):
        assert wanted in words
    assert notes(paid)[-1] == ("tester", "prepared a year statement", "customer 1 2026")
    assert "1,068.71" not in words_in(print_year(paid, "1", 2025, tmp_path))
    with pytest.raises(RefusedError, match="Name a year that has begun"):
        print_year(paid, CUSTOMER, 2027, tmp_path)


def test_a_year_takes_more_orders_than_a_list_shows(desk: Desk, tmp_path: Path) -> None:
    """Twenty-five orders of one case at 12.00, each paid, come to 300.00."""
    receive_stock(desk, StockedKind.ACCESSORY, "CASE", 15, 400)
    paid = (PaymentRequest(1200, Method.CASH),)
    for _ in range(25):
        record_sale(desk, OrderRequest(CUSTOMER, accessories=(AccessoryRequest("CASE"),), payments=paid, accept=TWICE))
    assert "300.00" in words_in(print_year(desk, CUSTOMER, 2026, tmp_path))


def test_unknown_numbers_are_refused(desk: Desk, tmp_path: Path) -> None:
    """No order, no receipt, no file, no note."""
    before = everything(desk)
    for print_paper in (print_packing_slip, print_confirmation, print_statement, print_worksheet):
        with pytest.raises(NumberUnknownError):
            print_paper(desk, 7, tmp_path)
    assert everything(desk) == before
    assert not list(tmp_path.glob("*.pdf"))


@on_both
def test_where_nothing_changed_papers_made_again_are_the_same_bytes(issued: Desk, tmp_path: Path) -> None:
    """Looks that were noted, and what happened to others, change no paper; what happened to the customer does."""
    makers: tuple[Callable[[Path], Path], ...] = (
        lambda folder: print_year(issued, "1", 2026, folder),
        lambda folder: print_statement(issued, 1, folder),
        lambda folder: print_worksheet(issued, 1, folder),
        lambda folder: print_packing_slip(issued, 1, folder),
        lambda folder: print_confirmation(issued, 1, folder),
    )

    def all_of(name: str) -> list[bytes]:
        (tmp_path / name).mkdir()
        return [make(tmp_path / name).read_bytes() for make in makers]

    first = all_of("first")
    other = add_customer(issued, "Bram Pike", HOME, "555-0101")
    record_sale(issued, OrderRequest(str(other.number), accessories=(AccessoryRequest(CASE.code),), shipping=0))
    assert all_of("again") == first
    give_refund(issued, 1, RefundRequest(Method.CARD, "scratched", (RefundedLine(1, 100),)))
    changed = all_of("changed")
    assert changed[0] != first[0]
    assert changed[1:4] == first[1:4]
    printed = re.search(r"Ledger head (\S+)", words_in(makers[0](tmp_path)))
    assert printed is not None
    assert prove_books(issued, KeptHead.read(printed[1])).holds


def test_the_owner_s_words_and_paper_are_used(issued: Desk, tmp_path: Path) -> None:
    """A changed heading stands on the paper, and the shop's paper size is that of the sheet."""
    reword(issued, "packing", 'paper = "Packing slip"', 'paper = "In this parcel"')
    shop, settings = shop_and_settings(issued)
    set_shop(issued, shop, replace(settings, paper="a4"))
    file = print_packing_slip(issued, 1, tmp_path)
    assert "In this parcel" in words_in(file)
    for printed in (file, print_statement(issued, 1, tmp_path), print_year(issued, "1", 2026, tmp_path)):
        assert float(PdfReader(printed).pages[0].mediabox.width) == pytest.approx(595.28, abs=0.01)


def test_a_slip_in_the_owner_s_words_is_refused_with_its_line(issued: Desk, tmp_path: Path) -> None:
    """Nothing is printed or noted, and the check of all papers stops at the same line without leaving a file."""
    reword(issued, "year", "[marks]", "[marks]\nfott = 1")
    assert issued.own_templates is not None
    lines = (issued.own_templates / "papers" / "year.toml").read_text(encoding="utf-8").splitlines()
    before = everything(issued)
    where = rf"year\.toml, line {lines.index('fott = 1') + 1}: "
    with pytest.raises(TemplateError, match=where):
        print_year(issued, CUSTOMER, 2026, tmp_path)
    with pytest.raises(TemplateError, match=where):
        print_samples(issued, tmp_path)
    assert everything(issued) == before
    assert not list(tmp_path.glob("[sy]*.pdf"))


def test_samples_are_printed_of_every_paper(desk: Desk, tmp_path: Path) -> None:
    """In the owner's words, with invented people only, so that no look is noted."""
    before = everything(desk)
    reword(desk, "quote", 'paper = "Quote"', 'paper = "Our offer"')
    files = print_samples(desk, tmp_path)
    assert [file.name for file in files] == [f"sample-{paper}.pdf" for paper in PAPERS]
    assert "Our offer" in words_in(tmp_path / "sample-quote.pdf")
    assert everything(desk) == before


def test_a_name_is_printed_as_it_is_spelled_for_papers(paid: Desk, tmp_path: Path) -> None:
    """A name that the papers cannot set is refused until a spelling is given; file names never hold it."""
    change_customer(paid, "1", lambda customer: replace(customer, name="李小龍"))
    change_wearer(paid, "1", "1", lambda wearer: replace(wearer, name="李小龍"))
    for print_paper in (print_packing_slip, print_confirmation):
        with pytest.raises(MissingGlyphError):
            print_paper(paid, 1, tmp_path)
    with pytest.raises(MissingGlyphError):
        print_year(paid, "1", 2026, tmp_path)
    assert not list(tmp_path.glob("*.pdf"))
    change_customer(paid, "1", lambda customer: replace(customer, printed_name="Li Xiaolong"))
    files = (
        print_packing_slip(paid, 1, tmp_path),
        print_confirmation(paid, 1, tmp_path),
        print_year(paid, "1", 2026, tmp_path),
        print_quote(paid, OrderRequest("1", (replace(DISTANCE, wearer="1"),)), VALID, tmp_path).file,
    )
    for file in files:
        assert "Li Xiaolong" in words_in(file)
        assert file.name.isascii()


def test_an_archive_file_says_the_same_and_names_its_standard(issued: Desk, tmp_path: Path) -> None:
    """Every paper can be written as PDF/A-2A, by a second program's judgement; its words stay."""
    plain = words_in(print_statement(issued, 1, tmp_path))
    files = (
        print_statement(issued, 1, tmp_path, archive=True),
        print_worksheet(issued, 1, tmp_path, archive=True),
        print_packing_slip(issued, 1, tmp_path, archive=True),
        print_confirmation(issued, 1, tmp_path, archive=True),
        print_quote(issued, ordered(DISTANCE), VALID, tmp_path, archive=True).file,
        print_year(issued, "1", 2026, tmp_path, archive=True),
        *print_samples(issued, tmp_path, archive=True),
    )
    assert words_in(files[0]) == plain
    for file in files:
        assert page.validate_pdf_bytes(file.read_bytes(), profile="2a").failures == [], file.name


def test_a_missing_extra_leaves_no_file_and_no_note(
    issued: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the extra the command says how it is installed, before anything is written."""
    real = builtins.__import__

    def without(name: str, *rest: Any) -> Any:  # noqa: ANN401 - what any import gives
        if name == "pikepdf":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    before = everything(issued)
    with pytest.raises(ArchiveExtraMissingError, match=r"extra 'archive'"):
        print_statement(issued, 1, tmp_path, archive=True)
    with pytest.raises(ArchiveExtraMissingError):
        print_samples(issued, tmp_path, archive=True)
    assert everything(issued) == before
    assert not list(tmp_path.glob("s*.pdf"))
