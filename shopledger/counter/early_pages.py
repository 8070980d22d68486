"""The pages with which a day begins: the door, Today, and the one field that finds all.

They load neither what measures lenses nor what sets papers, so that the counter opens at once and holds little until
somebody opens more than them.
"""

from __future__ import annotations

from typing import Final

from flask import Blueprint

from shopledger.counter.pages import door, finding, helping, keeping, today

EARLY: Final[tuple[Blueprint, ...]] = (door.pages, today.pages, finding.pages, keeping.pages, helping.pages)
"""The parts that are there at once."""
PATHS: Final = frozenset({"/", "/find", "/keys", "/open", "/here", "/leave", "/log-in"})
BELOW: Final = ("/look/", "/keep/", "/drop/")


def is_early(path: str) -> bool:
    """Tell whether these pages answer a path."""
    return path in PATHS or path.startswith(BELOW)
