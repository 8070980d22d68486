"""What is asked for a prescription: whose it is, who wrote it, both eyes as written; people are added on the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from shopledger.cli.adding import new_customer, new_prescriber, new_wearer
from shopledger.cli.context import Run
from shopledger.cli.hints import hint_of
from shopledger.cli.listings import customers, prescribers, wearers
from shopledger.cli.lists import Listing
from shopledger.cli.options import OptionSet, needed, option, questions
from shopledger.cli.params import COMING_DAY, DAY, RX, day_typed
from shopledger.cli.prompts import agreed, lacking, tell
from shopledger.cli.questions import Answers, Before, MendError, Question, fill
from shopledger.errors import RefusedError
from shopledger.typed.days import Wanted

if TYPE_CHECKING:
    from shopledger.desk.prescribing import PrescriptionRequest
    from shopledger.optics.findings import Finding
    from shopledger.optics.prescription import EyePrescription, Prescription


def _customers(run: Run, before: Before) -> Listing:
    return customers(run, lambda: new_customer(run, before.answers))


def _wearers(run: Run, before: Before) -> Listing:
    from shopledger.desk.known_people import customer_and_wearers

    customer, own = customer_and_wearers(run.desk(), before("customer"))
    return wearers(own, lambda: new_wearer(run, str(customer.number), before.answers))


def _prescribers(run: Run, before: Before) -> Listing:
    return prescribers(run.desk(), lambda: new_prescriber(run, before.answers))


class PrescriptionOptions(OptionSet):
    """Whose prescription it is, and when it was written."""

    customer: str | None = option(
        "--customer",
        metavar="CUSTOMER",
        help="Who pays: number or name.",
        ask="Customer, number or name",
        lists=_customers,
    )
    wearer: str | None = option("--wearer", metavar="WEARER", help="Whose eyes they are.", ask="Wearer", lists=_wearers)
    prescriber: str | None = option(
        "--prescriber",
        metavar="PRESCRIBER",
        help="Who wrote it: number or name.",
        ask="Prescriber, number or name",
        lists=_prescribers,
    )
    written: date | None = option(
        "--written",
        type=DAY,
        help="The day it was written.",
        ask="Day it was written",
        read=lambda typed: day_typed(typed, "day of writing"),
    )
    expires: date | None = option(
        "--expires",
        type=COMING_DAY,
        help="The day until which it may be used, as written.",
        ask="Expiry as written",
        read=lambda typed: day_typed(typed, "expiry", Wanted.COMING),
        optional=True,
    )


class Eyes(OptionSet):
    """Both eyes as far as they were given, and whose they are where that is wanted."""

    right: EyePrescription | None = None
    left: EyePrescription | None = None
    who: PrescriptionOptions | None = None

    @property
    def powers(self) -> Prescription:
        """Both eyes together, once they were given or asked for."""
        from shopledger.optics.prescription import Prescription

        if self.right is None or self.left is None:
            lacking("--right" if self.right is None else "--left")
        return Prescription(self.right, self.left)

    def request(self) -> PrescriptionRequest:
        """Give what is to be recorded, once all was given or asked for."""
        from shopledger.desk.prescribing import PrescriptionRequest

        who = needed(self.who)
        return PrescriptionRequest(
            customer=needed(who.customer),
            wearer=needed(who.wearer),
            prescriber=needed(who.prescriber),
            powers=self.powers,
            written_on=needed(who.written),
            expires_on=who.expires,
        )


def _read_and_said(typed: str, side: str) -> EyePrescription:
    """Read one eye, and say what was understood."""
    eye = RX.read(typed, side)
    tell(f"  Read: {side} {written_eye(eye)}")
    return eye


def written_eye(eye: EyePrescription) -> str:
    """Write one eye as it reads back."""
    from shopledger.optics.notation import write_eye

    return write_eye(eye)


EYES = (
    Question(
        "right",
        "--right",
        "Right eye, as in -2.50 -1.25 x 090 add 2.00",
        lambda typed: _read_and_said(typed, "right"),
        hint=hint_of(RX),
    ),
    Question("left", "--left", "Left eye", lambda typed: _read_and_said(typed, "left"), hint=hint_of(RX)),
)


def asked_eyes(
    run: Run, given: Eyes, answers: Answers | None = None, within: str = "", said_yes: set[str] | None = None
) -> Eyes:
    """Ask for what a prescription lacks; what stops it leads back as soon as all was answered.

    Warnings are asked about where `said_yes` takes the codes of those said yes to.
    """
    from shopledger.desk.prescribing import plan_prescription

    *about, expiry = questions(needed(given.who), "who.")
    about = [each._replace(read=partial(_past_day, run)) if each.name == "who.written" else each for each in about]

    def check(whole: Eyes) -> None:
        try:
            found = plan_prescription(run.desk(), whole.request()).findings
        except RefusedError as error:
            tell(f"Error: {error}")
            raise MendError("who.written") from error
        for finding in found:
            if finding.stops:
                tell(f"Error: {finding.sentence} [{finding.code}]")
                raise MendError(*_mended_by(finding))
        if said_yes is not None:
            said_yes.update(agreed(found))

    return fill(run, given, (*about, *EYES, expiry), check, answers=answers, within=within)


def _past_day(run: Run, typed: str) -> date:
    """Read a day that has come."""
    return run.desk().past_day(day_typed(typed, "day of writing"), "day of writing")


def _mended_by(finding: Finding) -> tuple[str, ...]:
    side = finding.field.partition(".")[0]
    if side in {"right", "left"}:
        return (side,)
    return ("who.expires",) if "expir" in finding.field else ("who.written",)


def new_prescription(run: Run, customer: str, wearer: str, answers: Answers) -> str:
    """Ask for a wearer's prescription, store it when its questions end, and give its number."""
    from shopledger.desk.prescribing import record_prescription

    within = f"new prescription of {wearer}: "
    tell(f"  A new prescription of {wearer}; it is stored when its questions end.")
    who, said_yes = PrescriptionOptions.with_only(customer=customer, wearer=wearer), set[str]()
    request = asked_eyes(run, Eyes(who=who), answers, within, said_yes).request()
    number = record_prescription(run.desk(), replace(request, accept=frozenset(said_yes))).written.number
    answers.forget(within)
    tell(f"  Prescription {number} of {wearer} was recorded.")
    return str(number)
