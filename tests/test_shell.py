"""A command that is shown can be typed again, whatever stands in its paths."""

from __future__ import annotations

import os
import shlex
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.shell import typed

WORDS = (
    "plain",
    "with space",
    "it's",
    'a "b"',
    "back\\slash\\",
    "50%",
    "{out}",
    "[a]*?",
    "Müller – 店",
    "-dash",
    "$HOME `x`",
    "two\nlines",
    "",
    "~",
    "#",
    "!x",
    "a&b;c|d>e",
)


@pytest.mark.skipif(os.name == "nt", reason="there is no POSIX shell")
def test_a_posix_shell_reads_back_the_very_words() -> None:
    """What is shown is run by sh itself, and each word arrives as it was."""
    shown = typed(["printf", "%s\\0", *WORDS], "posix")
    said = subprocess.run(["/bin/sh", "-c", shown], capture_output=True, check=True).stdout.decode("utf-8")
    assert said.split("\0")[:-1] == list(WORDS)


def test_a_program_with_a_space_in_its_path_runs_as_shown(tmp_path: Path) -> None:
    """The first word is quoted like the others, and is still what is run."""
    program = tmp_path / "Ana's own (1)" / "say {it}"
    program.parent.mkdir()
    program.write_text('#!/bin/sh\nprintf %s "$1"\n', encoding="utf-8")
    program.chmod(0o755)
    shown = typed([str(program), "a  b"], "posix")
    assert subprocess.run(["/bin/sh", "-c", shown], capture_output=True, check=True).stdout == b"a  b"


@given(st.lists(st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"])), min_size=1))
def test_any_words_are_read_back_by_posix_rules(words: list[str]) -> None:
    """Splitting what is shown gives the words, one line or many."""
    assert shlex.split(typed(words, "posix")) == words


@pytest.mark.parametrize(
    ("word", "shown"),
    [
        (r"C:\shop\shop.db", r"C:\shop\shop.db"),
        ("C:\\shop\\", "C:\\shop\\"),
        ("Müller", "Müller"),
        ("--into", "--into"),
        (r"C:\Ana May\shop.db", r'"C:\Ana May\shop.db"'),
        ("C:\\Ana May\\", '"C:\\Ana May\\\\"'),
        ("a&b", '"a&b"'),
        ("a,b;(c)", '"a,b;(c)"'),
        ("it's", '"it\'s"'),
        ("50%", '"50%"'),
        ("{out}", '"{out}"'),
        ("-2.50", '"-2.50"'),
        (r"\\till\C$\shop", r'"\\till\C$\shop"'),
        ("$HOME's", "'$HOME''s'"),
        ("a`b", "'a`b'"),
        ("“Ana’s”", "'“Ana’’s”'"),
        ("", '""'),
    ],
)
def test_on_windows_a_word_is_quoted_for_both_its_shells(word: str, shown: str) -> None:
    """Double quotes hold what cmd or PowerShell would read; what PowerShell reads in them too stands in single ones."""
    assert typed(["shopledger", word], "nt") == f"shopledger {shown}"


@pytest.mark.parametrize(
    ("program", "shown"),
    [
        ("shopledger", "shopledger"),
        (r"C:\shop\shopledger.exe", r"C:\shop\shopledger.exe"),
        (r"C:\Ana May\shopledger.exe", r'C:\"Ana May\shopledger.exe"'),
        (r"\\till\Ana May\shopledger.exe", r'\\"till\Ana May\shopledger.exe"'),
        ("my shop", 'm"y shop"'),
    ],
)
def test_on_windows_no_program_begins_with_a_quotation_mark(program: str, shown: str) -> None:
    """To PowerShell a line that begins with one is a text; quotes further on are read by both shells."""
    assert typed([program], "nt") == shown
