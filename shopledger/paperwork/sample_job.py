"""Invented content of the job sheet: a progressive pair in an oval frame, as the bench would get it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.job_sheet import EyeJob, JobShape, JobSheet, Point

_RIGHT: Final = EyeJob(
    "-3.25 -1.25 x 090", "+2.00", "1.00 BU", 31.5, near=False, height=21.0, decentration_in=3.0, offset_up=2.0,
    blank_needed=59.3, blank=65.0, edge=(1.4, 4.2), centre_thickness=2.0,
)  # fmt: skip
_LEFT: Final = replace(_RIGHT, power="-2.50 -1.00 x 085", prism="", edge=(1.4, 3.5))


def oval(width: float = 50.0, height: float = 38.0, points: int = 400) -> tuple[Point, ...]:
    """Give an oval lens as points from its boxed centre, in mm."""
    turns = [2 * math.pi * at / points for at in range(points)]
    return tuple((width / 2 * math.cos(turn), height / 2 * math.sin(turn)) for turn in turns)


def sample_job() -> JobSheet:
    """Give the sheet of a progressive pair with prism on one side."""
    return JobSheet(
        shop_name="Sample Row Optical",
        job_number=57,
        order_number=311,
        order_day="2026-02-27",
        initials="I.M.",
        frame="Harrow Row Finch, moss, 50-19-140",
        lens="Even progressive",
        material="hard resin 1.50",
        use="multifocal",
        extras=("Anti-reflective coating",),
        note="Left temple bent once; warm it before mounting.",
        right=_RIGHT,
        left=_LEFT,
        multifocal=True,
        corridor=13.0,
        minimum_height=18.0,
        largest_blank=75.0,
        cutting="wet",
        trace="12 of 2026-02-20",
        shape=JobShape(oval(), oval(), 19.0, (3.0, 2.0), (-3.0, 2.0)),
    )
