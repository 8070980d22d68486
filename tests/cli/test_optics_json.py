"""The form of every calculator's JSON is a promise, and its numbers are the published or hand-worked ones."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import read_json, trace_text, type_in


def answer(*words: str) -> Any:  # noqa: ANN401 - whatever JSON holds
    """Run a calculator without any ledger and read its answer."""
    return read_json(type_in("optics", *words, "--json"))


def test_crossed_powers() -> None:
    """A printed worked example of two crossed cylinders (corrected answer of a public thread)."""
    assert answer("cross", "--power", "plano +2.00 x 120", "--power", "plano -2.25 x 030") == {
        "powers": ["plano +2.00 x 120", "plano -2.25 x 030"],
        "minus_cylinder": "+2.00 -4.25 x 030",
        "plus_cylinder": "-2.25 +4.25 x 120",
        "spherical_equivalent": -0.125,
        "sphere": 2.0,
        "cylinder": -4.25,
        "axis": 30.0,
    }


def test_a_moved_power() -> None:
    """Hand-worked: +13.00 moved from 8 to 12 mm is 13 / (1 + 0.004 * 13), and the other way 13 / (1 - 0.004 * 13)."""
    moved = answer("vertex", "--sphere", "+13.00", "--tested-at", "8", "--worn-at", "12")
    assert moved == {
        "power": "+13.00 DS",
        "tested_at": 8.0,
        "worn_at": 12.0,
        "worn": "+12.36 DS",
        "sphere": pytest.approx(13 / 1.052, abs=5e-5),
        "cylinder": 0.0,
        "axis": None,
        "other_way": "+13.71 DS",
        "met": None,
        "to_make": None,
        "exact": None,
    }


def test_a_leaning_lens() -> None:
    """By Martin's formulae -10.00 tilted 20 degrees in 1.5 acts as -10.390 -1.376 with the axis across the face."""
    leaning = answer("vertex", "--sphere", "-10.00", "--tilt", "20", "--eye", "right", "--index", "1.5")
    made, exact = leaning.pop("to_make"), leaning.pop("exact")
    # By Coddington's equations for a thin lens the ray meets -10.416 -1.380; a thick one is close to that.
    assert (exact["met"]["sphere"], exact["met"]["cylinder"]) == pytest.approx((-10.416, -1.380), abs=0.01)
    assert exact["formula_off"] == pytest.approx(0.028, abs=0.005)
    assert leaning == {
        "power": "-10.00 DS",
        "tested_at": None,
        "worn_at": None,
        "worn": "-10.00 DS",
        "sphere": -10.0,
        "cylinder": 0.0,
        "axis": None,
        "other_way": None,
        "eye": "right",
        "tilt": 20.0,
        "wrap": 0.0,
        "index": 1.5,
        "met": {
            "written": "-10.39 -1.38 x 180",
            "sphere": pytest.approx(-10.390, abs=5e-4),
            "cylinder": pytest.approx(-1.376, abs=5e-4),
            "axis": 180.0,
        },
    }
    # The way back: the lens that is made leaves the eye with exactly the prescribed power.
    parts = (f"--sphere={made['sphere']:.4f}", f"--cylinder={made['cylinder']:.4f}", f"--axis={made['axis']:.0f}")
    met = answer("vertex", *parts, "--tilt", "20", "--eye", "right")["met"]
    assert (met["sphere"], met["cylinder"]) == pytest.approx((-10, 0), abs=5e-4)


def test_prism_at_a_point() -> None:
    """A printed example with an oblique cylinder: 5.03 base up and 2.81 base out."""
    point = answer("prism", "--power", "+6.00 -3.00 x 140", "--eye", "right", "--inward", "2.5", "--upward", "-11")
    assert point.pop("written") == ["5.03 BU", "2.82 BO"]
    assert point == {
        "power": "+6.00 -3.00 x 140",
        "base_in": pytest.approx(-2.815, abs=0.006),
        "base_up": pytest.approx(5.03, abs=0.005),
        "amount": pytest.approx(math.hypot(5.03, 2.815), abs=0.01),
    }


