"""How long the program takes to start beside bare imports: asking for help, and looking up a customer; prints ratios.

Run it as `python tests/bench/startup_bench.py [ROUNDS]`. A start is all work and no waiting, so processor time is
measured, which a busy computer changes least; each figure is the best of the rounds, the programs taking turns.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
ROUNDS = 15
HELP_GOAL = 1.25
LOOK_UP_GOAL = 1.2

_START = "import sys; sys.argv = ['shopledger', *sys.argv[1:]]; from shopledger.cli.main import main; main()"
_CLICK = "import click"
_FLOOR = """
import sys
import click
import sqlalchemy
engine = sqlalchemy.create_engine(f"sqlite:///{sys.argv[1]}")
with engine.connect() as connection:
    connection.execute(sqlalchemy.text("SELECT number, name FROM customer WHERE name LIKE '%fern%'")).all()
"""

_SHOP = (
    *("setup", "--name", "Larkspur Optical", "--street", "9 Mill Row", "--city", "Millbrae", "--state", "OH"),
    *("--zip", "43002", "--phone", "555-0100", "--ein", "12-3456789"),
)
_CUSTOMER = (
    *("customer", "add", "--name", "Odalys Fernhollow", "--street", "18 Tansy Lane", "--city", "Millbrae"),
    *("--state", "OH", "--zip", "43002"),
)


def python(program: str, *words: str) -> list[str]:
    """Give the command that runs a line of Python; the checkout is on its path."""
    return [sys.executable, "-c", program, *words]


def seconds(command: list[str], env: dict[str, str]) -> float:
    """Run a command once and give the processor time that it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, env=env, cwd=CHECKOUT, stdin=subprocess.DEVNULL, capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def best(commands: dict[str, list[str]], env: dict[str, str], rounds: int) -> dict[str, float]:
    """Give the quickest run of each command."""
    found = dict.fromkeys(commands, float("inf"))
    for _ in range(rounds):
        for name, command in commands.items():
            found[name] = min(found[name], seconds(command, env))
    return found


def report(what: str, ours: float, floor: float, goal: float) -> None:
    """Print a figure beside its floor."""
    ratio = ours / floor
    met = "met" if ratio <= goal else "missed"
    print(f"{what}: {ours * 1000:.0f} ms, floor {floor * 1000:.0f} ms, ratio {ratio:.2f} (goal {goal}: {met})")


def main() -> None:
    """Measure on a ledger with one customer."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    with tempfile.TemporaryDirectory() as folder:
        ledger = str(Path(folder) / "ledger.db")
        env = {**os.environ, "SHOPLEDGER_LEDGER": ledger, "SHOPLEDGER_OPERATOR": "bench"}
        for words in (_SHOP, _CUSTOMER):
            seconds(python(_START, *words), env)
        times = best(
            {
                "click": python(_CLICK),
                "help": python(_START, "--help"),
                "floor": python(_FLOOR, ledger),
                "look-up": python(_START, "customer", "find", "fern"),
                "look-up as JSON": python(_START, "customer", "find", "fern", "--json"),
            },
            env,
            rounds,
        )
    report("--help beside importing click", times["help"], times["click"], HELP_GOAL)
    report("customer find beside click, sqlalchemy and a query", times["look-up"], times["floor"], LOOK_UP_GOAL)
    report("customer find --json beside the same", times["look-up as JSON"], times["floor"], LOOK_UP_GOAL)


if __name__ == "__main__":
    main()
