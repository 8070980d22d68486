"""Which code a lens, a material, an extra gets; where none is settled; which extras exclude each other."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design, ExtraKind
from shopledger.ledger.claims.code_picker import (
    CodePick,
    base_pick,
    choose,
    codes_to_choose,
    conflicts,
    design_pick,
    extra_pick,
    high_add_pick,
    material_pick,
)
from shopledger.ledger.claims.code_table import CODES, RELEASE
from shopledger.optics.findings import Severity
from shopledger.optics.materials import MaterialClass
from shopledger.optics.power import SphereCylinder
from tests.ledger.claims.published_bands import published_codes
from tests.optics.strategies import powers

STEMS = {
    Design.SINGLE_VISION: "V21",
    Design.BIFOCAL: "V22",
    Design.TRIFOCAL: "V23",
    # Base bifocal plus V2781: CMS policy article A52499, read in excerpts only.
    Design.PROGRESSIVE: "V22",
}
FALLBACKS = {"V21": "V2199", "V22": "V2299", "V23": "V2399"}


def power(sphere: float, cylinder: float = 0.0, axis: float = 180) -> SphereCylinder:
    """A power whose axis does not matter."""
    return SphereCylinder(sphere, cylinder, axis if cylinder else None)


@pytest.mark.slow
@pytest.mark.parametrize("design", list(STEMS))
def test_every_design_is_coded_on_the_whole_grid_of_eighths_as_published(design: Design) -> None:
    """One band settles the code; no band offers the unclassified code, two bands offer both; nothing is rounded."""
    stem = STEMS[design]
    for sphere, cylinder in itertools.product(range(-168, 1), range(-56, 57)):
        published = published_codes(stem, abs(sphere), abs(cylinder))
        pick = base_pick(design, power(sphere / 8, cylinder / 8))
        assert pick.code == (published[0] if len(published) == 1 else "")
        assert pick.candidates == (published or (FALLBACKS[stem],))
        assert pick.settled is (len(published) == 1)


def test_a_pick_carries_the_release_of_the_table() -> None:
    """Years later it must be known which text a code was picked from."""
    assert base_pick(Design.SINGLE_VISION, power(-1)).release == RELEASE


def test_no_band_and_two_bands_give_their_reasons() -> None:
    """The owner reads why there is no code, with the power as it is written."""
    gap = base_pick(Design.SINGLE_VISION, power(-4.125, -0.5))
    assert gap.reason == "no published single vision band holds -4.12 -0.50 x 180 (minus cylinder)"
    tie = base_pick(Design.PROGRESSIVE, power(8, 2.25))
    assert "two bands hold +8.00 +2.25 x 180 (plus cylinder): V2211 and V2212" in tie.reason


def test_a_note_tells_when_the_other_form_would_change_the_code() -> None:
    """-3.00 -2.00 x 180 is V2103; the same lens written -5.00 +2.00 x 090 is V2107."""
    minus = base_pick(Design.SINGLE_VISION, power(-3, -2))
    assert (minus.code, minus.note) == ("V2103", "Written as -5.00 +2.00 x 090 it would be V2107.")
    plus = base_pick(Design.SINGLE_VISION, power(-5, 2, 90))
    assert (plus.code, plus.note) == ("V2107", "Written as -3.00 -2.00 x 180 it would be V2103.")


@pytest.mark.parametrize(
    ("written", "note"),
    [
        # -1.00 -0.50 and -1.50 +0.50 both lie in V2103.
        (power(-1, -0.5), ""),
        (power(-2.5), ""),
        # -4.00 -0.12 is V2103; -4.12 +0.12 lies between the bands.
        (power(-4, -0.125), "Written as -4.12 +0.12 x 090 it would be in no band."),
        # +5.50 +2.25 is V2108; +7.75 -2.25 lies in two bands.
        (power(5.5, 2.25), "Written as +7.75 -2.25 x 090 it would be V2111 or V2112."),
    ],
    ids=str,
)
def test_the_note_on_the_other_form_stands_only_where_it_matters(written: SphereCylinder, note: str) -> None:
    """No note where both forms give the same code; otherwise it says what the other form would be."""
    assert base_pick(Design.SINGLE_VISION, written).note == note


@given(powers())
def test_a_note_stands_exactly_where_the_two_forms_disagree(written: SphereCylinder) -> None:
    """For every design: the note is silent if and only if transposing changes neither code nor candidates."""
    for design in STEMS:
        pick, other = base_pick(design, written), base_pick(design, written.transposed())
        assert bool(pick.note) is (pick.candidates != other.candidates)


@pytest.mark.parametrize("written", [power(0), power(-4.125, -0.5), power(30)])
def test_balance_and_occupational_lenses_have_codes_of_their_own(written: SphereCylinder) -> None:
    """V2700 and V2786 name no powers, so a gap in the bands does not matter."""
    assert base_pick(Design.OCCUPATIONAL, written).code == "V2786"
    assert {base_pick(design, written, balance=True).code for design in Design} == {"V2700"}


@pytest.mark.parametrize(
    ("design", "code"),
    [
        (Design.SINGLE_VISION, "V2199"),
        (Design.SINGLE_VISION, "v2107"),
        (Design.SINGLE_VISION, "V2121"),
        (Design.SINGLE_VISION, "V2410"),
        (Design.PROGRESSIVE, "V2299"),
        (Design.OCCUPATIONAL, "V2203"),
        (Design.BIFOCAL, "V2700"),
        (Design.TRIFOCAL, "V2799"),
    ],
)
def test_the_owner_may_choose_any_code_that_names_such_a_lens(design: Design, code: str) -> None:
    """Candidates, lenticular, asphericity and unclassified codes are the owner's to choose; the choice is told."""
    pick = CodePick("", ("V2199",), "no band holds it", "a note")
    kept = choose(pick, design, code)
    assert (kept.code, kept.candidates, kept.note) == (code.upper(), ("V2199",), "a note")
    assert kept.reason == f"{code.upper()} was chosen by the owner: no band holds it"


