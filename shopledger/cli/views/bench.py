"""What happened to a job at the bench, shown: inspections with verdicts, proofs of impact resistance, remakes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Fields, Json, Table
from shopledger.cli.views.figures import Outside, day
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.cli.views.orders import OUT as ORDERS
from shopledger.cli.views.verdicts import verdict_blocks, verdict_data
from shopledger.ledger.canonical import Shape
from shopledger.ledger.inspections import ImpactRecord, Inspection, LensFigures, PairFigures, Remake
from shopledger.ledger.pair_words import not_made
from shopledger.ledger.papers.certificate import InspectionCertificate
from shopledger.money.amount import write_amount
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import ANSI_Z80_1

if TYPE_CHECKING:
    from shopledger.desk.certifying import PrintedCertificate
    from shopledger.desk.inspecting import ImpactKept, InspectionPlan
    from shopledger.desk.remaking import RemakePlan
    from shopledger.ledger.orders import Pair

_SEEN = {None: "", True: "seen", False: "NOT SEEN"}


OUT = Outside(
    {
        LensFigures: Shape(
            keys=("power", "pd", "near_pd", "height", "tilt", "segment_width", "centre_thickness", "base_curve"),
            made={
                "power": lambda lens: write_eye(lens.power),
                "pd": lambda lens: lens.place.mono_pd if lens.place else None,
                "height": lambda lens: lens.place.fitting_height if lens.place else None,
            },
        ),
        PairFigures: Shape(keys=("right", "left")),
        ImpactRecord: Shape(first=("number",)),
        Remake: Shape(first=("number",), renamed={"follows": "follows_inspection"}),
        InspectionCertificate: Shape(
            keys=("job_number", "inspection_number", "day", "passed", "number", "issued_on"),
            renamed={"inspection_number": "inspection", "number": "record"},
        ),
    }
)


def inspection_data(plan: InspectionPlan) -> dict[str, Json]:
    """Give an inspection as JSON."""
    inspection, sheet = plan.inspection, plan.inspection.sheet
    return {
        "number": inspection.number,
        "job": inspection.job_number,
        "order": plan.order.number,
        "day": inspection.day.isoformat(),
        "failures": list(inspection.failures),
        "ordered": _judged(inspection, inspection.ordered),
        "compensated": {side.value: write_eye(sheet.powers.eye(side)) for side in Side} if sheet else None,
        "sheet": {"file": sheet.file_name, "sha256": sheet.file_sha256} if sheet else None,
        "read": _judged(inspection, inspection.read),
        "thinning_prism": inspection.thinning,
        "marks_seen": dict(zip(("right", "left"), inspection.marks_seen, strict=True)),
        "not_right": [each.value for each in inspection.off],
        "demo_lenses": inspection.demo_lenses.value if inspection.demo_lenses else None,
        "accepted": [each.code for each in inspection.accepted],
        "note": inspection.note,
        **verdict_data(inspection.verdicts, inspection.design, ANSI_Z80_1),
        "passed": inspection.passed,
    }


def _judged(inspection: Inspection, figures: PairFigures) -> dict[str, Json]:
    """Give the figures of the lenses that were judged; of one that was not made there are none."""
    absent = (side.value for side in Side if side not in inspection.sides)
    return {**OUT.of(figures), **dict.fromkeys(absent)}


def certificate_data(printed: PrintedCertificate) -> dict[str, Json]:
    """Give a printed inspection record as JSON: what it is of, and what has changed since it was issued."""
    return {
        **OUT.of(printed.content),
        "first": printed.first,
        "replaces": printed.content.replaces,
        "replaced_by": printed.replaced_by,
        "changed": list(printed.changed),
        "overtaken": list(printed.overtaken),
        "file": str(printed.file),
    }


def impact_data(kept: ImpactKept) -> dict[str, Json]:
    """Give a proof of impact resistance as JSON."""
    return {**OUT.of(kept.record), "kept_until": day(kept.until) or None}


def inspection_blocks(inspection: Inspection) -> tuple[Fields | Table, ...]:
    """Give an inspection for reading: ordered and read side by side, verdicts with their rules, the outcome."""
    sheet = inspection.sheet
    rows = [
        (f"{side.value} {what}", written)
        for side in inspection.sides
        for what, written in (
            ("ordered", write_eye(inspection.ordered.eye(side).power)),
            ("to be read", write_eye(sheet.powers.eye(side)) if sheet else ""),
            ("read", write_eye(inspection.read.eye(side).power)),
        )
    ]
    marks = zip(Side, inspection.marks_seen, strict=True)
    rows += [(f"{side.value} engraved marks", _SEEN[seen]) for side, seen in marks]
    rows.append(("equal thinning prism", _thinning_words(inspection.thinning)))
    rows.append(("demonstration lenses", inspection.demo_lenses.value if inspection.demo_lenses else ""))
    rows.append(("not right", ", ".join(each.value for each in inspection.off)))
    verdict = "passed" if inspection.passed else f"FAILED: {', '.join(inspection.failures)}"
    return (
        Fields(f"Job {inspection.job_number}", rows),
        *verdict_blocks(inspection.verdicts, inspection.design, ANSI_Z80_1),
        Fields("", (("outcome", verdict),)),
    )


def _thinning_words(amount: float | None) -> str:
    return "" if amount is None else f"{abs(amount):.2f} {'BU' if amount >= 0 else 'BD'} before both eyes"


def certificate_fields(printed: PrintedCertificate) -> Fields:
    """Give a printed inspection record for reading."""
    content = printed.content
    rows = (
        ("inspection record", str(content.number)),
        ("job", str(content.job_number)),
        ("inspection", str(content.inspection_number)),
        ("outcome", "passed" if content.passed else "FAILED"),
        ("issued", content.issued_on),
        ("in place of", "" if content.replaces is None else f"record {content.replaces}"),
        ("file", printed.file),
    )
    return Fields("", rows)


def certificate_notes(printed: PrintedCertificate) -> tuple[str, ...]:
    """Tell what the paper does not say: what overtook its inspection, what took its place, what changed since."""
    content = printed.content
    number, inspection = content.number, content.inspection_number
    said = [f"Since inspection {inspection}, {event}." for event in printed.overtaken]
    if printed.replaced_by is not None:
        said.append(f"Inspection record {printed.replaced_by} took the place of {number}.")
    elif printed.changed:
        changed = ", ".join(printed.changed)
        said.append(f"Changed since inspection record {number} was issued: {changed}. It was printed as it was issued.")
        if not printed.overtaken:
            command = f"shopledger job inspection-record {content.job_number} --anew"
            said.append(f"To issue a new one in its place: '{command}'.")
    return tuple(said)


def impact_fields(kept: ImpactKept) -> Fields:
    """Give a proof of impact resistance for reading."""
    until = kept.until.isoformat() if kept.until else "three years from the day it is shipped"
    record = kept.record
    rows = (("job", str(record.job_number)), (record.proof.value, record.reference), ("kept at least until", until))
    return Fields("", rows)


def remake_fields(remake: Remake) -> Fields:
    """Give a remake for reading."""
    rows = (
        ("job", str(remake.job_number)),
        ("reason", remake.reason),
        ("cost", write_amount(remake.cost)),
        ("scrap", remake.scrap.value),
    )
    return Fields("", rows)


def remade_data(plan: RemakePlan) -> dict[str, Json]:
    """Give a job made in the place of another as JSON."""
    touched: list[Json] = [*plan.touched_receipts]
    return {
        "job": plan.pair.job_number,
        "order": plan.account.order.number,
        **ORDERS.of(plan.pair),
        "findings": finding_data(plan.findings),
        "touched_receipts": touched,
    }


def remade_fields(plan: RemakePlan) -> tuple[Fields, Table]:
    """Give a job made in the place of another for reading."""
    pair, again = plan.pair, plan.pair.again
    lenses = [f"{side.value} {_lens(pair, side)}" for side in Side]
    rows = (
        ("order", str(plan.account.order.number)),
        ("in the place of", f"job {again.job}" if again else ""),
        ("cause", again.cause.value if again else ""),
        ("reason", again.reason if again else ""),
        ("frame", f"{pair.frame_code}, a new one of the shop's" if again and again.new_frame else pair.frame_code),
        ("lenses", "\n".join(lenses)),
    )
    title = f"Job {pair.job_number}" if pair.job_number else "Job, not stored"
    return Fields(title, rows), finding_table(plan.findings)


def _lens(pair: Pair, side: Side) -> str:
    absent = not_made(pair, side)
    if absent:
        return absent
    return f"{pair.lens_of(side)} {write_eye(pair.made.eye(side))}" if pair.made else pair.lens_of(side)
