"""Lenses laid out in their frame as the job's sheet has them: outlines, boxed, with the centre and what is fitted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from markupsafe import Markup

from shopledger.counter.pictures.paths import path_of
from shopledger.ledger.papers.fitting_points import FittingPoint
from shopledger.ledger.papers.job_sheet import JobShape, Point
from shopledger.optics.sides import Side
from shopledger.paperwork.fitting_marks import fitting_curves

MARGIN: Final = 6.0
CROSS: Final = 2.5


def layout_picture(shape: JobShape, title: str, wide: float = 1.0) -> Markup:
    """Draw both lenses from the front, the right one at the left; `wide` is how many screen millimetres stand for one.

    A thin cross is the boxed centre, a heavy one the optical centre; a segment or fitting cross is drawn as it is
    fitted.
    """
    right, left = _Reach(shape.right), _Reach(shape.left)
    apart = right.right + shape.dbl - left.left
    low, high = right.left - MARGIN, apart + left.right + MARGIN
    top = max(right.top, left.top) + MARGIN
    height = top - min(right.bottom, left.bottom) + MARGIN
    parts = [
        Markup(
            '<svg class="drawing" role="img" viewBox="{:.2f} {:.2f} {:.2f} {:.2f}" width="{:.1f}mm"><title>{}</title>'
        ).format(low, -top, high - low, height, (high - low) * wide, title),
        *_lens(Side.RIGHT, shape.right, shape.right_centre, shape.right_fitting, 0.0),
        *_lens(Side.LEFT, shape.left, shape.left_centre, shape.left_fitting, apart),
        Markup("</svg>"),
    ]
    return Markup("").join(parts)


class _Reach:
    """How far an outline reaches from its boxed centre."""

    def __init__(self, outline: Sequence[Point]) -> None:
        across, up = [x for x, _ in outline], [y for _, y in outline]
        self.left, self.right, self.bottom, self.top = min(across), max(across), min(up), max(up)


def _lens(
    side: Side, outline: Sequence[Point], centre: Point | None, fitting: FittingPoint | None, at: float
) -> Iterator[Markup]:
    box = _Reach(outline)
    yield Markup('<g transform="translate({:.3f} 0)">').format(at)
    yield Markup('<rect class="box" x="{:.2f}" y="{:.2f}" width="{:.2f}" height="{:.2f}"/>').format(
        box.left, -box.top, box.right - box.left, box.top - box.bottom
    )
    yield path_of("shape", outline, closed=True)
    yield _cross("box", (0.0, 0.0), 3 * CROSS)
    for curve in fitting_curves(fitting, outline, side.inward) if fitting else ():
        yield path_of("fitted", curve)
    if centre is not None:
        yield _cross("mark", centre, CROSS)
    yield Markup('<text x="{:.2f}" y="{:.2f}" text-anchor="middle">{}</text>').format(
        -side.inward * box.right * 0.66, -box.bottom - 4, side.value
    )
    yield Markup("</g>")


def _cross(look: str, at: Point, arm: float) -> Markup:
    x, y = at[0], -at[1]
    return Markup('<path class="{}" d="M{:.2f} {:.2f} h{:.2f} M{:.2f} {:.2f} v{:.2f}"/>').format(
        look, x - arm, y, 2 * arm, x, y - arm, 2 * arm
    )
