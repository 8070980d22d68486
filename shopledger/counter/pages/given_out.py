"""Files that the counter writes for whoever asked: they lie among the papers, and the page of papers shows them."""

from __future__ import annotations

from pathlib import Path

from werkzeug.wrappers import Response

from shopledger.counter.addresses import paper_page
from shopledger.counter.desks import station
from shopledger.counter.forms.answering import leave


def papers_folder() -> Path:
    """Give the folder that papers go to, which is made with the first of them."""
    folder = station().papers
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def given_out(file: Path, words: str) -> Response:
    """Go to the page that shows a file, and say what it is."""
    return leave(paper_page(file.name), words)
