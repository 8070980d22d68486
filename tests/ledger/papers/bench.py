"""Jobs for tests of the sheet: an elliptic frame of 52 by 36 mm with 18 mm between, lenses of many kinds, hard jobs."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import Final

from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.catalogue import Frame, Lens
from shopledger.ledger.inspections import Remake, Scrap
from shopledger.ledger.layout import lay_out
from shopledger.ledger.orders import Making, Order, OwnLens, Pair
from shopledger.ledger.papers.job_sheet import Job
from shopledger.ledger.parties import Wearer
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.money.tax import TaxRounding
from shopledger.optics.materials import MaterialClass
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.shelf import CLEAR, CUSTOMER, HOME, LINED, SHOP, SINGLE, WREN

DAY: Final = date(2026, 3, 2)
TOUGH: Final = replace(
    SINGLE, code="SV-159", name="Tough single vision", material="polycarbonate 1.59",
    material_class=MaterialClass.POLYCARBONATE, index=1.586, density=1.20, min_centre=1.3,
)  # fmt: skip


def elliptic(width: float = 52.0, height: float = 36.0, dbl: float = 18.0, count: int = 400) -> FrameTrace:
    """Give a frame whose lenses are ellipses."""
    half, tall = width / 2, height / 2
    turns = [2 * math.pi * at / count for at in range(count)]
    radii = tuple(round(100 * half * tall / math.hypot(tall * math.cos(t), half * math.sin(t))) for t in turns)
    return FrameTrace(Trace(Side.RIGHT, radii), Trace(Side.LEFT, radii), dbl)


def measured(height: float | None = 19.0) -> Measurements:
    """Give a wearer's measurements with near PDs."""
    return Measurements(EyeMeasurements(31.5, 30.0, height), EyeMeasurements(31.0, 29.5, height))


def traced(shape: FrameTrace) -> StoredTrace:
    """Give a shape as the ledger keeps it, from a file that is called after the wearer."""
    return StoredTrace(WREN.code, shape, TraceOrigin("fernhollow.txt", "0" * 64, date(2026, 3, 1)), number=3)


def job(
    right: str = "-2.50 -1.25 x 090",
    left: str = "-2.25 -1.00 x 085",
    *,
    lens: Lens = SINGLE,
    frame: Frame = WREN,
    shape: FrameTrace | None = None,
    use: LensUse = LensUse.DISTANCE,
    measurements: Measurements | None = None,
    number: int = 57,
    untraced: bool = False,
    note: str = "",
    name: str = CUSTOMER,
) -> Job:
    """Give a job with its layout, as it is looked up for a sheet."""
    measurements = measurements or measured()
    made = Prescription(read_eye(right), read_eye(left))
    pair = Pair(1, 1, frame.code, lens.code, use, (CLEAR.code,), 1, made, measurements, note, number)
    order = Order(1, DAY, HOME, (pair,), (), TaxRounding.PER_LINE, number=12)
    shape = shape or elliptic()
    return Job(
        SHOP,
        order,
        pair,
        Wearer(name, 1, number=1),
        frame,
        dict.fromkeys(Side, lens),
        (CLEAR,),
        trace=None if untraced else traced(shape),
        layout=None if untraced else lay_out(dict.fromkeys(Side, lens), made, shape, measurements, use, Settings()),
    )


EXTRAS: Final = ("Coating, hard", "Anti-reflective coating", "Tint, grey 20 %", "Blue + dust guard", "Edges polished")


def hard_job() -> Job:
    """Give a job with all that can come together: prism on both eyes, a bifocal, own frame, remake, five extras."""
    frame = replace(WREN, owned_by=1, model="Wren of the Northern Shore", colour="tortoise shell, matt")
    measurements = Measurements.from_monocular((29.75, 33.25), 59, 17.25, 18)
    made = job(
        "-9.25 -3.25 x 175 add 2.25 2 BO 1.5 BU",
        "-10.50 -2.75 x 005 add 2.25 2 BO 1 BD",
        lens=replace(LINED, name="Straight-top bifocal, thin, for strong powers", index=1.66, min_centre=1.5),
        frame=frame,
        use=LensUse.MULTIFOCAL,
        measurements=measurements,
        note="Left temple bent once; warm it before mounting.",
    )
    again = Again(1, 51, RemakeCause.BROKEN, DAY, "it broke in the edger's clamp")
    remake = Remake(57, DAY, "the coating came off at the edge", 500, Scrap.BOTH, number=9)
    extras = tuple(replace(CLEAR, code=f"X{at}", name=name) for at, name in enumerate(EXTRAS))
    return replace(made, pair=replace(made.pair, again=again), extras=extras, remake=remake, remakes=2)


def one_lens_job() -> Job:
    """Give a job in the place of another, of which only the right lens is made."""
    whole = job()
    again = Again(1, 51, RemakeCause.MAKER, DAY, "the coating peeled")
    pair = replace(whole.pair, left=OwnLens(Making.KEPT), again=again)
    assert whole.layout is not None
    return replace(whole, pair=pair, layout=replace(whole.layout, sides=pair.sides))
