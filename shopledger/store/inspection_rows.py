"""An inspection to rows and back: head, the figures of each lens, and the verdicts."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.inspections import Checked, Inspection, LensFigures, MakersSheet, PairFigures
from shopledger.ledger.orders import AcceptedWarning, Entered
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements, PdGiven
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import Design
from shopledger.store.powers import eye_of, made_eye
from shopledger.store.refusals import DamagedError
from shopledger.store.scales import HUNDREDTHS, MILLIONTHS, THOUSANDTHS, day_text, parted, read_day, rounded, whole

_CHECKLIST = {
    Checked.BENCH: "bench_right",
    Checked.TEMPLES: "temples_right",
    Checked.HINGES: "hinges_right",
    Checked.SEATING: "seating_right",
}
_FIGURES = {"ordered": "ordered", "measured": "measured", "difference": "difference", "limit": "allowed"}
"""A verdict's figures, and their columns; `limit` is a word of SQL's own."""


def head_values(inspection: Inspection) -> dict[str, object]:
    """Give the columns of an inspection, without its figures and verdicts."""
    sheet = inspection.sheet
    return {
        "job_number": inspection.job_number,
        "day": day_text(inspection.day),
        "design": inspection.design.value,
        "standard": inspection.standard,
        "edition": inspection.edition,
        "ordered_pd_given": inspection.ordered.pd_given,
        "pd_given": inspection.read.pd_given,
        **{column: int(each not in inspection.off) for each, column in _CHECKLIST.items()},
        "sheet_name": sheet.file_name if sheet else "",
        "sheet_sha256": sheet.file_sha256 if sheet else "",
        "accepted": json.dumps([[each.code, each.sentence] for each in inspection.accepted], ensure_ascii=False),
        "passed": int(inspection.passed),
        "note": inspection.note,
    }


def reading_values(number: int, inspection: Inspection) -> list[dict[str, object]]:
    """Give a row for each lens as ordered, as the maker's sheet has it where there is one, and as read."""
    rows: list[dict[str, object]] = []
    for side, seen in zip(Side, inspection.marks_seen, strict=True):
        rows.append(_lens(number, "ordered", side, inspection.ordered.eye(side), seen=None))
        if inspection.sheet is not None:
            rows.append(_lens(number, "compensated", side, LensFigures(inspection.sheet.powers.eye(side)), seen=None))
        rows.append(_lens(number, "read", side, inspection.read.eye(side), seen=seen))
    return rows


def verdict_values(number: int, inspection: Inspection) -> list[dict[str, object]]:
    """Give a row for each verdict, in their order."""
    return [
        {
            "inspection_number": number,
            "position": place,
            "quantity": verdict.quantity,
            "lens": verdict.where,
            **{column: rounded(getattr(verdict, name), MILLIONTHS) for name, column in _FIGURES.items()},
            "unit": verdict.unit,
            "rule": verdict.rule,
            "source": verdict.source,
            "passed": int(verdict.passed),
            "or_else": verdict.or_else,
        }
        for place, verdict in enumerate(inspection.verdicts, start=1)
    ]


def inspection_of(row: Row[Any], readings: Sequence[Row[Any]], verdicts: Sequence[Row[Any]]) -> Inspection:
    """Give the inspection in a row with its figures and verdicts."""
    lenses = {(each.figures, each.side): each for each in readings}
    right, left = (lenses["read", side.value] for side in Side)
    return Inspection(
        job_number=row.job_number,
        day=read_day(row.day),
        design=Design(row.design),
        standard=row.standard,
        edition=row.edition,
        ordered=_pair(lenses, "ordered", row.ordered_pd_given),
        read=_pair(lenses, "read", row.pd_given),
        verdicts=tuple(_verdict(each) for each in verdicts),
        off=tuple(each for each, column in _CHECKLIST.items() if not getattr(row, column)),
        marks_seen=(_seen(right), _seen(left)),
        sheet=_sheet(row, lenses) if row.sheet_name else None,
        accepted=tuple(AcceptedWarning(code, sentence) for code, sentence in json.loads(row.accepted)),
        note=row.note,
        number=row.number,
        entered=Entered(row.operator, row.recorded_at),
    )


def _lens(number: int, figures: str, side: Side, lens: LensFigures, *, seen: bool | None) -> dict[str, object]:
    place = lens.place
    said = f"{side.value} {figures}"
    return {
        "inspection_number": number,
        "figures": figures,
        "side": side.value,
        **made_eye(lens.power, MILLIONTHS),
        "mono_pd": rounded(place.mono_pd if place else None, THOUSANDTHS),
        "fitting_height": rounded(place.fitting_height if place else None, THOUSANDTHS),
        "centre_thickness": whole(f"{said} centre thickness", lens.centre_thickness, HUNDREDTHS),
        "base_curve": whole(f"{said} base curve", lens.base_curve, HUNDREDTHS),
        "marks_seen": None if seen is None else int(seen),
    }


def _pair(lenses: dict[tuple[str, str], Row[Any]], figures: str, pd_given: str) -> PairFigures:
    right, left = (_figures(lenses[figures, side.value]) for side in Side)
    given: PdGiven = "binocular" if pd_given == "binocular" else "monocular"
    return PairFigures(right, left, given)


def _figures(row: Row[Any]) -> LensFigures:
    place = None
    if row.mono_pd is not None:
        place = EyeMeasurements(parted(row.mono_pd, THOUSANDTHS), None, parted(row.fitting_height, THOUSANDTHS))
    return LensFigures(_power(row), place, parted(row.centre_thickness, HUNDREDTHS), parted(row.base_curve, HUNDREDTHS))


def _power(row: Row[Any]) -> EyePrescription:
    power = eye_of(row, MILLIONTHS)
    if power is None:
        raise DamagedError(f"the reading of inspection {row.inspection_number} has no power")
    return power


def _sheet(row: Row[Any], lenses: dict[tuple[str, str], Row[Any]]) -> MakersSheet:
    right, left = (_power(lenses["compensated", side.value]) for side in Side)
    return MakersSheet(Prescription(right, left), row.sheet_name, row.sheet_sha256)


def _verdict(row: Row[Any]) -> Verdict:
    figures = {name: parted(getattr(row, column), MILLIONTHS) for name, column in _FIGURES.items()}
    return Verdict(
        quantity=row.quantity,
        where=row.lens,
        ordered=figures["ordered"],
        measured=figures["measured"],
        difference=figures["difference"],
        limit=figures["limit"],
        unit=row.unit,
        rule=row.rule,
        source=row.source,
        passed=bool(row.passed),
        or_else=row.or_else,
    )


def _seen(row: Row[Any]) -> bool | None:
    return None if row.marks_seen is None else bool(row.marks_seen)
