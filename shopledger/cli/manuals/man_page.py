"""The manual as a page for `man`: plain macros that every formatter knows, and no letter that one could misread."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from shopledger.cli.manuals.parts import Entry, Grid, Manual, Paragraph, Row

FIRST_LINE: Final = r".\" Made by 'shopledger manual'."
"""How every page begins, and by which an earlier one is known."""

_SPELLED: Final = str.maketrans(
    {"\\": r"\(rs", "-": r"\-", "'": r"\(aq", "`": r"\(ga", "^": r"\(ha", "~": r"\(ti", '"': r"\(dq"}
)
_WIDTH: Final = 78
_USUAL_TITLES: Final = {
    "Exit codes": "EXIT STATUS",
    "Variables of the environment": "ENVIRONMENT",
    "Where things lie": "FILES",
}
"""Chapters that every such page calls by the same name."""


def man_page(manual: Manual) -> bytes:
    """Write the whole page."""
    return ("\n".join(_lines(manual)) + "\n").encode("ascii")


def _lines(manual: Manual) -> Iterator[str]:
    program = manual.program
    yield FIRST_LINE
    # No day: the same program makes the same page.
    yield f'.TH SHOPLEDGER 1 "" "shopledger {_text(manual.version)}" "shopledger manual"'
    yield from (".SH NAME", rf"shopledger \- {_text(program.paragraphs[0].text)}".rstrip("."))
    yield from (".SH SYNOPSIS", *_typed(program.usage))
    yield ".SH DESCRIPTION"
    for place, said in enumerate(program.paragraphs):
        yield from _paragraph(said, first=not place)
    yield ".SH OPTIONS"
    yield from _rows(program.options)
    for heading, entries in manual.sections:
        yield f'.SH "{_text(heading.upper())}"'
        for entry in entries:
            for each in entry.all():
                yield from _entry(each)
    for chapter in manual.chapters:
        yield f'.SH "{_text(_USUAL_TITLES.get(chapter.title, chapter.title.upper()))}"'
        for place, part in enumerate(chapter.parts):
            yield from _rows(part.rows) if isinstance(part, Grid) else _paragraph(part, first=not place)


def _entry(entry: Entry) -> Iterator[str]:
    yield f'.SS "{_text(entry.path)}"'
    yield from _typed(entry.usage)
    for each in entry.paragraphs:
        yield from _paragraph(each)
    yield from _rows([*entry.arguments, *entry.options])


def _paragraph(said: Paragraph, *, first: bool = False) -> Iterator[str]:
    """Write a piece of text; the first one below a heading needs no sign that it begins."""
    yield from () if first else (".PP",)
    yield from _typed(said.text) if said.typed else _filled(said.text)


def _rows(rows: Sequence[Row]) -> Iterator[str]:
    for row in rows:
        yield from (".TP", _bold(row.words), *_filled(row.says))


def _typed(text: str) -> Iterator[str]:
    """Write lines that stay as they are."""
    yield from (".nf", *(_bold(line) for line in text.splitlines()), ".fi")


def _bold(text: str) -> str:
    return rf"\fB{_text(text)}\fR"


def _filled(text: str) -> Iterator[str]:
    """Write text in lines of a width that can be read in the file; one that begins with a full stop is no macro."""
    for line in textwrap.wrap(_text(text), _WIDTH, break_long_words=False, break_on_hyphens=False):
        yield rf"\&{line}" if line.startswith(".") else line


def _text(text: str) -> str:
    """Write letters so that each stands for itself; those beyond ASCII by their numbers."""
    spelled = text.translate(_SPELLED)
    return "".join(letter if letter.isascii() else rf"\[u{ord(letter):04X}]" for letter in spelled)
