"""Keeping a frame's shape: read from the tracer's file, compared with the catalogue, written out again."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import FRAMES
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.tracing import draw_trace, keep_trace, plan_trace, stored_trace, write_trace
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.trace_file import read_trace_file
from shopledger.optics.findings import Severity
from shopledger.optics.measurements import Measurements
from tests.desk.books import everything, on_both
from tests.desk.family import CUT_SHORT, WHOLE, later
from tests.shelf import LARK, WREN


@on_both
def test_a_trace_is_kept_with_where_it_came_from(desk: Desk) -> None:
    """File name, hash of its bytes, day and device: enough to believe it years later."""
    origin = stored_trace(desk, WREN.code).stored.origin
    assert origin.file_name == "pellow-52.txt"
    assert origin.file_sha256 == hashlib.sha256(WHOLE.read_bytes()).hexdigest()
    assert (origin.traced_on, origin.device) == (desk.today, "bench tracer")


@on_both
def test_the_radii_are_kept_exactly(desk: Desk) -> None:
    """What is measured again from the ledger is what was in the file."""
    read, kept = read_trace_file(WHOLE), stored_trace(desk, WREN.code)
    assert (kept.stored.shape.right, kept.stored.shape.left) == (read.right, read.left)
    assert kept.stored.shape.dbl == 18
    assert kept.stored.stated == read.stated


def test_a_trace_is_measured_as_its_file_states(desk: Desk) -> None:
    """The demo file states 52.00 by 37.41 mm, and its radii bear it out."""
    kept = stored_trace(desk, WREN.code)
    assert [(boxed.a, boxed.b) for boxed in (kept.right, kept.left)] == [pytest.approx((52.0, 37.41), abs=0.01)] * 2
    assert kept.findings == ()


@on_both
def test_a_truncated_file_is_refused(desk: Desk) -> None:
    """The sentence says where it breaks off and what to do; nothing is stored."""
    before = everything(desk)
    with pytest.raises(FileRefusedError, match=r"is cut short.*Copy the whole file again"):
        keep_trace(desk, LARK.code, CUT_SHORT)
    assert everything(desk) == before


@on_both
def test_a_shape_unlike_the_catalogue_s_sizes_is_asked_about(desk: Desk) -> None:
    """A 52 mm shape is not that of a 48 mm frame, unless the owner says so."""
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=r"eye size 48 mm, but the trace has 52\.0 mm.*--accept TRACE-CAT"):
        keep_trace(desk, LARK.code, WHOLE)
    assert everything(desk) == before
    kept = keep_trace(desk, LARK.code, WHOLE, accept=frozenset({"TRACE-CATALOGUE"}))
    assert stored_trace(desk, LARK.code).stored == kept.stored


def test_planning_a_trace_stores_nothing(desk: Desk) -> None:
    """It is measured and compared only."""
    before = everything(desk)
    assert plan_trace(desk, LARK.code, WHOLE).findings
    assert everything(desk) == before


def test_the_newest_trace_is_used_and_the_earlier_is_kept(desk: Desk) -> None:
    """A frame may be traced again."""
    again = keep_trace(desk, WREN.code, WHOLE, "another tracer")
    assert stored_trace(desk, WREN.code).stored == again.stored
    assert len(everything(desk)["trace"]) == 2


@on_both
def test_a_written_trace_reads_back_the_same(desk: Desk, tmp_path: Path) -> None:
    """Radii, distance between lenses and the measured figures, to the hundredth; the way round is worked out anew."""
    written = write_trace(desk, WREN.code, tmp_path / "out.txt", job="5")
    first, again = read_trace_file(WHOLE), read_trace_file(written)
    assert (again.right, again.left, again.dbl) == (first.right, first.left, first.dbl)
    assert again.stated.circumference == pytest.approx(first.stated.circumference, abs=0.02)
    assert replace(again.stated, circumference=first.stated.circumference) == first.stated
    assert written.read_bytes().startswith(b"JOB=5\r\n")


def test_a_written_trace_is_named_for_its_frame_where_no_job_is_given(desk: Desk, tmp_path: Path) -> None:
    """Whoever finds the file knows what it is."""
    assert write_trace(desk, WREN.code, tmp_path / "out.txt").read_bytes().startswith(b"JOB=WREN-52\r\n")


def test_what_a_file_leaves_out_is_filled_in_and_told(desk: Desk, tmp_path: Path) -> None:
    """The other eye is the mirror image, and the distance between the lenses is the catalogue's."""
    half = tmp_path / "half.txt"
    text = WHOLE.read_text(encoding="ascii")
    half.write_text(text[: text.index("TRCFMT=1;400;E;L;F")], encoding="ascii")
    FRAMES.change(desk, WREN.code, {"bridge": 17})
    plan = plan_trace(desk, WREN.code, half)
    assert plan.stored.shape.dbl == 17
    assert plan.stored.shape.left == plan.stored.shape.right.mirrored()
    assert [(note.severity, note.code) for note in plan.findings] == [
        (Severity.NOTE, "TRACE-ONE-EYE"),
        (Severity.NOTE, "DBL-FROM-CATALOGUE"),
    ]


