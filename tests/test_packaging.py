"""The wheel and the source archive hold the whole program, and the demo runs from an installed wheel."""

from __future__ import annotations

import sqlite3
import tarfile
import zipfile
from pathlib import Path

import pytest

from shopledger.cli.demo import LEDGER, SCRIPT, read_script
from shopledger.places import demo_folder
from tests.installed import CHECKOUT, run

TRAVELLING = ("migrations", "templates", "demo")
LEFT_OUT = ("__pycache__", ".pyc", "demo/out/")
STARTERS = (
    "demo/run",
    "demo/locked.txt",
    "demo/pictures/",
    *(f"demo/{each.name}" for each in demo_folder().glob("*.py")),
)
"""What starts the demo from a checkout, and the README's pictures: no part of what is installed."""

pytestmark = pytest.mark.slow


def expected(folder: str) -> set[str]:
    """List the files of a top-level folder that have to travel, by their paths in the checkout."""
    found = (path.relative_to(CHECKOUT).as_posix() for path in (CHECKOUT / folder).rglob("*") if path.is_file())
    return {name for name in found if not any(part in name for part in LEFT_OUT)}


def test_the_wheel_holds_the_travelling_folders_inside_the_package(built: Path) -> None:
    """Every file of migrations, templates and demo lies in the wheel under the package, and nothing made by a run."""
    (wheel,) = built.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in TRAVELLING:
        wanted = {f"shopledger/{name}" for name in expected(folder) if not name.startswith(STARTERS)}
        assert wanted
        assert wanted - names == set()
    assert expected("shopledger") - names == set()
    assert [name for name in names if any(part in name for part in LEFT_OUT)] == []


def test_the_wheel_holds_no_script_that_needs_a_checkout(built: Path) -> None:
    """What makes an environment beside a checkout would make it among installed packages."""
    (wheel,) = built.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert [name for name in names if name.removeprefix("shopledger/").startswith(STARTERS)] == []


def test_the_wheel_holds_nothing_beside_the_package(built: Path) -> None:
    """No folder called tests or demo is spilled among the packages of others."""
    (wheel,) = built.glob("*.whl")
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"shopledger"}


def test_the_source_archive_holds_the_checkout(built: Path) -> None:
    """Whoever unpacks the source has the folders, the tests and the papers for developers."""
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        names = {name.partition("/")[2] for name in opened.getnames()}
    for folder in (*TRAVELLING, "shopledger", "tests"):
        assert expected(folder) - names == set()
    assert {"README.md", "pyproject.toml"} <= names


def test_an_installed_wheel_finds_its_own_folders(installed: Path, tmp_path: Path) -> None:
    """Outside the checkout the folders are found inside the installed package."""
    program = "from shopledger import places; print(places.{0}_folder())"
    for folder in TRAVELLING:
        found = Path(run(installed / "python", "-c", program.format(folder), cwd=tmp_path).strip())
        assert found.is_relative_to(installed.parent.resolve())
        assert any(found.iterdir())


@pytest.mark.long
def test_the_demo_runs_from_an_installed_wheel(demo_said: str, demo_made: Path) -> None:
    """Every step of the whole job holds from the wheel alone, and leaves papers and a workbook where it was told to."""
    assert "all held" in demo_said
    assert "Try next" in demo_said
    assert list(demo_made.rglob("*.pdf"))
    assert list(demo_made.rglob("*.xlsx"))


@pytest.mark.long
def test_every_step_of_the_demo_holds_and_every_paper_lies_there(demo_said: str, demo_made: Path) -> None:
    """Receipts, a copy, an inspection, the reorder record, the shape and the month's workbook are made."""
    assert f"over {len(read_script(demo_folder() / SCRIPT))} commands" in demo_said
    assert "all held" in demo_said
    names = {file.name for file in demo_made.iterdir()}
    papers = {"receipt-00001.pdf", "receipt-00001-copy.pdf", "receipt-00002.pdf", "reorder-00001.pdf"}
    papers.add("inspection-record-00001.pdf")
    assert papers | {"month-2026-03.xlsx", "pellow-52.txt", LEDGER} <= names


@pytest.mark.long
def test_what_the_demo_was_refused_left_nothing(demo_made: Path) -> None:
    """Four orders, three prescriptions and one trace are in the ledger, whatever was typed wrongly in between."""
    with sqlite3.connect(demo_made / LEDGER) as ledger:
        counts = [
            ledger.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608 - fixed names
            for table in ("shop_order", "prescription", "trace")
        ]
    assert counts == [4, 3, 1]
