"""Charges per lens: codes, sides, and cents that add up both ways."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Accessory, Design, Extra, ExtraKind, Frame, Lens
from shopledger.ledger.claims.charges import (
    NO_PRESCRIPTION,
    UnsettledCodeError,
    accessory_charge,
    extra_charges,
    frame_charge,
    lens_charges,
    shipping_charge,
)
from shopledger.ledger.orders import Charge
from shopledger.ledger.settings import Settings
from shopledger.money.rate import WHOLE
from shopledger.optics.materials import MaterialClass
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side

SETTINGS = Settings()
SINGLE = Lens(
    "SV", "Clear single vision", Design.SINGLE_VISION, "hard resin", MaterialClass.PLASTIC, 1.498, 58, 1.32,
    price=12995, cost=1800,
)  # fmt: skip
GRADUAL = Lens(
    "PROG", "Even progressive", Design.PROGRESSIVE, "polycarbonate", MaterialClass.POLYCARBONATE, 1.586, 30, 1.2,
    price=30001, cost=9000, design_part=14001, material_part=6001,
)  # fmt: skip
CLEAR = Extra("CLEAR", "Anti-reflective coating", ExtraKind.ANTI_REFLECTIVE, price=8901)
POLISH = Extra("POLISH", "Edge polish", ExtraKind.OTHER, price=2000)
WREN = Frame("WREN-52", "Harrow Row", "Wren", "moss", 52, 18, 140, price=18000, cost=6200)


def both(right: SphereCylinder, left: SphereCylinder, add: float | None = None) -> Prescription:
    """Both eyes with the same add."""
    return Prescription(EyePrescription(right, add), EyePrescription(left, add))


PLAIN = both(SphereCylinder(-2.5, -1.25, 90), SphereCylinder(-2.25), 2.0)
GAP = both(SphereCylinder(-4.125, -0.5, 180), SphereCylinder(-2.25))
TIE = both(SphereCylinder(-1.0), SphereCylinder(-8.0, -2.25, 180))


def told(charges: tuple[Charge, ...]) -> list[tuple[str, str, int]]:
    """Code, modifier and list price of each charge."""
    return [(charge.code, charge.modifier, charge.list_price) for charge in charges]


def test_a_pair_of_single_vision_lenses_is_charged_per_lens_with_the_odd_cent_on_the_right() -> None:
    """129.95 is 64.98 right and 64.97 left, each with the code of its own power."""
    assert told(lens_charges(SINGLE, PLAIN, 12995, 0, SETTINGS)) == [("V2103", "RT", 6498), ("V2100", "LT", 6497)]


def test_a_progressive_is_base_design_and_material_for_each_lens() -> None:
    """300.01 with 140.01 design and 60.01 material leaves 99.99 base; three odd cents share out by running totals."""
    # Running totals 99.99, 240.00, 300.01 give the right 50.00, 120.00, 150.01 and the left 49.99, 120.00, 150.00.
    assert told(lens_charges(GRADUAL, PLAIN, 30001, 0, SETTINGS)) == [
        ("V2203", "RT", 5000),
        ("V2781", "RT", 7000),
        ("V2784", "RT", 3001),
        ("V2200", "LT", 4999),
        ("V2781", "LT", 7001),
        ("V2784", "LT", 3000),
    ]


def test_a_reduction_is_shared_over_the_parts_in_proportion_to_list_prices() -> None:
    """10.01 off 99.99, 140.01 and 60.01 is 3.34, 4.67 and 2.00; each sum gives its odd cent to the right."""
    charges = lens_charges(GRADUAL, PLAIN, 30001, 1001, SETTINGS)
    # 333.62, 467.15 and 200.23 cents off. Base and material have an odd cent in price and net (96.65, 58.01): right and
    # left in turn, so the design's odd cent of its price goes right; its net, 135.34, is even.
    assert [charge.list_price for charge in charges] == [5000, 7001, 3000, 4999, 7000, 3001]
    assert [charge.reduction for charge in charges] == [167, 234, 100, 167, 233, 100]


@pytest.mark.parametrize(
    ("price", "reduction", "nets"),
    [
        (18600, 1, [9300, 9299]),  # net 185.99 with an even price: the right keeps the cent, so the left gives it
        (18600, 2, [9299, 9299]),
        (18601, 1, [9300, 9300]),
        (18601, 2, [9300, 9299]),
    ],
)
def test_the_right_lens_has_the_odd_cent_of_the_net(price: int, reduction: int, nets: list[int]) -> None:
    """A pair that comes to 185.99 is 93.00 right and 92.99 left, whatever was taken off to get there."""
    assert [charge.net for charge in extra_charges(CLEAR, price, reduction)] == nets


def test_a_progressive_without_a_named_part_takes_the_shop_s_share() -> None:
    """Half of 260.00 is the design's, as the setting says, and a third when it says so."""
    lens = replace(GRADUAL, price=26000, design_part=0, material_part=0)
    assert [charge.list_price for charge in lens_charges(lens, PLAIN, 26000, 0, SETTINGS)] == [6500] * 4
    third = Settings(progressive_share=333_333)
    # 260.00 times 0.333333 is 86.67 rounded, so the base is 173.33; the odd cent of the base goes right.
    assert [charge.list_price for charge in lens_charges(lens, PLAIN, 26000, 0, third)] == [8667, 4333, 8666, 4334]