def test_a_figure_that_the_radii_do_not_bear_out_is_asked_about(desk: Desk, tmp_path: Path) -> None:
    """The file states another width than its radii have."""
    wrong = tmp_path / "wrong.txt"
    wrong.write_text(
        WHOLE.read_text(encoding="ascii").replace("HBOX=52.00;52.00", "HBOX=53.00;52.00"), encoding="ascii"
    )
    (found,) = plan_trace(desk, WREN.code, wrong).findings
    assert (found.severity, found.code, found.field) == (Severity.WARNING, "TRACE-STATED", "right.trace.a")


def test_a_frame_that_was_not_traced_says_how_it_gets_its_shape(desk: Desk, tmp_path: Path) -> None:
    """Neither shown nor written."""
    for ask in (lambda: stored_trace(desk, LARK.code), lambda: write_trace(desk, LARK.code, tmp_path / "x.txt")):
        with pytest.raises(RefusedError, match="Add the tracer's file with 'shopledger trace add LARK-48 FILE'"):
            ask()
    assert not list(tmp_path.glob("x*"))


def test_an_unknown_frame_is_answered_with_the_nearest(desk: Desk) -> None:
    """Before the file is looked at."""
    with pytest.raises(UnknownNameError, match="Did you mean WREN-52"):
        keep_trace(desk, "WREN-53", CUT_SHORT)


def test_a_trace_of_tomorrow_is_refused(desk: Desk) -> None:
    """The day of tracing is today or before."""
    with pytest.raises(RefusedError, match="day of tracing is 2026-03-03; it lies after today"):
        plan_trace(desk, WREN.code, WHOLE, traced_on=date(2026, 3, 3))
    later_on = later(desk, date(2026, 3, 9))
    assert plan_trace(later_on, WREN.code, WHOLE, traced_on=date(2026, 3, 3)).stored.origin.traced_on.day == 3


def test_a_frame_is_found_however_its_code_is_typed(desk: Desk) -> None:
    """Codes have no small letters."""
    assert stored_trace(desk, " wren-52 ").stored.frame_code == WREN.code


@on_both
def test_a_frame_is_drawn_with_its_centres_and_blanks(desk: Desk, tmp_path: Path) -> None:
    """A PD of 64 over a box of 52 and a bridge of 18 is 3 mm in; a height of 20.70 over half of 37.41 is 2 mm up."""
    measured = Measurements.from_binocular(64, right_height=20.70, left_height=20.70)
    target = draw_trace(desk, WREN.code, tmp_path / "wren.svg", measured, 70)
    text = target.read_text(encoding="utf-8")
    assert "<title>WREN-52, trace 1</title>" in text
    (blank,) = re.findall(r'id="right-blank" cx="(\S+)" cy="(\S+)" r="(\S+)"', text)
    assert [float(each) for each in blank] == pytest.approx([-32, -2, 35], abs=0.02)
    (least,) = re.findall(r'id="right-least-blank" cx="\S+" cy="\S+" r="(\S+)"', text)
    shape = stored_trace(desk, WREN.code).stored.shape.right
    x, y = (shape.points - (shape.points.max(axis=0) + shape.points.min(axis=0)) / 2).T
    # 2 mm is the shop's allowance on the diameter.
    assert float(least) == pytest.approx(max((x - 3) ** 2 + (y - 2) ** 2) ** 0.5 + 1, abs=0.02)
    assert "PD 32.0 mm" in text
    assert "20.7 mm from the lowest point" in text


def test_a_blank_needs_the_place_of_its_centre(desk: Desk, tmp_path: Path) -> None:
    """Without a PD nobody knows where it stands, so nothing is drawn."""
    with pytest.raises(RefusedError, match="needs a PD"):
        draw_trace(desk, WREN.code, tmp_path / "wren.svg", blank=70)
    assert "blank" not in draw_trace(desk, WREN.code, tmp_path / "wren.svg").read_text(encoding="utf-8")