@pytest.mark.parametrize(
    ("design", "code"),
    [
        (Design.SINGLE_VISION, "V2203"),
        (Design.SINGLE_VISION, "V2750"),
        (Design.SINGLE_VISION, "V2020"),
        (Design.BIFOCAL, "V2220"),
        (Design.TRIFOCAL, "V2319"),
        (Design.PROGRESSIVE, "V2781"),
    ],
)
def test_a_code_that_cannot_stand_for_the_lens_is_refused(design: Design, code: str) -> None:
    """Another kind of lens, a frame, an option or an add-on is no base code."""
    with pytest.raises(RefusedError, match=f"cannot stand for a {design.value} lens"):
        choose(base_pick(design, power(-1)), design, code)


def test_choosing_what_is_picked_anyway_changes_nothing() -> None:
    """A choice that agrees leaves no trace."""
    pick = base_pick(Design.SINGLE_VISION, power(-1))
    assert choose(pick, Design.SINGLE_VISION, "V2100") is pick


@pytest.mark.parametrize(
    ("design", "add", "code"),
    [
        (Design.BIFOCAL, 3.25, ""),
        (Design.BIFOCAL, 3.375, "V2220"),
        (Design.BIFOCAL, 3.5, "V2220"),
        (Design.PROGRESSIVE, 3.5, "V2220"),
        (Design.TRIFOCAL, 3.25, ""),
        (Design.TRIFOCAL, 3.5, "V2320"),
        (Design.SINGLE_VISION, 3.5, ""),
        (Design.OCCUPATIONAL, 3.5, ""),
        (Design.BIFOCAL, None, ""),
    ],
)
def test_an_add_above_3_25_is_marked(design: Design, add: float | None, code: str) -> None:
    """V2220 and V2320 begin above 3.25 D (HCPCS text); a progressive goes with the bifocals (project's judgment)."""
    pick = high_add_pick(design, add)
    assert (pick.code, bool(pick.reason)) == (code, True)


# Edges as printed: V2782 "index 1.54 to 1.65 plastic or 1.60 to 1.79 glass", V2783 "greater than or equal to 1.66
# plastic or 1.80 glass", V2784 "polycarbonate or equal, any index" (CMS HCPCS Level II, October 2025).
MATERIALS = [
    (MaterialClass.PLASTIC, 1.498, ""),
    (MaterialClass.PLASTIC, 1.53, ""),
    (MaterialClass.PLASTIC, 1.54, "V2782"),
    (MaterialClass.PLASTIC, 1.60, "V2782"),
    (MaterialClass.PLASTIC, 1.65, "V2782"),
    (MaterialClass.PLASTIC, 1.655, ""),
    (MaterialClass.PLASTIC, 1.66, "V2783"),
    (MaterialClass.PLASTIC, 1.74, "V2783"),
    (MaterialClass.GLASS, 1.523, ""),
    (MaterialClass.GLASS, 1.59, ""),
    (MaterialClass.GLASS, 1.60, "V2782"),
    (MaterialClass.GLASS, 1.79, "V2782"),
    (MaterialClass.GLASS, 1.795, ""),
    (MaterialClass.GLASS, 1.80, "V2783"),
    (MaterialClass.GLASS, 1.90, "V2783"),
    (MaterialClass.POLYCARBONATE, 1.586, "V2784"),
    (MaterialClass.POLYCARBONATE, 1.70, "V2784"),
    # Usual practice, value from memory.
    (MaterialClass.URETHANE, 1.532, "V2784"),
    # A urethane that is not the 1.53 kind goes by its index as any plastic (project's judgment).
    (MaterialClass.URETHANE, 1.60, "V2782"),
    (MaterialClass.URETHANE, 1.67, "V2783"),
]


