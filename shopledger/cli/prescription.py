"""Prescriptions: recorded as written, checked before they are kept."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.options import accept, as_json, dry_run, eye_options, take_eye
from shopledger.cli.output import show
from shopledger.cli.params import ADD, DAY, RX, read_day
from shopledger.cli.prompts import Question, fill, lacking, tell

if TYPE_CHECKING:
    from shopledger.desk.prescribing import PrescriptionPlan, PrescriptionRequest
    from shopledger.optics.prescription import Prescription

QUESTIONS = (
    Question("customer", "--customer", "Customer, number or name", text("customer")),
    Question("wearer", "--wearer", "Wearer", text("wearer")),
    Question("prescriber", "--prescriber", "Prescriber, number or name", text("prescriber")),
    Question("written", "--written", "Day it was written", lambda typed: read_day(typed, "day of writing")),
    Question("expires", "--expires", "Expiry as written", lambda typed: read_day(typed, "expiry"), optional=True),
)
EYES = (
    Question("right", "--right", "Right eye, as in -2.50 -1.25 x 090 add 2.00", lambda typed: RX.read(typed, "right")),
    Question("left", "--left", "Left eye", lambda typed: RX.read(typed, "left")),
)


@click.group()
def prescription() -> None:
    """Record and check prescriptions."""


@prescription.command()
@click.option("--customer", metavar="CUSTOMER", help="Who pays: number or name.")
@click.option("--wearer", metavar="WEARER", help="Whose eyes they are.")
@click.option("--prescriber", metavar="PRESCRIBER", help="Who wrote it: number or name.")
@click.option("--written", type=DAY, help="The day it was written.")
@click.option("--expires", type=DAY, help="The day until which it may be used, as written.")
@eye_options("right")
@eye_options("left")
@click.option("--intermediate", type=ADD, help="What the prescriber adds for a screen, if written.")
@click.option("--document", metavar="TEXT", default="", help="Where the paper or file is kept.")
@click.option(
    "--diagnosis",
    "diagnoses",
    metavar="CODE",
    multiple=True,
    help="ICD-10-CM code from the prescriber's document, never your own; may be given again.",
)
@accept
@dry_run
@as_json
@pass_run
def add(run: Run, accept: tuple[str, ...], dry_run: bool, as_json: bool, **given: Any) -> None:
    r"""Record a prescription as written, and check it first.

    \b
    shopledger prescription add --customer 1 --wearer Wren --prescriber 1 \
        --written 2026-02-20 --right "-2.50 -1.25 x 090" --left "-2.25 DS"
    """
    from dataclasses import replace

    from shopledger.cli.findings import accepted
    from shopledger.desk.prescribing import plan_prescription, record_prescription

    request = _request(run, given, frozenset(accept))
    plan = plan_prescription(run.desk(), request)
    if dry_run:
        _show(plan, as_json)
        tell("Nothing was stored: this was a dry run.")
        return
    said_yes = accepted(run, plan.findings, request.accept)
    plan = record_prescription(run.desk(), replace(request, accept=said_yes))
    _show(plan, as_json)
    tell(f"Prescription {plan.written.number} of {plan.wearer.name} was recorded.")


@prescription.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_prescription(run: Run, number: int, as_json: bool) -> None:
    """Show one prescription; the look is noted."""
    from shopledger.cli.views.lenses import OUT, written_blocks
    from shopledger.desk.prescribing import prescription_card

    written, wearer, prescriber = prescription_card(run.desk(), number)
    data = {**OUT.of(written), "wearer_name": wearer.name, "prescriber_name": prescriber.name}
    show(as_json, data, *written_blocks(written, wearer.name, prescriber.name))


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
    """
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, written_blocks
    from shopledger.desk.prescribing import add_diagnoses, prescription_card

    desk = run.desk()
    _, findings = add_diagnoses(desk, number, diagnoses)
    written, wearer, prescriber = prescription_card(desk, number)
    data = {**OUT.of(written), "findings": finding_data(findings)}
    show(as_json, data, *written_blocks(written, wearer.name, prescriber.name), finding_table(findings))


@prescription.command()
@eye_options("right")
@eye_options("left")
@click.option("--written", type=DAY, help="The day it was written.")
@click.option("--expires", type=DAY, help="The day until which it may be used, as written.")
@as_json
@pass_run
def check(run: Run, written: date | None, expires: date | None, as_json: bool, **given: Any) -> None:
    """Check powers and dates without a ledger.

    Ends with code 20 where an error was found.
    """
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, powers_table
    from shopledger.errors import OpticsError
    from shopledger.optics.checks import check_prescription

    powers = _powers(run, given)
    findings = check_prescription(powers, written_on=written, expires_on=expires, today=run.today)
    data = {**OUT.of(powers), "findings": finding_data(findings)}
    show(as_json, data, powers_table(powers), finding_table(findings))
    if any(finding.stops for finding in findings):
        click.get_current_context().exit(OpticsError.exit_code)


def _request(run: Run, given: dict[str, Any], accept: frozenset[str]) -> PrescriptionRequest:
    from shopledger.desk.prescribing import PrescriptionRequest

    eyes = {"right": take_eye(given, "right"), "left": take_eye(given, "left")}
    given = {**given, **eyes}
    fill(run, given, (*QUESTIONS[:4], *EYES, QUESTIONS[4]))
    return PrescriptionRequest(
        customer=given["customer"],
        wearer=given["wearer"],
        prescriber=given["prescriber"],
        powers=_powers(run, given),
        written_on=given["written"],
        expires_on=given["expires"],
        intermediate=given["intermediate"],
        document=given["document"],
        accept=accept,
        diagnoses=given["diagnoses"],
    )


def _powers(run: Run, given: dict[str, Any]) -> Prescription:
    """Put both eyes together; they are taken out of their options unless that was done before."""
    from shopledger.optics.prescription import Prescription

    if "right_sphere" in given:
        given = {"right": take_eye(given, "right"), "left": take_eye(given, "left")}
        fill(run, given, EYES)
    if given["right"] is None or given["left"] is None:
        lacking("--right" if given["right"] is None else "--left")
    return Prescription(given["right"], given["left"])


def _show(plan: PrescriptionPlan, as_json: bool) -> None:
    from shopledger.cli.views.lenses import OUT, finding_data, finding_table, written_blocks

    data = {
        **OUT.of(plan.written),
        "wearer_name": plan.wearer.name,
        "prescriber_name": plan.prescriber.name,
        "findings": finding_data(plan.findings),
    }
    blocks = written_blocks(plan.written, plan.wearer.name, plan.prescriber.name)
    show(as_json, data, *blocks, finding_table(plan.findings))
