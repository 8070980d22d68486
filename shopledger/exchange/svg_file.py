"""A frame's shape as a drawing in the web's vector format (SVG), one unit to the millimetre, at full size.

Both lenses stand as one faces the wearer, the right one at the left. In the drawing of one frame, boxed centres stand
on one line, the middle of the bridge at zero; each outline leaves its radii by less than 0.02 mm. What is drawn beside
the outlines (boxes, centres, letters, nose, blank circles, a bar of 100 mm) stands in a group of its own, so that a
cutter can leave it out. Where two frames are laid on each other, the shape that lies still has a full line and the laid
one is dashed; a dotted line leaves the first one by the difference times a factor, so that it can be seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Final
from xml.sax.saxutils import escape

from shopledger.errors import RefusedError
from shopledger.ledger.papers.true_size import BAR, TICK, letter_place, nose
from shopledger.optics.boxing import Boxed, box
from shopledger.optics.lengths import as_given, as_listed, at_least
from shopledger.optics.outline import svg_path
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace

_WITHIN: Final = 0.01
"""How far the outline may leave the traced points. [mm]"""
_MARGIN: Final = 6.0
_STRONG: Final = 3.5
"""Height of the words that nobody may miss. [mm]"""
_LETTER: Final = 7.0
"""Height of the letters R and L. [mm]"""
_BELOW: Final = 22.0
"""Room under the lenses for the bar and its words. [mm]"""
_BETWEEN: Final = 12.0
_LARGE_LETTER: Final = 9.0
_NOSE_UP: Final = 1.0
"""From the bridge up to the nose, so that it stands clear of the words for the bridge. [mm]"""
_WHICH: Final = "As one faces the wearer: R is the wearer's right lens, L the left one."
"""Said under every drawing of a pair."""
_LINES: Final = (("still", "0.2", ""), ("laid", "0.2", "2 1"), ("difference", "0.15", "0.4 0.6"))


@dataclass(frozen=True, slots=True)
class LensMarks:
    """Where a lens's optical centre stands from its boxed centre, and the uncut lenses about it; all in mm."""

    decentration_in: float
    offset_up: float = 0.0
    blank: float | None = None
    """Diameter of the uncut lens that is there."""
    least_blank: float | None = None
    """Diameter of the smallest one that would do."""

    def __post_init__(self) -> None:
        """Refuse a place or a diameter that no lens has."""
        for name, value, most in (("decentration", self.decentration_in, 30), ("offset", self.offset_up, 30)):
            if not abs(value) <= most:
                raise RefusedError(name, f"{value:g} mm", f"it is at most {most} mm", "Check PD and height.")
        if self.blank is not None and not 40 <= self.blank <= 100:
            raise RefusedError("blank", f"{self.blank:g} mm", "it is 40 to 100 mm", "Check the diameter.")


@dataclass(frozen=True, slots=True)
class _Lens:
    """One lens in the drawing: x to the right, y down, from the middle of the bridge."""

    side: Side
    path: str
    boxed: Boxed
    x: float
    marks: LensMarks | None

    @property
    def optical_centre(self) -> tuple[float, float]:
        """Where the optical centre stands; the boxed centre where none is known."""
        if self.marks is None:
            return self.x, 0.0
        return self.x + self.side.inward * self.marks.decentration_in, -self.marks.offset_up

    @property
    def below(self) -> float:
        """Where words stand under the centres, well inside the outline."""
        return 0.18 * self.boxed.b + 1

    @property
    def widest(self) -> float:
        """The diameter of the widest circle about the optical centre; zero where there is none."""
        return 0.0 if self.marks is None else max(self.marks.blank or 0.0, self.marks.least_blank or 0.0)

    @property
    def reach(self) -> tuple[float, float, float]:
        """How far the lens and its blank reach: to the left, to the right, and up or down."""
        low, high, tall = self.x - self.boxed.a / 2, self.x + self.boxed.a / 2, self.boxed.b / 2
        (x, y), radius = self.optical_centre, self.widest / 2
        return min(low, x - radius), max(high, x + radius), max(tall, abs(y) + radius)