def test_prisms_together_and_apart() -> None:
    """A printed example: 1.5 up and 2 in are 2.5 at 37 degrees before the right eye; taken apart it is both again."""
    one = answer("prism-combine", "--eye", "right", "--prism", "1.5 BU", "--prism", "2 BI")
    both = {"eye": "right", "base_in": 2.0, "base_up": 1.5, "amount": 2.5, "written": ["1.50 BU", "2.00 BI"]}
    assert one == {**both, "angle": pytest.approx(math.degrees(math.atan2(1.5, 2)), abs=0.005)}
    apart = answer("prism-combine", "--eye", "right", "--at", "2.5 at 36.87")
    assert (apart["base_in"], apart["base_up"]) == pytest.approx((2, 1.5), abs=1e-3)
    # The nose lies on the other side for a left eye.
    assert answer("prism-combine", "--eye", "left", "--at", "2 at 0")["written"] == ["2.00 BO"]
    nothing = answer("prism-combine", "--eye", "left", "--prism", "2 BU", "--prism", "2 BD")
    assert (nothing["written"], nothing["angle"]) == ([], None)


def test_prism_over_two_eyes() -> None:
    """Half each: up before one eye is down before the other, out is out before both."""
    up = answer("prism-split", "--prism", "3 BU", "--eye", "right")
    assert up == {
        "right": {"base_in": 0.0, "base_up": 1.5, "amount": 1.5, "written": ["1.50 BU"]},
        "left": {"base_in": 0.0, "base_up": -1.5, "amount": 1.5, "written": ["1.50 BD"]},
    }
    out = answer("prism-split", "--prism", "4 BO", "--eye", "left", "--share", "75")
    assert (out["right"]["written"], out["left"]["written"]) == (["1.00 BO"], ["3.00 BO"])


def test_imbalance() -> None:
    """Printed: +1.00 beside +3.00 differ by 2 prism dioptres 10 mm below; the left eye has more base up."""
    parts = {"base_in": 0.0, "base_up": 1.0, "amount": 1.0, "written": ["1.00 BU"]}
    assert answer("prism-imbalance", "--right", "+1.00", "--left", "+3.00", "--below", "10") == {
        "right": parts,
        "left": {"base_in": 0.0, "base_up": 3.0, "amount": 3.0, "written": ["3.00 BU"]},
        "vertical": -2.0,
        "horizontal": 0.0,
    }


def test_thickness() -> None:
    """A flat front makes the rest school geometry: a hollow of one radius in a disc."""
    thick = answer(
        "thickness", "--sphere", "-5", "--material", "1.5", "--circle", "60", "--base-curve", "0", "--inward", "0"
    )
    radius = 498 / 5
    deep = radius - math.sqrt(radius**2 - 30**2)
    hollow = math.pi * 30**2 * deep - math.pi * deep**2 * (3 * radius - deep) / 3
    volume = math.pi * 30**2 * 2.0 + hollow
    # Every direction is as thick as the other, so that the angles say nothing.
    assert (type(thick.pop("thickest_angle")), type(thick.pop("thinnest_angle"))) == (float, float)
    assert thick == {
        "power": "-5.00 DS",
        "prism": [],
        "eye": "right",
        "shape": "right lens, round, 60 mm",
        "inward": 0.0,
        "upward": 0.0,
        "material": "hard resin 1.50",
        "index": 1.498,
        "base_curve": 0.0,
        "centre_thickness": 2.0,
        "thickest_edge": pytest.approx(2 + deep, abs=0.006),
        "thinnest_edge": pytest.approx(2 + deep, abs=0.006),
        "volume": pytest.approx(volume, rel=1e-3),
        "weight": pytest.approx(volume * 1.32 / 1000, rel=1e-3),
    }


def test_thickness_with_prism() -> None:
    """A flat disc of 60 mm is a wedge: 5 prism dioptres at 1.498 make 60 x 0.05 / 0.498 mm, and 1 mm is its least."""
    flat = ("--sphere", "0.00", "--material", "1.5", "--circle", "60", "--base-curve", "0", "--inward", "0")
    wedge = answer("thickness", *flat, "--prism", "3 BI", "--prism", "4 BU", "--min-edge", "1")
    assert wedge["prism"] == ["4.00 BU", "3.00 BI"]
    assert wedge["thinnest_edge"] == 1.0
    assert wedge["thickest_edge"] - wedge["thinnest_edge"] == pytest.approx(60 * 0.05 / 0.498, rel=0.005)
    assert wedge["thickest_angle"] == pytest.approx(math.degrees(math.atan2(4, 3)), abs=1)
    known = answer("thickness", *flat, "--prism", "3 BI", "--prism", "4 BU", "--centre-thickness", "6")
    assert known["centre_thickness"] == 6.0
    assert known["weight"] == pytest.approx(math.pi * 30**2 * 6 * 1.32 / 1000, rel=2e-3)
    (row,) = answer("compare", *flat[:2], *flat[4:], "--material", "1.5", "--prism", "5 BO")["materials"]
    assert row["thickest_angle"] == pytest.approx(180, abs=1)


