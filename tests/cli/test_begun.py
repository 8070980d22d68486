"""An order that was left in the middle: kept at each question, offered the next time, gone once it is recorded."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Final

import pytest

from tests.cli.conftest import ADDRESS, Typed, done, read_json

UNTIL_LENS: Final = ("1", "y", "odalys", "", "wren-52", "sv-150")
ASKED_NEXT: Final = ("A pair", "Wearer", "Prescription", "Frame", "Lens", "Made for")
"""What is asked behind each of them."""
YES: Final = ("--accept", "ERASED-FOR-GOOD")
REST: Final = ("reading", "AR", "63", "60", "19", "n", "", "", "", "", "", "y")
OFFERED: Final = "An order for Odalys Fernhollow was begun on 2026-03-02 10:30 by Ilse, and not recorded."


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


@pytest.fixture
def left(typed: Typed) -> Typed:
    """Begin an order and leave it at the question what it is made for."""
    result = typed("sale", "record", answers=lines(*UNTIL_LENS))
    assert result.exit_code == 1
    assert "What was answered is kept: 'shopledger sale record' offers to go on with it." in result.stderr
    assert result.stderr.endswith("Nothing was stored.\n")
    return typed


def test_an_order_that_was_left_is_gone_on_with(left: Typed) -> None:
    """What was answered is shown and not asked again, up to the question at which it was left."""
    said = done(left("sale", "record", answers=lines("on", *REST))).stderr
    assert OFFERED in said
    assert "Lens (with ' right' or ' left' for one eye, RIGHT/LEFT for two codes): SV-150\n" in said
    assert said.index("Customer, number or name: 1\n") < said.index("Made for (distance, reading, screen) [distance]: ")
    (pair,) = read_json(left("sale", "show", "1", "--json"))["pairs"]
    assert (pair["frame"], pair["use"], pair["extras"]) == ("WREN-52", "reading", ["AR"])


def test_it_is_the_order_that_would_have_been_recorded_at_once(left: Typed) -> None:
    """Going on changes nothing of it."""
    done(left("sale", "record", answers=lines("on", *REST)))
    done(left("sale", "record", answers=lines(*UNTIL_LENS, *REST[:-1], "y", "y")))
    one, two = (read_json(left("sale", "show", number, "--json"))["pairs"][0] for number in ("1", "2"))
    assert {**one, "job": None} == {**two, "job": None}


def test_once_it_is_recorded_nothing_is_offered(left: Typed) -> None:
    """What was kept goes with the order, in the same moment."""
    done(left("sale", "record", answers=lines("on", *REST)))
    assert "was begun" not in left("sale", "record", answers="").stderr


def test_it_can_be_put_aside_for_another_order(left: Typed) -> None:
    """The other one is recorded, and the first is still offered."""
    done(left("sale", "record", answers=lines("anew", "1", "n", "", "CASE", "", "", "", "", "y")))
    assert OFFERED in left("sale", "record", answers="").stderr


def test_it_can_be_thrown_away(left: Typed) -> None:
    """Then nothing is left of it."""
    left("sale", "record", answers=lines("away"))
    assert "was begun" not in left("sale", "record", answers="").stderr


def test_an_answer_can_be_changed_on_going_on(left: Typed) -> None:
    """`back` goes through what was answered before, where each answer is the usual one."""
    said = done(left("sale", "record", answers=lines("on", "back", "back", "", "prog", "", "63", "", "19", *REST[5:])))
    assert "already): WREN-52" in said.stderr
    assert "already), or new [WREN-52]: \n" in said.stderr
    assert read_json(left("sale", "show", "1", "--json"))["pairs"][0]["lens"] == "PROG"


def test_what_cannot_stand_any_more_is_asked_again(left: Typed) -> None:
    """The frame was sold to somebody else meanwhile: the question comes back with the reason."""
    done(left("stock", "write-off", "WREN-52", "--quantity", "3", "--reason", "a leak"))
    said = left("sale", "record", answers=lines("on")).stderr
    assert "Frame (with ' own' if the wearer has it already), or new [WREN-52]: " in said


def test_a_new_customer_half_answered_is_kept_too(typed: Typed) -> None:
    """The answers are the usual ones when the same is begun again."""
    typed("sale", "record", answers=lines("new", "Briony Alderwick", "4 Fennel Court"))
    said = typed("sale", "record", answers=lines("on", "new", "", "")).stderr
    assert "An order for somebody new was begun" in said
    assert "Name of the customer [Briony Alderwick]: \nStreet and number [4 Fennel Court]: " in said


def test_a_dry_run_keeps_nothing(typed: Typed) -> None:
    """It stores nothing at all."""
    typed("sale", "record", "--dry-run", answers=lines(*UNTIL_LENS))
    assert "was begun" not in typed("sale", "record", answers="").stderr


def test_an_erased_person_is_in_no_order_that_was_left(typed: Typed) -> None:
    """Half a form tells of a person as a whole one does."""
    done(typed("customer", "add", "--name", "Briony Alderwick", *ADDRESS, "--phone", "555-0191"))
    typed("sale", "record", answers=lines("briony", "y"))
    assert "for Briony Alderwick was begun" in typed("sale", "record", answers="").stderr
    done(typed("--today", "2040-03-02", "customer", "erase", "2", "--reason", "asked for", *YES))
    assert "was begun" not in typed("sale", "record", answers="").stderr


@pytest.mark.parametrize("how", [signal.SIGHUP, signal.SIGKILL])
def test_a_closed_terminal_loses_the_question_at_hand_alone(typed: Typed, ledger: Path, how: signal.Signals) -> None:
    """Whatever ends the program, all answers before the question are there the next time."""
    if signal.getsignal(how) is signal.SIG_IGN:
        pytest.skip("whoever runs the tests has told them not to mind that")
    master, slave = pty.openpty()
    words = (sys.executable, "-m", "shopledger", "--ledger", str(ledger), "--operator", "Ilse", "sale", "record")
    with subprocess.Popen(words, stdin=slave, stdout=slave, stderr=slave, start_new_session=True) as process:
        os.close(slave)
        try:
            for answer, question in zip(UNTIL_LENS, ASKED_NEXT, strict=True):
                os.write(master, f"{answer}\n".encode())
                wait_for(master, question)
            process.send_signal(how)
            process.wait(timeout=30)
        finally:
            process.kill()
    os.close(master)
    said = typed("sale", "record", answers=lines("on")).stderr
    assert "An order for Odalys Fernhollow was begun on" in said
    assert "RIGHT/LEFT for two codes): SV-150\n" in said
    assert "Made for (distance, reading, screen) [distance]: \n" in said


def wait_for(master: int, words: str, seconds: float = 30) -> None:
    """Read what a terminal shows until the words stand there."""
    shown, end = "", time.monotonic() + seconds
    while words not in shown:
        assert time.monotonic() < end, shown
        shown += os.read(master, 4096).decode(errors="replace")
