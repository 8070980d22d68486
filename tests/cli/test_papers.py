"""Traces, receipts, reorders, drafts and months: the right file in the right place, and what is said about it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, SENT, Typed, done, read_json, trace_text

NEW_EYES = ("--right", "-3.00 -1.50 x 092 add 2.25", "--left", "-2.75 -1.25 x 083 add 2.25")


@pytest.fixture
def sold(typed: Typed, trace_file: Path) -> Typed:
    """Give the ledger after a traced frame was sold and paid."""
    done(typed("trace", "add", "WREN-52", str(trace_file), "--device", "bench tracer"))
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    return typed


def test_a_trace_is_kept_shown_and_written(typed: Typed, trace_file: Path, tmp_path: Path) -> None:
    """Figures, a drawing, and a file that reads back as the same shape."""
    added = read_json(typed("trace", "add", "WREN-52", str(trace_file), "--json"))
    assert (added["frame"], added["file"], added["dbl"]) == ("WREN-52", "wren.txt", 18.0)
    assert added["right"] == {**added["right"], "a": 52.0, "b": 36.0, "points": 400}
    shown = done(typed("trace", "show", "WREN-52")).stdout
    assert "52.00" in shown
    drawn = [line for line in shown.splitlines() if any(0x2800 < ord(letter) < 0x2900 for letter in line)]
    assert len(drawn) >= 8
    copy = tmp_path / "out.txt"
    assert done(typed("trace", "write", "WREN-52", "--into", str(copy), "--job", "7")).stdout.strip() == str(copy)
    again = read_json(typed("trace", "add", "WREN-52", str(copy), "--json"))
    assert (again["right"], again["left"]) == (added["right"], added["left"])


def test_a_trace_of_another_size_is_asked_about(typed: Typed, tmp_path: Path, everything: Callable[[], bytes]) -> None:
    """A shape that differs from the catalogue's eye size may be another frame's."""
    file = tmp_path / "other.txt"
    file.write_text(trace_text(width=48.0), encoding="ascii")
    before = everything()
    assert "52" in done(typed("trace", "add", "WREN-52", str(file), "--dry-run")).stdout
    refused = typed("trace", "add", "WREN-52", str(file))
    assert refused.exit_code == 20
    assert everything() == before


def test_an_untraced_frame_says_how_it_is_traced(typed: Typed) -> None:
    """What is missing comes with the command that mends it."""
    assert "shopledger trace add WREN-52" in typed("trace", "show", "WREN-52").stderr


def test_a_receipt_is_issued_once_and_printed_again(sold: Typed, tmp_path: Path) -> None:
    """The folder is made, the copy says that it is one, and a second receipt is refused."""
    papers = tmp_path / "papers" / "2026"
    issue = ("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(papers))
    assert Path(read_json(sold(*issue, "--json"))["file"]) == papers / "receipt-00001.pdf"
    copy = Path(read_json(sold("receipt", "print", "1", "--into", str(papers), "--json"))["file"])
    assert copy.read_bytes().startswith(b"%PDF")
    assert "copy" in copy.name
    assert "receipt print 1" in sold(*issue).stderr
    assert "V2020" in done(sold("receipt", "show", "1")).stdout
    assert "Odalys Fernhollow" in done(sold("receipt", "list", "--order", "1")).stdout


def test_an_unpaid_order_is_printed_as_what_it_is(typed: Typed, tmp_path: Path) -> None:
    """Only with the option that says so."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    words = ("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path))
    assert read_json(typed(*words, "--not-paid-in-full", "--json"))["balance"] == "186.50"


def test_new_lenses_are_planned_drafted_and_recorded(
    sold: Typed, tmp_path: Path, everything: Callable[[], bytes]
) -> None:
    """From the stored shape to a draft with its record, and from the draft to an order without a frame."""
    eyes = ("prescription", "add", "--customer", "1", "--wearer", "Odalys", "--prescriber", "1")
    done(sold("--today", "2029-04-10", *eyes, "--written", "2029-04-02", *NEW_EYES))
    reorder = ("--today", "2029-04-10", "reorder", "--customer", "1", "--wearer", "Odalys")
    before = everything()
    plan = read_json(sold(*reorder, "--dry-run", "--json"))
    assert (plan["draft"], plan["earlier_job"], plan["chosen"]["lens"]) == (None, 1, "SV-150")
    assert plan["chosen"]["right"]["blank"] in {70.0, 75.0}
    assert everything() == before
    drafted = done(sold(*reorder, "--into", str(tmp_path / "papers")))
    assert "draft record 1" in drafted.stderr
    assert (tmp_path / "papers" / "reorder-00001.pdf").exists()
    assert "draft" in done(sold("draft", "list")).stdout
    assert "WREN-52" in done(sold("draft", "show", "1")).stdout
    assert "dry run" in done(sold("--today", "2029-04-10", "draft", "record", "1", "--dry-run")).stderr
    order = read_json(sold("--today", "2029-04-10", "draft", "record", "1", "--json"))
    assert [line["kind"] for line in order["lines"]] == ["lenses", "shipping"]
    assert "recorded as order 2" in sold("draft", "record", "1").stderr
    assert read_json(sold("draft", "list", "--json")) == {"drafts": []}