def test_comparison() -> None:
    """At 20 D a back of 1.74 has a radius of 37 mm, so 35 mm out it is 25 mm deep; resin's 24.9 mm never gets there."""
    compared = answer(
        "compare",
        *("--sphere", "-20.00", "--circle", "70", "--base-curve", "0", "--eye", "left"),
        *("--material", "hard resin", "--material", "1.74"),
    )
    refused, body = compared.pop("materials")
    assert compared == {
        "power": "-20.00 DS",
        "prism": [],
        "eye": "left",
        "shape": "left lens, round, 70 mm",
        "inward": 0.0,
        "upward": 0.0,
        "base_curve": 0.0,
    }
    assert "too steep to reach the edge" in refused.pop("refused")
    figures = (
        *("centre_thickness", "thickest_edge", "thickest_angle", "thinnest_edge", "thinnest_angle"),
        *("volume", "weight"),
    )
    assert refused == {"material": "hard resin 1.50", "index": 1.498, "abbe": 58.0, **dict.fromkeys(figures)}
    assert set(body) == {"material", "index", "abbe", "refused", *figures}
    assert (body["refused"], body["centre_thickness"]) == ("", 1.3)
    assert body["thickest_edge"] == pytest.approx(1.3 + 37 - math.sqrt(37**2 - 35**2), abs=0.006)


def test_tolerance() -> None:
    """An axis 3 degrees off is within the 3 degrees that a cylinder of 1.25 D may have."""
    judged = answer(
        "tolerance", "--right", "-2.50 -1.25 x 090", "--measured-right", "-2.50 -1.25 x 093", "--also", "PD", "62", "63"
    )
    verdicts = judged.pop("verdicts")
    assert judged == {"standard": "ANSI Z80.1", "edition": "2015", "design": "single vision", "passed": True}
    assert [verdict["quantity"] for verdict in verdicts] == ["sphere", "cylinder", "axis", "PD"]
    assert verdicts[2] == {
        "lens": "right",
        "quantity": "axis",
        "ordered": 90.0,
        "measured": 93.0,
        "difference": 3.0,
        "limit": 3.0,
        "unit": "degrees",
        "rule": "axis up to 1.5 D, any design: within 3 degrees",
        "or_else": "",
        "source": "ansi_z80_1",
        "passed": True,
    }


def test_a_trace_file(trace_file: Path) -> None:
    """An ellipse of 52 by 36: its area is a quarter of pi times both, its ED the width, lying level."""
    shown = answer("trace", str(trace_file))
    assert len(shown.pop("sha256")) == 64
    right, left = shown.pop("right"), shown.pop("left")
    # Radii in hundredths hide which of the directions next to level is the longest.
    assert right.pop("ed_axis") % 180 == pytest.approx(0, abs=2)
    assert left.pop("ed_axis") % 180 == pytest.approx(0, abs=2)
    assert set(right) == set(left)
    h = ((26 - 18) / (26 + 18)) ** 2
    assert left == {
        "a": 52.0,
        "b": 36.0,
        "ed": 52.0,
        # Ramanujan's formula for the length of an ellipse.
        "circumference": pytest.approx(math.pi * 44 * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))), abs=0.05),
        "area": pytest.approx(math.pi / 4 * 52 * 36, rel=1e-3),
        "points": 400,
    }
    assert shown == {"file": "wren.txt", "dbl": 18.0, "one_eye": False, "findings": []}


def test_two_trace_files(trace_file: Path, tmp_path: Path) -> None:
    """An ellipse that is a millimetre wider lies best as it is, and is half a millimetre out at its ends."""
    wider = tmp_path / "wider.txt"
    wider.write_text(trace_text(width=53.0), encoding="ascii")
    compared = answer("trace", str(trace_file), str(wider))
    right = compared.pop("right")
    assert compared.pop("left") == right
    assert compared == {"file": "wren.txt", "other": "wider.txt"}
    mean = right.pop("mean")
    assert 0 < mean < 0.5
    assert right == {"worst": 0.5, "turned": 0.0, "moved_right": 0.0, "moved_up": 0.0, "mirrored": False}
