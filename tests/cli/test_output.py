"""What is shown reads well in black and white at eighty columns, and says exactly what was typed."""

from __future__ import annotations

import io
import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from shopledger.cli.output import Column, Drawing, Fields, Table, display, show
from tests.cli.conftest import Typed, done
from tests.forging import unwatched

HEADINGS = ("job", "order", "for", "frame", "lens", "stage", "next", "days")
ROW = ("3", "1", "O.F.", "PELLOW-52", "PROG-160", "lenses ordered", "wait for the lenses, then cut them", "12")
BOARD = Table(
    "Open jobs",
    tuple(Column(each, right=each in {"job", "order", "days"}, whole=each in {"frame", "lens"}) for each in HEADINGS),
    (ROW, ROW),
)


class Terminal(io.TextIOWrapper):
    """A terminal that keeps what is written on it."""

    def __init__(self, encoding: str = "utf-8") -> None:
        super().__init__(io.BytesIO(), encoding=encoding, write_through=True)

    def isatty(self) -> bool:
        """Say that a person looks."""
        return True

    def seen(self) -> str:
        """Give what stands on the screen."""
        buffer = self.buffer
        assert isinstance(buffer, io.BytesIO)
        return buffer.getvalue().decode(self.encoding)


def sit_at(monkeypatch: pytest.MonkeyPatch, encoding: str = "utf-8") -> Terminal:
    """Put a terminal in the place of the output."""
    screen = Terminal(encoding)
    monkeypatch.setattr("sys.stdout", screen)
    return screen


def test_what_the_owner_typed_is_no_markup(capsys: pytest.CaptureFixture[str]) -> None:
    """Brackets, colons and links in a name are shown as they are."""
    odd = "[bold]Rook[/bold] :smile: 12345 [link=x]"
    display(Fields(odd, ((odd, odd),)), Table(odd, (Column(odd),), ((odd,),)))
    assert capsys.readouterr().out.count(odd) == 5


def test_nothing_is_coloured_away_from_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    """A pipe gets letters and no control characters."""
    display(Fields("Title", (("label", "value"),)), Table("Title", (Column("a"),), (("b",),)))
    assert "\x1b" not in capsys.readouterr().out


@pytest.mark.parametrize("name", ["NO_COLOR", "TERM"])
def test_a_plain_terminal_gets_plain_text(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who asks for no colour or other effects gets none on a terminal either."""
    monkeypatch.setenv("TERM", "xterm-256color")
    screen = sit_at(monkeypatch)
    table = Table("Title", (Column("a heading"),), (("b",),))
    display(table)
    assert "\x1b[1mTitle" in screen.seen()
    monkeypatch.setenv(name, {"NO_COLOR": "1", "TERM": "dumb"}[name])
    plain = sit_at(monkeypatch)
    display(table)
    assert "\x1b" not in plain.seen()


def test_a_wide_table_folds_at_eighty_columns(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is cut off: long words go on in the next line, amounts stay whole."""
    words = "every word of a long description has to be found again " * 3
    display(Table("", (Column("what"), Column("amount", right=True)), ((words, "1,299.95"),)))
    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines())) <= 80
    assert "1,299.95" in shown
    assert [word for word in words.split() if word not in shown] == []


def test_an_empty_table_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """No rows is an answer too."""
    display(Table("Receipts", (Column("a"),), (), "none yet."))
    assert capsys.readouterr().out == "Receipts: none yet.\n"


def test_labels_without_values_are_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    """What is not known takes no room."""
    display(Fields("Title", (("phone", ""), ("name", "Wren"))), Fields("", (("draft", ""),)))
    shown = capsys.readouterr().out
    assert "phone" not in shown
    assert "draft" not in shown
    assert "Wren" in shown


def test_a_drawing_is_printed_as_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    """Every blank counts in a drawing."""
    display(Drawing(("  a  b", " [c]")))
    assert capsys.readouterr().out == "  a  b\n [c]\n"


