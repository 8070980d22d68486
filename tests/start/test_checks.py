"""`tests/run` makes each check of its mode, names those that failed, and says that all is well only if none did."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from interpreters import StartError

from tests.checks import HERE, MODES, ONCE, read_mode, run_mode

LINT = ["ruff check", "ruff format", "mypy", "layers", "written docs"]
FLOORS = [f"coverage of {package} is 95 % or more" for package in ("money", "optics", "ledger")]


def stand_in(folder: Path, fails: str = "no check") -> str:
    """Make a Python that says how it was called, and fails where that holds a word."""
    program = folder / "python"
    told = f"import sys; said = ' '.join(sys.argv[1:]); print('called', said, flush=True); sys.exit({fails!r} in said)"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -c "{told}" "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    return str(program)


def run(mode: str, folder: Path, capfd: pytest.CaptureFixture[str], *words: str, fails: str = "no check") -> list[str]:
    """Run a mode with the stand-in; gives what failed, and prints what was called once more."""
    failed = run_mode(mode, words, stand_in(folder, fails), {})
    print(capfd.readouterr().out)  # noqa: T201 - read by the test
    return failed


def test_the_first_word_is_a_mode_or_pytest_s() -> None:
    """Without one, or with an option, all is run; what follows goes on."""
    assert read_mode([]) == ("all", [])
    assert read_mode(["-k", "money"]) == ("all", ["-k", "money"])
    assert [read_mode([mode, "-x"]) for mode in MODES] == [(mode, ["-x"]) for mode in MODES]
    with pytest.raises(StartError, match="'quick' is not known; say nothing, fast, slow, long, browser or bench"):
        read_mode(["quick"])


def test_all_is_lint_tests_and_floors(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What lint said stands whole, after the tests beside which it ran and before what is read off them."""
    assert run("all", tmp_path, capfd, "-k", "money words") == []
    lines = capfd.readouterr().out.splitlines()
    names = [line.removeprefix("== ") for line in lines if line.startswith("== ")]
    assert names == ["tests", "tests that try much", *LINT, *FLOORS]
    tests = [line for line in lines if line.startswith("called -m pytest")]
    assert all(line.endswith("-k money words") and "-n 2 --dist loadfile" in line for line in tests)
    assert f"-m {ONCE} --cov --cov-report=term --cov-fail-under=90" in tests[0]
    assert f"-m {HERE} and not ({ONCE})" in tests[1]
    assert [line for line in lines if "mypy" in line] == ["== mypy", "called -m mypy"]


@pytest.mark.parametrize(
    ("mode", "called"),
    [
        ("fast", f"-m {HERE} and not postgres"),
        ("slow", "-m slow and not long and not browser"),
        ("long", "--dist worksteal -m long"),
    ],
)
def test_each_mode_runs_its_tests(tmp_path: Path, capfd: pytest.CaptureFixture[str], mode: str, called: str) -> None:
    """By their marks, once; only the fast one has lint beside it."""
    assert run(mode, tmp_path, capfd) == []
    lines = capfd.readouterr().out.splitlines()
    (tests,) = (line for line in lines if "-m pytest" in line)
    assert called in tests
    assert ("== mypy" in lines) == (mode == "fast")


def test_benchmarks_run_one_after_another(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Each script of the folder, by name."""
    assert run("bench", tmp_path, capfd) == []
    lines = [line for line in capfd.readouterr().out.splitlines() if line.startswith("== ")]
    assert lines == sorted(lines)
    assert all(line.startswith("== tests/bench/") and line.endswith("_bench.py") for line in lines)
    assert lines


@pytest.mark.parametrize(
    ("fails", "named"),
    [
        ("ruff check", ["ruff check"]),
        ("cogapp", ["written docs"]),
        ("pytest", ["tests", "tests that try much"]),
        ("coverage report", FLOORS),
        ("-m", [*LINT[:3], LINT[4], "tests", "tests that try much", *FLOORS]),
    ],
)
def test_what_failed_is_named(tmp_path: Path, capfd: pytest.CaptureFixture[str], fails: str, named: list[str]) -> None:
    """One that fails keeps none of the others from running."""
    assert run("all", tmp_path, capfd, fails=fails) == named
