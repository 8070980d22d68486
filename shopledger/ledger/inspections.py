"""The final inspection of a job as it is kept: figures, checklist and verdicts; beside it impact record and remake.

None of it is changed once stored. A job may be inspected again; the newest inspection counts, and none that a remake
has followed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.limits import JOB_COST, hold_amount
from shopledger.ledger.orders import AcceptedWarning, Entered
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements, Measurements, PdGiven
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.refusals import within
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import LensType

YEARS_KEPT: Final = 3
"""How long records of impact-resistant lenses are kept at least (21 CFR 801.410(e) and (f))."""

_NO_EXCEPTION: Final = ("customer", "wearer", "patient's wish", "waiver")
_SHA256: Final = 64
LEAST_NEAR: Final = 10.0
MOST_NEAR: Final = 45.0
"""Where a segment's middle may be found, from the middle of the bridge (common practice, no source). [mm]"""


@dataclass(frozen=True, slots=True)
class LensFigures:
    """One lens of the pair, as ordered or as measured: power in D, the rest in mm and D of the front curve."""

    power: EyePrescription
    place: EyeMeasurements | None = None
    """PD of this eye, and height to the deepest part of the lens."""
    centre_thickness: float | None = None
    base_curve: float | None = None
    near_pd: float | None = None
    """From the middle of the bridge to the middle of a segment."""
    tilt: float | None = None
    """How far a segment, or a progressive, is turned: degrees counter-clockwise as seen from the front."""
    segment_width: float | None = None

    def __post_init__(self) -> None:
        """Refuse a thickness, a curve or a segment that no lens has."""
        if self.near_pd is not None:
            within("near PD", self.near_pd, LEAST_NEAR, MOST_NEAR, "mm")
        if self.tilt is not None:
            within("tilt", self.tilt, -45, 45, "degrees")
        if self.segment_width is not None:
            within("segment width", self.segment_width, 5, 60, "mm")
        if self.centre_thickness is not None:
            within("centre thickness", self.centre_thickness, 0.5, 30, "mm")
        if self.base_curve is not None:
            within("base curve", self.base_curve, 0, 20, "D")


@dataclass(frozen=True, slots=True)
class PairFigures:
    """Both lenses, and whether the PD was given as one number or one for each eye."""

    right: LensFigures
    left: LensFigures
    pd_given: PdGiven = "monocular"

    def eye(self, side: Side) -> LensFigures:
        """Give one lens."""
        return self.right if side is Side.RIGHT else self.left

    @property
    def measurements(self) -> Measurements | None:
        """PD and heights of both, where both are known."""
        if self.right.place is None or self.left.place is None:
            return None
        return Measurements(self.right.place, self.left.place, self.pd_given)


@dataclass(frozen=True, slots=True)
class MakersSheet:
    """The sheet that came with free-form lenses: the powers that the lensmeter should read, and which file said so."""

    powers: Prescription
    file_name: str
    file_sha256: str

    def __post_init__(self) -> None:
        """Hold the name to its rules, and refuse a hash that is none."""
        object.__setattr__(self, "file_name", clean_text("sheet's file name", self.file_name))
        if len(self.file_sha256) != _SHA256 or set(self.file_sha256) - set("0123456789abcdef"):
            raise RefusedError(
                "sheet's hash", f"'{self.file_sha256}'", "it is 64 hexadecimal digits", "Name the file itself."
            )


class Checked(Enum):
    """What is looked at on the finished frame (common practice, no source)."""

    BENCH = "bench alignment"
    TEMPLES = "temples"
    HINGES = "hinges"
    SEATING = "lens seating"


class DemoCheck(Enum):
    """What was seen of a frame's demonstration lenses on the finished glasses (21 CFR 801.410)."""

    OUT = "out"
    """They were taken out."""
    IN = "in"
    """At least one is in the frame yet, so that the job may not leave."""
    NONE = "none"
    """The frame came without any."""


