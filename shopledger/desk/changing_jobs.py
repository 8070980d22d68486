"""What is put right on a job: another is made in its place, with all that was not named as it stood."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.pairs import not_asked_before, plan_pair
from shopledger.desk.putting_right import Change, CorrectionTerms, correctable
from shopledger.desk.sales import terms_of
from shopledger.errors import RefusedError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.line_model import KeptLine
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import EyeRequest, Making, OffStep, OrderAccount, OrderRequest, Pair, PairRequest
from shopledger.ledger.pair_words import refuse_overtaken
from shopledger.ledger.putting_right import standing_lines, whole_line
from shopledger.ledger.repricing import refuse_unused, reprice
from shopledger.ledger.shipping import parcel_with
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork

LENSES_ORDERED: Final = "LENSES-ORDERED"
MEASURED_FOR: Final = "MEASURED-FOR-OTHER"
_SHOP: Final = "the shop's own records"


@dataclass(frozen=True, slots=True)
class Remeasured:
    """What of a wearer's measurements is put right; all else stays."""

    pd: float | None = None
    pd_right: float | None = None
    pd_left: float | None = None
    near: tuple[float, ...] = ()
    """Of both eyes together, or of each."""
    height_right: float | None = None
    height_left: float | None = None

    def __bool__(self) -> bool:
        """Tell whether anything is."""
        return self != Remeasured()

    def of(self, before: Measurements | None) -> Measurements | None:
        """Give measurements with what is put right on them."""
        if not self:
            return before
        if self.pd is not None and (self.pd_right is not None or self.pd_left is not None):
            raise RefusedError("PD", "for both eyes and for one", "it is one or the other", "Give one of them.")
        heights = [
            new if new is not None else (before.eye(side).fitting_height if before else None)
            for side, new in ((Side.RIGHT, self.height_right), (Side.LEFT, self.height_left))
        ]
        binocular = before is not None and before.pd_given == "binocular"
        pd = before.pd if before and binocular and self.pd is None else self.pd
        if pd is not None and self.pd_right is None and self.pd_left is None and len(self.near) < 2:
            near = self.near[0] if self.near else (before.near_pd if before else None)
            self._refuse_near(near, pd)
            return Measurements.from_binocular(pd, near, *heights)
        right, left = (
            new if new is not None else (before.eye(side).mono_pd if before else None)
            for side, new in ((Side.RIGHT, self.pd_right), (Side.LEFT, self.pd_left))
        )
        if right is None or left is None:
            raise RefusedError("PD", "missing", "nothing was measured on this job before", "Give the PD with it.")
        if before is not None:
            self._refuse_near(before.right.near_pd, right)
            self._refuse_near(before.left.near_pd, left)
        return Measurements.from_monocular((right, left), self._near(before), *heights)

    def _refuse_near(self, near: float | None, pd: float) -> None:
        """Refuse to keep a near PD that no longer goes with the distance PD."""
        if not self.near and near is not None and near > pd:
            allowed = f"it is no more than the PD, which is {pd:g} now"
            raise RefusedError("near PD", f"{near:g}, as it was entered", allowed, "Give the near PD with it.")

    def _near(self, before: Measurements | None) -> float | tuple[float | None, float | None] | None:
        if len(self.near) == 1:
            return self.near[0]
        if self.near:
            return self.near[0], self.near[1]
        return (before.right.near_pd, before.left.near_pd) if before else None


