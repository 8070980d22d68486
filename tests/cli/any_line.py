"""Command lines and damaged files as chance makes them, run by an ordinary user in a folder of his own.

Lines are made of the program's own commands: each option may be left out, given a value that fits, or nonsense. What a
line ends in is looked at from outside: a sentence and an exit code, or a traceback.
"""

from __future__ import annotations

import ctypes
import functools
import json
import os
import random
import re
import resource
import shutil
import sys
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final, NamedTuple

import click
from click.testing import CliRunner

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.cli.params import Word
from shopledger.errors import visible
from shopledger.files.handing import Hands
from tests.cli.commands import leaves

NOW: Final = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
NOBODY: Final = 65534
MOST_MEMORY: Final = 4_000_000_000
RENEWED_AFTER: Final = 400
"""After so many lines the ledger is copied anew, so that lines go on finding what they name."""
NOT_RUN: Final = {("demo",)}
"""What starts other processes, and is run by a test of its own."""

RAW: Final = re.compile(r"constraint|violates|out of range|CHECK|UNIQUE|NOT NULL|\bck_\w+|OperationalError|sqlalchemy")
"""Words of a database and its driver, which nobody at the desk should read."""

TEXTS: Final = (
    *(
        "",
        " ",
        "A",
        "a" * 121,
        "a" * 5_000,
        "back",
        "off",
        "-",
        "--",
        "=",
        "=1",
        "CASE=",
        "1=1",
        "CASE=2@5",
        "@",
        "%s%n",
        "{0}",
    ),
    *(
        "{self}",
        "'; DROP TABLE journal_entry; --",
        "<b>",
        "\\",
        "../..",
        "\u202e",
        "\x1b[2J",
        "\x9b",
        "\u200b",
        "\ufeff",
    ),
    *("Zo\u00eb", "\u738b", "\U0001f453", "e\u0301" * 50, "\u0661\u0662", "\uff11", "\u00bd", "\u2028", "\t\n", "\r"),
    *(
        "4111111111111111",
        "123-45-6789",
        "012345678905",
        "NULL",
        "None",
        "true",
        "[]",
        "nan",
        "inf",
        "-inf",
        "1e308",
        "0x10",
    ),
)
NUMBERS: Final = (
    *(
        "0",
        "1",
        "2",
        "3",
        "-1",
        "-0",
        "+1",
        "01",
        "1.0",
        "1_000",
        "1,000",
        "1e3",
        "999999999",
        "1000000000",
        "2147483648",
    ),
    *("4294967296", "9223372036854775807", "9223372036854775808", "9" * 30, "9" * 400, "-" + "9" * 30, "0" * 400, "."),
    *("0.001", "-0.004", "1.23456789", "31.5", "63", "19", "90", "180", "181", "360", "1e400", "5" * 5_000),
)
DAYS: Final = (
    *("2026-03-02", "2026-02-01", "2025-01-01", "03/02/2026", "2026-02-30", "0001-01-01", "9999-12-31", "2199-12-31"),
    *("2016-02-29", "2026-3-2", "20260302", "2026-03-02T10:00", "0000-00-00", "yesterday", "2027-01-01"),
)
RIGHT: Final = (
    *(
        "1",
        "Odalys",
        "Odalys Fernhollow",
        "Wren",
        "WREN-52",
        "SV-150",
        "PROG",
        "AR",
        "CASE",
        "SV-FREE",
        "Castellane",
        "OH",
    ),
    *(
        "5",
        "12.50",
        "180.00",
        "-2.50 -1.25 x 090 add 2.00",
        "plano",
        "2 BU",
        "7",
        "bifocal",
        "2026-02",
        "2026",
        "555-0142",
    ),
    *("43002", "12-3456789", "1234567893", "distance", "spherical", "cash", "bank", "card", "reading", "self", "H52.4"),
)

_LENGTHS: Final = ("5", "12.50", "31.5", "63", "19", "52", "18", "140", "90")
_FITTING: Final = {
    "integer": ("1", "1", "1", "2", "3"),
    "integer range": ("1", "1", "2"),
    "day": ("2026-03-02",),
    "yyyy-mm": ("2026-02",),
    "yyyy": ("2026",),
    "mm": _LENGTHS,
    "amount": _LENGTHS,
    "degrees": _LENGTHS,
}
"""What fits a kind of value; any other takes what the shop's own things are called."""


class Failure(NamedTuple):
    """A line that did not end as it should, and how."""

    line: Sequence[str]
    how: str


def lines(chance: random.Random, folder: Path, count: int) -> list[list[str]]:
    """Make so many command lines, each command as often as any other."""
    commands = [(path, command) for path, command in leaves() if path not in NOT_RUN]
    turns = [commands[place % len(commands)] for place in range(count)]
    chance.shuffle(turns)
    return [_line(chance, folder, *turn) for turn in turns]


