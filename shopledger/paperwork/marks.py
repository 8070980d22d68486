"""What can stand on a page: texts, lines, boxes, outlines, circles, pictures, in points, y down from the top left."""

from __future__ import annotations

from dataclasses import dataclass, replace
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


Mark: TypeAlias = Text | Rule | Box | Outline | Trail | Circle | Picture
Marks: TypeAlias = tuple[Mark, ...]


def moved(marks: Marks, dx: float, dy: float) -> Marks:
    """Give the same marks elsewhere."""
    return tuple(mark.moved(dx, dy) for mark in marks)
