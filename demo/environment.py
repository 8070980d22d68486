"""The environment of the two start commands, `.venv` in the checkout: made from nothing unless it is what is wanted.

A marker in it, written last, says what it was made of. Whatever differs, or is missing, or was cut off by a kill, has
it made anew. Whoever uses it holds a file meanwhile (`hold.py`), so that nothing is taken from under a run.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import stat
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from hold import Hold, say
from interpreters import Interpreter, StartError, ask_it, candidates, choose, plain_environment
from reasons import failed, refused, why

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from typing import NoReturn

    Run = Callable[[Sequence[str]], "tuple[int, str]"]
    Find = Callable[[str], Interpreter]

ROOT = Path(os.path.realpath(__file__)).parent.parent
LOCKED = {"plain": "demo/locked.txt", "test": "tests/locked.txt"}
"""For each kind of environment, the versions that go into it; the one for tests has all of the other."""

MARKER = "made-of.json"
OWN_NAMES = {"bin", "include", "lib", "lib64", "scripts", "share", "pyvenv.cfg", ".gitignore", MARKER}
"""What lies in an environment that was begun, in small letters."""

TRIES = 3
"""How often it is made where another start makes it for itself in between."""


def found_interpreter(remembered: str) -> Interpreter:
    """Find a Python on this machine."""
    return choose(candidates(remembered, os.environ), ask_it)


class Environment:
    """The environment in a checkout."""

    def __init__(
        self, root: Path = ROOT, *, system: str = os.name, find: Find = found_interpreter, run: Run | None = None
    ) -> None:
        self.root = Path(os.path.realpath(root))
        self.place = self.root / ".venv"
        self.python = self.place / ("Scripts/python.exe" if system == "nt" else "bin/python")
        self.hold = Hold(self.root / ".venv.lock", system)
        self.find = find
        self.run = run or self._run

    def ready(self, kind: str) -> str:
        """Give the environment's own Python, made anew where needed; it stays as it is until this process ends."""
        base = self.find(str(self.marker().get("command", "")))
        try:
            for _ in range(TRIES):
                self.hold.take(alone=False)
                if self.is_as_wanted(kind, base):
                    return str(self.python)
                self.hold.take(alone=True)
                if not self.is_as_wanted(kind, base):
                    self.make(kind, base)
        except OSError as error:
            raise StartError(refused(error, self.root)) from error
        raise StartError(
            f"The virtual environment {self.place} was made {TRIES} times, and each time made anew by another start "
            f"that wants another Python or more in it. Let one end before the other begins."
        )

    def marker(self) -> Mapping[str, object]:
        """Read what the environment was made of; nothing where that cannot be read."""
        try:
            told = json.loads((self.place / MARKER).read_text(encoding="ascii"))
        except (OSError, ValueError):
            return {}
        return told if isinstance(told, dict) else {}

    def wanted(self, kind: str, base: Interpreter) -> dict[str, str]:
        """Say what an environment of a kind is made of."""
        return {
            "kind": kind,
            "python": base.path,
            "version": base.version,
            "built": base.built,
            "place": str(self.place),
            "pyproject": self._hash("pyproject.toml"),
            "lock": self._hash(LOCKED[kind]),
        }

    def is_as_wanted(self, kind: str, base: Interpreter) -> bool:
        """Tell whether it can be used as it is; one for tests has all that the program needs."""
        if is_link(self.place) or not self.python.is_file():
            return False
        told = self.marker()
        made = "test" if told.get("kind") == "test" else kind
        return self.wanted(made, base).items() <= told.items()

    def make(self, kind: str, base: Interpreter) -> None:
        """Make it from nothing, and say so in its marker once it is whole."""
        say(f"Making {self.place} with Python {base.version} ({base.command}) ...")
        self.clear()
        self.place.mkdir()
        # From here on it is known as one that was begun.
        (self.place / MARKER).write_text("{}", encoding="ascii")
        code, lines = self.run([base.command, "-I", "-m", "venv", str(self.place)])
        if code:
            raise StartError(failed("The virtual environment could not be made", lines, self.root))
        self.install(kind, base)
        self._name_the_checkout()
        draft = self.place / f"{MARKER}.draft"
        told = {**self.wanted(kind, base), "command": base.command}
        draft.write_text(json.dumps(told, indent=1), encoding="ascii")
        draft.replace(self.place / MARKER)

    def clear(self) -> None:
        """Take away what stands in its place: a link, never what it leads to, and no folder of another kind."""
        if is_link(self.place) or self.place.is_file():
            remove_link(self.place)
        elif self.place.is_dir():
            names = {each.name.lower() for each in self.place.iterdir()}
            if "pyvenv.cfg" not in names and MARKER not in names and names - OWN_NAMES:
                strange = ", ".join(sorted(names - OWN_NAMES)[:3])
                raise StartError(
                    f"The folder {self.place} is no virtual environment (it holds {strange}), so it was not touched. "
                    f"Move it away, and run this again."
                )
            # First, so that what is left after a kill is not taken for whole.
            with suppress(FileNotFoundError):
                (self.place / MARKER).unlink()
            shutil.rmtree(str(self.place))

    def install(self, kind: str, base: Interpreter) -> None:
        """Install the locked versions, then the checkout; by its ranges where they have nothing for this Python."""
        say(f"Installing shopledger ({kind}); the first time takes a minute ...")
        pip = [str(self.python), "-I", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-input"]
        code, lines = self.run([*pip, "--require-hashes", "--requirement", LOCKED[kind]])
        if code and why(lines) == "nothing for it":
            say(
                f"A version in {LOCKED[kind]} has nothing for Python {base.version} on this system (see above); taking "
                f"what the ranges in pyproject.toml allow instead."
            )
            code, lines = self.run([*pip, "--prefer-binary", "--editable", ".[test]" if kind == "test" else "."])
        elif not code:
            # By its folder's name alone: pip would read brackets in a path as the names of extras.
            code, lines = self.run([*pip, "--no-deps", "--no-build-isolation", "--editable", "."])
        if code:
            raise StartError(failed("The installation failed", lines, self.root))

    def _name_the_checkout(self) -> None:
        """Write the checkout's folder in letters that Python reads in any locale, whatever the path holds."""
        for pattern in ("lib/python*/site-packages/*shopledger*.pth", "Lib/site-packages/*shopledger*.pth"):
            for file in self.place.glob(pattern):
                file.write_text(f"import sys; sys.path.append({str(self.root)!a})\n", encoding="ascii")

    def _hash(self, name: str) -> str:
        try:
            return hashlib.sha256((self.root / name).read_bytes()).hexdigest()
        except FileNotFoundError:
            raise StartError(f"The file {self.root / name} is missing. Unpack or check out shopledger again.") from None

    def _run(self, command: Sequence[str]) -> tuple[int, str]:
        """Run a command from the checkout, pass on what it says, and give its code and that."""
        environ = plain_environment(os.environ)
        # A setting of the user's for other installs must not lead this one elsewhere.
        environ.update(PIP_USER="0", PYTHONIOENCODING="utf-8")
        for name in ("PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_PYTHON"):
            environ.pop(name, None)
        lines: list[str] = []
        started = subprocess.Popen(
            command,
            cwd=str(self.root),
            env=environ,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            # What goes on after a kill of this process keeps its lock until it ends.
            pass_fds=self.hold.held if os.name == "posix" else (),
        )
        with started:
            for line in started.stdout or ():
                lines.append(line.decode("utf-8", "replace").rstrip())
                say(lines[-1])
        return started.returncode, "\n".join(lines)


def is_link(path: Path) -> bool:
    """Tell whether a path is a link, or what Windows has for one."""
    try:
        looked = os.lstat(str(path))
    except OSError:
        return False
    reparse = getattr(stat, "FILE_ATTRIBUTE_REPARSE_POINT", 0)
    return stat.S_ISLNK(looked.st_mode) or bool(getattr(looked, "st_file_attributes", 0) & reparse)


def remove_link(path: Path) -> None:
    """Remove a file, or a link and not what it leads to."""
    try:
        path.unlink()
    except PermissionError:
        if os.name != "nt":
            raise
        # A junction is removed like a folder; a real folder with something in it would not be.
        path.rmdir()


def hand_over(environment: Environment, command: Sequence[str]) -> NoReturn:
    """Let a command take this one's place, with the environment's lock."""
    sys.stdout.flush()
    environ = plain_environment(os.environ)
    if os.name == "nt":
        # There, the shell would not wait for a program that took its place.
        sys.exit(subprocess.call(command, env=environ))
    environment.hold.keep()
    os.execve(command[0], list(command), environ)  # noqa: S606 - a program of this environment


def start(work: Callable[[list[str]], None]) -> None:
    """Do what was started with its words; a reason not to is one sentence, and Ctrl-C no traceback."""
    try:
        work(sys.argv[1:])
    except StartError as refused:
        sys.exit(str(refused))
    except KeyboardInterrupt:
        sys.exit(130)


def demo(words: list[str]) -> None:
    """Run the whole job once, on a new ledger of an invented shop, into demo/out unless told otherwise."""
    environment = Environment()
    program = [environment.ready("plain"), "-P", "-m", "shopledger"]
    hand_over(environment, [*program, "demo", "--into", str(ROOT / "demo" / "out"), *words])
