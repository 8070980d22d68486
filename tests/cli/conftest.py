"""The program as a test runs it: on a fixed day, at a terminal or away from one, on a small ledger of its own."""

from __future__ import annotations

import json
import math
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.files.handing import Hands

NOW = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)

Typed = Callable[..., Result]
"""Runs one command and gives what came of it."""

CATALOGUE = """
[[frame]]
code = "WREN-52"
maker = "Thistledown"
model = "Wren"
colour = "slate"
eye_size = 52
bridge = 18
temple = 140
price = "180.00"
cost = "61.00"
count = 3

[[lens]]
code = "SV-150"
name = "Plain single vision"
design = "single vision"
material = "hard resin 1.50"
blank_diameters = [70, 75]
price = "80.00"
cost = "17.00"

[[lens]]
code = "PROG"
name = "Plain progressive"
design = "progressive"
material = "hard resin 1.50"
corridor = 12
min_fitting_height = 16
blank_diameters = [75]
price = "260.00"
cost = "70.00"

[[extra]]
code = "AR"
name = "Anti-reflective coating"
kind = "anti-reflective"
price = "129.95"
cost = "30.00"

[[accessory]]
code = "CASE"
name = "Hard case"
price = "12.00"
cost = "4.00"
count = 10

[[offer]]
code = "SV-FREE"
name = "Single vision lenses included with a frame"
kind = "included"
needs = [{ kind = "frame" }]
reduces = [{ kind = "lenses", design = "single vision" }]

[[tax]]
state = "OH"
category = "accessory"
rate = "7 %"
valid_from = 2020-01-01
"""

SHOP_OPTIONS = (
    *("--name", "Larkspur Optical", "--street", "9 Mill Row", "--city", "Millbrae", "--state", "OH"),
    *("--zip", "43002", "--phone", "555-0100", "--ein", "12-3456789", "--shipping-charge", "6.50"),
)

ADDRESS = ("--street", "18 Tansy Lane", "--city", "Millbrae", "--state", "OH", "--zip", "43002")

RIGHT, LEFT = "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00"

PAIR = ("--wearer", "Odalys Fernhollow", "--frame", "WREN-52", "--lens", "SV-150", "--pd", "63", "--height", "19")
SENT = ("--carrier", "post", "--without-inspection", "shown at the counter")
"""How a parcel leaves with glasses that nobody inspected."""
"""The options of a plain pair for distance."""

UNSEEN = ("--without-inspection", "shown at the counter")
"""What lets an order leave whose jobs were not inspected."""


def type_in(*words: str, answers: str | None = None, ledger: Path | None = None, hands: Hands | None = None) -> Result:
    """Run one command; with answers, somebody sits at a terminal and types them."""
    around = Surroundings(now=NOW, terminal=answers is not None, hands=hands)
    before = ("--ledger", str(ledger)) if ledger else ()
    return CliRunner().invoke(shop, (*before, *words), input=answers or "", obj=around, prog_name="shopledger")


def done(result: Result) -> Result:
    """Give the result of a command that has to succeed."""
    assert result.exit_code == 0, result.output
    return result


def read_json(result: Result) -> Any:  # noqa: ANN401 - whatever JSON holds
    """Read what a command printed as JSON."""
    return json.loads(done(result).stdout)


def trace_text(width: float = 52.0, height: float = 36.0, count: int = 400) -> str:
    """Write both eyes of an elliptic frame as a tracer does: radii in hundredths of a millimetre."""
    angles = [2 * math.pi * place / count for place in range(count)]
    half, tall = width / 2, height / 2
    radii = [half * tall / math.hypot(tall * math.cos(angle), half * math.sin(angle)) for angle in angles]
    written = [str(round(radius * 100)) for radius in radii]
    rows = ["R=" + ";".join(written[place : place + 10]) for place in range(0, count, 10)]
    eyes = [line for eye in "RL" for line in (f"TRCFMT=1;{count};E;{eye};F", *rows)]
    return "\r\n".join(["JOB=1", *eyes, "DBL=18.00", ""])


@pytest.fixture
def trace_file(tmp_path: Path) -> Path:
    """Give a tracer's file of the frame in stock."""
    file = tmp_path / "wren.txt"
    file.write_text(trace_text(), encoding="ascii")
    return file


@pytest.fixture(scope="session", autouse=True)
def _plain_surroundings() -> Iterator[None]:
    """Keep the settings of whoever runs the tests out of them."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("SHOPLEDGER_LEDGER", "NO_COLOR", "TERM", "COLUMNS"):
            patch.delenv(name, raising=False)
        patch.setenv("SHOPLEDGER_OPERATOR", "Ilse")
        yield


@pytest.fixture(scope="session")
def stocked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Set up a shop with a catalogue, a customer with two wearers, a prescriber and a prescription, once."""
    folder = tmp_path_factory.mktemp("stocked")
    ledger = folder / "ledger.db"
    (folder / "catalogue.toml").write_text(CATALOGUE, encoding="utf-8")
    eyes = ("--right", RIGHT, "--left", LEFT)
    whose = ("--customer", "1", "--wearer", "Odalys", "--prescriber", "Castellane", "--written", "2026-02-20")
    for words in (
        ("setup", *SHOP_OPTIONS),
        ("catalogue", "load", str(folder / "catalogue.toml")),
        ("customer", "add", "--name", "Odalys Fernhollow", *ADDRESS, "--phone", "555-0142"),
        ("wearer", "add", "--customer", "1", "--name", "Wren Fernhollow", "--relationship", "child"),
        ("prescriber", "add", "--name", "Dr. Imre Castellane"),
        ("prescription", "add", *whose, "--expires", "2028-02-20", *eyes),
    ):
        done(type_in(*words, ledger=ledger))
    return ledger


@pytest.fixture
def ledger(stocked: Path, tmp_path: Path) -> Path:
    """Give a copy of the stocked ledger that a test may change."""
    for file in stocked.parent.glob("ledger.db*"):
        shutil.copy(file, tmp_path / file.name)
    return tmp_path / "ledger.db"


@pytest.fixture
def typed(ledger: Path) -> Typed:
    """Give the function that runs a command on the stocked ledger."""

    def run(*words: str, answers: str | None = None) -> Result:
        return type_in(*words, answers=answers, ledger=ledger)

    return run


@pytest.fixture
def everything(ledger: Path) -> Callable[[], bytes]:
    """Give the function that reads all that is stored, to prove that a refused command changed none of it.

    That it was refused may be noted, where it would have shown something private; so may a look, and half a form.
    """
    import sqlite3

    def read() -> bytes:
        with sqlite3.connect(ledger) as connection:
            kept = (
                line
                for line in connection.iterdump()
                if not (line.startswith('INSERT INTO "audit_note"') and "'refused'" in line)
                and not line.startswith('INSERT INTO "seal"')
                and not line.startswith("INSERT INTO \"counter\" VALUES('audit',")
                and not line.startswith('INSERT INTO "kept_form"')
                and not (line.startswith('INSERT INTO "audit_note"') and "'looked at prescriptions'" in line)
            )
            return "\n".join(kept).encode()

    return read
