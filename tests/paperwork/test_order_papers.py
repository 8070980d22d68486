"""Packing slip, confirmation, quote and year statement on paper."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.papers.packing_slip import PackedFor, PackedItem
from shopledger.paperwork.order_papers import CONFIRMATION, PACKING, QUOTE
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.year import YEAR
from tests.paperwork.reading import printed, read, text_of


@pytest.mark.parametrize(
    "words",
    [
        "Packing slip Order 311", "Ilse Marrowdene", "30 Orchard Close", "Carrier post", "9400 1000",
        "Glasses 2 Own frame 1 Goods 4",
        "For Tobin Marrowdene", "1 57 Even progressive in Harrow Row Finch, moss with Anti-reflective coating",
        "coating The demonstration lenses of the frame were taken out. 1 58",
        "for reading in Harrow Row Lark, brick Made for your own frame.",
        "2 Hard case", "Other goods", "Most wearers need a small adjustment at the ear",
        "Call 555-0123", "desk@sample.example.com",
    ],
)  # fmt: skip
def test_the_packing_slip_says_what_is_in_the_parcel(words: str) -> None:
    """Ship-to, carrier, each wearer's things with job numbers, care and how to reach the shop."""
    assert words in text_of(document_of(PACKING, PACKING.sample()))


def test_the_packing_slip_has_no_price() -> None:
    """No amount of money stands on it."""
    assert not re.search(r"\d\.\d\d\b", text_of(document_of(PACKING, PACKING.sample())))


def test_a_parcel_without_glasses_has_no_care_for_lenses() -> None:
    """Goods alone need no words on demonstration lenses."""
    kit = PackedFor("", (PackedItem("Cleaning kit", 1),))
    bare = replace(PACKING.sample(), parcels=(kit,), carrier="", tracking="")
    text = text_of(document_of(PACKING, bare))
    assert "demonstration" not in text
    assert "not yet handed over" in text
    assert "Tracking" not in text


def test_a_frame_without_lenses_says_what_became_of_its_demo_lenses() -> None:
    """They may not reach the customer as lenses (21 CFR 801.410), so whoever opens the parcel reads it there."""
    said = text_of(document_of(PACKING, PACKING.sample()))
    assert "Harrow Row Wren, moss, without lenses The lenses in it are for demonstration alone" in said
    out = PackedFor("", (PackedItem("Harrow Row Wren, without lenses", 1, demo_lenses="removed"),))
    assert "were taken out: it holds no lenses" in text_of(
        document_of(PACKING, replace(PACKING.sample(), parcels=(out,)))
    )


@pytest.mark.parametrize(
    "words",
    [
        "Order confirmation Order 311", "Ordered Feb 27, 2026", "Pair 1 for Ilse Marrowdene – Even progressive",
        "Anti-reflective coating 1 129.95 25.99 103.96", "Hard case 2 24.00 0.00 24.00", "Shipping 1 6.50 0.00 6.50",
        "List prices 588.45 Reductions -25.99 Net, with shipping 562.46 Sales tax 1.74 Total 564.20",
        "Paid so far -300.00 Balance 264.20", "THIS IS NOT A RECEIPT AND NO PROOF OF PAYMENT.",
    ],
)  # fmt: skip
def test_the_confirmation_shows_prices_and_that_it_is_no_receipt(words: str) -> None:
    """List, reduction, net, tax, total, paid and balance, and one plain sentence."""
    assert words in text_of(document_of(CONFIRMATION, CONFIRMATION.sample()))


def test_a_confirmation_says_of_each_line_what_was_given_back() -> None:
    """25.99 of the coating came back: beside its line, among the sums, and out of what was paid; the balance stays."""
    sample = CONFIRMATION.sample()
    first, other = sample.groups
    lines = (*first.lines[:-1], replace(first.lines[-1], given_back=2599))
    back = replace(sample, groups=(replace(first, lines=lines), other), given_back=2599, refunded=2599)
    text = text_of(document_of(CONFIRMATION, back))
    assert "Anti-reflective coating 1 129.95 25.99 103.96 -25.99 77.97" in text
    assert "Total 564.20 Given back, or taken off -25.99 What stands 538.21" in text
    assert "Paid so far -300.00 Given back of that 25.99 Balance 264.20" in text
    assert "Given back" not in text_of(document_of(CONFIRMATION, sample))


def test_the_quote_has_a_last_day_and_no_payment() -> None:
    """A quote says until when it holds; nothing can be paid on it."""
    text = text_of(document_of(QUOTE, QUOTE.sample()))
    assert "Quote Valid until Mar 29, 2026" in text
    assert "Prices hold until Mar 29, 2026" in text
    assert "NO ORDER, NO RECEIPT AND NO PROOF OF PAYMENT" in text
    assert "Paid" not in text


@pytest.mark.parametrize(
    "words",
    [
        "Year statement 2026", "Jan 1, 2026", "Dec 31, 2026", "For Tobin Marrowdene", "Tax ID (EIN) 12-3456789",
        "Feb 27, 2026 311 frame, lenses, lens options, accessories 510.00 21.00 8.02 539.02",
        "Mar 13, 2026 311 frame, lenses, lens options, accessories 0.00 -9.00 0.00 -9.00",
        "Sum 510.00 12.00 8.02 530.02", "For prescription eyewear 689.00", "For other items 12.00",
        "Paid in 2026 712.27",
        "each payment counts in the year of its day", "in proportion to what each still owed",
    ],
)  # fmt: skip
def test_the_year_statement_shows_each_payment_and_the_rule(words: str) -> None:
    """Each wearer's payments by day and order, sums by word, and how they were sorted."""
    assert words in text_of(document_of(YEAR, YEAR.sample()))


