"""Makes the locked versions anew: for the program, for that and all tests, and for what drives a browser beside them.

    .venv/bin/python tests/lock.py             keeps each version that is still in its range
    .venv/bin/python tests/lock.py --upgrade   takes the newest version in each range

It needs uv, which resolves for every system and every Python at once, and takes the hashes from the public index.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
SOURCE_ONLY: Final = ("prysm",)
"""What is published without wheels; everything else is taken as a wheel, so that nothing is compiled."""

HEADER: Final = """\
# {what}
# For {python} on Linux, macOS and Windows, with the hash of every file. Made by tests/lock.py through
# `uv pip compile --universal --generate-hashes`; change the ranges in pyproject.toml and run it again, not this.
"""

FIRST: Final = "tests/locked.txt"
EXTRAS: Final = tuple(
    word for name in ("archive", "encrypt", "network", "postgres", "test") for word in ("--extra", name)
)

FILES: Final = {
    FIRST: ("The versions that tests and checks run with, and all of the program's.", [*EXTRAS]),
    "tests/browser.txt": ("What drives a browser beside them.", [*EXTRAS, "--extra", "browser"]),
    "demo/locked.txt": ("The versions that the program runs with, and what installs it from its checkout.", []),
}
"""Each file with what it holds; the others take the versions of the first."""


def main() -> None:
    """Make both files."""
    uv = shutil.which("uv")
    if uv is None:
        sys.exit("tests/lock.py needs uv, and none is on the path. Install it ('pip install uv'), and run this again.")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    oldest = project["project"]["requires-python"].removeprefix(">=")
    for name, (what, extras) in FILES.items():
        header = HEADER.format(what=what, python=f"Python {oldest} and later")
        same = [] if name == FIRST else ["--constraints", FIRST]
        options = [*extras, *same, "--python-version", oldest, *sys.argv[1:]]
        made = compiled(uv, options, "\n".join(project["build-system"]["requires"]), ROOT / name)
        (ROOT / name).write_text(f"{header}{made}", encoding="utf-8")


def compiled(uv: str, options: list[str], beside: str, before: Path) -> str:
    """Resolve the project's ranges and those that stand beside them, with the versions of before where they will do."""
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder) / "locked.txt"
        if before.is_file():
            shutil.copy(before, into)
        wheels = ["--only-binary", ":all:", *(word for name in SOURCE_ONLY for word in ("--no-binary", name))]
        fixed = ["--universal", "--generate-hashes", "--no-annotate", "--no-header", "--no-config", "--quiet"]
        ended = subprocess.run(
            [uv, "pip", "compile", *fixed, *wheels, *options, "--output-file", into, "pyproject.toml", "-"],
            cwd=ROOT,
            env=public_index(),
            input=beside,
            text=True,
            check=False,
        )
        if ended.returncode:
            sys.exit("The versions could not be resolved; the lines above say why. Both files are as they were.")
        source = "".join(f"--no-binary {name}\n" for name in SOURCE_ONLY if f"\n{name}==" in into.read_text())
        return f"--only-binary :all:\n{source}\n{into.read_text(encoding='utf-8')}"


def public_index() -> dict[str, str]:
    """Leave out what would take hashes from an index of one's own."""
    own = ("UV_INDEX", "UV_DEFAULT_INDEX", "UV_EXTRA_INDEX", "UV_FIND_LINKS", "UV_CONSTRAINT", "UV_OVERRIDE")
    return {name: value for name, value in os.environ.items() if not name.startswith(own)}


if __name__ == "__main__":
    main()
