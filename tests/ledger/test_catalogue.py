"""What the shop sells is valid from birth: sizes, prices, parts of a price, codes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Accessory, Design, Extra, ExtraKind, Frame, Lens, SegmentShape
from shopledger.optics.materials import MaterialClass
from tests.shelf import LINED


def frame(**changes: Any) -> Frame:  # noqa: ANN401 - any field of a frame
    """A frame with some details changed."""
    details: dict[str, Any] = {
        "code": "wren-52",
        "maker": "Harrow Row",
        "model": "Wren",
        "colour": "moss",
        "eye_size": 52,
        "bridge": 18,
        "temple": 140,
        "price": 18000,
        "cost": 6200,
    }
    return Frame(**(details | changes))


def lens(**changes: Any) -> Lens:  # noqa: ANN401 - any field of a lens
    """A progressive with some details changed."""
    details: dict[str, Any] = {
        "code": "prog-14",
        "name": "Even progressive",
        "design": Design.PROGRESSIVE,
        "material": "hard resin",
        "material_class": MaterialClass.PLASTIC,
        "index": 1.498,
        "abbe": 58,
        "density": 1.32,
        "price": 26000,
        "cost": 9000,
        "corridor": 11,
        "min_fitting_height": 17,
        "blank_diameters": (75, 70, 80),
        "design_part": 14000,
        "material_part": 2000,
    }
    return Lens(**(details | changes))


def test_a_frame_is_described_in_words_and_sizes() -> None:
    """Maker, model, colour, and the sizes as stamped on the temple."""
    assert frame().description == "Harrow Row Wren, moss, 52-18-140"
    assert frame(eye_size=52.5).description.endswith("52.5-18-140")
    assert frame().code == "WREN-52"


@pytest.mark.parametrize(("field", "lowest", "highest"), [("eye_size", 30, 75), ("bridge", 8, 32), ("temple", 90, 170)])
def test_a_frame_s_sizes_lie_within_what_frames_have(field: str, lowest: float, highest: float) -> None:
    """Both limits are sizes; a tenth beyond is a slip, told with the limits."""
    assert frame(**{field: lowest})
    assert frame(**{field: highest})
    for beyond in (lowest - 0.1, highest + 0.1):
        with pytest.raises(RefusedError, match=f"from {lowest} to {highest} mm"):
            frame(**{field: beyond})


@pytest.mark.parametrize("field", ["price", "cost"])
def test_nothing_in_the_catalogue_has_a_negative_price(field: str) -> None:
    """Frames, lenses, extras and accessories: price and cost are 0 or more."""
    amounts: dict[str, Any] = {"price": 100, "cost": 50, field: -1}
    for make in (
        lambda: frame(**amounts),
        lambda: lens(**({"design_part": 0, "material_part": 0} | amounts)),
        lambda: Extra("A", "A", ExtraKind.UV, **amounts),
        lambda: Accessory("A", "A", **amounts),
    ):
        with pytest.raises(RefusedError, match=f"{field} is -0.01"):
            make()


@pytest.mark.parametrize(
    "wrong",
    [
        {"index": 1.39},
        {"index": 2.01},
        {"abbe": 19},
        {"density": 0.8},
        {"min_centre": 0.4},
        {"min_edge": 6.1},
        {"blank_diameters": (70, 39)},
        {"blank_diameters": (91,)},
        {"min_fitting_height": 7.9},
        {"corridor": 22.1},
        {"design_part": -1},
        {"material_part": -1},
        {"code": "no code"},
        {"name": ""},
        {"material": " "},
    ],
    ids=str,
)
def test_a_lens_with_an_impossible_detail_is_refused(wrong: dict[str, Any]) -> None:
    """Each number has its limits, each text its form."""
    with pytest.raises(RefusedError):
        lens(**wrong)


def test_the_parts_of_a_price_do_not_exceed_it() -> None:
    """Design and material together may be the whole price and no cent more."""
    assert lens(design_part=24000, material_part=2000)
    with pytest.raises(RefusedError, match=r"260\.01; together they may not exceed the price 260\.00"):
        lens(design_part=24001, material_part=2000)


def test_blanks_are_kept_from_small_to_large() -> None:
    """However they are listed."""
    assert lens().blank_diameters == (70, 75, 80)


def test_all_designs_but_single_vision_carry_the_add() -> None:
    """Single vision alone is no multifocal."""
    assert {design for design in Design if not lens(design=design).multifocal} == {Design.SINGLE_VISION}


def test_a_lens_without_a_corridor_or_height_is_whole() -> None:
    """What the maker does not state is left out."""
    assert lens(corridor=None, min_fitting_height=None).corridor is None


def bifocal(**changes: Any) -> Lens:  # noqa: ANN401 - any field of a lens
    """A bifocal with some details changed."""
    return replace(LINED, **changes)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"segment_width": 9.9}, "segment width is 9.9 mm; it must lie from 10 to 50"),
        ({"fitting_in": 15.5}, "fitting point inward is 15.5 mm"),
        ({"fitting_up": -26}, "fitting point upward is -26 mm"),
        ({"distance_up": -1}, "distance centre above the segment is -1 mm"),
        ({"max_fitting_height": 12}, "maximum fitting height is 12 mm; the minimum is 13 mm"),
        ({"segment_shape": SegmentShape.FULL_WIDTH}, "as wide as the lens"),
        ({"intermediate_depth": 7}, "a bifocal lens has none"),
        ({"thinning_prism": True}, "a bifocal lens has none"),
        ({"design": Design.PROGRESSIVE}, "segment shape is given; a progressive lens has none"),
        ({"design": Design.SINGLE_VISION}, "a single vision lens has none"),
    ],
    ids=str,
)
def test_a_segment_that_its_design_does_not_have_is_refused(wrong: dict[str, Any], said: str) -> None:
    """With what was given and what is allowed."""
    with pytest.raises(RefusedError, match=said):
        bifocal(**wrong)


def test_lines_are_told_from_progressives() -> None:
    """A bifocal and a trifocal are lined, an occupational lens where its segment is known, and no other."""
    assert bifocal().lined
    assert bifocal(design=Design.TRIFOCAL, intermediate_depth=7).lined
    assert bifocal(design=Design.OCCUPATIONAL).lined
    bare = bifocal(segment_shape=None, segment_width=None, distance_up=None)
    assert replace(bare, design=Design.TRIFOCAL).lined
    assert not replace(bare, design=Design.OCCUPATIONAL).lined
    assert not lens(thinning_prism=True, fitting_up=4).lined


def test_an_accessory_s_claim_code_must_exist() -> None:
    """A published code in its written form, or none."""
    assert Accessory("CASE", "Hard case", 1200, 400, claim_code=" v2756").claim_code == "V2756"
    assert Accessory("CASE", "Hard case", 1200, 400, claim_code=" ").claim_code == ""
    with pytest.raises(RefusedError, match="claim code"):
        Accessory("CASE", "Hard case", 1200, 400, claim_code="V9999")


@pytest.mark.parametrize(("eye_size", "bridge"), [(18, 52), (20, 48.5)])
def test_sizes_that_look_swapped_are_told(eye_size: float, bridge: float) -> None:
    """Both would be possible the other way round, and what to type is said."""
    with pytest.raises(RefusedError) as refusal:
        frame(eye_size=eye_size, bridge=bridge)
    assert str(refusal.value).endswith(f"Type {bridge:g} as the eye size and {eye_size:g} as the bridge.")


@pytest.mark.parametrize(
    ("eye_size", "bridge", "named"), [(18, 5, "eye size"), (52, 40, "bridge"), (90, 18, "eye size")]
)
def test_sizes_that_no_order_makes_possible_are_refused_by_themselves(
    eye_size: float, bridge: float, named: str
) -> None:
    """Nothing is said of swapping; 31 and 31 may stand."""
    with pytest.raises(RefusedError, match=f"^{named} is"):
        frame(eye_size=eye_size, bridge=bridge)
    assert frame(eye_size=31, bridge=31).bridge == 31
