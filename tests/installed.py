"""The program as somebody has it who never saw the checkout: built, installed from its wheel, and its demo run once.

This is a pytest plugin, named in `tests/conftest.py`, so every test may ask for

- `built`       the folder with the source archive and the wheel
- `installed`   the folder of programs of a fresh environment with the wheel and all that it needs
- `demo_said`   what the demo said that was run from there
- `demo_made`   the folder that it left

Tests that do so are marked `slow`, and stand in one file, so that one process makes all of it once.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

CHECKOUT: Final = Path(__file__).resolve().parents[1]


def run(*command: str | Path, cwd: Path) -> str:
    """Run a command as somebody would who has never seen the checkout, and give what it said."""
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
    return result.stdout


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the source archive, and the wheel from it, outside the checkout."""
    target = tmp_path_factory.mktemp("built")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", target, CHECKOUT, cwd=target)
    return target


@pytest.fixture(scope="session")
def installed(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel with all it needs into a fresh environment and give its folder of programs."""
    home = tmp_path_factory.mktemp("installed")
    run(sys.executable, "-m", "venv", home / "env", cwd=home)
    (wheel,) = built.glob("*.whl")
    programs = home / "env" / "bin"
    # With the user's own settings for pip, unlike what is run from there later; what is run compiles itself.
    pip = (programs / "python", "-m", "pip", "install", "--quiet", "--no-compile")
    subprocess.run([*pip, wheel], cwd=home, check=True)
    return programs


@pytest.fixture(scope="session")
def demo_run(installed: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """Run the demo from the installed program, and give what it said and the folder that it was told."""
    home = tmp_path_factory.mktemp("demo")
    return run(installed / "shopledger", "demo", "--into", home / "made", cwd=home), home / "made"


@pytest.fixture
def demo_said(demo_run: tuple[str, Path]) -> str:
    """Give what the demo said."""
    return demo_run[0]


@pytest.fixture
def demo_made(demo_run: tuple[str, Path]) -> Path:
    """Give the folder that the demo left."""
    return demo_run[1]
