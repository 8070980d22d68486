"""What a manual is made of: paragraphs, rows, commands and chapters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A piece of text: words that are filled into lines, or lines as they are typed."""

    text: str
    typed: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """An option, an argument, a code or a variable, and what is said of it."""

    words: str
    says: str


@dataclass(frozen=True, slots=True)
class Grid:
    """A table of two columns under their heads; what stands in the first is typed."""

    heads: tuple[str, str]
    rows: Sequence[Row]


@dataclass(frozen=True, slots=True)
class Chapter:
    """What is said beside the commands."""

    title: str
    parts: Sequence[Part]

    @property
    def anchor(self) -> str:
        """The name by which a link finds it; no command has one that begins so."""
        return "about-" + self.title.lower().replace(" ", "-")


@dataclass(frozen=True, slots=True)
class Entry:
    """A command: what it is called, how it is typed, what it does and takes, and the commands below it."""

    path: str
    usage: str
    paragraphs: Sequence[Paragraph]
    arguments: Sequence[Row]
    options: Sequence[Row]
    below: Sequence[Entry] = ()

    @property
    def anchor(self) -> str:
        """The name by which a link finds it."""
        return self.path.replace(" ", "-")

    def all(self) -> Iterator[Entry]:
        """Give the command and every one below it, in order."""
        yield self
        for each in self.below:
            yield from each.all()


@dataclass(frozen=True, slots=True)
class Manual:
    """All that the manual says, in its order."""

    version: str
    program: Entry
    """The program itself: what it is, and the options that stand before any command."""
    sections: Sequence[tuple[str, Sequence[Entry]]]
    chapters: Sequence[Chapter]

    def entries(self) -> Iterator[Entry]:
        """Give every command but the program itself."""
        for _, entries in self.sections:
            for entry in entries:
                yield from entry.all()


Part: TypeAlias = Paragraph | Grid
