"""Which Python makes the environment: the one that runs this where it will do, otherwise one that is found.

Read by any Python from 3.8 on, since an older one than the program needs may be all that a shell finds at first.
"""

from __future__ import annotations

import glob
import json
import os
import re
import subprocess
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    Ask = Callable[[Sequence[str]], "Interpreter | None"]
    Say = Callable[[Sequence[str]], str]

OLDEST = (3, 11)
"""The same as `requires-python` in pyproject.toml."""

USUAL = (
    "/usr/local/bin",
    "/usr/bin",
    "/opt/homebrew/bin",
    "/opt/local/bin",
    "/Library/Frameworks/Python.framework/Versions/*/bin",
    "~/.local/bin",
    "~/.local/share/uv/python/*/bin",
)
"""Where POSIX systems keep a Python that may not be on the path."""

USUAL_ON_WINDOWS = ("%LOCALAPPDATA%/Programs/Python/Python3*", "%PROGRAMFILES%/Python3*")

ASKED = """
import importlib.util as u, json, sys, sysconfig
print(json.dumps({
    "command": getattr(sys, "_base_executable", None) or sys.executable,
    "version": "%d.%d.%d" % sys.version_info[:3],
    "built": sysconfig.get_config_var("EXT_SUFFIX") or sysconfig.get_platform(),
    "kind": sys.implementation.name,
    "final": sys.version_info.releaselevel == "final",
    "missing": [name for name in ("venv", "ensurepip") if u.find_spec(name) is None],
}))
"""
"""What each candidate says of itself; of the Python below it, where it is an environment's own."""


class StartError(Exception):
    """The start cannot go on: one sentence that says why, and what to do."""


@dataclass(frozen=True)
class Interpreter:
    """A Python that runs."""

    command: str
    version: str
    built: str
    kind: str = "cpython"
    final: bool = True
    missing: tuple[str, ...] = ()

    @property
    def path(self) -> str:
        """Where it lies, behind all links."""
        return os.path.realpath(self.command)

    @property
    def is_suitable(self) -> bool:
        """Whether the program runs on it, and it can make an environment."""
        return self.is_new_enough and not self.missing

    @property
    def is_new_enough(self) -> bool:
        """Whether the program runs on it."""
        return self.kind == "cpython" and tuple(map(int, self.version.split(".")[:2])) >= OLDEST


def choose(candidates: Iterable[Sequence[str]], ask: Ask, system: str = sys.platform) -> Interpreter:
    """Give the first suitable one; one before its release only where there is no other."""
    found: list[Interpreter] = []
    for command in candidates:
        answer = ask(command)
        if answer is None or answer.path in {one.path for one in found}:
            continue
        if answer.is_suitable and answer.final:
            return answer
        found.append(answer)
    for answer in found:
        if answer.is_suitable:
            return answer
    raise StartError(_none(found, system))


def ask_it(command: Sequence[str]) -> Interpreter | None:
    """Run a candidate and give what it says of itself; nothing where it does not run, as a shim may not."""
    try:
        told = json.loads(said([*command, "-I", "-c", ASKED]))
        return Interpreter(**{**told, "missing": tuple(told["missing"])})
    except (ValueError, TypeError, KeyError):
        return None


def said(command: Sequence[str]) -> str:
    """Give what a command writes, or nothing where it fails."""
    try:
        ended = subprocess.run(
            command,
            env=plain_environment(os.environ),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=30,
            check=False,
        )
    except (OSError, ValueError, subprocess.SubprocessError):
        return ""
    return "" if ended.returncode else ended.stdout.decode("utf-8", "replace")


def plain_environment(environ: Mapping[str, str]) -> dict[str, str]:
    """Leave out what was meant for another Python."""
    strange = ("PYTHONHOME", "PYTHONPATH", "PYTHONSTARTUP", "PYTHONEXECUTABLE", "__PYVENV_LAUNCHER__")
    return {name: value for name, value in environ.items() if name not in strange}


