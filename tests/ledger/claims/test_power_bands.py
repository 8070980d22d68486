"""The bands on the whole grid of eighths, against the published ranges, and what lies off the grid."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.claims.code_table import CodeGroup
from shopledger.ledger.claims.power_bands import BANDS, bands_for, hundredths
from tests.ledger.claims.published_bands import PUBLISHED, published_codes

STEMS = {CodeGroup.SINGLE_VISION: "V21", CodeGroup.BIFOCAL: "V22", CodeGroup.TRIFOCAL: "V23"}
SIGNS = [(1, 1), (1, -1), (-1, 1), (-1, -1)]


def found(group: CodeGroup, sphere: float, cylinder: float = 0.0) -> list[str]:
    """Give the codes of the bands that hold a power."""
    return [band.code for band in bands_for(group, sphere, cylinder)]


@pytest.mark.slow
@pytest.mark.parametrize("signs", SIGNS)
@pytest.mark.parametrize("group", list(STEMS))
def test_every_power_on_the_grid_of_eighths_lies_where_the_published_text_puts_it(
    group: CodeGroup, signs: tuple[int, int]
) -> None:
    """Sphere to 21.00 and cylinder to 8.00 by eighths: exactly the published bands hold each, gaps and overlap too."""
    wrong = [
        (sphere / 8, cylinder / 8)
        for sphere in range(21 * 8 + 1)
        for cylinder in range(8 * 8 + 1)
        if tuple(found(group, signs[0] * sphere / 8, signs[1] * cylinder / 8))
        != published_codes(STEMS[group], sphere, cylinder)
    ]
    assert wrong == []


def test_every_published_band_is_held_once() -> None:
    """Forty-five descriptors, forty-five bands, in the published order."""
    published = [row.split()[0] for row in PUBLISHED.split("\n") if row]
    assert [band.code for bands in BANDS.values() for band in bands] == published
    assert len(published) == 45


# Enumerated by hand from the published text; x stands for 21, 22 and 23.
GAPS = [
    (4.125, 0.5, "between the sphere bands that end at 4.00 and begin at 4.25"),
    (7.125, 0.5, "between the sphere bands that end at 7.00 and begin at 7.25"),
    (3.0, 4.125, "between the cylinder bands that end at 4.00 and begin at 4.25"),
    (6.0, 4.125, "the same, sphere to 7.00"),
    (9.0, 4.125, "the same, sphere to 12.00"),
    (9.0, 0.125, "below the first cylinder of this sphere band, .25"),
    (9.0, 6.25, "above its last cylinder, 6.00"),
    (20.125, 0.0, "above the last sphere, 20.00"),
]


@pytest.mark.parametrize("group", list(STEMS))
@pytest.mark.parametrize(("sphere", "cylinder", "why"), GAPS, ids=[why for *_, why in GAPS])
def test_a_published_gap_holds_no_band(group: CodeGroup, sphere: float, cylinder: float, why: str) -> None:
    """What the text leaves out is in no band, for every kind of lens."""
    assert found(group, -sphere, cylinder) == [], why


@pytest.mark.parametrize(("group", "codes"), list(zip(STEMS, [["V2104"], ["V2204"], []], strict=True)))
def test_the_trifocal_text_alone_leaves_out_a_cylinder_of_2_12(group: CodeGroup, codes: list[str]) -> None:
    """V2304 begins at 2.25, V2104 and V2204 at 2.12."""
    assert found(group, 3.0, -2.125) == codes


@pytest.mark.parametrize(("group", "stem"), list(STEMS.items()))
def test_a_cylinder_of_2_25_lies_in_two_bands_above_sphere_7_25(group: CodeGroup, stem: str) -> None:
    """The one published overlap gives both codes, and its neighbours one each."""
    assert found(group, -9.0, -2.125) == [f"{stem}11"]
    assert found(group, -9.0, -2.25) == [f"{stem}11", f"{stem}12"]
    assert found(group, -9.0, -2.375) == [f"{stem}12"]


@pytest.mark.parametrize("whole", [0, 4, 11])
@pytest.mark.parametrize(
    ("same", "printed"),
    [
        ((0.12, 0.125, 0.13), 12),
        ((0.37, 0.375, 0.38), 37),
        ((0.62, 0.625, 0.63), 62),
        ((0.87, 0.875, 0.88), 87),
    ],
)
def test_an_odd_eighth_is_one_power_however_it_is_written(whole: int, same: tuple[float, ...], printed: int) -> None:
    """.12, .125 and .13 are the same eighth, and the text prints it .12."""
    assert {hundredths(-(whole + power)) for power in same} == {whole * 100 + printed}


def test_the_last_eighth_of_a_band_may_be_written_in_three_ways() -> None:
    """A cylinder of .12, .125 or .13 begins V2103; 4.12, 4.125 or 4.13 begins V2101."""
    assert [found(CodeGroup.SINGLE_VISION, 1.0, size) for size in (0.12, 0.125, 0.13)] == [["V2103"]] * 3
    assert [found(CodeGroup.SINGLE_VISION, size) for size in (4.12, 4.125, 4.13)] == [["V2101"]] * 3


@pytest.mark.parametrize("sphere", [4.01, 4.05, 4.11, 7.01, 7.06, 7.1175, 20.01])
def test_a_power_between_two_bands_is_not_moved_into_either(sphere: float) -> None:
    """A calculated power a hundredth outside a band is outside it."""
    assert found(CodeGroup.SINGLE_VISION, sphere) == []


def test_a_sum_of_floats_does_not_fall_out_of_its_band() -> None:
    """3.7 and 0.3 make 4.00 however the machine adds them, also three times 0.1 below a limit."""
    assert found(CodeGroup.SINGLE_VISION, 3.7 + 0.1 + 0.1 + 0.1) == ["V2100"]
    assert found(CodeGroup.SINGLE_VISION, -(4.3 - 0.1 - 0.1 - 0.1)) == ["V2100"]


@given(st.sampled_from(list(STEMS)), st.floats(-30, 30), st.floats(-10, 10))
def test_any_power_lies_in_two_bands_at_most_and_its_sign_does_not_matter(
    group: CodeGroup, sphere: float, cylinder: float
) -> None:
    """Whatever the power: never more than two bands, the same for plus and minus."""
    bands = found(group, sphere, cylinder)
    assert len(bands) <= 2
    assert found(group, -sphere, -cylinder) == bands
