"""The drawing of a frame, read back in millimetres: it is the shape, at full size, in its place."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.exchange.svg_file import LensMarks, write_svg
from shopledger.optics.boxing import box
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.optics.strategies import rounded_shape, shapes

SPACE = "{http://www.w3.org/2000/svg}"
Points = list[tuple[float, float]]


def numbers(text: str) -> list[float]:
    """Read every number in a text."""
    return [float(each) for each in re.findall(r"-?[0-9]+(?:\.[0-9]+)?", text)]


def root_of(text: str) -> ET.Element:
    """Read a drawing that was just made here."""
    return ET.fromstring(text)  # noqa: S314 - nobody else wrote it


def drawn(text: str, name: str) -> ET.Element:
    """Find one thing of the drawing by its name."""
    (found,) = (each for each in root_of(text).iter() if each.get("id") == name)
    return found


def outline(text: str, side: Side, steps: int = 24) -> Points:
    """Follow a lens's curves in small steps, y up, from the middle of the bridge."""
    path = drawn(text, side.value)
    moved_x, moved_y = numbers(path.attrib["transform"])
    start, *curves = path.attrib["d"].removesuffix(" Z").split(" C")
    assert start.startswith("M")
    at = numbers(start)
    points: Points = []
    for curve in curves:
        first = (at[0], at[1])
        flat = numbers(curve)
        corners = [first, (flat[0], flat[1]), (flat[2], flat[3]), (flat[4], flat[5])]
        for step in range(steps):
            t = step / steps
            weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            x, y = (sum(w * corner[axis] for w, corner in zip(weights, corners, strict=True)) for axis in (0, 1))
            points.append((x + moved_x, -(y + moved_y)))
        at = flat[4:]
    return points


def radius_along(points: Points, x: float, y: float, angle: float) -> float:
    """Give where a ray from a place meets a closed row of points."""
    cos, sin = math.cos(angle), math.sin(angle)
    for (ax, ay), (bx, by) in pairwise([*points, points[0]]):
        one, other = (ay - y) * cos - (ax - x) * sin, (by - y) * cos - (bx - x) * sin
        if (one <= 0 < other) or (other <= 0 < one):
            part = one / (one - other)
            length: float = (ax + part * (bx - ax) - x) * cos + (ay + part * (by - ay) - y) * sin
            if length > 0:
                return length
    raise AssertionError(angle)


