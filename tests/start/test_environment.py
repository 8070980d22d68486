"""The environment is what its marker says, or made from nothing; and nothing of somebody else's is touched."""

from __future__ import annotations

import errno
import json
import os
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from environment import MARKER, Environment, is_link
from interpreters import Interpreter, StartError

BASE = Interpreter("/opt/python3/bin/python3", "3.12.1", ".cpython-312-x86_64-linux-gnu.so")


class Steps:
    """What takes the place of venv and pip: makes the files that these leave, and remembers what was asked."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.answers: dict[str, tuple[int, str]] = {}
        self.stop_at = -1

    def __call__(self, command: Sequence[str]) -> tuple[int, str]:
        """Pretend to run a command."""
        if len(self.asked) == self.stop_at:
            raise KeyboardInterrupt
        self.asked.append(" ".join(command))
        if "venv" in command:
            place = Path(command[-1])
            for folder in ("bin", "Scripts", "lib/python3.12/site-packages"):
                (place / folder).mkdir(parents=True)
            for name in ("pyvenv.cfg", "bin/python", "Scripts/python.exe"):
                (place / name).touch()
        if "--editable" in command:
            for place in Path(command[0]).parents[1].glob("lib/python*/site-packages"):
                (place / "_shopledger.pth").write_text("/not/here\n", encoding="utf-8")
        return next((answer for part, answer in self.answers.items() if part in self.asked[-1]), (0, ""))

    @property
    def made(self) -> int:
        """How often an environment was made."""
        return sum("venv /" in each for each in self.asked)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Make a checkout of what an environment is made of."""
    root = tmp_path / "checkout"
    for name in ("pyproject.toml", "demo/locked.txt", "tests/locked.txt"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(f"this is {name}", encoding="utf-8")
    return root


@pytest.fixture
def steps() -> Steps:
    """Stand in for venv and pip."""
    return Steps()


@pytest.fixture
def start(root: Path, steps: Steps) -> Callable[..., str]:
    """Start once, as a process of its own would, and give the environment's Python."""

    def started(kind: str = "plain", base: Interpreter = BASE, where: Path = root) -> str:
        environment = Environment(where, system="posix", find=lambda _: base, run=steps)
        try:
            return environment.ready(kind)
        finally:
            environment.hold.release()

    return started


def test_a_second_start_makes_nothing(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """The first makes an environment, installs the locked versions and then the checkout; the second takes it."""
    assert start() == start() == str(root / ".venv/bin/python")
    assert steps.asked[0] == f"{BASE.command} -I -m venv {root / '.venv'}"
    assert "--require-hashes --requirement demo/locked.txt" in steps.asked[1]
    assert "--no-deps --no-build-isolation --editable ." in steps.asked[2]
    assert len(steps.asked) == 3


@pytest.mark.parametrize(
    "base",
    [
        Interpreter("/opt/python4/bin/python3", BASE.version, BASE.built),
        Interpreter(BASE.command, "3.12.2", BASE.built),
        Interpreter(BASE.command, BASE.version, ".cpython-312-aarch64-linux-musl.so"),
    ],
    ids=["path", "version", "build"],
)
def test_another_python_makes_it_anew(steps: Steps, start: Callable[..., str], base: Interpreter) -> None:
    """One that lies elsewhere, was upgraded under it, or was built for another machine."""
    start()
    start(base=base)
    assert steps.made == 2


def test_one_python_has_many_names(steps: Steps, start: Callable[..., str], tmp_path: Path) -> None:
    """The same one behind a link is the same."""
    (tmp_path / "python3.12").touch()
    (tmp_path / "python3").symlink_to("python3.12")
    start(base=Interpreter(str(tmp_path / "python3"), "3.12.1", "any"))
    start(base=Interpreter(str(tmp_path / "python3.12"), "3.12.1", "any"))
    assert steps.made == 1


@pytest.mark.parametrize("name", ["pyproject.toml", "demo/locked.txt"])
def test_a_changed_dependency_makes_it_anew(root: Path, steps: Steps, start: Callable[..., str], name: str) -> None:
    """Ranges and locked versions are part of what it is made of; what was installed of before is gone."""
    start()
    (root / ".venv/lib/left over").touch()
    (root / name).write_text("changed", encoding="utf-8")
    start()
    assert steps.made == 2
    assert not (root / ".venv/lib/left over").exists()


def test_a_checkout_that_moved_makes_it_anew(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """Its scripts name the folder in which they were made; a copy of the whole folder is no better."""
    start()
    copy = root.parent / "copy"
    shutil.copytree(root, copy, symlinks=True)
    start(where=copy)
    root.rename(root.parent / "moved")
    start(where=root.parent / "moved")
    assert steps.made == 3


def test_a_checkout_behind_a_link_is_the_same(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """Where it lies is said without links, so that either way in finds it."""
    start()
    (root.parent / "link").symlink_to(root)
    start(where=root.parent / "link")
    assert steps.made == 1


@pytest.mark.parametrize("text", [None, "", '{"kind": "pla', "[1]", "{}", "kind: plain", "\xff", '{"kind": ["plain"]}'])
def test_a_marker_that_cannot_be_read_makes_it_anew(
    root: Path, steps: Steps, start: Callable[..., str], text: str | None
) -> None:
    """Missing, cut in half, or of another program."""
    start()
    (root / ".venv" / MARKER).unlink()
    if text is not None:
        (root / ".venv" / MARKER).write_text(text, encoding="latin-1")
    start()
    assert steps.made == 2


def test_a_marker_cut_at_any_place_makes_it_anew(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """Whatever part of it reached the disk, it is not taken for whole."""
    start()
    whole = (root / ".venv" / MARKER).read_bytes()
    for length in range(0, len(whole), 23):
        (root / ".venv" / MARKER).write_bytes(whole[:length])
        start()
    assert steps.made == 1 + len(range(0, len(whole), 23))


def test_a_python_that_is_gone_makes_it_anew(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """A link that leads nowhere since a Python was removed is no Python."""
    start()
    (root / ".venv/bin/python").unlink()
    (root / ".venv/bin/python").symlink_to("/nowhere/python3")
    start()
    assert steps.made == 2


def test_one_for_tests_serves_the_demo_and_not_the_other_way(steps: Steps, start: Callable[..., str]) -> None:
    """What tests need holds all that the program needs."""
    start("test")
    start("plain")
    assert steps.made == 1
    start("test")
    assert steps.made == 1


def test_one_for_the_demo_is_made_anew_for_tests(steps: Steps, start: Callable[..., str]) -> None:
    """It lacks what tests need."""
    start("plain")
    start("test")
    assert steps.made == 2
    assert "--requirement tests/locked.txt" in steps.asked[-2]


@pytest.mark.parametrize("place", range(3))
def test_a_kill_at_any_step_leaves_what_the_next_start_makes_anew(
    root: Path, steps: Steps, start: Callable[..., str], place: int
) -> None:
    """Before venv, before the versions, before the checkout: the marker is written last."""
    steps.stop_at = place
    with pytest.raises(KeyboardInterrupt):
        start()
    assert (root / ".venv").is_dir()
    steps.asked.clear()
    steps.stop_at = -1
    start()
    assert len(steps.asked) == 3


def test_what_a_kill_left_before_its_marker_is_taken_away(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """An empty folder, and one with an environment's folders alone, were begun by a start."""
    for names in ((), ("bin", "include", "lib"), ("Scripts", "Lib", "Include")):
        shutil.rmtree(root / ".venv", ignore_errors=True)
        for name in ("", *names):
            (root / ".venv" / name).mkdir()
        start()
    assert steps.made == 3


def test_a_file_in_its_place_is_replaced(root: Path, start: Callable[..., str]) -> None:
    """Nothing can be installed into a file."""
    (root / ".venv").write_text("some-name", encoding="utf-8")
    start()
    assert (root / ".venv").is_dir()


def test_a_link_in_its_place_is_removed_and_not_what_it_leads_to(root: Path, start: Callable[..., str]) -> None:
    """Somebody else's environment stays whole, and nothing is installed into it, even with the right marker in it."""
    start()
    theirs = root.parent / "theirs"
    (root / ".venv").rename(theirs)
    (theirs / "mine.txt").write_text("mine", encoding="utf-8")
    before = sorted(theirs.rglob("*"))
    (root / ".venv").symlink_to(theirs)
    start()
    assert not is_link(root / ".venv")
    assert sorted(theirs.rglob("*")) == before
    shutil.rmtree(root / ".venv")
    (root / ".venv").symlink_to(root / "nowhere")
    start()
    assert (root / ".venv/bin/python").is_file()


def test_a_link_inside_it_is_not_followed(root: Path, start: Callable[..., str]) -> None:
    """What is made anew is removed without what its links lead to."""
    start()
    theirs = root.parent / "theirs"
    theirs.mkdir()
    (theirs / "mine.txt").touch()
    (root / ".venv/lib/link").symlink_to(theirs)
    (root / ".venv" / MARKER).unlink()
    start()
    assert (theirs / "mine.txt").is_file()


def test_a_folder_of_another_kind_is_left_alone(root: Path, steps: Steps, start: Callable[..., str]) -> None:
    """A folder called .venv that holds letters is named, and nothing in it is touched."""
    (root / ".venv").mkdir()
    (root / ".venv/letter.txt").touch()
    with pytest.raises(StartError, match=r"no virtual environment \(it holds letter\.txt\).*Move it away"):
        start()
    assert (root / ".venv/letter.txt").is_file()
    assert steps.asked == []


def test_a_version_without_a_file_for_this_python_falls_back_to_the_ranges(
    steps: Steps, start: Callable[..., str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A Python newer than the locked versions gets newer ones, and a sentence says so."""
    steps.answers["--require-hashes"] = (1, "ERROR: No matching distribution found for numpy==2.4.6")
    start("test")
    assert steps.asked[-1].endswith("--prefer-binary --editable .[test]")
    assert "has nothing for Python 3.12.1 on this system (see above)" in capsys.readouterr().err
    start("test")
    assert steps.made == 1


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "whose hash is locked"),
        ("NewConnectionError\nERROR: No matching distribution found for click", "index could not be reached"),
        ("Name or service not known", "tell pip of your proxy"),
        ("ERROR: [Errno 28] No space left on device", "Make room for"),
        ("ERROR: [Errno 13] Permission denied: '/x'", "a folder of your own"),
        ("ERROR: something else", "the lines above say why"),
    ],
)
def test_what_pip_could_not_do_is_named(steps: Steps, start: Callable[..., str], lines: str, said: str) -> None:
    """Each in one sentence with what to do; a file whose hash differs is never installed by falling back."""
    steps.answers["pip install"] = (1, lines)
    with pytest.raises(StartError, match=said) as refused:
        start()
    assert "\n" not in str(refused.value)
    assert len(steps.asked) == 2
    steps.answers.clear()
    start()
    assert steps.made == 2


def test_a_venv_that_could_not_be_made_is_named(steps: Steps, start: Callable[..., str]) -> None:
    """Its own lines stand above."""
    steps.answers["-m venv"] = (1, "Error: Refusing to create a venv")
    with pytest.raises(StartError, match=r"could not be made; the lines above say why"):
        start()


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.EACCES, "cannot be written by you"),
        (errno.EROFS, "read-only"),
        (errno.ENOSPC, "not enough space"),
        (errno.EIO, "could not be made"),
    ],
)
def test_what_the_system_refuses_is_named(root: Path, number: int, said: str) -> None:
    """A refusal of the disk is a sentence with what to do, and no traceback."""

    def refuse(_: Sequence[str]) -> tuple[int, str]:
        raise OSError(number, os.strerror(number))

    environment = Environment(root, system="posix", find=lambda _: BASE, run=refuse)
    with pytest.raises(StartError, match=said):
        environment.ready("plain")
    environment.hold.release()


def test_a_checkout_that_lacks_a_file_says_so(root: Path, start: Callable[..., str]) -> None:
    """A lock that was deleted is named."""
    (root / "demo/locked.txt").unlink()
    with pytest.raises(StartError, match=r"demo/locked\.txt is missing"):
        start()


def test_on_windows_its_python_lies_elsewhere(root: Path) -> None:
    """In `Scripts`, with the ending of a program."""
    environment = Environment(root, system="nt", find=lambda _: BASE, run=Steps())
    assert environment.python == root / ".venv/Scripts/python.exe"


def test_its_checkout_is_named_in_letters_that_every_locale_has(tmp_path: Path, steps: Steps) -> None:
    """Python reads the file at its start, before it knows an encoding; spaces at the end and quotes are kept."""
    root = tmp_path / 'Zoë\'s "店" \\n '
    for name in ("pyproject.toml", "demo/locked.txt"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).touch()
    environment = Environment(root, system="posix", find=lambda _: BASE, run=steps)
    environment.ready("plain")
    environment.hold.release()
    line = (root / ".venv/lib/python3.12/site-packages/_shopledger.pth").read_text(encoding="ascii")
    assert line.startswith("import ")
    before = list(sys.path)
    try:
        exec(line, {})  # noqa: S102 - as Python's start does
        assert sys.path == [*before, str(root)]
    finally:
        sys.path[:] = before


def test_the_marker_says_what_it_was_made_of(root: Path, start: Callable[..., str]) -> None:
    """Interpreter, version, place, hashes and kind."""
    start()
    told = json.loads((root / ".venv" / MARKER).read_text(encoding="ascii"))
    assert told["kind"] == "plain"
    assert told["python"] == os.path.realpath(BASE.command)
    assert told["version"] == "3.12.1"
    assert told["place"] == str(root / ".venv")
    assert len(told["pyproject"]) == len(told["lock"]) == 64