def test_json_keeps_every_letter(capsys: pytest.CaptureFixture[str]) -> None:
    """One value, UTF-8, and nothing beside it."""
    show(True, {"name": "Łukasz 李", "amount": "1.10"}, Drawing(("x",)))
    assert json.loads(capsys.readouterr().out) == {"name": "Łukasz 李", "amount": "1.10"}


def test_what_goes_before_a_question_is_no_data(capsys: pytest.CaptureFixture[str]) -> None:
    """It stands on stderr, where the questions are."""
    display(Fields("Title", (("label", "value"),)), Drawing(("x",)), err=True)
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "value" in shown.err


LONG = Path("/home/owner/a folder with a long name") / ("very-" * 30) / "receipt-1.pdf"


@pytest.mark.parametrize(
    "block",
    [
        Fields("", (("file", LONG),)),
        Table("", (Column("paper", whole=True), Column("file")), (("receipt", LONG),)),
        Drawing((str(LONG),)),
    ],
    ids=["labels", "table", "drawing"],
)
def test_a_path_is_never_broken_where_a_program_reads_it(
    block: Fields | Table | Drawing, capsys: pytest.CaptureFixture[str]
) -> None:
    """However long a path is, it stands on one line, blanks and all."""
    display(block)
    assert [line for line in capsys.readouterr().out.splitlines() if str(LONG) in line]


def test_the_program_prints_a_path_on_one_line(typed: Typed, trace_file: Path) -> None:
    """A receipt's file is found again by whoever takes the line that begins with its label."""
    folder = trace_file.parent / ("long-" * 25) / "and with blanks"
    order = ("--wearer", "Odalys Fernhollow", "--frame", "WREN-52", "--lens", "SV-150", "--pd", "63")
    done(typed("sale", "record", "--customer", "1", *order))
    printed = done(typed("receipt", "issue", "1", "--wearer", "Odalys", "--not-paid-in-full", "--into", str(folder)))
    line = next(line for line in printed.stdout.splitlines() if line.startswith("file"))
    assert Path(line.removeprefix("file").strip()).is_file()


@pytest.mark.parametrize("columns", [200, 80, 60, 40, 20, 8])
def test_no_column_is_dropped_on_a_narrow_terminal(columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every cell of a table is read on a terminal of any width; where columns have no room, each row is labels."""
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setenv("NO_COLOR", "1")
    terminal = sit_at(monkeypatch)
    display(BOARD)
    shown = terminal.seen()
    assert max(map(len, shown.splitlines())) <= columns
    letters = "".join(shown.split())
    assert [word for cell in (*HEADINGS, *ROW) for word in cell.split() if word not in letters] == []
    assert letters.count("PELLOW-52") == 2


def test_labels_have_room_on_a_narrow_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing has room beside its label it stands under it, and none is lost."""
    monkeypatch.setenv("COLUMNS", "16")
    terminal = sit_at(monkeypatch)
    display(Fields("", (("customer", "Odalys Fernhollow"), ("paid", "1,299.95"))))
    assert terminal.seen().split() == ["customer:", "Odalys", "Fernhollow", "paid:", "1,299.95"]


def test_what_cannot_fit_is_whole_where_a_program_reads_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Columns that keep their values on one line stand out over eighty letters rather than lose any."""
    wide = tuple("x" * 30 for _ in range(4))
    display(Table("", tuple(Column(str(place), whole=True) for place in range(4)), (wide,)))
    assert capsys.readouterr().out.count("x" * 30) == 4


@pytest.mark.parametrize("encoding", ["latin-1", "ascii", "cp437", "utf-8"])
def test_a_drawing_is_seen_on_any_terminal(encoding: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the terminal has no dots to draw with, points and quotes do; a rule is made of hyphens."""
    screen = sit_at(monkeypatch, encoding)
    display(Drawing(("\u2809 \u28c0\u28ff R",)), Table("", (Column("a"),), (("b",),)))
    shown = screen.seen()
    assert "\u2809 \u28c0\u28ff R" in shown if encoding == "utf-8" else "' .: R" in shown
    assert ("-" if encoding in {"latin-1", "ascii"} else "\u2500") in shown


def test_trace_show_ends_well_on_a_terminal_without_unicode(typed: Typed, ledger: Path, trace_file: Path) -> None:
    """The shape is drawn on a terminal of the older kind too, and a letter that it lacks stops nothing."""
    done(typed("trace", "add", "WREN-52", str(trace_file), "--device", "Łukasz's tracer"))
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "shopledger", "--ledger", str(ledger), "trace", "show", "WREN-52"]
    env = {**os.environ, "PYTHONIOENCODING": "latin-1", "TERM": "vt100"}
    ended = subprocess.run(command, stdin=theirs, stdout=theirs, stderr=subprocess.PIPE, env=env, check=False)
    shown = os.read(ours, 100_000).decode("latin-1")
    os.close(ours)
    os.close(theirs)
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert "R is the wearer's right lens" in shown
    assert "?ukasz's tracer" in shown


