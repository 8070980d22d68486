"""What can stand on a page: texts, lines, boxes, outlines, circles, pictures, in points, y down from the top left.

Marks that a reader takes as one thing, such as a heading or a table's cell, stand together in an element.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeAlias

from shopledger.paperwork.typeset import Ink, Style, width_of

Dashes: TypeAlias = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `x` is its left end and `y` its baseline."""

    x: float
    y: float
    text: str
    style: Style

    def moved(self, dx: float, dy: float) -> Text:
        """Give the same text elsewhere."""
        return Text(self.x + dx, self.y + dy, self.text, self.style)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the letters, from the height of capitals to the foot of descenders."""
        size = self.style.size
        return self.x, self.y - 0.73 * size, self.x + width_of(self.text, self.style), self.y + 0.24 * size


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float = 0.5
    ink: Ink = 0.0
    dashes: Dashes = ()

    def moved(self, dx: float, dy: float) -> Rule:
        """Give the same line elsewhere."""
        return replace(self, x0=self.x0 + dx, y0=self.y0 + dy, x1=self.x1 + dx, y1=self.y1 + dy)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        return min(self.x0, self.x1), min(self.y0, self.y1), max(self.x0, self.x1), max(self.y0, self.y1)


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle; without a line where `line` is 0, without a filling where `fill` is None."""

    x: float
    y: float
    width: float
    height: float
    line: float = 0.5
    ink: Ink = 0.0
    fill: Ink | None = None

    def moved(self, dx: float, dy: float) -> Box:
        """Give the same box elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        return self.x, self.y, self.x + self.width, self.y + self.height


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed line through points; without a filling where `fill` is None."""

    points: tuple[tuple[float, float], ...]
    width: float = 0.5
    ink: Ink = 0.0
    fill: Ink | None = None

    def moved(self, dx: float, dy: float) -> Outline:
        """Give the same outline elsewhere."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        across, down = zip(*self.points, strict=True)
        return min(across), min(down), max(across), max(down)


@dataclass(frozen=True, slots=True)
class Trail:
    """An open line through points."""

    points: tuple[tuple[float, float], ...]
    width: float = 0.5
    ink: Ink = 0.0
    dashes: Dashes = ()

    def moved(self, dx: float, dy: float) -> Trail:
        """Give the same line elsewhere."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        across, down = zip(*self.points, strict=True)
        return min(across), min(down), max(across), max(down)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; without a filling where `fill` is None."""

    x: float
    y: float
    radius: float
    width: float = 0.5
    ink: Ink = 0.0
    fill: Ink | None = None
    dashes: Dashes = ()

    def moved(self, dx: float, dy: float) -> Circle:
        """Give the same circle elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        return self.x - self.radius, self.y - self.radius, self.x + self.radius, self.y + self.radius


@dataclass(frozen=True, slots=True)
class Pixels:
    """A picture as rows of red, green and blue bytes, top row first."""

    width: int
    height: int
    rgb: bytes


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture, such as the shop's logo, in a rectangle."""

    x: float
    y: float
    width: float
    height: float
    pixels: Pixels

    def moved(self, dx: float, dy: float) -> Picture:
        """Give the same picture elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom."""
        return self.x, self.y, self.x + self.width, self.y + self.height


class Kind(Enum):
    """What a reader program takes an element for: its name and its scope (ISO 32000-1, 14.8.4 and 14.8.5.7)."""

    TITLE = ("H1", "")
    HEADING = ("H2", "")
    PARAGRAPH = ("P", "")
    TABLE = ("Table", "")
    ROW = ("TR", "")
    COLUMN_HEAD = ("TH", "Column")
    ROW_HEAD = ("TH", "Row")
    CELL = ("TD", "")
    LIST = ("L", "")
    ITEM = ("LI", "")
    LABEL = ("Lbl", "")
    BODY = ("LBody", "")
    FIGURE = ("Figure", "")


@dataclass(frozen=True, slots=True)
class Element:
    """Marks that are one thing to a reader, in the order in which they are read."""

    kind: Kind
    marks: tuple[Mark, ...]
    said: str = ""
    """What is read out in place of a figure."""
    columns: int = 1
    """How many columns of its table a cell takes."""

    def moved(self, dx: float, dy: float) -> Element:
        """Give the same element elsewhere."""
        return Element(self.kind, moved(self.marks, dx, dy), self.said, self.columns)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of all that it holds."""
        lefts, tops, rights, bottoms = zip(*(mark.extent for mark in leaves(self.marks)), strict=True)
        return min(lefts), min(tops), max(rights), max(bottoms)


Leaf: TypeAlias = Text | Rule | Box | Outline | Trail | Circle | Picture
"""What leaves ink."""
Mark: TypeAlias = Leaf | Element
Marks: TypeAlias = tuple[Mark, ...]


def moved(marks: Marks, dx: float, dy: float) -> Marks:
    """Give the same marks elsewhere."""
    return tuple(mark.moved(dx, dy) for mark in marks)


def leaves(marks: Iterable[Mark]) -> Iterator[Leaf]:
    """Give what leaves ink, in order, whatever elements it stands in."""
    for mark in marks:
        if isinstance(mark, Element):
            yield from leaves(mark.marks)
        else:
            yield mark


def paragraph_of(marks: Marks) -> Element:
    """Take marks as one paragraph."""
    return Element(Kind.PARAGRAPH, marks)


def labelled_item(label: Marks, value: Marks) -> Element:
    """Take marks as a label with what it tells, one item of a list (ISO 32000-1, table 336)."""
    return Element(Kind.ITEM, (Element(Kind.LABEL, label), Element(Kind.BODY, value)))


def spanning_row(kind: Kind, marks: Marks, columns: int) -> Element:
    """Take marks as a row whose one cell takes so many columns."""
    return Element(Kind.ROW, (Element(kind, marks, columns=columns),))


def table_row(cells: Iterable[tuple[Kind, Marks]]) -> Element:
    """Take marks as the cells of one row."""
    return Element(Kind.ROW, tuple(Element(kind, marks) for kind, marks in cells))
