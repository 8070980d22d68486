"""What the shop sets about codes: dear frames split or not, whose base a progressive takes, what its design costs."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.claims.charges import frame_charges, lens_charges
from shopledger.ledger.claims.code_picker import base_pick, choose, high_add_pick
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.settings import Settings
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from tests.shelf import GRADUAL, WREN
from tests.strategies import PRICES

MADE = Prescription(EyePrescription(SphereCylinder(-2.5), add=3.5), EyePrescription(SphereCylinder(-8, -2.25, 10)))


def test_a_frame_is_one_charge_unless_the_shop_splits_it() -> None:
    """Off by default: V2020 at the full price."""
    assert [(each.code, each.net) for each in frame_charges(WREN, 18000, 0, Settings())] == [("V2020", 18000)]


def test_a_dear_frame_is_split_at_the_standard_charge() -> None:
    """V2020 at the standard charge, V2025 for the difference (Noridian, read in excerpts); reductions alike."""
    charges = frame_charges(WREN, 18000, 900, Settings(standard_frame=12000))
    assert [(each.code, each.list_price, each.reduction, each.net) for each in charges] == [
        ("V2020", 12000, 600, 11400),
        ("V2025", 6000, 300, 5700),
    ]


@pytest.mark.parametrize(("price", "prescription"), [(12000, True), (11999, True), (18000, False)])
def test_a_standard_frame_and_one_without_prescription_are_not_split(price: int, prescription: bool) -> None:
    """There is no difference to show, or no code at all."""
    split = frame_charges(WREN, price, 0, Settings(standard_frame=12000), prescription=prescription)
    assert [each.net for each in split] == [price]


@given(PRICES, st.integers(0, 500_000), st.data())
def test_the_split_of_a_frame_loses_no_cent(price: int, standard: int, data: st.DataObject) -> None:
    """List, reduction and net add up, none below nothing."""
    reduction = data.draw(st.integers(0, price))
    charges = frame_charges(WREN, price, reduction, Settings(standard_frame=standard))
    assert sum(each.list_price for each in charges) == price
    assert sum(each.reduction for each in charges) == reduction
    assert all(each.net >= 0 for each in charges)


def test_a_progressive_takes_a_trifocals_codes_where_the_shop_sets_it() -> None:
    """Base, fallbacks, high add and the owner's choice all follow."""
    three = Settings(progressive_base=Design.TRIFOCAL)
    charges = lens_charges(GRADUAL, MADE, 26000, 0, three, {Side.LEFT: "V2312"})
    right, _, left, _ = charges
    assert (right.code, left.code) == ("V2300", "V2312")
    assert "V2320 also applies" in right.note
    assert base_pick(
        Design.PROGRESSIVE, SphereCylinder(-8, -2.25, 10), progressive_base=Design.TRIFOCAL
    ).candidates == (
        "V2311",
        "V2312",
    )
    assert high_add_pick(Design.PROGRESSIVE, 3.5, Design.TRIFOCAL).code == "V2320"
    with pytest.raises(RefusedError, match="another trifocal lens code"):
        choose(base_pick(Design.PROGRESSIVE, SphereCylinder(-1)), Design.PROGRESSIVE, "V2200", Design.TRIFOCAL)


def test_a_chosen_code_is_marked_and_every_code_names_its_release() -> None:
    """The owner's choice stands out; a charge without a code names no release."""
    right, design, left, _ = lens_charges(GRADUAL, MADE, 26000, 0, Settings(), {Side.LEFT: "V2212"})
    assert [right.chosen, design.chosen, left.chosen] == [False, False, True]
    assert {right.release, design.release, left.release} == {RELEASE}
    assert lens_charges(GRADUAL, None, 26000, 0, Settings())[0].release == ""


def test_the_design_is_what_a_progressive_costs_above_the_standard_price() -> None:
    """260.00 beside standard multifocals at 110.00: 150.00 is V2781; a dearer standard leaves nothing for it."""
    lens = replace(GRADUAL, design_part=0)
    made = Prescription(EyePrescription(SphereCylinder(-2.5)), EyePrescription(SphereCylinder(-2.5)))
    for standard, design in ((11000, 15000), (30000, 0)):
        charges = lens_charges(lens, made, 26000, 0, Settings(standard_bifocal=standard))
        assert sum(each.net for each in charges if each.code == "V2781") == design
        assert sum(each.net for each in charges) == 26000


@pytest.mark.parametrize(
    "wrong", [{"progressive_base": Design.SINGLE_VISION}, {"standard_frame": -1}, {"standard_bifocal": -1}]
)
def test_a_setting_that_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    """No progressive is single vision, and no price is below nothing."""
    with pytest.raises(RefusedError):
        Settings(**wrong)  # type: ignore[arg-type]