def write_svg(shape: FrameTrace, title: str, right: LensMarks | None = None, left: LensMarks | None = None) -> str:
    """Draw both lenses at full size, with boxed centres, and with optical centres and blanks where they are given."""
    lenses = (_lens(shape, Side.RIGHT, right), _lens(shape, Side.LEFT, left))
    lefts, rights, talls = zip(*(lens.reach for lens in lenses), strict=True)
    low, high, tall = min(*lefts, -BAR / 2) - _MARGIN, max(*rights, BAR / 2) + _MARGIN, max(talls) + _MARGIN
    width, height = _mm(high - low), _mm(2 * tall + _BELOW)
    size = f'width="{width}mm" height="{height}mm" viewBox="{_mm(low)} {_mm(-tall)} {width} {height}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"<title>{escape(title)}</title>",
        "<desc>As seen when facing the wearer; one unit is one millimetre.</desc>",
        '<g id="outlines" fill="none" stroke="black" stroke-width="0.2" stroke-linejoin="round">',
        *(_outline(lens) for lens in lenses),
        "</g>",
        '<g id="marks" fill="none" stroke="black" stroke-width="0.1" font-family="sans-serif" font-size="2.5">',
        *(line for lens in lenses for line in _marked(lens)),
        *_beside(shape.dbl, tall),
        "</g>",
        "</svg>",
    ]
    return "\n".join([*lines, ""])


def _lens(shape: FrameTrace, side: Side, marks: LensMarks | None) -> _Lens:
    trace = shape.eye(side)
    boxed = box(trace)
    # Inward is to the right for the right lens, which stands at the left.
    return _Lens(side, svg_path(trace, _WITHIN), boxed, -side.inward * (shape.dbl + boxed.a) / 2, marks)


def _outline(lens: _Lens) -> str:
    return f'<path id="{lens.side.value}" transform="translate({_mm(lens.x)} 0)" d="{lens.path}"/>'


def _marked(lens: _Lens) -> Iterator[str]:
    """Draw the box, its centre, and what is known of the optical centre and the blank."""
    a, b, side = lens.boxed.a, lens.boxed.b, lens.side.value
    yield (
        f'<rect id="{side}-box" x="{_mm(lens.x - a / 2)}" y="{_mm(-b / 2)}" width="{_mm(a)}" height="{_mm(b)}" '
        f'stroke-dasharray="1 1"/>'
    )
    yield _cross(f"{side}-boxed-centre", lens.x, 0.0, 1.5)
    across, up = letter_place(a, b, -lens.side.inward)
    # Half a letter below its middle is its foot.
    yield _words(lens.x + across, 0.36 * _LETTER - up, side[0].upper(), name=f"{side}-letter", size=_LETTER)
    yield _words(lens.x, b / 2 + 3, f"{side}: A {as_given(a)}, B {as_given(b)} mm")
    if lens.marks is not None:
        yield from _placed(lens, lens.marks)


def _placed(lens: _Lens, marks: LensMarks) -> Iterator[str]:
    """Draw the optical centre with its distance and height, and the uncut lenses about it."""
    (x, y), side = lens.optical_centre, lens.side.value
    yield _cross(f"{side}-optical-centre", x, y, 3.0)
    yield f'<circle cx="{_mm(x)}" cy="{_mm(y)}" r="1"/>'
    height = as_given(marks.offset_up + lens.boxed.b / 2)
    yield _words(lens.x, lens.below, f"PD {as_given(abs(x))} mm")
    yield _words(lens.x, lens.below + 3.5, f"{height} mm from the lowest point")
    for name, diameter, dashes in (("blank", marks.blank, "3 1"), ("least-blank", marks.least_blank, "0.5 1")):
        if diameter is not None:
            written = as_given(diameter if name == "blank" else at_least(diameter))
            circle = f'cx="{_mm(x)}" cy="{_mm(y)}" r="{_mm(diameter / 2)}"'
            yield f'<circle id="{side}-{name}" {circle} stroke-dasharray="{dashes}"/>'
            # The words of the one stand outside its circle, those of the other inside, so that they keep apart.
            above = -1 if name == "blank" else 3.5
            yield _words(x, y - diameter / 2 + above, f"{name.replace('-', ' ')} {written}")


def _beside(dbl: float, tall: float) -> Iterator[str]:
    """Draw the bridge, the nose above it, and the bar with which a print is checked."""
    yield f'<path id="bridge" d="M{_mm(-dbl / 2)} 0 H{_mm(dbl / 2)}"/>'
    yield _words(0, 3, f"DBL {as_given(dbl)}")
    yield from _nose(dbl)
    y, half = tall + 5, BAR / 2
    ticks = " ".join(f"M{_mm(TICK * at - half)} {_mm(y - 2)} v4" for at in range(round(BAR / TICK) + 1))
    yield f'<path id="bar" d="M{_mm(-half)} {_mm(y)} H{_mm(half)} {ticks}"/>'
    yield _words(0, y - 3, f"MEASURE ME: {as_listed(BAR)} mm", name="measure", size=_STRONG)
    yield _words(0, y + 5, f"Is this bar not {as_listed(BAR)} mm long? Then the print is not at actual size.")
    yield _words(0, y + 9, _WHICH)


