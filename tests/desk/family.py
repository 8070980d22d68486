"""The invented shop's stock, and a family of customers with their prescriptions, put into a ledger."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any, Final, TypeAlias

from shopledger.desk.context import Desk
from shopledger.desk.goods import load_catalogue
from shopledger.desk.inspecting import InspectionPlan, InspectionRequest, record_inspection
from shopledger.desk.people import add_customer, add_prescriber, add_wearer
from shopledger.desk.prescribing import PrescriptionPlan, PrescriptionRequest, record_prescription
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.tracing import keep_trace
from shopledger.ledger.catalogue import Catalogue, Design, use_of_lens
from shopledger.ledger.judging import ordered_figures
from shopledger.ledger.judging_segments import with_segments
from shopledger.ledger.orders import NOBODY, AccessoryRequest, Method, OrderRequest, PairRequest, PaymentRequest
from shopledger.ledger.parties import Relationship, Shop
from shopledger.ledger.settings import Settings
from shopledger.ledger.twice import ORDER_TWICE
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side
from tests.shelf import (
    CASE,
    CHILD,
    CLEAR,
    CUSTOMER,
    GRADUAL,
    HOME,
    INCLUDED,
    LARK,
    OHIO,
    SHADES,
    SHOP,
    SINGLE,
    THIN,
    WREN,
)

TRACES: Final = Path(__file__).parents[2] / "demo" / "traces"
WHOLE: Final = TRACES / "pellow-52.txt"
"""A trace of 52 mm width and 18 mm between the lenses, as the frame WREN-52 has them."""
CUT_SHORT: Final = TRACES / "pellow-52-cut-short.txt"

MEASURED: Final = Measurements(EyeMeasurements(31.5, 30.0, 19), EyeMeasurements(31.0, 29.5, 19))
CHILD_MEASURED: Final = Measurements.from_binocular(54, right_height=17, left_height=17)

DISTANCE: Final = PairRequest(CUSTOMER, SINGLE.code, WREN.code, measurements=MEASURED)
READING: Final = PairRequest(CUSTOMER, SINGLE.code, LARK.code, LensUse.READING, measurements=MEASURED)
PROGRESSIVE: Final = PairRequest(CUSTOMER, GRADUAL.code, WREN.code, extras=(CLEAR.code,), measurements=MEASURED)
CHILDS: Final = PairRequest(CHILD, SINGLE.code, LARK.code, measurements=CHILD_MEASURED)
TWICE: Final = frozenset({ORDER_TWICE})
"""A yes to the same order within a day, which tests record on purpose."""
FAMILY_ORDER: Final = OrderRequest(
    CUSTOMER,
    (DISTANCE, READING, PROGRESSIVE, CHILDS),
    (AccessoryRequest(CASE.code, 2, NOBODY), AccessoryRequest(SHADES.code, wearer=CHILD)),
    shipping=650,
    payments=(PaymentRequest(40000, Method.CARD, "4242"),),
    accept=TWICE,
)
"""A pair with lenses included by the offer, a reading pair, a progressive pair with a coating at an odd price, the
child's pair, two cases for nobody in particular, sunglasses that are taxed, and a first payment."""

YEARS_LATER: Final = date(2029, 4, 10)
ASKED: Final = ReorderRequest(CUSTOMER, CUSTOMER, WREN.code)
"""New lenses for the frame of the distance pair, all else as before."""

Past: TypeAlias = Callable[[Desk, Path], object]
"""What happened in the shop; it may write files into a folder."""
Copies: TypeAlias = Callable[[Past, Path], AbstractContextManager[str]]
"""Gives the address of a ledger with a past, in a folder where it is a file; kept files are not copied with it."""


def set_shop(desk: Desk, shop: Shop, settings: Settings) -> None:
    """Let the shop and its settings be these, whatever they were."""
    with desk.writing() as work:
        work.shop.save(shop)
        work.shop.save_settings(settings)


def furnish(desk: Desk) -> None:
    """Make an empty ledger the invented shop's: profile, goods, the family, and the shape of one frame."""
    set_shop(desk, SHOP, Settings())
    stock_up(desk)
    welcome_family(desk)
    keep_trace(desk, WREN.code, WHOLE, "bench tracer")


