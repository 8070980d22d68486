"""The bench's last commands on a job: inspect it, print its certificate, prove impact resistance, make it again."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import (
    accept,
    as_json,
    day_option,
    dry_run,
    existing_file,
    into_folder,
    made,
    measured,
    together,
)
from shopledger.cli.output import Fields, show
from shopledger.cli.params import AMOUNT, MM, NUMBER, RX, Word, read_decimal
from shopledger.cli.prompts import Question, ask, confirm, fill, lacking, tell
from shopledger.ledger.inspections import Checked, ImpactProof, Scrap
from shopledger.money.amount import read_amount
from shopledger.optics.notation import read_eye

if TYPE_CHECKING:
    from shopledger.desk.certifying import PrintedCertificate
    from shopledger.desk.inspecting import InspectionRequest, JobNeeds
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


MARKS = Word(Marks)
SCRAP = Word(Scrap)
REMAKE_QUESTIONS = (
    Question("reason", "--reason", "Why it is made again", text("reason", 2000)),
    Question("cost", "--cost", "What it costs the shop", lambda typed: read_amount(typed, "cost")),
)

reading_options = together(
    click.option("--right", type=RX, help='What the lensmeter reads, as in --right "-2.50 -1.25 x 090 add 2.00".'),
    click.option("--left", type=RX, help="What it reads of the left lens, in either form of the cylinder."),
    click.option("--pd", type=MM, help="Measured PD of both eyes together."),
    click.option("--pd-right", type=MM, help="Measured PD of the right eye; a progressive needs one for each."),
    click.option("--pd-left", type=MM, help="Measured PD of the left eye."),
    click.option("--height", type=MM, help="Measured height of both, to the deepest part of the lens."),
    click.option("--height-right", type=MM, help="Measured height of the right lens."),
    click.option("--height-left", type=MM, help="Measured height of the left lens."),
    click.option("--centre-thickness", type=(MM, MM), metavar="RIGHT LEFT", help="Measured centre thicknesses, mm."),
    click.option("--base-curve", type=(NUMBER, NUMBER), metavar="RIGHT LEFT", help="Measured front curves, D."),
    click.option("--ordered-centre-thickness", type=MM, help="Centre thickness, where one was ordered."),
    click.option("--ordered-base-curve", type=NUMBER, help="Front curve, where one was ordered."),
    click.option("--marks", type=MARKS, help="On which lenses both engraved marks were seen."),
)

frame_options = together(
    click.option("--aligned", is_flag=True, help="Bench alignment, temples, hinges and lens seating are all good."),
    click.option("--misaligned", type=Word(Checked), multiple=True, help="What is not good; may be given again."),
)

sheet_options = together(
    click.option(
        "--compensated-right", type=RX, help="Free-form: what the maker's sheet wants read of the right lens."
    ),
    click.option("--compensated-left", type=RX, help="Free-form: what it wants read of the left lens."),
    click.option("--sheet", type=existing_file, help="The file of the maker's sheet; it is kept with the ledger."),
)


@click.command()
@click.argument("number", type=int)
@reading_options
@frame_options
@sheet_options
@day_option("The day of the inspection.")
@click.option("--note", metavar="TEXT", default="", help="A note kept with the inspection.")
@accept
@dry_run
@as_json
@pass_run
def inspect(run: Run, number: int, accept: tuple[str, ...], dry_run: bool, as_json: bool, **given: Any) -> None:
    """Judge a finished job and keep the verdicts.

    By ANSI Z80.1, a voluntary guideline; free-form lenses by the powers of the maker's sheet. What is missing is asked
    on a terminal. A failed inspection is kept too.
    """
    from dataclasses import replace

    from shopledger.cli.findings import accepted
    from shopledger.cli.views.bench import inspection_blocks, inspection_data
    from shopledger.desk.inspecting import job_needs, plan_inspection, record_inspection

    desk = run.desk()
    _ask(run, given, job_needs(desk, number))
    request = _request(number, given, frozenset(accept))
    plan = plan_inspection(desk, request)
    if not dry_run:
        said_yes = accepted(run, plan.findings, request.accept)
        plan = record_inspection(desk, replace(request, accept=said_yes))
    show(as_json, inspection_data(plan), *inspection_blocks(plan.inspection))
    if dry_run:
        for finding in plan.findings:
            tell(f"Warning: {finding.sentence} [{finding.code}]")
        tell("Nothing was stored: this was a dry run.")
    elif plan.inspection.passed:
        tell(f"Job {number} passed. Next: 'shopledger job certificate {number} --into FOLDER'.")
    else:
        remake = f"shopledger job remake {number} --reason TEXT --cost AMOUNT"
        tell(f"Job {number} FAILED: {', '.join(plan.inspection.failures)}. Next: '{remake}'.")


@click.command()
@click.argument("number", metavar="JOB", type=int)
@into_folder
@click.option("--anew", is_flag=True, help="Issue a new one, where it would say something else today.")
@as_json
@pass_run
def certificate(run: Run, number: int, folder: Path, anew: bool, as_json: bool) -> None:
    """Print the certificate of a job's newest inspection.

    The first print issues it under a number; later prints are the same bytes, whatever has changed since. What changed
    is told here.
    """
    from shopledger.desk.certifying import print_certificate

    _show_certificate(print_certificate(run.desk(), number, made(folder), anew=anew), as_json=as_json)


@click.command()
@click.argument("number", metavar="NUMBER", type=int)
@into_folder
@as_json
@pass_run
def print_certificate(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Print a certificate again by its number.

    Any that was ever issued, of a failed or an earlier inspection too.
    """
    from shopledger.desk.certifying import print_issued

    _show_certificate(print_issued(run.desk(), number, made(folder)), as_json=as_json)


