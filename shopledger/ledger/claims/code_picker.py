"""Picking a code: settled where the published text leaves one, otherwise the candidates and the reason.

The text does not say whether plus or minus cylinder is meant. The power is taken as written, the form is stated, and
a note tells when the other form would give another code (a judgment of this project; no published rule was found).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from shopledger.errors import RefusedError, listed
from shopledger.ledger.catalogue import Design, ExtraKind
from shopledger.ledger.claims.code_table import CODES, RELEASE, CodeGroup, SpectacleCode, find_code
from shopledger.ledger.claims.power_bands import bands_for, hundredths
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.materials import MaterialClass
from shopledger.optics.notation import write_dioptres, write_power
from shopledger.optics.power import SphereCylinder

FRAME: Final = "V2020"
DELUXE_FRAME: Final = "V2025"
"""Carries what a frame costs above the standard charge (Noridian, billing of vision codes, read in excerpts)."""
PROGRESSIVE: Final = "V2781"
"""Goes on top of the base code and carries the progressive's price above a standard multifocal (CMS policy article
A52499, read in excerpts only)."""
BALANCE: Final = "V2700"
OCCUPATIONAL: Final = "V2786"
TINT: Final = "V2745"
UNCLASSIFIED: Final = ("V2702", "V2797", "V2799")
"""What the owner may use for goods that no code names."""

BASE_GROUPS: Final = {
    Design.SINGLE_VISION: CodeGroup.SINGLE_VISION,
    Design.BIFOCAL: CodeGroup.BIFOCAL,
    Design.TRIFOCAL: CodeGroup.TRIFOCAL,
    Design.PROGRESSIVE: CodeGroup.BIFOCAL,
    Design.OCCUPATIONAL: CodeGroup.BIFOCAL,
}
"""Whose base codes a design takes; that an occupational lens may also take a bifocal's is the owner's to choose."""


def base_group(design: Design, progressive_base: Design = Design.BIFOCAL) -> CodeGroup:
    """Give whose base codes a design takes, a progressive those that the shop has set."""
    return BASE_GROUPS[progressive_base if design is Design.PROGRESSIVE else design]


_FALLBACKS: Final = {CodeGroup.SINGLE_VISION: "V2199", CodeGroup.BIFOCAL: "V2299", CodeGroup.TRIFOCAL: "V2399"}
_HIGH_ADDS: Final = {CodeGroup.BIFOCAL: "V2220", CodeGroup.TRIFOCAL: "V2320"}
_NEVER_A_BASE: Final = frozenset({"V2219", "V2220", "V2319", "V2320"})
_ALWAYS_A_BASE: Final = frozenset({BALANCE, OCCUPATIONAL, "V2799"})

_EXTRAS: Final = {
    ExtraKind.ANTI_REFLECTIVE: "V2750",
    ExtraKind.UV: "V2755",
    ExtraKind.SCRATCH: "V2760",
    ExtraKind.TINT: TINT,
    ExtraKind.PHOTOCHROMIC: "V2744",
    ExtraKind.MIRROR: "V2761",
    ExtraKind.POLARIZED: "V2762",
    ExtraKind.OVERSIZE: "V2780",
    ExtraKind.PRISM: "V2715",
    ExtraKind.SLAB_OFF: "V2710",
}

_POLYCARBONATE: Final = "V2784"
_MIDDLE: Final = "V2782"
_HIGHEST: Final = "V2783"


@dataclass(frozen=True, slots=True)
class _IndexSteps:
    """Where the codes of thinner materials begin and end; between `middle_to` and `highest_from` lies a hole."""

    middle_from: float
    middle_to: float
    highest_from: float


_PLASTIC_STEPS: Final = _IndexSteps(1.54, 1.65, 1.66)
_GLASS_STEPS: Final = _IndexSteps(1.60, 1.79, 1.80)


@dataclass(frozen=True, slots=True)
class CodePick:
    """The code for one charge, or none and the candidates; with the reason, a note, and the table's release."""

    code: str
    candidates: tuple[str, ...]
    reason: str
    note: str = ""
    release: str = RELEASE

    @property
    def settled(self) -> bool:
        """Whether there is a code."""
        return bool(self.code)


