"""What the shop sells: frames, lenses, extras on lenses, accessories, each under the owner's short code.

Lens and extra prices are for a pair, since that is how they are quoted; charges split them per lens, and one lens alone
costs half. Who quotes by the lens types so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any, Final

from shopledger.errors import RefusedError
from shopledger.ledger.claims.code_table import find_code
from shopledger.ledger.limits import PRICE, UNIT_COST, hold_amount
from shopledger.ledger.text import clean_text, read_code
from shopledger.money.amount import Cents, read_amount, write_amount
from shopledger.optics.materials import MaterialClass, material
from shopledger.optics.prescription import LensUse
from shopledger.optics.segments import BlankMarks


class TaxCategory(Enum):
    """What a line is for the sales tax; the owner sets a rate per state, place and category."""

    PRESCRIPTION_EYEWEAR = "prescription eyewear"
    FRAME = "frame"
    LENSES = "lenses"
    COATING = "coating"
    """Upgrades and coatings. These three are parts of prescription eyewear, for states that tax a part otherwise."""
    NON_PRESCRIPTION = "non-prescription"
    ACCESSORY = "accessory"
    SERVICE = "service"
    SHIPPING = "shipping"
    USE = "use"
    """What the shop owes itself on goods that its owner takes home or gives away; no order has it."""

    @property
    def whole(self) -> TaxCategory:
        """What it is a part of; itself where it is none."""
        return TaxCategory.PRESCRIPTION_EYEWEAR if self in _PARTS_OF_EYEWEAR else self

    @property
    def of_goods(self) -> bool:
        """Whether goods beside the glasses may be of it."""
        return self.whole is self and self is not TaxCategory.USE


_PARTS_OF_EYEWEAR: Final = (TaxCategory.FRAME, TaxCategory.LENSES, TaxCategory.COATING)


class Reimbursement(Enum):
    """What a plan or health account is likely to make of a line; never a promise."""

    ELIGIBLE = "eligible"
    NOT_ELIGIBLE = "not eligible"
    PLAN_DECIDES = "plan decides"


class Design(Enum):
    """How a lens is built."""

    SINGLE_VISION = "single vision"
    BIFOCAL = "bifocal"
    TRIFOCAL = "trifocal"
    PROGRESSIVE = "progressive"
    OCCUPATIONAL = "occupational"


class SegmentShape(Enum):
    """What the reading segment of a lined multifocal looks like."""

    FLAT_TOP = "flat top"
    CURVED_TOP = "curved top"
    ROUND = "round"
    FULL_WIDTH = "full width"


class ExtraKind(Enum):
    """What an upgrade or coating does to the lens, as far as claim codes tell them apart."""

    ANTI_REFLECTIVE = "anti-reflective"
    UV = "uv"
    SCRATCH = "scratch"
    TINT = "tint"
    PHOTOCHROMIC = "photochromic"
    MIRROR = "mirror"
    POLARIZED = "polarized"
    OVERSIZE = "oversize"
    PRISM = "prism"
    SLAB_OFF = "slab-off"
    OTHER = "other"


SMALLEST_EYE: Final = 30.0
LARGEST_EYE: Final = 75.0
SMALLEST_BRIDGE: Final = 8.0
LARGEST_BRIDGE: Final = 32.0
SMALLEST_TEMPLE: Final = 90.0
LARGEST_TEMPLE: Final = 170.0


EACH: Final = "each"
"""Stands behind a price that is for one lens."""


def read_pair_price(text: str, what: str = "price") -> Cents:
    """Read the price of a pair, such as `185.99`, or of one lens, such as `93.00 each`; gives that of the pair."""
    amount, _, each = text.strip().partition(" ")
    if each and each.strip().casefold() != EACH:
        raise RefusedError(what, f"'{text}'", f"it is an amount, for one lens with '{EACH}' behind it", "Type it so.")
    return read_amount(amount, what) * (2 if each else 1)


def _within(name: str, value: float, low: float, high: float, unit: str = "mm") -> None:
    if not low <= value <= high:
        raise RefusedError(
            name, f"{value:g} {unit}", f"it must lie from {low:g} to {high:g} {unit}", "Measure or type it again."
        )


def _not_swapped(eye_size: float, bridge: float) -> None:
    """Refuse an eye size and a bridge that would both be possible the other way round, and are not as they stand."""
    stands = SMALLEST_EYE <= eye_size <= LARGEST_EYE and SMALLEST_BRIDGE <= bridge <= LARGEST_BRIDGE
    turned = SMALLEST_EYE <= bridge <= LARGEST_EYE and SMALLEST_BRIDGE <= eye_size <= LARGEST_BRIDGE
    if turned and not stands:
        raise RefusedError(
            "eye size and bridge",
            f"{eye_size:g} and {bridge:g} mm",
            "the eye size is the larger one, marked before the bridge, so they look swapped",
            f"Type {bridge:g} as the eye size and {eye_size:g} as the bridge.",
        )


def _not_negative(name: str, amount: Cents) -> None:
    if amount < 0:
        raise RefusedError(name, write_amount(amount), "it may not be negative", "Type 0 or more.")
    hold_amount(name, amount, UNIT_COST if name == "cost" else PRICE)


@dataclass(frozen=True, slots=True)
class Frame:
    """A frame model in one colour and size, or a frame that a customer already owns.

    Sizes are those stamped on the temple: eye size, bridge, temple length. [mm]
    """

    code: str
    maker: str
    model: str
    colour: str
    eye_size: float
    bridge: float
    temple: float
    price: Cents
    cost: Cents
    owned_by: int | None = None
    """Number of the customer whose own frame it is; None for the shop's stock."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold text, sizes and prices to their rules."""
        object.__setattr__(self, "code", read_code("frame", self.code))
        for name in ("maker", "model", "colour"):
            object.__setattr__(self, name, clean_text(name, getattr(self, name), 60))
        _not_swapped(self.eye_size, self.bridge)
        _within("eye size", self.eye_size, SMALLEST_EYE, LARGEST_EYE)
        _within("bridge", self.bridge, SMALLEST_BRIDGE, LARGEST_BRIDGE)
        _within("temple", self.temple, SMALLEST_TEMPLE, LARGEST_TEMPLE)
        _not_negative("price", self.price)
        _not_negative("cost", self.cost)

    @property
    def description(self) -> str:
        """The frame in words: maker, model, colour, size."""
        return f"{self.maker} {self.model}, {self.colour}, {self.eye_size:g}-{self.bridge:g}-{self.temple:g}"


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens the shop can order: design and material, and what the maker says it needs.

    The fitting point of a lined multifocal is the middle of its segment's top, that of a progressive its fitting cross;
    the middle of a blank is where a progressive's prism is measured. What the maker does not say is None.
    """

    code: str
    name: str
    design: Design
    material: str
    material_class: MaterialClass
    index: float
    abbe: float
    density: float
    price: Cents
    cost: Cents
    corridor: float | None = None
    min_fitting_height: float | None = None
    blank_diameters: tuple[float, ...] = ()
    min_centre: float = 2.0
    min_edge: float = 1.0
    design_part: Cents = 0
    """How much of the price is for the progressive design, on top of a standard multifocal."""
    material_part: Cents = 0
    """How much of the price is for the material, on top of standard hard resin."""
    segment_shape: SegmentShape | None = None
    segment_width: float | None = None
    intermediate_depth: float | None = None
    """How high the strip between distance and reading is, of a trifocal. [mm]"""
    fitting_in: float | None = None
    """How far inward of the blank's middle the fitting point stands. [mm]"""
    fitting_up: float | None = None
    """How far above the blank's middle the fitting point stands; a segment's top mostly stands below. [mm]"""
    distance_up: float | None = None
    """How far above a segment's top the maker puts the optical centre for distance. [mm]"""
    max_fitting_height: float | None = None
    thinning_prism: bool | None = None
    """Whether the maker grinds equal vertical prism into both lenses, so that they become thinner."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold text, numbers and parts to their rules."""
        object.__setattr__(self, "code", read_code("lens", self.code))
        object.__setattr__(self, "name", clean_text("lens name", self.name))
        object.__setattr__(self, "material", clean_text("material", self.material, 60))
        object.__setattr__(self, "blank_diameters", tuple(sorted(self.blank_diameters)))
        _within("index", self.index, 1.4, 2.0, "")
        _within("Abbe number", self.abbe, 20.0, 70.0, "")
        _within("density", self.density, 0.9, 4.0, "g/cm³")
        _within("smallest centre thickness", self.min_centre, 0.5, 6.0)
        _within("smallest edge thickness", self.min_edge, 0.5, 6.0)
        for diameter in self.blank_diameters:
            _within("blank diameter", diameter, 40.0, 90.0)
        _hold_lengths(self)
        _hold_geometry(self)
        for name in ("price", "cost", "design_part", "material_part"):
            _not_negative(name.replace("_", " "), getattr(self, name))
        if self.design_part + self.material_part > self.price:
            raise RefusedError(
                "design part and material part",
                write_amount(self.design_part + self.material_part),
                f"together they may not exceed the price {write_amount(self.price)}",
                "Lower a part or raise the price.",
            )

    @property
    def each(self) -> Cents:
        """The price of one lens alone: half of the pair's, an odd cent in full."""
        return (self.price + 1) // 2

    @property
    def multifocal(self) -> bool:
        """Whether the lens carries the add."""
        return self.design is not Design.SINGLE_VISION

    @property
    def lined(self) -> bool:
        """Whether the reading part is a segment with an edge, which is laid out by the near PD."""
        lined = {Design.BIFOCAL, Design.TRIFOCAL}
        return self.design in lined or (self.design is Design.OCCUPATIONAL and self.segment_shape is not None)

    @property
    def marks(self) -> BlankMarks | None:
        """Where its fitting point stands on a blank; None for single vision, which has none."""
        if not self.multifocal:
            return None
        return BlankMarks(self.lined, self.fitting_in, self.fitting_up, self.distance_up)