def candidates(
    remembered: str, environ: Mapping[str, str], system: str = sys.platform, say: Say = said
) -> Iterator[list[str]]:
    """Name every Python that may be there: the one that runs this, the one of last time, then others."""
    yield from ([command] for command in (sys.executable, remembered) if command)
    yield from _on_windows(environ, say) if system == "win32" else _elsewhere(environ)


def _on_windows(environ: Mapping[str, str], say: Say) -> Iterator[list[str]]:
    """Ask the launcher for the newest and for each, then look on the path and where installers put one."""
    yield ["py", "-3"]
    yield from ([path] for path in re.findall(r"([A-Za-z]:\\.*?\.exe)\s*$", say(["py", "-0p"]), re.MULTILINE))
    on_path = [folder for folder in environ.get("PATH", "").split(";") if folder]
    usual = [folder for pattern in USUAL_ON_WINDOWS for folder in _matching(_filled(pattern, environ))]
    for name in ("python3.exe", "python.exe"):
        yield from (
            [path] for path in (os.path.join(folder, name) for folder in [*on_path, *usual]) if os.path.isfile(path)
        )


def _elsewhere(environ: Mapping[str, str]) -> Iterator[list[str]]:
    """Look on the path and in the usual folders: `python3`, then by number from the newest, then `python`."""
    home = environ.get("HOME") or os.path.expanduser("~")
    on_path = [folder for folder in environ.get("PATH", "").split(":") if folder]
    pyenv = os.path.join(environ.get("PYENV_ROOT", "~/.pyenv"), "versions/*/bin")
    usual = [pattern.replace("~", glob.escape(home)) for pattern in (*USUAL, pyenv)]
    folders = [*on_path, *(folder for pattern in usual for folder in _matching(pattern))]
    numbered = [path for folder in folders for path in _matching(os.path.join(glob.escape(folder), "python3.*"))]
    new = [path for path in numbered if (_minor(path) or 0) >= OLDEST[1]]
    for path in (
        *(os.path.join(folder, "python3") for folder in folders),
        *sorted(new, key=lambda path: -(_minor(path) or 0)),
        *(os.path.join(folder, "python") for folder in folders),
    ):
        if os.path.isfile(path) and os.access(path, os.X_OK):
            yield [path]


def _minor(path: str) -> int | None:
    found = re.search(r"python3\.(\d+)$", path)
    return int(found.group(1)) if found else None


def _matching(pattern: str) -> list[str]:
    return sorted(glob.glob(pattern), reverse=True)


def _filled(pattern: str, environ: Mapping[str, str]) -> str:
    """Fill in a folder of Windows by its name; one without a name matches nothing."""
    return re.sub("%(.+?)%", lambda name: glob.escape(environ.get(name.group(1), "?")), pattern)


def _none(found: Sequence[Interpreter], system: str) -> str:
    for one in found:
        if one.is_new_enough:
            short = ".".join(one.version.split(".")[:2])
            return (
                f"Python {one.version} ({one.command}) is here without its module {one.missing[0]}, with which "
                f"shopledger installs itself. Install that (on Debian and Ubuntu: sudo apt install python{short}-venv) "
                f"or get Python from python.org, and run this again."
            )
    here = ", ".join(f"{one.version} ({one.command})" for one in found[:3])
    there = f"here is only {here}" if here else "none was found"
    return (
        f"shopledger needs Python {written(OLDEST)} or later; {there}. {where_to_get_one(system)}, and run this again."
    )


def where_to_get_one(system: str) -> str:
    """Say where a newer Python comes from."""
    if system == "win32":
        return "Get one from python.org or the Microsoft Store"
    if system == "darwin":
        return "Get one from python.org, or by 'brew install python'"
    return (
        "Get one from your system's packages (on Debian and Ubuntu: sudo apt install python3-venv) or from python.org"
    )


def written(version: Sequence[int]) -> str:
    """Write a version with its full stops."""
    return ".".join(map(str, version))