def worst(trace: Trace, points: Points, centre: float) -> float:
    """Give how far the drawn outline leaves the traced radii, seen from the trace's own origin."""
    boxed = box(trace)
    x, y = centre - boxed.centre_x, -boxed.centre_y
    step = 2 * math.pi / trace.count
    rays = range(0, trace.count, max(1, trace.count // 90))
    return float(max(abs(radius_along(points, x, y, place * step) - trace.radii[place]) for place in rays))


@given(shapes(), st.integers(10, 25), st.integers(0, 50))
def test_the_outline_read_back_in_mm_is_the_traced_one(trace: Trace, dbl: int, noise: int) -> None:
    """Along every ray the drawing meets the stored radius within 0.02 mm, for either lens, a noisy one too."""
    noisy = (each + place * noise % 7 - 3 for place, each in enumerate(trace.hundredths))
    right = Trace(Side.RIGHT, tuple(noisy))
    frame = FrameTrace(right, right.mirrored(), dbl)
    text = write_svg(frame, "any")
    for side in Side:
        eye = frame.eye(side)
        centre = (-1 if side is Side.RIGHT else 1) * (dbl + box(eye).a) / 2
        assert worst(eye, outline(text, side), centre) <= 0.02


def test_a_unit_is_a_millimetre() -> None:
    """Width and height in mm are those of the view, so that nothing scales it."""
    frame = FrameTrace(rounded_shape(), rounded_shape().mirrored(), 18)
    root = root_of(write_svg(frame, "any"))
    _, _, width, height = numbers(root.attrib["viewBox"])
    assert root.attrib["width"] == f"{width:.3f}mm"
    assert root.attrib["height"] == f"{height:.3f}mm"
    assert width > 54 + 18 + 54


def test_the_lenses_are_a_bridge_apart() -> None:
    """The right lens stands at the left, and the gap between the two is the distance between lenses."""
    frame = FrameTrace(rounded_shape(400, a=50), rounded_shape(400, Side.LEFT, a=54), 17.5)
    text = write_svg(frame, "any")
    assert max(x for x, _ in outline(text, Side.RIGHT)) == pytest.approx(-8.75, abs=0.01)
    assert min(x for x, _ in outline(text, Side.LEFT)) == pytest.approx(8.75, abs=0.01)
    assert numbers(drawn(text, "bridge").attrib["d"]) == [-8.75, 0, 8.75]


def test_the_bar_is_a_hundred_millimetres_and_says_to_be_measured() -> None:
    """A print is checked by it: 100 units of a millimetre with a tick each 10, and what it means when it is not."""
    frame = FrameTrace(rounded_shape(), rounded_shape().mirrored(), 18)
    text = write_svg(frame, "any")
    line, *ticks = drawn(text, "bar").attrib["d"].split(" M")
    start, _, end = numbers(line)
    assert end - start == 100
    assert [numbers(tick)[0] - start for tick in ticks] == [10 * at for at in range(11)]
    assert drawn(text, "measure").text == "MEASURE ME: 100 mm"
    assert "not at actual size" in text


@pytest.mark.parametrize("dbl", [8, 18, 24])
def test_the_nose_stands_between_the_lenses(dbl: int) -> None:
    """Above the middle of the bridge, clear of both lenses, with its word over it and the bridge's under it."""
    text = write_svg(FrameTrace(rounded_shape(), rounded_shape().mirrored(), dbl), "any")
    points = numbers(drawn(text, "nose").attrib["d"])
    across, down = points[::2], points[1::2]
    assert sum(across) == pytest.approx(0)
    assert max(across) < dbl / 2 - 1
    assert max(down) < 0
    word = drawn(text, "nose-word")
    assert (word.text, float(word.attrib["x"])) == ("NOSE", 0)
    assert float(word.attrib["y"]) < min(down)


def test_optical_centres_stand_inward_and_up_with_their_blanks() -> None:
    """3 mm in and 2 mm up, from boxed centres 36 mm from the middle of the bridge; the blank is about them."""
    frame = FrameTrace(rounded_shape(), rounded_shape().mirrored(), 18)
    text = write_svg(frame, "any", LensMarks(3, 2, 70), LensMarks(2, -1))
    blank = drawn(text, "right-blank").attrib
    assert [float(blank[name]) for name in ("cx", "cy", "r")] == pytest.approx([-33, -2, 35], abs=0.01)
    left = numbers(drawn(text, "left-optical-centre").attrib["d"])
    assert ((left[0] + left[2]) / 2, left[1]) == pytest.approx((34, 1), abs=0.01)
    _, top, _, _ = numbers(root_of(text).attrib["viewBox"])
    assert top < -37
    assert "left-blank" not in text


def test_a_title_is_kept_as_it_is() -> None:
    """Signs that mean something in the format are written so that they are read as themselves."""
    frame = FrameTrace(rounded_shape(), rounded_shape().mirrored(), 18)
    title = root_of(write_svg(frame, "<Wren & Lark>")).find(f"{SPACE}title")
    assert title is not None
    assert title.text == "<Wren & Lark>"


@pytest.mark.parametrize("wrong", [(40, 0, None), (0, -31, None), (0, 0, 7.0), (math.nan, 0, None)])
def test_marks_that_no_lens_has_are_refused(wrong: tuple[float, float, float | None]) -> None:
    """A centre far outside the lens, or a blank of 7 mm, is a slip."""
    with pytest.raises(RefusedError):
        LensMarks(*wrong)


def test_each_lens_has_its_letter_in_its_outer_half() -> None:
    """R stands in the right lens, at the left of the drawing and away from the nose; L in the other."""
    frame = FrameTrace(rounded_shape(lift=0.05, skew=0.04), rounded_shape(side=Side.LEFT, lift=0.02, skew=-0.05), 18)
    text = write_svg(frame, "any")
    for side, letter in ((Side.RIGHT, "R"), (Side.LEFT, "L")):
        found = drawn(text, f"{side.value}-letter")
        across = [x for x, _ in outline(text, side)]
        middle = (min(across) + max(across)) / 2
        assert found.text == letter
        assert min(across) < float(found.attrib["x"]) < max(across)
        assert (float(found.attrib["x"]) - middle) * side.inward < 0
    assert "R is the wearer" in text


def test_different_sides_are_each_drawn_as_traced() -> None:
    """Where right and left are not mirror images, each is still itself, within 0.02 mm, and unlike its mirror."""
    right = rounded_shape(lift=0.05, skew=0.04)
    left = rounded_shape(side=Side.LEFT, a=50, b=38, lift=-0.03, skew=0.05)
    text = write_svg(FrameTrace(right, left, 18), "any")
    for trace in (right, left):
        points = outline(text, trace.side)
        across = [x for x, _ in points]
        centre = (min(across) + max(across)) / 2
        assert worst(trace, points, centre) < 0.02
        assert worst(trace, [(2 * centre - x, y) for x, y in points], centre) > 0.5
