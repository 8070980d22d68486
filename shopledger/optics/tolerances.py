"""Tolerances of finished lenses as rows: what is allowed, for which design and strength, and who says so."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from shopledger.errors import listed
from shopledger.optics.refusals import IncompleteError, within


class LensType(Enum):
    """The kind of lens, as far as tolerances tell lenses apart."""

    SINGLE_VISION = "single vision"
    MULTIFOCAL = "multifocal"
    PROGRESSIVE = "progressive"


_DOUBT = {"memory": " (from memory)", "practice": " (common practice, no source)"}


@dataclass(frozen=True, slots=True)
class Tolerance:
    """One row: up to a strength so much is allowed, as a figure in its unit or as a share of the strength.

    `sure` is read where a summary of the standard was read, memory where nobody vouches for it, and practice for a row
    that no summary has.
    """

    quantity: str
    designs: tuple[LensType, ...]
    up_to: float
    allowed: float
    unit: str
    source: str
    sure: str = "read"
    share: bool = False

    def limit(self, strength: float) -> float:
        """Give what is allowed at a strength, in the row's unit."""
        return self.allowed * abs(strength) if self.share else self.allowed

    @property
    def rule(self) -> str:
        """Say the row in words."""
        upper = "" if math.isinf(self.up_to) else f" up to {self.up_to:g} {'D' if self.unit != 'mm' else ''}".rstrip()
        amount = f"{self.allowed:.0%} of it" if self.share else f"{self.allowed:g} {self.unit}"
        designs = "any design" if len(self.designs) == len(LensType) else listed([each.value for each in self.designs])
        doubt = _DOUBT.get(self.sure, "")
        return f"{self.quantity}{upper}, {designs}: within {amount}{doubt}"


@dataclass(frozen=True, slots=True)
class ToleranceTable:
    """A standard's rows; one that nobody has typed from the standard itself is not enabled and has none."""

    name: str
    edition: str
    enabled: bool
    rows: tuple[Tolerance, ...]
    remark: str
    source: str


_PLAIN = (LensType.SINGLE_VISION, LensType.MULTIFOCAL)
_PROGRESSIVE = (LensType.PROGRESSIVE,)
_ANY = tuple(LensType)
_NOW, _OLD = "ansi_z80_1", "ansi_z80_1_1999"
_ALL = math.inf
# Printed as 0.12, which is how an eighth is written.
_EIGHTH = 0.125

