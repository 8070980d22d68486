"""The claim receipt: every field that a plan asks for, the same bytes each time, nothing clipped or crossed."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from shopledger.errors import PaperworkError
from shopledger.ledger.canonical import thawed
from shopledger.ledger.receipt import ReceiptContent, ReceiptPayment, ReceiptRefund
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import (
    DisagreeingTotalsError,
    DoesNotFitError,
    MissingDetailError,
    MissingGlyphError,
    UnknownPaperError,
)
from shopledger.paperwork.wording import read_wording
from shopledger.places import templates_folder
from tests.paperwork.reading import crossing_blocks, crossing_texts, fonts_of, outside, printed, read, text_of, texts_of
from tests.paperwork.samples import FRAME, LINES, PAIR, long_receipt, receipt, unpaid_receipt, with_back

AWKWARD = receipt(
    shop_name="A Long Shop Name That Goes On and On, Optical Works of Somewhere & Sons, Limited",
    shop_email="a.very.long.address.without.any.space@subdomain.of.a.very.long.name.example.com",
    wearer="Nguyễn Thị Ánh Nguyệt Łukasz Jiří Şeyda " * 3,
    customer="Αλέξανδρος Παπαδόπουλος and Иван Петров",
    customer_lines=("Supercalifragilisticexpialidociousandmuchmoreandmoreandmore Street 1", "Łódź"),
    prescriber="Dr. Maximiliana-Theodora Featherstonehaugh-Example, Dr. Somebody Else",
    prescription_day="2026-01-15, 2025-12-11",
    lines=tuple(replace(line, reason=f"{line.reason} {at} in rather many words") for at, line in enumerate(LINES)),
    wording="First paragraph.\nSecond paragraph, " + "with many words " * 30,
)
MANY_REASONS = receipt(lines=tuple(replace(FRAME, reason=f"Reason {at}: " + "word " * 30) for at in range(12)))
SINCE_FORM_4 = {
    *("titles.paid_in_full", "titles.refunded_in_part", "titles.unpaid_refunded_in_part", "titles.nothing"),
    *("dates.expires", "lines.offer", "lines.continued", "notices.decides"),
}
SINCE_FORM_3 = {
    *SINCE_FORM_4,
    *("titles.refunded", "marks.overtaken", "patient.nobody", "dates.replaces_because", "dates.no_longer"),
    *("lines.given_back", "lines.kept", "lines.changed", "payments.share", "payments.written_off"),
    *("outcome.written_off", "outcome.fully_refunded", "outcome.nothing"),
}
"""Words that the wording kept with earlier receipts has not."""
LAYOUTS = {
    "usual": receipt(),
    "unpaid": unpaid_receipt(),
    "long": long_receipt(40),
    "awkward": AWKWARD,
    "many reasons": MANY_REASONS,
    "bare": receipt(pairs=(), lines=(), payments=(), total=1108, paid=0, balance=1108, npi="", shop_phone=""),
    "unknown pair": receipt(pairs=()),
    "refunded": with_back(
        receipt(
            diagnoses=tuple(f"H52.{at}" for at in range(12)),
            replaces=1007,
            replaces_because="A reason that takes more than one line " * 3,
            no_longer=("Something long that was taken out " * 3, "Neck cord"),
        ),
        *[ReceiptRefund("2026-03-20", "card", "4242", 1200, "A reason that takes more than one line " * 3)] * 9,
    ),
}


@pytest.mark.parametrize(
    "field",
    [
        "Itemized receipt PAID IN FULL No. 1042", "Issued Mar 14, 2026", "Order 311",
        "Quiet Harbour Optical", "12 Example Row", "Dayton, OH 45402", "(937) 555-0134",
            "desk@quietharbour.example.com",
        "Tax ID (EIN) 12-3456789", "NPI 1234567893",
        "Robin Sample", "Jul 4, 1961", "ZX-0091823", "child of the customer",
        "Casey Sample", "98 Cedar Lane", "Springfield, OH 45501",
        "Feb 27, 2026", "Mar 13, 2026", "Dr. Alex Example", "NPI 1000000004", "Jan 15, 2026",
        "Pair 1 – Single vision 1.50 for distance in Wren 52-18-140", "Job 57",
            "-2.50 -1.25 x 090", "-2.25 -0.75 x 085",
        "Frame Wren 52-18-140, matt black V2020 1 149.00 0.00 149.00",
        "Single vision lens, hard resin 1.50, right V2103 RT 1 30.00 30.00 0.00",
        "Cleaning kit 1 12.00 0.00 12.00", "Neck cord 1 9.00 0.00 9.00", "All amounts in US dollars.",
        "Subtotal of charges 299.95", "Shipping 9.50", "Sales tax 1.58", "Total 311.03",
        "Feb 27, 2026 card ending 4242 311.03", "Total paid 311.03", "Balance 0.00",
        "PAID IN FULL – balance 0.00",
        "does not accept assignment", "HCPCS Level II, release of January 2026",
            "The plan or account administrator decides what is covered; this receipt is no such decision.",
        "Questions about this receipt: call on weekdays.", "Ledger head 1234-0123456789abcdef", "Page 1 of 1",
    ],
)  # fmt: skip
def test_every_field_that_a_plan_asks_for_is_there(field: str) -> None:
    """A clerk finds each field, read from the PDF in the order of reading."""
    assert field in text_of(document_of(RECEIPT, receipt()))


def test_a_paid_receipt_says_so_and_nothing_else() -> None:
    """A paid receipt nowhere says that it is not paid."""
    assert "NOT PAID" not in text_of(document_of(RECEIPT, receipt()))


def test_a_receipt_with_an_open_balance_says_so_in_title_and_box() -> None:
    """With money still owed the paper can be taken for nothing but unpaid."""
    document = document_of(RECEIPT, unpaid_receipt(4120))
    text = text_of(document)
    assert "Itemized receipt NOT PAID IN FULL" in text
    assert "NOT PAID IN FULL – balance 41.20 is still owed" in text
    assert document.title == "Itemized receipt – NOT PAID IN FULL, No. 1042"
    assert not re.search(r"(?<!NOT )PAID IN FULL", text)


def test_a_receipt_with_too_much_paid_is_paid() -> None:
    """More than the total received is no open balance."""
    assert "PAID IN FULL – 5.00 more than the total was received" in text_of(document_of(RECEIPT, unpaid_receipt(-500)))


def test_what_is_not_known_is_said() -> None:
    """Days and prescriber that are not known are not left blank."""
    content = receipt(wearer_birth_date="", dispensed_on="", prescriber="", prescriber_npi="", prescription_day="")
    text = text_of(document_of(RECEIPT, content))
    assert "Date of birth not given" in text
    assert "not yet dispensed" in text
    assert text.count("not given") == 3


def test_a_receipt_without_payments_says_so() -> None:
    """No payment is told in words, not by an empty table."""
    assert "No payment has been received." in text_of(document_of(RECEIPT, LAYOUTS["bare"]))


def test_a_refund_stands_among_the_payments_with_its_sign() -> None:
    """Money given back is shown as a negative payment."""
    total = receipt().total
    payments = (
        ReceiptPayment("2026-02-27", "card", "", total + 500),
        ReceiptPayment("2026-03-01", "card", "refund", -500),
    )
    assert "Mar 1, 2026 card refund -5.00" in text_of(document_of(RECEIPT, receipt(payments=payments)))


def test_refunds_stand_in_a_table_of_their_own_and_in_the_outcome() -> None:
    """Day, method, reference, reason and amount of each refund are shown, and what was kept is said in the box."""
    back = ReceiptRefund("2026-03-20", "card", "4242", 1200, "Kit came back unused")
    text = text_of(document_of(RECEIPT, with_back(receipt(), back)))
    assert "Mar 20, 2026 card 4242 Kit came back unused 12.00" in text
    assert "Total paid 311.03 Given back -12.00 Paid less given back 299.03 Balance 0.00" in text
    assert "PAID IN FULL – balance 0.00 12.00 OF WHAT WAS PAID WAS GIVEN BACK – 299.03 was kept" in text


def test_a_receipt_of_which_nothing_was_kept_is_headed_so() -> None:
    """It says FULLY REFUNDED with 0.00 kept, and nowhere that it is paid in full."""
    back = ReceiptRefund("2026-03-20", "card", "4242", receipt().paid, "Taken back whole")
    text = text_of(document_of(RECEIPT, with_back(receipt(), back)))
    assert "Itemized receipt FULLY REFUNDED" in text
    assert "FULLY REFUNDED – 311.03 was given back, 0.00 was kept" in text
    assert "PAID IN FULL" not in text


def test_a_payment_shared_over_receipts_says_which_part_of_it_this_is() -> None:
    """A clerk with a card slip of 400.00 finds this receipt's 311.03 in it; a payment of its own is told plainly."""
    shared = ReceiptPayment("2026-02-27", "card", "4242", receipt().total, 40000)
    assert "311.03 of 400.00 paid by card 4242 311.03" in text_of(document_of(RECEIPT, receipt(payments=(shared,))))
    own = replace(shared, whole=shared.amount)
    assert "Feb 27, 2026 card 4242 311.03" in text_of(document_of(RECEIPT, receipt(payments=(own,))))


