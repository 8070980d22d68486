"""What an outside lab is sent to make a job's lenses, frozen when it is ordered; of the wearer only initials.

Powers are in dioptres with a minus cylinder, lengths in mm, radii in whole hundredths of a mm as a trace has them.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.canonical import FIRST_DRAWING, frozen, left_unsaid
from shopledger.ledger.catalogue import use_of_lens
from shopledger.ledger.layout import EyeLayout
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.papers.fitting_points import FittingPoint, fitting_point
from shopledger.ledger.papers.job_sheet import Job, JobShape, outline_of
from shopledger.ledger.papers.made_again import remade_in_place
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.papers.strips import ON_LENS_ORDER, Remade, Strip, StripFacts, strips_of
from shopledger.ledger.text import initials_of, nameless
from shopledger.optics.boxing import box
from shopledger.optics.lengths import at_least
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.notation import write_dioptres, write_eye, write_prisms
from shopledger.optics.pair_checks import layout_pd
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse
from shopledger.optics.prism import PrismVector, combine
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace

FORM: Final = 2
"""Version of the frozen content; a later form must still print the earlier ones."""
_SINCE_FORM_2: Final = ("in_place_of",)
"""What orders of the first form do not say."""


@dataclass(frozen=True, slots=True)
class LensToMake:
    """One lens; None and empty tuples stand for what is not known or not asked for."""

    asked: bool
    """Whether this lens is ordered; the other one's figures are there for reference."""
    sphere: float
    cylinder: float
    axis: float | None
    add: float | None
    prism_in: float
    prism_up: float
    balance: bool
    """Whether it only balances the other lens."""
    pd: float | None
    """From the middle of the bridge to the optical centre or fitting point."""
    near_pd: float | None
    """Of a multifocal, beside the PD for distance."""
    height: float | None
    """From the lowest point of the lens."""
    a: float | None
    b: float | None
    ed: float | None
    circumference: float | None
    blank: float | None
    """The smallest of the maker's diameters that covers; None where none does, or the lab edges the lens."""
    blank_needed: float | None
    """The smallest diameter that covers, the shop's allowance included."""
    centre: tuple[float, float] | None
    """Optical centre or fitting point from the boxed centre: inward and upward."""
    radii: tuple[int, ...] = ()
    """The traced shape, counter-clockwise from 3 o'clock for who faces the wearer."""
    fitting: FittingPoint | None = None
    """By what a multifocal is set before the eye."""
    thinning: bool = False
    """Whether the maker grinds equal prism into both lenses, so that they become thinner."""

    @property
    def inset(self) -> float | None:
        """How far a segment stands inward of the distance centre."""
        return None if self.fitting is None else self.fitting.inset

    @property
    def power(self) -> str:
        """Sphere, cylinder and axis as they are written, and whether it only balances the other lens."""
        made = EyePrescription(SphereCylinder(self.sphere, self.cylinder, self.axis), balance=self.balance)
        return write_eye(made)

    @property
    def add_written(self) -> str:
        """The add; empty where there is none."""
        return "" if self.add is None else write_dioptres(self.add)

    @property
    def prism(self) -> str:
        """The prism in words; empty where there is none."""
        return write_prisms(PrismVector(self.prism_in, self.prism_up).as_prisms())


