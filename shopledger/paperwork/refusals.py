"""Why a paper cannot be printed: a missing glyph, a missing detail, no room, a broken template."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from pathlib import Path

from shopledger.errors import PaperworkError, listed


class MissingGlyphError(PaperworkError, ValueError):
    """A text holds letters that the papers' font cannot set; it is refused, since a box in its place says nothing."""

    def __init__(self, text: str, missing: Sequence[str]) -> None:
        super().__init__(text, tuple(missing))
        self.text = text
        self.missing = tuple(missing)

    def __str__(self) -> str:
        """Name the text, the first few letters, and what to do."""
        shown = [f"{letter} (U+{ord(letter):04X} {unicodedata.name(letter, 'unnamed')})" for letter in self.missing[:3]]
        more = f" and {len(self.missing) - 3} more" if len(self.missing) > 3 else ""
        return (
            f"'{self.text}' cannot be printed: the papers' font cannot set {', '.join(shown)}{more}. "
            "It sets Latin, Greek and Cyrillic letters from left to right; give a spelling in those to print instead."
        )


class MissingDetailError(PaperworkError):
    """A paper lacks something it may not be without."""

    def __init__(self, paper: str, detail: str, mend: str) -> None:
        super().__init__(paper, detail, mend)
        self.paper = paper
        self.detail = detail
        self.mend = mend

    def __str__(self) -> str:
        """Say what is missing and where it is given."""
        return f"the {self.paper} cannot be printed without {self.detail}. {self.mend}"


class DisagreeingTotalsError(PaperworkError, ValueError):
    """The amounts of a paper do not add up, so it is not printed."""

    def __init__(self, paper: str, sum_of: str, adds_up_to: str, stated: str) -> None:
        super().__init__(paper, sum_of, adds_up_to, stated)
        self.paper = paper
        self.sum_of = sum_of
        self.adds_up_to = adds_up_to
        self.stated = stated

    def __str__(self) -> str:
        """Say which sum is wrong."""
        return (
            f"the {self.paper} does not add up: {self.sum_of} come to {self.adds_up_to}, but {self.stated} is stated. "
            "It is not printed; verify the ledger."
        )


class DoesNotFitError(PaperworkError, ValueError):
    """Something is too large for the sheet."""

    def __init__(self, what: str, needed: str, room: str, mend: str) -> None:
        super().__init__(what, needed, room, mend)
        self.what = what
        self.needed = needed
        self.room = room
        self.mend = mend

    def __str__(self) -> str:
        """Say what is too large, by how much, and what to do."""
        needs = f"it needs {self.needed}, and there is room for {self.room}"
        return f"{self.what} does not fit on the paper: {needs}. {self.mend}"


class UnknownPaperError(PaperworkError, ValueError):
    """A paper size that is not kept."""

    def __init__(self, given: str, known: Sequence[str]) -> None:
        super().__init__(given, tuple(known))
        self.given = given
        self.known = tuple(known)

    def __str__(self) -> str:
        """Say what was given and what is allowed."""
        return f"paper is '{self.given}'; the papers are printed on {listed(self.known)}. Choose one of them."


class TemplateError(PaperworkError, ValueError):
    """A file of wording cannot be used: which file, which line, what is wrong, what to do."""

    def __init__(self, file: Path, line: int | None, problem: str, mend: str) -> None:
        super().__init__(file, line, problem, mend)
        self.file = file
        self.line = line
        self.problem = problem
        self.mend = mend

    def __str__(self) -> str:
        """Point at the line where there is one."""
        place = f"{self.file}, line {self.line}" if self.line else str(self.file)
        return f"{place}: {self.problem}. {self.mend}"


class ArchiveExtraMissingError(PaperworkError):
    """Archive files were asked for, and what makes them is not installed."""

    def __str__(self) -> str:
        """Say how to install it."""
        return "archive files (PDF/A) need the extra 'archive'. Install it with: pip install 'shopledger[archive]'."


class NotArchivableError(PaperworkError, ValueError):
    """A file cannot be made one for the archive."""

    def __init__(self, problem: str) -> None:
        super().__init__(problem)
        self.problem = problem

    def __str__(self) -> str:
        """Say what stands in the way."""
        return f"the file cannot become an archive file (PDF/A-2B): {self.problem}. Print the paper anew and try again."
