"""The job sheet: everything the bench needs to make one pair, and of the wearer no more than initials.

Lengths are in mm: what was measured as it was given, what was worked out in tenths, a blank that is needed rounded up.
Inward and upward are positive, from the boxed centre. Points are as seen from the front: x to the right of the paper, y
up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from shopledger.ledger.catalogue import Extra, Frame, Lens, use_of_lens
from shopledger.ledger.inspections import Remake
from shopledger.ledger.layout import EyeLayout, PairLayout
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, Pair
from shopledger.ledger.pair_words import lens_words, names_in_a_row, not_made, overtaken
from shopledger.ledger.papers.fitting_points import FittingPoint, fitting_point
from shopledger.ledger.papers.made_again import MadeAgain
from shopledger.ledger.papers.strips import ON_JOB_SHEET, Strip, StripFacts, strips_of
from shopledger.ledger.parties import Shop, Wearer
from shopledger.ledger.text import initials_of, nameless
from shopledger.ledger.traces import StoredTrace
from shopledger.optics.boxing import box
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.lengths import at_least, at_most, worked_out
from shopledger.optics.materials import MATERIALS, MaterialClass
from shopledger.optics.measurements import EyeMeasurements
from shopledger.optics.notation import write_dioptres, write_eye, write_prisms
from shopledger.optics.pair_checks import layout_pd
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace

Cutting: TypeAlias = Literal["dry", "wet"]
Point: TypeAlias = tuple[float, float]

_USUAL_CUTTING: Final[Mapping[MaterialClass, Cutting]] = MappingProxyType(
    {row.material_class: row.cutting for row in MATERIALS}
)


@dataclass(frozen=True, slots=True)
class Job:
    """One pair with everything looked up that a sheet is made from."""

    shop: Shop
    order: Order
    pair: Pair
    wearer: Wearer
    frame: Frame
    lenses: Mapping[Side, Lens]
    """Each eye's lens, made or not."""
    extras: tuple[Extra, ...] = ()
    """Those on each lens that is made."""
    own_extras: Mapping[Side, tuple[Extra, ...]] = field(default_factory=dict)
    """Those on one lens alone."""
    written: Prescription | None = None
    """The prescription as it was written."""
    remake: Remake | None = None
    """That it is being made again; None once it passed anew."""
    remakes: int = 0
    """How often it was made again."""
    trace: StoredTrace | None = None
    layout: PairLayout | None = None
    """None without a trace, PD or powers, or where `refusal` says why not."""
    refusal: str = ""
    findings: tuple[Finding, ...] = ()
    """What was found on the pair, gravest first."""


@dataclass(frozen=True, slots=True)
class EyeJob:
    """What to make for one eye; empty text and None stand for what is not asked for or not known."""

    power: str
    """In minus-cylinder form, without add and prism."""
    add: str
    prism: str
    pd: float | None
    """From the middle of the bridge to the optical centre or fitting point."""
    near: bool
    """Whether that PD is the one for near."""
    height: float | None
    """From the deepest part of the lens."""
    decentration_in: float | None = None
    offset_up: float | None = None
    blank_needed: float | None = None
    """Smallest blank that covers, allowance included."""
    blank: float | None = None
    """The smallest of the maker's diameters that covers."""
    edge: tuple[float, float] | None = None
    """Thinnest and thickest edge."""
    centre_thickness: float | None = None
    written: str = ""
    """The prescription, where the power to make is another."""
    not_made: str = ""
    """Why this eye gets no lens."""
    own: str = ""
    """Lens, material and upgrades, where they are not the other eye's."""
    minimum_height: float | None = None
    """Least height of the lens's design."""
    largest_blank: float | None = None
    """The largest diameter that the maker has; None where none is known."""
    fitting: FittingPoint | None = None
    """By what a multifocal is set before the eye."""

    @property
    def to_spare(self) -> float | None:
        """How much the chosen blank is larger than it must be."""
        if self.blank is None or self.blank_needed is None:
            return None
        return at_most(self.blank - self.blank_needed)

    @property
    def above_minimum(self) -> float | None:
        """How much the height is above the least that the design needs; below is negative."""
        if self.minimum_height is None or self.height is None:
            return None
        return round(self.height - self.minimum_height, 3) + 0.0


@dataclass(frozen=True, slots=True)
class JobShape:
    """Both lenses as they are drawn at 1:1, each from its boxed centre."""

    right: tuple[Point, ...]
    left: tuple[Point, ...]
    dbl: float
    right_centre: Point | None = None
    """Where the optical centre or fitting point stands; None where there is no layout."""
    left_centre: Point | None = None
    right_fitting: FittingPoint | None = None
    left_fitting: FittingPoint | None = None


