"""The commands on traces: what they print, what they say, what they store."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from shopledger.cli.trace import USUAL_WITHIN
from shopledger.optics.likeness import SAME_WITHIN
from tests.cli.conftest import Typed, done, read_json, trace_text

SAND = ("--maker", "Thistledown", "--model", "Wren", "--eye-size", "52", "--bridge", "18", "--temple", "140")
PRICED = ("--price", "180", "--cost", "61")


@pytest.fixture
def traced(typed: Typed, trace_file: Path) -> Typed:
    """Give the shop with its frame traced, and another colour of it without a trace."""
    done(typed("trace", "add", "WREN-52", str(trace_file), "--device", "bench"))
    done(typed("frame", "add", "WREN-52-S", *SAND, "--colour", "sand", *PRICED))
    return typed


def other_file(folder: Path, width: float = 52.0, height: float = 37.0) -> str:
    """Write another frame's file."""
    file = folder / "other.txt"
    file.write_text(trace_text(width, height), encoding="ascii")
    return str(file)


def test_traces_are_listed(traced: Typed) -> None:
    """The form of the list is a promise to other programs."""
    (listed,) = read_json(traced("trace", "list", "--json"))["traces"]
    sha256, recorded_at = listed.pop("sha256"), listed.pop("recorded_at")
    assert (len(sha256), recorded_at[:10]) == (64, "2026-03-02")
    assert listed == {
        "number": 1,
        "frame": "WREN-52",
        "newest": True,
        "file": "wren.txt",
        "traced_on": "2026-03-02",
        "device": "bench",
        "operator": "Ilse",
        "a": 52.0,
        "b": 36.0,
        "dbl": 18.0,
        "points": 400,
    }
    assert "wren.txt" in done(traced("trace", "list", "WREN-52")).stdout
    assert "None." in done(traced("trace", "list", "WREN-52-S")).stdout


def test_a_trace_is_shown_by_its_number(traced: Typed) -> None:
    """The newest where none is given, and never another frame's."""
    assert read_json(traced("trace", "show", "WREN-52", "--number", "1", "--json"))["number"] == 1
    refused = traced("trace", "show", "WREN-52-S", "--number", "1")
    assert refused.exit_code == 30
    assert "it is a trace of WREN-52" in refused.stderr


def test_a_comparison_says_how_much_differs_and_what_that_means(traced: Typed, tmp_path: Path) -> None:
    """An ellipse 1 mm higher differs by half a millimetre, or a little less once it is moved."""
    same = traced("trace", "compare", "WREN-52", "1", "--json")
    found = read_json(same)
    assert (found["same"], found["worst"], found["dbl_difference"], found["swapped"]) == (True, 0.0, 0.0, False)
    assert "The same frame within 0.3 mm" in same.stderr
    other = traced("trace", "compare", "WREN-52", other_file(tmp_path), "--json")
    found = read_json(other)
    assert not found["same"]
    assert 0.3 < found["worst"] <= 0.5
    assert set(found["right"]) == {"mean", "worst", "turned", "moved_right", "moved_up", "mirrored"}
    assert "Not the same frame within 0.3 mm: the worst difference is 0." in other.stderr
    loose = traced("trace", "compare", "WREN-52", other_file(tmp_path), "--within", "0.6")
    assert "The same frame within 0.6 mm" in loose.stderr
    assert "best when" in loose.stdout


def test_a_comparison_can_be_drawn(traced: Typed, tmp_path: Path) -> None:
    """Both shapes of each eye, and their difference as many times larger as was asked for."""
    target = tmp_path / "both.svg"
    words = ("trace", "compare", "WREN-52", other_file(tmp_path), "--into", str(target))
    done(traced(*words, "--times", "20"))
    text = target.read_text(encoding="utf-8")
    assert [f'id="{eye}-{line}"' in text for eye in ("right", "left") for line in ("still", "laid", "difference")] == [
        True
    ] * 6
    assert "difference drawn 20 times" in text
    done(traced(*words))
    # Half a millimetre drawn ten times is less than 8 mm, drawn twenty times it is more.
    assert "difference drawn 10 times" in target.read_text(encoding="utf-8")
    refused = traced(*words, "--times", "0.5")
    assert refused.exit_code == 30
    assert "1 to 100 times" in refused.stderr


def test_the_usual_threshold_is_said_once_for_all(traced: Typed) -> None:
    """What the help shows is what the optics take."""
    assert USUAL_WITHIN == SAME_WITHIN
    assert "0.3" in done(traced("trace", "compare", "--help")).stdout