_LENGTHS: Final = {
    "corridor": ("corridor", 5.0, 22.0),
    "min_fitting_height": ("minimum fitting height", 8.0, 30.0),
    "max_fitting_height": ("maximum fitting height", 8.0, 45.0),
    "segment_width": ("segment width", 10.0, 50.0),
    "intermediate_depth": ("intermediate depth", 3.0, 15.0),
    "fitting_in": ("fitting point inward", -5.0, 15.0),
    "fitting_up": ("fitting point upward", -25.0, 15.0),
    "distance_up": ("distance centre above the segment", 0.0, 25.0),
}
"""How each length of a lens is called, and from where to where it goes (common practice, no source). [mm]"""

_OF_LINED: Final = ("segment_shape", "segment_width", "intermediate_depth", "distance_up")
_OF_MULTIFOCALS: Final = ("fitting_in", "fitting_up", "max_fitting_height", "thinning_prism")


def _hold_lengths(lens: Lens) -> None:
    for name, (said, low, high) in _LENGTHS.items():
        length = getattr(lens, name)
        if length is not None:
            _within(said, length, low, high)
    least, most = lens.min_fitting_height, lens.max_fitting_height
    if least is not None and most is not None and least > most:
        raise RefusedError(
            "maximum fitting height", f"{most:g} mm", f"the minimum is {least:g} mm", "Type the larger one as maximum."
        )