def stock_up(desk: Desk) -> None:
    """Load the catalogue, an offer and two tax rates."""
    catalogue = Catalogue(
        frames=((WREN, 3), (LARK, 2)), lenses=(SINGLE, THIN, GRADUAL), extras=(CLEAR,),
        accessories=((CASE, 10), (SHADES, 4)),
    )  # fmt: skip
    load_catalogue(desk, catalogue, (INCLUDED,), OHIO)


def welcome_family(desk: Desk) -> None:
    """Add the customer, her child, their prescriber and a prescription for each."""
    add_customer(desk, CUSTOMER, HOME, "555-0142")
    add_wearer(desk, CUSTOMER, CHILD, Relationship.CHILD, date(2015, 5, 9))
    add_prescriber(desk, "Dr. Imre Castellane", "555-0177")
    prescribe(desk, CUSTOMER, "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    prescribe(desk, CHILD, "-1.00 DS", "-1.25 DS")


def prescribe(
    desk: Desk, wearer: str, right: str, left: str, written_on: date | None = None, expires_on: date | None = None
) -> PrescriptionPlan:
    """Record a prescription as a prescriber would write it; a change from the last one is accepted."""
    asked = prescription(wearer, right, left, written_on or desk.today, expires_on=expires_on)
    return record_prescription(
        desk, replace(asked, accept=frozenset({"CHANGE-UNUSUAL", "ADD-CHANGE", "SPHERE-UNUSUAL"}))
    )


def prescription(wearer: str, right: str, left: str, written_on: date, **more: Any) -> PrescriptionRequest:  # noqa: ANN401 - any field of a request
    """Give a prescription as typed at the desk."""
    powers = Prescription(read_eye(right), read_eye(left))
    return PrescriptionRequest(CUSTOMER, wearer, "Castellane", powers, written_on, **more)


def ordered(*pairs: PairRequest, **more: Any) -> OrderRequest:  # noqa: ANN401 - any field of a request
    """Give the family's order of these pairs, sent free of charge."""
    return OrderRequest(CUSTOMER, pairs, **{"accept": TWICE, **more})


def read_as_ordered(desk: Desk, job_number: int, **more: Any) -> InspectionRequest:  # noqa: ANN401 - any field of a request
    """Give readings of a job that are just what was ordered, measured for each eye, in a frame that is right."""
    with desk.reading() as work:
        _, pair = work.orders.pair(job_number)
        lenses = {side: work.catalogue.lens(pair.lens_of(side)) for side in Side}
    design = lenses[pair.sides[0]].design
    ordered = ordered_figures(pair, {side: use_of_lens(lens, pair.use) for side, lens in lenses.items()})
    asked: dict[str, Any] = {
        "read": Prescription(ordered.right.power, ordered.left.power),
        "measured": replace(ordered.measurements, pd_given="monocular") if ordered.measurements else None,
        "marks_seen": (True, True) if design is Design.PROGRESSIVE else (None, None),
    }
    segments = with_segments(ordered, pair, lenses)
    lined = [side for side in pair.sides if lenses[side].lined]
    if lined:
        asked["near_pd"] = tuple(near for near in (segments.eye(side).near_pd for side in Side) if near is not None)
        asked["tilt"] = tuple(0.0 if side in lined else None for side in Side)
    return InspectionRequest(job_number, **(asked | more))


def inspected(desk: Desk, order_number: int = 1) -> list[InspectionPlan]:
    """Let every job of an order pass its inspection."""
    with desk.reading() as work:
        pairs = work.orders.get(order_number).standing_pairs
    return [record_inspection(desk, read_as_ordered(desk, pair.job_number or 0)) for pair in pairs]


def at_height(height: float | None) -> Measurements:
    """Give the customer's measurements with another height, or none."""
    right, left = (replace(eye, fitting_height=height) for eye in (MEASURED.right, MEASURED.left))
    return Measurements(right, left)


def without_near_pd() -> Measurements:
    """Give the customer's measurements as taken by somebody who forgot the near PD."""
    right, left = (replace(eye, near_pd=None) for eye in (MEASURED.right, MEASURED.left))
    return Measurements(right, left)


def later(desk: Desk, day: date) -> Desk:
    """Give the same desk on another day."""
    return replace(desk, today=day, now=datetime.combine(day, time(10, 30), UTC))
