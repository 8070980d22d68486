"""The bench's last commands on a job: inspect it, print the record of that, prove impact resistance, make it again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from enum import Enum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.hints import hint_of
from shopledger.cli.lens_options import MeasurementOptions, either, measured
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    dry_run,
    existing_file,
    into_folder,
    into_paper_folder,
    made,
    needed,
    nothing_given,
    option,
    options,
    reason,
)
from shopledger.cli.output import Fields, show
from shopledger.cli.params import AMOUNT, MM, NEAR_PD, NUMBER, RX, Typed, Word, text
from shopledger.cli.prompts import DRY_RUN, accepted, ask, lacking, only_asked, tell
from shopledger.cli.questions import YES_NO, Question, fill, one_of, read_yes
from shopledger.ledger.again import MADE_AGAIN, RemakeCause
from shopledger.ledger.inspections import Checked, DemoCheck, ImpactProof, Scrap
from shopledger.ledger.orders import OffStep
from shopledger.money.amount import Cents
from shopledger.optics.sides import Side
from shopledger.typed.numbers import read_decimal, read_lengths
from shopledger.typed.thinning import read_thinning_prism

if TYPE_CHECKING:
    from shopledger.desk.certifying import PrintedCertificate
    from shopledger.desk.inspecting import InspectionRequest, JobNeeds
    from shopledger.desk.remaking import RemakeRequest
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.prescription import EyePrescription, Prescription


class Marks(Enum):
    """On which lenses both engraved marks were seen."""

    BOTH = "both"
    RIGHT = "right"
    LEFT = "left"
    NONE = "none"

    @property
    def seen(self) -> tuple[bool, bool]:
        """Whether they were seen on the right and on the left lens."""
        return self in {Marks.BOTH, Marks.RIGHT}, self in {Marks.BOTH, Marks.LEFT}


def _read_thinning(text: str, field: str) -> float | str:
    """Read equal thinning prism: up or down before both eyes, or that it is as it was read."""
    typed = " ".join(text.casefold().split())
    return AS_READ if typed == AS_READ else read_thinning_prism(text, field)


AS_READ = "as read"
"""Typed where thinning prism is the equal part of what both lenses read."""
THINNING = Typed("prism|as read", _read_thinning)
TILT = Typed("degrees", lambda text, _: read_lengths(text, "tilt"))
MARKS = Word(Marks)
DEMO = Word(DemoCheck)
SCRAP = Word(Scrap)
CAUSE = Word(RemakeCause, MADE_AGAIN)


class InspectOptions(OptionSet):
    """What was measured on a finished job, and the sheet that it is judged by where it has one."""

    right: EyePrescription | None = option(
        "--right", type=RX, help='What the lensmeter reads, as in --right "-2.50 -1.25 x 090 add 2.00".'
    )
    left: EyePrescription | None = option(
        "--left", type=RX, help="What it reads of the left lens, in either form of the cylinder."
    )
    pd: float | None = option(
        "--pd", type=MM, help="Measured PD of both eyes together, where power and prism were read."
    )
    pd_right: float | None = option(
        "--pd-right", type=MM, help="Measured PD of the right eye; a progressive needs one for each."
    )
    pd_left: float | None = option("--pd-left", type=MM, help="Measured PD of the left eye.")
    height: float | None = option(
        "--height", type=MM, help="Measured height of both, from the lowest point of the lens."
    )
    height_right: float | None = option("--height-right", type=MM, help="Measured height of the right lens.")
    height_left: float | None = option("--height-left", type=MM, help="Measured height of the left lens.")
    near_pd: tuple[float, ...] | None = option(
        "--near-pd", type=NEAR_PD, help="Measured near PD of a lined pair's segments, to the middle of each."
    )
    tilt: tuple[float, ...] | None = option(
        "--tilt",
        type=TILT,
        help="How segments lie, in degrees, right/left; counter-clockwise from the front is plus.",
    )
    segment_width: tuple[float, float] | None = option(
        "--segment-width", type=(MM, MM), metavar="RIGHT LEFT", help="Measured widths of the segments, mm."
    )
    thinning: float | str | None = option(
        "--thinning",
        type=THINNING,
        help="Equal thinning prism of progressives, as in '1.5 BD', or 'as read', which it is for lenses that have it.",
    )
    centre_thickness: tuple[float, float] | None = option(
        "--centre-thickness", type=(MM, MM), metavar="RIGHT LEFT", help="Measured centre thicknesses, mm."
    )
    base_curve: tuple[float, float] | None = option(
        "--base-curve", type=(NUMBER, NUMBER), metavar="RIGHT LEFT", help="Measured front curves, D."
    )
    ordered_centre_thickness: float | None = option(
        "--ordered-centre-thickness", type=MM, help="Centre thickness, where one was ordered."
    )
    ordered_base_curve: float | None = option(
        "--ordered-base-curve", type=NUMBER, help="Front curve, where one was ordered."
    )
    marks: Marks | None = option("--marks", type=MARKS, help="On which lenses both engraved marks were seen.")
    aligned: bool = option(
        "--aligned", is_flag=True, help="Bench alignment, temples, hinges and lens seating are all good."
    )
    misaligned: tuple[Checked, ...] = option(
        "--misaligned", type=Word(Checked), multiple=True, help="What is not good; may be given again."
    )
    demo_lenses: DemoCheck | None = option(
        "--demo-lenses",
        type=DEMO,
        help="The frame's demonstration lenses: out, still in it, or none came with it. Said nowhere if not given.",
    )
    compensated_right: EyePrescription | None = option(
        "--compensated-right", type=RX, help="Free-form: what the maker's sheet wants read of the right lens."
    )
    compensated_left: EyePrescription | None = option(
        "--compensated-left", type=RX, help="Free-form: what it wants read of the left lens."
    )
    sheet: Path | None = option(
        "--sheet", type=existing_file, help="The file of the maker's sheet; it is kept with the ledger."
    )
    day: date | None = day("The day of the inspection.")
    note: str = option("--note", metavar="TEXT", default="", help="A note kept with the inspection.")


class ImpactOptions(OptionSet):
    """What proves the impact resistance of a job's lenses."""

    certificate: str | None = option(
        "--certificate", metavar="REFERENCE", help="The supplier's certificate of impact resistance."
    )
    exception: str | None = option(
        "--exception", metavar="REFERENCE", help="The prescriber's written exception; a customer's wish is none."
    )
    day: date | None = day("The day it came in.")
    note: str = option("--note", metavar="TEXT", default="", help="A note kept with it.")