def _line(chance: random.Random, folder: Path, path: Sequence[str], command: click.Command) -> list[str]:
    words = [*_before(chance, folder), *path]
    # In half of the lines one value alone is nonsense, so that it gets as far as it can.
    flaw = chance.choice(command.params) if command.params and chance.random() < 0.5 else None
    sense = 1.0 if flaw else chance.choice((0.2, 0.6, 0.9, 1.0))
    for param in command.params:
        wanted = 0.97 if param.required or isinstance(param, click.Argument) else chance.choice((0.1, 0.3))
        if param is flaw or chance.random() < wanted:
            words += _given(chance, folder, param, 0.0 if param is flaw else sense)
    if chance.random() < 0.05:
        words.insert(chance.randrange(len(words) + 1), _nonsense(chance, folder))
    return words


def _before(chance: random.Random, folder: Path) -> list[str]:
    """Give what stands before the command: the ledger nearly always, and sometimes a day or a name."""
    ledger = str(folder / "ledger.db")
    if chance.random() < 0.03:
        places = (
            folder,
            folder / "none.db",
            folder / "text.txt",
            "",
            "sqlite://",
            "sqlite:///",
            "mysql://a:b@c/d",
            "\u202e",
        )
        ledger = str(chance.choice(places))
    words = ["--ledger", ledger]
    if chance.random() < 0.05:
        words += ["--today", chance.choice(DAYS)]
    if chance.random() < 0.05:
        words += ["--operator", chance.choice(TEXTS)]
    return words


def _given(chance: random.Random, folder: Path, param: click.Parameter, sense: float) -> list[str]:
    """Give an option or an argument with its values."""
    values = [_value(chance, folder, param, sense) for _ in range(max(param.nargs, 1))]
    if isinstance(param, click.Argument):
        return values
    option = chance.choice([*param.opts, *param.secondary_opts])
    return [option] if isinstance(param, click.Option) and param.is_flag else [option, *values]


def _value(chance: random.Random, folder: Path, param: click.Parameter, sense: float) -> str:
    kind = param.type
    if chance.random() >= sense:
        own = DAYS if kind.name == "day" else NUMBERS if kind.name in _FITTING else TEXTS
        return chance.choice(own) if chance.random() < 0.7 else _nonsense(chance, folder)
    if isinstance(kind, click.Choice | Word):
        known = kind.choices if isinstance(kind, click.Choice) else [word.value for word in kind.words]
        return str(chance.choice(list(known)))
    if isinstance(kind, click.Path):
        return str(
            folder / chance.choice(("out", "order.toml", "catalogue.toml", "shop.toml", "trace.txt", "trace.csv"))
        )
    return chance.choice(_FITTING.get(kind.name, RIGHT))


def _nonsense(chance: random.Random, folder: Path) -> str:
    paths = ("/", "/dev/null", ".", "~", str(folder), str(folder / "ledger.db"), str(folder / "text.txt"), "a" * 300)
    return chance.choice(chance.choice((TEXTS, NUMBERS, DAYS, RIGHT, paths)))


# ---------------------------------------------------------------- damaged files

READ_BY: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("order.toml", ("sale", "record", "--dry-run", "--from")),
    ("order.toml", ("sale", "record", "--json", "--from")),
    ("catalogue.toml", ("catalogue", "load")),
    ("shop.toml", ("setup", "--from")),
    ("bill.toml", ("bill", "record", "--dry-run", "--from")),
    ("bill.toml", ("bill", "record", "--from")),
    ("trace.txt", ("trace", "add", "WREN-52", "--dry-run")),
    ("trace.txt", ("trace", "add", "WREN-52", "--accept", "TRACE-UNLIKE-EARLIER")),
    ("trace.txt", ("trace", "compare", "WREN-52")),
    ("trace.csv", ("trace", "add", "WREN-52", "--dry-run")),
    ("trace.txt", ("optics", "trace")),
)
PIECES: Final = (
    *(
        b"",
        b"\x00",
        b"\xff",
        b"\xc3",
        b"\x1b[2J",
        b"\xe2\x80\xae",
        b"\r",
        b"\n",
        b";",
        b"=",
        b"[",
        b"]",
        b"{",
        b"}",
        b'"',
        b"'",
    ),
    *(
        b'"""',
        b"nan",
        b"inf",
        b"-1",
        b"1e400",
        b"9" * 40,
        b"9" * 5_000,
        b"0001-01-01",
        b"true",
        b"[[frame]]\n",
        b"[" * 50,
        b"a = " + b"[" * 2_000,
        b"a = " + b"{b=" * 2_000,
    ),
    *(b"a = 1\n", b"\\uD800", b"\\U0010FFFF", b"4111111111111111", b"TRCFMT=1;9;E;R;F\r\n", b"R=1;2\r\n", b"?" * 99),
)


