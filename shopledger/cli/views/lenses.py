"""Prescriptions, measurements, findings and traces, shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, mm
from shopledger.ledger.canonical import Shape
from shopledger.ledger.diagnosis import DIAGNOSES
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.findings import Finding
from shopledger.optics.lengths import as_given
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import write_dioptres, write_eye, write_power, write_prisms
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side


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
    }
)


def finding_data(findings: Iterable[Finding]) -> list[Json]:
    """Give findings as JSON."""
    return OUT.all(findings)


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


def written_blocks(written: WrittenPrescription, wearer: str, prescriber: str, file: str = "") -> tuple[Fields, Table]:
    """Give a recorded prescription for reading; `file` is what the kept document is called."""
    rows = (
        ("wearer", wearer),
        ("prescriber", prescriber),
        ("written", day(written.written_on)),
        ("expires", day(written.expires_on)),
        ("intermediate", "" if written.intermediate is None else write_dioptres(written.intermediate)),
        ("document", written.document),
        ("file", file),
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
    if right.near_pd is not None and left.near_pd is not None:
        each = f"{as_given(right.near_pd)} + {as_given(left.near_pd)}" if measurements.pd_given == "monocular" else ""
        words.append(f"near PD {each or mm(measurements.near_pd)} mm")
    if right.fitting_height is not None or left.fitting_height is not None:
        words.append(f"height {mm(right.fitting_height) or '-'} / {mm(left.fitting_height) or '-'} mm")
    return ", ".join(words)


def _eye_row(side: Side, eye: EyePrescription) -> tuple[str, ...]:
    power = eye.power
    if eye.balance and power.sphere == 0 and not power.cylinder:
        return (side.value, "balance", "", "", "", "")
    cylinder, axis = ("", "") if power.axis is None else (write_dioptres(power.cylinder), f"{power.axis:03.0f}")
    sphere = write_dioptres(power.sphere) if power.axis is not None else write_power(power).removesuffix(" DS")
    add = "" if eye.add is None else write_dioptres(eye.add)
    prism = write_prisms(eye.prism)
    return (side.value, sphere, cylinder, axis, add, f"{prism} balance".strip() if eye.balance else prism)
