"""What the shop sells: frames, lenses, extras on lenses, accessories, each under the owner's short code.

Lens and extra prices are for a pair, since that is how they are quoted; charges split them per lens, and one lens alone
costs half. Who quotes by the lens types so.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.claims.code_table import find_code
from shopledger.ledger.limits import PRICE, UNIT_COST, hold_amount
from shopledger.ledger.text import clean_text, read_code
from shopledger.money.amount import Cents, read_amount, write_amount
from shopledger.optics.materials import MaterialClass
from shopledger.optics.prescription import LensUse


class TaxCategory(Enum):
    """What a line is for the sales tax; the owner sets a rate per state and category."""

    PRESCRIPTION_EYEWEAR = "prescription eyewear"
    NON_PRESCRIPTION = "non-prescription"
    ACCESSORY = "accessory"
    SERVICE = "service"
    SHIPPING = "shipping"


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
    """A lens the shop can order: design and material, and what the maker says it needs."""

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
        if self.min_fitting_height is not None:
            _within("minimum fitting height", self.min_fitting_height, 8.0, 30.0)
        if self.corridor is not None:
            _within("corridor", self.corridor, 5.0, 22.0)
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


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything one catalogue file holds, in the file's order."""

    frames: tuple[tuple[Frame, int], ...] = ()
    """Each frame with the count on hand."""
    lenses: tuple[Lens, ...] = ()
    extras: tuple[Extra, ...] = ()
    accessories: tuple[tuple[Accessory, int], ...] = field(default=())
    """Each accessory with the count on hand."""
