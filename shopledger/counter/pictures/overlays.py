"""Two frames' shapes drawn on one another, so that a difference is seen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from shopledger.counter.pictures.paths import path_of
from shopledger.optics.likeness import overlaid
from shopledger.optics.trace import Floats, FrameTrace, directions

APART: Final = 8.0
MARGIN: Final = 3.0

Outline = Sequence[tuple[float, float]]


def overlay_picture(one: FrameTrace, other: FrameTrace, title: str, wide: float = 1.4) -> Markup:
    """Draw both eyes of two frames on one another: the first with a full line, the second dashed."""
    eyes = [tuple(_outline(radii) for radii in eye) for eye in overlaid(one, other)]
    reach = max(abs(x) for eye in eyes for outline in eye for x, _ in outline) + MARGIN
    tall = max(abs(y) for eye in eyes for outline in eye for _, y in outline) + MARGIN
    width = 4 * reach + APART
    drawn = Markup("").join(
        Markup('<g transform="translate({:.2f} 0)">{}{}</g>').format(
            at, path_of("shape", still, closed=True), path_of("second", laid, closed=True)
        )
        for (still, laid), at in zip(eyes, (-(reach + APART / 2), reach + APART / 2), strict=True)
    )
    return Markup(
        '<svg class="drawing" role="img" viewBox="{:.2f} {:.2f} {:.2f} {:.2f}" width="{:.1f}mm">'
        "<title>{}</title>{}</svg>"
    ).format(-width / 2, -tall, width, 2 * tall, width * wide, title, drawn)


def _outline(radii: Floats) -> Outline:
    across, up = (directions(len(radii)) * radii).tolist()
    return list(zip(across, up, strict=True))
