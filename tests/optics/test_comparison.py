"""Materials side by side for one order, and what is asked about thick lenses."""

from __future__ import annotations

import pytest

from shopledger.optics.body import lens_body
from shopledger.optics.comparison import compare_materials
from shopledger.optics.materials import MATERIALS, material
from shopledger.optics.pair_checks import check_bodies
from shopledger.optics.power import SphereCylinder
from tests.optics.strategies import rounded_shape

SHAPE = rounded_shape(200)


def test_every_material_gets_its_row_with_its_own_least_centre() -> None:
    """A minus lens is as thin at its centre as each material allows."""
    rows = compare_materials(SphereCylinder(-5), SHAPE, (3, 1))
    assert [row.material for row in rows] == list(MATERIALS)
    for row in rows:
        assert row.body is not None
        assert row.body.centre_thickness == pytest.approx(row.material.min_centre)


def test_a_higher_index_is_thinner_at_the_edge_and_glass_is_heaviest() -> None:
    """1.74 is thinner than 1.50, and glass weighs most."""
    rows = {row.material.name: row.body for row in compare_materials(SphereCylinder(-5), SHAPE, (3, 1))}
    plain, high = rows["hard resin 1.50"], rows["high index 1.74"]
    assert plain is not None
    assert high is not None
    assert high.thickest < plain.thickest
    assert max(rows, key=lambda name: rows[name].weight_g if rows[name] else 0) == "crown glass 1.52"  # type: ignore[union-attr]


def test_a_material_in_which_the_lens_cannot_be_says_why() -> None:
    """A back curve too steep in hard resin may still be made in a high index."""
    rows = compare_materials(SphereCylinder(-17), rounded_shape(200, a=60, b=44), (4, 0), base_curve=1.0)
    by_name = {row.material.name: row for row in rows}
    assert by_name["hard resin 1.50"].body is None
    assert "too steep" in by_name["hard resin 1.50"].refused
    assert {row.base_curve for row in rows} == {1.0}
    assert by_name["high index 1.74"].body is not None
    assert by_name["high index 1.74"].refused == ""


def test_a_given_front_curve_is_used() -> None:
    """What is asked for goes before what is usual."""
    (row,) = compare_materials(SphereCylinder(-2), SHAPE, (0, 0), [material("1.67")], base_curve=4.0)
    assert row.base_curve == 4.0
    (usual,) = compare_materials(SphereCylinder(-2), SHAPE, (0, 0), [material("1.67")])
    assert usual.base_curve == 5.0


def test_thick_and_unequal_lenses_are_asked_about() -> None:
    """A thick edge, a thick centre and unlike weights are told; thin ones are not."""
    thin = lens_body(SphereCylinder(-1), SHAPE, (2, 0), 1.5, 5, 2, 1, 1.3)
    minus = lens_body(SphereCylinder(-10), SHAPE, (2, 0), 1.5, 2, 2, 1, 1.3)
    plus = lens_body(SphereCylinder(8), SHAPE, (2, 0), 1.5, 9, 2, 1, 1.3)
    assert check_bodies(thin, thin) == ()
    found = {(each.code, each.field) for each in check_bodies(minus, plus)}
    assert {("EDGE-THICK", "right.edge_thickness"), ("CENTRE-THICK", "left.centre_thickness")} <= found
    assert [each.code for each in check_bodies(minus, thin)] == ["EDGE-THICK", "WEIGHT-DIFFERS"]
