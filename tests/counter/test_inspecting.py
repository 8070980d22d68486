"""The inspection on a page: judged while it is typed, by this job's quantities alone, kept passed or failed."""

from __future__ import annotations

import pytest

from shopledger.desk.bench_past import job_past
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.sales import record_sale
from shopledger.ledger.inspections import Checked, DemoCheck
from shopledger.ledger.orders import PairRequest
from tests.counter.pressing import press_named, said_while_typed
from tests.counter.visitor import Visitor
from tests.desk.family import DISTANCE, PROGRESSIVE, ordered
from tests.shelf import CUSTOMER, LINED, WREN

FRAME = {f"checked_{each.name.lower()}": "good" for each in Checked}
RIGHT = {"right_sphere": "-2.50", "right_cylinder": "-1.25", "right_axis": "90"}
LEFT = {"left_sphere": "-2.25", "left_cylinder": "-1.00", "left_axis": "85"}
HEIGHTS = {"height_right": "19", "height_left": "19"}
GOOD = {**RIGHT, **LEFT, "pd": "62.5", **HEIGHTS, **FRAME}
ADDS = {"right_add": "2.00", "left_add": "2.00"}
SEEN = {"marks_right": "both", "marks_left": "both"}
EACH = {"pd_right": "31.5", "pd_left": "31"}


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair, job 1, a progressive, job 2, and a bifocal, job 3."""
    LENSES.add(desk, LINED)
    lined = PairRequest(CUSTOMER, LINED.code, WREN.code, measurements=DISTANCE.measurements)
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE, lined))
    return desk


def test_a_good_job_passes(visitor: Visitor, sold: Desk) -> None:
    """What was read is kept with its verdicts, and the page after it is the job's."""
    visitor.go("/jobs/1/inspect").send({**GOOD, "demo_lenses": "out", "note": "by daylight"})
    assert visitor.path == "/jobs/1"
    assert "Job 1 passed." in visitor.words
    kept = job_past(sold, 1).bench.newest
    assert kept is not None
    assert (kept.passed, kept.note, kept.demo_lenses) == (True, "by daylight", DemoCheck.OUT)


def test_nothing_is_ticked_beforehand(visitor: Visitor, sold: Desk) -> None:
    """No reading, no mark, no part of the frame is taken for good unless somebody says so."""
    form = visitor.go("/jobs/2/inspect").form(has="right_sphere")
    typed = {name: values for name, values in form.values.items() if name not in {"token", "once", "seen", "sheet"}}
    assert all(value == "" for values in typed.values() for value in values)
    visitor.send({"right_sphere": ""})
    assert visitor.code == 422
    for name in ("right_sphere", "left_sphere", "marks_right", "checked_temples"):
        assert f'href="#f-{name}"' in visitor.text
    assert job_past(sold, 2).bench.inspections == ()


def test_a_failed_job_is_kept_too(visitor: Visitor, sold: Desk) -> None:
    """With what is outside its limit, and the way on is to make it again."""
    visitor.go("/jobs/1/inspect").send({**GOOD, "left_axis": "95", "checked_hinges": "off"})
    assert "Job 1 failed: left axis, hinges." in visitor.words
    assert 'href="/jobs/1/remake"' in visitor.text
    assert job_past(sold, 1).bench.newest is not None


def test_either_form_of_the_cylinder_is_taken(visitor: Visitor, sold: Desk) -> None:
    """A reading in plus cylinder, and a whole line typed into the first box."""
    visitor.go("/jobs/1/inspect").send(
        {**GOOD, "right_sphere": "-3.75 +1.25 x 180", "right_cylinder": "", "right_axis": "", "left_sphere": "-3.25",
         "left_cylinder": "+1.00", "left_axis": "175"}
    )  # fmt: skip
    assert "Job 1 passed." in visitor.words
    assert sold.warning == ""


def test_a_progressive_needs_its_marks_and_each_eye(visitor: Visitor, sold: Desk) -> None:
    """Marks that were not seen fail it."""
    readings = {**RIGHT, **LEFT, **ADDS, **EACH, **HEIGHTS, **FRAME}
    visitor.go("/jobs/2/inspect").send({**readings, **SEEN, "marks_left": "not"})
    assert "Job 2 failed: left engraved marks." in visitor.words
    visitor.go("/jobs/2/inspect").send({**readings, **SEEN})
    assert "Job 2 passed." in visitor.words
    assert len(job_past(sold, 2).bench.inspections) == 2


def test_a_bifocal_is_asked_for_its_segments(visitor: Visitor, sold: Desk) -> None:
    """Their near PD and how they lie; a tilted one fails."""
    readings = {**GOOD, **ADDS, "near_right": "30", "near_left": "29.5", "tilt_right": "0", "tilt_left": "5"}
    visitor.go("/jobs/3/inspect").send(readings)
    assert "Job 3 failed: left tilt." in visitor.words
    assert sold.warning == ""


