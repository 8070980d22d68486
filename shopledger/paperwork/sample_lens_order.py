"""Invented content of a lens order: the sample job's progressive lenses, to be edged, the lab's second try."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake
from shopledger.ledger.papers.shop_lines import ShopLines

_A: Final = 50.0
_B: Final = 38.0


def _radii(count: int = 400) -> tuple[int, ...]:
    """Give an oval lens as whole hundredths of a mm."""
    turns = (2 * math.pi * at / count for at in range(count))
    half, tall = _A / 2, _B / 2
    return tuple(round(100 * half * tall / math.hypot(tall * math.cos(t), half * math.sin(t))) for t in turns)


def sample_lens_order() -> LensOrderContent:
    """Give the order of both progressive lenses with prism on one side and a remark."""
    right = LensToMake(
        asked=True, sphere=-3.25, cylinder=-1.25, axis=90, add=2.0, prism_in=0.0, prism_up=1.0, balance=False,
        pd=31.5, near_pd=29.5, height=21.0, a=_A, b=_B, ed=_A, circumference=138.9, blank=None, blank_needed=59.3,
        centre=(3.0, 2.0), radii=_radii(),
    )  # fmt: skip
    return LensOrderContent(
        number=24,
        day="2026-02-27",
        expected_on="2026-03-06",
        job_number=57,
        follows=21,
        reason="the left lens was scratched",
        remake=3,
        shop=ShopLines(
            "Sample Row Optical", ("5 Sample Row", "Fennick, OH 43001"), "555-0123", "desk@sample.example.com"
        ),
        supplier="Brightwater Lens Laboratory",
        account="A-77",
        initials="I.M.",
        lens="Even progressive",
        design="progressive",
        material="hard resin 1.50",
        index=1.498,
        corridor=13.0,
        extras=("Anti-reflective coating",),
        use="multifocal",
        multifocal=True,
        near=False,
        base_curve=4.25,
        edging="edged",
        frame="Harrow Row Finch, moss, 50-19-140",
        dbl=19.0,
        measured=True,
        trace="12 of 2026-02-20",
        right=right,
        left=replace(right, sphere=-2.5, cylinder=-1.0, axis=85, prism_up=0.0),
        note="Please pack each lens by itself: the last ones came in scratched.",
    )