@dataclass(frozen=True, slots=True)
class JobChange:
    """What is put right on a job that was not cut yet; what is not named stays as it is."""

    job_number: int
    terms: CorrectionTerms
    wearer: str = ""
    prescription: int | None = None
    without_prescription: bool = False
    frame: str = ""
    own_frame: bool | None = None
    """Whether the wearer has the frame already; None as before, or not where another one is named."""
    lens: str = ""
    own_lenses: Mapping[Side, str] = field(default_factory=dict)
    use: LensUse | None = None
    extras: tuple[str, ...] = ()
    """Upgrades that come in on each lens."""
    without_extras: tuple[str, ...] = ()
    own_extras: Mapping[Side, tuple[str, ...]] = field(default_factory=dict)
    without_own_extras: Mapping[Side, tuple[str, ...]] = field(default_factory=dict)
    measured: Remeasured = Remeasured()
    off_step: OffStep | None = None
    balance: Mapping[Side, SphereCylinder] = field(default_factory=dict)
    codes: Mapping[Side, str] = field(default_factory=dict)
    note: str | None = None

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Make the job anew with what is put right, or refuse one that was cut or left."""
        account, pair = job_to_correct(work, desk, self.job_number, self.terms)
        asked_lenses = refuse_cut(work, account, pair)
        asked = self.asked(work, account, pair)
        change = changed_pair(work, desk, account, pair, asked, RemakeCause.PUT_RIGHT, self.terms)
        if not (change.out or change.added) and _same(change.jobs[0], pair):
            raise RefusedError(
                "job", self.job_number, "nothing on it would change", "Name what is put right, as in --pd 62."
            )
        if _same(replace(change.jobs[0], note=pair.note), pair):
            asked_lenses = ()
        found = (*asked_lenses, *self._measured_for(change.jobs[0], pair), *change.findings)
        return replace(change, findings=found)

    def asked(self, work: UnitOfWork, account: OrderAccount, pair: Pair) -> PairRequest:
        """Give the pair as it is to be."""
        before = request_of(account, pair)
        wearer = before.wearer
        if self.wearer:
            wearer = str(work.customers.pick_wearer(account.order.customer_number, self.wearer).number)
        use = self.use or before.use
        if self.lens and self.use is None:
            multifocal = work.catalogue.lens(self.lens).multifocal
            use = before.use if multifocal is (before.use is LensUse.MULTIFOCAL) else None
        powers_move = wearer != before.wearer or self.prescription is not None or self.without_prescription
        lens_moves = bool(self.lens or self.own_lenses or self.use)
        owned = before.frame_owned if self.own_frame is None and not self.frame else bool(self.own_frame)
        eyes = {side: self._eye(before, side, keep_balance=not powers_move) for side in Side}
        codes = {
            side: self.codes.get(side) or ("" if powers_move or lens_moves else getattr(before, f"{side.value}_code"))
            for side in Side
        }
        return replace(
            before,
            wearer=wearer,
            prescription=self.prescription if powers_move else before.prescription,
            without_prescription=self.without_prescription or (before.without_prescription and not powers_move),
            frame=self.frame or before.frame,
            frame_owned=owned,
            lens=self.lens or before.lens,
            use=use,
            extras=_with(pair.extras, self.extras, self.without_extras, "extra"),
            measurements=self.measured.of(before.measurements),
            off_step=self.off_step or before.off_step,
            right=eyes[Side.RIGHT],
            left=eyes[Side.LEFT],
            right_code=codes[Side.RIGHT],
            left_code=codes[Side.LEFT],
            note=before.note if self.note is None else self.note,
        )

    def _eye(self, before: PairRequest, side: Side, *, keep_balance: bool) -> EyeRequest:
        eye = before.eye(side)
        if eye.making is not Making.NEW:
            return eye
        lens = self.own_lenses.get(side) or ("" if self.lens else eye.lens)
        extras = _with(eye.extras, self.own_extras.get(side, ()), self.without_own_extras.get(side, ()), "extra")
        balance = self.balance.get(side) or (eye.balance if keep_balance else None)
        return replace(eye, lens=lens, extras=extras, balance=balance)

    def _measured_for(self, job: Pair, pair: Pair) -> Iterable[Finding]:
        """Ask whether measurements that were entered for one wearer are another's."""
        if job.wearer_number != pair.wearer_number and pair.measurements is not None and not self.measured:
            sentence = (
                f"The measurements of job {pair.job_number} stay as they were entered, with a PD of "
                f"{pair.measurements.pd:g}. Accept that if they are those of {self.wearer}, or give the right ones."
            )
            yield Finding(
                Severity.WARNING, MEASURED_FOR, "PD", f"{pair.measurements.pd:g}", "the wearer's own", _SHOP, sentence
            )


@dataclass(frozen=True, slots=True)
class FrameBroken:
    """A frame that broke in work and is replaced in its job without charge."""

    job_number: int
    terms: CorrectionTerms
    frame: str = ""
    """The frame that takes its place; empty for another piece of the same."""

    def change(self, work: UnitOfWork, desk: Desk) -> Change:
        """Make the job anew in the other frame at the old price; the shop's broken frame is written off."""
        account, pair = job_to_correct(work, desk, self.job_number, self.terms)
        parcel = parcel_with(account, pair.job_number)
        if parcel is not None:
            raise RefusedError(
                "job",
                self.job_number,
                f"it left on {parcel.day.isoformat()}, and a frame breaks in work only before that",
                f"Exchange it: 'shopledger sale exchange {account.order.number} --line N --for CODE --reason WHY'.",
            )
        before = request_of(account, pair)
        line = _frame_line(account, pair)
        asked = replace(before, frame=self.frame or before.frame)
        if line is None and asked == before:
            raise RefusedError(
                "frame",
                before.frame,
                "it is the customer's own, and the shop has no second one",
                "Name the frame that takes its place with --frame.",
            )
        newcomer = work.catalogue.frame(asked.frame)
        asked = replace(asked, frame_owned=newcomer.owned_by is not None)
        terms = self.terms
        comes_in = newcomer.owned_by is None and (line is None or newcomer.code != before.frame)
        if comes_in and not terms.prices:
            terms = replace(terms, prices={newcomer.code: min(line.kept, newcomer.price) if line else 0})
        change = changed_pair(work, desk, account, pair, asked, RemakeCause.BROKEN, terms)
        lost = (_written_off(account, pair, desk.day(self.terms.day), self.terms.reason),) if line else ()
        return replace(change, lost=lost)


