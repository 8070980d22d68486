"""The demo runs in a folder of any name, and what it shows can be typed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]

FOLDERS = ('it\'s a "shop" back\\slash $HOME `id` 50% {out} [x] (1)', "-Zoë 店;&|*?~#")


def links(source: Path, target: Path) -> Path:
    """Copy a tree without its bytes: a file in it is the same file, until it is replaced."""
    shutil.copytree(source, target, copy_function=os.link, ignore=shutil.ignore_patterns("out"))
    return target


@pytest.fixture(params=FOLDERS, ids=["signs", "letters"])
def checkout(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Lay the program into a folder with an odd name, with the first steps of its demo."""
    root = tmp_path / str(request.param)
    for name in ("shopledger", "migrations", "templates", "demo"):
        links(CHECKOUT / name, root / name)
    (root / "pyproject.toml").touch()
    script = (root / "demo/whole-job.toml").read_text(encoding="utf-8")
    kept = [
        step for step in script.split("[[step]]") if any(word in step for word in ("setup --from", "catalogue load"))
    ]
    seen = '[[step]]\nsay = "Look."\ntoday = "2026-03-02"\nrun = "frame show QUARN-50"\n'
    (root / "demo/whole-job.toml").unlink()
    (root / "demo/whole-job.toml").write_text("".join(f"[[step]]{each}\n" for each in kept) + seen, encoding="utf-8")
    return root


def test_the_demo_runs_in_a_folder_of_any_name(checkout: Path) -> None:
    """Its files are read, its ledger is written, and what it says to try next is typed into a shell as it stands."""
    environ = {**os.environ, "PYTHONPATH": str(checkout), "LC_ALL": "C", "COLUMNS": "300"}
    said = subprocess.run(
        [sys.executable, "-m", "shopledger", "demo", "--into=-made here's"],
        cwd=checkout,
        env=environ,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert said.returncode == 0, said.stdout + said.stderr
    assert "over 3 commands" in said.stdout
    assert (checkout / "-made here's" / "shop.db").is_file()
    typed = said.stdout.split("Try next:\n")[1].splitlines()[3]
    assert typed.endswith("stock list")
    tried = subprocess.run(
        ["/bin/sh", "-c", typed], cwd="/", env=environ, capture_output=True, encoding="utf-8", check=False
    )
    assert tried.returncode == 0, typed + tried.stderr
    assert "QUARN-50" in tried.stdout
