"""The lines of a file in the trade's Data Communication Standard: a label, an equals sign, fields between semicolons.

The standard's own text (ISO 16284, which ANSI Z80.24 repeats) could not be read for this: the form of a record, `?` for
an unknown value, the star before a mandatory label and the control characters of a live session are from memory.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from shopledger.exchange.refusals import FileRefusedError
from shopledger.files.reading import NotReadError, read_outside

LARGEST_FILE = 4_000_000
"""No trace file comes near this many bytes, so a larger one is something else."""

_LINE_END = re.compile(r"\r\n|\n|\r")
_SESSION = re.compile("[\x06\x15\x1c\x1d\x1e]")
_UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class RecordText:
    """A file's text with one character per byte, its name for refusals, and the hash of its bytes."""

    file: str
    text: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Record:
    """One line: where it stands, its label in capitals, its fields without padding, and the line word for word."""

    line: int
    label: str
    fields: tuple[str, ...]
    raw: str

    @property
    def given(self) -> tuple[str | None, ...]:
        """The fields, None where one is empty or says that it is unknown."""
        return tuple(None if field in {"", _UNKNOWN} else field for field in self.fields)


def open_records(source: Path | str) -> RecordText:
    """Take in a file, or the text of one; nothing is understood yet."""
    if isinstance(source, Path):
        return _taken(source.name, bytes_of(source))
    return _taken("the trace", source.encode("utf-8"))


def records_of(opened: RecordText) -> Iterator[Record]:
    """Give the records one by one; empty lines are passed over."""
    for line, raw in enumerate(_LINE_END.split(opened.text), start=1):
        if raw.strip(" \t\x00\x1a"):
            yield _record(opened.file, line, raw)


def label_of(raw: str) -> str:
    """Give the label of a line, in capitals and without its star."""
    return raw.partition("=")[0].strip().removeprefix("*").upper()


def word_for_word(raw: str) -> str:
    """Give a line as its writer meant it, whether that was in UTF-8 or in Latin letters of one byte."""
    as_bytes = raw.encode("latin-1")
    try:
        return as_bytes.decode("utf-8")
    except UnicodeDecodeError:
        return raw


def shown(text: str) -> str:
    """Give the start of a text in letters that can be printed anywhere."""
    return "".join(letter if " " <= letter <= "~" else "?" for letter in text.strip()[:30])


def _record(file: str, line: int, raw: str) -> Record:
    before, equals, after = raw.partition("=")
    label = label_of(raw)
    if _SESSION.search(before):
        reason = "it holds the control characters of a live session between two machines"
        raise FileRefusedError(file, line, reason, "Save the records alone to the file.")
    if not equals or not label:
        reason = f"'{shown(raw)}' is no record"
        raise FileRefusedError(file, line, reason, "A record is LABEL=value; export the trace again as text.")
    return Record(line, label, tuple(field.strip() for field in after.split(";")), raw)


def _taken(name: str, content: bytes) -> RecordText:
    # Latin-1 gives each byte one character, so that even a binary trace can be read as far as its format record.
    text = content.removeprefix(b"\xef\xbb\xbf").decode("latin-1")
    return RecordText(name, text, hashlib.sha256(content).hexdigest())


def bytes_of(path: Path) -> bytes:
    """Read a whole file, unless it is far too large for a trace or cannot be read."""
    try:
        return read_outside(path, LARGEST_FILE)
    except NotReadError as error:
        raise FileRefusedError(str(path), None, error.reason, error.hint) from error
