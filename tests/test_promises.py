"""What the README promises is proven: each promise has its tests in the contributor's guide, and they are there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]


def promises() -> list[str]:
    """Give what the README says that it holds to."""
    section = (ROOT / "README.md").read_text(encoding="utf-8").split("## What it holds to")[1].split("\n## ")[0]
    return re.findall(r"^- \*\*(.+?)\*\*", section, flags=re.MULTILINE)


def proofs() -> dict[str, list[str]]:
    """Give the tests that the guide names for each promise."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = guide.split("## What proves what the README promises")[1].split("\n## ")[0]
    rows = re.findall(r"^\| (.+?) \| (`.+`) \|$", section, flags=re.MULTILINE)
    return {promise: re.findall(r"`(.+?)`", tests) for promise, tests in rows}


def test_each_promise_has_its_tests() -> None:
    """Promises and proofs stand in the same order, and none is without a test."""
    assert list(proofs()) == promises()
    assert all(proofs().values())


def test_the_tests_of_promises_are_there() -> None:
    """A test that was renamed or left out would leave a promise without its proof."""
    named = [test.split("::") for tests in proofs().values() for test in tests]
    assert [
        (file, name) for file, name in named if f"def {name}(" not in (ROOT / file).read_text(encoding="utf-8")
    ] == []
