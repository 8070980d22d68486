"""How labels and tables are laid out as lines of text: columns as wide as they need, long words folded, nothing cut.

On a screen that is too narrow for a table's columns each row becomes labels with values, one under another. Where the
output is no terminal, what cannot fit stands out over the usual width: a program that reads it wants it whole, and so
are paths.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import PurePath
from typing import Final, NamedTuple, TypeAlias

Cell: TypeAlias = str | PurePath
"""What stands beside a label or in a table: words that may be folded, or a path, whole where a program reads it."""

_BETWEEN_FIELDS: Final = "  "
_BETWEEN_COLUMNS: Final = "   "
_UNBROKEN: Final = 8
"""Letters of a word that no screen breaks; one without the room shows what stood beside one another underneath."""
_WORD: Final = re.compile(r"\s*\S+\s*")


class Column(NamedTuple):
    """A column's heading, whether its values stand at the right, and whether they are kept on one line."""

    heading: str
    right: bool = False
    whole: bool = False

    @property
    def folds(self) -> bool:
        """Whether words too many for a line go on in the next; figures never do."""
        return not (self.right or self.whole)


class Fields(NamedTuple):
    """One thing as labels with values; those without a value are left out."""

    title: str
    rows: Sequence[tuple[str, Cell]]


class Table(NamedTuple):
    """Several things, one a row; `without` is said where there are none."""

    title: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[Cell]]
    without: str = "None."


class Screen(NamedTuple):
    """What the lines are for: how wide it is, whether a person looks at it, what makes a rule, how words are bold."""

    width: int
    terminal: bool = False
    rule: str = "─"
    bold: Callable[[str], str] = str


def fields_lines(block: Fields, screen: Screen) -> Iterator[str]:
    """Lay out labels with their values, a long value folded beside its label."""
    rows = [(label, value) for label, value in block.rows if str(value)]
    labels = max(_longest(label) for label, _ in rows)
    longest = max(_longest(str(value)) for _, value in rows)
    room = screen.width - labels - len(_BETWEEN_FIELDS)
    least = max(_least(str(value), screen) for _, value in rows)
    if screen.terminal and room < least:
        yield from _titled(block.title, screen.width, screen)
        yield from _stacked(rows, screen)
        return
    beside = max(min(longest, room), least)
    yield from _titled(block.title, labels + len(_BETWEEN_FIELDS) + beside, screen)
    for label, value in rows:
        for place, line in enumerate(_folded(value, beside, screen)):
            yield f"{_padded('' if place else label, labels)}{_BETWEEN_FIELDS}{_padded(line, beside)}"


def table_lines(block: Table, screen: Screen) -> Iterator[str]:
    """Lay out a table: title, headings, a rule, the rows; or rows one under another where the screen is too narrow."""
    if not block.rows:
        said = f"{block.title}: {block.without}" if block.title else block.without
        yield from _wrapped(said, screen.width)
        return
    headings = [column.heading for column in block.columns]
    widths = _widths(block, screen)
    if widths is None:
        yield from _titled(block.title, screen.width, screen)
        for place, row in enumerate(block.rows):
            if place:
                yield ""
            filled = [(heading, cell) for heading, cell in zip(headings, row, strict=True) if str(cell)]
            yield from _stacked(filled, screen)
        return
    whole = sum(widths) + len(_BETWEEN_COLUMNS) * (len(widths) - 1)
    yield from _titled(block.title, whole, screen)
    yield from map(
        screen.bold, _row([column.heading for column in block.columns], block.columns, widths, screen, low=True)
    )
    yield screen.rule * whole
    for row in block.rows:
        yield from _row(row, block.columns, widths, screen)


def _widths(block: Table, screen: Screen) -> list[int] | None:
    """Give each column what it needs, those of words less where the screen is narrow; None if that is too little."""
    cells = list(zip([column.heading for column in block.columns], *block.rows, strict=True))
    needed = [max(_longest(str(cell)) for cell in column) for column in cells]
    folds = [
        column.folds and (screen.terminal or not any(isinstance(cell, PurePath) for cell in filled))
        for column, filled in zip(block.columns, cells, strict=True)
    ]
    # The space around a column counts with it, so that columns of words end up equally wide with their space.
    last = len(needed) - 1
    around = [(place > 0) + (place < last) for place in range(len(needed))]
    widths = _levelled([n + a for n, a in zip(needed, around, strict=True)], folds, screen.width - last)
    found = [width - a for width, a in zip(widths, around, strict=True)]
    least = [max(_least(str(cell), screen) for cell in column) for column in cells]
    if screen.terminal and (sum(widths) + last > screen.width or any(map(int.__lt__, found, least))):
        return None
    return list(map(max, found, least))


