"""Rows of the owner's TOML files, read by a declaration of their keys: every problem of every row is gathered."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypeAlias, TypeVar

from shopledger.errors import ShopledgerError
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError, unknown_key
from shopledger.files.reading import NotReadError, read_outside

T = TypeVar("T")
Reader: TypeAlias = Callable[[str, object], Any]
"""Takes the key and what stands there; gives the value or raises one of the program's own errors."""
Problems: TypeAlias = list[FileRefusedError]

REQUIRED: Final = object()
"""Stands where a default would, for a key that may not be left out."""
LARGEST_FILE: Final = 4_000_000

_HEADING = re.compile(r"\s*\[\[?\s*([\w-]+)[\s\].]")
_AT_LINE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a row: how it is read, and what holds where it is left out."""

    key: str
    read: Reader
    default: object = REQUIRED


Rows: TypeAlias = tuple[Sequence[Field], Callable[..., Any]]
"""The keys of a table's rows, and what makes a value of one."""


@dataclass(frozen=True, slots=True)
class TomlFile:
    """A file's name, its text, and the values in it."""

    name: str
    text: str
    values: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a row stands: the file, its table, and which of the tables with that name, from 0; no table is the top."""

    file: TomlFile
    table: str = ""
    nth: int = 0

    @property
    def words(self) -> str:
        """The row as a sentence names it."""
        return f"{self.table} {self.nth + 1}" if self.table else "the file"

    def line_of(self, key: str = "") -> int | None:
        """Give the line of a key of this row, or of the row's heading where the key is not found."""
        at, table, seen = None, "", -1
        for number, line in enumerate(self.file.text.splitlines(), start=1):
            if heading := _HEADING.match(line):
                table = heading[1]
                seen += table == self.table
                if not self.table and table == key:
                    return number
                if (table, seen) == (self.table, self.nth) and at is None:
                    at = number
            elif (not self.table or seen == self.nth) and table == self.table and _is_key(line, key):
                return number
        return at

    def refused(self, reason: str, hint: str, key: str = "") -> FileRefusedError:
        """Make the refusal of something in this row."""
        row = f"{self.words}: " if self.table else ""
        return FileRefusedError(self.file.name, self.line_of(key), f"{row}{reason}", hint)

    def refused_by(self, error: ShopledgerError, key: str = "") -> Problems:
        """Turn what a rule says of a value into refusals with their place."""
        if isinstance(error, RowsRefusedError):
            return [self.refused(problem.reason, problem.hint, key) for problem in error.problems]
        hint = str(getattr(error, "hint", ""))
        reason = str(error).removesuffix(hint).strip().removesuffix(".")
        return [self.refused(reason, hint, key)]