def test_a_month_is_shown(sold: Typed) -> None:
    """Its own figures, for reading: what is sold leaves first."""
    assert "net sales    0.00" in done(sold("month", "show", "2026-03")).stdout
    done(sold("sale", "ship", "1", *SENT))
    assert "net sales    186.50" in done(sold("month", "show", "2026-03")).stdout


def test_a_month_shows_what_was_taken_back_in_it(sold: Typed) -> None:
    """Apart from what was sold, with what is left; nothing of it where nothing was voided."""
    done(sold("sale", "ship", "1", *SENT))
    assert "Taken back" not in sold("month", "show", "2026-03").stdout
    done(sold("refund", "give", "1", "--line", "1=20", "--method", "cash", "--reason", "a scratch"))
    shown = done(sold("month", "show", "2026-03")).stdout
    for words in ("Taken back in the month", "net sales refunded   20.00", "Left after that", "net sales  166.50"):
        assert words in shown
    figures = read_json(sold("month", "show", "2026-03", "--json"))
    assert (figures["refunds"], figures["refunded_net"], figures["money_back"]) == (1, "20.00", "20.00")
    assert (figures["net_total"], figures["net_kept"]) == ("186.50", "166.50")


def test_a_month_shows_both_views_and_the_way_between(sold: Typed) -> None:
    """The one that the shop chose stands first; what lies between is told line by line."""

    def heads() -> str:
        shown = done(sold("month", "show", "2026-03")).stdout
        return next(line for line in shown.splitlines() if line.startswith("the month's result"))

    assert heads().split()[-2:] == ["accrual", "cash"]
    done(sold("shop", "change", "--accounting", "cash", "--inventory-view", "materials"))
    assert heads().split()[-2:] == ["cash", "accrual"]
    assert read_json(sold("month", "show", "2026-03", "--json"))["accounting"] == "cash"


def test_a_month_is_written_as_plain_files(sold: Typed, tmp_path: Path) -> None:
    """A CSV file for each sheet of rows, and a list of them, in the folder that was named."""
    folder = tmp_path / "books"
    files = read_json(sold("month", "export", "2026-03", "--csv", "--into", str(folder), "--json"))["files"]
    names = {Path(file).name for file in files}
    assert {"sales-lines-2026-03.csv", "journal-2026-03.csv", "month-2026-03.txt"} <= names
    assert {Path(file).parent for file in files} == {folder}
    assert all(Path(file).is_file() for file in files)


def test_a_month_is_written_as_a_workbook(sold: Typed, tmp_path: Path) -> None:
    """One file, named by its month, in the folder that was named."""
    written = Path(read_json(sold("month", "export", "2026-03", "--into", str(tmp_path / "books"), "--json"))["file"])
    assert written == tmp_path / "books" / "month-2026-03.xlsx"
    assert written.read_bytes().startswith(b"PK")


def test_the_books_prove_themselves_until_somebody_meddles(sold: Typed, ledger: Path) -> None:
    """A change from outside is found, and the exit code says so."""
    import sqlite3

    assert "DIFFERS" not in done(sold("verify")).stdout
    with sqlite3.connect(ledger) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE journal_entry SET memo = 'something else' WHERE number = 1")
    result = sold("verify")
    assert result.exit_code == 40
    assert "entry 1 " in result.stdout
    assert "the books differ (RECORDS, CHAIN" in result.stderr


def test_where_says_the_path_alone(typed: Typed, ledger: Path) -> None:
    """So that it can be handed to another program."""
    assert done(typed("where")).stdout == f"{ledger}\n"


def test_people_are_shown_for_reading(typed: Typed) -> None:
    """Tables say what the JSON says."""
    assert "Fernhollow" in done(typed("customer", "find")).stdout
    card = done(typed("customer", "show", "1")).stdout
    assert "R -2.50 -1.25 x 090 add 2.00" in card
    assert "Castellane" in done(typed("prescriber", "list")).stdout
    answers = "1\nTam Fernhollow\nspouse\n04/05/1980\n\n"
    assert "1980-04-05" in done(typed("wearer", "add", answers=answers)).stdout
    assert "2" in done(typed("prescriber", "add", answers="Dr. Hale\n\n1234567893\n")).stdout


def test_every_list_fits_eighty_columns_whole(sold: Typed, tmp_path: Path) -> None:
    """Nothing is cut off, however long the words are."""
    done(sold("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    for noun in (
        "frame",
        "lens",
        "extra",
        "accessory",
        "offer",
        "tax",
        "stock",
        "prescriber",
        "sale",
        "receipt",
        "draft",
    ):
        shown = done(sold(noun, "list")).stdout
        assert max(map(len, shown.splitlines())) <= 80, noun
        assert "…" not in shown, noun
    for words in (("customer", "show", "1"), ("sale", "show", "1"), ("receipt", "show", "1"), ("shop", "show")):
        shown = done(sold(*words)).stdout
        assert max(map(len, shown.splitlines())) <= 80, words
        assert "…" not in shown, words


def test_a_folder_that_cannot_be_made_is_one_line(sold: Typed, tmp_path: Path) -> None:
    """A path that leads through a file is said so, and no receipt number is taken."""
    (tmp_path / "papers").write_text("a file", encoding="utf-8")
    result = sold("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path / "papers" / "2026"))
    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert "a part of its path is a file" in result.stderr
    assert read_json(sold("receipt", "list", "--json")) == {"receipts": []}
