"""A job made again as a job of its own: one lens or both, as before or by another prescription or measurements."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from shopledger.desk.context import Desk
from shopledger.desk.inspecting import standing_job
from shopledger.desk.pairs import PlannedPair, not_asked_before, plan_pair
from shopledger.desk.refusals import accepted_warnings, note_accepted, on_or_after
from shopledger.errors import RefusedError
from shopledger.ledger.again import MADE_AGAIN, Again, RemakeCause
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.each_lens import BALANCE, OFF_STEP
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import EyeRequest, Making, OffStep, OrderAccount, Pair, PairRequest
from shopledger.ledger.overtaken import glasses
from shopledger.ledger.pair_words import refuse_overtaken
from shopledger.ledger.shipping import frames_of, parcel_with
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.optics.findings import Finding
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class RemakeRequest:
    """Which job is made again, why, and what is other than before; what is not named stays as it was."""

    job_number: int
    cause: RemakeCause
    reason: str
    only: Side | None = None
    """The one lens that is made; the other one is kept."""
    prescription: int | None = None
    measurements: Measurements | None = None
    lens: str = ""
    off_step: OffStep | None = None
    frame: str = ""
    """Another frame than before."""
    new_frame: bool = False
    """Whether a frame goes along out of the stock, charged to nobody."""
    day: date | None = None
    accept: frozenset[str] = frozenset()

    @property
    def changes(self) -> bool:
        """Whether anything is other than before, so that even a job that is still here needs one of its own."""
        named = (self.prescription, self.measurements, self.off_step)
        return bool(self.lens or self.frame or self.new_frame) or any(each is not None for each in named)


@dataclass(frozen=True, slots=True)
class RemakePlan:
    """A job as it is to be made in the place of another, with what has to be said yes to first."""

    account: OrderAccount
    before: Pair
    pair: Pair
    findings: tuple[Finding, ...] = ()
    touched_receipts: tuple[int, ...] = ()
    """Receipts that show other lenses or powers than the wearer gets now."""


def needs_job_of_its_own(desk: Desk, job_number: int) -> bool:
    """Tell whether a job can only be made again as another one, since it left."""
    with desk.reading() as work:
        account, pair = standing_job(work, job_number)
        return parcel_with(account, pair.job_number) is not None


def plan_remake(desk: Desk, asked: RemakeRequest) -> RemakePlan:
    """Work the new job out without storing anything."""
    with desk.reading() as work:
        return _planned(work, desk, asked)


def remake_job(desk: Desk, asked: RemakeRequest) -> RemakePlan:
    """Store a job in the place of another; warnings nobody has accepted stop it."""
    with desk.writing() as work:
        plan = _planned(work, desk, asked)
        accepted = accepted_warnings(plan.findings, asked.accept)
        number = number_of(plan.account.order)
        _move_frames(work, plan)
        pair = work.orders.add_job(number, plan.pair)
        note_accepted(work, accepted, Document(DocumentKind.ORDER, number))
        return replace(plan, account=work.orders.account(number), pair=pair)


def _planned(work: UnitOfWork, desk: Desk, asked: RemakeRequest) -> RemakePlan:
    account, before = standing_job(work, asked.job_number)
    order = account.order
    refuse_overtaken(order, before, "remake")
    day = on_or_after(order.day, desk.day(asked.day), "day of the remake")
    parcel = parcel_with(account, before.job_number)
    if parcel is not None:
        on_or_after(parcel.day, day, "day of the remake", "the job left on")
    if asked.cause not in MADE_AGAIN:
        allowed = f"it is {', '.join(each.value for each in MADE_AGAIN)}"
        hint = "What is put right or exchanged is a correction of the order."
        raise RefusedError("cause", asked.cause.value, allowed, hint)
    worn = order.worn(before)
    _refuse_lost(asked, parcel is not None)
    sides = _sides(worn, asked)
    new_frame = _takes_frame(work, account, before, asked)
    customer = work.customers.get(order.customer_number)
    planned = plan_pair(work, customer, _request(worn, asked, sides), before.place, day)
    pair = replace(planned.pair, made=_made(planned, worn, asked, sides))
    reason = clean_text("reason", asked.reason, LONGEST_NOTE)
    again = Again(before.place, asked.job_number, asked.cause, day, reason, new_frame)
    pair = replace(pair, again=again)
    touched = _touched(work, account, before, pair)
    settled = set() if asked.prescription or asked.lens or asked.off_step else {BALANCE, OFF_STEP}
    findings = tuple(each for each in not_asked_before(account, planned) if each.code not in settled)
    return RemakePlan(account, before, pair, findings, touched)


def _refuse_lost(asked: RemakeRequest, away: bool) -> None:  # noqa: FBT001 - one fact of the job
    if asked.cause is not RemakeCause.LOST:
        return
    if not away:
        hint = "Name another cause, such as shop-error or maker-error."
        raise RefusedError("cause", asked.cause.value, f"job {asked.job_number} lies here", hint)
    if asked.only is not None:
        raise RefusedError("lens", asked.only.value, "both were in the parcel that was lost", "Leave --only out.")


def _sides(worn: Pair, asked: RemakeRequest) -> tuple[Side, ...]:
    """Give the eyes for which a lens is made."""
    if asked.only is None:
        return worn.sides
    if asked.only not in worn.sides:
        said = f"job {asked.job_number} has no {asked.only.value} lens of the shop's"
        raise RefusedError("lens", asked.only.value, said, "Name the other one, or leave --only out.")
    return (asked.only,)


def _takes_frame(work: UnitOfWork, account: OrderAccount, before: Pair, asked: RemakeRequest) -> bool:
    """Tell whether a frame goes along out of the stock that no line charges."""
    frame = work.catalogue.frame(asked.frame or before.frame_code)
    here = frames_of(account, before)
    if here:
        if asked.new_frame or frame.code != before.frame_code:
            said = f"the order's own, {before.frame_code}, lies here"
            hint = (
                f"Write a broken one off with 'shopledger stock write-off {before.frame_code}', or put the job right."
            )
            raise RefusedError("frame", frame.code, said, hint)
        return False
    if frame.owned_by is not None:
        if asked.new_frame:
            said = "it is the customer's own, and the shop has none of it"
            raise RefusedError("frame", frame.code, said, "Name one of the shop's with --frame.")
        return False
    lost = asked.cause is RemakeCause.LOST
    waits = before.again is not None and before.again.new_frame and parcel_with(account, before.job_number) is None
    return asked.new_frame or lost or waits or frame.code != before.frame_code


def _request(worn: Pair, asked: RemakeRequest, sides: tuple[Side, ...]) -> PairRequest:
    """Give the pair as it would be asked for."""
    right, left = (_eye(worn, side, asked, made=side in sides) for side in Side)
    prescription = asked.prescription or worn.prescription_number
    return PairRequest(
        wearer=str(worn.wearer_number),
        lens=asked.lens or worn.lens_code,
        frame=asked.frame or worn.frame_code,
        use=None if asked.lens else worn.use,
        prescription=prescription,
        without_prescription=prescription is None,
        extras=worn.extras,
        measurements=asked.measurements or worn.measurements,
        frame_owned=True,
        note=worn.note,
        right=right,
        left=left,
        off_step=asked.off_step,
    )


def _eye(worn: Pair, side: Side, asked: RemakeRequest, *, made: bool) -> EyeRequest:
    own = worn.own(side)
    if made:
        more = tuple(code for code in own.extras if code not in worn.extras)
        return EyeRequest(Making.NEW, "" if asked.lens else own.lens_code, more)
    return EyeRequest(Making.NONE if own.making is Making.NONE else Making.KEPT)


def _made(planned: PlannedPair, worn: Pair, asked: RemakeRequest, sides: tuple[Side, ...]) -> Prescription | None:
    """Give the powers to make: worked out anew only where something of them changed, and never of a lens kept."""
    made = planned.pair.made
    if made is None or worn.made is None:
        return made
    same = asked.prescription is None and not asked.lens and asked.off_step is None
    right, left = (worn.made.eye(side) if same or side not in sides else made.eye(side) for side in Side)
    return Prescription(right, left)


def _touched(work: UnitOfWork, account: OrderAccount, before: Pair, pair: Pair) -> tuple[int, ...]:
    """Give the receipts that show what the wearer has no more."""
    if glasses(account.order, pair) == glasses(account.order, before):
        return ()
    issued = work.receipts.of_order(number_of(account.order))
    mine = (each for each in issued if each.wearer_number == pair.wearer_number and each.replaced_by is None)
    return tuple(each.number for each in mine)


def _move_frames(work: UnitOfWork, plan: RemakePlan) -> None:
    """Set the frame free that waited for the job before, and keep the one that goes along with the new one."""
    before, pair = plan.before, plan.pair
    if before.again and before.again.new_frame and parcel_with(plan.account, before.job_number) is None:
        work.stock.reserve(StockedKind.FRAME, before.frame_code, -1)
    if pair.again and pair.again.new_frame:
        work.stock.reserve(StockedKind.FRAME, pair.frame_code, 1)
