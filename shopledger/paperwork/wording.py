"""The words, looks and order of blocks of each paper, read from TOML; the owner's own file wins over the shipped one.

The shipped file is also the rule for the owner's: same keys, same kinds of value, same words in braces.
"""

from __future__ import annotations

import json
import re
import string
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final, TypeAlias

from shopledger.errors import listed, nearest
from shopledger.files.reading import NotReadError, read_outside
from shopledger.files.refusals import reason_of
from shopledger.paperwork.fonts import missing_glyphs
from shopledger.paperwork.look import PLAIN, Look, read_look
from shopledger.paperwork.refusals import LookError, TemplateError
from shopledger.places import templates_folder

_LARGEST: Final = 2_000_000
"""The most bytes that a file of wording has."""

Entry: TypeAlias = str | tuple[str, ...]
_KEEP: Final = "Compare it with the shipped file of the same name."
WRITTEN_HERE: Final = "# The words of this paper as they were set at the counter."
"""The first line of a file of wording that the program wrote itself."""
_KEPT_LOGO: Final = "look.logo_sha256"
"""Under which a kept wording names the logo that was kept with it."""
_DATE: Final = frozenset({"month", "mm", "dd", "d", "year"})


@dataclass(frozen=True, slots=True)
class Wording:
    """What one paper says besides the ledger's own words, by dotted key such as `titles.paid`."""

    entries: Mapping[str, Entry]
    look: Look = PLAIN

    def __getitem__(self, key: str) -> str:
        """Give a plain text."""
        entry = self.entries[key]
        if not isinstance(entry, str):
            raise TypeError(key)
        return entry

    @property
    def logo(self) -> str:
        """The file of the logo in the owner's folder; empty where there is none."""
        return str(self.entries.get("look.logo", ""))

    def canonical(self, logo_sha256: str = "") -> str:
        """Give the entries as text that never changes, to be kept and read back with `kept_wording`.

        With them the hash of the logo, which is kept too, so that papers stay the same whatever the folder holds later.
        """
        entries = {**self.entries, **({_KEPT_LOGO: logo_sha256} if logo_sha256 else {})}
        return json.dumps(entries, ensure_ascii=False, separators=(",", ":"), sort_keys=True)

    def completed_from(self, later: Wording) -> Wording:
        """Give the same with the entries that no wording had yet when this one was kept."""
        return Wording({**later.entries, **self.entries}, self.look)

    def fill(self, key: str, **values: object) -> str:
        """Give a text with its words in braces filled in."""
        return self[key].format(**values)

    def listed(self, key: str) -> tuple[str, ...]:
        """Give a list of words, such as the order of the blocks."""
        entry = self.entries[key]
        return (entry,) if isinstance(entry, str) else entry

    def each(self, section: str, keys: Iterable[str]) -> tuple[str, ...]:
        """Give several plain texts of a section, such as the heads of a table."""
        return tuple(self[f"{section}.{key}"] for key in keys)

    def word(self, section: str, value: str) -> str:
        """Give the paper's word for one of the ledger's own; a word that the file does not know stays as it is."""
        entry = self.entries.get(f"{section}.{value.replace(' ', '_')}", value)
        return entry if isinstance(entry, str) else value

    def day(self, iso: str) -> str:
        """Write an ISO day, or several that stand after one another, as the paper does, each on its line."""
        return "\n".join(self._one_day(day) for day in iso.split(", "))

    def _one_day(self, iso: str) -> str:
        year, month, day = iso.split("-")
        name = self.listed("months")[int(month) - 1]
        return self["date"].format(year=year, month=name, mm=month, dd=day, d=int(day))


def read_wording(paper: str, owner_folder: Path | None = None) -> Wording:
    """Give a paper's wording: the owner's file where there is one, else the shipped one.

    Raises TemplateError with the file, the key and, where it is known, the line.
    """
    shipped = _shipped(paper)
    if owner_folder is None or not has_own(paper, owner_folder):
        return shipped
    return _checked(own_file(paper, owner_folder), shipped, owner_folder)


def own_file(paper: str, owner_folder: Path) -> Path:
    """Say where the owner's own wording of a paper lies, if there is one."""
    return owner_folder / "papers" / f"{paper}.toml"


def has_own(paper: str, owner_folder: Path | None) -> bool:
    """Tell whether the owner has a wording of a paper's own."""
    return owner_folder is not None and _is_there(own_file(paper, owner_folder))


def held(paper: str, entries: Mapping[str, Entry], owner_folder: Path | None) -> Wording:
    """Hold entries to the shipped ones' keys, kinds and words in braces. Raises LookError with the key."""
    shipped = _shipped(paper)
    for key, standard in shipped.entries.items():
        problem = _problem(key, entries[key], standard)
        if problem:
            raise LookError(key, problem, f"As shipped it is {_as_toml(standard)}.")
    return Wording(entries, read_look(entries, owner_folder))


def as_file(entries: Mapping[str, Entry]) -> bytes:
    """Write a wording as its file, without remarks."""
    import tomli_w  # noqa: PLC0415 - papers are read far more often than written

    tables: dict[str, Any] = {}
    for key, entry in entries.items():
        *sections, name = key.split(".")
        table = tables
        for section in sections:
            table = table.setdefault(section, {})
        table[name] = list(entry) if isinstance(entry, tuple) else entry
    return f"{WRITTEN_HERE}\n\n{tomli_w.dumps(tables)}".encode()


def kept_logo(body: str) -> str:
    """Give the hash of the logo that was kept with a wording; empty where there was none, or none was kept yet."""
    return str(json.loads(body).get(_KEPT_LOGO, ""))


