"""A lens cut from nose to temple through its optical centre, so that thicknesses are seen beside one another."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from shopledger.counter.pictures.paths import path_of
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.optics.profile import LensCut, lens_cut
from shopledger.optics.refusals import TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace

MARGIN: Final = 1.0
LABELS: Final = 5.0


def thicker_side(layout: PairLayout) -> Side | None:
    """Give the eye whose lens has the thickest edge; None where one of them cannot be made."""
    thick = {eye.side: eye.body.thickest for eye in layout.eyes if eye.body is not None}
    return max(thick, key=lambda side: thick[side]) if thick and layout.makeable else None


def cut_picture(layout: PairLayout, shape: FrameTrace, wide: float = 1.3) -> Markup:
    """Draw the thicker lens of a pair, its front up and the temple side at the left; nothing where there is none."""
    side = thicker_side(layout)
    eye = None if side is None else layout.eye(side)
    if eye is None or eye.body is None:
        return Markup("")
    try:
        cut = lens_cut(eye.body, shape.eye(eye.side), eye.centre, 0.0)
    except TraceError:
        return Markup("")
    return _drawn(eye, cut, f"The {eye.side.value} lens of {layout.lens.name}, cut across", wide)


def _drawn(eye: EyeLayout, cut: LensCut, title: str, wide: float) -> Markup:
    # Seen from the front, the right lens has its temple side at the left already.
    turn = 1.0 if eye.side is Side.RIGHT else -1.0
    front = [(turn * float(x), float(y)) for x, y in zip(cut.along, cut.front, strict=True)]
    back = [(turn * float(x), float(y)) for x, y in zip(cut.along, cut.back, strict=True)]
    outline = sorted(front) + sorted(back, reverse=True)
    low, high = min(x for x, _ in outline), max(x for x, _ in outline)
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    path = path_of("shape", [(x, -y) for x, y in outline], closed=True)
    width, height = high - low + 2 * MARGIN, bottom - top + 2 * MARGIN + LABELS
    ends = sorted(zip((turn * float(x) for x in cut.along), (float(each) for each in cut.thickness), strict=True))
    said = Markup("").join(
        Markup('<text x="{:.2f}" y="{:.2f}" text-anchor="{}">{:.1f}</text>').format(at, bottom + LABELS, anchor, thick)
        for at, anchor, thick in (
            (low, "start", ends[0][1]),
            (0.0, "middle", eye.body.centre_thickness if eye.body else 0.0),
            (high, "end", ends[-1][1]),
        )
    )
    return Markup(
        '<svg class="drawing" role="img" viewBox="{:.2f} {:.2f} {:.2f} {:.2f}" width="{:.1f}mm"><title>{}</title>'
        "{}{}</svg>"
    ).format(low - MARGIN, top - MARGIN, width, height, width * wide, title, path, said)
