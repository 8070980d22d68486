"""Judging a finished job: which figures are compared, and readings that fit the other eye better."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger import catalogue
from shopledger.ledger.inspections import LensFigures, PairFigures
from shopledger.ledger.judging import (
    COUNTED_TWICE,
    SWAPPED,
    counted_twice_findings,
    judged_pair,
    kind_of,
    ordered_figures,
    read_places,
    swapped_findings,
)
from shopledger.ledger.orders import Pair
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import LensType

MADE = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 085"))
PLACED = Measurements(EyeMeasurements(31.5, 30.0, 19), EyeMeasurements(31.0, 29.5, 19))


def pair(
    use: LensUse = LensUse.DISTANCE, made: Prescription | None = MADE, placed: Measurements | None = PLACED
) -> Pair:
    """Give a pair as it was ordered."""
    return Pair(1, 1, "WREN-52", "SV-150", use, made=made, measurements=placed)


FAR, NEAR, SCREEN = (dict.fromkeys(Side, use) for use in (LensUse.DISTANCE, LensUse.READING, LensUse.SCREEN))


def both(kind: LensType) -> dict[Side, LensType]:
    """Give two lenses of one kind."""
    return dict.fromkeys(Side, kind)


def figures(right: str, left: str, placed: Measurements | None = None) -> PairFigures:
    """Give a pair's figures from powers as typed."""
    places = (placed.right, placed.left) if placed else (None, None)
    return PairFigures(LensFigures(read_eye(right), places[0]), LensFigures(read_eye(left), places[1]))


def failed(verdicts: tuple[Verdict, ...]) -> list[tuple[str, str]]:
    """Name what did not pass."""
    return [(verdict.where, verdict.quantity) for verdict in verdicts if not verdict.passed]


def test_every_design_of_the_catalogue_is_a_kind_of_lens() -> None:
    """Bifocals, trifocals and occupational lenses are held to the rows of multifocals, which are the stricter ones."""
    kinds = {design: kind_of(design) for design in catalogue.Design}
    assert [design for design, kind in kinds.items() if kind is LensType.PROGRESSIVE] == [catalogue.Design.PROGRESSIVE]
    assert kinds[catalogue.Design.OCCUPATIONAL] is LensType.MULTIFOCAL


def test_a_reading_pair_stands_at_the_near_pd() -> None:
    """Where the near PD is known; otherwise, and for any other use, at the distance one."""
    assert ordered_figures(pair(LensUse.READING), NEAR).right.place == EyeMeasurements(30.0, None, 19)
    assert ordered_figures(pair(LensUse.SCREEN), SCREEN).right.place == EyeMeasurements(31.5, None, 19)
    far = Measurements.from_binocular(63)
    assert ordered_figures(pair(LensUse.READING, placed=far), NEAR).left.place == EyeMeasurements(31.5)


def test_a_pair_without_prescription_is_plano() -> None:
    """What has no power must read none."""
    ordered = ordered_figures(pair(made=None, placed=None), FAR)
    assert (ordered.right.power, ordered.measurements) == (EyePrescription(SphereCylinder(0.0)), None)
    assert failed(judged_pair(ordered, None, figures("-0.13 DS", "+0.14 DS"), both(LensType.SINGLE_VISION))) == [
        ("left", "sphere")
    ]