class RemakeOptions(OptionSet):
    """Why a job is made again, and what it costs."""

    reason: str | None = reason("Why it is made again.", "Why it is made again")
    cost: Cents | None = option("--cost", type=AMOUNT, help="What it costs the shop.", ask="What it costs the shop")
    scrap: Scrap | None = option("--scrap", type=SCRAP, help="Which lenses are thrown away. Otherwise both.")
    day: date | None = day("The day it was decided.")


class AnewOptions(OptionSet):
    """What a job made again as one of its own is made for, and what of it is other than before."""

    because: RemakeCause | None = option(
        "--because",
        type=CAUSE,
        help="Through whose doing; asked for where the job left.",
        ask="Through whose doing (shop, maker, prescriber, customer, broken, lost)",
    )
    only: Side | None = option("--only", type=Word(Side), help="Make this lens alone; the other one is kept.")
    prescription: int | None = option(
        "--prescription", metavar="NUMBER", type=int, help="Make it under another prescription."
    )
    lens: str = option("--lens", metavar="CODE", default="", help="Another lens.")
    off_step: OffStep | None = option(
        "--off-step",
        type=Word(OffStep),
        help="What is made where a power lies between two quarters: exact, the one with less plus, or with more.",
    )
    frame: str = option("--frame", metavar="CODE", default="", help="Another frame, which goes along without a charge.")
    new_frame: bool = option("--new-frame", is_flag=True, help="The same frame goes along once more, without a charge.")

    def request(self, job: int, why: str, places: Measurements | None, day: date | None) -> RemakeRequest:
        """Give what is asked for."""
        from shopledger.desk.remaking import RemakeRequest

        return RemakeRequest(
            job_number=job,
            cause=needed(self.because),
            reason=why,
            only=self.only,
            prescription=self.prescription,
            measurements=places,
            lens=self.lens,
            off_step=self.off_step,
            frame=self.frame,
            new_frame=self.new_frame,
            day=day,
        )