def damaged(chance: random.Random, whole: bytes) -> bytes:
    """Flip, cut, double and put in, once or a few times."""
    body = bytearray(whole)
    for _ in range(chance.choice((1, 1, 1, 3, 6))):
        at = chance.randrange(len(body) + 1)
        how = chance.choice((0, 0, 0, 1, 2, 3, 4))
        if how == 0 and at < len(body):
            body[at] ^= 1 << chance.randrange(8)
        elif how == 1 and chance.random() < 0.3:
            del body[at:]
        elif how == 2:
            del body[at : at + chance.randint(1, 40)]
        elif how == 3:
            body[at:at] = body[max(0, at - 60) : at]
        else:
            body[at:at] = chance.choice(PIECES)
    return bytes(body)


# ---------------------------------------------------------------- running


def run(words: Sequence[str]) -> tuple[int, str]:
    """Run a line; give its exit code, and say how it ended where that is no end that a line may have."""
    around = Surroundings(now=NOW, terminal=False, hands=Hands("linux", str, lambda _file: "", lambda _file: ""))
    result = CliRunner().invoke(shop, words, obj=around, prog_name="shopledger")
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        told = traceback.format_exception(result.exception)
        return result.exit_code, "".join(told[-6:])
    if RAW.search(result.output):
        return result.exit_code, f"said what only a database understands: {result.output[-500:]}"
    if visible(result.output, "\n") != result.output:
        return result.exit_code, f"sent what cannot be seen: {ascii(result.output)[:500]}"
    return result.exit_code, ""


def try_lines(folder: Path, stocked: Path, seed: int, count: int) -> tuple[Counter[str], list[Failure]]:
    """Run so many lines in the folder; count how they ended, and give those that failed."""
    chance = random.Random(seed)
    ended: Counter[str] = Counter()
    failures: list[Failure] = []
    for place, words in enumerate(lines(chance, folder, count)):
        if place % RENEWED_AFTER == 0:
            shutil.copy(stocked, folder / "ledger.db")
        code, how = run(words)
        ended["failed" if how else str(code)] += 1
        if how:
            failures.append(Failure([word[:200] for word in words], how))
    return ended, failures


def try_files(folder: Path, stocked: Path, seed: int, count: int) -> tuple[Counter[str], list[Failure]]:
    """Read so many damaged files with the commands that read them."""
    chance = random.Random(seed)
    wholes = {name: (folder / name).read_bytes() for name, _ in READ_BY}
    ended: Counter[str] = Counter()
    failures: list[Failure] = []
    for place in range(count):
        if place % RENEWED_AFTER == 0:
            shutil.copy(stocked, folder / "ledger.db")
        name, command = chance.choice(READ_BY)
        file = folder / f"damaged.{name.rpartition('.')[2]}"
        file.write_bytes(damaged(chance, wholes[name]))
        ledger = folder / (f"new-{place}.db" if command[0] == "setup" else "ledger.db")
        code, how = run(["--ledger", str(ledger), *command, str(file)])
        ended["failed" if how else str(code)] += 1
        if how:
            kept = folder / f"failed-{place}{file.suffix}"
            shutil.copy(file, kept)
            failures.append(Failure([*command, str(kept)], how))
    return ended, failures


def as_nobody(folder: Path, work: Callable[[], Any]) -> Any:  # noqa: ANN401 - whatever the work gives that JSON holds
    """Do work in a process of its own, as a user who may write nowhere but in the folder, and give what it gave.

    The work stands in the folder and names its files from there: what lies above may be closed to that user.
    """
    told = folder / "told.json"
    child = os.fork()
    if child == 0:
        try:
            become_nobody(folder)
            told.write_text(json.dumps(work()), encoding="utf-8")
        except BaseException:  # noqa: BLE001 - a child process must never go on as the test
            told.write_text(json.dumps({"broke": traceback.format_exc()}), encoding="utf-8")
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    found = json.loads(told.read_text(encoding="utf-8"))
    assert "broke" not in found, found["broke"]
    return found


def become_nobody(folder: Path) -> None:
    """Give up all rights but reading: the interpreter itself may lie where only its owner looks."""
    os.environ.update(HOME=str(folder), XDG_DATA_HOME=str(folder / "data"), TMPDIR=str(folder))
    os.environ["SHOPLEDGER_PAPERS"] = str(folder / "papers")
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if os.geteuid() == 0 and sys.platform == "linux":
        os.chown(folder, NOBODY, NOBODY)
        for file in folder.rglob("*"):
            os.chown(file, NOBODY, NOBODY)
        libc = ctypes.CDLL(None, use_errno=True)
        keep_rights, version, may_read = 8, 0x20080522, 1 << 2
        libc.prctl(keep_rights, 1, 0, 0, 0)
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
        header = (ctypes.c_uint32 * 2)(version, 0)
        rights = (ctypes.c_uint32 * 6)(may_read, may_read, 0, 0, 0, 0)
        libc.capset(header, rights)
        # Asked for the rights of who started it, the system forgets the one to read.
        os.access = functools.partial(os.access, effective_ids=True)
    os.chdir(folder)
