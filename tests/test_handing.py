"""Files handed to the system's own programs: which program gets which file, and what is said where there is none."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from shopledger.files.handing import Handing, Hands
from shopledger.files.refusals import NotHandedError


@dataclass
class Handed:
    """What was started, and with what answer."""

    known: tuple[str, ...] = ("xdg-open", "open", "lp", "lpr")
    answer: str = ""
    started: list[tuple[str, ...]] = field(default_factory=list)

    def start(self, command: Sequence[str]) -> str:
        """Note a command."""
        self.started.append(tuple(command))
        return self.answer

    def by_windows(self, file: Path, verb: str) -> None:
        """Note what Windows is asked for."""
        self.started.append((verb, str(file)))

    def on(self, platform: str) -> Hands:
        """Give hands on such a system."""
        find = {name: f"/usr/bin/{name}" for name in self.known}.get
        return Hands(platform, find, self.start, self.start, self.by_windows)


@pytest.mark.parametrize(
    ("platform", "what", "program"),
    [
        ("linux", Handing.OPEN, "/usr/bin/xdg-open"),
        ("darwin", Handing.OPEN, "/usr/bin/open"),
        ("freebsd14", Handing.OPEN, "/usr/bin/xdg-open"),
        ("linux", Handing.PRINT, "/usr/bin/lp"),
        ("darwin", Handing.PRINT, "/usr/bin/lp"),
        ("win32", Handing.OPEN, "open"),
        ("win32", Handing.PRINT, "print"),
    ],
)
def test_each_system_has_its_program(platform: str, what: Handing, program: str, tmp_path: Path) -> None:
    """It gets the whole path as one word, whatever signs it has: no shell reads it."""
    file = tmp_path / "-a; b' $(c).pdf"
    handed = Handed()
    handed.on(platform).hand(file, what)
    assert handed.started == [(program, str(file))]


def test_another_printing_program_does_too() -> None:
    """Where the first one is missing."""
    handed = Handed(known=("lpr",))
    handed.on("linux").hand(Path("/a/b.pdf"), Handing.PRINT)
    assert handed.started == [("/usr/bin/lpr", "/a/b.pdf")]


@pytest.mark.parametrize(
    ("what", "said"),
    [
        (Handing.OPEN, "could not be opened: there is no program 'xdg-open' on this computer. Open it yourself."),
        (Handing.PRINT, "could not be printed: there is no program 'lp' on this computer. Open it and print it"),
    ],
)
def test_without_a_program_it_is_said(what: Handing, said: str) -> None:
    """And that the file is written all the same."""
    with pytest.raises(NotHandedError) as told:
        Handed(known=()).on("linux").hand(Path("/a/b.pdf"), what)
    assert said in str(told.value)
    assert str(told.value).startswith(f"{Path('/a/b.pdf')} is written, but")


def test_what_the_program_says_is_passed_on() -> None:
    """Such as that there is no printer."""
    with pytest.raises(NotHandedError, match="printed: lp: no default destination"):
        Handed(answer="lp: no default destination available.").on("linux").hand(Path("/a/b.pdf"), Handing.PRINT)


@pytest.mark.skipif(sys.platform == "win32", reason="no programs of a script on Windows")
def test_real_programs_are_started_without_a_shell(tmp_path: Path) -> None:
    """Their refusal is read, and one that goes on showing is not waited for."""
    seen, file = tmp_path / "seen", tmp_path / "a b$(x).pdf"
    file.touch()
    for name, lines in (
        ("lp", f'printf "%s" "$1" > {seen}'),
        ("xdg-open", "exec sleep 4"),
        ("lpr", "echo lpr: no printer >&2; exit 1"),
        ("broken", "exit 3"),
    ):
        script = tmp_path / name
        script.write_text(f"#!/bin/sh\n{lines}\n")
        script.chmod(0o700)

    def only(program: str) -> Hands:
        return Hands("linux", lambda _name: str(tmp_path / program))

    only("lp").hand(file, Handing.PRINT)
    assert seen.read_text() == str(file)
    only("xdg-open").hand(file, Handing.OPEN)
    with pytest.raises(NotHandedError, match="no printer"):
        only("lpr").hand(file, Handing.PRINT)
    with pytest.raises(NotHandedError, match="gave it back with code 3"):
        only("broken").hand(file, Handing.OPEN)
    with pytest.raises(NotHandedError, match="no such file"):
        only("none").hand(file, Handing.OPEN)