def test_the_customer_s_receipt_names_no_patient() -> None:
    """What belongs to nobody in particular is the customer's: no birth date and no relationship are told."""
    document = document_of(RECEIPT, receipt(wearer="", pairs=()))
    text = text_of(document)
    assert "nobody in particular: these goods are the customer's" in text
    assert "Date of birth" not in text
    assert "Relationship" not in text
    assert document.subject == receipt().customer


def test_a_receipt_in_the_place_of_another_says_why() -> None:
    """Number and reason of what it replaces stand on it."""
    text = text_of(document_of(RECEIPT, receipt(replaces=7, replaces_because="The kit came back")))
    assert "Replaces receipt 7" in text
    assert "Takes the place of receipt 7: The kit came back" in text


def test_each_line_says_what_was_given_back_and_what_is_kept() -> None:
    """Beside the charge; the sums too, so that nobody spreads a refund over lines that were not given back."""
    back = ReceiptRefund("2026-03-20", "card", "4242", 15000, "The frame and a part of the lens")
    text = text_of(document_of(RECEIPT, with_back(receipt(), back)))
    assert "V2020 1 149.00 0.00 149.00 -149.00 0.00" in text
    assert "Subtotal of charges 299.95 -150.00 149.95" in text
    assert "Total 311.03 -150.00 161.03" in text