def _nose(dbl: float) -> Iterator[str]:
    """Draw the nose between the lenses, with its word above it."""
    points = [(x, -up - _NOSE_UP) for x, up in nose(dbl)]
    line = " L".join(f"{_mm(x)} {_mm(y)}" for x, y in points)
    yield f'<path id="nose" stroke-width="0.3" d="M{line}"/>'
    yield _words(0, min(y for _, y in points) - 1, "NOSE", name="nose-word")


def _cross(name: str, x: float, y: float, half: float) -> str:
    across = f"M{_mm(x - half)} {_mm(y)} H{_mm(x + half)}"
    return f'<path id="{name}" d="{across} M{_mm(x)} {_mm(y - half)} V{_mm(y + half)}"/>'


def _words(x: float, y: float, text: str, *, name: str = "", size: float | None = None) -> str:
    placed = f'x="{_mm(x)}" y="{_mm(y)}" text-anchor="middle" fill="black" stroke="none"'
    named = f' id="{name}"' if name else ""
    sized = "" if size is None else f' font-size="{size:g}"'
    return f"<text{named} {placed}{sized}>{escape(text)}</text>"


def _mm(length: float) -> str:
    # Zero is never written with a minus.
    return f"{length + 0.0:.3f}" if abs(length) >= 0.0005 else "0"


@dataclass(frozen=True, slots=True)
class Overlay:
    """One eye: radii of the shape that lies still and of the one laid on it, from the middle of the area; in mm."""

    still: Sequence[float]
    laid: Sequence[float]

    def times(self, factor: float) -> list[float]:
        """Give the radii of the line that leaves the still shape by the difference times a factor, down to zero."""
        return [max(one + factor * (other - one), 0.0) for one, other in zip(self.still, self.laid, strict=True)]


def write_overlay(right: Overlay, left: Overlay, title: str, factor: float, words: Sequence[str]) -> str:
    """Draw both eyes, each with its two shapes and their difference times a factor, and words below."""
    half = max(max(*eye.still, *eye.laid, *eye.times(factor)) for eye in (right, left)) + _MARGIN
    said = (*words, _WHICH)
    tall = max(_height(radii) for eye in (right, left) for radii in (eye.still, eye.laid, eye.times(factor))) + _MARGIN
    width, height = 4 * half + _BETWEEN, 2 * tall + 5 * (len(said) + 1)
    size = (
        f'width="{width:.3f}mm" height="{height:.3f}mm" viewBox="{-width / 2:.3f} {-tall:.3f} {width:.3f} {height:.3f}"'
    )
    away = half + _BETWEEN / 2
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"<title>{escape(title)}</title>",
        f"<desc>As seen when facing the wearer; one unit is a millimetre; the difference is times {factor:g}.</desc>",
        '<g fill="none" stroke="black">',
        *_eye("right", right, -away, factor),
        *_eye("left", left, away, factor),
        "</g>",
        '<g font-family="sans-serif" font-size="4" text-anchor="middle">',
        *(
            f'<text id="{name}-letter" x="{x:.3f}" y="3" font-size="{_LARGE_LETTER:g}">{name[0].upper()}</text>'
            for name, x in (("right", -away), ("left", away))
        ),
        *(f'<text x="0" y="{tall + 5 * place:.3f}">{escape(line)}</text>' for place, line in enumerate(said, start=1)),
        "</g>",
        "</svg>",
    ]
    return "\n".join([*lines, ""])


def _eye(name: str, eye: Overlay, x: float, factor: float) -> Iterator[str]:
    rows = (eye.still, eye.laid, eye.times(factor))
    for (line, thick, dashes), radii in zip(_LINES, rows, strict=True):
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        yield f'<path id="{name}-{line}" stroke-width="{thick}"{dashed} d="{_closed(radii, x)}"/>'


def _height(radii: Sequence[float]) -> float:
    """Give how far a line goes up or down from the middle."""
    step = 2 * pi / len(radii)
    return max(abs(r * sin(at * step)) for at, r in enumerate(radii))


def _closed(radii: Sequence[float], x: float) -> str:
    """Join the ends of radii at equal angles; y runs down in a drawing."""
    step = 2 * pi / len(radii)
    ends = (f"{x + r * cos(at * step):.3f} {round(-r * sin(at * step), 9) + 0.0:.3f}" for at, r in enumerate(radii))
    return f"M{' L'.join(ends)} Z"
