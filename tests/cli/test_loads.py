"""What each usual command loads: a look the database alone, a paper what sets type, a workbook what writes cells."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, SENT, done, trace_text, type_in
from tests.cli.test_help import imported_by

pytestmark = pytest.mark.slow

SHAPES = {"sqlalchemy", "numpy"}
PAPER = {"sqlalchemy", "reportlab", "PIL"}
WORKBOOK = {"sqlalchemy", "openpyxl", "numpy", "PIL"}
"""openpyxl loads numpy and PIL by itself where it finds them."""

LOADED: dict[str, set[str]] = {
    "customer find fern": {"sqlalchemy"},
    "customer show 1": {"sqlalchemy"},
    "prescription show 1": {"sqlalchemy"},
    "sale list": {"sqlalchemy"},
    "sale show 1": {"sqlalchemy"},
    "sale margin 1": {"sqlalchemy"},
    "parcel show 1": {"sqlalchemy"},
    "payment list 1": {"sqlalchemy"},
    "payment take 2 --amount 5 --method cash": {"sqlalchemy"},
    "receipt list": {"sqlalchemy"},
    "receipt show 1": {"sqlalchemy"},
    "receipt unclaimed": {"sqlalchemy"},
    "draft list": {"sqlalchemy"},
    "job list": {"sqlalchemy"},
    "job show 2": SHAPES,
    "trace show WREN-52": SHAPES,
    "frame list": {"sqlalchemy"},
    "stock list": {"sqlalchemy"},
    "stock value": {"sqlalchemy"},
    "bill list": {"sqlalchemy"},
    "bank lines": {"sqlalchemy"},
    "month list": {"sqlalchemy"},
    "month show 2026-03": {"sqlalchemy"},
    "year show 2026": {"sqlalchemy"},
    "audit show": {"sqlalchemy"},
    "receipt print 1 --into out": PAPER,
    "month export 2026-03 --into out": WORKBOOK,
    "year export 2026 --into out": WORKBOOK,
}
"""Each command with the libraries that it works with."""


@pytest.fixture(scope="module")
def traded(stocked: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Trace the frame, sell two pairs, and let the first leave with its receipt, in a copy of the stocked ledger."""
    folder = tmp_path_factory.mktemp("traded")
    for file in stocked.parent.glob("ledger.db*"):
        shutil.copy(file, folder / file.name)
    ledger, trace, out = folder / "ledger.db", folder / "wren.txt", ("--into", str(folder / "papers"))
    trace.write_text(trace_text(), encoding="ascii")
    for words in (
        ("trace", "add", "WREN-52", str(trace)),
        ("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"),
        ("sale", "record", "--customer", "1", *PAIR, "--pay", "20", "--method", "cash", "--accept", "ORDER-TWICE"),
        ("sale", "ship", "1", *SENT),
        ("receipt", "issue", "1", *out),
    ):
        done(type_in(*words, ledger=ledger))
    return ledger


@pytest.mark.parametrize("command", LOADED)
def test_a_command_loads_what_it_works_with(
    command: str, traded: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither arrays nor papers nor sheets nor migrations are loaded by a command that has no use for them."""
    monkeypatch.setenv("SHOPLEDGER_LEDGER", str(traded))
    monkeypatch.chdir(tmp_path)
    # openpyxl writes with lxml where it is there; the program does not bring it.
    assert imported_by(*command.split()) - {"lxml"} == LOADED[command]
