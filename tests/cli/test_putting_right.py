"""What puts orders and jobs right, as it is typed: shown first, asked where it must be, said what comes next."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import click
import pytest

from shopledger.cli.main import shop
from tests.cli.conftest import PAIR, UNSEEN, Typed, done, read_json

CASES = ("--accessory", "CASE=2")
TOTAL = "212.18"
"""A frame of 180.00 with its lenses included, two cases at 24.00 with 1.68 tax, 6.50 for shipping."""


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Record a plain pair with two cases."""
    done(typed("sale", "record", "--customer", "1", *PAIR, *CASES))
    return typed


def paid(typed: Typed) -> None:
    """Pay all of it."""
    done(typed("payment", "take", "1", "--amount", TOTAL, "--method", "card", "--reference", "4242"))


def test_a_job_is_put_right(sold: Typed) -> None:
    """The new job is named with the sheet to print, the old one is not to be made, and the order tells of both."""
    result = done(sold("job", "put-right", "1", "--pd-right", "32", "--pd-left", "31", "--reason", "misread"))
    assert "Job 1 is not to be made. Next: 'shopledger job sheet 2'." in result.stderr
    shown = done(sold("sale", "show", "1")).stdout
    assert "1 (now 2), 2" in shown
    assert "misread" in shown
    assert "job 2 in the place of job 1" in " ".join(result.stdout.split())


def test_a_dry_run_stores_nothing(sold: Typed) -> None:
    """What it would come to, and nothing more."""
    words = ("job", "put-right", "1", "--extra", "AR", "--reason", "forgotten", "--dry-run")
    planned = read_json(sold(*words, "--json"))
    assert (planned["number"], planned["kind"], planned["difference"]) == (None, "put right", "129.95")
    assert planned["jobs"] == [{"job": None, "in_place_of": 1, "pair": 1}]
    assert [line["code"] for line in planned["added"]] == ["AR"]
    assert "dry run" in sold(*words).stderr
    assert read_json(sold("sale", "show", "1", "--json"))["corrections"] == []


def test_the_reason_is_asked_for_and_needed(sold: Typed) -> None:
    """At a terminal it is asked; elsewhere the option is named."""
    words = ("sale", "reduce", "1", "--line", "1=20")
    assert "--reason is missing" in sold(*words).stderr
    assert done(sold(*words, answers="came late\n")).exit_code == 0
    assert read_json(sold("sale", "show", "1", "--json"))["corrections"][0]["reason"] == "came late"


def test_how_money_goes_back_is_asked_where_some_does(sold: Typed) -> None:
    """At a terminal with the amount; elsewhere it is refused with it, and nothing is stored."""
    paid(sold)
    words = ("sale", "take-out", "1", "--line", "3=1", "--reason", "one is enough")
    assert "12.84 was paid and goes back" in sold(*words).stderr
    result = done(sold(*words, answers="cash\n"))
    assert "12.84 goes back by (card, cash, check, transfer)" in result.output
    assert "12.84 is given back by cash." in result.output
    assert read_json(sold("sale", "show", "1", "--json"))["refunded"] == "12.84"


def test_what_was_paid_is_not_reduced(sold: Typed) -> None:
    """The sentence says what to type instead."""
    paid(sold)
    result = sold("sale", "reduce", "1", "--line", "1=20", "--reason", "late")
    assert result.exit_code == 30
    assert "'shopledger refund give 1 --line 1=20.00 --method HOW --reason WHY'" in result.stderr


def test_goods_and_pairs_are_added(sold: Typed) -> None:
    """Goods beside the glasses, a frame without lenses at an agreed price, a second pair."""
    done(sold("sale", "add", "1", "--accessory", "CASE", "--wearer", "Odalys", "--reason", "forgotten"))
    frame = ("--frame-only", "WREN-52", "--demo-lenses", "removed", "--wearer", "Odalys", "--price", "WREN-52=99")
    assert read_json(sold("sale", "add", "1", *frame, "--reason", "x", "--json"))["added"][0]["net"] == "99.00"
    result = done(sold("sale", "add", "1", *PAIR, "--reason", "a second pair"))
    assert "Next: 'shopledger job sheet 2" in result.stderr
    assert "--demo-lenses is missing" in sold("sale", "add", "1", "--frame-only", "WREN-52", "--reason", "x").stderr
    assert "--wearer is missing" in sold("sale", "add", "1", "--reason", "x").stderr


def test_a_line_is_given_its_agreed_price(sold: Typed) -> None:
    """Once for each line."""
    assert read_json(sold("sale", "price", "1", "--line", "1=150", "--reason", "x", "--json"))["balance"] == "182.18"
    twice = sold("sale", "price", "1", "--line", "5=1", "--line", "5=2", "--reason", "x")
    assert "--line names a line twice" in twice.stderr
    assert "it is a line and an amount" in sold("sale", "price", "1", "--line", "1", "--reason", "x").stderr
    assert "it is a code and an amount" in sold("sale", "add", "1", "--price", "5", "--reason", "x").stderr