def kept_wording(body: str, owner_folder: Path | None = None, logo: bytes | None = None) -> Wording:
    """Give a wording back from the text that `Wording.canonical` made of it.

    A logo that was not kept with it is read from the owner's folder. Raises TemplateError where it is not there.
    """
    entries = {key: tuple(entry) if isinstance(entry, list) else entry for key, entry in json.loads(body).items()}
    entries.pop(_KEPT_LOGO, None)
    try:
        return Wording(entries, read_look(entries, owner_folder, logo))
    except LookError as error:
        place = owner_folder or templates_folder()
        raise TemplateError(place, None, f"{error.key} {error.problem}", error.hint) from error


@cache
def _shipped(paper: str) -> Wording:
    entries = _flat(_parsed(templates_folder() / "papers" / f"{paper}.toml"))
    return Wording(entries, read_look(entries, None))


def _is_there(file: Path) -> bool:
    try:
        return file.is_file()
    except OSError as error:
        raise TemplateError(file, None, f"it cannot be looked for ({reason_of(error)})", "See that you may.") from error


def _parsed(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(read_outside(file, _LARGEST).decode("utf-8"))
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        reason = re.sub(r"\s*\(at .*\)", "", str(error)).rstrip(".")
        problem = f"it is no valid TOML: {reason[:1].lower()}{reason[1:]}"
        raise TemplateError(file, int(found[1]) if found else None, problem, "Mend that line.") from error
    except UnicodeDecodeError as error:
        raise TemplateError(file, None, "it is not written in UTF-8", "Save it as UTF-8 text.") from error
    except RecursionError as error:
        raise TemplateError(file, None, "its lists are nested too deep to be read", "Look at its brackets.") from error
    except NotReadError as error:
        raise TemplateError(file, None, f"it cannot be read ({error.reason})", error.hint) from error


def _flat(tables: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    """Give the leaves by dotted key; lists become tuples."""
    entries: dict[str, Any] = {}
    for key, value in tables.items():
        if isinstance(value, dict):
            entries |= _flat(value, f"{before}{key}.")
        else:
            entries[f"{before}{key}"] = tuple(value) if isinstance(value, list) else value
    return entries


def _checked(file: Path, shipped: Wording, folder: Path | None) -> Wording:
    """Hold the owner's file to the shipped one's keys, kinds and words in braces; looks that it leaves out stay."""
    looks = {key: entry for key, entry in shipped.entries.items() if key.startswith("look.")}
    entries = looks | _flat(_parsed(file))
    for key in entries:
        if key not in shipped.entries:
            near = nearest(key, shipped.entries)
            meant = f" Did you mean {listed(near)}?" if near else ""
            raise TemplateError(file, _line_of(file, key), f"there is no key {key}", f"Take it out.{meant}")
    for key, standard in shipped.entries.items():
        if key not in entries:
            hint = f"Add it; as shipped it is {_as_toml(standard)}."
            raise TemplateError(file, None, f"the key {key} is missing", hint)
        problem = _problem(key, entries[key], standard)
        if problem:
            raise TemplateError(file, _line_of(file, key), f"{key} {problem}", _KEEP)
    try:
        return Wording(entries, read_look(entries, folder))
    except LookError as error:
        raise TemplateError(file, _line_of(file, error.key), f"{error.key} {error.problem}", error.hint) from error


def _problem(key: str, given: object, standard: Entry) -> str:
    """Say what is wrong with one entry; nothing when it is well."""
    if isinstance(standard, tuple):
        return _list_problem(key, given, standard)
    if not isinstance(given, str):
        return "is not a text in quotation marks"
    if missing := missing_glyphs(given):
        return f"holds letters that the papers' font cannot set: {' '.join(missing)}"
    try:
        braces = set(_braces(given))
    except ValueError as error:
        return f"has a brace that is not closed or not opened ({error})"
    if key == "date":
        return "" if braces and braces <= _DATE else "may hold only {month}, {mm}, {dd}, {d} and {year}"
    return _braces_problem(braces, set(_braces(standard)))


def _braces_problem(given: set[str], wanted: set[str]) -> str:
    if unknown := sorted(given - wanted):
        return f"holds {{{unknown[0]}}}, which is not filled in there"
    if lost := sorted(wanted - given):
        return f"lacks {{{lost[0]}}}, which must be shown"
    return ""


def _braces(text: str) -> Iterator[str]:
    """Give each name in braces with its conversion and format, so that only the plain name passes."""
    for _, name, form, conversion in string.Formatter().parse(text):
        if name is not None:
            yield name + (f"!{conversion}" if conversion else "") + (f":{form}" if form else "")


def _list_problem(key: str, given: object, standard: tuple[str, ...]) -> str:
    if not isinstance(given, tuple) or not all(isinstance(word, str) for word in given):
        return "is not a list of texts"
    if missing := missing_glyphs("".join(given)):
        return f"holds letters that the papers' font cannot set: {' '.join(missing)}"
    if key == "months":
        return "" if len(given) == 12 else f"names {len(given)} months, not 12"
    if key.endswith(".sentences"):
        return ""
    if sorted(given) != sorted(standard):
        return f"must name each of {', '.join(standard)} once"
    return ""


def _as_toml(entry: Entry) -> str:
    return f'"{entry}"' if isinstance(entry, str) else f"[{', '.join(_as_toml(word) for word in entry)}]"


def _line_of(file: Path, key: str) -> int | None:
    """Find the line that sets a key: its last part, under the heading of the rest."""
    *table, name = key.split(".")
    under = ""
    for number, text in enumerate(read_outside(file, _LARGEST).decode("utf-8").splitlines(), start=1):
        if head := re.match(r"\s*\[([^\[\]]+)\]", text):
            under = head[1].strip()
        elif under == ".".join(table) and re.match(rf"\s*[\"']?{re.escape(name)}[\"']?\s*=", text):
            return number
    return None
