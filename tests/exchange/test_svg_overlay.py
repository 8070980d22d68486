"""Two shapes on each other, read back in millimetres: both at full size, their difference larger by the factor."""

from __future__ import annotations

import math
import re

import pytest

from shopledger.exchange.svg_file import Overlay, write_overlay

ROUND = [20.0] * 72
BULGED = [20.0 + 0.3 * (place == 18) - 0.2 * (place == 54) for place in range(72)]


def radii(text: str, name: str) -> list[float]:
    """Read the radii of one line back, from the middle of its points' box."""
    (path,) = re.findall(rf'id="{name}"[^>]* d="([^"]+)"', text)
    points = [tuple(map(float, each.split())) for each in path.removeprefix("M").removesuffix(" Z").split(" L")]
    middle = (max(x for x, _ in points) + min(x for x, _ in points)) / 2
    return [math.hypot(x - middle, y) for x, y in points]


def test_the_difference_is_drawn_larger_and_the_shapes_are_not() -> None:
    """0.3 mm outward becomes 3 mm, 0.2 mm inward 2 mm; the shapes keep their size."""
    text = write_overlay(Overlay(ROUND, BULGED), Overlay(ROUND, ROUND), "any", 10, ("words",))
    assert radii(text, "right-still") == pytest.approx(ROUND, abs=0.002)
    assert radii(text, "right-laid") == pytest.approx(BULGED, abs=0.002)
    drawn = radii(text, "right-difference")
    assert (drawn[18], drawn[54]) == pytest.approx((23, 18), abs=0.002)
    assert radii(text, "left-difference") == pytest.approx(ROUND, abs=0.002)


def test_the_right_eye_stands_at_the_left_and_a_bulge_on_top_is_on_top() -> None:
    """As one faces the wearer; y runs down in a drawing."""
    text = write_overlay(Overlay(ROUND, BULGED), Overlay(ROUND, ROUND), "any", 10, ())
    (path,) = re.findall(r'id="right-difference"[^>]* d="([^"]+)"', text)
    points = [tuple(map(float, each.split())) for each in path.removeprefix("M").removesuffix(" Z").split(" L")]
    assert max(x for x, _ in points) < 0
    assert min(y for _, y in points) == pytest.approx(-23, abs=0.002)


def test_an_absurd_factor_never_turns_a_shape_inside_out() -> None:
    """Where the difference times the factor is more than the radius, the line stops at the middle."""
    assert Overlay([20.0], [10.0]).times(100) == [0.0]


def test_names_are_written_so_that_they_are_read_as_themselves() -> None:
    """Signs of the format in a file's name do no harm."""
    text = write_overlay(Overlay(ROUND, ROUND), Overlay(ROUND, ROUND), "<a> & b", 10, ("<c>",))
    assert "&lt;a&gt; &amp; b" in text
    assert "&lt;c&gt;" in text


def test_each_eye_has_its_letter_in_it() -> None:
    """R stands within the right eye's shape at the left, L within the left eye's, and words say which is which."""
    text = write_overlay(Overlay(ROUND, BULGED), Overlay(ROUND, ROUND), "any", 10, ())
    for name, letter in (("right", "R"), ("left", "L")):
        ((place, found),) = re.findall(rf'<text id="{name}-letter" x="([^"]+)"[^>]*>(.)</text>', text)
        (path,) = re.findall(rf'id="{name}-still"[^>]* d="M([^"]+) Z"', text)
        across = [float(each.split()[0]) for each in path.split(" L")]
        assert found == letter
        assert float(place) == pytest.approx((min(across) + max(across)) / 2, abs=0.01)
    assert "R is the wearer&#x27;s right lens" in text or "R is the wearer's right lens" in text


def test_a_crooked_shape_is_drawn_the_way_it_was_traced() -> None:
    """Every point lies in its direction: nothing is turned, mirrored or put on the other eye; 0.02 mm."""
    right = [20 + 3 * math.cos(math.radians(5 * at - 50)) for at in range(72)]
    left = [20 + 2 * math.sin(math.radians(10 * at + 25)) for at in range(72)]
    text = write_overlay(Overlay(right, right), Overlay(left, left), "any", 10, ())
    for name, wanted in (("right", right), ("left", left)):
        (path,) = re.findall(rf'id="{name}-still"[^>]* d="M([^"]+) Z"', text)
        (letter,) = re.findall(rf'id="{name}-letter" x="([^"]+)"', text)
        points = [tuple(map(float, each.split())) for each in path.split(" L")]
        for at, (x, y) in enumerate(points):
            turn = math.radians(5 * at)
            assert x - float(letter) == pytest.approx(wanted[at] * math.cos(turn), abs=0.02)
            assert -y == pytest.approx(wanted[at] * math.sin(turn), abs=0.02)
