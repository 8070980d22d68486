"""What usual commands take of time and memory, from start to end, in a ledger with content; prints a table.

Run it as `python tests/bench/footprint_bench.py [ROUNDS]`. Each command is a process of its own, with what Python
compiled before kept, as on an owner's computer. Time is processor time, which a busy computer changes least, the
commands taking turns; memory is the most that the process ever held. Beside them stand a Python that does nothing, and
one that imports what the command cannot do without.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

CHECKOUT: Final = Path(__file__).resolve().parents[2]
ROUNDS: Final = 7
ORDERS: Final = 400
KIB_PER_MIB: Final = 1024 * (1024 if sys.platform == "darwin" else 1)
"""In which unit the system counts a process's memory, whose peak it keeps."""

_START: Final = "import sys; sys.argv = ['shopledger', *sys.argv[1:]]; from shopledger.cli.main import main; main()"
NOTHING, CLICK, DATABASE = "python -c pass", "import click", "import click, sqlalchemy"
FLOORS: Final = {NOTHING: "pass", CLICK: CLICK, DATABASE: DATABASE}
COMMANDS: Final = {
    "--help": CLICK,
    "--version": DATABASE,
    "customer find wick": DATABASE,
    "customer show 1": DATABASE,
    "sale list": DATABASE,
    "sale show 1": DATABASE,
    "job list": DATABASE,
    "month show 2025-03": DATABASE,
    "year export 2025 --into out": DATABASE,
    "receipt print 1 --into out": DATABASE,
}
"""Each command with the floor that it stands on."""

# A process begins with the peak of the one that starts it, so a command is started by a Python that imported nothing.
_LAUNCH: Final = """
import os, sys
quiet = [(os.POSIX_SPAWN_OPEN, stream, os.devnull, os.O_RDWR, 0o600) for stream in (0, 1, 2)]
child = os.posix_spawn(sys.executable, [sys.executable, "-c", *sys.argv[1:]], os.environ, file_actions=quiet)
_, status, used = os.wait4(child, 0)
if status:
    sys.exit(f"{sys.argv[1:]} ended with {status}")
print(used.ru_utime + used.ru_stime, used.ru_maxrss)
"""


@dataclass(slots=True)
class Taken:
    """What the runs of one command took."""

    seconds: list[float] = field(default_factory=list)
    peaks: list[float] = field(default_factory=list)
    """Of memory, in MiB."""

    def add(self, seconds: float, peak: float) -> None:
        """Keep one run."""
        self.seconds.append(seconds)
        self.peaks.append(peak)


def run_once(words: Iterable[str], folder: Path, env: Mapping[str, str]) -> tuple[float, float]:
    """Run a line of Python with its words; gives the seconds of processor time and the peak of memory in MiB."""
    launched = [sys.executable, "-S", "-c", _LAUNCH, *words]
    done = subprocess.run(launched, cwd=folder, env=env, check=True, capture_output=True, text=True)
    seconds, peak = map(float, done.stdout.split())
    return seconds, peak / KIB_PER_MIB


def furnish(folder: Path, env: Mapping[str, str]) -> None:
    """Make a ledger of one year, and issue its first receipt."""
    ledger, script = env["SHOPLEDGER_LEDGER"], CHECKOUT / "tests" / "bench" / "large_ledger.py"
    subprocess.run([sys.executable, str(script), ledger, str(ORDERS)], env=env, check=True, capture_output=True)
    issued = ("receipt", "issue", "1", "--into", "out", "--not-paid-in-full")
    subprocess.run([sys.executable, "-c", _START, *issued], cwd=folder, env=env, check=True, capture_output=True)


def measured(rounds: int) -> dict[str, Taken]:
    """Run floors and commands in turns, once for nothing and then as often as asked."""
    lines = {**{name: (program,) for name, program in FLOORS.items()},
             **{name: (_START, *name.split()) for name in COMMANDS}}  # fmt: skip
    taken = {name: Taken() for name in lines}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ours = {"SHOPLEDGER_LEDGER": str(folder / "ledger.db"), "SHOPLEDGER_STATE": str(folder / "state"),
                "SHOPLEDGER_OPERATOR": "bench", "PYTHONPATH": str(CHECKOUT)}  # fmt: skip
        env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"} | ours
        furnish(folder, env)
        for count in range(rounds + 1):
            for each, words in lines.items():
                figures = run_once(words, folder, env)
                if count:
                    taken[each].add(*figures)
    return taken


def main() -> None:
    """Print the table."""
    taken = measured(int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS)
    print(f"{'':30}{'least ms':>10}{'median ms':>11}{'peak MiB':>10}  beside its floor")
    for name, each in taken.items():
        figures = (
            f"{min(each.seconds) * 1000:10.0f}{statistics.median(each.seconds) * 1000:11.0f}{max(each.peaks):10.1f}"
        )
        floor = taken[COMMANDS[name]] if name in COMMANDS else None
        beside = f"  {min(each.seconds) / min(floor.seconds):.2f} of {COMMANDS[name]}" if floor else ""
        print(f"{name:30}{figures}{beside}")


if __name__ == "__main__":
    main()
