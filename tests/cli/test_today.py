"""Today and the one field at the terminal: shown, chosen from by number, and the same as JSON."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.cli.today_steps import _STEPS, step_of
from shopledger.ledger.things import About, Thing
from shopledger.ledger.today import Waiting, Waits
from tests.cli.commands import leaves
from tests.cli.conftest import NOW, PAIR, Typed, done, read_json


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Give the shop with one pair sold in it and nothing paid."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_today_is_shown_with_the_most_urgent_first(sold: Typed) -> None:
    """Each line says what is to be done; what is overdue says so, and when the ledger was copied stands below."""
    shown = done(sold("--today", "2026-03-20", "today")).stdout
    lines = [" ".join(line.split()) for line in shown.splitlines()]
    assert lines[0] == "Today, 2026-03-20"
    assert lines[3] == "1 OVERDUE: Job 1, O.F.: trace frame WREN-52."
    assert "Order 1: 186.50 is not paid. Odalys Fernhollow" in " ".join(lines)
    assert "last backup never" in lines


def test_today_as_json_keeps_its_form(sold: Typed) -> None:
    """The kind, what it is about, the sentence, how urgent, since and until when, and whose."""
    said = read_json(sold("today", "--json"))
    assert set(said) == {"day", "waiting", "more", "last_copy", "last_copy_away"}
    assert said["waiting"][0] == {
        "kind": "to trace",
        "about": {"thing": "job", "name": "1"},
        "sentence": "Job 1, O.F.: trace frame WREN-52.",
        "urgency": "waiting",
        "since": "2026-03-02",
        "until": None,
        "who": "",
    }
    assert (said["more"], said["last_copy"]) == ({}, None)


def test_of_a_kind_only_some_are_shown(sold: Typed) -> None:
    """The rest is counted."""
    done(sold("sale", "record", "--customer", "1", *PAIR, "--accept", "ORDER-TWICE"))
    said = read_json(sold("today", "--each", "1", "--json"))
    assert said["more"] == {"to trace": 1, "ordered, with a rest to pay": 1}
    assert "and 1 more: to trace" in done(sold("today", "--each", "1")).stdout


def test_the_bare_name_shows_today_at_a_terminal(sold: Typed) -> None:
    """A number shows its command, which is run after a yes and asks for what it lacks."""
    said = done(sold(answers="2\n\n186.50\ncash\n\n"))
    assert "Today, 2026-03-02" in said.stdout
    assert "The command for it: shopledger payment take 1" in said.stderr
    assert read_json(sold("sale", "show", "1", "--json"))["balance"] == "0.00"


def test_what_a_command_would_not_ask_for_is_asked_before(sold: Typed, trace_file: object) -> None:
    """Such as a tracer's file."""
    said = done(sold(answers=f"1\n{trace_file}\ny\n"))
    assert f"shopledger trace add WREN-52 {trace_file}" in said.stderr
    assert read_json(sold("trace", "list", "--json"))["traces"]


def test_nothing_is_run_without_a_number_or_a_yes(sold: Typed) -> None:
    """Enter leaves; a number that no line has is refused as it is typed; a no is a no."""
    assert "shopledger --help" in done(sold(answers="\n")).stderr
    said = done(sold(answers="99\n-1\nx\n2\nn\n"))
    assert said.stderr.count("the lines are 1 to") == 3
    assert read_json(sold("sale", "show", "1", "--json"))["balance"] == "186.50"


def test_away_from_a_terminal_the_bare_name_shows_the_help(typed: Typed) -> None:
    """As before; and whoever asks to choose there is told that nobody can."""
    result = CliRunner().invoke(shop, [], obj=Surroundings(now=NOW, terminal=False), prog_name="shopledger")
    assert (result.exit_code, "Setting up" in result.output) == (2, True)
    assert typed().exit_code == 2
    assert "A person at the terminal" in typed("today", "--choose").stderr


@pytest.mark.parametrize("kind", list(Waits))
def test_every_kind_has_a_command_of_the_program(kind: Waits, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever waits can be done from its line."""
    monkeypatch.setattr("shopledger.cli.today_steps.ask", lambda *_: "x")
    needs = About(Thing.FRAME, "WREN-52")
    words = step_of(Waiting(kind, About(Thing.PAPER, "receipt 1"), "It waits.", needs=needs))
    assert words[:2] in {path for path, _ in leaves()}
    assert set(_STEPS) == set(Waits)


def test_find_lists_what_was_meant(sold: Typed) -> None:
    """By parts of a name, by a number, and as JSON with what it belongs to."""
    assert "Odalys Fernhollow" in done(sold("find", "hollow", "odal")).stdout
    said = read_json(sold("find", "job", "1", "--json"))
    assert said == {
        "hits": [
            {
                "about": {"thing": "job", "name": "1"},
                "of": {"thing": "order", "name": "1"},
                "words": "Odalys Fernhollow: Thistledown Wren, slate; order 1 of 2026-03-02",
                "closeness": "named by its kind and number",
            }
        ]
    }
    assert "nothing was found" in done(sold("find", "nobody of that name")).stdout
    assert [hit["about"]["thing"] for hit in read_json(sold("find", "1", "--json", "--limit", "2"))["hits"]] == [
        "job",
        "order",
    ]
