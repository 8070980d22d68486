"""Why a paper cannot be printed: a missing glyph, a missing detail, no room, a broken template."""

from __future__ import annotations

import unicodedata
from pathlib import Path

from shopledger.errors import PaperworkError, listed
from shopledger.installed import ExtraMissingError


class MissingGlyphError(PaperworkError, ValueError):
    """A text holds letters that the papers' font cannot set; it is refused, since a box in its place says nothing."""

    text: str
    missing: tuple[str, ...]

    def __str__(self) -> str:
        shown = [f"{letter} (U+{ord(letter):04X} {unicodedata.name(letter, 'unnamed')})" for letter in self.missing[:3]]
        more = f" and {len(self.missing) - 3} more" if len(self.missing) > 3 else ""
        return (
            f"'{self.text}' cannot be printed: the papers' font cannot set {', '.join(shown)}{more}. "
            "It sets Latin, Greek and Cyrillic letters from left to right; give a spelling in those to print instead."
        )


class MissingDetailError(PaperworkError):
    """A paper lacks something it may not be without."""

    paper: str
    detail: str
    hint: str
    sentence = "the {paper} cannot be printed without {detail}. {hint}"


class DisagreeingTotalsError(PaperworkError, ValueError):
    """The amounts of a paper do not add up, so it is not printed."""

    paper: str
    sum_of: str
    adds_up_to: str
    stated: str
    sentence = (
        "the {paper} does not add up: {sum_of} come to {adds_up_to}, but {stated} is stated. "
        "It is not printed; verify the ledger."
    )


class AlteredError(PaperworkError):
    """The frozen content of a paper is not what was stored."""

    paper: str
    number: int | None
    sentence = (
        "{paper} {number} does not match its own hash: the ledger file was changed from outside. Restore a backup."
    )


class DoesNotFitError(PaperworkError, ValueError):
    """Something is too large for the sheet."""

    what: str
    needed: str
    room: str
    hint: str
    sentence = "{what} does not fit on the paper: it needs {needed}, and there is room for {room}. {hint}"


class UnknownPaperError(PaperworkError, ValueError):
    """A paper size that is not kept."""

    given: str
    known: tuple[str, ...]

    def __str__(self) -> str:
        return f"paper is '{self.given}'; the papers are printed on {listed(self.known)}. Choose one of them."


class TemplateError(PaperworkError, ValueError):
    """A file of wording cannot be used: which file, which line, what is wrong, what to do."""

    file: Path
    line: int | None
    problem: str
    hint: str

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else str(self.file)
        return f"{place}: {self.problem}. {self.hint}"


class LookError(PaperworkError, ValueError):
    """An entry of the table `look` cannot be used; the wording's reader says in which file and line."""

    key: str
    problem: str
    hint: str
    sentence = "{key} {problem}. {hint}"

    @property
    def field(self) -> str:
        """Which entry is meant, as a page asks for it."""
        return self.key


class ArchiveExtraMissingError(ExtraMissingError, PaperworkError):
    """Archive files were asked for, and what makes them is not installed."""

    extra = "archive"
    needs = "archive files (PDF/A) need"


class NotArchivableError(PaperworkError, ValueError):
    """A file cannot be made one for the archive."""

    problem: str
    sentence = "the file cannot become an archive file (PDF/A-2A): {problem}. Print the paper anew and try again."