def _hold_geometry(lens: Lens) -> None:
    """Refuse what a design does not have: a segment without a line, a width across the whole lens."""
    unfit: tuple[str, ...] = () if lens.lined else _OF_LINED
    if not lens.multifocal:
        unfit = (*_OF_LINED, *_OF_MULTIFOCALS)
    elif lens.lined:
        unfit = ("thinning_prism",)
    for name in unfit:
        given = getattr(lens, name)
        if given is not None:
            shown = f"{given:g} mm" if isinstance(given, float | int) and not isinstance(given, bool) else "given"
            raise RefusedError(name.replace("_", " "), shown, f"a {lens.design.value} lens has none", "Leave it out.")
    if lens.segment_shape is SegmentShape.FULL_WIDTH and lens.segment_width is not None:
        raise RefusedError(
            "segment width",
            f"{lens.segment_width:g} mm",
            "a full-width segment is as wide as the lens",
            "Leave it out.",
        )
    if lens.intermediate_depth is not None and lens.design is Design.BIFOCAL:
        raise RefusedError(
            "intermediate depth", f"{lens.intermediate_depth:g} mm", "a bifocal lens has none", "Leave it out."
        )


NUMBERS: Final = ("material_class", "index", "abbe", "density")
"""What a known material brings with its name."""