@dataclass(frozen=True, slots=True)
class JobSheet:
    """Everything on the sheet. Days are ISO text, absent things empty text or None."""

    shop_name: str
    job_number: int
    order_number: int
    order_day: str
    initials: str
    frame: str
    lens: str
    material: str
    use: str
    extras: tuple[str, ...]
    note: str
    right: EyeJob
    left: EyeJob
    multifocal: bool
    corridor: float | None
    minimum_height: float | None
    """Of both designs; None where they differ."""
    cutting: Cutting
    trace: str
    """Number and day of the trace, as in `3 of 2026-03-02`; empty without one."""
    shape: JobShape | None
    stops: tuple[str, ...] = ()
    """What must be put right before cutting."""
    asks: tuple[str, ...] = ()
    """What to look at before cutting."""
    cutting_left: Cutting | None = None
    """How the left lens is cut, where the right one is cut the other way."""
    strips: tuple[Strip, ...] = ()
    """What nobody may miss."""
    made_again: tuple[str, ...] = ()
    """That and why it is made again, in sentences, for who reads it elsewhere than on a strip."""

    @property
    def laid_out(self) -> bool:
        """Whether there are figures of the layout."""
        return self.right.decentration_in is not None or self.left.decentration_in is not None

    @property
    def looks(self) -> tuple[str, ...]:
        """What to look at before cutting, that it is made again first."""
        return (*self.made_again, *self.asks)


def cutting_mode(material: MaterialClass, chosen: Mapping[MaterialClass, Cutting]) -> Cutting:
    """Give how a material is cut: as the shop chose, otherwise as the table of materials says."""
    return chosen.get(material) or _USUAL_CUTTING[material]


def job_sheet(job: Job, cutting: Mapping[MaterialClass, Cutting] = MappingProxyType({})) -> JobSheet:
    """Give what the sheet of a job says; `cutting` holds the materials that the shop cuts its own way."""
    order, pair = job.order, job.pair
    made = [job.lenses[side] for side in pair.sides]
    ways = [cutting_mode(lens.material_class, cutting) for lens in made]
    alike = _alike(job)
    return JobSheet(
        shop_name=job.shop.name,
        job_number=pair.job_number or 0,
        order_number=number_of(order),
        order_day=order.day.isoformat(),
        initials=initials_of(job.wearer.printed_name or job.wearer.name),
        frame=job.frame.description,
        lens=lens_words(pair, {lens.code: lens.name for lens in made}),
        material=" and ".join(dict.fromkeys(lens.material for lens in made)),
        use=pair.use.value,
        extras=tuple(extra.name for extra in job.extras),
        note=nameless(pair.note, job.wearer.name, job.wearer.printed_name),
        right=_eye(job, Side.RIGHT, alike=alike),
        left=_eye(job, Side.LEFT, alike=alike),
        multifocal=any(lens.multifocal for lens in made),
        corridor=_same([lens.corridor for lens in made]),
        minimum_height=_same([lens.min_fitting_height if lens.multifocal else None for lens in made]),
        cutting=ways[0],
        trace=f"{job.trace.number} of {job.trace.origin.traced_on.isoformat()}" if job.trace else "",
        shape=_shape(job),
        stops=tuple(dict.fromkeys(_stops(job))),
        asks=tuple(dict.fromkeys(_asks(job))),
        cutting_left=ways[-1] if ways[-1] != ways[0] else None,
        strips=strips_of(_facts(job), ON_JOB_SHEET),
        made_again=tuple(_again(job).sentences()),
    )


def _facts(job: Job) -> StripFacts:
    made, layout = job.pair.made, job.layout
    return StripFacts(
        made=job.pair.sides,
        remade=_again(job).remade,
        own_frame=job.frame.owned_by is not None,
        prism={side: write_prisms(made.eye(side).prism) for side in Side} if made else {},
        thickest={eye.side: eye.body.thickest for eye in layout.eyes if eye.body} if layout else {},
    )


def _again(job: Job) -> MadeAgain:
    return MadeAgain(job.pair, job.wearer, job.remake, job.remakes)


def _alike(job: Job) -> bool:
    """Tell whether all lenses that are made are the same, with the same upgrades."""
    return len(job.pair.lens_codes) == 1 and len({job.own_extras.get(side, ()) for side in job.pair.sides}) == 1


def _same(values: Sequence[float | None]) -> float | None:
    """Give what all lenses have alike, or nothing."""
    return values[0] if len(set(values)) == 1 else None