def test_the_nearest_shapes_are_named(traced: Typed, tmp_path: Path) -> None:
    """A file's neighbours are the frames of the library, nearest first."""
    (near,) = read_json(traced("trace", "nearest", other_file(tmp_path), "--json"))["nearest"]
    assert (near["number"], near["frame"]) == (1, "WREN-52")
    assert near["description"] == "Thistledown Wren, slate, 52-18-140"
    assert "WREN-52" in done(traced("trace", "nearest", other_file(tmp_path))).stdout
    assert "no other frame has been traced" in done(traced("trace", "nearest", "WREN-52")).stdout


def test_a_trace_is_taken_over_for_another_colour(traced: Typed) -> None:
    """It is tried first, then kept under a number of its own."""
    tried = traced("trace", "adopt", "WREN-52", "WREN-52-S", "--dry-run", "--json")
    assert read_json(tried)["number"] is None
    assert "Nothing was stored" in tried.stderr
    kept = read_json(traced("trace", "adopt", "WREN-52", "WREN-52-S", "--json"))
    assert (kept["number"], kept["file"]) == (2, "trace 1 of WREN-52: wren.txt")
    (near,) = read_json(traced("trace", "nearest", "WREN-52", "--json"))["nearest"]
    assert (near["frame"], near["worst"]) == ("WREN-52-S", 0.0)


def test_another_model_is_asked_about_before_anything_is_stored(traced: Typed, everything: Callable[[], bytes]) -> None:
    """On a terminal a no leaves the ledger as it was, and a yes is enough; elsewhere the flag is named."""
    done(traced("frame", "add", "ROOK-52", *SAND[:3], "Rook", *SAND[4:], "--colour", "ink", *PRICED))
    before = everything()
    refused = traced("trace", "adopt", "WREN-52", "ROOK-52")
    assert refused.exit_code == 20
    assert "--accept ADOPT-MODEL" in refused.stderr
    assert traced("trace", "adopt", "WREN-52", "ROOK-52", answers="n\n").exit_code == 1
    assert everything() == before
    assert "has the shape now" in done(traced("trace", "adopt", "WREN-52", "ROOK-52", answers="y\n")).stderr


def test_disagreeing_traces_are_listed(traced: Typed) -> None:
    """Once the marked size was changed, the trace no longer fits it."""
    assert read_json(traced("trace", "check", "--json")) == {"checked": 1, "untraced": 1, "disagreeing": []}
    done(traced("frame", "change", "WREN-52", "--eye-size", "49"))
    found: dict[str, Any] = read_json(traced("trace", "check", "--json"))
    assert [each["frame"] for each in found["disagreeing"]] == ["WREN-52"]
    table = traced("trace", "check")
    assert table.stdout.count("eye size 49 mm") == 1
    assert "Traced frames checked: 1. Frames without a trace: 1." in table.stderr


def test_a_frame_is_drawn(traced: Typed, tmp_path: Path) -> None:
    """The drawing is written whole, with optical centres where a PD is given."""
    target = tmp_path / "wren.svg"
    words = ("trace", "draw", "WREN-52", "--into", str(target))
    assert read_json(traced(*words, "--pd", "62", "--height", "19", "--blank", "70", "--json")) == {"file": str(target)}
    text = target.read_text(encoding="utf-8")
    assert re.search(r'width="[0-9.]+mm"', text)
    assert "right-optical-centre" in text
    assert "right-optical-centre" not in (done(traced(*words)), target.read_text(encoding="utf-8"))[1]
    assert traced(*words, "--blank", "70").exit_code == 30
    assert traced(*words, "--pd-right", "31").exit_code == 2


def test_a_table_of_points_is_taken_in(traced: Typed, tmp_path: Path) -> None:
    """Points of an ellipse as another program exports them."""
    import math

    angles = [2 * math.pi * place / 300 for place in range(300)]
    rows = [f"right,{100 + 26 * math.cos(angle):.3f},{50 + 18 * math.sin(angle):.3f}" for angle in angles]
    file = tmp_path / "points.csv"
    file.write_text("\n".join(["dbl,18.0", "eye,x,y", *rows]), encoding="ascii")
    kept = read_json(traced("trace", "add", "WREN-52-S", str(file), "--json"))
    assert (kept["right"]["a"], kept["right"]["b"], kept["right"]["points"]) == (52.0, 36.0, 1000)
    assert read_json(traced("trace", "compare", "WREN-52", "WREN-52-S", "--json"))["worst"] < 0.02