@dataclass(frozen=True, slots=True)
class LensOrderContent:
    """Everything that an order of lenses says. Days are ISO text, absent things empty text or None."""

    number: int
    day: str
    expected_on: str
    job_number: int
    follows: int | None
    reason: str
    """Why the lenses are ordered again; kept, and not sent out."""
    remake: int | None
    """The newest remake of the job that was known then."""
    shop: ShopLines
    supplier: str
    account: str
    """The shop's number with the supplier."""
    initials: str
    lens: str
    design: str
    material: str
    index: float
    corridor: float | None
    extras: tuple[str, ...]
    use: str
    multifocal: bool
    near: bool
    """Whether the PD is the one for near."""
    base_curve: float | None
    edging: str
    frame: str
    dbl: float
    measured: bool
    """Whether the frame's sizes are those of its trace; otherwise they are those stamped on it."""
    trace: str
    """Number and day of the trace, as in `3 of 2026-03-02`; empty without one."""
    right: LensToMake
    left: LensToMake
    note: str
    paper: str = "letter"
    wording_sha256: str = ""
    """Hash of the wording of every print, which the ledger keeps."""
    form: int = FORM
    drawing: int = FIRST_DRAWING
    """In which version papers were drawn when it was issued."""
    erased_on: str = ""
    """The day on which what tells of the wearer was erased; empty while the content is whole."""
    erasure: int | None = None
    """By which erasure."""
    in_place_of: int | None = None
    """The job in whose place this one is made again; why is not sent out."""

    @property
    def edged(self) -> bool:
        """Whether the lab cuts the lenses to the shape."""
        return self.edging == Edging.EDGED.value

    @property
    def lenses(self) -> tuple[LensToMake, LensToMake]:
        """Right, then left."""
        return self.right, self.left

    @property
    def strips(self) -> tuple[Strip, ...]:
        """What nobody in the lab may miss. Why lenses are made again stays in the shop."""
        asked = tuple(side for side, lens in zip(Side, self.lenses, strict=True) if lens.asked)
        again = () if self.in_place_of is None else (f"in the place of job {self.in_place_of}",)
        facts = StripFacts(
            made=asked,
            remade=Remade(asked, again) if again or self.remake is not None else None,
            prism={side: lens.prism for side, lens in zip(Side, self.lenses, strict=True)},
        )
        return strips_of(facts, ON_LENS_ORDER)

    @property
    def shape(self) -> FrameTrace | None:
        """The traced shape; None where the frame was never traced."""
        if not self.right.radii:
            return None
        return FrameTrace(Trace(Side.RIGHT, self.right.radii), Trace(Side.LEFT, self.left.radii), self.dbl)

    def canonical(self) -> str:
        """Give the content as JSON that never changes."""
        return frozen(self, without=(*left_unsaid(self), *(_SINCE_FORM_2 if self.form < 2 else ())))


@dataclass(frozen=True, slots=True)
class LensOrderTerms:
    """What is said of an order of lenses beside the job itself."""

    day: date
    supplier: Supplier
    lenses: Collection[Side]
    edging: Edging = Edging.UNCUT
    expected_on: date | None = None
    base_curve: float | None = None
    """Front curve, where one is ordered. [D]"""
    note: str = ""
    follows: int | None = None
    reason: str = ""
    remake: int | None = None


def lens_order_content(job: Job, terms: LensOrderTerms) -> LensOrderContent:
    """Give what the lab is sent, not yet numbered; that the order can be made is checked before."""
    pair, wearer = job.pair, job.wearer
    lens = next(job.lenses[side] for side in Side if side in terms.lenses)
    right, left = (_lens(job, side, terms) for side in Side)
    again = remade_in_place(pair)
    return LensOrderContent(
        number=0,
        day=terms.day.isoformat(),
        expected_on=terms.expected_on.isoformat() if terms.expected_on else "",
        job_number=pair.job_number or 0,
        follows=terms.follows,
        reason=terms.reason,
        remake=terms.remake,
        shop=shop_lines(job.shop),
        supplier=terms.supplier.name,
        account=terms.supplier.account,
        initials=initials_of(wearer.printed_name or wearer.name),
        lens=lens.name,
        design=lens.design.value,
        material=lens.material,
        index=lens.index,
        corridor=lens.corridor,
        extras=_extras(job, terms.lenses),
        use=use_of_lens(lens, pair.use).value,
        multifocal=lens.multifocal,
        near=_for_near(job),
        base_curve=terms.base_curve,
        edging=terms.edging.value,
        frame=job.frame.description,
        dbl=job.trace.shape.dbl if job.trace else job.frame.bridge,
        measured=job.trace is not None,
        trace=f"{job.trace.number} of {job.trace.origin.traced_on.isoformat()}" if job.trace else "",
        right=right,
        left=left,
        note=nameless(terms.note, wearer.name, wearer.printed_name),
        in_place_of=again.job if again else None,
    )


