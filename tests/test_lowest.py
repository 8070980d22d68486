"""The lowest versions that `pyproject.toml` allows are enough: the whole demo runs with exactly those."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from collections.abc import Mapping
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import NormalizedName, canonicalize_name
from packaging.version import Version

from tests.installed import CHECKOUT, run

pytestmark = pytest.mark.slow


def lowest() -> Mapping[NormalizedName, Version]:
    """Read the lower bound of each distribution that the program needs; one without a bound is refused."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    found: dict[NormalizedName, Version] = {}
    for needed in map(Requirement, project["dependencies"]):
        (found[canonicalize_name(needed.name)],) = (
            Version(each.version) for each in needed.specifier if each.operator == ">="
        )
    return found


def test_the_demo_runs_with_the_lowest_versions(built: Path, tmp_path: Path) -> None:
    """Whoever has an older library than the newest can use the program, as far as its ranges promise."""
    python = tmp_path / "env" / "bin" / "python"
    run(sys.executable, "-m", "venv", tmp_path / "env", cwd=tmp_path)
    (wheel,) = built.glob("*.whl")
    pinned = [f"{name}=={version}" for name, version in lowest().items()]
    # With the user's own settings for pip, unlike what is run from there later; what is run compiles itself.
    subprocess.run(
        [python, "-m", "pip", "install", "--quiet", "--no-compile", wheel, *pinned], cwd=tmp_path, check=True
    )
    frozen = run(python, "-m", "pip", "list", "--format", "freeze", cwd=tmp_path).split()
    there = {
        canonicalize_name(name): Version(version) for name, _, version in (line.partition("==") for line in frozen)
    }
    assert {name: there[name] for name in lowest()} == dict(lowest())
    said = run(python.with_name("shopledger"), "demo", "--into", tmp_path / "made", cwd=tmp_path)
    assert "all held" in said