@dataclass(frozen=True, slots=True)
class Inspection:
    """One inspection of a job: what was ordered, what was found, and the verdicts as they were frozen that day."""

    job_number: int
    day: date
    design: LensType
    standard: str
    edition: str
    ordered: PairFigures
    read: PairFigures
    verdicts: tuple[Verdict, ...]
    off: tuple[Checked, ...] = ()
    """What of the frame was found not to be right."""
    marks_seen: tuple[bool | None, bool | None] = (None, None)
    """Whether both engraved marks were seen on the right and on the left lens; None where there are none to see."""
    sheet: MakersSheet | None = None
    accepted: tuple[AcceptedWarning, ...] = ()
    note: str = ""
    number: int | None = None
    entered: Entered | None = field(default=None, compare=False)
    thinning: float | None = None
    """Equal vertical prism before both eyes by which the lenses were judged; base up is plus. [prism dioptres]"""
    demo_lenses: DemoCheck | None = None
    """What was seen of the frame's demonstration lenses; None where nobody was asked."""

    def __post_init__(self) -> None:
        """Hold the note to its rules, the checklist to its order, and refuse an inspection of nothing."""
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        object.__setattr__(self, "off", tuple(each for each in Checked if each in self.off))
        if not self.verdicts:
            raise RefusedError("inspection", "empty", "at least the power of a lens is judged", "Read both lenses.")

    @property
    def sides(self) -> tuple[Side, ...]:
        """The eyes whose lens was judged, right first; of another none was made, and its figures are those ordered."""
        judged = {verdict.where for verdict in self.verdicts}
        return tuple(side for side in Side if side.value in judged)

    @property
    def passed(self) -> bool:
        """Whether the job may leave: every quantity within its limit, the frame right, the marks where they belong."""
        return not self.failures

    @property
    def failures(self) -> tuple[str, ...]:
        """Name what is not good, in words."""
        marks = zip(Side, self.marks_seen, strict=True)
        return (
            *(f"{verdict.where} {verdict.quantity}" for verdict in self.verdicts if not verdict.passed),
            *(each.value for each in self.off),
            *(f"{side.value} engraved marks" for side, seen in marks if seen is False),
            *(["demonstration lenses still in the frame"] if self.demo_lenses is DemoCheck.IN else []),
        )


class ImpactProof(Enum):
    """What stands for impact resistance (21 CFR 801.410)."""

    CERTIFICATE = "certificate"
    """The supplier's certificate that the lenses are impact-resistant."""
    EXCEPTION = "exception"
    """The prescriber's direction in writing that such lenses will not do for this patient."""


@dataclass(frozen=True, slots=True)
class ImpactRecord:
    """What proves, for one job, that its lenses are impact-resistant or why they need not be."""

    job_number: int
    day: date
    proof: ImpactProof
    reference: str
    note: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold text to its rules; what a customer wishes or waives is no exception (21 CFR 801.410(c)(1))."""
        object.__setattr__(self, "reference", clean_text(f"{self.proof.value} reference", self.reference))
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        folded = self.reference.casefold()
        if self.proof is ImpactProof.EXCEPTION and any(word in folded for word in _NO_EXCEPTION):
            raise RefusedError(
                "exception reference",
                f"'{self.reference}'",
                "only the prescriber may except a patient, in writing; a customer's wish or waiver does not count",
                "Type what names the prescriber's letter, as in 'letter of 2026-02-20'.",
            )


def kept_until(shipped_on: date) -> date:
    """Give the day until which the records of a shipped job are kept at least: three years on.

    The rule does not say when its three years begin; they are counted from shipping.
    """
    year = shipped_on.year + YEARS_KEPT
    try:
        return shipped_on.replace(year=year)
    except ValueError:
        return date(year, 3, 1)


class Scrap(Enum):
    """Which lenses were thrown away."""

    BOTH = "both"
    RIGHT = "right"
    LEFT = "left"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Remake:
    """That a job has to be made again: why, what it cost the shop, and what was thrown away."""

    job_number: int
    day: date
    reason: str
    cost: Cents
    scrap: Scrap = Scrap.BOTH
    follows: int | None = None
    """Number of the inspection after which it was made again; None where there was none."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules, and refuse a cost below nothing."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        if self.cost < 0:
            raise RefusedError("cost", write_amount(self.cost), "it may not be negative", "Type 0 or more.")
        hold_amount("cost", self.cost, JOB_COST)


@dataclass(frozen=True, slots=True)
class Omission:
    """That a job was shipped without a passed inspection, and why."""

    job_number: int
    reason: str

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class BenchHistory:
    """All that happened to a job at the bench, oldest first."""

    job_number: int
    inspections: tuple[Inspection, ...] = ()
    remakes: tuple[Remake, ...] = ()
    impact: tuple[ImpactRecord, ...] = ()
    omission: Omission | None = None

    @property
    def newest(self) -> Inspection | None:
        """The newest inspection, passed or not."""
        return self.inspections[-1] if self.inspections else None

    @property
    def remade(self) -> Remake | None:
        """That it is being made again: the newest remake, where no inspection followed it."""
        newest = self.newest.number if self.newest else None
        remake = self.remakes[-1] if self.remakes else None
        return remake if remake and (remake.follows or 0) >= (newest or 0) else None

    def demo_lenses_out(self, day: date) -> bool:
        """Tell whether the bench had recorded by a day that the frame's demonstration lenses are out.

        What was seen before the job was made again is no longer known.
        """
        remade = max((remake.follows or 0 for remake in self.remakes if remake.day <= day), default=0)
        since = (each for each in self.inspections if (each.number or 0) > remade and each.day <= day)
        said = [each.demo_lenses for each in since if each.demo_lenses is not None]
        return bool(said) and said[-1] is DemoCheck.OUT

    @property
    def lacking(self) -> str:
        """Say why the job may not leave yet; nothing where it may."""
        newest = self.newest
        if newest is None:
            return "was not inspected"
        if self.remade is not None:
            return "was not inspected since it was made again"
        return "" if newest.passed else f"failed its inspection ({', '.join(newest.failures)})"