@click.command()
@click.argument("number", type=int)
@click.option("--certificate", metavar="REFERENCE", help="The supplier's certificate of impact resistance.")
@click.option("--exception", metavar="REFERENCE", help="The prescriber's written exception; a customer's wish is none.")
@day_option("The day it came in.")
@click.option("--note", metavar="TEXT", default="", help="A note kept with it.")
@as_json
@pass_run
def impact(run: Run, number: int, certificate: str | None, exception: str | None, as_json: bool, **given: Any) -> None:
    """Keep what proves a job's impact resistance.

    21 CFR 801.410. It is kept three years at least, counted from the day the job is shipped.
    """
    from shopledger.cli.views.bench import impact_data, impact_fields
    from shopledger.desk.inspecting import record_impact

    if certificate is not None and exception is not None:
        raise click.UsageError("--certificate and --exception are both given. Give the one that holds for this job.")
    if certificate is None and exception is None:
        if not run.asks:
            lacking("--certificate or --exception")
        certificate = ask("Supplier's certificate", text("certificate reference"))
    proof = ImpactProof.CERTIFICATE if exception is None else ImpactProof.EXCEPTION
    kept = record_impact(run.desk(), number, proof, certificate or exception or "", given["day"], given["note"])
    show(as_json, impact_data(kept), impact_fields(kept))


@click.command()
@click.argument("number", type=int)
@click.option("--reason", metavar="TEXT", help="Why it is made again.")
@click.option("--cost", type=AMOUNT, help="What it costs the shop.")
@click.option("--scrap", type=SCRAP, default="both", show_default=True, help="Which lenses are thrown away.")
@day_option("The day it was decided.")
@as_json
@pass_run
def remake(run: Run, number: int, as_json: bool, **given: Any) -> None:
    """Keep that a job is made again, and what it cost.

    It must pass an inspection anew before it leaves.
    """
    from shopledger.cli.views.bench import OUT, remake_fields
    from shopledger.desk.inspecting import record_remake

    fill(run, given, REMAKE_QUESTIONS)
    done = record_remake(run.desk(), number, given["reason"], given["cost"], given["scrap"], given["day"])
    show(as_json, OUT.of(done), remake_fields(done))
    tell(f"Next: 'shopledger job inspect {number}' once it is made.")


