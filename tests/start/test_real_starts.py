"""The start commands as they are: a copy of the checkout, a real Python, a real installation."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tarfile
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from environment import MARKER

CHECKOUT = Path(__file__).resolve().parents[2]
NOBODY = 65534

pytestmark = pytest.mark.slow


def copied(root: Path, source: Path = CHECKOUT) -> Path:
    """Copy what a checkout holds, with the first steps of the demo alone."""
    for name in ("shopledger", "migrations", "templates", "demo", "tests"):
        shutil.copytree(source / name, root / name, ignore=shutil.ignore_patterns("__pycache__", "out"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(source / name, root / name)
    return shortened(root)


def shortened(root: Path) -> Path:
    """Leave the first two steps of the demo."""
    script = root / "demo/whole-job.toml"
    head, *steps = script.read_text(encoding="utf-8").split("[[step]]")
    script.write_text("[[step]]".join([head, *steps[:2]]), encoding="utf-8")
    return root


def tools(folder: Path, *names: str) -> str:
    """Make a path that has these programs and Python, and nothing else: no git, for one."""
    folder.mkdir()
    for name in names:
        (folder / name).symlink_to(str(shutil.which(name)))
    # The one below this environment: a start is made by somebody who has none yet.
    (folder / "python3").symlink_to(Path(sys.executable).resolve())
    return str(folder)


def started(root: Path, environ: dict[str, str], *words: str, before: tuple[str, ...] = ()) -> tuple[int, str]:
    """Run `sh demo/run` without a terminal, and give its code and what was said."""
    ended = subprocess.run(
        [*before, "/bin/sh", root / "demo/run", *words],
        cwd="/",
        env=environ,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    return ended.returncode, ended.stdout.decode("utf-8", "replace")


def surroundings(path: str) -> dict[str, str]:
    """Give what pip is told on this machine, a path, and nothing else: no home, the plainest locale."""
    kept = {
        name: value for name, value in os.environ.items() if name.startswith(("PIP_", "XDG_CONFIG", "SSL_", "http"))
    }
    return {**kept, "PATH": path, "LC_ALL": "C", "PIP_NO_COMPILE": "1"}


def as_nobody() -> tuple[str, ...]:
    """Give the words that run a command as an ordinary user, where the tests run as root."""
    if os.geteuid() != 0:
        return ()
    if shutil.which("setpriv") is None:
        pytest.skip("the tests run as root, and setpriv is not here to be somebody else")
    return ("setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups")


@pytest.fixture
def everybody_s() -> Iterator[Path]:
    """Make a folder that others may enter; those of pytest are its user's alone."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


def kill_one(root: Path, environ: dict[str, str], seconds: float) -> None:
    """Start, and kill all that was started after so many seconds."""
    with subprocess.Popen(
        ["/bin/sh", root / "demo/run"],
        env=environ,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    ) as begun:
        time.sleep(seconds)
        os.killpg(begun.pid, signal.SIGKILL)


def test_the_demo_starts_in_plain_surroundings_and_an_odd_folder(tmp_path: Path) -> None:
    """No home, git or terminal, the C locale, after two that were killed: it installs, runs, and is there next time."""
    root = copied(tmp_path / "it's \"Zoë's\" \\ [shop] 店")
    environ = surroundings(tools(tmp_path / "bin", "sh"))
    narrow = os.umask(0o077)
    try:
        for seconds in (0.4, 2.5):
            kill_one(root, environ, seconds)
        code, said = started(root, environ)
    finally:
        os.umask(narrow)
    assert code == 0, said
    assert "all held" in said
    marker = root / ".venv" / MARKER
    made = marker.stat().st_mtime_ns
    code, said = started(root, environ)
    assert code == 0, said
    assert "Installing" not in said
    assert marker.stat().st_mtime_ns == made
    shown = said.split("Try next:\n")[1].splitlines()[3]
    tried = subprocess.run(["/bin/sh", "-c", shown], cwd="/", env=environ, capture_output=True, text=True, check=False)
    assert tried.returncode == 0, shown + tried.stderr


def test_a_checkout_that_cannot_be_written_is_named(everybody_s: Path) -> None:
    """An ordinary user in somebody else's checkout reads one sentence, and no traceback."""
    root = copied(everybody_s / "theirs")
    before = as_nobody()
    root.chmod(0o555)
    try:
        code, said = started(root, surroundings("/usr/bin:/bin"), before=before)
    finally:
        root.chmod(0o755)
    if "none was found" in said:
        pytest.skip("the only Python here belongs to root")
    assert code == 1
    assert "cannot be written by you" in said
    assert "Traceback" not in said


def test_the_demo_starts_from_the_source_archive(built: Path, everybody_s: Path) -> None:
    """Whoever unpacks the archive, an ordinary user without git, has all that both start commands read."""
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        opened.extractall(everybody_s, filter="data")
    (root,) = everybody_s.iterdir()
    shortened(root)
    for name in (
        "demo/run",
        "demo/run.py",
        "tests/run",
        "tests/run.py",
        "tests/checks.py",
        "tests/locked.txt",
        ".ci/run",
    ):
        assert (root / name).is_file(), name
    before = as_nobody()
    if before:
        for each in (root, *root.rglob("*")):
            os.chown(each, NOBODY, NOBODY)
    code, said = started(root, surroundings("/usr/bin:/bin"), before=before)
    if "needs Python" in said or "without its module" in said:
        pytest.skip("the only Python that will do belongs to root")
    assert code == 0, said
    assert "all held" in said


@pytest.mark.parametrize("version", ["2.7", "3.6", "3.7"])
@pytest.mark.parametrize("name", ["demo/run.py", "tests/run.py"])
def test_a_python_from_long_ago_says_what_is_needed(version: str, name: str) -> None:
    """It reads as far as the sentence, and shows no traceback."""
    found = [shutil.which(f"python{version}"), *Path("~/.pyenv/versions").expanduser().glob(f"{version}.*/bin/python")]
    for python in (each for each in found if each):
        ended = subprocess.run([python, CHECKOUT / name], capture_output=True, text=True, check=False)
        if ended.returncode != 127:
            assert ended.returncode == 1
            assert ended.stderr.startswith(f"shopledger needs Python 3.11 or later, and this is Python {version}.")
            assert "Traceback" not in ended.stderr
            return
    pytest.skip(f"Python {version} is not on this machine")


@pytest.mark.parametrize("version", ["3.8", "3.9", "3.10"])
def test_a_python_that_is_too_old_finds_a_newer_one(version: str) -> None:
    """It reads the modules that search, and names one that will do."""
    program = "import sys; sys.path[:0] = ['.', 'demo']; import tests.checks, environment as e; "
    program += "print(e.found_interpreter('').version)"
    found = [shutil.which(f"python{version}"), *Path("~/.pyenv/versions").expanduser().glob(f"{version}.*/bin/python")]
    for python in (each for each in found if each):
        ended = subprocess.run([python, "-c", program], cwd=CHECKOUT, capture_output=True, text=True, check=False)
        if ended.returncode != 127:
            assert ended.returncode == 0, ended.stderr
            assert int(ended.stdout.split(".")[1]) >= 11
            return
    pytest.skip(f"Python {version} is not on this machine")
