"""Inspections for store tests: one by hand, and what hypothesis draws."""

from __future__ import annotations

from hypothesis import strategies as st

from shopledger.ledger.inspections import Checked, DemoCheck, Inspection, LensFigures, MakersSheet, PairFigures
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.tolerances import LensType
from tests.store import drawn
from tests.store.samples import DAY
from tests.strategies import DAYS

GOOD = Verdict(
    "sphere", "right", -0.5, -0.62, -0.12, 0.13, "D", "sphere up to 6.5 D: within 0.13 D", "ansi_z80_1", passed=True
)
BAD = Verdict(
    "cylinder", "left", 0.0, -0.5, -0.5, 0.13, "D", "cylinder up to 2 D: within 0.13 D", "ansi_z80_1", passed=False
)


def an_inspection(*verdicts: Verdict) -> Inspection:
    """Give an inspection of the first job of `an_order`, passed unless a verdict says otherwise."""
    lens = LensFigures(EyePrescription(SphereCylinder(-0.5, -1.25, 90)), EyeMeasurements(31.625, None, 18))
    pair = PairFigures(lens, lens, "binocular")
    return Inspection(1, DAY, LensType.SINGLE_VISION, "ANSI Z80.1", "2015", pair, pair, verdicts or (GOOD,))


FIGURES = st.builds(
    LensFigures,
    drawn.eyes(),
    st.none() | st.builds(EyeMeasurements, drawn.decimals(22, 38), st.none(), st.none() | drawn.decimals(8, 40)),
    st.none() | drawn.decimals(0.5, 12),
    st.none() | drawn.decimals(0, 12),
    st.none() | drawn.decimals(15, 40),
    st.none() | drawn.decimals(-20, 20),
    st.none() | drawn.decimals(10, 50),
)
PAIRS = st.builds(PairFigures, FIGURES, FIGURES, st.sampled_from(["binocular", "monocular"]))
VERDICTS = st.builds(
    Verdict,
    drawn.TEXTS,
    st.sampled_from(["right", "left", "pair"]),
    drawn.decimals(-50, 190, 6),
    drawn.decimals(-50, 190, 6),
    drawn.decimals(-50, 190, 6),
    drawn.decimals(0, 15, 6),
    st.sampled_from(["D", "mm", "degrees"]),
    drawn.TEXTS,
    drawn.TEXTS,
    st.booleans(),
    st.one_of(st.just(""), drawn.TEXTS),
)
SEEN = st.sampled_from([None, False, True])
INSPECTIONS = st.builds(
    Inspection,
    st.just(1),
    DAYS,
    st.sampled_from(LensType),
    drawn.TEXTS,
    drawn.TEXTS,
    PAIRS,
    PAIRS,
    st.lists(VERDICTS, min_size=1, max_size=6).map(tuple),
    st.lists(st.sampled_from(Checked), max_size=4, unique=True).map(tuple),
    st.tuples(SEEN, SEEN),
    st.none() | st.builds(MakersSheet, drawn.both(), drawn.TEXTS, st.just("ab" * 32)),
    drawn.WARNINGS,
    st.one_of(st.just(""), drawn.TEXTS),
    thinning=st.none() | drawn.decimals(-6, 6),
    demo_lenses=st.none() | st.sampled_from(DemoCheck),
)