ANSI_Z80_1 = ToleranceTable(
    "ANSI Z80.1",
    "2015",
    enabled=True,
    rows=(
        Tolerance("sphere", _PLAIN, 6.5, 0.13, "D", _NOW),
        Tolerance("sphere", _PLAIN, _ALL, 0.02, "D", _NOW, share=True),
        Tolerance("sphere", _PROGRESSIVE, 8.0, 0.16, "D", _NOW),
        Tolerance("sphere", _PROGRESSIVE, _ALL, 0.02, "D", _NOW, share=True),
        Tolerance("cylinder", _PLAIN, 2.0, 0.13, "D", _NOW),
        Tolerance("cylinder", _PLAIN, 4.5, 0.15, "D", _NOW),
        Tolerance("cylinder", _PLAIN, _ALL, 0.04, "D", _NOW, share=True),
        Tolerance("cylinder", _PROGRESSIVE, 2.0, 0.16, "D", _NOW),
        Tolerance("cylinder", _PROGRESSIVE, 3.5, 0.18, "D", _NOW),
        Tolerance("cylinder", _PROGRESSIVE, _ALL, 0.05, "D", _NOW, share=True),
        Tolerance("axis", _ANY, 0.25, 14, "degrees", _NOW),
        Tolerance("axis", _ANY, 0.5, 7, "degrees", _NOW),
        Tolerance("axis", _ANY, 0.75, 5, "degrees", _NOW),
        Tolerance("axis", _ANY, 1.5, 3, "degrees", _NOW),
        Tolerance("axis", _ANY, _ALL, 2, "degrees", _NOW),
        Tolerance("add", _ANY, 4.0, _EIGHTH, "D", _NOW),
        Tolerance("add", _ANY, _ALL, 0.18, "D", _NOW),
        Tolerance("prism at reference point", _ANY, _ALL, 0.33, "prism dioptres", _NOW),
        Tolerance("reference point", _ANY, _ALL, 1.0, "mm", _NOW),
        Tolerance("vertical imbalance", _PLAIN, _ALL, 0.33, "prism dioptres", _NOW),
        Tolerance("vertical imbalance", _PROGRESSIVE, _ALL, 0.33, "prism dioptres", _OLD),
        Tolerance("centre height", _PLAIN, _ALL, 1.0, "mm", _NOW),
        Tolerance("centre height", _PROGRESSIVE, _ALL, 1.0, "mm", _OLD),
        Tolerance("horizontal imbalance", _PLAIN, _ALL, 0.67, "prism dioptres", _NOW),
        Tolerance("horizontal imbalance", _PROGRESSIVE, _ALL, 0.67, "prism dioptres", _OLD),
        Tolerance("PD", _PLAIN, _ALL, 2.5, "mm", _NOW),
        Tolerance("monocular PD", _PROGRESSIVE, _ALL, 1.0, "mm", _OLD),
        Tolerance("height", (LensType.MULTIFOCAL,), _ALL, 1.0, "mm", _NOW),
        Tolerance("height", _PROGRESSIVE, _ALL, 1.0, "mm", _OLD),
        Tolerance("height difference", (LensType.MULTIFOCAL,), _ALL, 1.0, "mm", _NOW),
        Tolerance("height difference", _PROGRESSIVE, _ALL, 1.0, "mm", _OLD, "memory"),
        Tolerance("segment place", (LensType.MULTIFOCAL,), _ALL, 2.5, "mm", _NOW),
        # Half of what both together may be off: common practice, where each eye has its own PD.
        Tolerance("segment place of one eye", (LensType.MULTIFOCAL,), _ALL, 1.25, "mm", "common_practice", "practice"),
        Tolerance("tilt", (LensType.MULTIFOCAL,), _ALL, 2.0, "degrees", _NOW),
        Tolerance("tilt", _PROGRESSIVE, _ALL, 2.0, "degrees", _NOW, "memory"),
        Tolerance("segment size", (LensType.MULTIFOCAL,), _ALL, 0.5, "mm", _OLD),
        Tolerance("segment size difference", (LensType.MULTIFOCAL,), _ALL, 0.7, "mm", _OLD),
        Tolerance("base curve", _ANY, _ALL, 0.75, "D", _OLD),
        Tolerance("centre thickness", _ANY, _ALL, 0.3, "mm", _OLD),
        Tolerance("warpage", _ANY, _ALL, 1.0, "D", _NOW, "memory"),
    ),
    remark=(
        "A voluntary guideline. Typed from summaries of the editions of 2015, and of 1999 where those end; the edition "
        "of 2020 was not seen. Powers are put in minus-cylinder form first and its sphere picks the row. A pair passes "
        "on prism or on millimetres, whichever allows it; millimetres excuse no more prism than they make."
    ),
    source="ansi_z80_1",
)

ISO_21987 = ToleranceTable(
    "ISO 21987",
    "2017",
    enabled=False,
    rows=(),
    remark="No table of this standard was read. Type it from a bought copy.",
    source="iso_21987",
)

TABLES = (ANSI_Z80_1, ISO_21987)
"""Every table that is known, the usual one first."""


def tolerance(quantity: str, design: LensType, strength: float = 0.0, table: ToleranceTable = ANSI_Z80_1) -> Tolerance:
    """Find the row that holds for a quantity of a design at a strength.

    Parameters
    ----------
    quantity : str
        Such as `sphere`, `axis` or `centre thickness`.
    design : LensType
        The kind of lens.
    strength : float
        What picks the row: sphere for the sphere, cylinder for cylinder and axis, add for the add; either sign. [D]
    table : ToleranceTable
        The standard.

    Returns
    -------
    Tolerance
        The row.

    Raises
    ------
    IncompleteError
        If the table is not enabled, or has no such quantity for this design.
    OutOfRangeError
        If the strength is not finite.

    References
    ----------
    [ansi_z80_1]_ tables 1 to 6; [ansi_z80_1_1999]_ where those end
    """
    size = abs(within("strength", strength, -80, 80, "D"))
    if not table.enabled:
        raise IncompleteError("table", f"{table.name} {table.edition} is not enabled", table.remark)
    for row in table.rows:
        if row.quantity == quantity and design in row.designs and size <= row.up_to + 1e-9:
            return row
    known = sorted({row.quantity for row in table.rows if design in row.designs})
    reason = f"{table.name} has no row for {quantity} of {design.value}"
    raise IncompleteError("quantity", reason, f"Choose {listed(known)}.")
