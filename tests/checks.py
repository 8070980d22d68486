"""The checks that `tests/run` makes: lint beside tests, floors of coverage, benchmarks; at the end, what failed.

Read by any Python from 3.8 on, since it is started before there is an environment.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
from pathlib import Path
from typing import IO, TYPE_CHECKING

from environment import ROOT, Environment
from interpreters import StartError, plain_environment

if TYPE_CHECKING:
    from collections.abc import Sequence

MODES = ("all", "fast", "slow", "long", "browser", "bench")
DRIVER = "tests/browser.txt"
"""The versions of what drives a browser, beside those of all tests."""
HERE = "not slow and not long and not browser"
"""What every run of all tests takes."""
ONCE = "not (slow or long or browser or postgres or hypothesis)"
"""What is watched line by line, which costs as much again as the tests: what takes each path once."""

EXACT = ("money", "optics", "ledger")
LAYERS = "from importlinter.cli import lint_imports_command; lint_imports_command()"


class Checks:
    """Checks that are run one after another, with the names of those that failed."""

    def __init__(self, python: str, environ: dict[str, str], out: IO[bytes] | None = None) -> None:
        self.python = python
        self.environ = environ
        self.out = out
        self.failed: list[str] = []

    def step(self, name: str, *words: str) -> None:
        """Run one check with the environment's Python, and remember its name if it fails."""
        out = self.out or sys.stdout.buffer
        out.write(f"== {name}\n".encode())
        out.flush()
        started = subprocess.Popen(
            [self.python, *words],
            cwd=str(ROOT),
            env=self.environ,
            stdout=self.out,
            stderr=self.out and subprocess.STDOUT,
        )
        try:
            if started.wait():
                self.failed.append(name)
        except KeyboardInterrupt:
            # It hears Ctrl-C too, and ends what it began.
            started.wait()
            raise

    def tests(self, name: str, *words: str) -> None:
        """Run tests; a file's stay in one process, so that what several of them look at is made once."""
        self.step(name, "-m", "pytest", "-n", "2", "--dist", "loadfile", "--no-loadscope-reorder", *words)

    def lint(self) -> None:
        """Run what needs no test: lint, types, layers, written docs."""
        self.step("ruff check", "-m", "ruff", "check", "--quiet")
        self.step("ruff format", "-m", "ruff", "format", "--check", "--quiet")
        self.step("mypy", "-m", "mypy")
        self.step("layers", "-c", LAYERS, "--no-logo")
        written = [name for name in ("README.md", "DEVELOPERS.md") if _has_cog(ROOT / name)]
        if written:
            self.step("written docs", "-m", "cogapp", "--check", "--verbosity=1", "-I", str(ROOT), *written)

    def floor(self, package: str) -> None:
        """Hold an exact layer to its coverage, branches included."""
        only = f"--include=shopledger/{package}/*"
        name = f"coverage of {package} is 95 % or more"
        self.step(name, "-m", "coverage", "report", only, "--format=total", "--fail-under=95")

    def driver(self) -> None:
        """Install what drives a browser; where that fails, the tests that want it are skipped and say so."""
        words = ("--quiet", "--disable-pip-version-check", "--no-deps", "--require-hashes", "-r", DRIVER)
        out = subprocess.run(
            [self.python, "-m", "pip", "install", *words], cwd=str(ROOT), env=self.environ, check=False
        )
        if out.returncode:
            print("What drives a browser could not be installed; the tests with one are skipped.", flush=True)  # noqa: T201 - said on the terminal

    def benches(self) -> None:
        """Run each benchmark."""
        found = sorted((ROOT / "tests" / "bench").glob("*_bench.py"))
        if not found:
            raise StartError("There is no benchmark in tests/bench.")
        for script in found:
            self.step(script.relative_to(ROOT).as_posix(), str(script))


class LintBeside:
    """Lint while tests run: it needs one processor, and tests wait now and then for a program or a disk."""

    def __init__(self, python: str, environ: dict[str, str]) -> None:
        self.told = tempfile.TemporaryFile()  # noqa: SIM115 - open until it is shown
        self.checks = Checks(python, environ, self.told)
        self.thread = threading.Thread(target=self.checks.lint, daemon=True)
        self.thread.start()

    def said(self) -> list[str]:
        """Show what it said once it is done, and name what failed."""
        self.thread.join()
        with self.told:
            self.told.seek(0)
            sys.stdout.buffer.write(self.told.read())
        sys.stdout.buffer.flush()
        return self.checks.failed


def check(words: list[str]) -> None:
    """Run the checks of a mode, and end with what failed or with one line that says that nothing did."""
    mode, rest = read_mode(words)
    environment = Environment()
    python = environment.ready("test")
    failed = run_mode(mode, rest, python, _environ(mode))
    if failed:
        raise StartError(f"Failed: {', '.join(failed)}")
    print("All is well.", flush=True)  # noqa: T201 - the last word on a terminal


def read_mode(words: Sequence[str]) -> tuple[str, list[str]]:
    """Tell the mode from what is handed to pytest."""
    if words and words[0] in MODES:
        return words[0], list(words[1:])
    if words and words[0] and not words[0].startswith("-"):
        raise StartError(f"'{words[0]}' is not known; say nothing, fast, slow, long, browser or bench.")
    return "all", list(words)


def run_mode(mode: str, words: Sequence[str], python: str, environ: dict[str, str]) -> list[str]:
    """Run a mode's checks, and give the names of those that failed."""
    checks = Checks(python, environ)
    lint = LintBeside(python, environ) if mode in {"all", "fast"} else None
    if mode == "all":
        checks.tests("tests", "-m", ONCE, "--cov", "--cov-report=term", "--cov-fail-under=90", *words)
        checks.tests("tests that try much", "-m", f"{HERE} and not ({ONCE})", *words)
    elif mode == "fast":
        checks.tests("tests", "-m", f"{HERE} and not postgres", *words)
    elif mode == "slow":
        checks.tests("slow tests", "-m", "slow and not long and not browser", *words)
    elif mode == "long":
        checks.step("long tests", "-m", "pytest", "-n", "2", "--dist", "worksteal", "-m", "long", *words)
    elif mode == "browser":
        checks.driver()
        checks.step("browser tests", "-m", "pytest", "-m", "browser", *words)
    else:
        checks.benches()
    linted = lint.said() if lint else []
    if mode == "all":
        for package in EXACT:
            checks.floor(package)
    return linted + checks.failed


def _environ(mode: str) -> dict[str, str]:
    """Give the tests their surroundings."""
    environ = plain_environment(os.environ)
    # The same examples each time, fewer in the fast run; pytest run by hand looks for new ones.
    environ.setdefault("HYPOTHESIS_PROFILE", "fast" if mode == "fast" else "ci")
    # Collecting tests, and each start of the program in one, takes twice as long where nothing compiled is kept.
    environ.pop("PYTHONDONTWRITEBYTECODE", None)
    return environ


def _has_cog(file: Path) -> bool:
    return file.is_file() and "[[[cog" in file.read_text(encoding="utf-8")