def numbers_of(typed: Mapping[str, Any]) -> Mapping[str, Any]:
    """Give the numbers of the known material that a lens is said to be of, unless all of them are said too."""
    if all(typed.get(name) is not None for name in NUMBERS):
        return {}
    found = material(typed["material"])
    return {name: getattr(found, name) for name in (*NUMBERS, "min_centre")}


def use_of_lens(lens: Lens, use: LensUse) -> LensUse:
    """Give what one lens of a pair is made for; a single vision lens beside a multifocal one is made for distance."""
    if lens.multifocal:
        return LensUse.MULTIFOCAL
    return LensUse.DISTANCE if use is LensUse.MULTIFOCAL else use


@dataclass(frozen=True, slots=True)
class Extra:
    """An upgrade or coating on a pair of lenses."""

    code: str
    name: str
    kind: ExtraKind
    price: Cents
    cost: Cents = 0
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold text and prices to their rules."""
        object.__setattr__(self, "code", read_code("extra", self.code))
        object.__setattr__(self, "name", clean_text("extra name", self.name))
        _not_negative("price", self.price)
        _not_negative("cost", self.cost)

    @property
    def each(self) -> Cents:
        """The price on one lens alone: half of the pair's, an odd cent in full; slab-off is on one always."""
        return self.price if self.kind is ExtraKind.SLAB_OFF else (self.price + 1) // 2


@dataclass(frozen=True, slots=True)
class Accessory:
    """Goods beside the glasses: a case, a cord, a cleaning kit, plano sunglasses."""

    code: str
    name: str
    price: Cents
    cost: Cents
    tax_category: TaxCategory = TaxCategory.ACCESSORY
    reimbursement: Reimbursement = Reimbursement.PLAN_DECIDES
    claim_code: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold text and prices to their rules."""
        object.__setattr__(self, "code", read_code("accessory", self.code))
        object.__setattr__(self, "name", clean_text("accessory name", self.name))
        object.__setattr__(self, "claim_code", find_code(self.claim_code).code if self.claim_code.strip() else "")
        _not_negative("price", self.price)
        _not_negative("cost", self.cost)
        if not self.tax_category.of_goods:
            allowed = ", ".join(each.value for each in TaxCategory if each.of_goods)
            raise RefusedError(
                "tax category", self.tax_category.value, f"of goods beside the glasses it is {allowed}", "Choose one."
            )


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything one catalogue file holds, in the file's order."""

    frames: tuple[tuple[Frame, int], ...] = ()
    """Each frame with the count on hand."""
    lenses: tuple[Lens, ...] = ()
    extras: tuple[Extra, ...] = ()
    accessories: tuple[tuple[Accessory, int], ...] = field(default=())
    """Each accessory with the count on hand."""