@click.command()
@click.argument("number", type=int)
@options(InspectOptions)
@accept
@dry_run
@as_json
@pass_run
def inspect(
    run: Run, number: int, given: InspectOptions, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Judge a finished job and keep the verdicts.

    By tolerances after published summaries of ANSI Z80.1, a voluntary guideline that was not read itself; free-form
    lenses by the powers of the maker's sheet. What is missing is asked on a terminal. A failed inspection is kept too.

    Example:
    shopledger job inspect 5 --right '-2.50 -1.25 x 090' --left '-2.25 DS' --pd 63
    """
    from shopledger.cli.views.bench import inspection_blocks, inspection_data
    from shopledger.desk.inspecting import job_needs, plan_inspection, record_inspection

    desk = run.desk()
    needs = job_needs(desk, number)
    request = _request(number, _asked(run, given, needs), needs, frozenset(accept))
    plan = plan_inspection(desk, request)
    only_asked(plan.findings, request.accept)
    if not dry_run:
        said_yes = accepted(run, plan.findings, request.accept)
        plan = record_inspection(desk, replace(request, accept=said_yes))
    show(as_json, inspection_data(plan), *inspection_blocks(plan.inspection))
    if needs.demo_lenses and request.demo_lenses is None:
        tell("Nothing was said of the frame's demonstration lenses, so no paper will: '--demo-lenses out' says it.")
    if dry_run:
        for finding in plan.findings:
            tell(f"Warning: {finding.sentence} [{finding.code}]")
        tell(DRY_RUN)
    elif plan.inspection.passed:
        tell(f"Job {number} passed. Next: 'shopledger job inspection-record {number}'.")
    else:
        remake = f"shopledger job remake {number} --reason TEXT --cost AMOUNT"
        tell(f"Job {number} FAILED: {', '.join(plan.inspection.failures)}. Next: '{remake}'.")


@click.command()
@click.argument("number", metavar="JOB", type=int)
@into_paper_folder
@click.option("--anew", is_flag=True, help="Issue a new one, where it would say something else today.")
@as_json
@pass_run
def inspection_record(run: Run, number: int, folder: Path, anew: bool, as_json: bool) -> None:
    """Print the record of a job's newest inspection.

    What was measured, and whether it lies within tolerances after published summaries of ANSI Z80.1; the standard
    itself was not read, and nothing is certified. The first print issues it under a number; later prints are the same
    bytes, whatever has changed since. What changed is told here.

    Example:
    shopledger job inspection-record 5 --into papers
    """
    from shopledger.desk.certifying import print_certificate

    _show_record(print_certificate(run.desk(), number, made(folder), anew=anew), as_json=as_json)


@click.command()
@click.argument("number", metavar="NUMBER", type=int)
@into_paper_folder
@as_json
@pass_run
def print_record(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Print an inspection record again by its number.

    Any that was ever issued, of a failed or an earlier inspection too.

    Example:
    shopledger job print-record 2 --into papers
    """
    from shopledger.desk.certifying import print_issued

    _show_record(print_issued(run.desk(), number, made(folder)), as_json=as_json)


@click.command()
@click.argument("number", type=int)
@options(ImpactOptions)
@as_json
@pass_run
def impact(run: Run, number: int, given: ImpactOptions, as_json: bool) -> None:
    """Keep what proves a job's impact resistance.

    21 CFR 801.410. It is kept three years at least, counted from the day the job is shipped.

    Example:
    shopledger job impact 5 --certificate C-2207
    """
    from shopledger.cli.views.bench import impact_data, impact_fields
    from shopledger.desk.inspecting import record_impact

    certificate, exception = given.certificate, given.exception
    if certificate is not None and exception is not None:
        raise click.UsageError("--certificate and --exception are both given. Give the one that holds for this job.")
    if certificate is None and exception is None:
        if not run.asks:
            lacking("--certificate or --exception")
        certificate = ask("Supplier's certificate", text("certificate reference"))
    proof = ImpactProof.CERTIFICATE if exception is None else ImpactProof.EXCEPTION
    kept = record_impact(run.desk(), number, proof, certificate or exception or "", given.day, given.note)
    show(as_json, impact_data(kept), impact_fields(kept))


@click.command()
@click.argument("number", metavar="JOB", type=int)
@options(RemakeOptions)
@options(AnewOptions, "anew")
@options(MeasurementOptions, "places")
@accept
@dry_run
@as_json
@pass_run
def remake(
    run: Run,
    number: int,
    given: RemakeOptions,
    anew: AnewOptions,
    places: MeasurementOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Make a job again, as it is or as a new job.

    A job that left, or that is made otherwise than before, gets a job of its own in its place: it stands on the board,
    its lenses are ordered and inspected, and it leaves in a parcel of its own, without a charge.

    Example:
    shopledger job remake 5 --reason scratched --cost 12.00
    """
    from shopledger.cli.views.bench import OUT, remade_data, remade_fields, remake_fields
    from shopledger.desk.inspecting import record_remake
    from shopledger.desk.remaking import needs_job_of_its_own, plan_remake, remake_job

    desk = run.desk()
    measurements = places.measurements
    if measurements is None and nothing_given(anew) and not needs_job_of_its_own(desk, number):
        if dry_run:
            raise click.UsageError("--dry-run is for a job of its own. A job made again as it is needs none.")
        given = asked(run, given, "reason", "cost")
        done = record_remake(
            desk, number, needed(given.reason), needed(given.cost), given.scrap or Scrap.BOTH, given.day
        )
        show(as_json, OUT.of(done), remake_fields(done))
        tell(f"Next: 'shopledger job inspect {number}' once it is made.")
        return
    if given.cost is not None or given.scrap is not None:
        message = "--cost and --scrap are of a job made again as it is. What a new job costs, the bills for it say."
        raise click.UsageError(message)
    given, anew = asked(run, given, "reason"), asked(run, anew, "because")
    request = anew.request(number, needed(given.reason), measurements, given.day)
    plan = plan_remake(desk, request)
    if not dry_run:
        said_yes = accepted(run, plan.findings, accept)
        plan = remake_job(desk, replace(request, accept=said_yes))
    show(as_json, remade_data(plan), *remade_fields(plan))
    if dry_run:
        tell(DRY_RUN)
        return
    job = plan.pair.job_number
    tell(f"Job {job} stands on the board. Next: 'shopledger job order-lenses {job} --from SUPPLIER'.")
    for receipt in plan.touched_receipts:
        again = f"'shopledger receipt replace {receipt}'"
        tell(f"Receipt {receipt} shows the glasses of before: {again} once the job leaves.")


@click.command()
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def makers_sheet(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the maker's sheet that a job was judged by.

    The file as it was kept at the inspection; one that was lost or changed since is refused.

    Example:
    shopledger job makers-sheet 5 --into papers
    """
    from shopledger.desk.certifying import hand_out_makers_sheet

    file = hand_out_makers_sheet(run.desk(), number, made(folder))
    show(as_json, {"job": number, "file": str(file)}, Fields("", (("job", str(number)), ("file", file))))


COMMANDS = (inspect, inspection_record, print_record, makers_sheet, impact, remake)
"""What the group of job commands takes from here."""
FORMER = {"certificate": inspection_record, "print-certificate": print_record}
"""Names that commands had before, and still answer to."""


def _show_record(printed: PrintedCertificate, *, as_json: bool) -> None:
    """Show what was printed, and tell beside it what the paper itself does not say."""
    from shopledger.cli.views.bench import certificate_data, certificate_fields, certificate_notes

    show(as_json, certificate_data(printed), certificate_fields(printed))
    for sentence in certificate_notes(printed):
        tell(sentence)


class _Looked(OptionSet):
    """What was measured, and whether each thing that is looked at is good, as far as that was said."""

    given: InspectOptions
    good: OptionSet


def _asked(run: Run, given: InspectOptions, needs: JobNeeds) -> InspectOptions:
    """Ask for what this job has to be judged by and the options lack, or name the first option that is missing.

    No judgement has a usual answer: each is typed by whoever looked.
    """
    if given.aligned and given.misaligned:
        raise click.UsageError("--aligned and --misaligned are both given. Give the one that holds.")
    said = given.aligned or bool(given.misaligned)
    good = {each.name: said or None for each in Checked}
    asked = [each._replace(name=f"given.{each.name}") for each in _questions(given, needs)]
    asked += [_judgement(each) for each in Checked]
    if needs.demo_lenses and run.asks and not said:
        asked.append(DEMO_LENSES)
    looked = fill(run, _Looked.with_only(given=given, good=OptionSet.with_only(**good)), asked)
    bad = tuple(each for each in Checked if getattr(looked.good, each.name) is False)
    return looked.given if said else looked.given.but(misaligned=bad)


def _judgement(each: Checked) -> Question:
    words = f"Is it good: {each.value}? (y/n)"
    return Question(f"good.{each.name}", "--aligned", words, read_yes, lists=lambda _run, _before: YES_NO)


DEMO_LENSES = Question(
    "given.demo_lenses",
    "--demo-lenses",
    "The frame's demonstration lenses: out, in, or none came with it (Enter says nothing)",
    lambda typed: DEMO.read(typed, "demonstration lenses") if typed.strip() else None,
    usual="",
    lists=one_of("demonstration lenses", DemoCheck),
)


def _reading(side: str) -> Question:
    words = f"The lensmeter reads, {side}"
    return Question(side, f"--{side}", words, lambda typed: RX.read(typed, side), hint=hint_of(RX))


def _questions(given: InspectOptions, needs: JobNeeds) -> list[Question]:
    found = [_reading(side.value) for side in needs.sides]
    if needs.pd and needs.each_eye:
        found += [_length(f"pd_{each.value}", f"Measured PD, {each.value}") for each in needs.sides if given.pd is None]
    elif needs.pd and given.pd_right is None and given.pd_left is None:
        found.append(_length("pd", "Measured PD of both eyes"))
    if needs.heights and given.height is None:
        found += [_length(f"height_{each.value}", f"Measured height, {each.value}") for each in needs.sides]
    if needs.segments and needs.near:
        words = "Near PD measured to the segments' middles, right and left"
        found.append(Question("near_pd", "--near-pd", words, lambda typed: read_lengths(typed, "near PD")))
    if needs.segments:
        words = "Tilt of the segments in degrees, right and left (0 is level)"
        found.append(Question("tilt", "--tilt", words, lambda typed: read_lengths(typed, "tilt")))
    if needs.marks:
        words = "Both engraved marks seen on (both, right, left, none)"
        read = partial(MARKS.read, field="marks")
        found.append(Question("marks", "--marks", words, read, lists=one_of("marks", Marks)))
    return found


def _length(name: str, words: str) -> Question:
    field = name.replace("_", " ")
    option = f"--{name.replace('_', '-')}"
    return Question(name, option, words, lambda typed: read_decimal(typed, field), hint=hint_of(MM))


def _request(number: int, given: InspectOptions, needs: JobNeeds, accept: frozenset[str]) -> InspectionRequest:
    from shopledger.desk.inspecting import InspectionRequest

    heights = either(given.height, given.height_right, given.height_left)
    compensated = (given.compensated_right, given.compensated_left)
    return InspectionRequest(
        job_number=number,
        read=_read(given, needs),
        measured=measured(given.pd, _of_made((given.pd_right, given.pd_left), needs), (), _of_made(heights, needs)),
        near_pd=given.near_pd or (),
        tilt=_each(given.tilt, needs),
        segment_width=given.segment_width or (None, None),
        thinning=given.thinning if isinstance(given.thinning, float) else None,
        thinning_as_read=given.thinning == AS_READ or (given.thinning is None and needs.thinned and _two(needs)),
        centre_thickness=given.centre_thickness or (None, None),
        base_curve=given.base_curve or (None, None),
        ordered_centre_thickness=given.ordered_centre_thickness,
        ordered_base_curve=given.ordered_base_curve,
        marks_seen=given.marks.seen if given.marks else (None, None),
        off=given.misaligned,
        compensated=_both(*compensated, "--compensated-right") if any(compensated) else None,
        sheet=given.sheet,
        day=given.day,
        note=given.note,
        accept=accept,
        demo_lenses=given.demo_lenses,
    )


def _of_made(both: tuple[float | None, float | None], needs: JobNeeds) -> tuple[float | None, float | None]:
    """Give both eyes' lengths; that of the one lens that was made stands for the other eye, of which none is judged."""
    if _two(needs):
        return both
    only = both[0] if needs.sides[0] is Side.RIGHT else both[1]
    return only, only


def _two(needs: JobNeeds) -> bool:
    return len(needs.sides) == len(Side)


def _each(given: tuple[float, ...] | None, needs: JobNeeds) -> tuple[float | None, float | None]:
    """Give what was typed for each eye; one figure is that of the one lens with a segment, or of both."""
    if given is None:
        return None, None
    right, left = (given[0], given[-1])
    if len(needs.segments) == 1:
        return (right, None) if needs.segments[0] is Side.RIGHT else (None, left)
    return right, left


def _read(given: InspectOptions, needs: JobNeeds) -> Prescription:
    """Put both readings together; of an eye for which the job has no lens the other's stands for none."""
    if len(needs.sides) == 1:
        only = needs.sides[0].value
        read, other = (given.right, given.left) if only == "right" else (given.left, given.right)
        if other is not None:
            message = f"The job has a {only} lens only. Leave the other reading out."
            raise click.UsageError(message)
        return _both(read, read, f"--{only}")
    return _both(given.right, given.left, "--right")


def _both(right: EyePrescription | None, left: EyePrescription | None, option: str) -> Prescription:
    from shopledger.optics.prescription import Prescription

    if right is None or left is None:
        lacking(option if right is None else option.replace("right", "left"))
    return Prescription(right, left)
