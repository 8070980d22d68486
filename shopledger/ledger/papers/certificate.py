"""The inspection record: each quantity with rule, limit and verdict, to ship with the glasses and to keep.

It is frozen as JSON when it is issued; every print is made from that and from nothing else. It records what was
measured and certifies nothing: the tolerances come from summaries of the standard. Until form 2 its paper was called a
certificate, and the ledger's tables and the code still call it so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.canonical import FIRST_DRAWING, frozen, left_unsaid
from shopledger.ledger.inspections import (
    BenchHistory,
    Checked,
    DemoCheck,
    ImpactRecord,
    Inspection,
    PairFigures,
    kept_until,
)
from shopledger.ledger.orders import Order, Pair
from shopledger.ledger.pair_words import not_made
from shopledger.ledger.papers.order_facts import OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parties import Shop
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.notation import write_dioptres, write_eye, write_prism
from shopledger.optics.prism import PrismVector
from shopledger.optics.sides import Side

FORM: Final = 2
"""Version of the frozen content; a later form must still print the earlier ones. Since 2 the head says the outcome."""

DEMO_LENSES: Final = "demonstration lenses"
"""What the checklist calls them, where somebody said whether they are out."""

NOT_MEASURED: Final = "–"
"""Stands for a figure beside the powers that nobody measured."""
_HEIGHT: Final = "height from the lowest point of the lens"
_HEIGHTS: Final = "heights from the lowest point of the lens"


@dataclass(frozen=True, slots=True)
class JudgedRow:
    """One quantity in words and numbers as they are printed."""

    lens: str
    quantity: str
    ordered: str
    measured: str
    difference: str
    limit: str
    passed: bool
    rule: str
    or_else: str = ""


@dataclass(frozen=True, slots=True)
class LensRow:
    """One lens: what was ordered, what the maker's sheet wants read, what was read, and the figures beside it."""

    lens: str
    ordered: str
    compensated: str
    read: str
    centre_thickness: str
    base_curve: str
    marks_seen: bool | None


@dataclass(frozen=True, slots=True)
class ImpactLine:
    """What stands for impact resistance: certificate or exception, its reference, and its day as ISO text."""

    proof: str
    reference: str
    day: str


@dataclass(frozen=True, slots=True)
class InspectionCertificate:
    """Everything on the record. Days are ISO text, absent things empty text."""

    number: int
    """Of the record; 0 while it is not issued."""
    issued_on: str
    inspection_number: int
    job_number: int
    order_number: int
    day: str
    """Of the inspection."""
    shop: ShopLines
    wearer: str
    glasses: str
    lenses: tuple[LensRow, LensRow]
    places: tuple[str, str]
    """PD and heights, as ordered and as measured; empty text where there are none."""
    sheet: str
    """The maker's sheet with the first digits of its hash; empty text where lenses are not free-form."""
    standard: str
    edition: str
    design: str
    rows: tuple[JudgedRow, ...]
    checklist: tuple[tuple[str, bool], ...]
    failures: tuple[str, ...]
    inspector: str
    """Who recorded the inspection: who inspected is not asked."""
    impact: tuple[ImpactLine, ...]
    kept_until: str
    """Day until which the records are kept at least; empty text while the glasses have not left."""
    note: str
    accepted: tuple[str, ...] = ()
    """What the inspector was asked and said yes to, in sentences."""
    spellings: tuple[tuple[str, str], ...] = ()
    """How a name is printed whose own letters the papers cannot set: the name, then its spelling."""
    thinning: str = ""
    """Equal thinning prism that was part of what was ordered; empty text where there was none."""
    replaces: int | None = None
    """The earlier record of the same inspection whose place this one takes."""
    paper: str = "letter"
    wording_sha256: str = ""
    """Hash of the wording of every print, which the ledger keeps."""
    form: int = FORM
    drawing: int = FIRST_DRAWING
    """In which version papers were drawn when it was issued."""
    erased_on: str = ""
    """The day on which what tells of the wearer was erased; empty while the content is whole."""
    erasure: int | None = None
    """By which erasure."""

    @property
    def passed(self) -> bool:
        """Whether nothing failed."""
        return not self.failures

    def canonical(self) -> str:
        """Give the content as JSON that never changes."""
        return frozen(self, without=left_unsaid(self))


def inspection_certificate(
    order: Order, pair: Pair, history: BenchHistory, inspection: Inspection, shop: Shop, names: OrderNames,
    shipped_on: date | None,
) -> InspectionCertificate:  # fmt: skip
    """Give what the record of an inspection says, not yet issued."""
    sheet = inspection.sheet
    lenses = [_lens(inspection, pair, side) for side in Side]
    return InspectionCertificate(
        number=0,
        issued_on="",
        inspection_number=inspection.number or 0,
        job_number=inspection.job_number,
        order_number=order.number or 0,
        day=inspection.day.isoformat(),
        shop=shop_lines(shop),
        wearer=names.wearer(pair.wearer_number),
        glasses=names.pair(pair),
        lenses=(lenses[0], lenses[1]),
        places=(_places(inspection.ordered, inspection.sides), _places(inspection.read, inspection.sides)),
        sheet=f"{sheet.file_name} (SHA-256 {sheet.file_sha256[:16]})" if sheet else "",
        standard=inspection.standard,
        edition=inspection.edition,
        design=inspection.design.value,
        rows=tuple(_row(verdict) for verdict in inspection.verdicts),
        checklist=tuple(_checklist(inspection)),
        failures=inspection.failures,
        inspector=inspection.entered.operator if inspection.entered else "",
        impact=tuple(_impact(record) for record in history.impact),
        kept_until=kept_until(shipped_on).isoformat() if shipped_on else "",
        note=inspection.note,
        accepted=tuple(each.sentence for each in inspection.accepted),
        thinning=_thinning(inspection.thinning),
    )


