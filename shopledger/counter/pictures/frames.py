"""A frame's shape as one faces the wearer, with the lens's centre where it is known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from markupsafe import Markup

from shopledger.optics.boxing import box
from shopledger.optics.outline import svg_path
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace

MARGIN: Final = 3.0
WITHIN: Final = 0.05
"""How far a drawn outline may leave the traced points. [mm]"""
CROSS: Final = 2.5

Centres = Mapping[Side, tuple[float, float]]
"""For each eye how far its lens's centre stands inward and up from the boxed centre, in mm."""


def frame_picture(
    shape: FrameTrace, title: str, centres: Centres | None = None, *, letters: bool = False, wide: float = 1.0
) -> Markup:
    """Draw both lenses, the right one at the left; `wide` is how many screen millimetres stand for one."""
    right, left = box(shape.right), box(shape.left)
    width = right.a + shape.dbl + left.a + 2 * MARGIN
    height = max(right.b, left.b) + 2 * MARGIN
    low = -(shape.dbl / 2 + right.a + MARGIN)
    parts = [
        Markup(
            '<svg class="drawing" role="img" viewBox="{:.2f} {:.2f} {:.2f} {:.2f}" width="{:.1f}mm"><title>{}</title>'
        ).format(low, -height / 2, width, height, width * wide, title),
        *_lenses(shape, centres or {}, letters=letters),
        Markup('<path class="mark" d="M{:.2f} 0 Q0 -2.5 {:.2f} 0"/>').format(-shape.dbl / 2, shape.dbl / 2),
        Markup("</svg>"),
    ]
    return Markup("").join(parts)


def _lenses(shape: FrameTrace, centres: Centres, *, letters: bool) -> Iterator[Markup]:
    for side in Side:
        boxed = box(shape.eye(side))
        x = -side.inward * (shape.dbl + boxed.a) / 2
        path = Markup('<path class="shape" transform="translate({:.3f} 0)" d="{}"/>')
        yield path.format(x, Markup(svg_path(shape.eye(side), WITHIN)))  # noqa: S704 - numbers of ours
        if side in centres:
            inward, up = centres[side]
            at, y = x + side.inward * inward, -up
            yield Markup('<path class="mark" d="M{:.2f} {:.2f} h{:.2f} M{:.2f} {:.2f} v{:.2f}"/>').format(
                at - CROSS, y, 2 * CROSS, at, y - CROSS, 2 * CROSS
            )
        if letters:
            yield Markup('<text x="{:.2f}" y="{:.2f}" text-anchor="middle">{}</text>').format(
                x - side.inward * boxed.a / 4, boxed.b / 4, side.value[0].upper()
            )
