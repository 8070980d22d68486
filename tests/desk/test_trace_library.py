"""The library of traces: several a frame, compared, searched, taken over for another colour, checked."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import FRAMES, add_frame
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.trace_library import (
    adopt_trace,
    check_traces,
    compare_traces,
    list_traces,
    nearest_traces,
    plan_adoption,
    trace_numbered,
    untraced_frames,
)
from shopledger.desk.tracing import keep_trace, stored_trace, write_trace
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.trace_file import read_trace_file, write_trace_file
from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.optics.alignment import align
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, on_both
from tests.desk.family import WHOLE, later
from tests.optics.strategies import rounded_shape
from tests.shelf import LARK, WREN

MOSS = replace(WREN, code="WREN-52-SAND", colour="sand")
"""Another colour of the same model and size."""
ANY = frozenset({"TRACE-CATALOGUE", "TRACE-UNLIKE-EARLIER", "ADOPT-MODEL", "ADOPT-SIZE", "A-UNUSUAL", "B-UNUSUAL"})


def drawn_frame(chance: random.Random) -> FrameTrace:
    """Invent a frame's shapes."""
    a, b, exponent = chance.uniform(46, 56), chance.uniform(30, 44), chance.uniform(2.1, 3.2)
    lift, skew = chance.uniform(-0.04, 0.04), chance.uniform(-0.04, 0.04)
    right = rounded_shape(chance.choice([180, 400]), Side.RIGHT, a, b, exponent, lift, skew)
    return FrameTrace(right, right.mirrored(), 18.0)


def fill_library(desk: Desk, count: int) -> dict[int, StoredTrace]:
    """Store frames of invented shapes at once; gives their traces by number."""
    chance = random.Random(11)
    stored = {}
    with desk.writing() as work:
        for at in range(count):
            code = f"SHAPE-{at}"
            work.catalogue.add_frame(replace(WREN, code=code, colour=f"no. {at}", number=None))
            trace = work.traces.add(StoredTrace(code, drawn_frame(chance), TraceOrigin(f"{at}.txt", "00", desk.today)))
            stored[trace.number or 0] = trace
    return stored


def file_of(folder: Path, shape: FrameTrace, name: str = "again.txt") -> Path:
    """Write a shape as a tracer does."""
    file = folder / name
    file.write_bytes(write_trace_file(shape, StatedFigures()).encode())
    return file


# ---------------------------------------------------------------- round trip and provenance


@on_both
def test_radii_are_the_same_after_reading_storing_writing_and_reading(desk: Desk, tmp_path: Path) -> None:
    """Read, stored, written, read again: not a hundredth is lost, and records of the frame come along."""
    shape = drawn_frame(random.Random(3))
    given = tmp_path / "given.txt"
    given.write_bytes(write_trace_file(shape, StatedFigures(), "", ("FTYP=2", "DRILLE= R;C;20.00;3.00 ")).encode())
    keep_trace(desk, LARK.code, given, accept=ANY)
    read = read_trace_file(write_trace(desk, LARK.code, tmp_path / "out.txt"))
    assert (read.right, read.left, read.dbl) == (shape.right, shape.left, shape.dbl)
    assert {"FTYP=2", "DRILLE= R;C;20.00;3.00 "} == set(read.other_records)


@on_both
def test_traces_are_listed_with_where_they_came_from(desk: Desk) -> None:
    """Number, frame, file, day, device, operator; the newest of each frame is marked."""
    keep_trace(later(desk, desk.today.replace(year=2027)), WREN.code, WHOLE, "another tracer")
    first, second = list_traces(desk, WREN.code)
    assert [first.newest, second.newest] == [False, True]
    assert (second.origin.device, second.operator, second.frame_code) == ("another tracer", "tester", WREN.code)
    assert second.recorded_at.startswith("2027")
    assert (second.dbl, second.count) == (18.0, 400)
    assert second.right.a == pytest.approx(52.0, abs=0.01)
    assert list_traces(desk) == (first, second)
    assert list_traces(desk, LARK.code) == ()


def test_an_earlier_trace_can_be_looked_at_by_its_number(desk: Desk) -> None:
    """Several traces are kept, and a number that belongs to another frame is refused."""
    again = keep_trace(desk, WREN.code, WHOLE, "another tracer").stored
    first = stored_trace(desk, WREN.code, 1).stored
    assert (first.number, first.origin.device) == (1, "bench tracer")
    assert stored_trace(desk, WREN.code).stored == again
    with pytest.raises(RefusedError, match=f"it is a trace of {WREN.code}, not of {LARK.code}"):
        stored_trace(desk, LARK.code, 1)
    with pytest.raises(NumberUnknownError):
        stored_trace(desk, WREN.code, 99)


