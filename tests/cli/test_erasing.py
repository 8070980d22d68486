"""Whose data, from the command line: what is held, erasing it, and who looked."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, Typed, done, read_json

pytestmark = pytest.mark.slow

LATER = ("--today", "2034-04-15")
BEFORE = ("--today", "2034-04-14")
ERASE = ("customer", "erase", "1", "--reason", "asked by letter")
YES = ("--accept", "ERASED-FOR-GOOD", "--accept", "NOT-YET-BY-CLOCK")


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Give the shop with one pair sold in it."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_not_yet_is_said_with_the_day(sold: Typed) -> None:
    """An order that is not finished comes before any day; once it is cancelled, tax keeps it until 2034-04-15."""
    refused = sold(*LATER, *ERASE)
    assert refused.exit_code == 30
    assert "Order 1 is neither shipped nor cancelled" in refused.stderr
    done(sold("sale", "cancel", "1", "--reason", "changed her mind"))
    refused = sold(*BEFORE, *ERASE)
    assert "from 2034-04-15 on" in refused.stderr


def test_an_erasure_is_shown_planned_done_and_listed(sold: Typed, tmp_path: Path) -> None:
    """A dry run changes nothing, a yes is needed, and afterwards the books hold and nobody finds the name."""
    done(sold("sale", "cancel", "1", "--reason", "changed her mind"))
    plan = read_json(sold(*LATER, *ERASE, "--dry-run", "--json"))
    assert plan["erasable_from"] == "2034-04-15"
    assert [each["code"] for each in plan["findings"]] == ["ERASED-FOR-GOOD", "NOT-YET-BY-CLOCK"]
    assert "ERASED-FOR-GOOD" in sold(*LATER, *ERASE).stderr
    held = read_json(sold("customer", "held", "1", "--into", str(tmp_path / "held"), "--json"))
    assert Path(held["files"][0]).name == "held-customer-00001.json"
    erased = read_json(sold(*LATER, *ERASE, *YES, "--json"))
    assert (erased["number"], erased["asked_by"], erased["packed"]) == (1, "person", True)
    assert read_json(sold("verify", "--json"))["holds"]
    assert read_json(sold("customer", "find", "--json")) == {"customers": []}
    listed = read_json(sold("erasure", "list", "--json"))["erasures"]
    assert [(each["customer"], each["reason"]) for each in listed] == [(1, "asked by letter")]
    assert read_json(sold("erasure", "again", "--json")) == {"erasures": []}


def test_who_looked_is_shown(sold: Typed) -> None:
    """By customer, by deed, and with what was changed from what to what."""
    done(sold("customer", "change", "1", "--phone", "555-0199"))
    done(sold("prescription", "show", "1"))
    notes = read_json(sold("audit", "show", "--customer", "1", "--json"))["notes"]
    assert [note["deed"] for note in notes[:2]] == ["looked at a prescription", "changed"]
    assert [(each["field"], each["new_value"]) for each in notes[1]["changes"]] == [("phone", "555-0199")]
    assert read_json(sold("audit", "show", "--deed", "erased", "--json")) == {"notes": []}
    assert "looked at a prescription" in " ".join(done(sold("audit", "show", "--limit", "1")).stdout.split())


def test_years_are_set_with_their_reasons_and_old_notes_go(sold: Typed) -> None:
    """The law's least is a limit; notes older than kept are taken away, and the rest still proves itself."""
    assert sold("shop", "keeping", "--lens-years", "2").exit_code == 30
    assert read_json(sold("shop", "keeping", "--state-years", "5", "--json"))["state_years"] == 5
    assert "801.410" in done(sold("shop", "keeping")).stdout
    done(sold("prescription", "show", "1"))
    assert read_json(sold(*LATER, "audit", "prune", "--json"))["before"] == "2028-04-01"
    assert read_json(sold("verify", "--json"))["holds"]


def test_a_hold_stops_an_erasure(sold: Typed) -> None:
    """Placed and lifted, each once."""
    done(sold("sale", "cancel", "1", "--reason", "changed her mind"))
    done(sold("customer", "hold", "1", "--reason", "a lawsuit"))
    assert "legal hold: a lawsuit" in sold(*LATER, *ERASE, *YES).stderr
    done(sold("customer", "hold", "1", "--reason", "settled", "--lift"))
    done(sold(*LATER, *ERASE, *YES))


def test_a_copy_that_is_put_back_forgets_again(sold: Typed, tmp_path: Path) -> None:
    """A backup of before the erasure brings nobody back: who was erased since is erased again, and it is said."""
    stick = tmp_path / "stick"
    stick.mkdir()
    done(sold("backup", "place", "add", str(stick), "--away"))
    done(sold("sale", "cancel", "1", "--reason", "changed her mind"))
    done(sold("backup", "make"))
    done(sold(*LATER, *ERASE, *YES))
    head = read_json(sold("verify", "--json"))["head"]
    copy = str(next(stick.glob("*.db")))
    told = read_json(sold(*LATER, "backup", "restore", copy, "--yes-replace", head, "--json"))
    assert told["erased_again"] == ["customer 1"]
    assert read_json(sold("verify", "--json"))["holds"]
    assert read_json(sold("customer", "find", "--json")) == {"customers": []}
