"""A job judged while it is read: only what was found is judged, and once all is, it is judged as the inspection is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.desk.bench_past import job_past, job_tolerances
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.inspecting import job_needs, plan_inspection, record_inspection
from shopledger.desk.judging_so_far import Found, judge_so_far
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, record_arrival
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import EyeRequest, Making, PairRequest
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side
from tests.desk.books import everything
from tests.desk.family import DISTANCE, FAMILY_ORDER, PROGRESSIVE, inspected, ordered, read_as_ordered
from tests.shelf import CUSTOMER, LINED, WREN

RIGHT = read_eye("-2.50 -1.25 x 090")
LEFT = read_eye("-2.25 -1.00 x 085")
OFF = read_eye("-2.50 -1.25 x 097")


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair, job 1, a progressive, job 2, and a bifocal, job 3."""
    LENSES.add(desk, LINED)
    lined = PairRequest(CUSTOMER, LINED.code, WREN.code, measurements=DISTANCE.measurements)
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE, lined))
    return desk


def test_nothing_is_judged_before_anything_was_read(sold: Desk) -> None:
    """All that the job is judged by is named as not looked at yet."""
    found = judge_so_far(sold, 1, Found())
    assert found.verdicts == ()
    assert found.lacking == ("the right reading", "the left reading", "the PD", "the right height", "the left height")


def test_one_lens_is_judged_alone(sold: Desk) -> None:
    """What the lensmeter says of one lens needs nothing of the other one."""
    found = judge_so_far(sold, 1, Found({Side.RIGHT: OFF}))
    assert {each.where for each in found.verdicts} == {"right"}
    assert [each.quantity for each in found.verdicts if not each.passed] == ["axis"]
    assert found.outside == 1


def test_either_form_of_the_cylinder_is_the_same(sold: Desk) -> None:
    """A reading in plus cylinder is judged as the lens that it is."""
    found = judge_so_far(sold, 1, Found({Side.RIGHT: read_eye("-3.75 +1.25 x 180")}))
    assert found.verdicts
    assert found.outside == 0


def test_once_all_was_found_it_is_the_inspection_s_verdict(sold: Desk) -> None:
    """The same verdicts in the same order, and what is odd is said."""
    for job in (1, 2, 3):
        request = read_as_ordered(sold, job)
        needs = job_needs(sold, job)
        places = request.measured
        assert places is not None
        found = Found(
            {side: request.read.eye(side) for side in Side},
            pd_each={side: places.eye(side).mono_pd for side in Side},
            heights={side: places.eye(side).fitting_height or 0 for side in Side},
            near=dict(zip(needs.segments, request.near_pd, strict=False)),
            tilt=dict.fromkeys(needs.segments, 0.0),
        )
        assert judge_so_far(sold, job, found).verdicts == plan_inspection(sold, request).inspection.verdicts


def test_swapped_readings_are_noticed(sold: Desk) -> None:
    """Before anything is kept."""
    found = Found({Side.RIGHT: LEFT, Side.LEFT: RIGHT}, pd=62.5, heights=dict.fromkeys(Side, 19.0))
    assert [each.code for each in judge_so_far(sold, 1, found).findings] == ["READINGS-SWAPPED"]


def test_powers_of_the_maker_s_sheet_count_before_its_file_is_chosen(sold: Desk) -> None:
    """A free-form lens is judged by what its sheet wants read."""
    wanted = Prescription(*(read_eye(f"-2.38 -1.18 x 0{axis} add 1.93") for axis in (92, 87)))
    read = {side: wanted.eye(side) for side in Side}
    assert judge_so_far(sold, 2, Found(read)).outside
    assert not judge_so_far(sold, 2, Found(read), wanted).outside


def test_judging_stores_nothing(sold: Desk) -> None:
    """However often it is asked."""
    before = everything(sold)
    judge_so_far(sold, 1, Found({Side.RIGHT: OFF}))
    assert everything(sold) == before


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (Found({Side.RIGHT: RIGHT}), "left lens was not read"),
        (Found({Side.RIGHT: RIGHT, Side.LEFT: LEFT}, pd=62, pd_each={Side.LEFT: 31}), "for both eyes and for one"),
        (Found({Side.RIGHT: RIGHT, Side.LEFT: LEFT}, pd_each={Side.LEFT: 31}), "only the other eye's"),
    ],
)
def test_what_cannot_be_inspected_is_refused_in_words(sold: Desk, found: Found, words: str) -> None:
    """The first that is missing is named."""
    with pytest.raises(IncompleteError, match=words):
        found.request(1, job_needs(sold, 1))


def test_of_a_lens_made_alone_nothing_else_is_needed(desk: Desk) -> None:
    """Nothing of the eye that keeps its lens is asked for or judged."""
    record_sale(desk, ordered(replace(DISTANCE, left=EyeRequest(Making.KEPT))))
    needs = job_needs(desk, 1)
    found = Found({Side.RIGHT: RIGHT}, pd_each={Side.RIGHT: 31.5}, heights={Side.RIGHT: 19.0})
    so_far = judge_so_far(desk, 1, found)
    assert so_far.lacking == ()
    assert {each.where for each in so_far.verdicts} <= {"right", "pair"}
    assert record_inspection(desk, found.request(1, needs)).inspection.passed


def test_every_job_of_a_family_has_tolerances(desk: Desk) -> None:
    """Each quantity is as ordered and within its limit, for whatever lenses and measurements."""
    record_sale(desk, FAMILY_ORDER)
    for job in range(1, 5):
        verdicts = job_tolerances(desk, job)
        assert verdicts
        assert all(each.passed and each.limit > 0 for each in verdicts)


def test_a_bifocal_s_tolerances_name_its_segments(sold: Desk) -> None:
    """Where they stand and how they lie."""
    assert {"segment place", "tilt"} <= {each.quantity for each in job_tolerances(sold, 3)}


def test_what_happened_to_a_job_is_told(sold: Desk, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Its lens order with the lab's name, its inspection, and that its lenses are cut since."""
    with sold.writing() as work:
        work.suppliers.add(Supplier("Brightwater Lens Laboratory"))
    assert job_past(sold, 1).cut == ""
    place_lens_order(sold, LensOrderRequest(1, "Brightwater"), tmp_path_factory.mktemp("papers"))
    past = job_past(sold, 1)
    assert past.awaited is not None
    assert past.lens_orders[0][1] == "Brightwater Lens Laboratory"
    record_arrival(sold, 1)
    assert job_past(sold, 1).awaited is None
    inspected(sold)
    past = job_past(sold, 1)
    assert past.bench.newest is not None
    assert "inspected" in past.cut
    assert not past.away
    assert past.impact is None
    assert [each.number for each in past.prescriptions] == [1]
