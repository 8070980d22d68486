"""Two frames' shapes laid on each other as a drawing (SVG), with their difference made larger so that it can be seen.

Each eye stands as one faces the wearer, the right one at the left. The shape that lies still is drawn with a full line
and the laid one dashed, both at full size; a dotted line leaves the first one by the difference times a factor.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Final
from xml.sax.saxutils import escape

_MARGIN: Final = 6.0
_BETWEEN: Final = 12.0
_LETTER: Final = 9.0
WHICH_IS_WHICH: Final = "As one faces the wearer: R is the wearer's right lens, L the left one."
"""Said under every drawing of a pair."""
_LINES: Final = (("still", "0.2", ""), ("laid", "0.2", "2 1"), ("difference", "0.15", "0.4 0.6"))


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
    said = (*words, WHICH_IS_WHICH)
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
            f'<text id="{name}-letter" x="{x:.3f}" y="3" font-size="{_LETTER:g}">{name[0].upper()}</text>'
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
