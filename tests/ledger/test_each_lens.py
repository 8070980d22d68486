"""Each lens of a pair by itself: price, codes, upgrades, the power to make, and what is asked about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design, Extra, ExtraKind, Lens, read_pair_price, use_of_lens
from shopledger.ledger.each_lens import (
    power_findings,
    powers_to_make,
    sold_extras,
    sold_lenses,
)
from shopledger.ledger.orders import EyeRequest, Making, OffStep, PairRequest
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.pricing import PairGoods, price_order
from shopledger.ledger.settings import Settings
from shopledger.optics.notation import read_eye, read_power, write_eye
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription, balance_power, on_quarter
from shopledger.optics.sides import Side
from tests.ledger.test_pricing import TERMS
from tests.shelf import CLEAR, GRADUAL, SINGLE, THIN, WREN

PRISM = Extra("PRISM", "Prism", ExtraKind.PRISM, price=4001)
SLAB = Extra("SLAB", "Slab-off", ExtraKind.SLAB_OFF, price=12000)
BIFOCAL = replace(SINGLE, code="BIF-28", name="Straight-top bifocal", design=Design.BIFOCAL, price=13500)
TRIFOCAL = replace(BIFOCAL, code="TRI-28", name="Trifocal", design=Design.TRIFOCAL)
FAR = dict.fromkeys(Side, LensUse.DISTANCE)
ASKED = PairRequest("Odalys", "SV-150", "WREN-52")


def written(right: str, left: str) -> WrittenPrescription:
    """Give a prescription as typed."""
    return WrittenPrescription(1, 1, Prescription(read_eye(right), read_eye(left)), date(2026, 2, 20))


def codes(
    powers: tuple[str, str],
    lenses: dict[Side, Lens],
    on_pair: tuple[Extra, ...] = (),
    on_one: Mapping[str, tuple[Extra, ...]] = MappingProxyType({}),
) -> list[tuple[str, str]]:
    """Give modifier and code of each charge on lenses of these powers."""
    made = Prescription(*map(read_eye, powers))
    extras = sold_extras(on_pair, {side: on_one.get(side.value, ()) for side in lenses}, made)
    goods = PairGoods(1, 1, WREN, sold_lenses(lenses), extras, LensUse.MULTIFOCAL, made)
    lines = price_order([goods], [], replace(TERMS, offers=(), shipping=0))
    return [(charge.modifier, charge.code) for line in lines[1:] for charge in line.charges]


@pytest.mark.parametrize(
    ("lenses", "on_pair", "on_one", "expected"),
    [
        ({Side.RIGHT: SINGLE, Side.LEFT: SINGLE}, (), {}, [("RT", "V2103"), ("LT", "V2107")]),
        ({Side.LEFT: SINGLE}, (), {}, [("LT", "V2107")]),
        ({Side.RIGHT: BIFOCAL, Side.LEFT: SINGLE}, (), {}, [("RT", "V2203"), ("LT", "V2107")]),
        ({Side.RIGHT: TRIFOCAL, Side.LEFT: BIFOCAL}, (), {}, [("RT", "V2303"), ("LT", "V2207")]),
        ({Side.RIGHT: SINGLE, Side.LEFT: SINGLE}, (PRISM,), {}, [("RT", "V2103"), ("LT", "V2107"), ("LT", "V2715")]),
        (
            {Side.RIGHT: BIFOCAL, Side.LEFT: BIFOCAL}, (), {"right": (SLAB,)},
            [("RT", "V2203"), ("LT", "V2207"), ("RT", "V2710")],
        ),
        ({Side.RIGHT: SINGLE}, (CLEAR,), {}, [("RT", "V2103"), ("RT", "V2750")]),
    ],
)  # fmt: skip
def test_each_lens_has_its_own_codes(
    lenses: dict[Side, Lens],
    on_pair: tuple[Extra, ...],
    on_one: dict[str, tuple[Extra, ...]],
    expected: list[tuple[str, str]],
) -> None:
    """The published list (HCPCS Level II, V2100 to V2799): one line a lens, one for what is on one lens alone."""
    powers = "-2.50 -1.25 x 090 add 2.00", "+4.50 -0.50 x 010 add 2.00 2 BU"
    assert codes(powers, lenses, on_pair, on_one) == expected


def test_a_balance_lens_is_coded_as_one() -> None:
    """V2700 of the published list, whatever its power; the lens that sees has its band."""
    both = dict.fromkeys(Side, SINGLE)
    assert codes(("balance +3.00 DS", "+3.00 -0.75 x 045"), both) == [("RT", "V2700"), ("LT", "V2103")]


@given(st.integers(0, 60_000), st.integers(0, 30_000), st.sampled_from(list(Side)), st.booleans())
def test_one_lens_costs_half_and_no_cent_is_lost(price: int, extra: int, side: Side, two_kinds: bool) -> None:
    """Half of the pair's price, an odd cent in full; charges add up to their lines whatever is sold."""
    lens = replace(SINGLE, price=price)
    lenses = {Side.RIGHT: lens, Side.LEFT: replace(THIN, material_part=0)} if two_kinds else {side: lens}
    made = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 DS"))
    extras = sold_extras([replace(CLEAR, price=extra)], dict.fromkeys(lenses, ()), made)
    goods = PairGoods(1, 1, WREN, sold_lenses(lenses), extras, LensUse.DISTANCE, made, frame_sold=False)
    first, *rest = price_order([goods], [], replace(TERMS, offers=(), shipping=0))
    assert first.list_price == -(-price // 2)
    for line in (first, *rest):
        assert sum(charge.net for charge in line.charges) == line.net
    assert [charge.side for charge in first.charges] == [Side.RIGHT if two_kinds else side]


def test_a_pair_of_two_lenses_is_priced_as_before() -> None:
    """Two alike stand on one line at the pair's price."""
    (sold,) = sold_lenses(dict.fromkeys(Side, SINGLE))
    assert (sold.alone, sold.price) == (None, 8000)


def test_a_price_may_be_typed_for_one_lens() -> None:
    """Doubled, it is the pair's, and half of that is the one lens's again."""
    assert read_pair_price("64.98 each") == 12996
    assert read_pair_price("129.95") == 12995
    assert replace(SINGLE, price=read_pair_price("64.98 EACH")).each == 6498
    with pytest.raises(RefusedError, match="for one lens with 'each' behind it"):
        read_pair_price("64.98 apiece")


def test_prism_is_charged_where_there_is_some() -> None:
    """On one lens where one has it; where none has, it is refused, and asked for the wrong lens too."""
    made = Prescription(read_eye("-2.50 DS"), read_eye("-2.50 DS 2 BI"))
    both: dict[Side, tuple[Extra, ...]] = {Side.RIGHT: (), Side.LEFT: ()}
    (sold,) = sold_extras([PRISM], both, made)
    assert (sold.sides, sold.price) == ((Side.LEFT,), 2001)
    with pytest.raises(RefusedError, match="the right lens has no prism in its prescription"):
        sold_extras([], {**both, Side.RIGHT: (PRISM,)}, made)
    with pytest.raises(RefusedError, match="the right and the left lens has no prism"):
        sold_extras([PRISM], both, Prescription(made.right, made.right))


def test_slab_off_is_on_one_lens_and_costs_what_it_costs() -> None:
    """For a pair it is asked which; its price is not halved."""
    made = Prescription(read_eye("-2.50 DS"), read_eye("-4.50 DS"))
    with pytest.raises(RefusedError, match="on one lens of a pair"):
        sold_extras([SLAB], {Side.RIGHT: (), Side.LEFT: ()}, made)
    (sold,) = sold_extras([], {Side.RIGHT: (), Side.LEFT: (SLAB,)}, made)
    assert (sold.alone, sold.price) == (Side.LEFT, 12000)


def test_the_same_upgrade_on_both_lenses_is_one_line() -> None:
    """Asked for right and left, or for the pair and once more for one of them."""
    for on_pair, right in (((), (CLEAR,)), ((CLEAR,), ())):
        (sold,) = sold_extras(on_pair, {Side.RIGHT: right, Side.LEFT: (CLEAR,)}, None)
        assert (sold.alone, sold.price) == (None, 12995)


@pytest.mark.parametrize(
    ("other", "proposed"),
    [("+3.00 -0.75 x 045", 3.0), ("-2.25 +1.00 x 090", -1.25), ("plano", 0.0), ("-1.12 DS", -1.0), ("+2.37 DS", 2.5)],
)
def test_a_balance_lens_is_like_the_other_s_sphere(other: str, proposed: float) -> None:
    """Common practice, no source: the sphere in minus-cylinder form, on the nearest quarter."""
    assert balance_power(read_eye(other)) == SphereCylinder(proposed)


def test_a_balance_lens_gets_a_power_and_it_is_asked_about() -> None:
    """Near the other eye's for the same use; what the owner sets holds, what the prescriber wrote is kept."""
    bare = written("balance", "-2.50 -1.25 x 090 add 2.00")
    reading = dict.fromkeys(Side, LensUse.READING)
    made = powers_to_make(bare, reading, Settings(), ASKED)
    assert [write_eye(made.eye(side)) for side in Side] == ["balance -0.50 DS", "-0.50 -1.25 x 090"]
    (asked,) = power_findings(bare, made, ASKED, reading)
    assert (asked.code, asked.field) == ("BALANCE-POWER", "right.balance")
    assert "it is made as -0.50 DS, near the left lens" in asked.sentence
    chosen = replace(ASKED, right=EyeRequest(balance=read_power("-1.00 DS")))
    made = powers_to_make(bare, reading, Settings(), chosen)
    assert write_eye(made.right) == "balance -1.00 DS"
    assert list(power_findings(bare, made, chosen, reading)) == []
    stated = written("balance -4.00 DS", "-2.50 DS")
    assert write_eye(powers_to_make(stated, FAR, Settings(), ASKED).right) == "balance -4.00 DS"
    for wrote in (stated, written("-4.00 DS", "-2.50 DS")):
        with pytest.raises(RefusedError, match="right balance power"):
            powers_to_make(wrote, FAR, Settings(), chosen)


def test_a_power_between_two_quarters_is_asked_about() -> None:
    """Half of an add of 1.75 is 0.875: 2.875 is made as it is, or 2.75, or 3.00."""
    screen = dict.fromkeys(Side, LensUse.SCREEN)
    wrote = written("+2.00 DS add 1.75", "+2.25 DS add 1.50")
    for step, sphere in ((None, 2.875), (OffStep.EXACT, 2.875), (OffStep.LESS, 2.75), (OffStep.MORE, 3.0)):
        asked = replace(ASKED, off_step=step)
        made = powers_to_make(wrote, screen, Settings(), asked)
        assert (made.right.power.sphere, made.left.power.sphere) == (sphere, 3.0)
        found = [finding.code for finding in power_findings(wrote, made, asked, screen)]
        assert found == (["MADE-OFF-QUARTER"] if step is None else [])
    assert (
        list(
            power_findings(
                written("-1.12 DS", "plano"), Prescription(read_eye("-1.12 DS"), read_eye("plano")), ASKED, FAR
            )
        )
        == []
    )


@given(st.floats(-20, 20))
def test_the_next_quarter_is_less_than_a_quarter_away(power: float) -> None:
    """Below, above, and the nearest of both."""
    less, more, near = on_quarter(power, up=False), on_quarter(power, up=True), on_quarter(power)
    assert less - 1e-9 <= power <= more + 1e-9
    assert more - less in {0, 0.25}
    assert abs(near - power) <= 0.125 + 1e-9
    assert all((each * 4).is_integer() for each in (less, more, near))


def test_a_single_vision_lens_beside_a_multifocal_is_for_distance() -> None:
    """A multifocal stays one; reading and screens stay what they are."""
    assert use_of_lens(SINGLE, LensUse.MULTIFOCAL) is LensUse.DISTANCE
    assert use_of_lens(GRADUAL, LensUse.MULTIFOCAL) is LensUse.MULTIFOCAL
    assert use_of_lens(SINGLE, LensUse.READING) is LensUse.READING


def test_a_pair_has_at_least_one_lens() -> None:
    """Nothing is asked for a lens that stays, and not both stay."""
    with pytest.raises(RefusedError, match="at least one lens is made"):
        replace(ASKED, right=EyeRequest(Making.KEPT), left=EyeRequest(Making.NONE))
    with pytest.raises(RefusedError, match="nothing is made for it"):
        EyeRequest(Making.KEPT, lens="SV-150")
    assert EyePrescription(SphereCylinder(0.0)) == read_eye("plano")
