"""Showing a result: as JSON that never changes its form, or as tables that read well in black and white.

Data goes to stdout; what is said about it goes to stderr. A command hands over both forms: one JSON value, and the
blocks that say the same to a reader. What is stored may hold what steers a terminal or turns its writing: it is shown
as a number, and never sent.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, NamedTuple, TextIO, TypeAlias

import click

from shopledger.cli.group import WIDTH, columns, plain_terminal
from shopledger.cli.tables import Cell, Column, Fields, Screen, Table, fields_lines, table_lines
from shopledger.errors import visible

__all__ = ["Block", "Column", "Drawing", "Fields", "Json", "Table", "display", "show"]

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"
"""What JSON can hold; amounts are text such as "129.95", days ISO text."""

_BRAILLE: Final = range(0x2800, 0x2900)
_UPPER_DOTS: Final = 0x1B
_LOWER_DOTS: Final = 0xE4
"""The dots of a braille character in its upper and in its lower half (Unicode, block 2800)."""


class Drawing(NamedTuple):
    """Lines to print exactly as they are."""

    lines: Sequence[str]


Block: TypeAlias = Fields | Table | Drawing


def show(as_json: bool, data: Json, *blocks: Block) -> None:
    """Print a result in the form asked for."""
    if as_json:
        import json

        written = json.dumps(data, ensure_ascii=not _takes("\u2800", sys.stdout), indent=2)
        click.echo(_escaped_unseen(written))
        return
    display(*blocks)


def display(*blocks: Block, err: bool = False) -> None:
    """Print blocks for reading, one under another; on stderr where they only go before a question."""
    stream = sys.stderr if err else sys.stdout
    for place, block in enumerate(map(_visible, _worth_saying(blocks))):
        if place:
            click.echo(err=err)
        # At once, since each call empties the stream.
        click.echo("".join(f"{line}\n" for line in _lines(block, stream)), nl=False, err=err)


def _worth_saying(blocks: Iterable[Block]) -> list[Block]:
    """Leave out labels of which none has a value."""
    return [block for block in blocks if not isinstance(block, Fields) or any(str(value) for _, value in block.rows)]


def _visible(block: Block) -> Block:
    """Give a block of which nothing steers the terminal; a cell's own line ends stay."""
    if isinstance(block, Drawing):
        return Drawing([visible(line) for line in block.lines])
    if isinstance(block, Fields):
        return Fields(visible(block.title), [(visible(label), _cell(value)) for label, value in block.rows])
    return block._replace(title=visible(block.title), rows=[[_cell(cell) for cell in row] for row in block.rows])


def _cell(cell: Cell) -> Cell:
    seen = visible(str(cell), "\n")
    return cell if seen == str(cell) else type(cell)(seen)


def _escaped_unseen(written: str) -> str:
    """Give JSON in which what nobody sees stands escaped; half pairs of such characters make up the larger ones."""
    if all(map(str.isprintable, written.split("\n"))):
        return written
    import json

    return "".join(
        json.dumps(letter)[1:-1] if letter != "\n" and not letter.isprintable() else letter for letter in written
    )


def _lines(block: Block, stream: TextIO) -> Iterable[str]:
    if isinstance(block, Fields):
        return fields_lines(block, _screen(stream))
    if isinstance(block, Table):
        return table_lines(block, _screen(stream))
    return block.lines if all(_takes(line, stream) for line in block.lines) else map(_plainly_drawn, block.lines)


def _screen(stream: TextIO) -> Screen:
    rule = "─" if _takes("─", stream) else "-"
    if not stream.isatty():
        return Screen(WIDTH, rule=rule)
    return Screen(columns(stream), terminal=True, rule=rule, bold=str if plain_terminal() else _bold)


def _bold(line: str) -> str:
    return click.style(line, bold=True)


def _takes(text: str, stream: TextIO) -> bool:
    """Tell whether a stream has signs for all letters of a text."""
    try:
        text.encode(stream.encoding or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _plainly_drawn(line: str) -> str:
    """Draw a line with the commonest signs: a quote where the upper half is filled, a point for the lower, a colon."""
    return "".join(_PLAIN[_filled(letter)] if ord(letter) in _BRAILLE else letter for letter in line)


_PLAIN: Final = {(False, False): " ", (True, False): "'", (False, True): ".", (True, True): ":"}


def _filled(letter: str) -> tuple[bool, bool]:
    dots = ord(letter) - _BRAILLE.start
    return bool(dots & _UPPER_DOTS), bool(dots & _LOWER_DOTS)