def open_toml(source: Path | str, name: str = "the file") -> TomlFile:
    """Take in a TOML file by its path or its text; what is no TOML is refused with its line."""
    text = _text_of(source) if isinstance(source, Path) else source
    named = source.name if isinstance(source, Path) else name
    try:
        return TomlFile(named, text, tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        found = _AT_LINE.search(str(error))
        line = int(found[1]) if found and found[1] else text.count("\n") + 1
        reason = _AT_LINE.sub("", str(error))
        hint = "Look at that line: a row is key = value, and text stands in quotes."
        raise FileRefusedError(named, line, f"it cannot be read as TOML: {reason}", hint) from None
    except RecursionError:
        raise FileRefusedError(
            named, None, "its lists are nested too deep to be read", "Look at its brackets."
        ) from None
    except ValueError:
        hint = "Look for a figure of thousands of digits."
        raise FileRefusedError(named, None, "it holds a number that is far too long", hint) from None


def read_row(
    place: Place, values: Mapping[str, object], fields: Sequence[Field], make: Callable[..., T], problems: Problems
) -> T | None:
    """Read a row's keys and make its value; what is wrong is added to `problems` and None given."""
    before = len(problems)
    known = [field.key for field in fields]
    strange = [
        unknown_key(place.file.name, place.line_of(key), place.words, key, known) for key in values if key not in known
    ]
    problems += strange
    # A key that is there under a misspelt name is not missing as well.
    meant = {near for error in strange for near in error.near}
    read = {field.key: _value(place, values, field, problems) for field in fields if field.key not in meant}
    if len(problems) > before:
        return None
    try:
        return make(**read)
    except ShopledgerError as error:
        problems += place.refused_by(error)
        return None


def read_rows(
    file: TomlFile, table: str, fields: Sequence[Field], make: Callable[..., T], problems: Problems
) -> list[tuple[Place, T]]:
    """Read all tables of one name, each with its place; those with problems are left out."""
    found = file.values.get(table, [])
    rows: list[Any] = found if isinstance(found, list) else [found]
    made: list[tuple[Place, T]] = []
    for nth, values in enumerate(rows):
        place = Place(file, table, nth)
        if not isinstance(values, dict):
            problems.append(place.refused("it is no table", f"Write [[{table}]] on a line of its own, and keys below."))
        elif (row := read_row(place, values, fields, make, problems)) is not None:
            made.append((place, row))
    return made


def read_document(
    source: Path | str, name: str, keys: Sequence[Field], tables: Mapping[str, Rows], make: Callable[..., T]
) -> T:
    """Read a file of keys at its top and of tables below; `make` takes both by name, the rows of a table as a tuple.

    Every problem in it is told at once.
    """
    file = open_toml(source, name)
    place = Place(file)
    problems: Problems = []
    rows = {
        table: tuple(row for _, row in read_rows(file, table, fields, of_row, problems))
        for table, (fields, of_row) in tables.items()
    }
    # What the rows of a table hold was read above; at the top they only may stand there.
    standing = (Field(table, lambda _, found: found, None) for table in tables)
    top: dict[str, Any] | None = read_row(place, file.values, (*keys, *standing), dict, problems)
    raise_any(problems)
    try:
        return make(**{**(top or {}), **rows})
    except ShopledgerError as error:
        raise place.refused_by(error)[0] from error


def raise_any(problems: Problems) -> None:
    """Raise the only problem, or all of them as one error."""
    if len(problems) == 1:
        raise problems[0]
    if problems:
        raise RowsRefusedError(tuple(problems))


def _value(place: Place, values: Mapping[str, object], field: Field, problems: Problems) -> object:
    if field.key not in values:
        if field.default is REQUIRED:
            problems.append(place.refused(f"'{field.key}' is missing", "Add it."))
        return field.default
    try:
        return field.read(field.key, values[field.key])
    except ShopledgerError as error:
        problems += place.refused_by(error, field.key)
        return None


def _is_key(line: str, key: str) -> bool:
    before, equals, _ = line.partition("=")
    return bool(key and equals) and before.strip().strip("\"'") == key


_BEGINNINGS: Final = (
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"RIFF", "a picture or a sound"),
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a workbook or an archive"),
    (b"\xd0\xcf\x11\xe0", "a workbook or a document"),
    (b"\x1f\x8b", "an archive"),
    (b"SQLite format 3", "a database"),
)
"""How files begin that are no text, whatever they are called (each from the description of its format)."""
_TWO_BYTES: Final = (b"\xff\xfe", b"\xfe\xff")
"""How a text begins whose letters have two bytes each (Unicode, byte order mark)."""


def _why_no_text(body: bytes, suffix: str) -> tuple[str, str]:
    """Say what a file is that is no text in UTF-8, and what to do."""
    form = "TOML" if suffix == ".toml" else "CSV"
    kind = next((said for beginning, said in _BEGINNINGS if body.startswith(beginning)), "")
    if kind:
        return f"it is {kind} and no text", f"Save the table itself as {form} in UTF-8, and give that file."
    if b"\0" in body and not body.startswith(_TWO_BYTES):
        return "it is no text", f"Choose the right file, or save the table as {form} in UTF-8."
    return "it is text, but not in UTF-8", f"Save it again as {form} in UTF-8."


def _text_of(path: Path) -> str:
    try:
        body = read_outside(path, LARGEST_FILE)
        return body.removeprefix(b"\xef\xbb\xbf").decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise FileRefusedError(path.name, None, *_why_no_text(body, path.suffix.lower())) from None
    except NotReadError as error:
        raise FileRefusedError(str(path), None, error.reason, error.hint) from error
