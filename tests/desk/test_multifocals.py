"""Multifocals from the sale to the inspection on an uneven face: sheet, lens order and verdicts say the same places."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.certifying import print_certificate
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.inspecting import job_needs, plan_inspection, record_inspection
from shopledger.desk.lens_ordering import LensOrderRequest, plan_lens_order
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import Design, Lens
from shopledger.ledger.orders import PairRequest
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from tests.desk.books import on_both
from tests.desk.family import ordered, read_as_ordered
from tests.shelf import CUSTOMER, LINED, MARKED, WREN

UNEVEN = Measurements.from_monocular((29.5, 33), 59, 18, 19)
TRIFOCAL = replace(
    LINED, code="TRI-28", name="Straight-top trifocal", design=Design.TRIFOCAL, intermediate_depth=7, fitting_up=-2,
    blank_diameters=(75, 80),
)  # fmt: skip
THINNED = replace(MARKED, code="PROG-T", name="Thinned progressive", thinning_prism=True)
SWAPPED = Measurements(EyeMeasurements(33, None, 19), EyeMeasurements(29.5, None, 18))
MIRRORED = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), read_eye("-2.25 -1.00 x 095 add 2.00"))


def sold(desk: Desk, lens: Lens) -> Desk:
    """Sell a pair of that lens, job 1."""
    LENSES.add(desk, lens)
    record_sale(desk, ordered(PairRequest(CUSTOMER, lens.code, WREN.code, measurements=UNEVEN)))
    return desk


@on_both
@pytest.mark.parametrize("lens", [LINED, TRIFOCAL], ids=lambda lens: lens.design.value)
def test_a_lined_pair_is_one_pair_from_the_sale_to_the_certificate(desk: Desk, lens: Lens, tmp_path: Path) -> None:
    """Near 27.848 and 31.152, insets 1.652 and 1.848, on sheet and lens order, and judged by them."""
    sold(desk, lens)
    with desk.writing() as work:
        work.suppliers.add(Supplier("Brightwater Lens Laboratory"))
    sheet = job_card(desk, 1).sheet
    content = plan_lens_order(desk, LensOrderRequest(1, "Brightwater Lens Laboratory")).content
    for on_sheet, on_order, near, inset in (
        (sheet.right, content.right, 27.848, 1.652),
        (sheet.left, content.left, 31.152, 1.848),
    ):
        assert on_sheet.fitting == on_order.fitting
        assert on_order.fitting is not None
        assert (on_order.fitting.near_pd, on_order.inset, on_order.near_pd) == (near, inset, near)
        assert on_order.fitting.intermediate_depth == lens.intermediate_depth
        # The segment stands inset farther inward than the distance centre, by the frame's own box.
        assert on_order.fitting.inward is not None
        assert on_order.centre is not None
        assert on_order.fitting.inward - on_order.centre[0] == pytest.approx(inset, abs=0.006)
    assert (job_needs(desk, 1).segments, job_needs(desk, 1).near) == (tuple(Side), True)
    plan = record_inspection(desk, read_as_ordered(desk, 1, segment_width=(28.0, 28.2)))
    assert plan.inspection.passed
    rows = {verdict.quantity for verdict in plan.inspection.verdicts}
    assert {"segment place", "segment place of one eye", "tilt", "height", "height difference", "segment size"} <= rows
    with desk.reading() as work:
        history = work.inspections.history(1)
    assert history.newest is not None
    assert history.newest.read.right.near_pd == 27.848
    assert history.newest.read.left.segment_width == 28.2
    (tmp_path / "out").mkdir()
    ordered_at, _ = print_certificate(desk, 1, tmp_path / "out").content.places
    segments = "near PD 27.85 + 31.15, right segment in 1.65, left segment in 1.85"
    heights = "heights from the lowest point of the lens 18 and 19 mm"
    assert ordered_at == f"PD 29.5 + 33, {segments}, {heights}"


@pytest.mark.parametrize("lens", [LINED, TRIFOCAL], ids=lambda lens: lens.design.value)
@pytest.mark.parametrize(
    ("changed", "failures"),
    [
        ({"near_pd": (31.152, 27.848)}, "segment place"),
        ({"near_pd": (29.5, 29.5)}, "segment place of one eye"),
        ({"near_pd": (29.5, 33.0)}, "segment place"),
        ({"tilt": (0.0, 2.5)}, "tilt"),
        ({"read": MIRRORED}, "axis"),
        ({"segment_width": (25.0, 25.0)}, "segment size"),
        (
            {"measured": Measurements(EyeMeasurements(29.5, None, 19.2), EyeMeasurements(33, None, 19))},
            "height",
        ),
        ({"measured": SWAPPED, "near_pd": (31.152, 27.848)}, "segment place"),
    ],
    ids=lambda value: value if isinstance(value, str) else "-".join(value),
)
def test_what_is_not_as_ordered_fails(desk: Desk, lens: Lens, changed: dict[str, object], failures: str) -> None:
    """Swapped lenses, halved and missing insets, a turned segment, a mirrored axis, another width, a high segment."""
    sold(desk, lens)
    plan = plan_inspection(desk, replace(read_as_ordered(desk, 1), **changed))  # type: ignore[arg-type]  # fields by name
    assert any(failures in failure for failure in plan.inspection.failures), plan.inspection.failures


def test_a_progressive_with_thinning_prism_passes_and_unequal_prism_does_not(desk: Desk) -> None:
    """1.25 base down before both eyes as the sheet of the maker says; 0.50 less before one eye fails the pair."""
    sold(desk, THINNED)
    needs = job_needs(desk, 1)
    assert (needs.thinned, needs.segments) == (True, ())
    right, left = "-2.50 -1.25 x 090 add 2.00 1.25 BD", "-2.25 -1.00 x 085 add 2.00 1.25 BD"
    read = Prescription(read_eye(right), read_eye(left))
    request = read_as_ordered(desk, 1, read=read, thinning=-1.25)
    plan = record_inspection(desk, request)
    assert (plan.inspection.passed, plan.inspection.thinning) == (True, -1.25)
    with desk.reading() as work:
        newest = work.inspections.history(1).newest
    assert newest is not None
    assert newest.thinning == -1.25
    doubtful = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00 5 BD"), read_eye("-2.25 -1.00 x 085 add 2.00 5 BD"))
    with pytest.raises(FindingsRefusedError, match="add --accept THINNING-UNUSUAL"):
        record_inspection(desk, replace(request, read=doubtful, thinning=None, thinning_as_read=True))
    off = replace(read, left=read_eye("-2.25 -1.00 x 085 add 2.00 0.75 BD"))
    for asked in (replace(request, read=off), replace(request, read=off, thinning=None, thinning_as_read=True)):
        assert "pair vertical imbalance" in plan_inspection(desk, asked).inspection.failures