def _checklist(inspection: Inspection) -> Iterator[tuple[str, bool]]:
    """Give what was looked at on the frame; demonstration lenses only where somebody saw them out, or still in it."""
    for each in Checked:
        yield each.value, each not in inspection.off
    if inspection.demo_lenses in {DemoCheck.OUT, DemoCheck.IN}:
        yield DEMO_LENSES, inspection.demo_lenses is DemoCheck.OUT


def _lens(inspection: Inspection, pair: Pair, side: Side) -> LensRow:
    absent = not_made(pair, side)
    if absent:
        return LensRow(side.value, absent, "", "", NOT_MEASURED, NOT_MEASURED, None)
    found = inspection.read.eye(side)
    right, left = inspection.marks_seen
    return LensRow(
        side.value,
        write_eye(inspection.ordered.eye(side).power),
        write_eye(inspection.sheet.powers.eye(side)) if inspection.sheet else "",
        write_eye(found.power),
        f"{found.centre_thickness:.2f} mm" if found.centre_thickness is not None else NOT_MEASURED,
        f"{found.base_curve:.2f} D" if found.base_curve is not None else NOT_MEASURED,
        right if side is Side.RIGHT else left,
    )


def _places(figures: PairFigures, sides: tuple[Side, ...]) -> str:
    measured = figures.measurements
    if measured is None:
        return ""
    if len(sides) == 1:
        return _place_of_one(figures, measured.eye(sides[0]), sides[0])
    right, left = measured.right, measured.left
    each = measured.pd_given == "monocular"
    said = [f"PD {_mm(right.mono_pd)} + {_mm(left.mono_pd)}" if each else f"PD {_mm(measured.pd)}"]
    said += _segments(figures, each=each)
    if right.fitting_height is not None and left.fitting_height is not None:
        said.append(f"{_HEIGHTS} {_mm(right.fitting_height)} and {_mm(left.fitting_height)}")
    return f"{', '.join(said)} mm"


def _place_of_one(figures: PairFigures, measured: EyeMeasurements, side: Side) -> str:
    """Say where the one lens that was made stands."""
    near = figures.eye(side).near_pd
    said = [f"{side.value} PD {_mm(measured.mono_pd)}"]
    if near is not None:
        said.append(f"near PD {_worked(near)}, segment in {_worked(measured.mono_pd - near)}")
    if measured.fitting_height is not None:
        said.append(f"{_HEIGHT} {_mm(measured.fitting_height)}")
    return f"{', '.join(said)} mm"


def _segments(figures: PairFigures, *, each: bool) -> Iterator[str]:
    """Say the near PDs of segments and how far in these stand from the distance centres."""
    nears = [figures.eye(side).near_pd for side in Side]
    right, left = nears
    if right is not None and left is not None:
        yield f"near PD {_worked(right)} + {_worked(left)}" if each else f"near PD {_worked(right + left)}"
    for side, near in zip(Side, nears, strict=True):
        place = figures.eye(side).place
        if near is not None and place is not None:
            yield f"{side.value} segment in {_worked(place.mono_pd - near)}"


def _mm(length: float) -> str:
    """Write a length as it was typed: all its places, as many as the ledger keeps."""
    return f"{round(length, 3) + 0.0:g}"


def _worked(length: float) -> str:
    """Write a length that may be worked out, to hundredths: a near PD ordered is, one that is measured is typed."""
    return f"{round(length, 2) + 0.0:g}"


def _thinning(amount: float | None) -> str:
    """Write equal thinning prism as prism is written, before both eyes."""
    return "" if not amount else ", ".join(map(write_prism, PrismVector(0.0, amount).as_prisms()))


def _row(verdict: Verdict) -> JudgedRow:
    unit = verdict.unit
    return JudgedRow(
        lens=verdict.where,
        quantity=verdict.quantity,
        ordered=_figure(verdict.ordered, unit),
        measured=_figure(verdict.measured, unit),
        difference=_figure(verdict.difference, unit),
        # Limits such as an eighth of a dioptre have more places than a lensmeter.
        limit=f"{verdict.limit:.3g}{_unit(unit)}",
        passed=verdict.passed,
        rule=verdict.rule,
        or_else=verdict.or_else,
    )


def _figure(figure: float, unit: str) -> str:
    """Write a figure as its kind is written: powers with their sign, angles to tenths, lengths as they were typed."""
    if unit == "D":
        return f"{write_dioptres(figure)}{_unit(unit)}"
    if unit == "degrees":
        return f"{round(figure, 1) + 0.0:g}°"
    # A length typed to three places keeps them.
    places = 3 if unit == "mm" and round(figure, 3) != round(figure, 2) else 2
    return f"{figure:.{places}f}{_unit(unit)}"


def _unit(unit: str) -> str:
    return {"D": " D", "degrees": "°", "prism dioptres": " Δ"}.get(unit, f" {unit}")


def _impact(record: ImpactRecord) -> ImpactLine:
    return ImpactLine(record.proof.value, record.reference, record.day.isoformat())