def base_pick(
    design: Design, power: SphereCylinder, *, balance: bool = False, progressive_base: Design = Design.BIFOCAL
) -> CodePick:
    """Pick the base code of one lens from its design and its distance power as written; an add does not matter here."""
    if balance:
        return _settled(BALANCE, "a balance lens has its own code, whatever its power")
    if design is Design.OCCUPATIONAL:
        return _settled(OCCUPATIONAL, "an occupational multifocal has its own code, whatever its power")
    group = base_group(design, progressive_base)
    codes = _band_codes(group, power)
    note = _note_on_other_form(group, power, codes)
    words = _in_words(power)
    if len(codes) == 1:
        return _settled(codes[0], f"{words}, as written, is {CODES[codes[0]].description}", note)
    if codes:
        reason = f"two bands hold {words}: {' and '.join(codes)}, and the published text does not say which goes first"
        return CodePick("", codes, reason, note)
    return CodePick("", (_FALLBACKS[group],), f"no published {group.value} band holds {words}", note)


def choose(pick: CodePick, design: Design, text: str, progressive_base: Design = Design.BIFOCAL) -> CodePick:
    """Put the owner's choice in place of a pick; only a code that can name such a lens by itself is taken."""
    row = find_code(text)
    group = base_group(design, progressive_base)
    if not _names_alone(row, group):
        raise RefusedError(
            "claim code",
            row.code,
            f"it means {row.description} and cannot stand for a {design.value} lens by itself",
            f"Choose {listed(pick.candidates)}, or another {group.value} lens code.",
        )
    if row.code == pick.code:
        return pick
    return CodePick(row.code, pick.candidates, f"{row.code} was chosen by the owner: {pick.reason}", pick.note)


def codes_to_choose(design: Design, progressive_base: Design = Design.BIFOCAL) -> tuple[SpectacleCode, ...]:
    """Give the codes that the owner may choose for a lens: those that can name such a lens by themselves."""
    group = base_group(design, progressive_base)
    return tuple(row for row in CODES.values() if _names_alone(row, group))


def _names_alone(row: SpectacleCode, group: CodeGroup) -> bool:
    fits = row.group in {group, CodeGroup.ASPHERICITY} and row.code not in _NEVER_A_BASE
    return fits or row.code in _ALWAYS_A_BASE


def design_pick(design: Design) -> CodePick:
    """Pick the code that stands beside the base code for what a progressive costs above a standard multifocal.

    Base and V2781 together are the rule of the DME MAC's policy article A52499, known from quotations; plans vary.
    """
    if design is Design.PROGRESSIVE:
        return _settled(PROGRESSIVE, "beside the base code, for the price above a standard multifocal")
    return _none(f"no code marks that the lens is {design.value}; its base code says so")


def high_add_pick(design: Design, add: float | None, progressive_base: Design = Design.BIFOCAL) -> CodePick:
    """Pick the code that marks an add above 3.25 D; a progressive goes where its base code does."""
    code = _HIGH_ADDS.get(base_group(design, progressive_base))
    if add is None or code is None or design is Design.OCCUPATIONAL:
        return _none("no code marks the add of this lens")
    if hundredths(add) > 325:
        return _settled(code, f"the add {write_dioptres(add)} is above 3.25")
    return _none(f"the add {write_dioptres(add)} is not above 3.25")


