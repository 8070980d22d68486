"""The locked versions are in the ranges of pyproject.toml, for every system and Python, with the hash of each file."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Final

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

CHECKOUT = Path(__file__).resolve().parents[2]
PROJECT: Final = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
RANGES: Final = PROJECT["project"]["dependencies"]
OPTIONAL: Final = PROJECT["project"]["optional-dependencies"]
EXTRAS: Final = [each for name, extra in OPTIONAL.items() if name != "browser" for each in extra]
WANTED: Final = {
    "demo/locked.txt": [*RANGES, *PROJECT["build-system"]["requires"]],
    "tests/locked.txt": [*RANGES, *PROJECT["build-system"]["requires"], *EXTRAS],
    "tests/browser.txt": [*RANGES, *PROJECT["build-system"]["requires"], *EXTRAS, *OPTIONAL["browser"]],
}
"""Each file of locked versions with the ranges that it covers."""

SYSTEMS: Final = (("linux", "posix", "Linux"), ("darwin", "posix", "Darwin"), ("win32", "nt", "Windows"))
PYTHONS: Final = ("3.11", "3.12", "3.13", "3.14", "3.15")


@dataclass(frozen=True)
class Locked:
    """One locked version, where its marker holds, with its hashes."""

    requirement: Requirement
    hashes: tuple[str, ...]

    def holds(self, environment: dict[str, str]) -> bool:
        """Tell whether it is installed there."""
        return self.requirement.marker is None or self.requirement.marker.evaluate(environment)


def locked(name: str) -> Iterator[Locked]:
    """Read a file of locked versions."""
    text = (CHECKOUT / name).read_text(encoding="utf-8").replace("\\\n", " ")
    for line in text.splitlines():
        if line and not line.startswith(("#", "--")):
            requirement, *hashes = line.split(" --hash=")
            yield Locked(Requirement(requirement.strip()), tuple(each.strip() for each in hashes))


def environments() -> Iterator[dict[str, str]]:
    """Name each system with each Python."""
    for (platform, system, name), version in product(SYSTEMS, PYTHONS):
        yield {
            "implementation_name": "cpython",
            "os_name": system,
            "platform_machine": "x86_64",
            "platform_python_implementation": "CPython",
            "platform_system": name,
            "python_full_version": f"{version}.1",
            "python_version": version,
            "sys_platform": platform,
        }


@pytest.mark.parametrize("name", WANTED)
def test_each_dependency_is_locked_inside_its_range(name: str) -> None:
    """One version of each holds on each system and Python, and its range allows it."""
    versions = list(locked(name))
    for environment in environments():
        held = [each.requirement for each in versions if each.holds(environment)]
        by_name = {canonicalize_name(each.name): each for each in held}
        assert len(by_name) == len(held), environment
        for text in WANTED[name]:
            wanted = Requirement(text)
            found = by_name.get(canonicalize_name(wanted.name))
            assert found is not None, f"{wanted.name} is not in {name}; run tests/lock.py"
            (only,) = found.specifier
            assert only.operator == "=="
            assert wanted.specifier.contains(only.version), f"{found} is not in {wanted}; run tests/lock.py"


@pytest.mark.parametrize("name", WANTED)
def test_every_locked_version_has_its_hashes(name: str) -> None:
    """Nothing is installed whose file is not known."""
    bare = [str(each.requirement) for each in locked(name) if not each.hashes]
    assert bare == []
    hashes = [each for version in locked(name) for each in version.hashes]
    assert [each for each in hashes if not re.fullmatch("sha256:[0-9a-f]{64}", each)] == []


@pytest.mark.parametrize("name", WANTED)
def test_a_file_of_locked_versions_says_how_it_was_made(name: str) -> None:
    """Its header names the script, and no host of an index stands in it."""
    text = (CHECKOUT / name).read_text(encoding="utf-8")
    assert "Made by tests/lock.py" in "".join(text.splitlines(keepends=True)[:3])
    assert "--only-binary :all:\n" in text
    assert re.search(r"://|index-url|find-links", text) is None


def test_the_program_is_tested_with_the_versions_that_it_is_started_with() -> None:
    """Each version of the demo's is one of the tests'."""
    tested = {str(each.requirement): each.hashes for each in locked("tests/locked.txt")}
    assert [each for each in locked("demo/locked.txt") if tested.get(str(each.requirement)) != each.hashes] == []
    driving = {str(each.requirement): each.hashes for each in locked("tests/browser.txt")}
    assert [name for name, hashes in tested.items() if driving.get(name) != hashes] == []
