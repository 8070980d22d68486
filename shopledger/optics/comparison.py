"""One prescription, shape and PD in every material side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopledger.optics.base_curve import usual_base_curve
from shopledger.optics.body import Centre, LensBody, lens_body
from shopledger.optics.materials import MATERIALS, Material
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import NO_PRISM, PrismVector
from shopledger.optics.refusals import ImpossibleLensError
from shopledger.optics.trace import Trace

USUAL_MIN_EDGE = 1.0
"""The thinnest edge that is usually made; common practice, a setting. [mm]"""


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """What a lens would be in one material; where it cannot be, `body` is None and `refused` says why."""

    material: Material
    base_curve: float
    body: LensBody | None
    refused: str = ""


def compare_materials(
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    materials: Sequence[Material] = MATERIALS,
    base_curve: float | None = None,
    min_edge: float = USUAL_MIN_EDGE,
    prism: PrismVector = NO_PRISM,
) -> tuple[MaterialRow, ...]:
    """Work out the thinnest lens in each material, with the material's own least centre thickness.

    Parameters
    ----------
    power : SphereCylinder
        Back vertex power to make. [D]
    trace : Trace
        The shape. [mm]
    centre : (2,) tuple of float
        Optical centre from the boxed centre: inward, upward. [mm]
    materials : (n,) sequence of Material
        Which ones.
    base_curve : float, optional
        Front curve as marked; the usual one for the power where it is left out. [D]
    min_edge : float
        Least edge thickness. [mm]
    prism : PrismVector
        Prism to work into the lens at its reference point. [prism dioptres]

    Returns
    -------
    (n,) tuple of MaterialRow
        One row for each material, in the order given.

    Raises
    ------
    OutOfRangeError
        If a value is out of range.

    References
    ----------
    [eop_601]_ edge thickness; [vogel]_ for the front curve
    """
    curve = usual_base_curve(power) if base_curve is None else base_curve
    return tuple(_row(each, power, trace, centre, curve, min_edge, prism) for each in materials)


def _row(
    material: Material,
    power: SphereCylinder,
    trace: Trace,
    centre: Centre,
    base_curve: float,
    min_edge: float,
    prism: PrismVector,
) -> MaterialRow:
    """Work out one material, or say why it cannot be."""
    try:
        least = (base_curve, material.min_centre, min_edge)
        body = lens_body(power, trace, centre, material.index, *least, material.density, prism=prism)
    except ImpossibleLensError as refused:
        return MaterialRow(material, base_curve, None, str(refused))
    return MaterialRow(material, base_curve, body)
