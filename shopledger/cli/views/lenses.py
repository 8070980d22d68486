"""Prescriptions, measurements, findings and traces, shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, mm, rounded
from shopledger.ledger.canonical import Shape
from shopledger.ledger.diagnosis import DIAGNOSES
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.boxing import Boxed
from shopledger.optics.findings import Finding
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import write_dioptres, write_eye, write_power, write_prism
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.desk.tracing import TraceKept


def _eye_of(side: Side) -> Callable[[WrittenPrescription], EyePrescription]:
    return lambda written: written.powers.eye(side)


OUT = Outside(
    {
        EyePrescription: Shape(
            first=("written", "sphere", "cylinder", "axis"),
            left_out={"power"},
            made={
                "written": write_eye,
                "sphere": lambda eye: eye.power.sphere,
                "cylinder": lambda eye: eye.power.cylinder,
                "axis": lambda eye: eye.power.axis,
            },
        ),
        WrittenPrescription: Shape(
            first=("number",),
            left_out={"powers"},
            made={side.value: _eye_of(side) for side in Side},
        ),
        EyeMeasurements: Shape(renamed={"mono_pd": "pd", "fitting_height": "height"}),
        Measurements: Shape(first=("pd_given", "pd"), renamed={"pd_given": "given"}),
        Boxed: Shape(keys=("a", "b", "ed", "circumference"), made=rounded(2, "a", "b", "ed", "circumference")),
    }
)


def finding_data(findings: Iterable[Finding]) -> list[Json]:
    """Give findings as JSON."""
    return OUT.all(findings)


def trace_data(kept: TraceKept) -> dict[str, Json]:
    """Give a frame's trace as JSON: where it came from, its figures, the findings."""
    origin, shape = kept.stored.origin, kept.stored.shape
    return {
        "number": kept.stored.number,
        "frame": kept.stored.frame_code,
        "file": origin.file_name,
        "sha256": origin.file_sha256,
        "traced_on": day(origin.traced_on),
        "device": origin.device,
        "dbl": shape.dbl,
        "right": {**OUT.of(kept.right), "points": shape.right.count},
        "left": {**OUT.of(kept.left), "points": shape.left.count},
        "findings": finding_data(kept.findings),
    }


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


def finding_table(findings: Sequence[Finding]) -> Table:
    """Give findings for reading."""
    columns = (Column("severity"), Column("code", whole=True), Column("what was found"))
    rows = [(finding.severity.value, finding.code, finding.sentence) for finding in findings]
    return Table("Findings", columns, rows, "nothing to ask about.")


def measurements_words(measurements: Measurements) -> str:
    """Say measurements in one line."""
    right, left = measurements.right, measurements.left
    words = [f"PD {mm(right.mono_pd)} + {mm(left.mono_pd)} mm"]
    if measurements.near_pd is not None:
        words.append(f"near PD {mm(measurements.near_pd)} mm")
    if right.fitting_height is not None or left.fitting_height is not None:
        words.append(f"height {mm(right.fitting_height) or '-'} / {mm(left.fitting_height) or '-'} mm")
    return ", ".join(words)


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


def _boxed_row(lens: str, boxed: Boxed, count: int) -> tuple[str, ...]:
    lengths = (boxed.a, boxed.b, boxed.ed, boxed.circumference)
    return (lens, *(f"{length:.2f}" for length in lengths), str(count))
