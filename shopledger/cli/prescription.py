"""Prescriptions: recorded as written, checked before they are kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.lens_options import EyeOptions
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    dry_run,
    existing_file,
    into_folder,
    made,
    option,
    options,
)
from shopledger.cli.output import Drawing, Fields, show
from shopledger.cli.params import ADD, BOTH, COMING_DAY, DAY
from shopledger.cli.prescription_questions import EYES, Eyes, PrescriptionOptions, asked_eyes, written_eye
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.cli.questions import fill

if TYPE_CHECKING:
    from shopledger.desk.prescribing import PrescriptionPlan, PrescriptionRequest
    from shopledger.optics.prescription import Prescription


class DocumentOptions(OptionSet):
    """What else stands on the prescriber's document."""

    intermediate: float | None = option(
        "--intermediate", type=ADD, help="What the prescriber adds for a screen, if written."
    )
    document: str = option("--document", metavar="TEXT", default="", help="Where the paper is kept.")
    file: Path | None = option(
        "--file", type=existing_file, help="The document itself, of which a copy is kept with its hash."
    )
    diagnoses: tuple[str, ...] = option(
        "--diagnosis",
        metavar="CODE",
        multiple=True,
        help="ICD-10-CM code from the prescriber's document, never your own; may be given again.",
    )


both_eyes = click.option(
    "--both", type=BOTH, help='Both eyes in one line, each named, as in --both "OD -2.50 DS OS -2.25 DS add 2.00 OU".'
)


@click.group()
def prescription() -> None:
    """Record and check prescriptions."""