def test_a_line_that_the_earlier_receipt_had_otherwise_is_marked() -> None:
    """And what is no longer on the order is named."""
    lines = (replace(FRAME, changed=True), *LINES[1:])
    said = receipt(lines=lines, replaces=7, replaces_because="Taken out", no_longer=("Neck cord", "Hard case"))
    text = text_of(document_of(RECEIPT, said))
    assert text.count("changed since receipt 7") == 1
    assert "Takes the place of receipt 7: Taken out No longer on it: Neck cord; Hard case" in text


def test_what_was_written_off_is_not_paid_in_full() -> None:
    """Nothing is owed any more, and yet the paper says NOT PAID IN FULL, in its title and in the box."""
    paid = receipt().total - 5000
    said = receipt(paid=paid, payments=(ReceiptPayment("2026-02-27", "card", "", paid),), written_off=5000)
    text = text_of(document_of(RECEIPT, said))
    assert "Itemized receipt NOT PAID IN FULL" in text
    assert "NOT PAID IN FULL – 50.00 was not paid and is owed no longer" in text
    assert "Not paid, written off 50.00 Balance 0.00" in text
    assert not re.search(r"(?<!NOT )PAID IN FULL", text)


def test_a_receipt_of_the_second_form_needs_no_word_that_came_later() -> None:
    """Its wording was kept with it: what was given back is told as it was, and all of it is never headed so."""
    back = ReceiptRefund("2026-03-20", "card", "4242", receipt().paid, "Taken back whole")
    words = read_wording("receipt")
    old = {key: entry for key, entry in words.entries.items() if key not in SINCE_FORM_3}
    assert len(old) == len(words.entries) - len(SINCE_FORM_3)
    said = receipt(refunds=(back,), form=2)
    text = text_of(document_of(RECEIPT, said, wording=replace(words, entries=old)))
    assert "PAID IN FULL – balance 0.00 311.03 OF WHAT WAS PAID WAS GIVEN BACK – 0.00 was kept" in text


def test_without_refunds_nothing_is_said_of_them() -> None:
    """A receipt of which nothing was given back has no empty table."""
    text = text_of(document_of(RECEIPT, receipt()))
    assert "Refunds" not in text
    assert "GIVEN BACK" not in text


def test_more_given_back_than_paid_is_refused() -> None:
    """A receipt cannot give back money that never came in."""
    back = ReceiptRefund("2026-03-20", "card", "4242", 99999, "slip")
    with pytest.raises(DisagreeingTotalsError, match=r"the refunds come to 999\.99, but 311\.03 paid is stated"):
        document_of(RECEIPT, receipt(refunds=(back,)))