def test_a_shape_unlike_the_frame_s_earlier_trace_is_asked_about(desk: Desk, tmp_path: Path) -> None:
    """Half a millimetre more all round is another frame, unless the owner says so."""
    shape = stored_trace(desk, WREN.code).stored.shape
    right, left = (
        replace(eye, hundredths=tuple(each + 50 for each in eye.hundredths)) for eye in (shape.right, shape.left)
    )
    file = file_of(tmp_path, FrameTrace(right, left, 18))
    with pytest.raises(FindingsRefusedError, match=r"differs from trace 1 of this frame by up to 0\.5"):
        keep_trace(desk, WREN.code, file)
    assert keep_trace(desk, WREN.code, file, accept=frozenset({"TRACE-UNLIKE-EARLIER"})).stored.number == 2


def test_sides_swapped_since_the_earlier_trace_are_asked_about(desk: Desk, tmp_path: Path) -> None:
    """Right as left and left as right is noticed by the shapes alone."""
    shape = stored_trace(desk, WREN.code).stored.shape
    right = replace(shape.left, side=shape.right.side)
    left = replace(shape.right, side=shape.left.side)
    with pytest.raises(FindingsRefusedError, match="the sides are not swapped"):
        keep_trace(desk, WREN.code, file_of(tmp_path, FrameTrace(right, left, 18)))


def test_a_table_of_radii_is_kept_like_a_tracer_s_file(desk: Desk, tmp_path: Path) -> None:
    """A name that ends in .csv is a table."""
    shape = stored_trace(desk, WREN.code).stored.shape
    file = tmp_path / "wren.CSV"
    rows = zip(shape.right.radii, shape.left.radii, strict=True)
    file.write_text("\n".join(["right,left", *(f"{right:.2f},{left:.2f}" for right, left in rows)]), encoding="ascii")
    kept = keep_trace(desk, WREN.code, file)
    assert (kept.stored.shape.right, kept.stored.shape.left) == (shape.right, shape.left)
    assert [each.code for each in kept.findings] == ["DBL-FROM-CATALOGUE"]


# ---------------------------------------------------------------- compared


@on_both
def test_a_frame_a_number_and_a_file_are_compared_alike(desk: Desk) -> None:
    """Whatever names the shape, it is the same one."""
    for other in (WREN.code.lower(), "1", str(WHOLE)):
        found = compare_traces(desk, WREN.code, other)
        assert found.same
        assert found.likeness.worst == 0
        assert found.dbl_difference == 0


def test_the_threshold_decides_what_is_the_same(desk: Desk, tmp_path: Path) -> None:
    """Two tenths more all round are the same within three tenths, and not within one."""
    shape = stored_trace(desk, WREN.code).stored.shape
    right, left = (
        replace(eye, hundredths=tuple(each + 20 for each in eye.hundredths)) for eye in (shape.right, shape.left)
    )
    file = str(file_of(tmp_path, FrameTrace(right, left, 17.5)))
    found = compare_traces(desk, WREN.code, file)
    assert found.same
    assert found.dbl_difference == -0.5
    assert not compare_traces(desk, WREN.code, file, 0.1).same
    for within in (0.0, -1.0, 11.0):
        with pytest.raises(RefusedError, match="within is"):
            compare_traces(desk, WREN.code, file, within)


def test_a_shape_that_is_not_there_is_refused_by_its_kind(desk: Desk) -> None:
    """A file, a number, a frame and a frame without a trace each have their own sentence."""
    with pytest.raises(FileRefusedError, match="no such file"):
        compare_traces(desk, WREN.code, "gone.txt")
    with pytest.raises(NumberUnknownError):
        compare_traces(desk, WREN.code, "77")
    with pytest.raises(UnknownNameError):
        compare_traces(desk, "NONE-SUCH", WREN.code)
    with pytest.raises(RefusedError, match="this frame has not been traced"):
        compare_traces(desk, WREN.code, LARK.code)


# ---------------------------------------------------------------- the nearest


@on_both
def test_the_nearest_shapes_are_those_of_laying_every_one(desk: Desk) -> None:
    """The same traces in the same order with the same differences as the plain loop over the whole library."""
    stored = fill_library(desk, 60)
    wanted = stored_trace(desk, WREN.code).stored.shape.right
    plain = sorted((align(wanted, trace.shape.right).worst, number) for number, trace in stored.items())
    for limit in (1, 5, 100):
        found = nearest_traces(desk, WREN.code, limit)
        assert [(near.alignment.worst, near.number) for near in found] == plain[:limit]
    assert found[0].description == f"Harrow Row Wren, no. {plain[0][1] - 2}, 52-18-140"


