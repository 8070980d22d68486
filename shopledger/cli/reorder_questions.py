"""New lenses by questions: who, which frame, which prescription, and what is not as before; `back` returns.

Of the reorder nothing is stored here; what comes out is the same request that options would make, looked at and said
yes to.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

import click

from shopledger.cli.lens_questions import (
    MENDED_BY,
    ask_code,
    ask_extras,
    ask_heights,
    ask_near_pd,
    ask_pd,
    ask_use,
    refused,
    stop_at,
)
from shopledger.cli.listings import lenses
from shopledger.cli.lists import Listing, Row, listing
from shopledger.cli.person_questions import People
from shopledger.cli.prompts import ask, confirm, tell
from shopledger.cli.questions import LEAVING, YES_NO, Answers, MendError, Step, read_yes, walk
from shopledger.cli.views.figures import day
from shopledger.cli.views.lenses import measurements_words
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.catalogue import Extra, Lens
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.money.amount import write_amount
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopledger.cli.context import Run
    from shopledger.desk.prescribing import WearerCard
    from shopledger.desk.reorder_lookups import PairCard, ReorderStart
    from shopledger.desk.reordering import ReorderPlan
    from shopledger.optics.findings import Finding
    from shopledger.optics.measurements import Measurements


@dataclass(slots=True)
class Given:
    """What was given with the command beside the questions."""

    right_code: str = ""
    left_code: str = ""
    accept: frozenset[str] = frozenset()
    dry_run: bool = False
    """Whether the plan is wanted alone: then no yes is asked for."""
    look_at: Callable[[ReorderPlan], None] = lambda _plan: None
    """Shows the plan before it is asked about."""


def asked_reorder(run: Run, given: Given) -> ReorderRequest:
    """Ask for everything that new lenses are made from; comes back only with a yes."""
    tell(LEAVING)
    people = People(run, Answers())
    codes = {Side.RIGHT: given.right_code, Side.LEFT: given.left_code}
    asking = _Questions(people, given, {side: code for side, code in codes.items() if code})
    walk(asking.ask_customer)
    return asking.request()


@dataclass(slots=True)
class _Questions:
    """The questions of one reorder, and what has been answered."""

    people: People
    given: Given
    codes: dict[Side, str]
    """Claim codes that the owner chose, before the questions or at one of them."""
    card: WearerCard | None = None
    start: ReorderStart | None = None
    prescription: int | None = None
    lens: Lens | None = None
    use: LensUse | None = None
    extras: tuple[Extra, ...] = ()
    measurements: Measurements | None = None
    """None: as before."""
    pd: tuple[float, ...] = ()
    near: tuple[float, ...] = ()
    met: set[Finding] = field(default_factory=set)
    """Warnings that were said yes to at the end."""

    @property
    def answers(self) -> Answers:
        """What was typed so far."""
        return self.people.answers

    @property
    def _wearer(self) -> str:
        return str(self.card.wearer.number) if self.card else ""

    def request(self) -> ReorderRequest:
        """Give the reorder as answered so far."""
        return ReorderRequest(
            customer=self.people.number,
            wearer=self._wearer,
            frame=self.start.frame.code if self.start else "",
            lens=self.lens.code if self.lens else "",
            use=self.use,
            prescription=self.prescription,
            extras=tuple(extra.code for extra in self.extras),
            measurements=self.measurements,
            right_code=self.codes.get(Side.RIGHT, ""),
            left_code=self.codes.get(Side.LEFT, ""),
            accept=self.given.accept | {finding.code for finding in self.met},
        )

    def ask_customer(self) -> Step:
        """Ask who wrote."""
        self.people.ask_customer()
        return self.ask_wearer

    def ask_wearer(self) -> Step:
        """Ask whose glasses they are."""
        self.card = self.people.ask_wearer("wearer")
        return self.ask_prescription

    def ask_prescription(self) -> Step:
        """Ask for the prescription; the newest is usual."""
        if self.card is None:
            return self.ask_wearer
        found = self.people.ask_prescription("prescription", self.card, none=False)
        self.prescription = found.number if found else None
        return self.ask_frame

    def ask_frame(self) -> Step:
        """List the wearer's pairs, and ask for the frame; it needs a stored shape."""
        from shopledger.desk.reordering import reorder_start, wearer_pairs

        cards = wearer_pairs(self.people.desk, self.people.number, self._wearer)
        for row in _pair_rows(cards):
            tell(f"  {row.code}: {row.words}; {row.more}")
        if not cards:
            tell("  No pair from here. A frame from elsewhere needs 'shopledger frame add' and 'shopledger trace add'.")
        usual = next((card.frame.code for card in cards if card.traced), None)

        def read(text: str) -> ReorderStart:
            if not text.strip():
                raise RefusedError("frame", "empty", "it is a code", "Type the code of a frame whose shape is stored.")
            return reorder_start(self.people.desk, self.people.number, self._wearer, text)

        self.start = self.answers.ask("frame", "Frame code", read, usual, of=self._frames(cards))
        tell(f"  {self.start.frame.description}")
        return self.ask_lens

    def _frames(self, cards: tuple[PairCard, ...]) -> Listing:
        """List the wearer's pairs first, then the frames of the shop and of the customer whose shape is stored."""
        from shopledger.desk.reordering import traced_frames

        own = _pair_rows(cards)
        known = {row.code for row in own}
        found = traced_frames(self.people.desk, self.people.number)
        others = (Row(each.code, each.description, "its shape is stored") for each in found if each.code not in known)
        return listing("frame", (*own, *others))

    def ask_lens(self) -> Step:
        """Ask for the lens; the one before is usual."""
        from shopledger.desk.goods import LENSES

        before = self.start.lens if self.start else None
        words = "Lens code, as before or another" if before else "Lens code"
        desk = self.people.desk
        usual = before.code if before else None
        of = lenses(desk, many=False)
        self.lens = self.answers.ask("lens", words, partial(LENSES.called, desk), usual, of=of)
        tell(f"  {self.lens.name}: {write_amount(self.lens.price)}")
        if self.lens.multifocal:
            self.use = None
            return self.ask_extras
        return self.ask_use

    def ask_use(self) -> Step:
        """Ask what single vision lenses are made for."""
        pair = self.start.pair if self.start else None
        before = pair.use if pair and pair.use is not LensUse.MULTIFOCAL else LensUse.DISTANCE
        self.use = ask_use(self.answers, "use", before)
        return self.ask_extras

    def ask_extras(self) -> Step:
        """Ask for upgrades and coatings; those before are usual."""
        before = self.start.pair.extras if self.start and self.start.pair else ()
        self.extras = ask_extras(self.people.desk, self.answers, "extras", before)
        return self.ask_measurements if self.start and self.start.measurements else self.ask_pd

    def ask_measurements(self) -> Step:
        """Ask whether PD and heights are as before."""
        if self.start and self.start.measurements:
            tell(f"  As before: {measurements_words(self.start.measurements)}")
        self.measurements = None
        if not self.answers.yes("measurements", "Measurements as before?", "y"):
            return self.ask_pd
        return self._planned()

    def ask_pd(self) -> Step:
        """Ask for the PD."""
        before = self.start.measurements if self.start else None
        self.pd, self.near = ask_pd(self.answers, "PD", before), ()
        return self.ask_heights if self.use is LensUse.DISTANCE else self.ask_near

    def ask_near(self) -> Step:
        """Ask for the near PD of a pair that is used near."""
        self.near = ask_near_pd(self.answers, "near PD", self.pd)
        return self.ask_heights

    def ask_heights(self) -> Step:
        """Ask for the fitting height."""
        before = self.start.measurements if self.start else None
        self.measurements = ask_heights(self.answers, "height", self.pd, self.near, before)
        return self._planned()

    def ask_code(self, open_code: UnsettledCodeError) -> Step:
        """Ask which claim code a lens takes that the published bands leave open."""
        if self.lens is not None:
            name = f"claim code {open_code.side.value}"
            self.codes[open_code.side] = ask_code(self.people.desk, self.answers, name, open_code, self.lens)
        return self._planned()

    def _planned(self) -> Step:
        """Work everything out; what stops it is said, and leads back to what can mend it."""
        from shopledger.desk.reordering import plan_reorder

        try:
            plan = plan_reorder(self.people.desk, self.request())
        except UnsettledCodeError as error:
            return partial(self.ask_code, error)
        except ShopledgerError as error:
            refused(error)
            raise
        stop_at(plan.findings)
        return partial(self.ask_review, plan)

    def ask_review(self, plan: ReorderPlan) -> Step | None:
        """Show the plan, and ask what is to be asked about it."""
        from shopledger.desk.refusals import unaccepted

        if self.given.dry_run:
            return None
        self.given.look_at(plan)
        for finding in unaccepted(plan.findings, self.given.accept):
            if finding not in self.met:
                tell(f"Warning: {finding.sentence} [{finding.code}]")
                if not confirm("Is it meant so? No leads back."):
                    raise MendError(*MENDED_BY.get(finding.field.rpartition(".")[2], ()))
                self.met.add(finding)
        return partial(self.ask_yes, plan)

    def ask_yes(self, plan: ReorderPlan) -> None:
        """Ask whether it is drafted; `back` returns from here too."""
        if not ask(f"Draft it, {write_amount(plan.sale.order.total)} in all? (y/n)", read_yes, "y", of=YES_NO):
            raise click.Abort


def _pair_rows(cards: tuple[PairCard, ...]) -> list[Row]:
    traced = {True: "its shape is stored", False: "not traced"}
    return [
        Row(
            card.frame.code,
            card.frame.description,
            f"job {card.job_number}, {day(card.day)}; {traced[card.traced]}",
        )
        for card in cards
    ]
