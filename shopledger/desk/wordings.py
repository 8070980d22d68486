"""The words of the papers: looked at with invented content, changed, and taken back to how they were shipped."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.files.reading import read_outside
from shopledger.files.replacing import headed
from shopledger.files.writing import made_folder, take_a_free_place, write_whole
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.refusals import TemplateError
from shopledger.paperwork.wording import WRITTEN_HERE, Entry, Wording, as_file, has_own, held, own_file, read_wording

OWN_WORDS: Final = headed("wording", WRITTEN_HERE)
LARGEST_LOGO: Final = 2_000_000
_LOGOS: Final = {b"\x89PNG\r\n": ".png", b"\xff\xd8\xff": ".jpg"}
Entries = Mapping[str, Entry]


@dataclass(frozen=True, slots=True)
class PaperWords:
    """How a paper is worded now."""

    key: str
    wording: Wording
    own: bool
    """Whether the shop says it in its own words."""
    trouble: str = ""
    """Why the shop's own words cannot be used; then the shipped ones stand here."""


def paper_words(desk: Desk, key: str) -> PaperWords:
    """Give the words of a paper."""
    if key not in PAPERS:
        raise UnknownNameError("paper", key, tuple(PAPERS))
    own = has_own(key, desk.own_templates)
    try:
        return PaperWords(key, read_wording(key, desk.own_templates), own)
    except TemplateError as error:
        return PaperWords(key, read_wording(key), own, str(error))


def all_paper_words(desk: Desk) -> tuple[PaperWords, ...]:
    """Give the words of every paper."""
    return tuple(paper_words(desk, key) for key in PAPERS)


def sample_of(desk: Desk, key: str, entries: Entries | None = None) -> bytes:
    """Print a paper with invented content, as it is worded now or would be. Raises LookError with the entry."""
    words = paper_words(desk, key).wording if entries is None else held(key, entries, desk.own_templates)
    with desk.reading() as work:
        size = work.shop.settings().paper
    paper = PAPERS[key]
    return pdf_of(document_of(paper, paper.sample(), size=size, wording=words))


def store_words(desk: Desk, key: str, entries: Entries) -> Path:
    """Say a paper in other words from now on; a file that somebody wrote by hand is kept beside it.

    What was issued keeps its words. Raises LookError with the entry.
    """
    sample_of(desk, key, entries)
    file = own_file(key, _folder(desk))
    made_folder(file.parent)
    _keep_by_hand(file)
    return write_whole(as_file(entries), file, OWN_WORDS)


def back_to_shipped(desk: Desk, key: str) -> None:
    """Say a paper in the shipped words again; a file that somebody wrote by hand is kept beside it."""
    file = own_file(key, _folder(desk))
    if not has_own(key, desk.own_templates):
        return
    _keep_by_hand(file)
    file.unlink(missing_ok=True)


def add_logo(desk: Desk, picture: Path) -> str:
    """Take a picture into the shop's own folder; gives the name by which a paper's words call it."""
    body = read_outside(picture, LARGEST_LOGO)
    ending = next((ending for start, ending in _LOGOS.items() if body.startswith(start)), None)
    if ending is None:
        raise RefusedError("logo", "another kind of file", "it is a PNG or JPEG picture", "Save it as one of them.")
    name = f"logo-{hashlib.sha256(body).hexdigest()[:8]}{ending}"
    folder = made_folder(_folder(desk))
    if not (folder / name).exists():
        write_whole(body, folder / name)
    return name


def logos(desk: Desk) -> tuple[str, ...]:
    """Give the pictures in the shop's own folder."""
    folder = desk.own_templates
    if folder is None or not folder.is_dir():
        return ()
    return tuple(sorted(each.name for each in folder.iterdir() if each.suffix.lower() in {".png", ".jpg", ".jpeg"}))


def _folder(desk: Desk) -> Path:
    if desk.own_templates is None:
        message = "a desk without a folder for the owner's words"
        raise TypeError(message)
    return desk.own_templates


def _keep_by_hand(file: Path) -> None:
    """Let what somebody wrote by hand step aside."""
    if not file.is_file() or read_outside(file, LARGEST_LOGO).splitlines()[:1] == [WRITTEN_HERE.encode()]:
        return
    for count in range(1, 1000):
        aside = file.with_name(f"{file.stem} by hand {count}.toml")
        if not aside.exists():
            take_a_free_place(file, aside)
            file.unlink(missing_ok=True)
            return