def _eye(job: Job, side: Side, *, alike: bool) -> EyeJob:
    pair, lens = job.pair, job.lenses[side]
    absent = not_made(pair, side)
    if absent:
        return EyeJob("", "", "", None, near=False, height=None, not_made=absent)
    made = pair.made.eye(side) if pair.made else None
    measured = pair.measurements.eye(side) if pair.measurements else None
    eye = EyeJob(
        power=_power(made) if made else "",
        add=write_dioptres(made.add) if made and made.add is not None else "",
        prism=write_prisms(made.prism) if made else "",
        pd=_pd(lens, pair, measured),
        near=_for_near(lens, pair, measured),
        height=measured.fitting_height if measured else None,
        written=_written(job, side, made),
        own="" if alike else _own(job, side),
        minimum_height=lens.min_fitting_height if lens.multifocal else None,
        largest_blank=lens.blank_diameters[-1] if lens.blank_diameters else None,
        fitting=fitting_point(lens, measured, job.layout.eye(side) if job.layout else None),
    )
    return _laid(eye, job.layout.eye(side)) if job.layout else eye


def _written(job: Job, side: Side, made: EyePrescription | None) -> str:
    """Give the prescription where something else is made from it: for reading, for a screen, as a balance lens."""
    if job.written is None or made is None or job.written.eye(side) == made:
        return ""
    return write_eye(job.written.eye(side))


def _own(job: Job, side: Side) -> str:
    """Name one eye's lens, its material and what goes with it alone."""
    lens, extras = job.lenses[side], job.own_extras.get(side, ())
    return names_in_a_row((f"{lens.name} · {lens.material}", *(extra.name for extra in extras)))


def _power(made: EyePrescription) -> str:
    return write_eye(replace(made, power=made.power.as_minus_cylinder(), add=None, prism=()))


def _for_near(lens: Lens, pair: Pair, measured: EyeMeasurements | None) -> bool:
    """Tell whether a lens is centred for near, by the rule of the layout: a reading pair whose near PD is known."""
    reading = use_of_lens(lens, pair.use) is LensUse.READING
    return reading and measured is not None and measured.near_pd is not None


def _pd(lens: Lens, pair: Pair, measured: EyeMeasurements | None) -> float | None:
    return None if measured is None else layout_pd(measured, use_of_lens(lens, pair.use))


def _laid(eye: EyeJob, laid: EyeLayout) -> EyeJob:
    body = laid.body
    # A lined lens has its segment's place beside that of its centre; a progressive is set by its cross alone.
    across, up = laid.centre if laid.lined else laid.fitted.centre
    return replace(
        eye,
        decentration_in=_tenths(across),
        offset_up=_tenths(up),
        blank_needed=at_least(laid.blank_needed),
        blank=laid.blank,
        edge=(_tenths(body.thinnest), _tenths(body.thickest)) if body else None,
        centre_thickness=_tenths(body.centre_thickness) if body else None,
    )


def _tenths(length: float) -> float:
    """Round what was worked out to tenths."""
    return float(worked_out(length))


def _shape(job: Job) -> JobShape | None:
    if job.trace is None:
        return None
    shape, layout = job.trace.shape, job.layout
    return JobShape(
        outline_of(shape.right),
        outline_of(shape.left),
        shape.dbl,
        _centre(layout, Side.RIGHT),
        _centre(layout, Side.LEFT),
        *(_fitting(job, side) for side in Side),
    )


def _fitting(job: Job, side: Side) -> FittingPoint | None:
    """Give by what a lens that is made is set before the eye, where it is laid out."""
    layout, measured = job.layout, job.pair.measurements
    if layout is None or measured is None or side not in layout.sides:
        return None
    return fitting_point(job.lenses[side], measured.eye(side), layout.eye(side))


def _centre(layout: PairLayout | None, side: Side) -> Point | None:
    """Give where a lens's centre is drawn; None for one that is not made."""
    if layout is None or side not in layout.sides:
        return None
    eye = layout.eye(side)
    return side.inward * eye.decentration_in, eye.offset_up


def outline_of(trace: Trace) -> tuple[Point, ...]:
    """Give a traced lens as points from its boxed centre."""
    boxed = box(trace)
    return tuple((float(x) - boxed.centre_x, float(y) - boxed.centre_y) for x, y in trace.points)


def _stops(job: Job) -> Iterator[str]:
    """Give what must be put right before cutting; that there is no trace the paper says in its own words."""
    taken = overtaken(job.order, job.pair)
    if taken:
        yield f"Do not make it: {taken}."
    if job.refusal:
        yield job.refusal
    yield from (finding.sentence for finding in job.findings if finding.severity is Severity.ERROR)
    if job.layout:
        yield from (f"The {eye.side.value} lens: {eye.refusal}" for eye in job.layout.eyes if eye.refusal)


def _asks(job: Job) -> Iterator[str]:
    """Say what was put right or exchanged, and the warnings that nobody said yes to when the order was taken."""
    yield from _again(job).corrected()
    accepted = {warning.code for warning in job.order.accepted}
    for finding in job.findings:
        if finding.severity is Severity.WARNING and finding.code not in accepted:
            yield finding.sentence
