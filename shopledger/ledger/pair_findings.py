"""Everything to ask about one pair before it is sold or made: dates, measurements, fit, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Final

from shopledger.ledger.catalogue import Design, Lens, use_of_lens
from shopledger.ledger.orders import Pair
from shopledger.ledger.parties import Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.prescription_dates import date_findings
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.checks import check_measurements
from shopledger.optics.findings import Finding, Severity, gravest_first
from shopledger.optics.measurements import Measurements
from shopledger.optics.pair_checks import check_most_height, check_near_pd, check_pair
from shopledger.optics.sides import Side

_COMMON: Final = "common practice, no source"
_GROWN_UP: Final = 16


def pair_findings(
    pair: Pair,
    lenses: Mapping[Side, Lens],
    wearer: Wearer,
    written: WrittenPrescription | None,
    trace: StoredTrace | None,
    settings: Settings,
    day: date,
) -> tuple[Finding, ...]:
    """Give what was found on a pair, gravest first; a pair without a prescription has no lens values to check.

    A lens that is not made is not asked about.
    """
    if written is None or pair.made is None:
        return ()
    found = [*date_findings(written, settings, day)]
    measured = pair.measurements
    if measured is None:
        found.append(_missing("PD-MISSING", "PD", "No PD is given", "Measure it and give it with the pair."))
    else:
        found.extend(check_measurements(measured, child=_is_child(wearer, day)))
    if trace is None:
        found.append(_untraced(pair))
    for side in pair.sides:
        if trace is None:
            found.extend(_height(side, lenses[side], measured))
            found.extend(_near_pd(side, lenses[side], pair, measured))
        elif measured is not None:
            fit = _fit(pair, lenses[side], written, trace, measured, settings)
            found.extend(each for each in fit if _side_of(each) in {None, side})
            found.extend(_assumed(lenses[side]))
    return gravest_first(each for each in dict.fromkeys(found) if not _needless(each, pair))


def _side_of(finding: Finding) -> Side | None:
    """Give the eye that a finding is about; None where it is about both."""
    return next((side for side in Side if finding.field.startswith(f"{side.value}.")), None)


def _needless(finding: Finding, pair: Pair) -> bool:
    """Tell whether a finding asks for what only a lens that is not made would need."""
    about = _side_of(finding)
    return finding.code == "HEIGHT-ONE-EYE" and about is not None and about not in pair.sides


def _fit(
    pair: Pair,
    lens: Lens,
    written: WrittenPrescription,
    trace: StoredTrace,
    measured: Measurements,
    settings: Settings,
) -> tuple[Finding, ...]:
    largest = lens.blank_diameters[-1] if lens.blank_diameters else None
    return check_pair(
        written.powers,
        measured,
        trace.shape,
        use_of_lens(lens, pair.use),
        progressive=lens.design is Design.PROGRESSIVE,
        minimum_fitting_height=lens.min_fitting_height,
        maximum_fitting_height=lens.max_fitting_height,
        marks=(lens.marks, lens.marks),
        blanks=(largest, largest) if largest else None,
        allowance=settings.blank_allowance,
    )


def _assumed(lens: Lens) -> Iterator[Finding]:
    """Tell what the layout of a multifocal rests on where the catalogue does not say what stands where on the blank."""
    marks = lens.marks
    if marks is None:
        return
    point = "segment's top" if marks.lined else "fitting cross"
    unknown = []
    if not marks.placed:
        unknown.append(f"where the {point} stands on the blank, so it is taken for the blank's middle")
    if marks.lined and marks.distance_up is None:
        unknown.append("how high the distance centre stands, so it is taken to be level with the segment's top")
    if unknown:
        sentence = (
            f"The catalogue does not say of {lens.name} {'; nor '.join(unknown)}. Keep it from the maker's chart with "
            f"'shopledger lens change {lens.code}'."
        )
        yield Finding(Severity.NOTE, "BLANK-MARKS-MISSING", "lens", "none", "", _COMMON, sentence)


def _untraced(pair: Pair) -> Finding:
    """Say what cannot be said before the frame is traced."""
    return Finding(
        Severity.NOTE,
        "TRACE-MISSING",
        "trace",
        "none",
        "",
        _COMMON,
        f"Frame {pair.frame_code} has no trace yet, so blank and thickness are not checked. Trace it before cutting.",
    )


def _height(side: Side, lens: Lens, measured: Measurements | None) -> Iterator[Finding]:
    """Say what can be said of a multifocal's height before the frame is traced."""
    if not lens.multifocal or measured is None:
        return
    height = measured.eye(side).fitting_height
    yield from check_most_height(side, height, lens.max_fitting_height)
    if height is None:
        yield _missing(
            "HEIGHT-MISSING",
            f"{side.value}.fitting_height",
            f"The {side.value} fitting height is missing",
            "Measure it: a multifocal cannot be made without it.",
        )
    elif lens.min_fitting_height is not None and height < lens.min_fitting_height:
        yield Finding(
            Severity.ERROR,
            "HEIGHT-LOW",
            f"{side.value}.fitting_height",
            f"{height:g}",
            f"{lens.min_fitting_height:g} mm",
            "the maker's minimum height, as in the catalogue",
            f"The {side.value} fitting height is {height:g} mm from the lowest point; {lens.name} needs "
            f"{lens.min_fitting_height:g} mm. "
            "Choose a shorter corridor or a deeper frame.",
        )


def _near_pd(side: Side, lens: Lens, pair: Pair, measured: Measurements | None) -> Iterator[Finding]:
    """Ask for the near PD of a lens before the frame is traced."""
    if measured is not None:
        asked = check_near_pd(measured, use_of_lens(lens, pair.use), (lens.marks, lens.marks))
        yield from (each for each in asked if _side_of(each) is side)


def _missing(code: str, field: str, what: str, hint: str) -> Finding:
    return Finding(Severity.ERROR, code, field, "none", "", _COMMON, f"{what}. {hint}")


def _is_child(wearer: Wearer, day: date) -> bool:
    """Tell whether the sixteenth birthday is still to come."""
    born = wearer.birth_date
    return born is not None and (day.year - _GROWN_UP, day.month, day.day) < (born.year, born.month, born.day)
