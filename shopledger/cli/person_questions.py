"""Who orders and whose glasses they are: picked or added, with what is known of the wearer's eyes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from shopledger.cli.adding import new_customer, new_wearer
from shopledger.cli.context import Run
from shopledger.cli.listings import customers, wearers
from shopledger.cli.lists import Listing, Row, listing
from shopledger.cli.prescription_questions import new_prescription
from shopledger.cli.prompts import tell
from shopledger.cli.questions import NONE, Answers
from shopledger.errors import RefusedError, listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopledger.desk.context import Desk
    from shopledger.desk.prescribing import WearerCard
    from shopledger.ledger.parties import Customer, Wearer
    from shopledger.ledger.prescription import WrittenPrescription

OF_PERSON = ("wearer", "prescription", "PD", "height", "whose", "frame", "measurements")
"""Parts of the names of questions whose answers go with the customer."""
OF_EYES = ("prescription", "PD", "height", "measurements")
"""Parts of the names of questions whose answers go with the wearer."""


@dataclass(slots=True)
class People:
    """The customer of a round of questions with the wearers."""

    run: Run
    answers: Answers
    customer: Customer | None = None
    wearers: tuple[Wearer, ...] = ()

    @property
    def desk(self) -> Desk:
        """The ledger."""
        return self.run.desk()

    @property
    def number(self) -> str:
        """The customer's number, as it is typed."""
        return str(self.customer.number) if self.customer else ""

    def ask_customer(self) -> Customer:
        """Ask who orders; another customer than before has other wearers and measurements."""
        before = self.number
        found = self.answers.ask(
            "customer",
            "Customer, number or name",
            self._known,
            of=customers(self.run, partial(new_customer, self.run, self.answers)),
        )
        if before and before != str(found.number):
            self.answers.forget(*OF_PERSON)
        tell(f"  {found.name}, {found.address.city}")
        return found

    def _known(self, text: str) -> Customer:
        from shopledger.desk.known_people import customer_and_wearers

        self.customer, self.wearers = customer_and_wearers(self.desk, text)
        return self.customer

    def ask_wearer(self, name: str) -> WearerCard:
        """Ask whose glasses they are, and tell what is known of the eyes."""
        standing = [each.name for each in self.wearers if each.erased_on is None]
        words = f"Wearer ({listed(standing)})" if standing else "Wearer, of whom none is known yet"
        card = self.answers.ask(
            name,
            words,
            self.wearer_card,
            standing[0] if len(standing) == 1 else None,
            of=wearers(self.wearers, self._new_wearer),
        )
        self._other_than_before(name, card)
        self._tell_card(card)
        return card

    def _other_than_before(self, name: str, card: WearerCard) -> None:
        """Forget what was answered for another wearer at the same questions."""
        texts, kept, number = self.answers.texts, f"{name} number", str(card.wearer.number)
        if texts.get(kept, number) != number:
            within = name.removesuffix("wearer")
            for other in [each for each in texts if each.startswith(within) and any(part in each for part in OF_EYES)]:
                del texts[other]
        texts[kept] = number

    def wearer_card(self, text: str) -> WearerCard:
        """Give what is known of a wearer's eyes."""
        from shopledger.desk.prescribing import wearer_card

        if self.customer is None:
            raise RefusedError("wearer", f"'{text}'", "whose wearer that is must be known", "Name the customer.")
        with self.run.aside() as desk:
            return wearer_card(desk, self.customer, text)

    def _new_wearer(self) -> str:
        added = new_wearer(self.run, self.number, self.answers)
        self._known(self.number)
        return added

    def _tell_card(self, card: WearerCard) -> None:
        from shopledger.cli.views.lenses import measurements_words

        if card.newest is None:
            tell(f"  {card.wearer.name} has no prescription yet.")
        else:
            self._tell_prescription(card, card.newest)
            for finding in card.findings:
                tell(f"  {finding.severity.value.capitalize()}: {finding.sentence} [{finding.code}]")
        if card.last is not None and card.last.measurements is not None:
            last = card.last
            measured = measurements_words(card.last.measurements)
            tell(f"  Last measured, for job {last.job_number} in frame {last.frame_code}: {measured}")

    def _tell_prescription(self, card: WearerCard, written: WrittenPrescription) -> None:
        tell(
            f"  Prescription {written.number}, {self._aged(written)}, by {card.prescribers[written.prescriber_number]}"
        )
        for line in eyes_words(written):
            tell(f"    {line}")

    def _aged(self, written: WrittenPrescription) -> str:
        from shopledger.optics.age import age_in_words

        until = f", expires {written.expires_on.isoformat()}" if written.expires_on else ""
        return f"{age_in_words(written.written_on, self.desk.today)}{until}"

    def ask_prescription(self, name: str, card: WearerCard, *, none: bool) -> WrittenPrescription | None:
        """Ask by which prescription the lenses are made; with `none` a pair may have no power."""
        whose = card.wearer.name

        def read(text: str) -> WrittenPrescription | None:
            if none and text.strip().casefold() == NONE:
                return None
            # One that was recorded on the way is not on the card yet.
            known = {str(each.number): each for each in self.wearer_card(whose).written}
            if text.strip() not in known:
                which = listed(list(known)) or "none so far"
                raise RefusedError(
                    "prescription", f"'{text.strip()}'", f"{whose} has {which}", "Type '?' for the list, or 'new'."
                )
            return known[text.strip()]

        usual = str(card.newest.number) if card.newest else None
        words = "Prescription, the newest or another number" if card.newest else "Prescription, of which there is none"
        found = self.answers.ask(
            name,
            f"{words} ({NONE} for a pair without power)" if none else words,
            read,
            usual,
            of=self._prescriptions(card, none=none),
        )
        if found is not None and card.newest is not None and found.number != card.newest.number:
            tell(f"  Prescription {found.number}, {self._aged(found)}")
            for line in eyes_words(found):
                tell(f"    {line}")
        return found

    def _prescriptions(self, card: WearerCard, *, none: bool) -> Listing:
        known = listing(
            "prescription",
            (Row(str(each.number), each.written_on.isoformat(), "; ".join(eyes_words(each))) for each in card.written),
        )
        without = [Row(NONE, "", "a pair without power")] if none else []

        def rows(text: str) -> Sequence[Row]:
            # A pair without power is meant by the whole word alone.
            return [*known.rows(text), *([] if text else without)]

        return Listing(
            known.kind,
            rows,
            add=lambda: new_prescription(self.run, self.number, card.wearer.name, self.answers),
        )


def eyes_words(written: WrittenPrescription) -> tuple[str, ...]:
    """Say both eyes of a prescription, and what is added for a screen, each in a line."""
    from shopledger.optics.notation import write_dioptres, write_eye
    from shopledger.optics.sides import Side

    eyes = [f"{side.value} {write_eye(written.powers.eye(side))}" for side in Side]
    screen = [] if written.intermediate is None else [f"for a screen {write_dioptres(written.intermediate)}"]
    return (*eyes, *screen)