def test_a_broken_frame_is_replaced(sold: Typed) -> None:
    """Without charge."""
    result = read_json(sold("job", "frame-broken", "1", "--reason", "snapped", "--json"))
    assert (result["difference"], result["jobs"][0]["in_place_of"]) == ("0.00", 1)


def test_what_cannot_be_typed_together_is_refused(sold: Typed) -> None:
    """A pair for one eye is another pair; nothing named to take out; a line named twice."""
    assert "--only is said with the sale" in sold("job", "put-right", "1", "--only", "left", "--reason", "x").stderr
    assert "--line is missing" in sold("sale", "take-out", "1", "--reason", "x").stderr
    assert "twice" in sold("sale", "take-out", "1", "--line", "3", "--line", "3=1", "--reason", "x").stderr


def test_a_copy_of_an_order_becomes_a_draft(sold: Typed) -> None:
    """For the wrong customer found out later: nothing is typed again but whose it is."""
    done(sold("sale", "price", "1", "--line", "3=20", "--reason", "agreed"))
    draft = read_json(sold("draft", "copy", "1", "--json"))
    assert 'wearer = "Odalys Fernhollow"' in draft["order_file"]
    again = read_json(sold("draft", "record", str(draft["number"]), "--json"))
    assert (again["total"], again["pairs"][0]["measurements"]["pd"]) == (TOTAL, 63)


def commands_of(found: dict[str, Any]) -> list[str]:
    """Give what is to be typed."""
    return [each["command"] for each in found["remedies"] if each["command"]]


def test_every_line_that_is_to_be_typed_is_a_command_with_its_options(sold: Typed, tmp_path: Path) -> None:
    """Before and after the order left, from each kind of document."""
    paid(sold)
    looks = [("order", 1), ("job", 1), ("payment", 1), ("prescription", 1)]
    found = [commands_of(read_json(sold("fix", what, str(number), "--json"))) for what, number in looks]
    done(sold("sale", "ship", "1", "--carrier", "post", *UNSEEN))
    done(sold("refund", "give", "1", "--line", "3=5", "--method", "cash", "--reason", "a dent"))
    done(sold("deposit", "take", "1", "20", "--method", "cash"))
    done(sold("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    looks += [("refund", 1), ("deposit", 1), ("receipt", 1), ("parcel", 1)]
    found += [commands_of(read_json(sold("fix", what, str(number), "--json"))) for what, number in looks]
    done(sold("parcel", "returned", "1", "--reason", "nobody at home"))
    found.append(commands_of(read_json(sold("fix", "parcel", "1", "--json"))))
    typed = {line for lines in found for line in lines}
    assert len(typed) > 25
    for line in typed:
        assert not _unknown(line), line


def _unknown(line: str) -> list[str]:
    """Give the words of a line that are no command, and the options that its command does not have."""
    words = re.sub(r"\(.*?\)", "", line).split()[1:]
    command: click.Command | None = shop
    context = click.Context(shop)
    while words and isinstance(command, click.Group):
        command = command.get_command(context, words.pop(0))
    if command is None or isinstance(command, click.Group):
        return [line]
    known = {option for parameter in command.params for option in parameter.opts}
    return [word for word in words if word.startswith("--") and word not in known]


def test_what_is_too_late_says_why_and_what_to_do_instead(sold: Typed) -> None:
    """An order that left, a job that was cut, an order that was cancelled, a document that is not there."""
    done(sold("sale", "ship", "1", "--carrier", "post", *UNSEEN))
    order = " ".join(done(sold("fix", "order", "1")).stdout.split())
    assert "left on 2026-03-02" in order
    remedies = {each["what"]: each for each in read_json(sold("fix", "order", "1", "--json"))["remedies"]}
    forgotten = remedies["goods or a pair forgotten"]
    assert forgotten["why_not"] == "it left on 2026-03-02, so it is an order of its own"
    assert forgotten["command"] == "shopledger draft copy 1"
    assert remedies["exchange for something else"]["possible"]
    job = read_json(sold("fix", "job", "1", "--json"))
    pd = next(each for each in job["remedies"] if each["what"] == "wrong PD")
    assert (pd["possible"], pd["why_not"]) == (False, "it left on 2026-03-02")
    assert pd["command"] == "shopledger job remake 1 --because CAUSE --reason WHY --pd MM"
    parcel = {each["what"]: each for each in read_json(sold("fix", "parcel", "1", "--json"))["remedies"]}
    assert parcel["job 1 never arrived"]["command"].startswith("shopledger job remake 1 --because lost-on-its-way")
    assert parcel["what is left goes elsewhere"]["why_not"] == "all of the order has left"
    done(sold("sale", "record", "--customer", "1", *PAIR))
    done(sold("sale", "cancel", "2", "--reason", "ordered twice"))
    cancelled = read_json(sold("fix", "order", "2", "--json"))
    assert [each["why_not"] for each in cancelled["remedies"]] == ["it was cancelled on 2026-03-02"]
    assert sold("fix", "order", "9").exit_code == 40
    assert "receipt" in sold("fix", "paper", "1").stderr
