"""Where what a page prints goes to."""

from __future__ import annotations

from pathlib import Path

from shopledger.counter.desks import station


def papers_folder() -> Path:
    """Give the folder that printed papers go to; it is made where it is not there yet."""
    folder = station().papers
    folder.mkdir(parents=True, exist_ok=True)
    return folder