def _levelled(widths: Sequence[int], folds: Sequence[bool], room: int) -> list[int]:
    """Take from the widest columns that fold, until all fit the room or nothing can be taken."""
    level = [min(width, room) if may else width for width, may in zip(widths, folds, strict=True)]
    over = sum(level) - room
    while over > 0:
        most = max((width for width, may in zip(level, folds, strict=True) if may), default=0)
        if not most:
            break
        widest = [place for place, may in enumerate(folds) if may and level[place] == most]
        next_lower = max((width for width, may in zip(level, folds, strict=True) if may and width < most), default=0)
        step = min(over, most - next_lower)
        for left, place in zip(range(len(widest), 0, -1), widest, strict=True):
            taken = min(step, round(over / left))
            level[place] -= taken
            over -= taken
    return level


def _row(
    cells: Sequence[Cell], columns: Sequence[Column], widths: Sequence[int], screen: Screen, *, low: bool = False
) -> Iterator[str]:
    """Lay out a row on as many lines as its tallest cell has; headings stand `low`."""
    filled = [
        _folded(cell, width, screen) if column.folds else str(cell).split("\n")
        for cell, column, width in zip(cells, columns, widths, strict=True)
    ]
    tall = max(map(len, filled))
    for line in range(tall):
        parts = []
        for lines, column, width in zip(filled, columns, widths, strict=True):
            place = line - (tall - len(lines)) if low else line
            parts.append(_padded(lines[place] if 0 <= place < len(lines) else "", width, right=column.right))
        yield _BETWEEN_COLUMNS.join(parts)


def _stacked(rows: Sequence[tuple[str, Cell]], screen: Screen) -> Iterator[str]:
    """Put each value under its label where there is no room beside it."""
    for label, value in rows:
        words = f"{label}: {value}" if label else str(value)
        yield from (line.rstrip() for line in _wrapped(words.replace("\n", ", "), screen.width))


def _titled(title: str, width: int, screen: Screen) -> Iterator[str]:
    if title:
        yield from (screen.bold(_padded(line, width)) for line in _wrapped(title, width))


def _folded(cell: Cell, width: int, screen: Screen) -> list[str]:
    """Break a cell into lines of a width; a path is left whole where no person looks."""
    if isinstance(cell, PurePath) and not screen.terminal:
        return [str(cell)]
    return [line for part in str(cell).split("\n") for line in _wrapped(part, width)]


def _wrapped(text: str, width: int) -> list[str]:
    """Break a line between words, and a word that is longer than a line within it."""
    if _length(text) <= width:
        return [text]
    lines, line = [], ""
    for word in _WORD.findall(text) or [text]:
        if _length(line) + _length(word.rstrip()) <= width:
            line += word
            continue
        if line:
            lines.append(line)
        *whole, line = _chopped(word, width) if _length(word.rstrip()) > width else [word]
        lines += whole
    # A blank that hangs over the edge is none.
    return [each if _length(each) <= width else each.rstrip() for each in (*lines, line)]


def _chopped(word: str, width: int) -> list[str]:
    parts, part, filled = [], "", 0
    for letter in word:
        wide = _length(letter)
        if filled + wide > width and part:
            parts.append(part)
            part, filled = "", 0
        part, filled = part + letter, filled + wide
    return [*parts, part]


def _padded(text: str, width: int, *, right: bool = False) -> str:
    blanks = " " * (width - _length(text))
    return blanks + text if right else text + blanks


def _least(text: str, screen: Screen) -> int:
    """Give the least room that a text needs: on a screen its words are not broken unless they are long."""
    lengths = map(_length, text.split())
    return min(max(lengths, default=0), _UNBROKEN) if screen.terminal else int(any(lengths))


def _longest(text: str) -> int:
    return max(map(_length, text.split("\n")))


def _length(text: str) -> int:
    """Count the places that a text fills: two for a letter as wide as high, none for an accent of its own."""
    if text.isascii():
        return len(text)
    from unicodedata import category, east_asian_width

    return sum(
        0 if category(letter) in {"Mn", "Me", "Cf"} else 2 if east_asian_width(letter) in {"W", "F"} else 1
        for letter in text
    )