def test_diagnosis_codes_are_printed_as_given_and_left_out_otherwise() -> None:
    """Codes come from the prescriber; without any the line is not there."""
    assert "as given by the prescriber: H52.13, H52.223" in text_of(
        document_of(RECEIPT, receipt(diagnoses=("H52.13", "H52.223")))
    )
    assert "Diagnosis" not in text_of(document_of(RECEIPT, receipt()))


def test_a_receipt_says_which_it_replaces() -> None:
    """Whoever holds both knows which one counts."""
    assert "Replaces receipt 1007" in text_of(document_of(RECEIPT, receipt(replaces=1007)))


def test_a_receipt_of_the_first_form_prints_as_ever() -> None:
    """What was frozen before there were refunds and diagnoses still makes a receipt."""
    old = thawed(ReceiptContent, receipt(form=1).canonical(), "receipt")
    assert text_of(document_of(RECEIPT, old)) == text_of(document_of(RECEIPT, receipt(form=3)))


@pytest.mark.parametrize("form", [1, 2, 3])
def test_receipts_of_earlier_forms_keep_their_own_words(form: int) -> None:
    """How each line was sorted and why, the notice on that, and a title that says no more than it did."""
    old = {key: entry for key, entry in read_wording("receipt").entries.items() if key not in SINCE_FORM_4}
    document = document_of(RECEIPT, receipt(form=form), wording=replace(read_wording("receipt"), entries=old))
    text = text_of(document)
    for words in (
        "Mod. Units Eligibility List price",
        "Frame Wren 52-18-140, matt black V2020 1 eligible ¹ 149.00 0.00 149.00",
        "Single vision lens, hard resin 1.50, right V2103 RT 1 eligible ² 30.00 30.00 0.00",
        "Cleaning kit 1 plan decides ³ 12.00 0.00 12.00",
        "Neck cord 1 not eligible ⁴ 9.00 0.00 9.00",
        "Notes on eligibility 1 Frame fitted with prescription lenses",
        "3 Upkeep; some plans refuse it",
        "decides what is reimbursed; the eligibility shown is guidance, not a decision.",
        "PAID IN FULL – balance 0.00",
    ):
        assert words in text
    assert document.title == "Itemized receipt, No. 1042"


def test_receipts_of_earlier_forms_end_their_pages_without_naming_the_pair_again() -> None:
    """Their later pages have the heads of the table, in words that were kept with them."""
    pages = read(document_of(RECEIPT, replace(long_receipt(40), form=3))).pages
    assert len(pages) > 1
    assert not any("matt black, continued" in " ".join(page.extract_text().split()) for page in pages)
    assert all("Description Code Mod." in " ".join(page.extract_text().split()) for page in pages[:2])


def test_frozen_spellings_are_printed() -> None:
    """A spelling kept with the receipt is used each time, without being given again."""
    content = receipt(wearer="李小龍", spellings=(("李小龍", "Li Xiaolong"),))
    assert "Li Xiaolong" in text_of(document_of(RECEIPT, content))


def test_shared_notes_and_lines_outside_pairs_are_shown() -> None:
    """How an order was shared is told, and what belongs to no pair stands under its own heading."""
    text = text_of(document_of(RECEIPT, receipt(shared_note="Shared in proportion.")))
    assert "Shared in proportion." in text
    assert text.index("Other items") < text.index("Cleaning kit")


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("layout", LAYOUTS)
def test_nothing_crosses_or_leaves_the_paper(layout: str, paper: str) -> None:
    """On every page no two texts or blocks touch, and all stay within the margins."""
    document = document_of(RECEIPT, LAYOUTS[layout], size=paper, stamps={"copy": 1, "replaced": 1050})
    assert outside(document, 43) == []
    for page in document.pages:
        assert crossing_texts(page) == []
        assert crossing_blocks(page) == []


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.builds(
            replace,
            st.just(FRAME),
            description=st.text(alphabet="abc Ł<&>ж-", max_size=120),
            charge=st.integers(0, 9_999_999),
            pair=st.sampled_from([None, 1, 2]),
            reason=st.text(alphabet="ab ", max_size=60),
        ),
        max_size=60,
    ),
)
def test_any_lines_print_without_crossing(lines: list[Any]) -> None:
    """Whatever the lines say, they print, and no two texts touch."""
    document = document_of(RECEIPT, receipt(lines=tuple(lines)))
    assert all(crossing_texts(page) == [] for page in document.pages)
    assert painted(document)


