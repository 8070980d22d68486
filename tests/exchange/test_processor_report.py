"""Payout reports of a card processor: read by their headings, proven row by row, refused whole where they are not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.exchange.processor_report import read_report
from shopledger.exchange.refusals import FileRefusedError
from shopledger.ledger.books.processor_layout import ReportLayout
from shopledger.ledger.books.processor_reports import ReportKind, ReportRow
from tests.processor_reports import HEADINGS, LAYOUT, WORKED, report, row


def read(text: str, layout: ReportLayout = LAYOUT) -> tuple[ReportRow, ...]:
    """Read a report with this text."""
    return read_report(text.encode(), "june.csv", layout)


def test_the_worked_payout_comes_to_its_rows() -> None:
    """429.44 gross, 13.36 of fees charge by charge, 49.99 given back: 366.09 (worked by hand, an invented tariff)."""
    rows = read(WORKED)
    charges = [each for each in rows if each.kind is ReportKind.CHARGE]
    assert (sum(each.gross for each in charges), sum(each.fee for each in charges)) == (42_944, 1_336)
    assert sum(each.net for each in rows if each.kind is not ReportKind.PAYOUT) == 36_609
    assert rows[0] == ReportRow("P-1", date(2026, 3, 5), date(2026, 3, 2), ReportKind.CHARGE, 12_995, 407, "t1")


def test_columns_are_found_by_their_headings() -> None:
    """In any order, with others between them, and any case: a processor adds columns."""
    lines = [line.split(",") for line in WORKED.split()[0:1] + WORKED.splitlines()[1:]]
    turned = "\n".join(",".join(["extra", *reversed(cells)]) for cells in lines).replace("created", "CREATED")
    assert read(turned) == read(WORKED)


def test_a_day_is_taken_as_it_is_printed() -> None:
    """A payment of the last evening stays in its month, whatever zone is written behind it."""
    text = WORKED.replace("2026-03-02 14:05:09", "2026-02-28T23:59:59+00:00")
    assert {each.day for each in read(text)[:2]} == {date(2026, 2, 28)}


def test_a_payout_may_be_below_zero_and_stand_in_a_column() -> None:
    """Its amount proves the rows just as a row of its own would."""
    layout = replace(LAYOUT, total="amount")
    rows = [row("P-2", "2026-03-09", "t5", "2026-03-06", "refund", -4_999, 30)]
    text = report(*rows).replace(HEADINGS, f"{HEADINGS},amount").replace(",usd", ",usd,-50.29")
    assert [each.net for each in read(text, layout)] == [-5_029]


def test_processors_have_words_of_their_own() -> None:
    """They are said once; a word that was never said is refused with what to do."""
    disputed = row("P-2", "2026-03-09", "t1", "2026-03-06", "Chargeback", -12_995, 1_500)
    paid = row("P-2", "2026-03-09", "", "2026-03-09", "payout", 14_495)
    assert read(report(disputed, paid))[0].kind is ReportKind.DISPUTE
    with pytest.raises(FileRefusedError, match=r"'levy' is no kind of row that is known. Say what it is with --word"):
        read(report(disputed.replace("Chargeback", "levy"), paid))
    with pytest.raises(RefusedError, match="Did you mean 'levy=fee'"):
        replace(LAYOUT, words=(("levy", "fees"),))


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("125.88", "125.98", r"line 2: its net is 125.98, and 129.95 less 4.07 is not"),
        ("-366.09", "-366.08", r"line 6: the rows of the payout P-1 come to 366.09, and it is -366.08"),
        ("2026-03-05,,t4", "2026-03-06,,t4", r"the payout P-1 has two days"),
        ("2026-03-04 14", "2026-03-31 14", r"line 5: its day is 2026-03-31, after that of its payout"),
        ("2026-03-04 14", "March 4 14", r"is no day. Days are read year first"),
        (",usd", ",eur", r"it is in 'eur', and the books are in US dollars"),
        ("249.50,7.54", "2E4,7.54", r"'2E4' in the column gross is no amount"),
        ("249.50,7.54", "NaN,7.54", r"'NaN' in the column gross is no amount"),
        ("gross", "sum", r"no row has the headings"),
        ("P-1,2026-03-05,,,", ",2026-03-05,,,", r"names no payout"),
    ],
)
def test_what_does_not_add_up_is_refused_whole(before: str, after: str, said: str) -> None:
    """With the line, what is wrong, and what to do."""
    with pytest.raises(FileRefusedError, match=said):
        read(WORKED.replace(before, after))


@pytest.mark.parametrize("lines", range(1, 6))
def test_a_file_cut_between_rows_is_refused(lines: int) -> None:
    """What is there is not what the payout came to, or nothing says what that was."""
    with pytest.raises(FileRefusedError):
        read("\n".join(WORKED.splitlines()[:lines]))


@given(st.integers(1, len(WORKED) - 2))
def test_a_file_cut_anywhere_is_refused(length: int) -> None:
    """No part of a report is taken for the whole."""
    if length < len(WORKED.rstrip()):
        with pytest.raises(FileRefusedError):
            read(WORKED[:length])


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\0\0\0",
        b"<html><body>Log in</body></html>",
        WORKED.encode().replace(b"t3", b'"t3'),
        b"=cmd|' /C calc'!A0\n" * 3,
        ("a," * 200_000).encode(),
    ],
    ids=["empty", "zeros", "a page", "a quotation mark", "a formula", "a long row"],
)
def test_hostile_files_are_refused_with_a_sentence(body: bytes) -> None:
    """None is read halfway."""
    with pytest.raises(FileRefusedError):
        read_report(body, "june.csv", LAYOUT)


def test_a_number_like_a_card_s_is_not_kept() -> None:
    """It becomes its hash, so that rows stay apart and no card's number lies in the ledger."""
    found = read(WORKED.replace(",t1,", ",4242 4242 4242 4242,"))
    assert found[0].transaction_id.startswith("id-")
    assert "4242" not in found[0].transaction_id


def test_a_layout_comes_back_as_it_was_kept() -> None:
    """With its words and the order of a day."""
    assert ReportLayout.read(LAYOUT.written()) == LAYOUT
