"""Papers: what was printed lies in one folder, is shown in the browser and printed from there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from flask import Blueprint, abort, render_template, send_file
from werkzeug.wrappers import Response

from shopledger.counter.addresses import paper_page
from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import form
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import PAPER_POLICY
from shopledger.desk.outbox import print_waiting, waiting
from shopledger.errors import RefusedError
from shopledger.ledger.papers.issued import IssuedPaper

pages: Final = Blueprint("papers", __name__, url_prefix="/papers")

NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,119}\.(pdf|xlsx|csv|txt|json|svg|html)")
"""What a file in the folder may be called: nothing that leads out of it, and of a kind that the program writes."""
MONTH: Final = re.compile(r"[0-9]{4}-[0-9]{2}")
SHOWN: Final = 100
TYPES: Final = {
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
"""What a browser is told that a file is; all else is handed out as bytes to keep."""


@dataclass(frozen=True, slots=True)
class Lying:
    """A file in the folder."""

    name: str
    written: datetime
    size: int


@pages.get("/")
def folder() -> str:
    """List what lies in the folder, the newest first, and what was issued and is not there yet."""
    return render_template("papers.html", files=_files(), folder=str(station().all_papers), waiting=waiting(desk()))


@pages.get("")
def folder_without_slash() -> str:
    """Show the same where the last stroke is missing."""
    return folder()


@pages.get("/<name>")
def show(name: str) -> str:
    """Show a paper within a page, with what can be done with it."""
    file = _file(name)
    return render_template("paper.html", name=name, is_pdf=file.suffix == ".pdf", size=file.stat().st_size)


@pages.get("/<name>/file")
def file_of(name: str) -> Response:
    """Give a paper to the browser's own viewer, which prints it; sheets are handed out to keep."""
    file = _file(name)
    kind = TYPES.get(file.suffix[1:], "application/octet-stream")
    answer = send_file(file, mimetype=kind, as_attachment=file.suffix != ".pdf", download_name=name)
    if file.suffix == ".pdf":
        answer.headers["Content-Security-Policy"] = PAPER_POLICY
    return answer


@pages.route("/waiting/<kind>/<int:number>", methods=("GET", "POST"))
def print_one(kind: str, number: int) -> Answer:
    """Print what was issued and is not on paper yet."""
    issued = next((each for each in IssuedPaper if each.typed == kind), None)
    paper = next((each for each in waiting(desk()) if (each.kind, each.number) == (issued, number)), None)

    def store(_values: Values) -> Done:
        if paper is None:
            raise RefusedError("paper", f"{kind} {number}", "it does not wait", "Look for it in the list of papers.")
        first, *_ = print_waiting(desk(), paper, station().papers)
        return Done(paper_page(first.name), f"{paper.name.capitalize()} was printed.")

    heading = f"Print {paper.name}" if paper else f"{kind.capitalize()} {number} does not wait"
    return fill(form(), store, "form.html", heading=heading, button="Print it", back=("/papers", "Papers"))


def _file(name: str) -> Path:
    """Give a file of the folder by its name; anything else is not there."""
    places = (folder / name for folder in _folders()) if NAME.fullmatch(name) else ()
    found = next((place for place in places if place.is_file() and not place.is_symlink()), None)
    return found or abort(404)


def _folders() -> tuple[Path, ...]:
    """Give the folders of papers, that of the newest month first."""
    place = station().all_papers
    found = [each for each in place.iterdir() if MONTH.fullmatch(each.name)] if place.is_dir() else []
    return tuple(sorted(found, reverse=True))


def _files() -> tuple[Lying, ...]:
    files = [each for folder in _folders() for each in folder.iterdir() if NAME.fullmatch(each.name)]
    told = [(each.name, each.stat()) for each in files if each.is_file() and not each.is_symlink()]
    zone = station().clock().tzinfo
    lying = [Lying(name, datetime.fromtimestamp(of.st_mtime, zone), of.st_size) for name, of in told]
    return tuple(sorted(lying, key=lambda each: each.written, reverse=True)[:SHOWN])