@prescription.command()
@options(PrescriptionOptions)
@options(EyeOptions, "right", side="right")
@options(EyeOptions, "left", side="left")
@both_eyes
@options(DocumentOptions, "document")
@accept
@dry_run
@as_json
@pass_run
def add(
    run: Run,
    given: PrescriptionOptions,
    right: EyeOptions,
    left: EyeOptions,
    both: Prescription | None,
    document: DocumentOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Record a prescription as written, and check it first.

    Example:
    shopledger prescription add --customer 1 --wearer Wren --prescriber 1
        --written 2026-02-20 --right "-2.50 -1.25 x 090" --left "-2.25 DS"
    """
    from shopledger.desk.prescribing import plan_prescription, record_prescription
    from shopledger.desk.prescription_files import document_name
    from shopledger.desk.refusals import accepted_warnings

    request = _request(run, _eyes(right, left, both, given), document, frozenset(accept))
    plan = plan_prescription(run.desk(), request)
    only_asked(plan.findings, request.accept)
    if not (run.asks or dry_run):
        accepted_warnings(plan.findings, request.accept)
    _say_read(plan.written.powers)
    if dry_run:
        _show(plan, document.file.name if document.file else "", as_json)
        tell(DRY_RUN)
        return
    said_yes = accepted(run, plan.findings, request.accept)
    plan = record_prescription(run.desk(), replace(request, accept=said_yes))
    _show(plan, document_name(run.desk(), plan.written), as_json)
    tell(f"Prescription {plan.written.number} of {plan.wearer.name} was recorded.")


@prescription.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_prescription(run: Run, number: int, as_json: bool) -> None:
    """Show one prescription; the look is noted.

    Example:
    shopledger prescription show 1
    """
    from shopledger.cli.views.lenses import OUT, written_blocks
    from shopledger.desk.prescribing import prescription_card
    from shopledger.desk.prescription_files import document_name

    desk = run.desk()
    written, wearer, prescriber = prescription_card(desk, number)
    file = document_name(desk, written)
    data = {**OUT.of(written), "file_name": file, "wearer_name": wearer.name, "prescriber_name": prescriber.name}
    show(as_json, data, *written_blocks(written, wearer.name, prescriber.name, file))


@prescription.command("keep-file")
@click.argument("number", type=int)
@click.argument("file", type=existing_file)
@as_json
@pass_run
def keep_file(run: Run, number: int, file: Path, as_json: bool) -> None:
    """Keep a prescriber's document that came after the prescription.

    A copy lies in the ledger with its hash; what is kept stays, so there is one for each prescription.

    Example:
    shopledger prescription keep-file 1 scan.pdf
    """
    from shopledger.cli.views.lenses import OUT
    from shopledger.desk.prescription_files import document_name, keep_document

    desk = run.desk()
    written = keep_document(desk, number, file)
    name = document_name(desk, written)
    fields = Fields("", (("prescription", str(number)), ("file", name)))
    show(as_json, {**OUT.of(written), "file_name": name}, fields)
    tell(f"{name} is kept with prescription {number}.")


@prescription.command("file")
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def write_file(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the kept document of a prescription into a folder.

    Its hash proves first that it is what was kept. The look is noted.

    Example:
    shopledger prescription file 1 --into papers
    """
    from shopledger.desk.prescription_files import hand_out_document

    written = hand_out_document(run.desk(), number, made(folder))
    show(as_json, {"prescription": number, "file": str(written)}, Drawing((str(written),)))


@prescription.command()
@click.argument("number", type=int)
@click.option(
    "--diagnosis",
    "diagnoses",
    metavar="CODE",
    multiple=True,
    required=True,
    help="ICD-10-CM code from the prescriber's document, never your own; may be given again.",
)
@as_json
@pass_run
def diagnose(run: Run, number: int, diagnoses: tuple[str, ...], as_json: bool) -> None:
    """Add diagnosis codes that came after the prescription.

    A receipt that was issued before does not show them until it is replaced.

    Example:
    shopledger prescription diagnose 1 --diagnosis H52.4
    """
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, written_blocks
    from shopledger.desk.prescribing import add_diagnoses, prescription_card
    from shopledger.desk.prescription_files import document_name

    desk = run.desk()
    _, findings = add_diagnoses(desk, number, diagnoses)
    written, wearer, prescriber = prescription_card(desk, number)
    file = document_name(desk, written)
    data = {**OUT.of(written), "file_name": file, "findings": finding_data(findings)}
    show(as_json, data, *written_blocks(written, wearer.name, prescriber.name, file), finding_table(findings))


@prescription.command()
@options(EyeOptions, "right", side="right")
@options(EyeOptions, "left", side="left")
@both_eyes
@click.option("--written", type=DAY, help="The day it was written.")
@click.option("--expires", type=COMING_DAY, help="The day until which it may be used, as written.")
@as_json
@pass_run
def check(
    run: Run,
    right: EyeOptions,
    left: EyeOptions,
    both: Prescription | None,
    written: date | None,
    expires: date | None,
    as_json: bool,
) -> None:
    """Check powers and dates without a ledger.

    Ends with code 20 where an error was found.

    Example:
    shopledger prescription check --right '-2.50 -1.25 x 090' --left '-2.25 DS'
    """
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, powers_table
    from shopledger.errors import OpticsError
    from shopledger.optics.checks import check_prescription

    powers = fill(run, _eyes(right, left, both), EYES).powers
    _say_read(powers)
    findings = check_prescription(powers, written_on=written, expires_on=expires, today=run.today)
    data = {**OUT.of(powers), "findings": finding_data(findings)}
    show(as_json, data, powers_table(powers), finding_table(findings))
    if any(finding.stops for finding in findings):
        click.get_current_context().exit(OpticsError.exit_code)


def _eyes(
    right: EyeOptions, left: EyeOptions, both: Prescription | None, who: PrescriptionOptions | None = None
) -> Eyes:
    """Put together what the options give of both eyes."""
    given = {"right": right.eye("right"), "left": left.eye("left")}
    if both is not None:
        if any(given.values()):
            raise click.UsageError("--both is given with an option for one eye. Give one of them.")
        given = {"right": both.right, "left": both.left}
    return Eyes(right=given["right"], left=given["left"], who=who)


def _say_read(powers: Prescription) -> None:
    """Say what was understood, in the one form that reads back."""
    tell(f"Read: right {written_eye(powers.right)}, left {written_eye(powers.left)}")


def _request(run: Run, given: Eyes, document: DocumentOptions, accept: frozenset[str]) -> PrescriptionRequest:
    return replace(
        asked_eyes(run, given).request(),
        intermediate=document.intermediate,
        document=document.document,
        accept=accept,
        diagnoses=document.diagnoses,
        file=document.file,
    )


def _show(plan: PrescriptionPlan, file: str, as_json: bool) -> None:
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, written_blocks

    data = {
        **OUT.of(plan.written),
        "file_name": file,
        "wearer_name": plan.wearer.name,
        "prescriber_name": plan.prescriber.name,
        "findings": finding_data(plan.findings),
    }
    blocks = written_blocks(plan.written, plan.wearer.name, plan.prescriber.name, file)
    show(as_json, data, *blocks, finding_table(plan.findings))