def test_a_long_receipt_has_numbered_pages_with_repeated_heads() -> None:
    """Each page says which of how many it is, and later pages repeat the table's heads and name the receipt."""
    document = document_of(RECEIPT, long_receipt(40))
    pages = [" ".join(page.extract_text().split()) for page in read(document).pages]
    assert len(pages) == 2
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of 2" in text
    for text in pages[1:]:
        assert "Receipt 1042, continued – Robin Sample" in text
        assert "Description Code Mod." in text
    for number in range(1, 41):
        assert f"Charge {number} with" in " ".join(pages)


def test_the_usual_receipt_is_one_page() -> None:
    """One pair with its options fits on a page."""
    assert len(document_of(RECEIPT, receipt()).pages) == 1


def test_body_text_is_large_enough_for_arms_length() -> None:
    """What a clerk reads is 9.5 points or more; labels, notes and the foot are never below 7."""
    document = document_of(RECEIPT, receipt())
    sizes = {mark.text: mark.style.size for page in document.pages for mark in texts_of(page)}
    assert sizes["Robin Sample"] >= 9.5
    assert sizes["Frame Wren 52-18-140, matt black"] >= 9.5
    assert sizes["149.00"] >= 9.5
    assert min(sizes.values()) >= 7


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """The content read back from its canonical form years later makes the same file."""
    content = receipt()
    first = printed(RECEIPT, content, tmp_path / "a.pdf").read_bytes()
    again = printed(RECEIPT, thawed(ReceiptContent, content.canonical(), "receipt"), tmp_path / "b.pdf").read_bytes()
    assert hashlib.sha256(first).digest() == hashlib.sha256(again).digest()


def test_a_copy_differs_by_its_mark_alone() -> None:
    """A copy says COPY in the margin; every other text stands where it stood."""
    content = long_receipt(40)
    first, copy = document_of(RECEIPT, content), document_of(RECEIPT, content, stamps={"copy": 1})
    for page, copied in zip(first.pages, copy.pages, strict=True):
        assert [text for text in texts_of(copied) if text.text != "COPY"] == texts_of(page)
        assert "COPY" in {text.text for text in texts_of(copied)}


def test_a_replaced_receipt_says_by_which() -> None:
    """A receipt that another replaced says so on every page."""
    pages = document_of(RECEIPT, long_receipt(20), stamps={"replaced": 1050}).pages
    assert all("REPLACED BY RECEIPT 1050" in {text.text for text in texts_of(page)} for page in pages)


@pytest.mark.parametrize(
    "name", ["<b>Bob", "Tom & Jerry <x@y.com>", "a</para>b", "<img src='/etc/passwd'>", "%s {0} {wearer}"]
)
def test_markup_in_names_is_printed_as_typed(name: str) -> None:
    """A customer's text is text: markup, ampersands and braces come out as they were typed."""
    lines = (replace(FRAME, description=name),)
    content = receipt(customer=name, wearer=name, shop_name=name, wording=name, lines=lines)
    text = text_of(document_of(RECEIPT, content))
    assert text.count(name) >= 5
    assert "passwd" not in str(read(document_of(RECEIPT, content)).pages[0].images)


def test_names_in_other_scripts_come_back_from_the_pdf() -> None:
    """Vietnamese, Polish, Greek and Cyrillic names can be searched and copied."""
    text = text_of(document_of(RECEIPT, receipt(wearer="Nguyễn Łukasz", customer="Αλέξανδρος Иван")))
    assert "Nguyễn Łukasz" in text
    assert "Αλέξανδρος Иван" in text


def test_a_name_that_cannot_be_set_is_refused_or_respelled() -> None:
    """Without a spelling the paper is refused; with one the spelling is printed."""
    content = receipt(wearer="李小龍")
    with pytest.raises(MissingGlyphError, match="'李小龍' cannot be printed"):
        document_of(RECEIPT, content)
    assert "Li Xiaolong" in text_of(document_of(RECEIPT, content, spellings={"李小龍": "Li Xiaolong"}))


def test_only_embedded_fonts_are_used() -> None:
    """Every font of the file travels in it, on each page."""
    for page in read(document_of(RECEIPT, long_receipt(40))).pages:
        fonts = fonts_of(page)
        assert fonts
        assert all("/FontFile2" in font for font in fonts)


