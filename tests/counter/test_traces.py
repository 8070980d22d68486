"""Frames' shapes on pages: listed, drawn, compared, brought in from a file, taken over for another colour."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import FRAMES
from shopledger.desk.trace_library import list_traces, trace_numbered, untraced_frames
from shopledger.desk.tracing import keep_trace
from tests.counter.visitor import Visitor
from tests.desk.family import CUT_SHORT, WHOLE
from tests.shelf import LARK, WREN

BODY = WHOLE.read_bytes()


def test_the_library_names_frames_without_a_shape(visitor: Visitor, desk: Desk) -> None:
    """Each with the way to bring it in; the same frame in another colour lends its own."""
    FRAMES.add(desk, replace(WREN, code="WREN-52-SAND", colour="sand"))
    assert [(each.frame.code, each.kin and each.kin.code) for each in untraced_frames(desk)] == [
        ("LARK-48", None),
        ("WREN-52-SAND", "WREN-52"),
    ]
    page = visitor.go("/traces")
    assert "/traces/new?frame=LARK-48" in page.text
    assert 'href="/traces/adopt/WREN-52-SAND"' in page.text
    assert 'href="/traces/1"' in page.text


def test_a_shape_is_drawn_with_its_figures(visitor: Visitor, desk: Desk) -> None:
    """Boxed sizes, where it came from, and the nearest others."""
    keep_trace(desk, LARK.code, WHOLE, "bench tracer", frozenset({"TRACE-CATALOGUE"}))
    page = visitor.go("/traces/1")
    assert "<svg" in page.text
    assert "52.0" in page.words
    assert "bench tracer" in page.words
    assert 'href="/traces/compare?one=1&amp;other=2"' in page.text
    assert trace_numbered(desk, 2).stored.frame_code == LARK.code


def test_two_shapes_are_laid_on_one_another(visitor: Visitor, desk: Desk) -> None:
    """Drawn over one another, with the worst difference and whether it is the same frame."""
    keep_trace(desk, LARK.code, WHOLE, "", frozenset({"TRACE-CATALOGUE"}))
    page = visitor.go("/traces/compare?one=1&other=2")
    assert "The same frame" in page.words
    assert 'class="second"' in page.text


@pytest.mark.parametrize("name", ["/etc/passwd", "../shop.db", "1.txt", "WREN-52", "1;2", "99"])
def test_only_numbers_of_traces_are_compared(visitor: Visitor, name: str) -> None:
    """A name that could be a file on this computer is not looked at."""
    asked = {"one": name, "other": "1"}
    answer = visitor.client.get("/traces/compare", base_url=visitor.home, query_string=asked)
    assert answer.status_code == 404


def test_a_tracer_s_file_is_kept_for_a_frame(visitor: Visitor, desk: Desk) -> None:
    """What does not go with the frame is asked about at its field; the page comes back to where one was."""
    visitor.go("/traces/new?frame=LARK-48&next=/jobs/3").send({"device": "bench tracer", "shape": ("a b.txt", BODY)})
    assert visitor.code == 422
    assert "TRACE-CATALOGUE" in visitor.text
    assert list_traces(desk, LARK.code) == ()
    visitor.send({"device": "bench tracer", "shape": ("a b.txt", BODY), "accept": "TRACE-CATALOGUE"})
    (kept,) = list_traces(desk, LARK.code)
    assert kept.origin.device == "bench tracer"
    assert visitor.path == "/jobs/3"


@pytest.mark.parametrize("next_page", ["https://evil.example/", "//evil.example", "/\\evil.example", "jobs/3"])
def test_only_the_counter_s_own_pages_are_gone_on_to(visitor: Visitor, desk: Desk, next_page: str) -> None:
    """An address of elsewhere is forgotten, wherever it stands."""
    visitor.go("/traces/new?frame=WREN-52").send({"next": next_page, "shape": ("a.txt", BODY)})
    assert visitor.path == f"/traces/{list_traces(desk)[-1].number}"


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({"frame": "NOPE", "shape": ("a.txt", BODY)}, "frame"),
        ({"frame": "WREN-52"}, "shape"),
        ({"frame": "WREN-52", "shape": ("a.txt", BODY), "traced_on": "soon"}, "traced_on"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    visitor: Visitor, desk: Desk, fields: dict[str, str | tuple[str, bytes]], at: str
) -> None:
    """Nothing is kept."""
    visitor.go("/traces/new").send({"device": "t", **fields})
    assert visitor.code == 422
    assert f'href="#f-{at}"' in visitor.text
    assert len(list_traces(desk)) == 1


@pytest.mark.parametrize("body", [b"", b"\xff\xfe\x00", CUT_SHORT.read_bytes(), b"<script>alert(1)</script>"])
def test_a_file_that_is_no_shape_is_refused(visitor: Visitor, desk: Desk, body: bytes) -> None:
    """In words, without a path of this computer in them."""
    visitor.go("/traces/new").send({"frame": "WREN-52", "shape": ("odd.txt", body)})
    assert visitor.code == 422
    assert "/odd" not in visitor.words
    assert "shopledger-" not in visitor.words
    assert "<script>alert" not in visitor.text
    assert len(list_traces(desk)) == 1


def test_a_path_that_somebody_typed_is_no_file(visitor: Visitor, desk: Desk) -> None:
    """A file is what was sent as one."""
    visitor.go("/traces/new").send({"frame": "WREN-52", "shape": str(WHOLE)})
    assert visitor.code == 422
    assert len(list_traces(desk)) == 1


def test_another_colour_takes_the_shape_over(visitor: Visitor, desk: Desk) -> None:
    """The same frame in another colour is chosen already."""
    FRAMES.add(desk, replace(WREN, code="WREN-52-SAND", colour="sand"))
    form = visitor.go("/traces/adopt/WREN-52-SAND").form(has="source")
    assert form.values["source"] == ["WREN-52"]
    visitor.send({"source": "WREN-52"})
    assert len(list_traces(desk, "WREN-52-SAND")) == 1


def test_another_model_is_asked_about(visitor: Visitor, desk: Desk) -> None:
    """Its shape is taken only with a yes."""
    visitor.go("/traces/adopt/LARK-48").send({"source": "WREN-52"})
    assert visitor.code == 422
    assert "ADOPT-MODEL" in visitor.text
    assert list_traces(desk, "LARK-48") == ()


def test_shapes_are_checked_and_written(visitor: Visitor) -> None:
    """All against their marked sizes; one as a file for the edger, by a button."""
    assert "1 checked; all agree." in visitor.go("/traces/check").words
    visitor.go("/traces/1").press("/traces/1/file")
    assert [each.name for each in visitor.station.papers.iterdir()] == ["trace-00001.txt"]
