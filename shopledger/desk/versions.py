"""What changed from version to version, read from the text of the changes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from shopledger.errors import RefusedError

TEXT: Final = Path(__file__).parents[1] / "cli" / "changes.md"


@dataclass(frozen=True, slots=True)
class Version:
    """A version, and what changed with it."""

    number: str
    changes: tuple[str, ...]


def read_changes(text: str) -> tuple[Version, ...]:
    """Read the versions from their text, newest first: a heading for each, and a point for each change."""
    return tuple(
        Version(number.strip(), tuple(" ".join(point.split()) for point in points.split("\n- ")[1:]))
        for number, _, points in (part.partition("\n") for part in text.split("### ")[1:])
    )


def chosen(versions: tuple[Version, ...], since: str | None) -> tuple[Version, ...]:
    """Give the newest version, or those after one. Raises RefusedError where that one is not known."""
    if since is None:
        return versions[:1]
    numbers = [each.number for each in versions]
    if since not in numbers:
        raise RefusedError("since", f"'{since}'", f"the versions are {', '.join(numbers)}", "Type one of them.")
    return versions[: numbers.index(since)]