def test_the_shop_s_share_is_of_what_the_material_leaves() -> None:
    """260.00 with 100.00 material: half of the other 160.00 is the design's, so the base is never used up."""
    lens = replace(GRADUAL, price=26000, design_part=0, material_part=10000)
    assert [charge.list_price for charge in lens_charges(lens, PLAIN, 26000, 0, SETTINGS)] == [4000, 4000, 5000] * 2


def test_a_line_s_own_price_keeps_the_catalogue_s_proportions() -> None:
    """At half the catalogue's price each part is half."""
    lens = replace(GRADUAL, price=20000, design_part=8000, material_part=4000)
    assert [charge.list_price for charge in lens_charges(lens, PLAIN, 10000, 0, SETTINGS)] == [2000, 2000, 1000] * 2


def test_lenses_that_cost_nothing_are_still_itemised() -> None:
    """A price of nothing gives charges of nothing, each with its code."""
    free = replace(GRADUAL, price=0, design_part=0, material_part=0)
    assert [charge.net for charge in lens_charges(free, PLAIN, 0, 0, SETTINGS)] == [0, 0, 0, 0]
    assert [charge.list_price for charge in lens_charges(free, PLAIN, 100, 0, SETTINGS)] == [50, 0, 50, 0]


def test_a_dearer_material_is_told_even_where_its_price_is_not_kept_apart() -> None:
    """Polycarbonate without a part of its own is named in the note of the base charge."""
    lens = replace(GRADUAL, material_part=0)
    base = lens_charges(lens, PLAIN, 30001, 0, SETTINGS)[0]
    assert base.note == "polycarbonate (V2784) is part of this price."


def test_a_material_in_an_index_hole_is_charged_without_a_code_and_says_why() -> None:
    """Index 1.655 lies between the published steps; both neighbours are named and neither is taken."""
    lens = replace(SINGLE, material="high index", index=1.655, material_part=5000)
    right = lens_charges(lens, PLAIN, 12995, 0, SETTINGS)[1]
    assert (right.description, right.code, right.list_price) == ("Material: high index, right lens", "", 2500)
    assert "V2782 or V2783" in right.note


def test_an_occupational_lens_is_one_charge_per_lens() -> None:
    """V2786 stands alone, whatever the power."""
    lens = replace(SINGLE, design=Design.OCCUPATIONAL)
    assert [charge.code for charge in lens_charges(lens, GAP, 12995, 0, SETTINGS)] == ["V2786", "V2786"]


def test_a_balance_lens_is_coded_as_such_on_its_side_only() -> None:
    """The lens that only balances the other is V2700; the other keeps its band."""
    made = Prescription(EyePrescription(SphereCylinder(-2.0), balance=True), EyePrescription(SphereCylinder(-5.0)))
    assert [charge.code for charge in lens_charges(SINGLE, made, 12995, 0, SETTINGS)] == ["V2700", "V2101"]


