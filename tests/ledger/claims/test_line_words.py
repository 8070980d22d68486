"""What each charge is called in words: a stranger knows frame, lens and side; nothing else is called prescription."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.ledger.catalogue import Accessory, Design, Extra, ExtraKind, Lens
from shopledger.ledger.claims.line_words import charge_words, is_eyewear
from shopledger.ledger.orders import DemoLenses, OrderLine
from shopledger.ledger.pricing import AccessoryGoods, FrameGoods, PairGoods, Sold, Terms, price_order
from shopledger.ledger.settings import Settings
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from tests.ledger.papers.bought import DAY
from tests.shelf import CASE, CLEAR, GRADUAL, LINED, SINGLE, THIN, WREN

MADE = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), read_eye("-2.25 -1.00 x 085 add 2.00"))
BALANCED = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("balance"))
TERMS = Terms(DAY, "OH", (), (), Settings(), 0)


def sold(
    lens: Lens, *extras: Extra, made: Prescription | None = MADE, settings: Settings = TERMS.settings
) -> tuple[OrderLine, ...]:
    """Give the lines of a pair with these lenses."""
    use = LensUse.MULTIFOCAL if lens.multifocal else LensUse.DISTANCE
    goods = PairGoods(1, 1, WREN, (Sold(lens),), tuple(Sold(extra) for extra in extras), use, made)
    return price_order([goods], [], replace(TERMS, settings=settings))


def words_of(lines: tuple[OrderLine, ...], design: Design | None = None) -> list[str]:
    """Give what every charge is called, in the order of the lines."""
    return [charge_words(line, charge, design) for line in lines for charge in line.charges]


@pytest.mark.parametrize(
    ("lens", "what"),
    [
        (SINGLE, "Single vision prescription lens, right – Clear single vision"),
        (LINED, "Bifocal prescription lens, right – Straight-top bifocal"),
        (replace(LINED, design=Design.TRIFOCAL), "Trifocal prescription lens, right – Straight-top bifocal"),
        (
            replace(LINED, design=Design.OCCUPATIONAL),
            "Occupational prescription lens, right – Straight-top bifocal",
        ),
    ],
)
def test_a_lens_says_how_it_is_built_and_before_which_eye(lens: Lens, what: str) -> None:
    """The design in the catalogue's own word, prescription, the side, and then the shop's own name."""
    said = words_of(sold(lens), lens.design)
    assert said[0] == "Prescription frame – Harrow Row Wren, moss, 52-18-140"
    assert said[1:] == [what, what.replace("right", "left")]


def test_both_parts_of_a_progressive_say_that_they_are_one_lens() -> None:
    """The base under a bifocal's code and what the progressive costs above it are not taken for two lenses."""
    assert words_of(sold(GRADUAL), GRADUAL.design)[1:3] == [
        "Progressive prescription lens, right – Even progressive, base lens",
        "Progressive prescription lens, right – progressive design, added to the base",
    ]


def test_a_material_with_a_price_of_its_own_is_added_to_the_base() -> None:
    """Like the progressive design."""
    assert words_of(sold(THIN), THIN.design)[1:3] == [
        "Single vision prescription lens, right – Thin single vision, base lens",
        "Single vision prescription lens, right – material: high index 1.67, added to the base",
    ]


def test_without_a_prescription_nothing_is_called_prescription() -> None:
    """Neither frame nor lens of such a pair; the side stands as RT and LT, since no code is there to carry it."""
    lines = sold(SINGLE, CLEAR, made=None)
    assert words_of(lines, SINGLE.design) == [
        "Frame – Harrow Row Wren, moss, 52-18-140",
        "Single vision lens, right – Clear single vision (RT)",
        "Single vision lens, left – Clear single vision (LT)",
        "Anti-reflective coating, right lens (RT)",
        "Anti-reflective coating, left lens (LT)",
    ]
    assert not any(is_eyewear(line) for line in lines)


def test_a_frame_sold_alone_is_not_called_prescription() -> None:
    """It says that it is without lenses."""
    lines = price_order([], [], TERMS, [FrameGoods(WREN, DemoLenses.REMOVED, 1)])
    assert words_of(lines) == ["Frame without lenses – Harrow Row Wren, moss, 52-18-140"]
    assert not is_eyewear(lines[0])


def test_a_balance_lens_is_called_so() -> None:
    """It carries no power that was prescribed for its eye."""
    assert words_of(sold(SINGLE, made=BALANCED), SINGLE.design)[2] == "Balance lens, left – Clear single vision"


def test_a_lens_whose_design_is_not_known_is_still_a_prescription_lens() -> None:
    """It is never left to its name alone."""
    assert words_of(sold(SINGLE))[1] == "Prescription lens, right – Clear single vision"


@pytest.mark.parametrize(
    ("kind", "name", "words"),
    [
        (ExtraKind.ANTI_REFLECTIVE, "Anti-reflective coating", "Anti-reflective coating, right lens"),
        (ExtraKind.ANTI_REFLECTIVE, "Glimmer plus", "Anti-reflective coating, right lens – Glimmer plus"),
        (ExtraKind.PHOTOCHROMIC, "Light-sensitive", "Photochromic tint, right lens – Light-sensitive"),
        (ExtraKind.TINT, "Even brown", "Tint, right lens – Even brown"),
        (ExtraKind.OVERSIZE, "Large blank", "Oversize lens, right – Large blank"),
        (ExtraKind.OTHER, "Blue filter", "Blue filter, right lens (RT)"),
    ],
)
def test_an_option_says_what_its_code_means_and_on_which_lens(kind: ExtraKind, name: str, words: str) -> None:
    """Once, where the shop calls it the same; one without a code has its own name and the side as RT."""
    line = sold(SINGLE, replace(CLEAR, kind=kind, name=name))[2]
    assert charge_words(line, line.charges[0], None) == words


@pytest.mark.parametrize(
    ("code", "words"), [("", "Hard case (quantity 2)"), ("V2756", "Spectacle case – Hard case (quantity 2)")]
)
def test_goods_beside_the_glasses_have_their_name_and_quantity(code: str, words: str) -> None:
    """With what their claim code means, where the owner gave them one that means something."""
    case: Accessory = replace(CASE, claim_code=code)
    lines = price_order([], [AccessoryGoods(case, 2, 1)], TERMS)
    assert words_of(lines) == [words]
    assert not is_eyewear(lines[0])


def test_a_code_that_may_mean_anything_says_nothing() -> None:
    """V2799 is for what no other code names, so the shop's own name stands alone."""
    lines = price_order([], [AccessoryGoods(replace(CASE, claim_code="V2799"), 1, 1)], TERMS)
    assert words_of(lines) == ["Hard case"]


def test_a_dear_frame_in_two_parts_is_one_frame() -> None:
    """Both parts are a prescription frame, and say which charge they are."""
    said = words_of(sold(SINGLE, settings=Settings(standard_frame=10000)), SINGLE.design)
    assert said[:2] == [
        "Prescription frame – Harrow Row Wren, moss, 52-18-140, standard charge",
        "Prescription frame – Harrow Row Wren, moss, 52-18-140, deluxe frame",
    ]


def test_only_one_side_is_named_where_one_lens_is_sold() -> None:
    """A left lens alone says left."""
    goods = PairGoods(1, 1, WREN, (Sold(SINGLE, (Side.LEFT,)),), (), LensUse.DISTANCE, MADE, frame_sold=False)
    lines = price_order([goods], [], TERMS)
    assert words_of(lines, SINGLE.design) == ["Single vision prescription lens, left – Clear single vision"]
