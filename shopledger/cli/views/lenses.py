"""Prescriptions, measurements, findings and traces, shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day, mm
from shopledger.ledger.diagnosis import DIAGNOSES
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.findings import Finding
from shopledger.optics.measurements import Measurements
from shopledger.optics.notation import write_dioptres, write_eye, write_power, write_prism
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.desk.tracing import TraceKept
    from shopledger.optics.boxing import Boxed


def eye_data(eye: EyePrescription) -> dict[str, Json]:
    """Give one eye as JSON: as written, and its numbers."""
    return {
        "written": write_eye(eye),
        "sphere": eye.power.sphere,
        "cylinder": eye.power.cylinder,
        "axis": eye.power.axis,
        "add": eye.add,
        "prism": [{"amount": each.amount, "base": each.base.value} for each in eye.prism],
        "balance": eye.balance,
    }


def powers_data(powers: Prescription) -> dict[str, Json]:
    """Give both eyes as JSON."""
    return {side.value: eye_data(powers.eye(side)) for side in Side}


def powers_table(powers: Prescription, title: str = "") -> Table:
    """Give both eyes for reading."""
    columns = (
        Column("eye"),
        Column("sphere", right=True),
        Column("cylinder", right=True),
        Column("axis", right=True),
        Column("add", right=True),
        Column("prism"),
    )
    return Table(title, columns, [_eye_row(side, powers.eye(side)) for side in Side])


def written_data(written: WrittenPrescription) -> dict[str, Json]:
    """Give a recorded prescription as JSON."""
    return {
        "number": written.number,
        "wearer": written.wearer_number,
        "prescriber": written.prescriber_number,
        "written_on": day(written.written_on),
        "expires_on": day(written.expires_on) or None,
        "intermediate": written.intermediate,
        "document": written.document,
        "diagnoses": list(written.diagnoses),
        **powers_data(written.powers),
    }


def written_blocks(written: WrittenPrescription, wearer: str, prescriber: str) -> tuple[Fields, Table]:
    """Give a recorded prescription for reading."""
    rows = (
        ("wearer", wearer),
        ("prescriber", prescriber),
        ("written", day(written.written_on)),
        ("expires", day(written.expires_on)),
        ("intermediate", "" if written.intermediate is None else write_dioptres(written.intermediate)),
        ("document", written.document),
        ("diagnoses", "; ".join(f"{code} {DIAGNOSES[code].description}" for code in written.diagnoses)),
    )
    title = f"Prescription {written.number}" if written.number else "Prescription"
    return Fields(title, rows), powers_table(written.powers)


def finding_data(findings: Iterable[Finding]) -> list[Json]:
    """Give findings as JSON."""
    return [
        {
            "severity": finding.severity.value,
            "code": finding.code,
            "field": finding.field,
            "value": finding.value,
            "limit": finding.limit,
            "source": finding.source,
            "sentence": finding.sentence,
        }
        for finding in findings
    ]


def finding_table(findings: Sequence[Finding]) -> Table:
    """Give findings for reading."""
    columns = (Column("severity"), Column("code", whole=True), Column("what was found"))
    rows = [(finding.severity.value, finding.code, finding.sentence) for finding in findings]
    return Table("Findings", columns, rows, "nothing to ask about.")


def measurements_data(measurements: Measurements) -> dict[str, Json]:
    """Give measurements as JSON."""
    eyes: dict[str, Json] = {
        side.value: {
            "pd": measurements.eye(side).mono_pd,
            "near_pd": measurements.eye(side).near_pd,
            "height": measurements.eye(side).fitting_height,
        }
        for side in Side
    }
    return {"given": measurements.pd_given, "pd": measurements.pd, **eyes}


def measurements_words(measurements: Measurements) -> str:
    """Say measurements in one line."""
    right, left = measurements.right, measurements.left
    words = [f"PD {mm(right.mono_pd)} + {mm(left.mono_pd)} mm"]
    if measurements.near_pd is not None:
        words.append(f"near PD {mm(measurements.near_pd)} mm")
    if right.fitting_height is not None or left.fitting_height is not None:
        words.append(f"height {mm(right.fitting_height) or '-'} / {mm(left.fitting_height) or '-'} mm")
    return ", ".join(words)


def trace_data(kept: TraceKept) -> dict[str, Json]:
    """Give a frame's trace as JSON: where it came from, its figures, the findings."""
    origin = kept.stored.origin
    return {
        "number": kept.stored.number,
        "frame": kept.stored.frame_code,
        "file": origin.file_name,
        "sha256": origin.file_sha256,
        "traced_on": day(origin.traced_on),
        "device": origin.device,
        "dbl": kept.stored.shape.dbl,
        "right": _boxed_data(kept.right, kept.stored.shape.right.count),
        "left": _boxed_data(kept.left, kept.stored.shape.left.count),
        "findings": finding_data(kept.findings),
    }


def trace_blocks(kept: TraceKept) -> tuple[Fields, Table, Table]:
    """Give a frame's trace for reading."""
    origin = kept.stored.origin
    rows = (
        ("file", origin.file_name),
        ("traced", day(origin.traced_on)),
        ("device", origin.device),
        ("DBL", f"{kept.stored.shape.dbl:.2f} mm"),
    )
    columns = [Column("lens"), *(Column(name, right=True) for name in ("A", "B", "ED", "circumference", "points"))]
    figures = [
        _boxed_row("right", kept.right, kept.stored.shape.right.count),
        _boxed_row("left", kept.left, kept.stored.shape.left.count),
    ]
    title = f"Trace of {kept.stored.frame_code}"
    return Fields(title, rows), Table("", columns, figures), finding_table(kept.findings)


def _eye_row(side: Side, eye: EyePrescription) -> tuple[str, ...]:
    power = eye.power
    if eye.balance and power.sphere == 0 and not power.cylinder:
        return (side.value, "balance", "", "", "", "")
    cylinder, axis = ("", "") if power.axis is None else (write_dioptres(power.cylinder), f"{power.axis:03.0f}")
    sphere = write_dioptres(power.sphere) if power.axis is not None else write_power(power).removesuffix(" DS")
    add = "" if eye.add is None else write_dioptres(eye.add)
    prism = ", ".join(map(write_prism, eye.prism))
    return (side.value, sphere, cylinder, axis, add, f"{prism} balance".strip() if eye.balance else prism)


def _boxed_data(boxed: Boxed, count: int) -> dict[str, Json]:
    return {
        "a": round(boxed.a, 2),
        "b": round(boxed.b, 2),
        "ed": round(boxed.ed, 2),
        "circumference": round(boxed.circumference, 2),
        "points": count,
    }


def _boxed_row(lens: str, boxed: Boxed, count: int) -> tuple[str, ...]:
    lengths = (boxed.a, boxed.b, boxed.ed, boxed.circumference)
    return (lens, *(f"{length:.2f}" for length in lengths), str(count))