def material_pick(material_class: MaterialClass, index: float) -> CodePick:
    """Pick the code of a material from its class and index; standard ones have none, nor do the published holes."""
    if material_class is MaterialClass.POLYCARBONATE:
        return _settled(_POLYCARBONATE, "polycarbonate of any index")
    if material_class is MaterialClass.URETHANE and index < _PLASTIC_STEPS.middle_from:
        note = (
            "Urethane of index 1.53 as 'or equal' to polycarbonate is usual practice (from memory); plans may differ."
        )
        return _settled(_POLYCARBONATE, "a material equal to polycarbonate", note)
    if material_class is MaterialClass.GLASS:
        return _by_index("glass", index, _GLASS_STEPS)
    return _by_index("plastic", index, _PLASTIC_STEPS)


def extra_pick(kind: ExtraKind) -> CodePick:
    """Pick the code of an upgrade or coating."""
    if kind in _EXTRAS:
        return _settled(_EXTRAS[kind], CODES[_EXTRAS[kind]].description)
    note = f"Where a plan wants a code, {listed(UNCLASSIFIED)} with these words is the owner's to choose."
    return CodePick("", UNCLASSIFIED, "no code names it, so its words stand alone", note)


def conflicts(kinds: Iterable[ExtraKind], material_class: MaterialClass) -> tuple[Finding, ...]:
    """Find extras whose codes cannot stand on the same lens, or are often refused beside its material."""
    asked = frozenset(kinds)
    found = []
    if {ExtraKind.TINT, ExtraKind.PHOTOCHROMIC} <= asked:
        found.append(_TINT_TWICE)
    if ExtraKind.UV in asked and material_class is MaterialClass.POLYCARBONATE:
        found.append(_UV_INSIDE)
    return tuple(found)


_TINT_TWICE: Final = Finding(
    Severity.ERROR,
    "TINT-PHOTOCHROMIC",
    "extras",
    "tint and photochromic",
    "one of the two",
    f"{RELEASE}, text of V2745",
    "A tint (V2745) and a photochromic tint (V2744) exclude each other on a claim. Leave one of them out.",
)

_UV_INSIDE: Final = Finding(
    Severity.WARNING,
    "UV-POLYCARBONATE",
    "extras",
    "uv",
    "",
    "value from memory",
    "Polycarbonate keeps out UV by itself, so plans often refuse a UV filter (V2755) beside it (V2784). "
    "Leave it out, or accept that the customer may not get it back.",
)


def _settled(code: str, reason: str, note: str = "") -> CodePick:
    return CodePick(code, (code,), reason, note)


def _none(reason: str) -> CodePick:
    return CodePick("", (), reason)


def _by_index(material: str, index: float, steps: _IndexSteps) -> CodePick:
    if index < steps.middle_from:
        return _none(f"{material} of index {index:g} is standard and has no code of its own")
    if index <= steps.middle_to:
        return _settled(_MIDDLE, f"{material} of index {index:g}")
    if index >= steps.highest_from:
        return _settled(_HIGHEST, f"{material} of index {index:g}")
    hole = f"between {steps.middle_to:.2f} and {steps.highest_from:.2f} no code is published for {material}"
    note = f"If the maker states another index, correct it in the catalogue to get {_MIDDLE} or {_HIGHEST}."
    return CodePick("", (_MIDDLE, _HIGHEST), f"{hole}, and the index is {index:g}", note)


def _band_codes(group: CodeGroup, power: SphereCylinder) -> tuple[str, ...]:
    return tuple(band.code for band in bands_for(group, power.sphere, power.cylinder))


def _note_on_other_form(group: CodeGroup, power: SphereCylinder, codes: tuple[str, ...]) -> str:
    other = power.transposed()
    changed = _band_codes(group, other)
    if changed == codes:
        return ""
    where = " or ".join(changed) if changed else "in no band"
    return f"Written as {write_power(other)} it would be {where}."


def _in_words(power: SphereCylinder) -> str:
    if not power.cylinder:
        return write_power(power)
    return f"{write_power(power)} ({'minus' if power.cylinder < 0 else 'plus'} cylinder)"
