"""Ten thousand command lines and damaged files that nobody meant: none ends in a traceback or steers the terminal."""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from tests.cli import any_line
from tests.cli.commands import leaves
from tests.cli.conftest import CATALOGUE, PAIR, SHOP_OPTIONS, UNSEEN, done, trace_text, type_in

pytestmark = pytest.mark.slow

ORDER = """
customer = "Odalys Fernhollow"
day = 2026-03-02
shipping = "6.50"
note = "by mail"

[[pair]]
wearer = "Odalys Fernhollow"
frame = "WREN-52"
lens = "SV-150"
use = "reading"
extras = ["AR"]
pd = [31.5, 31.0]
height = 19

[[accessory]]
code = "CASE"
quantity = 2

[[payment]]
amount = "20.00"
method = "card"
reference = "4242"
"""
BILL = """
supplier = "Tollgate Frames"
invoice = "TG-4471"
day = 2026-03-02

[[stock]]
code = "CASE"
quantity = 12
unit_cost = "4.10"

[[expense]]
category = "supplies"
amount = "18.00"
"""
SHOP = """
name = "Larkspur Optical"
phone = "555-0100"
ein = "12-3456789"

[address]
street = "9 Mill Row"
city = "Millbrae"
state = "OH"
zip = "43002"

[settings]
shipping_charge = "6.50"
blank_allowance = 2.0
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with good files of each kind."""
    own = tmp_path / "own"
    own.mkdir()
    (own / "out").mkdir()
    texts = {"order.toml": ORDER, "catalogue.toml": CATALOGUE, "bill.toml": BILL, "shop.toml": SHOP, "text.txt": "no"}
    for name, text in texts.items():
        (own / name).write_text(text, encoding="utf-8")
    (own / "trace.txt").write_text(trace_text(count=72), encoding="ascii")
    radii = "".join(f"{place * 5},2500,2500\n" for place in range(72))
    (own / "trace.csv").write_text(f"angle,right,left\n{radii}", encoding="ascii")
    return own


@pytest.fixture
def busy(ledger: Path, folder: Path) -> Path:
    """Give a ledger in which the first of nearly everything is there: an order with its receipt, a bill, a trace."""
    for words in (
        ("trace", "add", "WREN-52", str(folder / "trace.txt")),
        ("supplier", "add", "--name", "Tollgate Frames"),
        ("bill", "record", "Tollgate Frames", "--stock", "CASE=5@4"),
        ("sale", "record", "--customer", "1", *PAIR, "--pay", "20", "--method", "cash"),
        ("deposit", "take", "1", "30", "--method", "cash"),
        ("spend", "record", "Light", "5", "--category", "utilities", "--method", "bank", "--description", "b"),
        ("money", "contribute", "500", "--till", "cash"),
        ("sale", "ship", "1", "--carrier", "Post", *UNSEEN),
        ("receipt", "issue", "1", "--wearer", "Odalys", "--not-paid-in-full", "--into", str(folder / "out")),
    ):
        done(type_in(*words, ledger=ledger))
    kept = folder / "stocked.db"
    shutil.copy(ledger, kept)
    return kept


def held(found: Any) -> str:  # noqa: ANN401 - what the other process wrote as JSON
    """Give what failed in a form that a person can type again."""
    ended, failures = found
    told = "\n\n".join(f"{' '.join(map(ascii, line))}\n{how}" for line, how in failures[:20])
    return f"{ended}\n{told}" if failures else ""


def test_a_few_lines_end_in_sentences(folder: Path, busy: Path) -> None:
    """One line of each command, the same ones each time."""
    found = any_line.as_nobody(folder, partial(any_line.try_lines, Path(), Path(busy.name), 20260302, 160))
    assert held(found) == ""


def test_a_few_damaged_files_end_in_sentences(folder: Path, busy: Path) -> None:
    """A file of each kind, damaged the same way each time."""
    found = any_line.as_nobody(folder, partial(any_line.try_files, Path(), Path(busy.name), 20260302, 60))
    assert held(found) == ""


@pytest.mark.long
@pytest.mark.parametrize("seed", range(8))
def test_ten_thousand_lines_end_in_sentences(folder: Path, busy: Path, seed: int) -> None:
    """Eight times 1,250 lines over every command."""
    found = any_line.as_nobody(folder, partial(any_line.try_lines, Path(), Path(busy.name), seed, 1_250))
    assert held(found) == ""
    assert sum(found[0].values()) == 1_250
    assert min(found[0].get(code, 0) for code in ("0", "2", "30", "40")) > 20, found[0]


@pytest.mark.long
@pytest.mark.parametrize("seed", range(4))
def test_two_thousand_damaged_files_end_in_sentences(folder: Path, busy: Path, seed: int) -> None:
    """Orders, catalogues, bills, shops and traces with bits flipped, pieces cut out, doubled and put in."""
    found = any_line.as_nobody(folder, partial(any_line.try_files, Path(), Path(busy.name), seed, 500))
    assert held(found) == ""
    assert sum(found[0].values()) == 500
    assert min(found[0].get(code, 0) for code in ("0", "70")) > 10, found[0]


def test_the_lines_are_run_by_an_ordinary_user(folder: Path) -> None:
    """Who may write in the folder, and in none beside it."""
    beside = folder.parent / "beside"
    beside.mkdir(mode=0o700)
    assert any_line.as_nobody(folder, partial(_may_write, str(folder), str(beside))) == [True, False]


def _may_write(*places: str) -> list[bool]:
    found = []
    for place in places:
        try:
            (Path(place) / "mine").write_text("x", encoding="utf-8")
        except OSError:
            found.append(False)
        else:
            found.append(True)
    return found


def test_a_traceback_and_what_steers_are_seen(folder: Path, busy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lines would tell of a fault: a bug in a look-up, and a control that gets through, are both named."""
    monkeypatch.setattr("shopledger.desk.order_lookups.order_card", lambda *_: 1 // 0)
    monkeypatch.setattr("shopledger.cli.ending.visible", lambda text: f"{text}\x1b")
    shutil.copy(busy, folder / "ledger.db")
    line = ["--ledger", str(folder / "ledger.db"), "sale", "show"]
    assert "ZeroDivisionError" in any_line.run([*line, "1"])[1]
    assert "cannot be seen" in any_line.run([*line, "x"])[1]


def test_a_shop_has_options_to_set_it_up() -> None:
    """The lines hold set-ups as well: their options are those that the shop is made with."""
    assert {word for word in SHOP_OPTIONS if word.startswith("--")} <= {
        option for path, command in leaves() if path == ("setup",) for each in command.params for option in each.opts
    }