def test_a_frame_s_own_traces_are_not_its_neighbours(desk: Desk) -> None:
    """Another frame with the same shape is; a file, which is no frame, has all as neighbours."""
    add_frame(desk, MOSS, 0)
    keep_trace(desk, MOSS.code, WHOLE)
    assert [near.frame_code for near in nearest_traces(desk, WREN.code)] == [MOSS.code]
    assert [near.number for near in nearest_traces(desk, str(WHOLE))] == [1, 2]
    with pytest.raises(RefusedError, match="limit is 0"):
        nearest_traces(desk, WREN.code, 0)


# ---------------------------------------------------------------- another colour


@on_both
def test_a_trace_is_taken_over_for_another_colour(desk: Desk) -> None:
    """It is a trace of its own, and its origin names the frame and the file that it came from."""
    add_frame(desk, MOSS, 0)
    given = stored_trace(desk, WREN.code).stored
    kept = adopt_trace(desk, WREN.code, MOSS.code).stored
    assert kept.number == 2
    assert stored_trace(desk, MOSS.code).stored == kept
    assert kept.shape == given.shape
    assert kept.origin.file_name == "trace 1 of WREN-52: pellow-52.txt"
    assert (kept.origin.file_sha256, kept.origin.traced_on) == (given.origin.file_sha256, given.origin.traced_on)


def test_a_trace_taken_over_twice_names_its_first_file(desk: Desk) -> None:
    """The name does not grow from colour to colour."""
    rust = replace(MOSS, code="WREN-52-RUST", colour="rust")
    add_frame(desk, MOSS, 0)
    add_frame(desk, rust, 0)
    adopt_trace(desk, WREN.code, MOSS.code)
    assert adopt_trace(desk, MOSS.code, rust.code).stored.origin.file_name == "trace 2 of WREN-52-SAND: pellow-52.txt"


@on_both
def test_another_model_or_size_is_asked_about(desk: Desk) -> None:
    """Nothing is stored until the owner says yes to each difference."""
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=r"ADOPT-MODEL.*ADOPT-SIZE.*TRACE-CATALOGUE"):
        adopt_trace(desk, WREN.code, LARK.code)
    assert [each.code for each in plan_adoption(desk, WREN.code, LARK.code).findings][:2] == [
        "ADOPT-MODEL",
        "ADOPT-SIZE",
    ]
    assert everything(desk) == before
    assert adopt_trace(desk, WREN.code, LARK.code, ANY).stored.frame_code == LARK.code
    with pytest.raises(RefusedError, match="it has this trace already"):
        adopt_trace(desk, WREN.code, WREN.code)


# ---------------------------------------------------------------- checked


@on_both
def test_frames_whose_newest_trace_disagrees_are_found(desk: Desk) -> None:
    """A frame whose marked size was changed since disagrees; an older trace no longer counts."""
    assert check_traces(desk).disagreeing == ()
    keep_trace(desk, LARK.code, WHOLE, accept=ANY)
    found = check_traces(desk)
    assert [kept.stored.frame_code for kept in found.disagreeing] == [LARK.code]
    assert (found.checked, found.untraced) == (2, 0)
    FRAMES.change(desk, LARK.code, {"eye_size": 52.0, "bridge": 18.0})
    assert check_traces(desk).disagreeing == ()


def test_frames_without_a_trace_are_counted(desk: Desk) -> None:
    """The second frame of the shop has none."""
    found = check_traces(desk)
    assert (found.checked, found.untraced) == (1, 1)


def test_frames_without_a_shape_name_their_other_colour(desk: Desk) -> None:
    """Another colour of the same model and size lends its shape; another size does not."""
    FRAMES.add(desk, MOSS)
    FRAMES.add(desk, replace(MOSS, code="WREN-54-SAND", eye_size=54))
    found = {each.frame.code: each.kin for each in untraced_frames(desk)}
    assert {code: kin and kin.code for code, kin in found.items()} == {
        "LARK-48": None,
        "WREN-52-SAND": "WREN-52",
        "WREN-54-SAND": None,
    }


def test_a_trace_is_found_by_its_number(desk: Desk) -> None:
    """Whatever frame it is of."""
    assert trace_numbered(desk, 1).stored == stored_trace(desk, WREN.code).stored
    with pytest.raises(NumberUnknownError):
        trace_numbered(desk, 99)