def test_the_tolerances_apply_to_the_compensated_powers() -> None:
    """ANSI Z80.1-2015, after a trade paper on compensated prescriptions: not to the ordered ones."""
    ordered = figures("-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    sheet = Prescription(read_eye("-2.75 -1.25 x 090 add 1.75"), read_eye("-2.50 -1.00 x 085 add 1.75"))
    as_sheet = PairFigures(LensFigures(sheet.right), LensFigures(sheet.left))
    assert failed(judged_pair(ordered, sheet, as_sheet, both(LensType.PROGRESSIVE))) == []
    assert failed(judged_pair(ordered, sheet, ordered, both(LensType.PROGRESSIVE))) == [
        (side, quantity) for side in ("right", "left") for quantity in ("sphere", "add")
    ]


def test_prism_is_compared_as_one_resultant() -> None:
    """3 out and 4 up are 5; reading 4 and 3 is off by 1.41, wherever it points (Pythagoras)."""
    ordered, read = figures("-2.50 3 BO 4 BU", "-2.50 DS"), figures("-2.50 4 BO 3 BU", "-2.50 DS")
    (prism,) = [
        each for each in judged_pair(ordered, None, read, both(LensType.SINGLE_VISION)) if "prism" in each.quantity
    ]
    assert (prism.ordered, prism.measured, prism.passed) == (5.0, 5.0, False)
    assert prism.difference == pytest.approx(1.414214, abs=1e-6)


def test_a_pair_s_prism_is_judged_together() -> None:
    """0.30 too much up and 0.30 too much down pass for each lens and make 0.60 for the pair, with a PD or without."""
    ordered = figures("-2.50 2 BU", "-2.50 2 BD", PLACED)
    read = figures("-2.50 2.3 BU", "-2.50 2.3 BD", PLACED)
    assert failed(judged_pair(ordered, None, read, both(LensType.SINGLE_VISION))) == [("pair", "vertical imbalance")]
    bare = figures("-2.50 2 BU", "-2.50 2 BD"), figures("-2.50 2.3 BU", "-2.50 2.3 BD")
    assert failed(judged_pair(bare[0], None, bare[1], both(LensType.SINGLE_VISION))) == [("pair", "vertical imbalance")]


@pytest.mark.parametrize(
    ("right", "left"),
    [
        ("-2.50 -1.25 x 150 1 BU 2 BI", "-1.00 -1.25 x 150 1 BD 3 BO"),  # right axis mirrored
        ("-2.50 -1.25 x 030 1 BU 2 BO", "-1.00 -1.25 x 150 1 BD 3 BO"),  # out for in
        ("-2.50 -1.25 x 030 1 BU 2 BI", "-1.00 -1.25 x 150 1 BU 3 BO"),  # up for down
        ("-2.50 -1.25 x 030 2 BU 1 BI", "-1.00 -1.25 x 150 1 BD 3 BO"),  # the two amounts changed about
        ("-1.00 -1.25 x 150 1 BD 3 BO", "-2.50 -1.25 x 030 1 BU 2 BI"),  # swapped lenses
    ],
)
def test_a_lens_made_the_wrong_way_round_fails(right: str, left: str) -> None:
    """Two bases on each eye: as ordered it passes, mirrored, reversed or swapped it does not."""
    ordered = figures("-2.50 -1.25 x 030 1 BU 2 BI", "-1.00 -1.25 x 150 1 BD 3 BO", PLACED)
    assert failed(judged_pair(ordered, None, ordered, both(LensType.SINGLE_VISION))) == []
    assert failed(judged_pair(ordered, None, figures(right, left, PLACED), both(LensType.SINGLE_VISION)))


def test_prism_of_a_lens_that_was_not_made_is_not_judged() -> None:
    """A maker's sheet may have another prism for the lens that stays: only the new one is held to its own."""
    ordered = figures("-2.50 2 BU", "-2.50 2 BD")
    sheet = Prescription(read_eye("-2.50 2 BU"), read_eye("-2.50 9 BD"))
    alone = {Side.RIGHT: LensType.SINGLE_VISION}
    assert failed(judged_pair(ordered, sheet, ordered, alone)) == []
    assert failed(judged_pair(ordered, sheet, ordered, both(LensType.SINGLE_VISION)))


def test_one_error_measured_in_two_ways_is_asked_about() -> None:
    """2 mm out on 4 D are 0.8: read there and typed with that PD, it may count double; with either alone it may not."""
    off = Measurements(EyeMeasurements(33.5, None, 19), EyeMeasurements(31.0, None, 19))
    wanted, plain = figures("-4.00 DS", "-4.00 DS", PLACED), Prescription(read_eye("-4.00 DS"), read_eye("-4.00 DS"))
    (finding,) = counted_twice_findings(plain, wanted, figures("-4.00 0.75 BI", "-4.00 DS", off))
    assert (finding.code, finding.field) == (COUNTED_TWICE, "right.prism")
    for read in (
        figures("-4.00 0.75 BI", "-4.00 DS", PLACED),
        figures("-4.00 DS", "-4.00 DS", off),
        figures("-4.00 0.75 BO", "-4.00 DS", off),
        figures("-4.00 0.75 BI", "-4.00 DS"),
    ):
        assert counted_twice_findings(plain, wanted, read) == ()


def test_unordered_prism_is_noticed() -> None:
    """A third of a prism dioptre is allowed where none was ordered."""
    plain = figures("-2.50 DS", "-2.50 DS")
    for amount, good in (("0.33", True), ("0.34", False)):
        verdicts = judged_pair(plain, None, figures(f"-2.50 {amount} BI", "-2.50 DS"), both(LensType.SINGLE_VISION))
        assert (failed(verdicts) == []) is good


def test_thickness_and_curve_are_judged_where_they_were_ordered() -> None:
    """Within 0.3 mm and 0.75 D; what was ordered must be measured, what was not is only kept."""
    ordered = ordered_figures(pair(placed=None), FAR, 2.0, 4.0)
    right, left = (LensFigures(eye, None, 2.3, 4.75) for eye in (MADE.right, MADE.left))
    assert failed(judged_pair(ordered, None, PairFigures(right, left), both(LensType.SINGLE_VISION))) == []
    thick = PairFigures(LensFigures(MADE.right, None, 2.31, 4.76), left)
    verdicts = judged_pair(ordered, None, thick, both(LensType.SINGLE_VISION))
    assert failed(verdicts) == [("right", "centre thickness"), ("right", "base curve")]
    with pytest.raises(IncompleteError, match="the left lens was not measured"):
        judged_pair(ordered, None, PairFigures(right, LensFigures(MADE.left)), both(LensType.SINGLE_VISION))
    free = judged_pair(ordered_figures(pair(placed=None), FAR), None, thick, both(LensType.SINGLE_VISION))
    assert {verdict.quantity for verdict in free} == {"sphere", "cylinder", "axis"}


def test_an_add_is_read_where_one_was_ordered_and_nowhere_else() -> None:
    """Forgotten or typed for a single vision lens, it is refused with what to do."""
    plain, near = figures("-2.50 DS", "-2.50 DS"), figures("-2.50 DS add 2.00", "-2.50 DS")
    with pytest.raises(IncompleteError, match=r"add of 2\.00 and none was read"):
        judged_pair(near, None, plain, both(LensType.PROGRESSIVE))
    with pytest.raises(RefusedError, match="ordered without an add"):
        judged_pair(plain, None, near, both(LensType.SINGLE_VISION))


def test_one_pd_is_shared_as_it_was_ordered() -> None:
    """A single number says nothing of each eye, so the difference is halved; a progressive needs both numbers."""
    ordered = ordered_figures(pair(), FAR)
    shared = read_places(ordered, Measurements.from_binocular(63.5), LensType.SINGLE_VISION)
    assert shared is not None
    assert (shared.right.mono_pd, shared.left.mono_pd) == (32.0, 31.5)
    with pytest.raises(IncompleteError, match="for each eye"):
        read_places(ordered, Measurements.from_binocular(63.5), LensType.PROGRESSIVE)
    with pytest.raises(IncompleteError, match="none was measured"):
        read_places(ordered, None, LensType.SINGLE_VISION)
    assert read_places(ordered_figures(pair(placed=None), FAR), None, LensType.SINGLE_VISION) is None


def test_swapped_readings_are_noticed() -> None:
    """Read right for left, both fit better the other way round."""
    (finding,) = swapped_findings(MADE, figures("-2.25 -1.00 x 085", "-2.50 -1.25 x 090"), LensType.SINGLE_VISION)
    assert finding.code == SWAPPED
    assert "right and left fit better swapped" in finding.sentence


def test_swapped_prism_is_noticed_on_lenses_of_one_power() -> None:
    """2 up on the right and 2 down on the left, read the other way round; what is only wrong is not called swapped."""
    wanted = Prescription(read_eye("-2.50 2 BU"), read_eye("-2.50 2 BD"))
    (finding,) = swapped_findings(wanted, figures("-2.50 2 BD", "-2.50 2 BU"), LensType.SINGLE_VISION)
    assert "read were right -2.50 DS prism 2.00 BD" in finding.sentence
    assert swapped_findings(wanted, figures("-2.50 2 BU", "-2.50 1 BD"), LensType.SINGLE_VISION) == ()


@pytest.mark.parametrize(
    ("right", "left"),
    [
        ("-2.50 -1.25 x 090", "-2.25 -1.00 x 085"),  # as ordered
        ("-2.37 -1.25 x 090", "-2.37 -1.00 x 085"),  # nearer one another, but each within its limits
        ("-4.00 -1.25 x 090", "-2.25 -1.00 x 085"),  # wrong, but not the other eye's
    ],
)
def test_readings_of_their_own_eye_are_not_called_swapped(right: str, left: str) -> None:
    """Passing readings are never asked about, nor are those that are merely wrong."""
    assert swapped_findings(MADE, figures(right, left), LensType.SINGLE_VISION) == ()


EYES = st.builds(
    lambda sphere, cylinder, axis: EyePrescription(
        SphereCylinder(sphere / 4, cylinder / 4, axis if cylinder else None)
    ),
    st.integers(-80, 80),
    st.integers(-24, 0),
    st.integers(1, 180),
)


@given(right=EYES, left=EYES)
def test_what_was_ordered_passes_and_its_reverse_is_swapped_or_passes(
    right: EyePrescription, left: EyePrescription
) -> None:
    """For any two powers: read as ordered nothing is said; read in reverse it is said, unless it passes as well."""
    wanted = Prescription(right, left)
    straight = PairFigures(LensFigures(right), LensFigures(left))
    crossed = PairFigures(LensFigures(left), LensFigures(right))
    assert swapped_findings(wanted, straight, LensType.SINGLE_VISION) == ()
    said = swapped_findings(wanted, crossed, LensType.SINGLE_VISION)
    assert bool(said) is bool(failed(judged_pair(straight, None, crossed, both(LensType.SINGLE_VISION))))