def job_to_correct(work: UnitOfWork, desk: Desk, job_number: int, terms: CorrectionTerms) -> tuple[OrderAccount, Pair]:
    """Give a job that stands, with its order, or refuse it in words."""
    order, pair = work.orders.pair(job_number)
    refuse_of_erased(f"job {job_number}", work.customers.wearer(pair.wearer_number))
    account = correctable(work, desk, number_of(order), terms, "correction")
    refuse_overtaken(order, pair, "correction")
    return account, pair


def uncut(work: UnitOfWork, account: OrderAccount, place: int) -> tuple[Pair, tuple[Finding, ...]]:
    """Give the pair of a place of an order that was not cut yet, with what is asked about its lenses."""
    pair = next((each for each in account.order.standing_pairs if each.place == place), None)
    if pair is None:
        places = ", ".join(str(each.place) for each in account.order.standing_pairs)
        raise RefusedError(
            "pair",
            place,
            f"order {account.order.number} has {f'pair {places}' if places else 'none'}",
            f"Look with 'shopledger sale show {account.order.number}'.",
        )
    return pair, refuse_cut(work, account, pair)


def refuse_cut(work: UnitOfWork, account: OrderAccount, pair: Pair) -> tuple[Finding, ...]:
    """Refuse a job whose lenses were cut; give what is asked about lenses that were ordered.

    Lenses are taken for cut once the job was inspected, was to be made again, or left: nothing else is known of it.
    """
    job = number_of_job(pair)
    cut = why_cut(work, account, pair)
    if cut:
        raise RefusedError("job", job, cut, f"Make it again: 'shopledger job remake {job} --help' says how.")
    sent = work.lens_orders.of_job(job)
    if not sent:
        return ()
    newest = sent[-1]
    came = f"came on {newest.arrival.day.isoformat()}" if newest.arrival else "are on their way"
    sentence = (
        f"Lenses for job {job} were ordered on {newest.day.isoformat()} (lens order {newest.number}) and {came}: they "
        "may be the wrong ones. Ask the lab whether it takes them back, and order what is needed for the new job."
    )
    return (Finding(Severity.WARNING, LENSES_ORDERED, "lenses", came, "not ordered yet", _SHOP, sentence),)


def why_cut(work: UnitOfWork, account: OrderAccount, pair: Pair) -> str:
    """Say how the ledger knows that a job's lenses were cut; empty where it knows of nothing."""
    parcel = parcel_with(account, pair.job_number)
    if parcel is not None:
        return f"it left on {parcel.day.isoformat()}"
    history = work.inspections.history(number_of_job(pair))
    if history.remakes:
        return f"it was to be made again on {history.remakes[-1].day.isoformat()}, so its lenses were cut"
    if history.newest is not None:
        return f"it was inspected on {history.newest.day.isoformat()}, so its lenses are cut"
    return ""


def number_of_job(pair: Pair) -> int:
    """Give a stored job's number."""
    return pair.job_number or 0


def request_of(account: OrderAccount, pair: Pair) -> PairRequest:
    """Give a pair as it would be asked for: all by number and code, what the owner chose for it chosen again."""
    chosen = {
        charge.side: charge.code
        for kept in standing_lines(account)
        if kept.line.pair == pair.place and kept.line.kind is LineKind.LENSES
        for charge in kept.line.charges
        if charge.chosen
    }
    eyes = {side: EyeRequest(own.making, own.lens_code, own.extras) for side in Side for own in (pair.own(side),)}
    return PairRequest(
        wearer=str(pair.wearer_number),
        lens=pair.lens_code,
        frame=pair.frame_code,
        use=pair.use,
        prescription=pair.prescription_number,
        without_prescription=pair.prescription_number is None,
        extras=pair.extras,
        measurements=pair.measurements,
        frame_owned=_frame_line(account, pair) is None,
        right_code=chosen.get(Side.RIGHT, ""),
        left_code=chosen.get(Side.LEFT, ""),
        note=pair.note,
        right=eyes[Side.RIGHT],
        left=eyes[Side.LEFT],
    )


