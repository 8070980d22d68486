"""Materials as rows, the trade's front curves, and indices against open data."""

from __future__ import annotations

import pytest
from hypothesis import given

from shopledger.optics.base_curve import pair_base_curve, usual_base_curve, vogel_base_curve
from shopledger.optics.materials import (
    MATERIALS,
    Material,
    MaterialClass,
    Mounting,
    index_class,
    least_thickness,
    material,
)
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.refusals import NotationError, OutOfRangeError
from shopledger.optics.sources import SOURCES
from tests.optics.published.lenses import FRONT_CURVES
from tests.optics.published.printed import Printed
from tests.optics.strategies import powers


@pytest.mark.parametrize("row", MATERIALS, ids=lambda row: row.name)
def test_every_number_of_a_material_has_a_source(row: Material) -> None:
    """Each number says where it is from, and names are unlike each other."""
    keys = (row.index_source, row.abbe_source, row.density_source, row.cutting_source, row.min_centre_source)
    assert set(keys) <= SOURCES.keys()
    assert [each.name for each in MATERIALS].count(row.name) == 1


def test_polycarbonate_alone_is_cut_dry() -> None:
    """Polycarbonate is cut dry and the rest wet: common practice, a setting of the shop."""
    dry = [row.material_class for row in MATERIALS if row.cutting == "dry"]
    assert dry == [MaterialClass.POLYCARBONATE]


def test_a_material_is_found_by_a_part_that_fits_one() -> None:
    """Whole names, parts and any case find a row."""
    assert material("Hard Resin 1.50").index == 1.498
    assert material("1.67").abbe == 32
    assert material("poly").density == 1.20


def test_an_unknown_or_doubtful_material_is_refused_with_choices() -> None:
    """The refusal names what fits, or what comes near."""
    with pytest.raises(NotationError) as many:
        material("High")
    assert str(many.value) == (
        "'High' cannot be read: more than one material fits. "
        "Choose high index 1.60, high index 1.67 or high index 1.74."
    )
    with pytest.raises(NotationError) as slip:
        material("polycarbonat 1.59")
    assert str(slip.value).startswith("'polycarbonat 1.59' cannot be read: no material has this name. Choose poly")
    for nothing in ("", "qqq"):
        with pytest.raises(NotationError) as none:
            material(nothing)
        assert all(row.name in none.value.hint for row in MATERIALS)


def test_a_material_that_cannot_be_is_refused() -> None:
    """A row checks its numbers when it is made."""
    with pytest.raises(OutOfRangeError, match="density"):
        Material("feather", MaterialClass.PLASTIC, 1.5, "d", 50, 0.1, "wet", 2, *["memory"] * 5)


def test_how_a_lens_is_held_decides_how_thin_it_may_be() -> None:
    """Rim, drilled and safety: common practice, no source; 3 mm for safety was read."""
    thin, thick = material("1.67"), material("hard resin")
    assert [least_thickness(thin, each) for each in Mounting] == [(1.3, 1.0), (1.8, 1.8), (3.0, 3.0)]
    assert least_thickness(thick, Mounting.RIMLESS) == (2.0, 1.8)


@pytest.mark.parametrize(
    ("index", "name"),
    [(1.48, "normal"), (1.53, "normal"), (1.54, "mid"), (1.64, "high"), (1.74, "very high"), (1.9, "very high")],
)
def test_indices_have_their_class(index: float, name: str) -> None:
    """Classes begin at 1.48, 1.54, 1.64 and 1.74; [bs_7394] second-hand."""
    assert index_class(index) == name


@pytest.mark.parametrize("case", FRONT_CURVES, ids=str)
def test_vogels_curve_is_as_worked_out(case: Printed) -> None:
    """Plus: mean power and 6; minus: half of it and 6."""
    assert vogel_base_curve(read_power(case.given[0])) == pytest.approx(case.expect, abs=case.within)


@given(powers(), powers())
def test_front_curves_stay_in_stock_and_a_pair_shares_one(right: SphereCylinder, left: SphereCylinder) -> None:
    """A usual curve is within what is stocked, and a pair takes the curve of one of its lenses."""
    curves = {usual_base_curve(right), usual_base_curve(left)}
    assert all(0.5 <= curve <= 10 for curve in curves)
    assert pair_base_curve(right, left) in curves


def test_a_minus_pair_takes_the_flatter_curve_and_any_other_the_steeper() -> None:
    """Common practice, no source."""
    weak, strong, plus = SphereCylinder(-2), SphereCylinder(-6), SphereCylinder(2)
    assert pair_base_curve(weak, strong) == usual_base_curve(strong)
    assert pair_base_curve(weak, plus) == usual_base_curve(plus)


def test_plano_beside_minus_is_no_minus_pair() -> None:
    """A pair is minus only when both lenses are."""
    plano, weak, minus = SphereCylinder(0), SphereCylinder(0.5), SphereCylinder(-4)
    for other in (plano, weak):
        assert pair_base_curve(other, minus) == pair_base_curve(minus, other) == usual_base_curve(other)