def test_swapped_readings_are_asked_about(visitor: Visitor, sold: Desk) -> None:
    """The warning has its box, which is not ticked; its tick keeps the inspection as failed."""
    swapped = {**{f"right_{k[5:]}": v for k, v in LEFT.items()}, **{f"left_{k[6:]}": v for k, v in RIGHT.items()}}
    visitor.go("/jobs/1/inspect").send({**GOOD, **swapped})
    assert visitor.code == 422
    assert 'value="READINGS-SWAPPED"' in visitor.text
    assert 'value="READINGS-SWAPPED" checked' not in visitor.text
    assert job_past(sold, 1).bench.inspections == ()
    visitor.send({"right_sphere": swapped["right_sphere"], "accept": "READINGS-SWAPPED"})
    kept = job_past(sold, 1).bench.newest
    assert kept is not None
    assert [each.code for each in kept.accepted] == ["READINGS-SWAPPED"]


@pytest.mark.parametrize(
    ("field", "typed", "at"),
    [
        ("right_sphere", "minus two", "right_sphere"),
        ("left_axis", "200", "left_sphere"),
        ("left_axis", "", "left_sphere"),
        ("pd", "wide", "pd"),
        ("day", "someday", "day"),
        ("day", "2026-01-01", "day"),
    ],
)
def test_what_cannot_be_read_is_said_beside_its_box(
    visitor: Visitor, sold: Desk, field: str, typed: str, at: str
) -> None:
    """All else that was typed stands there; nothing is kept."""
    visitor.go("/jobs/1/inspect").send({**GOOD, field: typed})
    assert visitor.code == 422
    assert f'href="#f-{at}"' in visitor.text
    shown = visitor.form(has="right_sphere").values
    assert shown["height_left"] == ["19"]
    assert shown[field] == [typed]
    assert job_past(sold, 1).bench.inspections == ()


def test_it_is_judged_while_it_is_typed(visitor: Visitor, sold: Desk) -> None:
    """One lens after the other; what was not looked at yet is named, what cannot be read is said."""
    visitor.go("/jobs/1/inspect")
    to = "/jobs/1/inspect/judge"
    said = said_while_typed(visitor, to, "right_sphere", {**RIGHT, "right_axis": "97"})
    assert "1 outside" in said
    assert "Right axis" in said
    assert "Left axis" not in said
    assert "the left reading" in said
    assert "all within so far" in said_while_typed(visitor, to, "right_sphere", GOOD)
    assert "cannot be read" in said_while_typed(visitor, to, "right_sphere", {"right_sphere": "x"})
    assert job_past(sold, 1).bench.inspections == ()


def test_without_scripts_a_button_judges(visitor: Visitor, sold: Desk) -> None:
    """It stores nothing, and all that was typed stands there."""
    press_named(visitor.go("/jobs/1/inspect"), "right_sphere", GOOD, look="yes")
    assert visitor.code == 200
    assert "all within so far" in visitor.words
    assert visitor.form(has="right_sphere").values["right_axis"] == ["90"]
    assert job_past(sold, 1).bench.inspections == ()
    visitor.send({"right_sphere": "-2.50"})
    assert "Job 1 passed." in visitor.words


def test_a_free_form_job_is_judged_by_the_maker_s_sheet(visitor: Visitor, sold: Desk) -> None:
    """Its powers and its file belong together; the file is kept and handed out again."""
    wanted = {"compensated_right": "-2.38 -1.18 x 092 add 1.93", "compensated_left": "-2.13 -0.94 x 087 add 1.93"}
    read = {
        "right_sphere": "-2.38", "right_cylinder": "-1.18", "right_axis": "92", "right_add": "1.93",
        "left_sphere": "-2.13", "left_cylinder": "-0.94", "left_axis": "87", "left_add": "1.93",
    }  # fmt: skip
    typed = {**read, **EACH, **HEIGHTS, **SEEN, **FRAME, **wanted}
    visitor.go("/jobs/2/inspect").send(typed)
    assert visitor.code == 422
    assert "sheet" in visitor.words
    assert job_past(sold, 2).bench.inspections == ()
    visitor.send({**typed, "sheet": ("powers of job 2.txt", b"R -2.38 -1.18 92 1.93\n")})
    assert "Job 2 passed." in visitor.words
    visitor.press("/jobs/2/makers-sheet")
    (written,) = [each for each in visitor.station.papers.iterdir() if "makers" in each.name]
    assert written.read_bytes() == b"R -2.38 -1.18 92 1.93\n"


def test_sent_twice_it_is_inspected_once(visitor: Visitor, sold: Desk) -> None:
    """The second press is told that it was recorded already."""
    visitor.go("/jobs/1/inspect").send(GOOD, again=True)
    assert "recorded already" in visitor.words
    assert len(job_past(sold, 1).bench.inspections) == 1


def test_what_was_begun_is_the_job_s_and_no_customer_s(visitor: Visitor, sold: Desk) -> None:
    """A job has a number of its own kind."""
    visitor.go("/jobs/1/inspect").send({"right_sphere": "-2.50"})
    assert [(each.kind, each.about) for each in kept_forms(sold)] == [("inspection", "job 1")]
    assert "begun before" in visitor.go("/jobs/1/inspect").words
