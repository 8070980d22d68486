"""Two starts at once wait for each other, and one that was killed keeps nobody waiting."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from types import SimpleNamespace

import pytest
from environment import Environment
from hold import Hold
from interpreters import Interpreter

from tests.start.test_environment import Steps

DEMO = Path(__file__).resolve().parents[2] / "demo"


class Bytes:
    """The bytes of one file that are locked, as Windows does it: each range for one opening, until that is closed."""

    def __init__(self) -> None:
        self.taken: dict[int, range] = {}

    def locking(self, opened: int, _mode: int, number: int) -> None:
        """Lock so many bytes from where the file stands."""
        start = os.lseek(opened, 0, os.SEEK_CUR)
        wanted = range(start, start + number)
        for other, taken in list(self.taken.items()):
            if other == opened or not _is_open(other):
                del self.taken[other]
            elif set(taken) & set(wanted):
                raise PermissionError
        self.taken[opened] = wanted


def _is_open(opened: int) -> bool:
    try:
        os.fstat(opened)
    except OSError:
        return False
    return True


@pytest.fixture(params=["posix", "nt"])
def system(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Hold files as each system does."""
    windows = SimpleNamespace(locking=Bytes().locking, LK_NBLCK=2)
    monkeypatch.setitem(sys.modules, "msvcrt", windows)
    return str(request.param)


def test_many_use_what_one_makes(tmp_path: Path, system: str) -> None:
    """While some use it nobody makes it anew, and while one makes it nobody uses it."""
    one, two, three = (Hold(tmp_path / "held", system) for _ in range(3))
    one.take(alone=False)
    two.take(alone=False)
    assert not three._tried(alone=True)
    one.release()
    assert not three._tried(alone=True)
    two.release()
    three.take(alone=True)
    assert not one._tried(alone=False)
    assert not one._tried(alone=True)
    three.take(alone=False)
    one.take(alone=False)
    for each in (one, two, three):
        each.release()


def test_whoever_waits_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The wait is said once, and ends as the other lets go."""
    first, second = Hold(tmp_path / "held"), Hold(tmp_path / "held")
    first.take(alone=True)
    other = threading.Timer(0.5, first.release)
    other.start()
    second.take(alone=True)
    other.join()
    second.release()
    assert capsys.readouterr().err.count("Another start is using or making") == 1


def test_where_no_file_can_be_held_the_start_goes_on(tmp_path: Path) -> None:
    """A checkout of somebody else's may hold an environment that is used as it is."""
    hold = Hold(tmp_path / "nowhere" / "held")
    hold.take(alone=True)
    assert hold.held == ()


HOLDING = """
import subprocess, sys, time
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from hold import Hold
hold = Hold(Path(sys.argv[2]))
hold.take(alone=True)
if len(sys.argv) > 3:
    child = [sys.executable, "-c", "import time; time.sleep(1.5)"]
    subprocess.Popen(child, pass_fds=hold.held, stdout=subprocess.DEVNULL)
print("held", flush=True)
time.sleep(60)
"""


@pytest.mark.parametrize("has_child", [False, True])
def test_a_killed_start_keeps_nobody_waiting(tmp_path: Path, *, has_child: bool) -> None:
    """The system lets go with the process, or with the pip that outlives it, so that nothing is made beside that."""
    file = tmp_path / "held"
    words = [sys.executable, "-c", HOLDING, str(DEMO), str(file), *(["child"] if has_child else [])]
    with subprocess.Popen(words, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        hold = Hold(file)
        assert not hold._tried(alone=False)
        other.send_signal(signal.SIGKILL)
        other.wait()
        assert hold._tried(alone=True) != has_child
        began = time.monotonic()
        hold.take(alone=True)
        assert time.monotonic() - began < 10
        hold.release()


def test_of_two_first_starts_one_makes_it(tmp_path: Path) -> None:
    """The other waits, finds it made, and makes nothing."""
    for name in ("pyproject.toml", "demo/locked.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    steps = Steps()
    base = Interpreter("/opt/python3", "3.12.1", "any")

    def start() -> None:
        environment = Environment(tmp_path, system="posix", find=lambda _: base, run=steps)
        environment.ready("plain")
        time.sleep(0.1)
        environment.hold.release()

    starts = [threading.Thread(target=start) for _ in range(4)]
    for each in starts:
        each.start()
    for each in starts:
        each.join()
    assert steps.made == 1