def changed_pair(
    work: UnitOfWork,
    desk: Desk,
    account: OrderAccount,
    pair: Pair,
    asked: PairRequest,
    cause: RemakeCause,
    terms: CorrectionTerms,
    returned: int | None = None,
) -> Change:
    """Give a pair made in the place of another, with the lines that give way and come in for it.

    `returned` says how many of the frames taken out came back; None for all that are not needed any more.
    """
    order = account.order
    day = desk.day(terms.day, "day of the correction")
    customer = work.customers.get(order.customer_number)
    before = request_of(account, pair)
    same_powers = _powers(asked) == _powers(before)
    planned = plan_pair(work, customer, asked, pair.place, day, pair.made if same_powers else None)
    standing = [each for each in standing_lines(account) if each.line.pair == pair.place]
    request = OrderRequest(
        str(order.customer_number), (asked,), offers=terms.offers, without_offers=terms.without_offers
    )
    other = planned.pair.made != pair.made
    repriced = reprice(planned.goods, standing, terms_of(work, order, request, day), terms.prices, other_powers=other)
    refuse_unused(terms.prices, repriced.added)
    kind = CorrectionKind.EXCHANGED if cause is RemakeCause.EXCHANGED else CorrectionKind.PUT_RIGHT
    out = tuple(whole_line(each, _back(each, returned)) for each in repriced.out)
    again = Again(pair.place, number_of_job(pair), cause, day, terms.reason, _goes_along(account, pair, asked))
    job = replace(planned.pair, again=again)
    return Change(account, kind, out, repriced.added, (job,), findings=not_asked_before(account, planned))


def _goes_along(account: OrderAccount, pair: Pair, asked: PairRequest) -> bool:
    """Tell whether a frame goes along that the job was given when it was made again, and that nobody is charged for."""
    given = pair.again is not None and pair.again.new_frame and parcel_with(account, pair.job_number) is None
    if given and asked.frame.casefold() != pair.frame_code.casefold():
        raise RefusedError(
            "frame",
            asked.frame,
            f"{pair.frame_code} was put aside for job {pair.job_number} when it was made again",
            f"Make it again with the other one: 'shopledger job remake {pair.job_number} --help' says how.",
        )
    return given


def _back(kept: KeptLine, returned: int | None) -> int | None:
    """Give how many frames of a line that is taken out came back, where that is said."""
    return returned if kept.line.kind is LineKind.FRAME else None


def _powers(asked: PairRequest) -> tuple[object, ...]:
    """Give all that the powers to make are worked out from."""
    eyes = [(eye.making, eye.lens, eye.balance) for eye in (asked.right, asked.left)]
    return asked.wearer, asked.prescription, asked.without_prescription, asked.use, asked.off_step, eyes


def _same(job: Pair, before: Pair) -> bool:
    """Tell whether a job is made just as the one before."""
    return replace(job, position=before.position, job_number=before.job_number, again=before.again) == before


def _frame_line(account: OrderAccount, pair: Pair) -> KeptLine | None:
    """Give the line on which a pair's frame is sold; None where the wearer had it."""
    mine = (each for each in standing_lines(account) if each.line.pair == pair.place)
    return next((each for each in mine if each.line.kind is LineKind.FRAME), None)


def _written_off(account: OrderAccount, pair: Pair, day: date, reason: str) -> StockMovement:
    return StockMovement(
        day,
        StockedKind.FRAME,
        pair.frame_code,
        -1,
        0,
        StockReason.WRITTEN_OFF,
        number_of(account.order),
        pair.job_number,
        note=reason,
    )


def _with(before: tuple[str, ...], more: Iterable[str], without: Iterable[str], what: str) -> tuple[str, ...]:
    """Give codes with some more and without others; one that is not there cannot be left out."""
    held = {code.casefold() for code in before}
    off = {code.casefold(): code for code in without}
    unknown = next((typed for folded, typed in off.items() if folded not in held), None)
    if unknown is not None:
        raise RefusedError(
            what, unknown, f"the job has {', '.join(before) or 'none'} there", "Name one that it has, or leave it out."
        )
    kept = [code for code in before if code.casefold() not in off]
    return tuple(dict.fromkeys((*kept, *more)))
