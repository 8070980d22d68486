"""What optics brings with it when it is imported."""

from __future__ import annotations

import subprocess
import sys

import pytest


def loaded(module: str) -> set[str]:
    """The modules that a fresh interpreter holds after importing one of optics."""
    code = f"import sys, shopledger.optics.{module}; print(*sys.modules)"
    made = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(made.stdout.split())


@pytest.mark.parametrize("module", ["notation", "vertex", "centring", "checks", "inspection", "materials", "surfaces"])
def test_plain_arithmetic_comes_without_numpy(module: str) -> None:
    """A calculator that needs no arrays starts quickly."""
    assert "numpy" not in loaded(module)


@pytest.mark.parametrize("module", ["comparison", "alignment", "pair_checks"])
def test_optics_needs_nothing_of_the_shop(module: str) -> None:
    """Only the errors of the program come along, so that optics can be lifted out."""
    own = {name for name in loaded(module) if name.startswith("shopledger")}
    assert own - {"shopledger", "shopledger.errors", "shopledger.optics"} == {
        name for name in own if name.startswith("shopledger.optics.")
    }