def _extras(job: Job, lenses: Collection[Side]) -> tuple[str, ...]:
    """Name the upgrades of the lenses that are ordered; one that is on one of two says on which."""
    own = {side: job.own_extras.get(side, ()) for side in Side if side in lenses}
    named = [extra.name for extra in job.extras]
    for side, extras in own.items():
        for extra in extras:
            on_all = all(extra in others for others in own.values())
            named.append(extra.name if on_all else f"{extra.name} ({side.value} lens only)")
    return tuple(dict.fromkeys(named))


def lens_order_shape(content: LensOrderContent) -> JobShape | None:
    """Give both lenses as they are drawn at 1:1; None without a trace."""
    shape = content.shape
    if shape is None:
        return None
    right, left = content.right.centre, content.left.centre
    return JobShape(
        outline_of(shape.right),
        outline_of(shape.left),
        shape.dbl,
        right,
        None if left is None else (-left[0], left[1]),
        content.right.fitting,
        content.left.fitting,
    )


def _lens(job: Job, side: Side, terms: LensOrderTerms) -> LensToMake:
    pair = job.pair
    made = pair.made.eye(side) if pair.made else EyePrescription(SphereCylinder(0.0))
    power, prism = made.power.as_minus_cylinder(), combine(made.prism)
    lens = LensToMake(
        asked=side in terms.lenses,
        sphere=_exact(power.sphere),
        cylinder=_exact(power.cylinder),
        axis=power.axis,
        add=made.add,
        prism_in=_exact(prism.inward),
        prism_up=_exact(prism.upward),
        balance=made.balance,
        **_placed(job, side, pair.measurements.eye(side) if pair.measurements else None),
        **_sizes(job, side),
        blank=None,
        blank_needed=None,
        centre=None,
        radii=job.trace.shape.eye(side).hundredths if job.trace else (),
        fitting=_fitting(job, side),
        thinning=bool(job.lenses[side].thinning_prism),
    )
    laid = job.layout.eye(side) if job.layout else None
    return lens if laid is None else _laid(lens, laid, terms.edging)


def _fitting(job: Job, side: Side) -> FittingPoint | None:
    measured = job.pair.measurements
    laid = job.layout.eye(side) if job.layout else None
    return fitting_point(job.lenses[side], measured.eye(side) if measured else None, laid)


def _placed(job: Job, side: Side, measured: EyeMeasurements | None) -> dict[str, float | None]:
    """Give where the lens has to stand before the eye."""
    if measured is None:
        return {"pd": None, "near_pd": None, "height": None}
    lens = job.lenses[side]
    near = measured.near_pd if lens.multifocal else None
    return {
        "pd": layout_pd(measured, use_of_lens(lens, job.pair.use)),
        "near_pd": near,
        "height": measured.fitting_height,
    }


def _sizes(job: Job, side: Side) -> dict[str, float | None]:
    """Give the boxed sizes: measured on the trace, or what is stamped on the frame."""
    if job.trace is None:
        return {"a": job.frame.eye_size, "b": None, "ed": None, "circumference": None}
    boxed = box(job.trace.shape.eye(side))
    return {name: round(getattr(boxed, name), 2) for name in ("a", "b", "ed", "circumference")}


def _laid(lens: LensToMake, laid: EyeLayout, edging: Edging) -> LensToMake:
    return replace(
        lens,
        blank=laid.blank if edging is Edging.UNCUT else None,
        blank_needed=at_least(laid.blank_needed),
        centre=(_exact(laid.decentration_in, 2), _exact(laid.offset_up, 2)),
    )


def _for_near(job: Job) -> bool:
    """Tell whether the lenses are centred for near: a reading pair whose near PD was measured."""
    measured = job.pair.measurements
    return job.pair.use is LensUse.READING and measured is not None and measured.near_pd is not None


def _exact(value: float, places: int = 3) -> float:
    """Round what was calculated; nothing is ever minus nothing."""
    return round(value, places) + 0.0
