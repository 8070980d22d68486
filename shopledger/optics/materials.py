"""Lens materials as rows: each number with where it comes from, so that an owner knows which ones to check."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal

from shopledger.errors import listed, nearest
from shopledger.optics.refusals import NotationError, within


class MaterialClass(Enum):
    """How the bench treats a material."""

    PLASTIC = "plastic"
    POLYCARBONATE = "polycarbonate"
    URETHANE = "urethane"
    GLASS = "glass"


class Mounting(Enum):
    """How a lens is held, which decides how thin it may be."""

    RIM = "rim"
    RIMLESS = "rimless"
    SAFETY = "safety"


@dataclass(frozen=True, slots=True)
class Material:
    """One lens material; index for the d or e line, density in g/cm3, least usual centre thickness in mm.

    Each `…_source` is a key of the source list; `common_practice` and `memory` say that nobody vouches for the number.
    """

    name: str
    material_class: MaterialClass
    index: float
    wavelength: Literal["d", "e"]
    abbe: float
    density: float
    cutting: Literal["dry", "wet"]
    min_centre: float
    index_source: str
    abbe_source: str
    density_source: str
    cutting_source: str
    min_centre_source: str

    def __post_init__(self) -> None:
        """Refuse numbers that no lens material has."""
        within("index", self.index, 1.4, 2.0, "")
        within("Abbe number", self.abbe, 15, 100, "")
        within("density", self.density, 0.8, 5, "g/cm3")
        within("minimum centre thickness", self.min_centre, 0.5, 5, "mm")


_P, _Y, _U, _G = MaterialClass.PLASTIC, MaterialClass.POLYCARBONATE, MaterialClass.URETHANE, MaterialClass.GLASS
_C = "common_practice"
_TRADE = ("materials_page", "materials_page", "materials_page")

MATERIALS: tuple[Material, ...] = (
    Material("hard resin 1.50", _P, 1.498, "d", 58.0, 1.32, "wet", 2.0, *_TRADE, _C, _C),
    Material("mid index 1.56", _P, 1.56, "d", 37.0, 1.23, "wet", 1.8, *_TRADE, _C, _C),
    Material("urethane 1.53", _U, 1.532, "d", 44.0, 1.11, "wet", 1.3, *_TRADE, _C, _C),
    Material("polycarbonate 1.59", _Y, 1.586, "d", 30.0, 1.20, "dry", 1.3, *_TRADE, "edging_articles", _C),
    Material("high index 1.60", _P, 1.60, "e", 41.0, 1.30, "wet", 1.4, *_TRADE, _C, _C),
    Material("high index 1.67", _P, 1.67, "e", 32.0, 1.37, "wet", 1.3, *_TRADE, _C, _C),
    Material("high index 1.74", _P, 1.74, "e", 33.0, 1.47, "wet", 1.3, *_TRADE, _C, _C),
    Material("crown glass 1.52", _G, 1.523, "d", 58.8, 2.54, "wet", 2.1, "b270_data", "b270_data", "memory", _C, _C),
)
"""The rows the shop starts with; the cutting mode and the least thickness are settings of the shop."""


def material(name: str) -> Material:
    """Find a material by its name, or by a part that fits one only.

    Parameters
    ----------
    name : str
        Such as `hard resin 1.50`, `1.67` or `poly`.

    Returns
    -------
    Material
        The row.

    Raises
    ------
    NotationError
        If no row or more than one fits; it names the rows that come near.

    References
    ----------
    [definition]_
    """
    wanted = name.strip().casefold()
    fitting = [row for row in MATERIALS if wanted and wanted in row.name]
    if len(fitting) == 1:
        return fitting[0]
    every = [row.name for row in MATERIALS]
    if fitting:
        raise NotationError(name, "more than one material fits", f"Choose {listed([row.name for row in fitting])}.")
    raise NotationError(
        name, "no material has this name", f"Choose {listed((wanted and nearest(name, every)) or every)}."
    )


def least_thickness(row: Material, mounting: Mounting) -> tuple[float, float]:
    """Give the least centre and edge thickness of a material for how it is held; common practice, settings of the shop.

    Parameters
    ----------
    row : Material
        The material.
    mounting : Mounting
        In a rim, drilled without a rim, or for safety.

    Returns
    -------
    (2,) tuple of float
        Centre, then edge. [mm]

    Notes
    -----
    In a rim 1 mm of edge is usual; drilled lenses keep 1.8 mm at the edge and no less than 1.8 in the middle;
    low-impact safety lenses keep 3 mm everywhere, which is the one number that was read. No rule sets a least
    thickness for dress wear.

    References
    ----------
    [common_practice]_; [clinic_page]_ for safety
    """
    least = {Mounting.RIM: (row.min_centre, 1.0), Mounting.RIMLESS: (max(row.min_centre, 1.8), 1.8)}
    return least.get(mounting, (3.0, 3.0))


def index_class(index: float) -> str:
    """Give the class of a refractive index in the terms of the British standard.

    Parameters
    ----------
    index : float
        Refractive index. [-]

    Returns
    -------
    str
        `normal`, `mid`, `high` or `very high`.

    Raises
    ------
    OutOfRangeError
        If the index is below 1.48 or absurd.

    References
    ----------
    [bs_7394]_ classes, second-hand
    """
    glass = within("index", index, 1.48, 2.2, "")
    bounds = ((1.54, "normal"), (1.64, "mid"), (1.74, "high"))
    return next((name for upper, name in bounds if glass < upper), "very high")
