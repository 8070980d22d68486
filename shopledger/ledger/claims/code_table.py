"""The HCPCS Level II codes for spectacles, with plain words of our own for each.

The codes and what they cover are public data of the Centers for Medicare & Medicaid Services (CMS). Codes for contact
lenses, low vision and ocular prostheses are left out: the shop sells none of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import Final

from shopledger.errors import RefusedError, listed, nearest

RELEASE: Final = "CMS HCPCS Level II, October 2025"
"""The release that the table was taken from; it is kept with each pick and named on each receipt."""

RELEASE_CAUTION: Final = (
    "The October 2026 release was not read. The spectacle codes were the same in every release compared, from 2018 to "
    "October 2025."
)
"""What the owner should know about the age of the table."""


class CodeGroup(Enum):
    """What a code is for."""

    FRAME = "frame"
    SINGLE_VISION = "single vision"
    BIFOCAL = "bifocal"
    TRIFOCAL = "trifocal"
    ASPHERICITY = "variable asphericity"
    OPTION = "lens option"


@dataclass(frozen=True, slots=True)
class SpectacleCode:
    """One code, in plain words; `per_lens` where the published text counts each lens by itself."""

    code: str
    group: CodeGroup
    per_lens: bool
    description: str


_SV, _BI, _TRI = CodeGroup.SINGLE_VISION, CodeGroup.BIFOCAL, CodeGroup.TRIFOCAL
_FRAME, _ASPHERIC, _OPTION = CodeGroup.FRAME, CodeGroup.ASPHERICITY, CodeGroup.OPTION

_ROWS: Final = (
    SpectacleCode("V2020", _FRAME, per_lens=False, description="frame"),
    SpectacleCode("V2025", _FRAME, per_lens=False, description="deluxe frame"),
    SpectacleCode("V2100", _SV, per_lens=True, description="single vision, sphere to 4.00"),
    SpectacleCode("V2101", _SV, per_lens=True, description="single vision, sphere 4.12 to 7.00"),
    SpectacleCode("V2102", _SV, per_lens=True, description="single vision, sphere 7.12 to 20.00"),
    SpectacleCode("V2103", _SV, per_lens=True, description="single vision, sphere to 4.00, cylinder .12 to 2.00"),
    SpectacleCode("V2104", _SV, per_lens=True, description="single vision, sphere to 4.00, cylinder 2.12 to 4.00"),
    SpectacleCode("V2105", _SV, per_lens=True, description="single vision, sphere to 4.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2106", _SV, per_lens=True, description="single vision, sphere to 4.00, cylinder above 6.00"),
    SpectacleCode("V2107", _SV, per_lens=True, description="single vision, sphere 4.25 to 7.00, cylinder .12 to 2.00"),
    SpectacleCode("V2108", _SV, per_lens=True, description="single vision, sphere 4.25 to 7.00, cylinder 2.12 to 4.00"),
    SpectacleCode("V2109", _SV, per_lens=True, description="single vision, sphere 4.25 to 7.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2110", _SV, per_lens=True, description="single vision, sphere 4.25 to 7.00, cylinder above 6.00"),
    SpectacleCode("V2111", _SV, per_lens=True, description="single vision, sphere 7.25 to 12.00, cylinder .25 to 2.25"),
    SpectacleCode(
        "V2112", _SV, per_lens=True, description="single vision, sphere 7.25 to 12.00, cylinder 2.25 to 4.00"
    ),
    SpectacleCode(
        "V2113", _SV, per_lens=True, description="single vision, sphere 7.25 to 12.00, cylinder 4.25 to 6.00"
    ),
    SpectacleCode("V2114", _SV, per_lens=True, description="single vision, sphere above 12.00 with a cylinder"),
    SpectacleCode("V2115", _SV, per_lens=True, description="single vision, lenticular (myodisc)"),
    SpectacleCode("V2118", _SV, per_lens=False, description="single vision, aniseikonic"),
    SpectacleCode("V2121", _SV, per_lens=True, description="single vision, lenticular"),
    SpectacleCode("V2199", _SV, per_lens=False, description="single vision, not classified elsewhere"),
    SpectacleCode("V2200", _BI, per_lens=True, description="bifocal, sphere to 4.00"),
    SpectacleCode("V2201", _BI, per_lens=True, description="bifocal, sphere 4.12 to 7.00"),
    SpectacleCode("V2202", _BI, per_lens=True, description="bifocal, sphere 7.12 to 20.00"),
    SpectacleCode("V2203", _BI, per_lens=True, description="bifocal, sphere to 4.00, cylinder .12 to 2.00"),
    SpectacleCode("V2204", _BI, per_lens=True, description="bifocal, sphere to 4.00, cylinder 2.12 to 4.00"),
    SpectacleCode("V2205", _BI, per_lens=True, description="bifocal, sphere to 4.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2206", _BI, per_lens=True, description="bifocal, sphere to 4.00, cylinder above 6.00"),
    SpectacleCode("V2207", _BI, per_lens=True, description="bifocal, sphere 4.25 to 7.00, cylinder .12 to 2.00"),
    SpectacleCode("V2208", _BI, per_lens=True, description="bifocal, sphere 4.25 to 7.00, cylinder 2.12 to 4.00"),
    SpectacleCode("V2209", _BI, per_lens=True, description="bifocal, sphere 4.25 to 7.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2210", _BI, per_lens=True, description="bifocal, sphere 4.25 to 7.00, cylinder above 6.00"),
    SpectacleCode("V2211", _BI, per_lens=True, description="bifocal, sphere 7.25 to 12.00, cylinder .25 to 2.25"),
    SpectacleCode("V2212", _BI, per_lens=True, description="bifocal, sphere 7.25 to 12.00, cylinder 2.25 to 4.00"),
    SpectacleCode("V2213", _BI, per_lens=True, description="bifocal, sphere 7.25 to 12.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2214", _BI, per_lens=True, description="bifocal, sphere above 12.00 with a cylinder"),
    SpectacleCode("V2215", _BI, per_lens=True, description="bifocal, lenticular (myodisc)"),
    SpectacleCode("V2218", _BI, per_lens=True, description="bifocal, aniseikonic"),
    SpectacleCode("V2219", _BI, per_lens=False, description="bifocal segment wider than 28 mm"),
    SpectacleCode("V2220", _BI, per_lens=False, description="bifocal add above 3.25"),
    SpectacleCode("V2221", _BI, per_lens=True, description="bifocal, lenticular"),
    SpectacleCode("V2299", _BI, per_lens=False, description="bifocal of a special kind, by report"),
    SpectacleCode("V2300", _TRI, per_lens=True, description="trifocal, sphere to 4.00"),
    SpectacleCode("V2301", _TRI, per_lens=True, description="trifocal, sphere 4.12 to 7.00"),
    SpectacleCode("V2302", _TRI, per_lens=True, description="trifocal, sphere 7.12 to 20.00"),
    SpectacleCode("V2303", _TRI, per_lens=True, description="trifocal, sphere to 4.00, cylinder .12 to 2.00"),
    SpectacleCode("V2304", _TRI, per_lens=True, description="trifocal, sphere to 4.00, cylinder 2.25 to 4.00"),
    SpectacleCode("V2305", _TRI, per_lens=True, description="trifocal, sphere to 4.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2306", _TRI, per_lens=True, description="trifocal, sphere to 4.00, cylinder above 6.00"),
    SpectacleCode("V2307", _TRI, per_lens=True, description="trifocal, sphere 4.25 to 7.00, cylinder .12 to 2.00"),
    SpectacleCode("V2308", _TRI, per_lens=True, description="trifocal, sphere 4.25 to 7.00, cylinder 2.12 to 4.00"),
    SpectacleCode("V2309", _TRI, per_lens=True, description="trifocal, sphere 4.25 to 7.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2310", _TRI, per_lens=True, description="trifocal, sphere 4.25 to 7.00, cylinder above 6.00"),
    SpectacleCode("V2311", _TRI, per_lens=True, description="trifocal, sphere 7.25 to 12.00, cylinder .25 to 2.25"),
    SpectacleCode("V2312", _TRI, per_lens=True, description="trifocal, sphere 7.25 to 12.00, cylinder 2.25 to 4.00"),
    SpectacleCode("V2313", _TRI, per_lens=True, description="trifocal, sphere 7.25 to 12.00, cylinder 4.25 to 6.00"),
    SpectacleCode("V2314", _TRI, per_lens=True, description="trifocal, sphere above 12.00 with a cylinder"),
    SpectacleCode("V2315", _TRI, per_lens=True, description="trifocal, lenticular (myodisc)"),
    SpectacleCode("V2318", _TRI, per_lens=False, description="trifocal, aniseikonic"),
    SpectacleCode("V2319", _TRI, per_lens=False, description="trifocal segment wider than 28 mm"),
    SpectacleCode("V2320", _TRI, per_lens=False, description="trifocal add above 3.25"),
    SpectacleCode("V2321", _TRI, per_lens=True, description="trifocal, lenticular"),
    SpectacleCode("V2399", _TRI, per_lens=False, description="trifocal of a special kind, by report"),
    SpectacleCode("V2410", _ASPHERIC, per_lens=True, description="variable asphericity, single vision"),
    SpectacleCode("V2430", _ASPHERIC, per_lens=True, description="variable asphericity, bifocal"),
    SpectacleCode("V2499", _ASPHERIC, per_lens=False, description="variable asphericity, other"),
    SpectacleCode("V2700", _OPTION, per_lens=True, description="balance lens"),
    SpectacleCode("V2702", _OPTION, per_lens=False, description="deluxe lens feature"),
    SpectacleCode("V2710", _OPTION, per_lens=True, description="slab-off prism"),
    SpectacleCode("V2715", _OPTION, per_lens=True, description="prism"),
    SpectacleCode("V2718", _OPTION, per_lens=True, description="press-on Fresnel prism"),
    SpectacleCode("V2730", _OPTION, per_lens=True, description="special base curve"),
    SpectacleCode("V2744", _OPTION, per_lens=True, description="photochromic tint"),
    SpectacleCode("V2745", _OPTION, per_lens=True, description="tint other than photochromic"),
    SpectacleCode("V2750", _OPTION, per_lens=True, description="anti-reflective coating"),
    SpectacleCode("V2755", _OPTION, per_lens=True, description="UV filter"),
    SpectacleCode("V2756", _OPTION, per_lens=False, description="spectacle case"),
    SpectacleCode("V2760", _OPTION, per_lens=True, description="scratch-resistant coating"),
    SpectacleCode("V2761", _OPTION, per_lens=True, description="mirror coating"),
    SpectacleCode("V2762", _OPTION, per_lens=True, description="polarizing filter"),
    SpectacleCode("V2770", _OPTION, per_lens=True, description="occluder"),
    SpectacleCode("V2780", _OPTION, per_lens=True, description="oversize lens"),
    SpectacleCode("V2781", _OPTION, per_lens=True, description="progressive lens"),
    SpectacleCode(
        "V2782",
        _OPTION,
        per_lens=True,
        description="index 1.54 to 1.65 plastic or 1.60 to 1.79 glass, not polycarbonate",
    ),
    SpectacleCode(
        "V2783", _OPTION, per_lens=True, description="index from 1.66 plastic or from 1.80 glass, not polycarbonate"
    ),
    SpectacleCode("V2784", _OPTION, per_lens=True, description="polycarbonate or equal, any index"),
    SpectacleCode("V2786", _OPTION, per_lens=True, description="occupational multifocal"),
    SpectacleCode(
        "V2797", _OPTION, per_lens=False, description="part of another vision code: supply, accessory or service"
    ),
    SpectacleCode("V2799", _OPTION, per_lens=False, description="other vision item or service"),
)

CODES: Final = MappingProxyType({row.code: row for row in _ROWS})
"""Every code that the shop can use."""


def find_code(text: str) -> SpectacleCode:
    """Give the row of a code as typed, or refuse it and name the nearest ones."""
    typed = text.strip().upper()
    if typed not in CODES:
        near = nearest(typed, CODES)
        hint = f"Did you mean {listed(near)}?" if near else "Type a code such as V2103."
        raise RefusedError("claim code", f"'{text.strip()}'", f"it is no spectacle code of {RELEASE}", hint)
    return CODES[typed]


def codes_in(group: CodeGroup) -> Iterator[SpectacleCode]:
    """Give the codes of one group, in the order of their numbers."""
    return (row for row in _ROWS if row.group is group)