def test_title_author_subject_and_language_are_set() -> None:
    """A reader program shows what the file is and reads it in its language."""
    reader = read(document_of(RECEIPT, receipt()))
    assert reader.metadata is not None
    assert reader.metadata.title == "Itemized receipt – PAID IN FULL, No. 1042"
    assert reader.metadata.author == "Quiet Harbour Optical"
    assert reader.metadata.subject == "Robin Sample"
    assert str(reader.root_object["/Lang"]) == "en-US"
    assert reader.viewer_preferences is not None
    assert reader.viewer_preferences.display_doctitle


def test_the_file_is_a_pdf_of_the_asked_paper(tmp_path: Path) -> None:
    """The paper is letter unless A4 is asked for."""
    letter = PdfReader(printed(RECEIPT, receipt(), tmp_path / "letter.pdf")).pages[0].mediabox
    a4 = PdfReader(printed(RECEIPT, receipt(), tmp_path / "a4.pdf", size="a4")).pages[0].mediabox
    assert (float(letter.width), float(letter.height)) == (612, 792)
    assert (float(a4.width), float(a4.height)) == pytest.approx((595.28, 841.89), abs=0.01)


@pytest.mark.parametrize(
    ("content", "kind", "sentence"),
    [
        (receipt(ein=""), MissingDetailError, "cannot be printed without the shop's EIN"),
        (receipt(shop_lines=()), MissingDetailError, "without the shop's address"),
        (receipt(shop_name=""), MissingDetailError, "without the shop's name"),
        (receipt(wearer="", customer=""), MissingDetailError, "without the wearer's name"),
        (receipt(wearer="", form=2), MissingDetailError, "without the wearer's name"),
        (receipt(total=1), DisagreeingTotalsError, "charges, shipping and tax come to 311.03, but 0.01 is stated"),
        (receipt(paid=1), DisagreeingTotalsError, "the payments come to 311.03, but 0.01 is stated"),
        (receipt(balance=1), DisagreeingTotalsError, "total less payments come to 0.00, but 0.01 is stated"),
        (receipt(lines=(replace(FRAME, code="V" * 60),)), DoesNotFitError, "the table of charges does not fit"),
        (receipt(lines=(replace(FRAME, description="x " * 3000),)), DoesNotFitError, "the part 'charge' does not fit"),
    ],
)
def test_a_receipt_that_no_plan_would_take_is_refused(
    content: ReceiptContent, kind: type[PaperworkError], sentence: str, tmp_path: Path
) -> None:
    """Missing details, sums that disagree and what cannot fit are refused, and no file is left."""
    with pytest.raises(kind) as refused:
        printed(RECEIPT, content, tmp_path / "receipt.pdf")
    assert sentence in str(refused.value)
    assert refused.value.exit_code == PaperworkError.exit_code
    assert list(tmp_path.iterdir()) == []


def test_an_unknown_paper_size_is_refused() -> None:
    """Only letter and A4 are printed on."""
    with pytest.raises(UnknownPaperError):
        document_of(RECEIPT, receipt(), size="foolscap")


def test_the_owners_wording_and_order_of_parts_are_used(tmp_path: Path) -> None:
    """Words and order come from the owner's file."""
    shipped = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
    own = shipped.replace('"lines", "payments"', '"payments", "lines"').replace(
        'paid = "Total paid"', 'paid = "Received"'
    )
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "receipt.toml").write_text(own, encoding="utf-8")
    text = text_of(document_of(RECEIPT, receipt(), wording=read_wording("receipt", tmp_path)))
    assert "Received 311.03" in text
    assert text.index("Payments") < text.index("Subtotal of charges")


def test_no_separator_is_left_dangling_after_the_phone() -> None:
    """Phone and mail address share a line where both fit on it, else each has its own."""
    assert "(937) 555-0134 · desk@" in text_of(document_of(RECEIPT, receipt()))
    assert "(937) 555-0134 a.very.long" in text_of(document_of(RECEIPT, AWKWARD))


def test_pairs_keep_their_order_and_their_lines() -> None:
    """Each line stands under the heading of its pair."""
    lines = (replace(FRAME, description="second frame", pair=2), replace(FRAME, description="first frame", pair=1))
    text = text_of(
        document_of(RECEIPT, receipt(lines=lines, pairs=(PAIR, replace(PAIR, position=2, title="Progressive"))))
    )
    places = [text.index(words) for words in ("Pair 1", "first frame", "Pair 2 – Progressive", "second frame")]
    assert places == sorted(places)