@click.command()
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def makers_sheet(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the maker's sheet that a job was judged by.

    The file as it was kept at the inspection; one that was lost or changed since is refused.
    """
    from shopledger.desk.certifying import hand_out_makers_sheet

    file = str(hand_out_makers_sheet(run.desk(), number, made(folder)))
    show(as_json, {"job": number, "file": file}, Fields("", (("job", str(number)), ("file", file))))


COMMANDS = (inspect, certificate, print_certificate, makers_sheet, impact, remake)
"""What the group of job commands takes from here."""


def _show_certificate(printed: PrintedCertificate, *, as_json: bool) -> None:
    """Show what was printed, and tell beside it what the paper itself does not say."""
    from shopledger.cli.views.bench import certificate_data, certificate_fields, certificate_notes

    show(as_json, certificate_data(printed), certificate_fields(printed))
    for sentence in certificate_notes(printed):
        tell(sentence)


def _ask(run: Run, given: dict[str, Any], needs: JobNeeds) -> None:
    """Ask for what this job has to be judged by and the options lack, or name the first option that is missing."""
    fill(run, given, tuple(_questions(given, needs)))
    if given["aligned"] and given["misaligned"]:
        raise click.UsageError("--aligned and --misaligned are both given. Give the one that holds.")
    if not given["aligned"] and not given["misaligned"]:
        if not run.asks:
            lacking("--aligned")
        bad = [each for each in Checked if not confirm(f"Is it good: {each.value}?", default=True)]
        given["misaligned"] = tuple(bad)


def _questions(given: dict[str, Any], needs: JobNeeds) -> list[Question]:
    asked = [
        Question("right", "--right", "The lensmeter reads, right", read_eye),
        Question("left", "--left", "The lensmeter reads, left", read_eye),
    ]
    if needs.pd and needs.each_eye:
        asked += [_length(f"pd_{side}", f"Measured PD, {side}") for side in ("right", "left") if given["pd"] is None]
    elif needs.pd and given["pd_right"] is None and given["pd_left"] is None:
        asked.append(_length("pd", "Measured PD of both eyes"))
    if needs.heights and given["height"] is None:
        asked += [_length(f"height_{side}", f"Measured height, {side}") for side in ("right", "left")]
    if needs.marks:
        words = "Both engraved marks seen on (both, right, left, none)"
        asked.append(Question("marks", "--marks", words, lambda typed: MARKS.read(typed, "marks")))
    return asked


def _length(name: str, words: str) -> Question:
    field = name.replace("_", " ")
    return Question(name, f"--{name.replace('_', '-')}", words, lambda typed: read_decimal(typed, field))


def _request(number: int, given: dict[str, Any], accept: frozenset[str]) -> InspectionRequest:
    from shopledger.desk.inspecting import InspectionRequest

    heights = tuple(given["height"] if one is None else one for one in (given["height_right"], given["height_left"]))
    return InspectionRequest(
        job_number=number,
        read=_both(given["right"], given["left"], "--right"),
        measured=measured(given["pd"], (given["pd_right"], given["pd_left"]), None, heights),
        centre_thickness=given["centre_thickness"] or (None, None),
        base_curve=given["base_curve"] or (None, None),
        ordered_centre_thickness=given["ordered_centre_thickness"],
        ordered_base_curve=given["ordered_base_curve"],
        marks_seen=given["marks"].seen if given["marks"] else (None, None),
        off=given["misaligned"],
        compensated=_compensated(given),
        sheet=given["sheet"],
        day=given["day"],
        note=given["note"],
        accept=accept,
    )


def _compensated(given: dict[str, Any]) -> Prescription | None:
    right, left = given["compensated_right"], given["compensated_left"]
    return None if right is None and left is None else _both(right, left, "--compensated-right")


def _both(right: EyePrescription | None, left: EyePrescription | None, option: str) -> Prescription:
    from shopledger.optics.prescription import Prescription

    if right is None or left is None:
        lacking(option if right is None else option.replace("right", "left"))
    return Prescription(right, left)