def test_a_high_add_is_told_in_the_note() -> None:
    """An add of 3.50 names V2220, for which nothing is charged apart."""
    made = both(SphereCylinder(-1.0), SphereCylinder(-1.0), 3.5)
    lens = replace(SINGLE, design=Design.BIFOCAL)
    assert "V2220 also applies" in lens_charges(lens, made, 12995, 0, SETTINGS)[0].note


def test_the_note_keeps_what_the_other_cylinder_form_would_be() -> None:
    """-3.00 -2.00 x 180 is coded as written, and the other form's code is told."""
    made = both(SphereCylinder(-3.0, -2.0, 180), SphereCylinder(-1.0))
    right, left = lens_charges(SINGLE, made, 12995, 0, SETTINGS)
    assert (right.code, right.note) == ("V2103", "Written as -5.00 +2.00 x 090 it would be V2107.")
    assert left.note == ""


def test_a_gap_asks_the_owner_and_says_how_to_answer() -> None:
    """The refusal names the lens, the power, the candidate and where the choice is written."""
    with pytest.raises(UnsettledCodeError) as caught:
        lens_charges(SINGLE, GAP, 12995, 0, SETTINGS)
    error = caught.value
    assert (error.side, error.candidates, error.exit_code) == (Side.RIGHT, ("V2199",), 30)
    assert str(error) == (
        "the right lens has no claim code yet: no published single vision band holds -4.12 -0.50 x 180 (minus "
        "cylinder). Choose V2199 and give it with the pair as its right code (right_code in an order file); "
        "the choice is kept."
    )


def test_an_overlap_asks_the_owner_for_the_other_lens_too() -> None:
    """Two bands hold the left power, and both are named."""
    with pytest.raises(UnsettledCodeError, match=r"the left lens .* Choose V2111 or V2112 .*left_code"):
        lens_charges(SINGLE, TIE, 12995, 0, SETTINGS)


def test_the_owner_s_choice_settles_a_lens_and_is_noted() -> None:
    """The chosen code stands on the charge with the reason it was needed; the other lens has no note."""
    right, left = lens_charges(SINGLE, TIE, 12995, 0, SETTINGS, {Side.LEFT: "V2112"})
    assert (right.code, right.note) == ("V2100", "")
    assert left.code == "V2112"
    assert left.note.startswith("V2112 was chosen by the owner: two bands hold -8.00 -2.25 x 180")


def test_a_choice_that_agrees_with_the_pick_is_not_noted() -> None:
    """Naming the code that is picked anyway leaves no note."""
    assert lens_charges(SINGLE, PLAIN, 12995, 0, SETTINGS, {Side.LEFT: "v2100"}) == lens_charges(
        SINGLE, PLAIN, 12995, 0, SETTINGS
    )


def test_a_choice_that_cannot_name_the_lens_is_refused() -> None:
    """A coating's code does not settle a lens."""
    with pytest.raises(RefusedError, match="V2750"):
        lens_charges(SINGLE, GAP, 12995, 0, SETTINGS, {Side.RIGHT: "V2750"})


def test_lenses_without_a_prescription_carry_no_code() -> None:
    """One charge per lens, in words only."""
    charges = lens_charges(GRADUAL, None, 30001, 1, SETTINGS)
    assert told(charges) == [("", "RT", 15001), ("", "LT", 15000)]
    assert {charge.note for charge in charges} == {NO_PRESCRIPTION}


def test_an_extra_is_charged_per_lens_with_its_code() -> None:
    """89.01 is 44.51 and 44.50; a cent of reduction goes right."""
    charges = extra_charges(CLEAR, 8901, 1)
    assert told(charges) == [("V2750", "RT", 4451), ("V2750", "LT", 4450)]
    assert [charge.net for charge in charges] == [4450, 4450]
    assert charges[0].description == "Anti-reflective coating, right lens"


def test_an_extra_on_one_lens_is_one_charge() -> None:
    """A slab-off on the left lens alone is not split."""
    slab = Extra("SLAB", "Slab-off", ExtraKind.SLAB_OFF, price=9000)
    assert told(extra_charges(slab, 9000, 0, sides=[Side.LEFT])) == [("V2710", "LT", 9000)]


