"""New lenses by questions: who, which frame, which prescription, and what is not as before; `back` returns.

Nothing is stored here; what comes out is the same request that options would make.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from shopledger.cli.context import Run
from shopledger.cli.prompts import BACK, ask, tell
from shopledger.cli.questions import (
    LEAVING,
    AgainError,
    Step,
    ask_heights,
    ask_near_pd,
    ask_pd,
    ask_wearer,
    read_use,
    read_yes,
    stop_at,
    walk,
)
from shopledger.cli.views.figures import day
from shopledger.cli.views.lenses import measurements_words
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.reordering import ReorderPlan
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.catalogue import Extra, Lens
from shopledger.ledger.parties import Customer, Wearer
from shopledger.money.amount import write_amount
from shopledger.optics.age import age_in_words
from shopledger.optics.notation import write_eye
from shopledger.optics.prescription import LensUse

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.desk.reorder_lookups import ReorderStart
    from shopledger.ledger.prescription import WrittenPrescription
    from shopledger.optics.measurements import Measurements

NONE = "none"
"""Typed where no extras are wanted though there were some before."""


def asked_reorder(run: Run, right_code: str = "", left_code: str = "") -> ReorderRequest:
    """Ask for everything that new lenses are made from; comes back only with what could be drafted.

    Claim codes are seldom chosen by hand, so they are given beforehand rather than asked for.
    """
    tell(LEAVING)
    questions = _Questions(run.desk(), right_code, left_code)
    walk(questions.ask_customer)
    return questions.request()


@dataclass(slots=True)
class _Questions:
    """The questions of one reorder, and what has been answered."""

    desk: Desk
    right_code: str
    left_code: str
    customer: Customer | None = None
    wearers: tuple[Wearer, ...] = ()
    wearer: str = ""
    start: ReorderStart | None = None
    prescription: int | None = None
    lens: Lens | None = None
    use: LensUse | None = None
    extras: tuple[Extra, ...] = ()
    measurements: Measurements | None = None
    """None: as before."""
    pd: tuple[float, ...] = ()
    near: tuple[float, ...] = ()

    def request(self) -> ReorderRequest:
        """Give the reorder as answered so far."""
        return ReorderRequest(
            customer=self._payer,
            wearer=self.wearer,
            frame=self.start.frame.code if self.start else "",
            lens=self.lens.code if self.lens else "",
            use=self.use,
            prescription=self.prescription,
            extras=tuple(extra.code for extra in self.extras),
            measurements=self.measurements,
            right_code=self.right_code,
            left_code=self.left_code,
        )

    @property
    def _payer(self) -> str:
        return str(self.customer.number) if self.customer else ""

    def ask_customer(self) -> Step:
        """Ask who wrote."""
        from shopledger.desk.known_people import customer_and_wearers

        self.customer, self.wearers = ask("Customer, number or name", partial(customer_and_wearers, self.desk))
        tell(f"  {self.customer.name}, {self.customer.address.city}")
        return self.ask_wearer

    def ask_wearer(self) -> Step:
        """Ask whose glasses they are."""
        self.wearer = ask_wearer(self.wearers)
        return self.ask_frame

    def ask_frame(self) -> Step:
        """List the wearer's pairs, and ask for the frame; it needs a stored shape."""
        from shopledger.desk.reordering import reorder_start, wearer_pairs

        cards = wearer_pairs(self.desk, self._payer, self.wearer)
        for card in cards:
            traced = "its shape is stored" if card.traced else "not traced"
            tell(f"  {card.frame.code}: {card.frame.description}; job {card.job_number}, {day(card.day)}; {traced}")
        if not cards:
            tell("  No pair from here. A frame from elsewhere needs 'shopledger frame add' and 'shopledger trace add'.")
        usual = next((card.frame.code for card in cards if card.traced), None)

        def read(text: str) -> ReorderStart:
            if not text.strip():
                raise RefusedError("frame", "empty", "it is a code", "Type the code of a frame whose shape is stored.")
            return reorder_start(self.desk, self._payer, self.wearer, text)

        self.start = ask("Frame code", read, default=usual)
        tell(f"  {self.start.frame.description}")
        return self.ask_prescription

    def ask_prescription(self) -> Step:
        """Ask for the prescription; the newest is usual."""
        from shopledger.desk.reordering import usable_prescription

        def read(text: str) -> WrittenPrescription:
            if not text.strip().isdigit():
                raise RefusedError("prescription", f"'{text}'", "it is a number", "Type the number of one.")
            return usable_prescription(self.desk, self._payer, self.wearer, int(text))

        newest = usable_prescription(self.desk, self._payer, self.wearer)
        written = ask("Prescription, the newest or another number", read, default=str(newest.number))
        self.prescription = written.number
        until = f", expires {day(written.expires_on)}" if written.expires_on else ""
        tell(f"  {age_in_words(written.written_on, self.desk.today)}{until}: right {write_eye(written.powers.right)}")
        tell(f"  left {write_eye(written.powers.left)}")
        return self.ask_lens

    def ask_lens(self) -> Step:
        """Ask for the lens; the one before is usual."""
        from shopledger.desk.goods import LENSES

        before = self.start.lens if self.start else None
        words = "Lens code, as before or another" if before else "Lens code"
        self.lens = ask(words, partial(LENSES.called, self.desk), default=before.code if before else None)
        tell(f"  {self.lens.name}: {write_amount(self.lens.price)}")
        if self.lens.multifocal:
            self.use = None
            return self.ask_extras
        return self.ask_use

    def ask_use(self) -> Step:
        """Ask what single vision lenses are made for."""
        pair = self.start.pair if self.start else None
        before = pair.use if pair and pair.use is not LensUse.MULTIFOCAL else LensUse.DISTANCE
        self.use = ask("Made for (distance, reading, screen)", read_use, default=before.value)
        return self.ask_extras

    def ask_extras(self) -> Step:
        """Ask for upgrades and coatings; those before are usual."""
        from shopledger.desk.goods import EXTRAS

        def read(text: str) -> tuple[Extra, ...]:
            if text.strip().casefold() == NONE:
                return ()
            return tuple(EXTRAS.called(self.desk, code) for code in text.replace(",", " ").split())

        before = self.start.pair.extras if self.start and self.start.pair else ()
        words = f"Extras, codes with spaces between, or {NONE}"
        self.extras = ask(words, read, default=" ".join(before) or NONE)
        for extra in self.extras:
            tell(f"  {extra.name}: {write_amount(extra.price)}")
        return self.ask_measurements

    def ask_measurements(self) -> Step | None:
        """Ask whether PD and heights are as before, where there are any."""
        before = self.start.measurements if self.start else None
        if before is None:
            return self.ask_pd
        tell(f"  As before: {measurements_words(before)}")
        self.measurements = None
        if not ask("Measurements as before? (y/n)", read_yes, default="y"):
            return self.ask_pd
        self._planned()
        return None

    def ask_pd(self) -> Step:
        """Ask for the PD."""
        self.pd, self.near = ask_pd(), ()
        return self.ask_heights if self.use is LensUse.DISTANCE else self.ask_near

    def ask_near(self) -> Step:
        """Ask for the near PD of a pair that is used near."""
        self.near = ask_near_pd(self.pd)
        return self.ask_heights

    def ask_heights(self) -> None:
        """Ask for the fitting height."""
        self.measurements = ask_heights(self.pd, self.near)
        self._planned()

    def _planned(self) -> None:
        """Work everything out; what stops it is said, and the last question is asked again."""
        from shopledger.desk.reordering import plan_reorder

        try:
            plan: ReorderPlan = plan_reorder(self.desk, self.request())
        except ShopledgerError as error:
            tell(f"Error: {error} Type '{BACK}' to change what was answered before.")
            raise AgainError from error
        stop_at(plan.findings)