def test_an_empty_year_says_so() -> None:
    """A year without payments is told in words."""
    empty = replace(YEAR.sample(), wearers=(), sums=YEAR.sample().sums.minus(YEAR.sample().sums))
    assert "Nothing was paid in this year." in text_of(document_of(YEAR, empty))


def test_sums_that_disagree_are_refused() -> None:
    """Neither a confirmation nor a year statement with wrong sums is printed."""
    with pytest.raises(DisagreeingTotalsError, match=r"the lines come to 562\.46"):
        document_of(CONFIRMATION, replace(CONFIRMATION.sample(), net_total=1))
    with pytest.raises(DisagreeingTotalsError, match=r"net and tax come to 564\.20"):
        document_of(CONFIRMATION, replace(CONFIRMATION.sample(), total=1))
    with pytest.raises(DisagreeingTotalsError, match="the payments"):
        document_of(YEAR, replace(YEAR.sample(), wearers=()))


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """The same content is the same file."""
    for at in "ab":
        printed(PACKING, PACKING.sample(), tmp_path / f"packing-{at}.pdf")
        printed(QUOTE, QUOTE.sample(), tmp_path / f"quote-{at}.pdf")
        printed(YEAR, YEAR.sample(), tmp_path / f"year-{at}.pdf")
    for name in ("packing", "quote", "year"):
        assert (tmp_path / f"{name}-a.pdf").read_bytes() == (tmp_path / f"{name}-b.pdf").read_bytes()


def test_a_slip_says_only_what_was_recorded_and_fits() -> None:
    """No word on demonstration lenses, progressives, near work or new powers where the parcel gives no ground."""
    plain = PackedFor("Odd Wearer", (PackedItem("Clear single vision in Harrow Row Lark", 1, 9),))
    said = text_of(document_of(PACKING, replace(PACKING.sample(), parcels=(plain,), care=())))
    for unsaid in ("emonstration", "Progressive", "Lenses with a line", "new prescription", "reading or a screen",
                   "desk and room", "own frame", "Own frame", "inspected", "tested"):  # fmt: skip
        assert unsaid not in said
    assert "Glasses 1" in said


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("prescribed", "A new prescription takes some days"), ("progressive", "Progressive lenses:"),
        ("lined", "Lenses with a line"), ("occupational", "Lenses for desk and room"), ("near", "blur what is far"),
    ],
)  # fmt: skip
def test_words_on_wearing_stand_where_they_fit(kind: str, words: str) -> None:
    """Each sentence has its ground in the parcel."""
    assert words in text_of(document_of(PACKING, replace(PACKING.sample(), care=(kind,))))
    assert words not in text_of(document_of(PACKING, replace(PACKING.sample(), care=())))


def test_a_slip_says_when_to_stop_and_whom_to_call() -> None:
    """In plain words, before anything on what is missing; the prescriber decides, and a doctor at once if need be."""
    said = text_of(document_of(PACKING, PACKING.sample()))
    stop = said.index("When to stop wearing them")
    assert stop < said.index("If something is wrong or missing")
    for words in ("call the prescriber, or an eye doctor, if you see double", "a doctor at once"):
        assert said.index(words) > stop


def test_a_slip_of_goods_alone_counts_no_glasses() -> None:
    """What is not there is not counted."""
    kit = PackedFor("", (PackedItem("Cleaning kit", 3),))
    said = text_of(document_of(PACKING, replace(PACKING.sample(), parcels=(kit,), care=())))
    assert "Glasses" not in said
    assert "Goods 3" in said
    assert "stop wearing" not in said


def test_a_pair_stays_on_one_page_and_no_notice_makes_one() -> None:
    """Nine pairs: each is whole on its page, and what the paper is not stands below its sums."""
    sample = CONFIRMATION.sample()
    first, other = sample.groups
    groups = (*(replace(first, position=number, title=first.title * 3) for number in range(1, 10)), other)
    lines = [line for group in groups for line in group.lines]
    net, listed = sum(line.net for line in lines), sum(line.list_price for line in lines)
    many = replace(
        sample, groups=groups, list_total=listed, reduction_total=listed - net, net_total=net,
        total=net + sample.tax, balance=net + sample.tax - sample.paid,
    )  # fmt: skip
    pages = document_of(CONFIRMATION, many).pages
    names = [[placed.block.name for placed in page] for page in pages]
    assert [page.count("line") % len(first.lines) for page in names[:-1]] == [0 for _ in names[:-1]]
    assert {"sums", "not a receipt", "terms", "currency"} <= set(names[-1])


def test_a_list_that_goes_on_names_again_whose_it_is() -> None:
    """The second page of a slip or a confirmation begins with whose goods follow."""
    slip = PACKING.sample()
    many = replace(slip.parcels[0], items=slip.parcels[0].items * 20)
    second = text_of_page(document_of(PACKING, replace(slip, parcels=(many,))), 1)
    assert f"For {many.wearer}, continued Count Job What" in second
    order = CONFIRMATION.sample()
    group = replace(order.groups[0], lines=order.groups[0].lines * 20)
    net = sum(line.net for line in (*group.lines, *(line for each in order.groups[1:] for line in each.lines)))
    total = net + order.tax
    groups = (group, *order.groups[1:])
    grown = replace(order, groups=groups, net_total=net, total=total, balance=total - order.paid)
    assert "50-19-140, continued Description" in text_of_page(document_of(CONFIRMATION, grown), 1)


def text_of_page(document: Document, at: int) -> str:
    """Give the text of one page, white space joined."""
    return " ".join(read(document).pages[at].extract_text().split())
