"""What is shown reads well in black and white at eighty columns, and says exactly what was typed."""

from __future__ import annotations

import json

import pytest

from shopledger.cli.output import Column, Drawing, Fields, Table, display, show


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
    """Who asks for no colour gets none on a terminal either."""
    import io

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    screen = Terminal()
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv(name, {"NO_COLOR": "1", "TERM": "dumb"}[name])
    monkeypatch.setattr("sys.stdout", screen)
    display(Table("Title", (Column("a"),), (("b",),)))
    assert "\x1b[3" not in screen.getvalue()


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
