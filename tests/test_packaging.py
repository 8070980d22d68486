"""The wheel and the source archive hold the whole program, and the demo runs from an installed wheel."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
TRAVELLING = ("migrations", "templates", "demo")
LEFT_OUT = ("__pycache__", ".pyc", "demo/out/")

# What takes long to make is made once, by one process.
pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("packaging")]


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run a command as somebody would who has never seen the checkout."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV", "SHOPLEDGER"))}
    env["HOME"] = str(cwd)
    result = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=env,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, f"{command} left with {result.returncode}:\n{result.stdout}\n{result.stderr}"
    return result


def expected(folder: str) -> set[str]:
    """List the files of a top-level folder that have to travel, by their paths in the checkout."""
    found = (path.relative_to(CHECKOUT).as_posix() for path in (CHECKOUT / folder).rglob("*") if path.is_file())
    return {name for name in found if not any(part in name for part in LEFT_OUT)}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the source archive, and the wheel from it, outside the checkout."""
    target = tmp_path_factory.mktemp("built")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", target, CHECKOUT, cwd=target)
    return target


@pytest.fixture(scope="module")
def installed(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel with all it needs into a fresh environment and give its folder of programs."""
    home = tmp_path_factory.mktemp("installed")
    run(sys.executable, "-m", "venv", home / "env", cwd=home)
    (wheel,) = built.glob("*.whl")
    programs = home / "env" / "bin"
    # With the user's own settings for pip, unlike what is run from there later.
    subprocess.run([programs / "python", "-m", "pip", "install", "--quiet", wheel], cwd=home, check=True)
    return programs


def test_the_wheel_holds_the_travelling_folders_inside_the_package(built: Path) -> None:
    """Every file of migrations, templates and demo lies in the wheel under the package, and nothing made by a run."""
    (wheel,) = built.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in TRAVELLING:
        wanted = {f"shopledger/{name}" for name in expected(folder)}
        assert wanted
        assert wanted - names == set()
    assert expected("shopledger") - names == set()
    assert [name for name in names if any(part in name for part in LEFT_OUT)] == []


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
        found = Path(run(installed / "python", "-c", program.format(folder), cwd=tmp_path).stdout.strip())
        assert found.is_relative_to(installed.parent.resolve())
        assert any(found.iterdir())


def test_the_demo_runs_from_an_installed_wheel(installed: Path, tmp_path: Path) -> None:
    """The whole job runs from the wheel alone and leaves papers and a workbook where it was told to."""
    made = tmp_path / "made"
    run(installed / "shopledger", "demo", "--into", made, cwd=tmp_path)
    assert list(made.rglob("*.pdf"))
    assert list(made.rglob("*.xlsx"))