def test_json_is_read_on_a_terminal_without_unicode(monkeypatch: pytest.MonkeyPatch) -> None:
    """A letter that a terminal lacks is written as its number, so that no value is changed."""
    screen = sit_at(monkeypatch, "latin-1")
    show(True, {"name": "Łukasz"})
    assert json.loads(screen.seen()) == {"name": "Łukasz"}


STEERING = "\x1b[2J\x9b31m\u202eevil\u2066\x07\r\x08"
"""Clears a screen, colours it, turns the writing round, rings, and goes back over what stands there."""


def test_what_steers_a_terminal_is_shown_and_never_sent(monkeypatch: pytest.MonkeyPatch) -> None:
    """In labels, tables, titles and drawings a stored text stands with its controls as numbers."""
    screen = Terminal()
    monkeypatch.setattr("sys.stdout", screen)
    table = Table(STEERING, (Column("name"), Column("path")), ((STEERING, Path(f"a/{STEERING}")),))
    display(Fields(STEERING, (("name", STEERING),)), table, Drawing((STEERING,)))
    seen = screen.seen().replace("\n", "").replace("\x1b[1m", "").replace("\x1b[0m", "")
    assert seen.isprintable()
    assert "\\x1b[2J" in seen
    assert "\\u202eevil\\u2066" in seen.replace(" ", "")


def test_json_keeps_controls_escaped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program reads the text as it is, and a person who looks at it sees no more than its numbers."""
    screen = Terminal()
    monkeypatch.setattr("sys.stdout", screen)
    stored = f"Bügel {STEERING}\U000e0041 \U0001f453"
    show(True, {"name": stored})
    assert json.loads(screen.seen()) == {"name": stored}
    assert screen.seen().replace("\n", "").isprintable()
    assert "Bügel" in screen.seen()


def test_stored_controls_are_shown_in_lists_errors_and_questions(ledger: Path, typed: Typed) -> None:
    """A name that an earlier version took, or that was written from outside, cannot steer the terminal."""
    import sqlite3

    with sqlite3.connect(ledger) as connection:
        name, folded = f"Wren {STEERING}", f"wren {STEERING}".casefold()
        unwatched(connection).execute("UPDATE wearer SET name = ?, folded = ? WHERE number = 2", (name, folded))
        connection.execute("UPDATE accessory SET name = ?", (STEERING,))
        connection.execute("UPDATE prescriber SET name = ?", (STEERING,))
    shown = [
        done(typed("customer", "show", "1")),
        done(typed("customer", "show", "1", "--json")),
        done(typed("accessory", "list")),
        done(typed("prescriber", "list")),
        typed("sale", "record", "--customer", "1", "--wearer", "evil", "--frame", "WREN-52", "--lens", "PROG"),
        typed("sale", "record", answers="1\nWren\nback\n1\n"),
    ]
    for result in shown:
        assert result.output.replace("\n", "").isprintable(), repr(result.output)
    assert any("\\x1b[2J" in result.output for result in shown)
