"""Sales tax by place as it is typed: rates with their days, returns on the screen and in files, goods taken home."""

from __future__ import annotations

from pathlib import Path

import openpyxl

from tests.cli.conftest import Typed, done, read_json

CASES = ("sale", "record", "--customer", "1", "--accessory", "CASE=2", "--shipping", "5")


def test_at_a_terminal_an_older_rate_is_named_and_asked_about(typed: Typed) -> None:
    """A no stores nothing, a yes stores it; the list says from when to when each counts."""
    words = ("tax", "set", "OH", "accessory", "7.25", "--from", "2026-07-01", "--to", "2026-12-31")
    stopped = typed(*words, answers="n\n")
    assert stopped.exit_code == 1
    assert "7 % from 2020-01-01 without a last day" in stopped.stderr
    assert len(read_json(typed("tax", "list", "--json"))["rates"]) == 1
    done(typed(*words, answers="y\n"))
    listed = " ".join(done(typed("tax", "list")).stdout.split())
    for span in ("7 % 2020-01-01 2026-06-30", "7.25 % 2026-07-01 2026-12-31", "7 % 2027-01-01"):
        assert span in listed


def test_a_yes_to_nothing_is_refused(typed: Typed) -> None:
    """Nobody asked about a place that has no rate yet."""
    words = ("tax", "set", "OH", "accessory", "8", "--place", "Millbrae")
    assert "answers nothing" in typed(*words, "--accept", "RATE-OVERLAPS").stderr
    assert "the place's own border" in done(typed(*words)).stderr


def test_the_sale_shows_the_place_it_is_taxed_for(typed: Typed) -> None:
    """With its rate, beside the tax; an owner without places reads nothing of it."""
    assert "taxed for" not in done(typed(*CASES, "--dry-run")).stdout
    done(typed("tax", "set", "OH", "accessory", "8", "--place", "millbrae"))
    done(typed("tax", "set", "OH", "shipping", "as-goods"))
    shown = " ".join(done(typed(*CASES, "--dry-run")).stdout.split())
    done(typed(*CASES))
    assert "sales tax 2.32" in shown  # 24.00 and 5.00 at 8 %
    assert "taxed for millbrae (8 %)" in shown
    done(typed("tax", "set", "OH", "non-prescription", "6"))
    shades = ("SHADES", "--name", "Plano", "--price", "45", "--cost", "15", "--tax-category", "non-prescription")
    done(typed("accessory", "add", *shades, "--count", "2", "--as", "opening"))
    done(typed("sale", "record", "--customer", "1", "--accessory", "SHADES", "--shipping", "0"))
    for number in ("1", "2"):
        done(typed("sale", "ship", number, "--carrier", "post"))
    due = " ".join(done(typed("tax", "due", "2026-Q1")).stdout.split())
    assert "OH by place and rate" in due
    assert "millbrae 8 % 29.00 2.32 0.00 2.32" in due
    assert "rest of OH 6 % 45.00 2.70 0.00 2.70" in due


def test_what_the_owner_took_home_is_said_with_the_return(typed: Typed) -> None:
    """Without a rate for use nothing is worked out; with one it is, and stands in no account."""
    done(typed("stock", "take-home", "CASE", "--quantity", "2"))
    result = done(typed("tax", "due", "2026-03"))
    assert "goods taken home, at cost" in result.stdout
    assert "8.00" in result.stdout
    assert "No rate for use is set in OH" in result.stderr
    done(typed("tax", "set", "OH", "use", "7"))
    result = done(typed("tax", "due", "2026-03"))
    assert "use tax on them at 7 %" in result.stdout
    assert "0.56" in result.stdout
    assert "stands in no account" in result.stderr


def test_a_return_is_written_into_files(typed: Typed, tmp_path: Path) -> None:
    """A workbook for each state, CSV beside it where asked for; where nothing happened, that is said."""
    done(typed(*CASES))
    done(typed("sale", "ship", "1", "--carrier", "post"))
    folder = tmp_path / "returns"
    written = read_json(typed("tax", "export", "2026-Q1", "--into", str(folder), "--csv", "--json"))
    (only,) = written["returns"]
    names = [Path(file).name for file in only["files"]]
    assert (only["state"], names[0], len(names)) == ("OH", "tax-return-OH-2026-Q1.xlsx", 4)
    assert "orders,1" in Path(only["files"][1]).read_text(encoding="utf-8-sig").splitlines()
    book = openpyxl.load_workbook(only["files"][0])
    assert book.sheetnames == ["Return", "Places and rates", "Not taxed", "Notes"]
    done(typed("tax", "export", "2026-Q1", "--into", str(folder)))  # its own file is written over
    assert "Nothing was sold" in done(typed("tax", "export", "2025", "--into", str(folder))).stderr


def test_goods_are_never_of_a_category_that_is_a_part_or_use(typed: Typed) -> None:
    """The refusal lists what goods beside the glasses may be."""
    words = ("accessory", "add", "CORD", "--name", "Cord", "--price", "9", "--cost", "2", "--tax-category", "coating")
    refused = typed(*words)
    assert refused.exit_code != 0
    assert "prescription eyewear, non-prescription, accessory, service, shipping" in refused.stderr
