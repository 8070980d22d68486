"""Setting up a shop: by questions, by options, from a file; an existing ledger is never touched."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.conftest import SHOP_OPTIONS, Typed, done, read_json, type_in

pytestmark = pytest.mark.slow

ANSWERS = "Larkspur Optical\n9 Mill Row\n\nMillbrae\nOH\n43002\n555-0100\n\n12-3456789\n\n\n"


def test_a_shop_is_set_up_by_questions(tmp_path: Path) -> None:
    """What no option says is asked for, and an empty answer leaves out what may be left out."""
    ledger = tmp_path / "new" / "ledger.db"
    result = type_in("setup", "--json", answers=ANSWERS, ledger=ledger)
    assert read_json(result)["ein"] == "12-3456789"
    shown = read_json(type_in("shop", "show", "--json", ledger=ledger))
    assert (shown["name"], shown["address"]["second_line"], shown["npi"]) == ("Larkspur Optical", "", "")


def test_each_answer_is_checked_as_it_is_typed(tmp_path: Path) -> None:
    """A wrong answer is refused at once and asked for again, not at the end."""
    answers = ANSWERS.replace("OH\n", "Ohio\nOH\n").replace("12-3456789\n", "123-45-6789\n12-3456789\n")
    result = type_in("setup", answers=answers, ledger=tmp_path / "ledger.db")
    done(result)
    assert result.stderr.count("Error: ") == 2
    assert "social security number" in result.stderr


def test_back_changes_the_answer_before(tmp_path: Path) -> None:
    """Somebody who notices a slip one question later types back."""
    answers = ANSWERS.replace("Larkspur Optical\n", "Lakspur\nback\nLarkspur Optical\n")
    result = type_in("setup", "--json", answers=answers, ledger=tmp_path / "ledger.db")
    assert read_json(result)["name"] == "Larkspur Optical"


def test_options_leave_nothing_to_ask(tmp_path: Path) -> None:
    """A whole command line runs without a question, at a terminal too."""
    result = type_in("setup", *SHOP_OPTIONS, answers="", ledger=tmp_path / "ledger.db")
    assert "Name of the shop" not in done(result).stderr


def test_a_file_sets_up_the_shop_and_an_option_beside_it_wins(tmp_path: Path) -> None:
    """The file says it all, and what is typed is newer than what is filed."""
    file = tmp_path / "shop.toml"
    file.write_text(
        'name = "Larkspur Optical"\nphone = "555-0100"\nein = "12-3456789"\n'
        '[address]\nstreet = "9 Mill Row"\ncity = "Millbrae"\nstate = "OH"\nzip = "43002"\n'
        '[settings]\nshipping_charge = "6.50"\n',
        encoding="utf-8",
    )
    words = ("setup", "--from", str(file), "--phone", "555-0199", "--json")
    shown = read_json(type_in(*words, ledger=tmp_path / "ledger.db"))
    assert (shown["phone"], shown["settings"]["shipping_charge"]) == ("555-0199", "6.50")


def test_an_existing_ledger_is_refused_before_the_first_question(typed: Typed, ledger: Path) -> None:
    """Nobody answers ten questions for nothing."""
    before = ledger.read_bytes()
    result = typed("setup", answers=ANSWERS)
    assert result.exit_code == 40
    assert "exists already" in result.stderr
    assert "Name of the shop" not in result.stderr
    assert ledger.read_bytes() == before


def test_changing_the_shop_changes_what_is_named_alone(typed: Typed) -> None:
    """One option, one change."""
    before = read_json(typed("shop", "show", "--json"))
    done(typed("shop", "change", "--phone", "555-0123", "--paper", "a4"))
    before["phone"], before["settings"]["paper"] = "555-0123", "a4"
    assert read_json(typed("shop", "show", "--json")) == before


def test_months_of_prescriptions_are_a_choice_of_the_owner(typed: Typed) -> None:
    """From 1 to 120 or off, which it is at first; an expiry as written goes first in either case."""
    assert "by their expiry as written" in done(typed("shop", "show")).stdout
    shown = done(typed("shop", "change", "--prescription-months", "18")).stdout
    assert "after 18 months, or their expiry as written" in shown
    assert read_json(typed("shop", "show", "--json"))["settings"]["prescription_months"] == 18
    for wrong, said in (("0", "from 1 to 120 months, or off"), ("121", "from 1 to 120"), ("two", "or off")):
        refused = typed("shop", "change", "--prescription-months", wrong)
        assert (refused.exit_code in {2, 30}, said in refused.stderr) == (True, True), refused.stderr
    done(typed("shop", "change", "--prescription-months", "off"))
    assert read_json(typed("shop", "show", "--json"))["settings"]["prescription_months"] is None


def test_changing_nothing_is_refused(typed: Typed) -> None:
    """A change without an option would only seem to have done something."""
    assert typed("shop", "change").exit_code == 2


def test_the_end_of_the_answers_stores_nothing(tmp_path: Path) -> None:
    """Input that ends in the middle of the questions leaves no ledger behind."""
    ledger = tmp_path / "ledger.db"
    result = type_in("setup", answers="Larkspur Optical\n9 Mill Row\n", ledger=ledger)
    assert result.exit_code == 1
    assert result.stderr.endswith("Nothing was stored.\n")
    assert not ledger.exists()


@pytest.mark.skipif(os.name != "posix", reason="needs a terminal of its own")
def test_ctrl_c_in_the_middle_of_the_questions_stores_nothing(tmp_path: Path) -> None:
    """At a real terminal, Ctrl-C between two answers ends with one line and leaves no ledger behind."""
    import pty

    ledger = tmp_path / "ledger.db"
    master, slave = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, "-m", "shopledger", "--ledger", str(ledger), "setup"],
        stdin=slave,
        stdout=slave,
        stderr=slave,
        start_new_session=True,
        preexec_fn=lambda: _own_terminal(slave),  # noqa: PLW1509 - the tests run no threads
    )
    os.close(slave)
    try:
        said = _until(master, b"Name of the shop")
        os.write(master, b"Larkspur Optical\n")
        said += _until(master, b"Street")
        # Python misses a Ctrl-C between writing the question and waiting for its answer.
        _asleep(program.pid)
        os.write(master, b"\x03")
        said += _until(master, b"stored.")
        assert program.wait() == 1
    finally:
        program.kill()
        program.wait()
        os.close(master)
    assert b"Nothing was stored." in said
    assert b"Traceback" not in said
    assert not ledger.exists()


def _own_terminal(slave: int) -> None:
    """Make the terminal the program's own, so that Ctrl-C reaches it."""
    import fcntl
    import termios

    fcntl.ioctl(slave, termios.TIOCSCTTY, 0)


def _until(master: int, words: bytes) -> bytes:
    """Read what the program says until the words have come, or it has ended."""
    said = b""
    while words not in said:
        try:
            more = os.read(master, 1024)
        except OSError:  # Linux says so when the program has ended
            more = b""
        if not more:
            break
        said += more
    return said


def _asleep(process: int) -> None:
    """Wait until a process sleeps, as it does while it waits for an answer; it may be held up before for any time."""
    told = Path(f"/proc/{process}/stat")
    asked = ["ps", "-o", "state=", "-p", str(process)]
    while (
        not (
            told.read_text(encoding="ascii", errors="replace").rpartition(")")[2]
            if told.exists()
            else subprocess.check_output(asked, text=True)
        )
        .strip()
        .startswith("S")
    ):
        time.sleep(0.01)