@pytest.mark.parametrize(("material_class", "index", "code"), MATERIALS)
def test_a_material_is_coded_by_class_and_index(material_class: MaterialClass, index: float, code: str) -> None:
    """The published edges, both inclusive, decide; standard materials and the holes have no code but a reason."""
    pick = material_pick(material_class, index)
    assert (pick.code, bool(pick.reason)) == (code, True)


@pytest.mark.parametrize(("material_class", "index"), [(MaterialClass.PLASTIC, 1.655), (MaterialClass.GLASS, 1.795)])
def test_a_hole_between_index_steps_names_both_neighbours(material_class: MaterialClass, index: float) -> None:
    """Between 1.65 and 1.66 (glass 1.79 and 1.80) nothing is published, and nothing is rounded."""
    pick = material_pick(material_class, index)
    assert pick.candidates == ("V2782", "V2783")
    assert "no code is published" in pick.reason


def test_the_urethane_code_says_that_it_is_usual_practice() -> None:
    """To call it equal to polycarbonate is a reading of the text, so the note says where that comes from."""
    assert "from memory" in material_pick(MaterialClass.URETHANE, 1.532).note


# Typed from the descriptors of CMS HCPCS Level II, October 2025.
EXTRAS = {
    ExtraKind.ANTI_REFLECTIVE: "V2750",
    ExtraKind.UV: "V2755",
    ExtraKind.SCRATCH: "V2760",
    ExtraKind.TINT: "V2745",
    ExtraKind.PHOTOCHROMIC: "V2744",
    ExtraKind.MIRROR: "V2761",
    ExtraKind.POLARIZED: "V2762",
    ExtraKind.OVERSIZE: "V2780",
    ExtraKind.PRISM: "V2715",
    ExtraKind.SLAB_OFF: "V2710",
    ExtraKind.OTHER: "",
}


@pytest.mark.parametrize("kind", list(ExtraKind))
def test_every_kind_of_extra_has_its_published_code_or_none(kind: ExtraKind) -> None:
    """Each option code, and no code made up for what none names."""
    pick = extra_pick(kind)
    assert pick.code == EXTRAS[kind]
    assert not pick.settled or CODES[pick.code].per_lens


def test_an_extra_without_a_code_keeps_its_words_and_names_the_codes_that_may_do() -> None:
    """Nothing is picked silently for an edge polish or a blue filter."""
    assert extra_pick(ExtraKind.OTHER).candidates == ("V2702", "V2797", "V2799")


def test_tint_and_photochromic_exclude_each_other() -> None:
    """The text of V2745 excludes photochromic: an error, whatever the order."""
    for kinds in itertools.permutations([ExtraKind.TINT, ExtraKind.PHOTOCHROMIC]):
        (finding,) = conflicts(kinds, MaterialClass.PLASTIC)
        assert (finding.severity, finding.code) == (Severity.ERROR, "TINT-PHOTOCHROMIC")


def test_a_uv_filter_on_polycarbonate_is_a_warning() -> None:
    """Plans often refuse V2755 with V2784 (value from memory): warned, not stopped."""
    (finding,) = conflicts([ExtraKind.UV], MaterialClass.POLYCARBONATE)
    assert (finding.severity, finding.code) == (Severity.WARNING, "UV-POLYCARBONATE")


def test_extras_that_go_together_are_left_alone() -> None:
    """No finding for a usual pair of lenses."""
    assert conflicts([ExtraKind.UV, ExtraKind.TINT, ExtraKind.ANTI_REFLECTIVE], MaterialClass.PLASTIC) == ()
    assert conflicts([], MaterialClass.POLYCARBONATE) == ()


def test_a_progressive_has_a_code_beside_its_base() -> None:
    """V2781 carries what the progressive costs above a standard multifocal (A52499, as quoted in a trade article)."""
    assert design_pick(Design.PROGRESSIVE).code == "V2781"


@pytest.mark.parametrize("design", [design for design in Design if design is not Design.PROGRESSIVE])
def test_other_designs_have_none(design: Design) -> None:
    """What they are is said by their base code alone."""
    assert not design_pick(design).settled


@pytest.mark.parametrize("design", Design)
def test_every_code_that_may_be_chosen_is_taken_and_no_other(design: Design) -> None:
    """What is listed to choose from is what a choice is held to."""
    open_pick = base_pick(Design.SINGLE_VISION, SphereCylinder(-8.0, -2.25, 90))
    listed = {row.code for row in codes_to_choose(design)}
    for code in CODES:
        if code in listed:
            assert choose(open_pick, design, code).code == code
        else:
            with pytest.raises(RefusedError, match="cannot stand for"):
                choose(open_pick, design, code)
