"""Showing a result: as JSON that never changes its form, or as tables that read well in black and white.

Data goes to stdout; what is said about it goes to stderr. A command hands over both forms: one JSON value, and the
blocks that say the same to a reader.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple, TypeAlias

import click

from shopledger.cli.group import plain_terminal

if TYPE_CHECKING:
    from rich.console import Console, JustifyMethod, RenderableType

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"
"""What JSON can hold; amounts are text such as "129.95", days ISO text."""

WIDTH: Final = 80
"""Columns to use where the output is no terminal."""


class Column(NamedTuple):
    """A column's heading, whether its values stand at the right, and whether they are kept on one line."""

    heading: str
    right: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Fields:
    """One thing as labels with values; those without a value are left out."""

    title: str
    rows: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Table:
    """Several things, one a row; `without` is said where there are none."""

    title: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    without: str = "None."


@dataclass(frozen=True, slots=True)
class Drawing:
    """Lines to print exactly as they are."""

    lines: Sequence[str]


Block: TypeAlias = Fields | Table | Drawing


def show(as_json: bool, data: Json, *blocks: Block) -> None:
    """Print a result in the form asked for."""
    if as_json:
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    display(*blocks)


def display(*blocks: Block, err: bool = False) -> None:
    """Print blocks for reading, one under another; on stderr where they only go before a question."""
    for place, block in enumerate(_worth_saying(blocks)):
        if place:
            click.echo(err=err)
        if isinstance(block, Drawing):
            for line in block.lines:
                click.echo(line, err=err)
        else:
            _console(err=err).print(_fields(block) if isinstance(block, Fields) else _table(block))


def _worth_saying(blocks: Iterable[Block]) -> list[Block]:
    """Leave out labels of which none has a value."""
    return [block for block in blocks if not isinstance(block, Fields) or any(value for _, value in block.rows)]


def _console(*, err: bool) -> Console:
    """Make a console that adds no colour or markup of its own to what the owner typed."""
    from rich.console import Console

    stream = sys.stderr if err else sys.stdout
    width = None if stream.isatty() else WIDTH
    return Console(
        file=stream, width=width, highlight=False, markup=False, emoji=False, no_color=plain_terminal() or None
    )


def _fields(block: Fields) -> RenderableType:
    from rich.table import Table as Grid
    from rich.text import Text

    grid = Grid.grid(padding=(0, 2), pad_edge=False)
    if block.title:
        grid.title, grid.title_justify, grid.title_style = Text(block.title), "left", "bold"
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    for label, value in block.rows:
        if value:
            grid.add_row(Text(label), Text(value))
    return grid


def _table(block: Table) -> RenderableType:
    from rich import box
    from rich.table import Table as Grid
    from rich.text import Text

    if not block.rows:
        return Text(f"{block.title}: {block.without}" if block.title else block.without)
    grid = Grid(
        box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1), title_justify="left", title_style="bold"
    )
    grid.title = Text(block.title) if block.title else None
    for column in block.columns:
        side: JustifyMethod = "right" if column.right else "left"
        grid.add_column(Text(column.heading), justify=side, no_wrap=column.whole or column.right, overflow="fold")
    for row in block.rows:
        grid.add_row(*(Text(cell) for cell in row))
    return grid
