"""`sh demo/run` and `sh tests/run` find some Python that runs, and hand over to the program beside them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.skipif(os.name == "nt", reason="there is no sh")


def tool(file: Path, body: str) -> None:
    """Write a program of a few words of shell."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
    file.chmod(0o755)


def started(root: Path, path: str, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Start the script in a folder of its own, with a program beside it that says how it was called."""
    (root / "demo").mkdir(parents=True)
    shutil.copy(CHECKOUT / "demo/run", root / "demo/run")
    (root / "demo/run.py").write_text("import sys\nprint(sys.executable, sys.argv[1:])\n", encoding="utf-8")
    return subprocess.run(
        ["/bin/sh", "demo/run", *words],
        cwd=root,
        env={"PATH": path, **more},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def test_words_are_handed_on_as_they_are(tmp_path: Path) -> None:
    """Spaces, quotes and empty words arrive, in a folder whose name has them too."""
    tool(tmp_path / "bin/python3", f'exec "{sys.executable}" "$@"')
    ended = started(tmp_path / "it's a \\shop", str(tmp_path / "bin"), "--into", "a  b", "", "*", 'say "x"')
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.endswith("""['--into', 'a  b', '', '*', 'say "x"']\n""")


def test_a_python_that_does_not_run_is_passed_over(tmp_path: Path) -> None:
    """A shim without a Python behind it, one that is too old, and a folder of that name stand before one that runs."""
    tool(tmp_path / "shims/python3", "exit 127")
    tool(tmp_path / "old/python3", "exit 1")
    (tmp_path / "odd [x]/python3").mkdir(parents=True)
    tool(tmp_path / "odd [x]/python3.12", f'exec "{sys.executable}" "$@"')
    path = f"{tmp_path}/shims::{tmp_path}/old:{tmp_path}/nothing:{tmp_path}/odd [x]"
    ended = started(tmp_path / "root", path)
    assert ended.returncode == 0, ended.stderr
    assert ended.stdout.endswith(" []\n")


def test_what_was_set_for_another_python_does_not_stop_it(tmp_path: Path) -> None:
    """A home that belongs to another Python would keep any from starting."""
    ended = started(tmp_path, str(Path(sys.executable).parent), PYTHONHOME="/nowhere", PYTHONPATH="/nowhere")
    assert ended.returncode == 0, ended.stderr


def test_how_it_ends_is_how_the_program_ended(tmp_path: Path) -> None:
    """The shell adds nothing to the code or to what was said."""
    tool(tmp_path / "bin/python3", '[ "$1" = -c ] && exit 0; echo "$1"; exit 7')
    ended = started(tmp_path / "root", str(tmp_path / "bin"))
    assert (ended.returncode, ended.stdout, ended.stderr) == (7, "demo/run.py\n", "")