def test_an_extra_that_no_code_names_says_so() -> None:
    """Its words stand alone, and the note names what a plan may take."""
    charges = extra_charges(POLISH, 2000, 0)
    assert {charge.code for charge in charges} == {""}
    assert charges[0].note.startswith("No code: no code names it")


def test_an_extra_without_a_prescription_carries_no_code() -> None:
    """A coating on non-prescription lenses is no claim."""
    assert {charge.code for charge in extra_charges(CLEAR, 8901, 0, prescription=False)} == {""}


def test_a_frame_is_one_unit_without_a_side() -> None:
    """V2020, one unit, no modifier; without a prescription no code."""
    charge = frame_charge(WREN, 18000, 3000)
    assert (charge.code, charge.modifier, charge.units, charge.net) == ("V2020", "", 1, 15000)
    assert charge.description == "Harrow Row Wren, moss, 52-18-140"
    assert frame_charge(WREN, 18000, 0, prescription=False).code == ""


def test_accessories_and_shipping_have_no_side() -> None:
    """An accessory carries the owner's code and its quantity; shipping is words alone."""
    case = accessory_charge(Accessory("CASE", "Hard case", 1200, 400, claim_code="v2756"), 2, 2400, 0)
    assert (case.code, case.units, case.net, case.modifier) == ("V2756", 2, 2400, "")
    assert (shipping_charge(950).code, shipping_charge(950).net, shipping_charge(950).side) == ("", 950, None)


@st.composite
def lines(draw: st.DrawFn) -> tuple[Lens, int, int, Settings]:
    """A lens with any parts, its price, any reduction on it, and any share."""
    price = draw(st.integers(0, 100_000))
    design_part = draw(st.integers(0, price))
    material_part = draw(st.integers(0, price - design_part))
    lens = replace(
        GRADUAL,
        design=draw(st.sampled_from(Design)),
        price=price,
        design_part=draw(st.sampled_from([0, design_part])),
        material_part=material_part,
    )
    return lens, price, draw(st.integers(0, price)), Settings(progressive_share=draw(st.integers(0, WHOLE)))


@given(lines())
def test_no_cent_is_lost_and_no_charge_is_negative(line: tuple[Lens, int, int, Settings]) -> None:
    """Any price, parts, share and reduction: sums are exact by line, by lens and by part; nothing goes below zero."""
    lens, price, reduction, settings = line
    charges = lens_charges(lens, PLAIN, price, reduction, settings)
    assert sum(charge.list_price for charge in charges) == price
    assert sum(charge.reduction for charge in charges) == reduction
    assert all(
        0 <= charge.reduction <= charge.list_price and charge.net == charge.list_price - charge.reduction
        for charge in charges
    )
    right = [charge for charge in charges if charge.side is Side.RIGHT]
    left = [charge for charge in charges if charge.side is Side.LEFT]
    net = price - reduction
    assert sum(charge.list_price for charge in right) == (price + 1) // 2
    assert sum(charge.net for charge in right) == (net + 1) // 2
    # The one split in which not all three cents can go right: an even price less an odd net.
    lost = reduction % 2 and not price % 2
    assert sum(charge.reduction for charge in right) == (reduction if lost else reduction + 1) // 2
    for one, other in zip(right, left, strict=True):
        assert abs(one.list_price - other.list_price) <= 1
        assert abs(one.net - other.net) <= 1
        assert abs(one.reduction - other.reduction) <= 1
    if lens.material_part:
        assert right[-1].list_price + left[-1].list_price == lens.material_part
    if lens.design is Design.PROGRESSIVE and lens.design_part:
        assert right[1].list_price + left[1].list_price == lens.design_part


@given(st.integers(0, 100_000), st.data())
def test_extras_lose_no_cent(price: int, data: st.DataObject) -> None:
    """Any price and reduction of an extra: both sums hold, nothing goes below zero."""
    reduction = data.draw(st.integers(0, price))
    charges = extra_charges(CLEAR, price, reduction)
    assert (sum(charge.list_price for charge in charges), sum(charge.reduction for charge in charges)) == (
        price,
        reduction,
    )
    right, left = charges
    assert right.list_price - left.list_price == price % 2
    assert right.net - left.net == (price - reduction) % 2
    assert min(charge.reduction for charge in charges) >= 0
